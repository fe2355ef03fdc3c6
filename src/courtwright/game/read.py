"""From a file to a sound game: every problem reported at once, with its place and a mend."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import chain
from pathlib import Path
from typing import Any, Final

from courtwright.documents import (
    Migration,
    Where,
    all_told,
    json_text,
    object_of,
    read_bytes,
    read_leniently,
    text_of,
    up_to_date,
)
from courtwright.errors import Problem
from courtwright.game.check import problems_of
from courtwright.game.document import FORMAT, Form, Game, Step
from courtwright.game.patch import merge_patch

MIGRATIONS: Final[dict[int, Migration]] = {}
"""From version n to n + 1; a stored sample of each version is read in the tests."""

STAND_INS: Final = {
    "name": "unnamed",
    "sides": {"offence": 3, "defence": 3},
    "start": {"placements": [], "ball": "1"},
}
"""For required parts that cannot be read, so that the other parts can still be looked at."""

FORMS: Final = ("easier", "harder", "forms")
FIXED: Final = ("format", *FORMS)
"""What a changed form cannot change: it is a game without forms."""


def load_game(path: Path) -> Game:
    """Read a game file; raise `DocumentError` with every problem found."""
    return parse_game(read_bytes(path), source=path.name)


def parse_game(raw: bytes | str, *, source: str = "game") -> Game:
    """Read a game from JSON text; raise `DocumentError` with every problem found."""
    data, notes = object_of(text_of(raw, source), source)
    data = up_to_date(data, FORMAT, MIGRATIONS, source)
    game, problems = _looked_at(data)
    if notes or problems or game is None:
        raise all_told(source, [*notes, *problems])
    return game


def game_from_json(data: Any, *, source: str = "game") -> Game:
    """Read a game from JSON data; raise `DocumentError` with every problem found."""
    return parse_game(json_text(data, source), source=source)


def apply_step(game: Game, step: Step | Form) -> Game:
    """The game in an easier, harder or other form; raise `DocumentError` if the change does not fit.

    The result has no changed forms of its own: theirs were meant for the first game.
    """
    return game_from_json(_changed(game.to_json(), step.change), source=step.say or game.name)


def _changed(data: dict[str, Any], change: dict[str, Any]) -> dict[str, Any]:
    base = {name: value for name, value in data.items() if name not in FORMS}
    changed: dict[str, Any] = merge_patch(base, {name: change[name] for name in change if name not in FIXED})
    return changed


def _looked_at(data: dict[str, Any]) -> tuple[Game | None, list[Problem]]:
    """Read what can be read, and check it."""
    reading = read_leniently(Game, data, STAND_INS)
    problems = [Problem(place_in_words(place), what, mend) for place, what, mend in reading.wrong]
    game = reading.value
    if game is not None:
        problems += problems_of(game, reading.unread)
    return game, problems


def loose_ends(game: Game) -> list[Problem]:
    """What the changed forms of a sound game get wrong. The game can be played, so nothing is refused for them."""
    return list(chain.from_iterable(_step_problems(place, game, step) for place, step in _steps(game)))


def _steps(game: Game) -> Iterator[tuple[str, Step | Form]]:
    for name, steps in (("easier", game.easier), ("harder", game.harder)):
        for number, step in enumerate(steps, start=1):
            yield f"{name}, step {number}", step
    for form in game.forms:
        yield f"form for {form.players} players", form


def _step_problems(place: str, game: Game, step: Step | Form) -> Iterator[Problem]:
    """What a changed form gets wrong that the game itself does not."""
    for name in FIXED:
        if name in step.change:
            yield Problem(place, f"changes “{name}”", "Take that out; a changed form is a game without forms.")
    changed, found = _looked_at(_changed(game.to_json(), step.change))
    for problem in found:
        yield Problem(place, f"{problem.place}: {problem.what}", problem.mend)
    if isinstance(step, Form) and changed is not None:
        needed = step.baskets * (len(changed.sides.figures) - changed.sides.coach)
        if needed > step.players:
            mend = "Play smaller sides or use fewer baskets."
            yield Problem(place, f"{needed} play at once, and there are {step.players}", mend)


_PARTS: Final = {"wishes": "wish", "points": "point rule", "easier": "easier, step", "harder": "harder, step"}


def place_in_words(place: Where) -> str:
    """A path like ``("start", "placements", 2, "at")`` as ``start, placement 3, at``."""
    words: list[str] = []
    for part in place:
        if isinstance(part, int) and words:
            words[-1] = f"{_PARTS.get(words[-1], words[-1].removesuffix('s'))} {part + 1}"
        else:
            words.append(str(part))
    return ", ".join(words) or "file"
