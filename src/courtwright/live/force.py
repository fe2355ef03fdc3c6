"""The game in force: the one the run opened with, and every switch and change since."""

from __future__ import annotations

from typing import Any, Final

AGAIN, POINT, NO_POINTS, TURNOVER = "again", "point to the other side", "no points", "turnover"
OFFENCE, DEFENCE = "offence", "defence"

Worths = dict[str, dict[str, int]]
"""Points of each counted event, by side."""

STARTS: Final = "start"


class InForce:
    """A game as plain data. Every change makes new data, so that what was kept of it earlier stays as it was."""

    def __init__(self, game: dict[str, Any], register: dict[str, Any]) -> None:
        self.game = game
        self.said = ""
        self.register = register
        self.worths: Worths = worths_of(game, register)

    def change(self, detail: dict[str, Any]) -> None:
        """Another form takes over."""
        self.said = detail.get("say", "")
        self._take(detail["game"])

    def switch(self, detail: dict[str, Any]) -> None:
        """A constraint, a point rule or a distance goes on or off."""
        for part in ("constraint", "points"):
            if part in detail:
                kept = "constraints" if part == "constraint" else "points"
                self._take(self.game | {kept: _switched(self.game.get(kept, []), detail[part], detail["on"], kept)})
        if "placement" in detail:
            start = self.game[STARTS]
            placed = [_placed(item, detail["placement"]) for item in start["placements"]]
            self._take(self.game | {STARTS: start | {"placements": placed}})

    def _take(self, game: dict[str, Any]) -> None:
        self.game = game
        self.worths = worths_of(game, self.register)

    def breach(self, detail: dict[str, Any]) -> tuple[str, str]:
        """Whose breach a violation is, and what it costs."""
        usual = self.register["constraints"].get(detail["rule"], {})
        who = detail.get("who") or ""
        side = usual.get("side") or (DEFENCE if who.startswith("X") else OFFENCE)
        return side, detail.get("cost") or self._cost(detail["rule"], who) or usual.get("cost") or TURNOVER

    def _cost(self, rule: str, who: str) -> str:
        """The cost as the game names it; a limit of his own goes before the whole side's."""
        costs = [
            (item.get("figure") == who, item.get("cost"))
            for item in self.game.get("constraints", [])
            if item["rule"] == rule and item.get("figure") in (None, who) and item.get("cost")
        ]
        return next((cost for own, cost in costs if own), costs[0][1] if costs else "")


def worths_of(game: dict[str, Any], register: dict[str, Any]) -> Worths:
    """What each counted event brings each side."""
    worths: Worths = {OFFENCE: {}, DEFENCE: {}}
    for rule in game.get("points", []):
        kind = register["points"].get(rule["rule"])
        if kind is None:
            continue
        side = worths[rule.get("to") or kind["side"]]
        for count in kind["counts"]:
            value = register["outside_value" if count == "make_three" else "inside_value"] if kind["by_court"] else 1
            side[count] = side.get(count, 0) + rule["points"] * value
    return worths


def _key(item: dict[str, Any], kept: str) -> tuple[Any, ...]:
    return (item["rule"], item.get("figure") if kept == "constraints" else item.get("to"))


def _switched(items: list[dict[str, Any]], item: dict[str, Any], on: bool, kept: str) -> list[dict[str, Any]]:
    """The list with the item in its old place, at the end, or gone."""
    at = next((place for place, other in enumerate(items) if _key(other, kept) == _key(item, kept)), None)
    if at is None:
        return [*items, item] if on else items
    return [*items[:at], *([item] if on else []), *items[at + 1 :]]


def _placed(item: dict[str, Any], placement: dict[str, Any]) -> dict[str, Any]:
    return item | placement if item["figure"] == placement["figure"] else item
