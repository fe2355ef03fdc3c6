"""What reading a game and reading a squad have in common."""

from __future__ import annotations

import datetime
from typing import Any

import pytest
from pydantic import Field

from courtwright.documents import MAX_PROBLEMS, Part, all_told, read_leniently, shown, up_to_date
from courtwright.errors import DocumentError, NewerFormatError, Problem


class Leaf(Part):
    size_m: float = Field(gt=0, lt=2)


class Tree(Part):
    name: str
    leaves: tuple[Leaf, ...] = ()
    best: Leaf | None = None
    planted: datetime.date | None = None


STEPS = {
    1: lambda data: data | {"format": "tree/2", "two": True},
    2: lambda data: data | {"format": "tree/3", "three": True},
}


def test_older_documents_take_every_step_up() -> None:
    assert up_to_date({"format": "tree/1"}, "tree/3", STEPS, "a") == {"format": "tree/3", "two": True, "three": True}
    assert up_to_date({"format": "tree/2"}, "tree/3", STEPS, "a") == {"format": "tree/3", "three": True}
    assert up_to_date({"format": "tree/3"}, "tree/3", STEPS, "a") == {"format": "tree/3"}


def test_newer_and_other_documents_are_refused() -> None:
    with pytest.raises(NewerFormatError):
        up_to_date({"format": "tree/4"}, "tree/3", STEPS, "a")
    for stated in ("tree", "tree/", "tree/x", "tree/01", "tree/-1", "trees/1", "tree/١", 3, ["tree/1"]):
        with pytest.raises(DocumentError, match="format: says"):
            up_to_date({"format": stated}, "tree/3", STEPS, "a")


@pytest.mark.parametrize(
    ("data", "left", "wrong"),
    [
        ({"name": "oak"}, {"name": "oak"}, []),
        ({}, {"name": "tree"}, [("name",)]),
        (
            {"name": "oak", "leaves": [{"size_m": "a", "x": 1}, {"size_m": 1}, {}, {"size_m": 0.5}]},
            {"name": "oak", "leaves": [{"size_m": 1}, {"size_m": 0.5}]},
            [("leaves", 0, "size_m"), ("leaves", 0, "x"), ("leaves", 2, "size_m")],
        ),
        ({"name": "oak", "best": {"size_m": 1, "x": 2}}, {"name": "oak", "best": {"size_m": 1}}, [("best", "x")]),
        ({"name": "oak", "best": {}}, {"name": "oak"}, [("best", "size_m")]),
        ({"name": "oak", "best": 3, "leaves": 4}, {"name": "oak"}, [("best",), ("leaves",)]),
        ({"name": 1, "x": 2}, {"name": "tree"}, [("name",), ("x",)]),
    ],
)
def test_what_is_wrong_is_left_out_and_the_rest_is_read(
    data: dict[str, Any], left: dict[str, Any], wrong: list[tuple[int | str, ...]]
) -> None:
    reading = read_leniently(Tree, data, {"name": "tree"})

    assert reading.value is not None
    assert reading.value.model_dump(exclude_unset=True, mode="json") == left
    assert sorted(map(str, (place for place, _, _ in reading.wrong))) == sorted(map(str, wrong))
    assert reading.unread == {place[0] for place in wrong}


def test_what_has_no_stand_in_leaves_nothing() -> None:
    reading = read_leniently(Tree, {"leaves": 3}, {})
    assert reading.value is None
    assert len(reading.wrong) == 2


@pytest.mark.parametrize(
    ("part", "what", "mend"),
    [
        ({"best": {"size_m": 0}}, "must be more than 0", "Write a number more than 0 and less than 2."),
        ({"best": {"size_m": 2}}, "must be less than 2", "Write a number more than 0 and less than 2."),
        ({"planted": "soon"}, "“soon” does not fit", "Correct it."),
    ],
)
def test_words_for_what_does_not_fit(part: dict[str, Any], what: str, mend: str) -> None:
    ((_, *said),) = read_leniently(Tree, {"name": "oak"} | part, {}).wrong
    assert said == [what, mend]


def test_a_file_of_thousands_of_problems_is_not_told_to_the_end() -> None:
    problems = [Problem(f"row {number}", "is wrong", "Mend it.") for number in range(1000)]

    assert all_told("a", problems[:MAX_PROBLEMS]).problems == problems[:MAX_PROBLEMS]
    told = all_told("a", problems).problems
    assert told[:-1] == problems[:MAX_PROBLEMS]
    assert told[-1].what == "has 800 more problems"


def test_wrong_values_are_shown_short() -> None:
    assert shown("x") == "“x”"
    assert shown([1, "Zoë", None]) == '“[1, "Zoë", null]”'
    assert shown("x" * 1000) == f"“{'x' * 40}…”"
