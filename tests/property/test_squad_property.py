"""What must hold for every squad, and for every text that is none."""

from __future__ import annotations

import csv
import io
import json
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from tests.strategies import JSON, squads

from courtwright.errors import DocumentError
from courtwright.squad import Squad, assumptions, load_squad, parse_squad, squad_from_json, squad_to_csv
from courtwright.squad.demo import DEMO_SQUAD


def check_told(error: DocumentError) -> None:
    """Each problem has its place, its words and a mend."""
    assert all(problem.place and problem.what and problem.mend for problem in error.problems)


@given(squads())
def test_squad_to_csv_to_squad(tmp_path_factory: pytest.TempPathFactory, squad: Squad) -> None:
    path = tmp_path_factory.mktemp("squads") / "squad.csv"
    path.write_text(squad_to_csv(squad), "utf-8-sig", newline="")

    again = load_squad(path)

    assert again == squad
    assert again.hash == squad.hash


@given(squads())
def test_squad_to_json_to_squad(squad: Squad) -> None:
    assert parse_squad(json.dumps(squad.to_json())) == squad
    assert (
        parse_squad(squad.model_dump_json(exclude_defaults=True)[:-1] + ', "format": "courtwright.squad/1"}') == squad
    )


@given(squads(), squads())
def test_hash_names_the_content(one: Squad, other: Squad) -> None:
    assert (one.hash == other.hash) == (one == other)


@given(squads(), st.sampled_from([";", "\t"]))
def test_other_separators_and_decimal_commas(squad: Squad, separator: str) -> None:
    rows = list(csv.reader(io.StringIO(squad_to_csv(squad), newline="")))
    decimal = {index for index, title in enumerate(rows[0]) if title == "height_cm" or title.startswith("split_")}
    out = io.StringIO(newline="")
    writer = csv.writer(out, delimiter=separator)
    for row in rows:
        writer.writerow([cell.replace(".", ",") if index in decimal else cell for index, cell in enumerate(row)])

    assert parse_squad(out.getvalue()) == squad


@given(squads())
def test_no_cell_is_a_formula(squad: Squad) -> None:
    for row in csv.reader(io.StringIO(squad_to_csv(squad), newline="")):
        assert not any(cell.startswith(("=", "+", "-", "@", "\t", "\r")) for cell in row)


@given(squads())
def test_assumptions_are_few_plain_sentences(squad: Squad) -> None:
    said = assumptions(squad)
    assert len(said) <= 15
    assert all(sentence.endswith(".") for sentence in said)
    assert (said == []) == (not squad.players)


@given(st.binary() | st.text())
def test_any_text_is_read_or_refused_with_a_document_error(raw: str | bytes) -> None:
    try:
        squad = parse_squad(raw)
    except DocumentError as error:
        check_told(error)
    else:
        assert parse_squad(squad_to_csv(squad)) == squad


CELLS = st.sampled_from(["name", "height", "10 m", "rim makes", "here", "5'9\"", "1,85", "=1", "'", '"', "x", ""])


@given(st.lists(st.lists(CELLS | st.text(max_size=5), max_size=5), max_size=5), st.sampled_from(",;\t"))
def test_any_table_is_read_or_refused_with_a_document_error(rows: list[list[str]], separator: str) -> None:
    out = io.StringIO(newline="")
    csv.writer(out, delimiter=separator).writerows([["name", "height", "10 m", "rim makes", "here"], *rows])
    try:
        squad = parse_squad(out.getvalue())
    except DocumentError as error:
        check_told(error)
    else:
        assert parse_squad(squad_to_csv(squad)) == squad


@given(st.data())
def test_garbage_in_a_squad_never_crashes_and_never_passes(data: st.DataObject) -> None:
    squad: dict[str, Any] = DEMO_SQUAD.to_json()
    part: Any = data.draw(st.sampled_from([squad, squad["players"][0], squad["players"][0]["shooting"]]))
    part[data.draw(st.sampled_from([*part, "other"]))] = data.draw(JSON)
    try:
        read = squad_from_json(squad)
    except DocumentError as error:
        check_told(error)
    else:
        assert parse_squad(squad_to_csv(read)) == read
