"""Commands about the games that come with the program: list them, take one out, grow a 1-on-1."""

from __future__ import annotations

import json
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer
from rich.console import Console
from rich.table import Table

from courtwright.cli_parts import AsJson, GameFile, OutFile, mended, print_json, read_game, refusal, write_whole, wrote

if TYPE_CHECKING:
    from courtwright.game.document import Game


def library(
    key: Annotated[str | None, typer.Argument(metavar="[KEY]", help="a game to write to a file")] = None,
    output: Annotated[Path | None, typer.Option("--output", "-o", metavar="FILE", help="the file to write")] = None,
    as_json: AsJson = False,
) -> None:
    """List the games that come with the program, or write one to a file."""
    from courtwright.game.library import library as games

    with mended(as_json):
        if (key is None) != (output is None):
            raise refusal("library", "needs both a key and a file to write one", "Give KEY and --output, or neither.")
        if key is not None and output is not None:
            if key not in games():
                raise refusal("library", f"has no game “{key}”", "See the keys with `courtwright library`.")
            _write(games()[key], output)
            wrote(output, as_json)
            return
    rows = [_row(name, game) for name, game in games().items()]
    if as_json:
        print_json({"games": rows})
        return
    table = Table(title=f"{len(rows)} games", title_justify="left")
    for heading in ("key", "name", "sides", ""):
        table.add_column(heading)
    for row in rows:
        sides = f"{row['offence']} on {row['defence']}"
        table.add_row(row["key"], row["name"], sides, "" if row["simulated"] else "drawn, not simulated")
    Console().print(table)


def _row(key: str, game: Game) -> dict[str, Any]:
    about = {"key": key, "name": game.name, "purpose": game.purpose, "simulated": not game.not_simulated}
    return about | {"offence": game.sides.offence, "defence": game.sides.defence}


def grow(
    game: GameFile,
    output: OutFile,
    side: Annotated[int, typer.Option("--side", "-k", min=2, max=5, help="players on each side")] = 3,
    as_json: AsJson = False,
) -> None:
    """Turn a 1-on-1 into 2-, 3-, 4- or 5-on-5: mates at open spots, helpers where their men put them."""
    from courtwright.game.grow import grow as grown

    with mended(as_json):
        _write(grown(read_game(game), side), output)
    wrote(output, as_json)


def _write(game: Game, path: Path) -> None:
    write_whole(path, f"{json.dumps(game.to_json(), indent=2, ensure_ascii=False)}\n".encode())


def add_to(app: typer.Typer) -> None:
    """Give the command line these commands."""
    for command in (library, grow):
        app.command()(command)
