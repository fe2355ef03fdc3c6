"""From a file to a sound squad: every problem reported at once, with its place and a mend."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass
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
from courtwright.squad.check import Finding, doubles, problems_of
from courtwright.squad.document import FORMAT, MOST_PLAYERS, Player, Squad
from courtwright.squad.table import read_table

MIGRATIONS: Final[dict[int, Migration]] = {}
"""From version n to n + 1; a stored sample of each version is read in the tests."""


@dataclass(frozen=True, slots=True)
class Draft:
    """A squad as it was written, before its parts are checked."""

    head: dict[str, Any]
    rows: list[tuple[str, Any]]
    """label of each player's row, and what it says"""
    notes: list[Problem]
    title: Callable[[Where], str]
    """a path within a player as the file's reader knows it"""
    whole: Where = ()
    """what stands before a field of the squad itself, where that could be taken for a player's"""


def load_squad(path: Path) -> Squad:
    """Read a squad file, CSV or JSON by its content; raise `DocumentError` with every problem found."""
    return parse_squad(read_bytes(path), source=path.name)


def parse_squad(raw: bytes | str, *, source: str = "squad") -> Squad:
    """Read a squad from CSV or JSON text; raise `DocumentError` with every problem found."""
    text = text_of(raw, source)
    draft = _from_object(text, source) if text.lstrip().startswith(("{", "[")) else _from_table(text, source)
    problems = list(draft.notes)
    head = read_leniently(Squad, draft.head | {"players": []}, {"name": "unnamed"})
    problems += [Problem(_joined((*draft.whole, *place)), what, mend) for place, what, mend in head.wrong]
    if len(draft.rows) > MOST_PLAYERS:
        problems.append(Problem("players", f"are {len(draft.rows)}", f"Keep {MOST_PLAYERS} at most."))
    players, found = _players(draft)
    problems += found
    if problems or head.value is None:
        raise all_told(source, sorted(problems, key=_row))
    return head.value.model_copy(update={"players": tuple(players)})


def squad_from_json(data: Any, *, source: str = "squad") -> Squad:
    """Read a squad from JSON data; raise `DocumentError` with every problem found."""
    return parse_squad(json_text(data, source), source=source)


def _from_object(text: str, source: str) -> Draft:
    data, notes = object_of(text, source)
    data = up_to_date(data, FORMAT, MIGRATIONS, source)
    rows = data.get("players", [])
    if not isinstance(rows, list):
        notes.append(Problem("players", "is not a list", "Write a list in [ ]."))
        rows = []
    return Draft(data, [(f"player {index + 1}", row) for index, row in enumerate(rows)], notes, _joined)


def _from_table(text: str, source: str) -> Draft:
    table = read_table(text, source)
    return Draft({"format": FORMAT} | table.head, table.rows, table.notes, table.title, ("squad",))


def _players(draft: Draft) -> tuple[list[Player], list[Problem]]:
    players: list[tuple[str, Player]] = []
    found: list[tuple[str, Finding]] = []
    for label, row in draft.rows[:MOST_PLAYERS]:
        if not isinstance(row, dict):
            found.append((label, ((), "is not an object", "Write an object in { }.")))
            continue
        reading = read_leniently(Player, row, {"name": label})  # a label is no double of another player's name
        found += [(label, finding) for finding in reading.wrong]
        if reading.value is not None:
            players.append((label, reading.value))
            found += [(label, finding) for finding in problems_of(reading.value)]
    found += doubles(players)
    problems = [Problem(f"{label}{_comma(draft, place)}", what, mend) for label, (place, what, mend) in found]
    return [player for _, player in players], problems


def _comma(draft: Draft, place: Where) -> str:
    words = tuple(str(part).removesuffix(".0") for part in place if part != "[key]")  # a distance is 10, not 10.0
    return f", {draft.title(words)}" if words else ""


def _row(problem: Problem) -> int:
    match = re.match(r"(?:row|player) (\d+)", problem.place)
    return int(match[1]) if match else 0


def _joined(place: Where) -> str:
    return ", ".join(map(str, place)) or "file"
