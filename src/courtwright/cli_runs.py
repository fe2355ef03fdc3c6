"""Commands about runs on the floor: which there are, what one came to, and its file in and out."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer
from rich.console import Console
from rich.table import Table

from courtwright.cli_parts import AsJson, mended, print_json, refusal, write_whole, wrote
from courtwright.vocabulary import Fact, format_clock

if TYPE_CHECKING:
    from courtwright.store import Store

StoreUrl = Annotated[str | None, typer.Option("--store", metavar="URL", help="a SQLite file or a PostgreSQL address")]
RunName = Annotated[
    str, typer.Argument(metavar="RUN", help="as “courtwright runs” lists it, or the path of a run's file")
]


def runs(store: StoreUrl = None, as_json: AsJson = False) -> None:
    """List the runs on the floor, newest first."""
    with mended(as_json), _opened(store) as club:
        rows = [_row(club, item) for item in club.runs.listed()]
    if as_json:
        print_json({"runs": rows})
        return
    table = Table("run", "game", "basket", "when", "facts", "possessions", "score", box=None)
    for row in rows:
        score = " : ".join(map(str, row["score"]))
        cells = (row["run"], row["game"], row["basket"], row["made_at"][:16], row["facts"], row["possessions"], score)
        table.add_row(*map(str, cells))
    Console().print(table if rows else "no run yet")


def run(
    name: RunName,
    output: Annotated[Path | None, typer.Option("--output", "-o", metavar="FILE", help="write its file")] = None,
    keep: Annotated[bool, typer.Option("--keep", help="take a run's file into the store")] = False,
    store: StoreUrl = None,
    as_json: AsJson = False,
) -> None:
    """Say what a run came to, from the store or from a file; write its file, or take one in."""
    from courtwright.live.log import ENDING, written

    with mended(as_json):
        if name.endswith(ENDING):
            opening, facts = _from_file(Path(name), keep, store)
        else:
            if keep:
                raise refusal("--keep", "needs a run's file", f"Name a file that ends in {ENDING}.")
            with _opened(store) as club:
                opening, facts = club.runs.opening(name), [Fact.from_json(row) for row in club.runs.since(name).facts]
        if output is not None:
            write_whole(output, written(opening, facts).encode())
            wrote(output, as_json)
            return
        state = _folded(opening, facts)
    if as_json:
        print_json(state)
        return
    _say(opening, state)


def _folded(opening: dict[str, Any], facts: Iterable[Fact]) -> dict[str, Any]:
    from courtwright.live import fold

    return fold(opening, facts).to_json()


def _opened(store: str | None) -> Store:
    from courtwright.store import Store

    return Store.open(store)


def _row(club: Store, item: Any) -> dict[str, Any]:
    state = _folded(club.runs.opening(item.run), map(Fact.from_json, club.runs.since(item.run).facts))
    return {
        "run": item.run,
        "game": item.name,
        "basket": item.basket,
        "made_at": item.made_at,
        "facts": item.facts,
        "possessions": len(state["possessions"]),
        "score": state["score"],
    }


def _from_file(path: Path, keep: bool, store: str | None) -> tuple[dict[str, Any], list[Fact]]:
    from courtwright.documents import read_bytes
    from courtwright.live.log import read_log

    opening, facts = read_log(read_bytes(path), str(path))
    if keep:
        with _opened(store) as club:
            club.runs.add(opening, facts)
    return opening.to_json(), facts


def _say(opening: dict[str, Any], state: dict[str, Any]) -> None:
    from courtwright.live.shown import score_of

    score = ", ".join(f"{who} {points}" for who, points in zip(score_of(opening), state["score"], strict=True))
    played = format_clock(state["clock"]["played_ms"] / 1000)
    typer.echo(f"{state['game']['name']} · {opening['basket']} · {len(state['possessions'])} possessions · {played}")
    typer.echo(score)
    table = Table("player", "attack", "defence", "points", "called", box=None)
    for name in sorted(state["turns"]):
        turns = state["turns"][name]
        called = ", ".join(f"{what} {count}" for what, count in state["players"].get(name, {}).items())
        points = state["player_points"].get(name, 0)
        table.add_row(name, str(turns["offence"]), str(turns["defence"]), str(points), called)
    Console().print(table)
    calls = [call for one in state["possessions"] for call in one["calls"]]
    unsettled = sum(len(one["unsettled"]) for one in state["possessions"]) + sum(
        bool(call["disputes"]) for call in calls
    )
    if unsettled:
        typer.echo(f"{unsettled} to look at: devices differ, or something was called after the end.")


def add_to(app: typer.Typer) -> None:
    """Give the command line these commands."""
    for command in (runs, run):
        app.command()(command)
