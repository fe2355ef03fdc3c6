"""The command about many runs: what a group, or one player, got out of them."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from courtwright.cli_parts import AsJson, mended, print_json, refusal
from courtwright.errors import DocumentError, Problem
from courtwright.vocabulary import Fact

if TYPE_CHECKING:
    from courtwright.review.events import Log

Player = Annotated[str | None, typer.Option("--player", metavar="NAME", help="only this player's own numbers")]
Between = Annotated[
    tuple[str, str] | None,
    typer.Option("--between", metavar="NAME NAME", help="which of two does better, where it can be told"),
]


def review(
    files: Annotated[list[Path], typer.Argument(metavar="RUNFILE...", help="run files, in any order")],
    player: Player = None,
    between: Between = None,
    as_json: AsJson = False,
) -> None:
    """Say what many runs come to: how much was told, what stands out from chance, rates with their ranges."""
    with mended(as_json):
        page = _page(_log(files), player, between)
    if as_json:
        print_json(page)
        return
    for line in page["sentences"]:
        typer.echo(line)


def _page(log: Log, player: str | None, between: tuple[str, str] | None) -> dict[str, Any]:
    from courtwright.review.pages import group_page, order_of_two, player_page

    if between is None:
        return group_page(log) if player is None else player_page(log, player)
    if player is not None:
        raise refusal("--player", "and --between are two questions", "Ask one at a time.")
    orders, lines = order_of_two(log, *between)
    told = [
        {"side": one.side.value, "probability": round(one.probability, 3), "ahead": one.ahead or None} for one in orders
    ]
    return {"one": between[0], "other": between[1], "orders": told, "sentences": lines}


def _log(files: list[Path]) -> Log:
    """All runs; a run told in several files is one run. Every file's problems are named."""
    from courtwright.documents import read_bytes
    from courtwright.live import fold
    from courtwright.live.log import read_log
    from courtwright.review.rows import run_rows
    from courtwright.review.season import season

    openings: dict[str, dict[str, Any]] = {}
    facts: dict[str, list[Fact]] = {}
    problems: list[Problem] = []
    for path in files:
        try:
            opening, told = read_log(read_bytes(path), str(path))
        except DocumentError as error:
            problems += [Problem(f"{path.name}, {item.place}", item.what, item.mend) for item in error.problems]
            continue
        openings.setdefault(opening.run, opening.to_json())
        facts.setdefault(opening.run, []).extend(told)
    if problems:
        raise DocumentError("runs", problems)
    return season(run_rows(fold(openings[run], facts[run])) for run in openings)


def add_to(app: typer.Typer) -> None:
    """Give the command line this command."""
    app.command()(review)
