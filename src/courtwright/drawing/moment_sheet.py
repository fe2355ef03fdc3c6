"""A moment and its reading on one printed page."""

from __future__ import annotations

from typing import Any, Final

from courtwright.drawing.moment import Row, draw_moment
from courtwright.drawing.moment_words import moment_twin, say_about
from courtwright.drawing.paper import page_source, printed
from courtwright.game.moment import Moment
from courtwright.reading import Reading, more_json, quick_json, timeline
from courtwright.reading.tables import percent_words

CAUTION: Final = (
    "Worked out from a few equations and figures most of which are estimates, above all for the young. "
    "A range holds 8 of 10 sets of figures; what could go either way is not decided here."
)
LEVELS: Final = tuple(
    {"size": size, "helpers": helpers}
    for size, helpers in ((10.5, 16), (9.5, 16), (8.5, 16), (8.5, 6), (8.5, 4), (8.5, 2), (8.5, 0))
)
"""Ever tighter pages: smaller letters, then fewer helpers."""
Bar = dict[str, float]


def moment_sheet(
    moment: Moment,
    reading: Reading,
    *,
    row: Row | None = None,
    whose: str = "",
    known: frozenset[str] = frozenset(),
    chances: bool = True,
    feet: bool = False,
) -> bytes:
    """One A4 page as PDF: the drawing with one row of the help table, every table, what it says, room for notes.

    Parameters
    ----------
    whose
        Whose figures stood in: a level, a squad.
    known
        Figures whose threes were tested.
    chances
        Whether to print how often shots are made; not for those so young that nobody knows.
    """
    svg = draw_moment(moment, reading=reading, row=row, feet=feet, theme="print")
    data = _page(moment, reading, row, whose, known, chances, feet)
    return printed(*page_source("moment.typ", data, svg))


def _page(
    moment: Moment,
    reading: Reading,
    row: Row | None,
    whose: str,
    known: frozenset[str],
    chances: bool,
    feet: bool,
) -> dict[str, Any]:
    """Everything on the page, as plain data for the typesetter."""
    quick, more = quick_json(reading), more_json(reading, known=known)
    played = timeline(reading, *(row or ()))
    scale = _scale(quick["help"])
    low, high = (f"{part:.2f}".replace("-", "−") for part in scale)
    sentences, sides = quick["sentences"] | more["sentences"], f"{len(moment.attackers)} on {len(moment.defenders)}"
    return {
        "name": moment.name,
        "squad": whose,
        "about": [sides, f"{moment.floor.name} half court", quick["unit"]],
        "purpose": moment.cue,
        "alt": moment_twin(moment, played, feet=feet),
        "legend": _legend(row, moment),
        "said": [sentences[part] for part in ("shot", "passes", "drive", "never", "pause")],
        "passes": [_pass(item, chances, feet) for item in quick["passes"]],
        "help": [_help(block, sentences, scale, feet) for block in quick["help"]],
        "bars": f"Bars: {quick['unit']}, from {low} to {high}. Thick: about level with the best choice. "
        "Rotated: the next defender takes the man who was left.",
        "caution": CAUTION,
        "levels": LEVELS,
        "foot": f"Courtwright · moment {moment.hash[:8]} · {quick['parameter_sets']} parameter sets · "
        f"{moment.floor.name} lines to scale",
    }


def _legend(row: Row | None, moment: Moment) -> list[str]:
    """What the marks of this drawing mean."""
    helper, cue = row or (None, "never")
    when = cue if cue.startswith("when") else f"on {cue}"
    shown = f"shown: {helper} leaves {when}" if helper and cue != "never" else "shown: nobody helps"
    marks = ["circle: attacks", "cross: defends", "dot: ball", "zigzag: dribble", "dashed: pass"]
    moves = any(any(item.moving_m_per_s) for item in moment.figures)
    return [*marks, *(["arrow: moves"] if moves else []), "pale cross: at the shot", shown]


def _pass(item: dict[str, Any], chances: bool, feet: bool) -> dict[str, str]:
    return {
        "to": item["to"],
        "gap": say_about(item["gap"]["mean"], feet=feet),
        "chance": percent_words(item["chance"]) if chances else "not known",
        "risk": percent_words(item["risk"]),
    }


def _help(block: dict[str, Any], sentences: dict[str, Any], scale: tuple[float, float], feet: bool) -> dict[str, Any]:
    rows = [
        {
            "leaves": row["leaves"],
            "in_time": row["in_time"],
            "left": say_about(row["left_gap"]["mean"], feet=feet).removeprefix("about "),
            "alone": _bar(row["worth"], scale),
            "rotated": _bar(row["worth_rotated"], scale),
            "level": row["level"],
            "level_rotated": row["level_rotated"],
        }
        for row in block["rows"]
    ]
    never = {"leaves": "never", "in_time": "", "left": "", "alone": _bar(block["never"]["worth"], scale)}
    rows.append(never | {"rotated": None, "level": block["never"]["level"], "level_rotated": False})
    said = [sentences["help"][block["helper"]], sentences["early"][block["helper"]]]
    return {"helper": block["helper"], "man": block["man"], "rows": rows, "said": said}


def _scale(help_blocks: list[dict[str, Any]]) -> tuple[float, float]:
    """From the lowest to the highest end of any range on the page, to the twentieth of a point."""
    rows = [row for block in help_blocks for row in (*block["rows"], block["never"])]
    worths = [row[kind] for row in rows for kind in ("worth", "worth_rotated") if kind in row]
    ends = [end for worth in worths for end in (worth["low"], worth["high"])] or [0.0, 1.0]
    low, high = int(20 * min(ends) - (min(ends) < 0)) / 20, int(20 * max(ends) + (max(ends) > 0)) / 20
    return low, max(high, low + 0.05)


def _bar(worth: dict[str, Any], scale: tuple[float, float]) -> Bar:
    """A range as shares of the page's scale."""
    low, high = scale
    return {"from": (worth["low"] - low) / (high - low), "to": (worth["high"] - low) / (high - low)}
