"""Forms of a game for 6 to 12 players: how many baskets, and what those who are off do.

All of it is common practice, no source: nobody should wait long, and whoever is off has a job.
"""

from __future__ import annotations

from typing import Any, Final

from courtwright.game.document import Form, Game, Teams

NUMBERS: Final = range(6, 13)
MOST_BASKETS: Final = 4
MOST_OFF: Final = 4
"""With more than this many off at a basket, another basket is used where that can be done."""


def forms_for(game: Game) -> tuple[Form, ...]:
    """A form for each of 6 to 12 players; smaller sides where the game's own do not fit."""
    return tuple(_form(game, players) for players in NUMBERS)


def _form(game: Game, players: int) -> Form:
    attackers, defenders = game.sides.offence + game.sides.neutral, game.sides.defence
    fewer = max(0, -(-(attackers + defenders - players) // 2))
    change = _without_pairs(game, fewer) if fewer else {}
    on_floor = attackers + defenders - 2 * fewer
    baskets = _baskets(players, on_floor)
    even, off = attackers == defenders, players - baskets * on_floor
    kept = even and off in (0, baskets * on_floor // 2)
    if kept:
        change["rota"] = {"teams": Teams.FIXED.value}
    sides = f"{attackers - fewer}-on-{defenders - fewer}"
    words = [sides, _where(players, baskets), _off(off, baskets, kept, even)]
    return Form(players=players, baskets=baskets, say=", ".join(filter(None, words)) + ".", change=change)


def _baskets(players: int, on_floor: int) -> int:
    """As few baskets as leave nobody waiting long, and never more than can be filled."""
    baskets = 1
    while baskets < MOST_BASKETS and (baskets + 1) * on_floor <= players:
        if players - baskets * on_floor <= min(MOST_OFF, baskets * on_floor // 2):
            break
        baskets += 1
    return baskets


def _where(players: int, baskets: int) -> str:
    if baskets == 1:
        return "one basket"
    least, more = divmod(players, baskets)
    each = f"{least} at each" if not more else f"{least} or {least + 1} at each"
    return f"{baskets} baskets, {each}"


def _off(off: int, baskets: int, kept: bool, even: bool) -> str:
    if not off:
        return "swap ends after every possession" if even else "change roles after every possession"
    if kept:
        return "a third team waits: defend, attack, off"
    where = "" if baskets == 1 else " in all"
    if off == 1:
        return f"one is off{where} and feeds, keeps score or calls the clock"
    return f"{off} are off{where} and feed, keep score or call the clock"


def _without_pairs(game: Game, pairs: int) -> dict[str, Any]:
    """The change that takes out the last attackers and defenders."""
    sides = game.sides
    gone = {str(sides.offence - index) for index in range(pairs)}
    gone |= {f"X{sides.defence - index}" for index in range(pairs)}
    start = game.start.model_dump(mode="json")
    start["placements"] = [item for item in start["placements"] if item["figure"] not in gone]
    for variant in start["variants"]:
        variant["placements"] = [item for item in variant["placements"] if item["figure"] not in gone]
    start["variants"] = [item for item in start["variants"] if item["mirror"] or item["placements"]]
    for item in start["placements"]:
        if item["guards"] in gone:
            item["guards"] = None
    return {"sides": {"offence": sides.offence - pairs, "defence": sides.defence - pairs}, "start": start}
