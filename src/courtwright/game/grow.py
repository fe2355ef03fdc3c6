"""Any 1-on-1 as 2-, 3-, 4- or 5-on-5: mates at open spots, helpers where their men put them.

Where mates and helpers stand is common practice, no source: a pass apart, the helper one pass
away a step off the line, the helper two passes away near the middle of the floor.
"""

from __future__ import annotations

import math
from itertools import combinations
from typing import Any, Final

from courtwright.documents import refusal
from courtwright.errors import DocumentError
from courtwright.floor.court import Court
from courtwright.game.document import Game, Help, Step
from courtwright.game.numbers import forms_for
from courtwright.game.patch import merge_patch
from courtwright.game.read import apply_step, game_from_json

SPACING_M: Final = 4.0
"""Mates stand at least this far apart where the half court allows it."""
USUAL_PASS_M: Final = 5.5
"""Farther apart than this is no gain: a pass must still get there."""
ONE_PASS_M: Final = 7.0
"""Up to here a mate is one pass away."""
CLEAR_M: Final = 1.0
"""Nobody who is added stands nearer to anyone than this."""
OPEN: Final = ("corner", "wing", "slot", "top")
INSIDE: Final = ("short corner", "block", "elbow")
VARY_M: Final = 0.3
NAME_LENGTH: Final = 80

Places = dict[str, tuple[float, float]]


def grow(game: Game, side: int) -> Game:
    """A 1-on-1 with ``side`` players on each side; its constraints, points, entry and cues stay as they are.

    Easier and harder steps grow along, forms are made for the new numbers, and help comes
    when the defender is beaten where the 1-on-1 had none. Raises `DocumentError` for any
    other game, or a side that is not 2 to 5.
    """
    if (game.sides.offence, game.sides.defence, game.sides.neutral) != (1, 1, 0):
        raise refusal("sides", "are not 1 on 1", "Choose a game with one attacker and one defender.")
    if not 2 <= side <= 5:
        raise refusal("side", f"{side} is not a size it can grow to", "Write 2 to 5.")
    grown = _grown(game, side)
    steps = {
        name: [_step(game, step, side) for step in getattr(game, name) if _still_alone(game, step)]
        for name in ("easier", "harder")
    }
    forms = [form.model_dump(mode="json") for form in forms_for(grown)]
    return game_from_json(grown.to_json() | steps | {"forms": forms}, source=game.name)


def _grown(game: Game, side: int) -> Game:
    """The game alone, without its changed forms."""
    form = f", {side}-on-{side}"
    change = {
        "name": f"{game.name[: NAME_LENGTH - len(form)]}{form}",
        "sides": {"offence": side, "defence": side},
        "start": _start(game, side),
        "help": (Help.WHEN_BEATEN if game.help is Help.NEVER else game.help).value,
        "easier": [],
        "harder": [],
        "forms": [],
    }
    return game_from_json(merge_patch(game.to_json(), change), source=game.name)


def _still_alone(game: Game, step: Step) -> bool:
    """Whether a step leaves one on one; one that adds players itself has been overtaken, and a broken one is no use."""
    try:
        sides = apply_step(game, step).sides
    except DocumentError:
        return False
    return (sides.offence, sides.defence, sides.neutral) == (1, 1, 0)


def _step(game: Game, step: Step, side: int) -> dict[str, Any]:
    """The same step for the bigger game: a start that it changes is grown, the rest stays."""
    change = {name: value for name, value in step.change.items() if name not in ("name", "sides")}
    if {"start", "sides", "court"} & step.change.keys():
        change["start"] = _start(apply_step(game, step), side)
    return {"say": step.say, "change": change}


def _start(game: Game, side: int) -> dict[str, Any]:
    start: dict[str, Any] = game.start.model_dump(mode="json")
    added = _added(game, _places(game, None), side)
    pairs = {f"X{number}": str(number) for number in range(2, side + 1)}
    plain = [
        {"figure": figure, "at": list(at), "vary_m": VARY_M, "guards": pairs.get(figure)}
        for figure, at in added.items()
    ]
    for index, variant in enumerate(game.start.variants):
        if variant.placements:  # a variant that only mirrors takes everyone along
            moved = _added(game, _places(game, index), side)
            start["variants"][index]["placements"] += [
                {"figure": figure, "at": list(at), "vary_m": VARY_M} for figure, at in moved.items()
            ]
    start["placements"] += plain
    return start


def _places(game: Game, variant: int | None) -> Places:
    """Where all stand before a variant is mirrored."""
    places = game.placed_m(variant)
    if variant is not None and game.start.variants[variant].mirror:
        places = {figure: (0.0 - x_m, y_m) for figure, (x_m, y_m) in places.items()}
    return places


def _added(game: Game, there: Places, side: int) -> Places:
    """Mates and helpers beside those who are there."""
    mates = _open_spots(game.floor, there, side - 1)
    added: Places = {str(number): at for number, at in enumerate(mates, start=2)}
    for number, at in enumerate(mates, start=2):
        taken = [*there.values(), *added.values()]
        added[f"X{number}"] = _clear(game.floor, helper_m(at, there["1"]), taken)
    return dict(sorted(added.items(), key=lambda item: item[0].startswith("X")))


def _open_spots(floor: Court, there: Places, count: int) -> list[tuple[float, float]]:
    """The spots that leave most room: outside first, then far enough apart, then near enough to pass."""
    ball = there["1"]
    outside = {(at[0], at[1]): str(spot).endswith(OPEN) and not str(spot).endswith("short corner")
               for spot, at in floor.spots.items() if str(spot).endswith((*OPEN, *INSIDE))}  # fmt: skip
    others = [at for figure, at in there.items() if figure != "1"]
    free = [at for at in outside if all(math.dist(at, other) >= CLEAR_M + VARY_M for other in others)]

    def worth(chosen: tuple[tuple[float, float], ...]) -> tuple[float, ...]:
        apart = min(math.dist(one, other) for one, other in combinations((ball, *chosen), 2))
        reach = sum(math.dist(ball, at) for at in chosen)
        inside = sum(not outside[at] for at in chosen)
        return (round(min(apart, SPACING_M), 3), -inside, round(min(apart, USUAL_PASS_M), 3), round(-reach, 3))

    best = max(combinations(free, count), key=worth)
    return sorted(best, key=lambda at: (round(math.dist(ball, at), 3), at))


def helper_m(man: tuple[float, float], ball: tuple[float, float]) -> tuple[float, float]:
    """Where a helper stands for a man and the ball: towards the ring, and a little towards the ball.

    One pass away three tenths of the way to the ring, farther away six tenths. Metres.
    """
    drop, pull = (0.3, 0.12) if math.dist(man, ball) <= ONE_PASS_M else (0.6, 0.15)
    x_m, y_m = (at - drop * at + pull * (to - at) for at, to in zip(man, ball, strict=True))
    return round(x_m, 2), round(y_m, 2)


def _clear(floor: Court, at: tuple[float, float], taken: list[tuple[float, float]]) -> tuple[float, float]:
    """The nearest place to this one where nobody stands."""
    for ring in range(25):
        for eighth in range(16):
            angle, away_m = math.pi * eighth / 8, 0.2 * ring
            near = round(at[0] + away_m * math.cos(angle), 2), round(at[1] + away_m * math.sin(angle), 2)
            if floor.on_floor(*near) and all(math.dist(near, other) >= CLEAR_M for other in taken):
                return near
    return at
