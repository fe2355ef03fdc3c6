"""A squad as a table: CSV as spreadsheets write it, in and out.

Headings may be in any case and spacing and carry their unit; the separator is
told from them. A cell that a spreadsheet would run as a formula is written with
an apostrophe in front, and read back without it.
"""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from typing import Any, Final

from courtwright.documents import Where, refusal, shown
from courtwright.errors import Problem, WordError
from courtwright.squad.document import Squad, distance_text
from courtwright.vocabulary import Level, Zone, parse_length_m

SEPARATORS: Final = (",", ";", "\t")
KNOWN: Final = (
    "name, number, height_cm (or height_m, height_ft_in), level, here, grade, split_10_m_s (any distance), "
    "rim_makes, rim_attempts (also mid, three), squad, squad_level"
)
NO_NAMES: Final = f"Put headings in the first row; name is needed. Known are {KNOWN}."


@dataclass(frozen=True, slots=True)
class Column:
    """One heading: where its cells go, and how they are read."""

    place: Where
    read: Callable[[str, bool], Any]
    """from the text of a cell, and whether decimals may be written with a comma"""


@dataclass(slots=True)
class Table:
    """What a table says, before its parts are checked."""

    comma: bool
    """whether decimals may be written with a comma"""
    columns: list[tuple[str, Column | None]] = field(default_factory=list)
    """each heading as the file has it, and what it means"""
    titles: dict[Where, str] = field(default_factory=dict)
    """the other way round"""
    rows: list[tuple[str, dict[str, Any]]] = field(default_factory=list)
    """label and content of each player's row"""
    said: dict[str, tuple[str, Any]] = field(default_factory=dict)
    """of the squad itself: which row said it first, and what"""
    notes: list[Problem] = field(default_factory=list)

    @property
    def head(self) -> dict[str, Any]:
        """What the table says of the squad itself."""
        return {"name": "Squad"} | {key: value for key, (_, value) in self.said.items()}

    def title(self, place: Where) -> str:
        """The heading of a part, as the file has it or as we would write it."""
        return self.titles.get(place) or _heading(place)


# --- reading


def read_table(text: str, source: str) -> Table:
    """Read a table's rows as JSON data, noting everything that is no such thing."""
    separator, records = _records(text, source)
    number, headings = next(records)
    table = Table(comma=separator != ",")
    table.columns = [(" ".join(title.split())[:40], _column(title)) for title in headings]
    table.notes += _headings(f"row {number}", table)
    for number, cells in records:
        label = f"row {number}"
        if any(cell.strip() for cell in cells[len(headings) :]):
            what = f"has {len(cells)} cells under {len(headings)} headings"
            table.notes.append(Problem(label, what, "Check the separators."))
        row = dict(_cells(label, cells, table))
        table.notes += _head(label, row, table)
        if row:
            unnamed = {} if ("name",) in table.titles else {("name",): label}  # said once, of the headings
            table.rows.append((label, _nested(row | unnamed)))
    return table


def _records(text: str, source: str) -> tuple[str, Iterator[tuple[int, list[str]]]]:
    """The separator, and every row that is not blank with its number as a spreadsheet shows it."""
    stated = re.match(r"sep=([,;|\t])\r?\n", text)  # some spreadsheets say so in the first line
    line = next((line for line in text[stated.end() if stated else 0 :].splitlines() if line.strip()), "")
    separator = stated[1] if stated else max(SEPARATORS, key=lambda sign: _known_in(line, sign))
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=separator, strict=True)
    try:
        rows = list(reader)
    except csv.Error as error:
        what = f"is not a CSV table (line {reader.line_num}: {error})"
        raise refusal(source, what, "Check the quotation marks there.") from None
    filled = [(index + 1, row) for index, row in enumerate(rows) if any(cell.strip() for cell in row)]
    if stated:
        del filled[0]
    if not filled:
        raise refusal(source, "is empty", NO_NAMES)
    return separator, iter(filled)


def _known_in(line: str, separator: str) -> int:
    return sum(_column(title) is not None for title in line.replace('"', "").split(separator))


def _headings(label: str, table: Table) -> Iterator[Problem]:
    if all(column is None or column.place != ("name",) for _, column in table.columns):
        yield Problem(label, "has no heading “name”", NO_NAMES)
    if all(column is None for _, column in table.columns):
        return  # these are no headings at all, so it is no use to name them one by one
    for title, column in table.columns:
        if column is None and title:
            yield Problem(f"{label}, {title}", "is not a known heading", f"Known are {KNOWN}.")
        elif column is not None and column.place in table.titles:
            yield Problem(
                f"{label}, {title}", f"says the same as “{table.titles[column.place]}”", "Keep one of the two."
            )
        elif column is not None:
            table.titles[column.place] = title


def _cells(label: str, cells: list[str], table: Table) -> Iterator[tuple[Where, Any]]:
    for (title, column), cell in zip(table.columns, map(str.strip, cells), strict=False):
        if not cell or (title and column is None):
            continue
        if column is None:
            table.notes.append(Problem(label, f"{shown(cell)} stands under no heading", "Give it one or take it out."))
            continue
        try:
            yield column.place, column.read(cell, table.comma)
        except WordError as error:
            what, _, mend = str(error).rpartition("; ")
            table.notes.append(Problem(f"{label}, {title}", what, f"{mend[:1].upper()}{mend[1:]}."))


def _head(label: str, row: dict[Where, Any], table: Table) -> Iterator[Problem]:
    """Take the squad's own name and level out of a row; every row must say the same."""
    for heading, key in (("squad", "name"), ("squad_level", "level")):
        value = row.pop((heading,), None)
        if value is not None:
            first, said = table.said.setdefault(key, (label, value))
            if value != said:
                what = f"says {shown(value)}, and {first} says {shown(said)}"
                yield Problem(f"{label}, {table.titles[heading,]}", what, "A file holds one squad.")


def _nested(row: dict[Where, Any]) -> dict[str, Any]:
    player: dict[str, Any] = {}
    for place, value in row.items():
        part = player
        for name in place[:-1]:
            part = part.setdefault(str(name), {})
        part[str(place[-1])] = value
    return player


# --- headings and cells


def _column(title: str) -> Column | None:
    """The column a heading names, in any case and spacing, or nothing."""
    words = re.sub(r"(?<=\d),(?=\d)", ".", title.casefold())
    words = " ".join(re.sub(r"[^a-z0-9.#]+", " ", words).split())
    if words in _COLUMNS:
        return _COLUMNS[words]
    if match := re.fullmatch(r"(?:(?:split|sprint|time) )?(\d{1,3}(?:\.\d+)?) ?m(?: s| sec)?", words):
        return Column(("splits_s", distance_text(float(match[1]))), _number)
    if match := re.fullmatch(r"(rim|mid|three|3) (makes|made|attempts|attempted)", words):
        zone = Zone.THREE if match[1] == "3" else Zone(match[1])
        return Column(("shooting", zone.value, "makes" if match[2].startswith("ma") else "attempts"), _whole)
    return None


def _heading(place: Where) -> str:
    """The heading we write for a part of a player."""
    if place[0] == "splits_s" and len(place) > 1:
        return f"split_{place[1]}_m_s"
    return "_".join(str(part) for part in (place[1:] if place[0] == "shooting" and len(place) > 1 else place))


def _text(cell: str, comma: bool) -> str:
    return cell[1:] if re.match(rf"'+{_FORMULA}", cell) else cell


def _whole(cell: str, comma: bool) -> int:
    match = re.fullmatch(r"#?\s*(\d{1,9})(?:[.,]0+)?", cell)
    if match is None:
        raise WordError(f"{shown(cell)} is not a whole number; write it like 7")
    return int(match[1])


def _number(cell: str, comma: bool) -> float:
    match = re.fullmatch(r"(\d{1,9}(?:[.,]\d{1,20})?)\s*s?", cell)
    if match is None:
        raise WordError(f"{shown(cell)} is not a number; write it like {'1,85' if comma else '1.85'}")
    return float(_with_point(match[1], comma))


def _with_point(number: str, comma: bool) -> str:
    if "," in number and not comma:
        raise WordError(
            f"{shown(number)} has a comma, and commas part the cells here; write {number.replace(',', '.')}"
        )
    return number.replace(",", ".")


def _height(unit: str) -> Callable[[str, bool], float]:
    """How a height's cell is read under a heading with that unit, or with none."""

    def read(cell: str, comma: bool) -> float:
        text = re.sub("[’′]", "'", re.sub("[”″]|''", '"', _text(cell, comma)))
        bare = re.fullmatch(r"\d{1,9}(?:[.,]\d{1,20})?", text)
        feet = re.fullmatch(r"(\d)\s*(?:'|-|ft)\s*(\d{1,2}(?:[.,]\d+)?)", text)
        if bare is not None:
            height_cm = _bare_cm(float(_with_point(text, comma)), unit)
        else:
            height_cm = _length_cm(f"{feet[1]}'{feet[2]}\"" if feet else text)
        if not 100 <= height_cm <= 240:
            raise WordError(f"{shown(cell)} is no height of a player; write it like 172, 1.72 m or 5'9\"")
        return height_cm

    return read


def _length_cm(text: str) -> float:
    try:
        return round(100 * parse_length_m(text), 2)
    except WordError:
        return 0.0


def _bare_cm(number: float, unit: str) -> float:
    """A number without a unit: as the heading says, else metres or centimetres by its size (5.9 could be anything)."""
    if not unit:
        unit = "m" if number < 3 else "cm"
    return {"m": round(100 * number, 2), "cm": number, "in": round(2.54 * number, 2)}.get(unit, 0.0)


def _level(cell: str, comma: bool) -> str:
    return Level.parse(cell[:40]).value


def _yes(cell: str, comma: bool) -> bool:
    word = cell.casefold()
    if word in ("yes", "y", "x", "1", "true"):
        return True
    if word in ("no", "n", "0", "false"):
        return False
    raise WordError(f"{shown(cell)} is neither yes nor no; write yes or no")


_FORMULA: Final = "[=+\\-@＝＋－＠]"
"""Signs that make a spreadsheet take a cell for a formula, wide forms as well."""

_HEIGHTS: Final = {"": "", "cm": "cm", "m": "m", "ft": "ft", "ft in": "ft", "feet": "ft", "in": "in", "inches": "in"}
_COLUMNS: Final[dict[str, Column]] = {
    **dict.fromkeys(("name", "player", "player name"), Column(("name",), _text)),
    **dict.fromkeys(("number", "no", "no.", "nr", "#", "jersey", "shirt"), Column(("number",), _whole)),
    **{f"height {unit}".strip(): Column(("height_cm",), _height(kind)) for unit, kind in _HEIGHTS.items()},
    **dict.fromkeys(("level", "preset"), Column(("level",), _level)),
    **dict.fromkeys(("here", "available", "present"), Column(("here",), _yes)),
    **dict.fromkeys(("grade", "grade 1 5"), Column(("grade",), _whole)),
    "squad": Column(("squad",), _text),
    "squad level": Column(("squad_level",), _level),
}


# --- writing


def squad_to_csv(squad: Squad) -> str:
    """The squad as a comma-separated table, one row a player; `parse_squad` reads it back whole."""
    distances = sorted({distance_m for player in squad.players for distance_m in player.splits_s})
    zones = [zone for zone in Zone if any(zone in player.shooting for player in squad.players)]
    places: list[Where] = [("name",), ("number",), ("height_cm",), ("level",), ("here",), ("grade",)]
    places += [("splits_s", distance_text(distance_m)) for distance_m in distances]
    places += [("shooting", zone.value, word) for zone in zones for word in ("makes", "attempts")]
    places += [("squad",), ("squad_level",)]
    out = io.StringIO(newline="")
    writer = csv.writer(out)
    writer.writerow([_heading(place) for place in places])
    for player in squad.players or (None,):  # an empty squad still has a name
        row = player.model_dump(mode="json") if player else {}
        row |= {"squad": squad.name, "squad_level": squad.level.value}
        writer.writerow([_cell(row, place) for place in places])
    return out.getvalue()


def _cell(row: Any, place: Where) -> str:
    for part in place:
        row = row.get(part) if isinstance(row, dict) else None
    if isinstance(row, bool):
        return "yes" if row else "no"
    if isinstance(row, float):
        return distance_text(row)
    text = "" if row is None else str(row)
    return f"'{text}" if re.match(rf"'*{_FORMULA}", text) else text
