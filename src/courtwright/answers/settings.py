"""The settings of a game by a plain name, and the same game with another value of one.

``dribbles`` or ``shot clock`` is the limit of that constraint, ``points for three``
what the rule brings, ``gap X1`` how far X1 starts from his man; anything else in
the document goes by its path, such as ``/ending/reset_s``.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from dataclasses import asdict, dataclass
from typing import Any, Final

from courtwright.errors import DocumentError, Problem
from courtwright.game.constraints import CONSTRAINTS
from courtwright.game.document import Constraint, EntryKind, Game, Help, PointRule
from courtwright.game.points import POINT_RULES
from courtwright.game.read import game_from_json

NONE: Final = "none"
"""In place of a limit: without it."""
POINTS_FOR: Final = "points for "
GAP: Final = "gap "
RESET, PASSES, HELP = "reset", "entry passes", "help"
LEAST_GAP_M, MOST_GAP_M = 0.4, 9.0

Value = float | str
Place = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Setting:
    """One thing that can be set, what it is now, and the values that make sense."""

    key: str
    text: str
    unit: str
    now: Value | None
    least: float = 0.0
    most: float = 0.0
    whole: bool = False
    middle: float = 0.0
    """where to look when it is not set"""
    choices: tuple[str, ...] = ()
    """words in place of numbers, or beside them"""

    def to_json(self) -> dict[str, Any]:
        """Plain JSON data, with values to begin with."""
        return asdict(self) | {"usual": self.usual()}

    def usual(self) -> list[Value]:
        """Five values round the present one, or every choice."""
        if self.most <= self.least:
            return list(self.choices)
        step = 1.0 if self.whole or self.unit in ("metres", "seconds") else 0.5
        middle = self.now if isinstance(self.now, float | int) else self.middle
        first = max(self.least, min(round(middle / step) * step - 2 * step, self.most - 4 * step))
        first = math.ceil(first / step - 1e-9) * step
        return [*(first + n * step for n in range(5) if first + n * step <= self.most), *self.choices]


def settings_of(game: Game) -> list[Setting]:
    """What can be set in a game so that the trial plays it: what the game has first, then what it could have."""
    found = [*_gaps(game), *_limits(game), *_points(game), *_others(game)]
    return sorted(found, key=lambda setting: setting.now is None)


def _gaps(game: Game) -> Iterator[Setting]:
    places_m = game.placed_m()
    for defender, man in game.guards().items():
        gap_m = round(math.dist(places_m[defender], places_m[man]), 2)
        most_m = _room_m(game, places_m[man], _toward(places_m[man], places_m[defender]))
        yield Setting(f"{GAP}{defender}", f"{defender} starts from {man}", "metres", gap_m, LEAST_GAP_M, most_m)


def _limits(game: Game) -> Iterator[Setting]:
    limits = {item.rule: item.limit for item in game.constraints if item.figure is None}
    for kind in CONSTRAINTS.values():
        if kind.played and kind.limit is not None and not (kind.names or kind.spares):
            limit = kind.limit
            text = kind.text.format(limit="…", s="s", es="es")
            now = limits.get(kind.key)
            yield Setting(kind.key, text, limit.unit, now, limit.least, limit.most, limit.whole, limit.usual, (NONE,))


def _points(game: Game) -> Iterator[Setting]:
    worth = {rule.rule: rule.points for rule in game.points}
    for kind in POINT_RULES.values():
        if kind.played:
            text = f"points for {kind.text}"
            now = worth.get(kind.key)
            yield Setting(f"{POINTS_FOR}{kind.key}", text, "points", now, -10, 10, True, kind.usual)


def _others(game: Game) -> Iterator[Setting]:
    yield Setting(HELP, "helpers leave", "", game.help.value, choices=tuple(word.value for word in Help))
    yield Setting(RESET, "reset after a possession", "seconds", game.ending.reset_s, 0, 60)
    if game.entry.kind is EntryKind.PASSES:
        yield Setting(PASSES, "passes before it is live", "passes", game.entry.passes, 1, 6, whole=True)


def setting_of(game: Game, key: str) -> Setting:
    """A setting by its name; raise `DocumentError` for one that is not known."""
    for setting in settings_of(game):
        if setting.key == key:
            return setting
    if key.startswith("/"):
        return Setting(key, key, "", _at_path(game.to_json(), key))
    names = ", ".join(setting.key for setting in settings_of(game))
    raise _refusal(f"“{key}” is no setting of this game", f"Use one of {names}, or a path such as /ending/reset_s.")


def changed_to(game: Game, key: str, value: Value) -> Game:
    """The game with another value of one setting; raise `DocumentError` where that makes no game."""
    setting = setting_of(game, key)
    return _put(game, setting, _fitting(setting, value))


def _fitting(setting: Setting, value: Value) -> Value:
    """A number where one is meant; words only where they are choices."""
    if isinstance(value, str) and value not in setting.choices:
        try:
            value = float(value)
        except ValueError:
            words = f" or {', '.join(setting.choices)}" if setting.choices else ""
            if not setting.key.startswith("/"):
                raise _refusal(f"“{value}” is no value of {setting.text}", f"Write a number{words}.") from None
    if isinstance(value, float) and value.is_integer():
        return int(value)
    return value


def _put(game: Game, setting: Setting, value: Value) -> Game:
    data, key = game.to_json(), setting.key
    if key.startswith("/"):
        _set_path(data, key, value)
    elif key.startswith(GAP):
        _set_gap(game, data, key.removeprefix(GAP), value)
    elif key.startswith(POINTS_FOR):
        rule = key.removeprefix(POINTS_FOR)
        _set_item(data["points"], rule, "points", value, lambda: PointRule(rule=rule, points=0).model_dump(mode="json"))
    elif key in CONSTRAINTS:
        _set_item(data["constraints"], key, "limit", value, lambda: Constraint(rule=key).model_dump(mode="json"))
    else:
        _set_path(data, {HELP: "/help", RESET: "/ending/reset_s", PASSES: "/entry/passes"}[key], value)
    return game_from_json(data, source=f"{setting.text} = {value}")


def _set_item(items: list[dict[str, Any]], rule: str, field: str, value: Value, made: Callable[[], Any]) -> None:
    """Set a number in the list of constraints or points, adding the entry, or taking it out."""
    there = [item for item in items if item["rule"] == rule and not item.get("figure")]
    if value == NONE:
        items[:] = [item for item in items if item not in there]
        return
    if not there:
        items.append(made())
        there = items[-1:]
    there[0][field] = value


def _set_gap(game: Game, data: dict[str, Any], defender: str, value: Value) -> None:
    """Put a defender on the line from his man through where he stands, so far away."""
    places_m, man = game.placed_m(), game.guards()[defender]
    man_x, man_y = places_m[man]
    toward, gap_m = _toward(places_m[man], places_m[defender]), float(value)
    for item in data["start"]["placements"]:
        if item["figure"] == defender:
            item["at"] = [round(man_x + toward[0] * gap_m, 3), round(man_y + toward[1] * gap_m, 3)]


def _toward(man_m: Place, defender_m: Place) -> Place:
    """The direction from a man to his defender; to the ring where both stand in one place."""
    away_m = math.dist(man_m, defender_m)
    if away_m > 0.05:
        return (defender_m[0] - man_m[0]) / away_m, (defender_m[1] - man_m[1]) / away_m
    ring_m = math.hypot(*man_m) or 1.0
    return -man_m[0] / ring_m, -man_m[1] / ring_m


def _room_m(game: Game, man_m: Place, toward: Place) -> float:
    """How far from his man, that way, there is still floor; no more than makes sense."""
    floor = game.floor
    ends_m = [(-floor.side_x_m, floor.side_x_m), (floor.end_line_y_m, floor.far_y_m)]
    rooms_m = [MOST_GAP_M]
    for at_m, way, (low_m, high_m) in zip(man_m, toward, ends_m, strict=True):
        if abs(way) > 1e-9:
            rooms_m.append(((high_m if way > 0 else low_m) - at_m) / way)
    return max(LEAST_GAP_M, math.floor(min(rooms_m) * 10) / 10)


def _steps(path: str) -> list[str]:
    """The parts of a path (RFC 6901)."""
    return [part.replace("~1", "/").replace("~0", "~") for part in path.split("/")[1:]]


def _holder(data: Any, path: str) -> tuple[Any, Any]:
    """What holds the end of a path, and its key there."""
    *way, last = _steps(path)
    try:
        for part in way:
            data = data[int(part)] if isinstance(data, list) else data[part]
        key = int(last) if isinstance(data, list) else last
        data[key]
    except (KeyError, IndexError, ValueError, TypeError):
        raise _refusal(f"{path} is not in this game", "Check the path, such as /ending/reset_s.") from None
    return data, key


def _at_path(data: Any, path: str) -> Any:
    holder, key = _holder(data, path)
    return holder[key]


def _set_path(data: Any, path: str, value: Value) -> None:
    holder, key = _holder(data, path)
    holder[key] = value


def _refusal(what: str, mend: str) -> DocumentError:
    return DocumentError("setting", [Problem("setting", what, mend)])
