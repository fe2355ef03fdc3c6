"""A reading as small tables of words, for a terminal: no number finer than it can be known."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any, NamedTuple

from courtwright.reading.sentences import metres


class WordTable(NamedTuple):
    """A title, a heading for each column, and the rows."""

    title: str
    head: tuple[str, ...]
    rows: Sequence[tuple[str, ...]]


def word_tables(data: dict[str, Any], *, chances: bool = True) -> Iterator[WordTable]:
    """The tables of a reading's JSON: passes, one for each helper, pauses.

    ``chances`` says whether to tell how often shots are made; not for those so young that nobody knows.
    """
    if data["passes"]:
        head = ("to", "gap at the shot", *(("made",) if chances else ()), "pass lost")
        yield WordTable("If the ball is passed now", head, [_pass(item, chances) for item in data["passes"]])
    for block in data["help"]:
        title = (
            f"If {block['helper']} leaves {block['man']}: points for the offence, alone and with the next man's help"
        )
        head = ("leaves", "at the rim", f"{block['man']} has", "alone", "rotated", "best")
        never = ("never", "", "", span_words(block["never"]["worth"]), "", _level(block["never"]["level"]))
        yield WordTable(title, head, [*map(_row, block["rows"]), never])
    if "pauses" in data:
        costs = [(f"{item['pause_s']:g} s", span_words(item["loss"])) for item in data["pauses"]]
        yield WordTable("If the holder waits", ("pause after the catch", "costs the offence"), costs)


def _pass(item: dict[str, Any], chances: bool) -> tuple[str, ...]:
    made = (percent_words(item["chance"]),) if chances else ()
    return (item["to"], f"about {metres(item['gap']['mean'])}", *made, percent_words(item["risk"]))


def _row(row: dict[str, Any]) -> tuple[str, ...]:
    gap = metres(row["left_gap"]["mean"])
    worths = span_words(row["worth"]), span_words(row["worth_rotated"])
    return (row["leaves"], row["in_time"], gap, *worths, _level(row["level"]))


def _level(is_level: bool) -> str:
    return "level" if is_level else ""


def span_words(estimate: dict[str, Any]) -> str:
    """A range in points, to the twentieth."""
    low, high = (f"{_twentieth(estimate[end]):.2f}".replace("-", "−") for end in ("low", "high"))
    return low if low == high else f"{low} to {high}"


def _twentieth(value: float) -> float:
    return round(value * 20) / 20 + 0.0  # no −0.00


def percent_words(estimate: dict[str, Any]) -> str:
    """A share as a range in whole per cent."""
    low, high = (round(100 * estimate[end]) for end in ("low", "high"))
    return f"{low} %" if low == high else f"{low} to {high} %"


def told(data: dict[str, Any]) -> Iterator[str]:
    """The sentences of a full reading, in the order in which a coach would ask."""
    said = data["sentences"]
    yield from (said[part] for part in ("shot", "passes", "drive"))
    for helper, sentence in said["help"].items():
        yield f"{sentence} {said['early'][helper]}"
    yield from (said[part] for part in ("never", "pause"))
