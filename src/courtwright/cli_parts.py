"""What the commands share: their usual arguments, reading files, refusing with words, showing how far it is."""

from __future__ import annotations

import json
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer
from rich.console import Console
from rich.progress import Progress

from courtwright.errors import CourtwrightError, DocumentError, Problem

if TYPE_CHECKING:
    from courtwright.game.document import Game
    from courtwright.squad import Squad

GameFile = Annotated[Path, typer.Argument(metavar="GAME", help="a game file, such as examples/low-mans-call.game.json")]
SquadFile = Annotated[Path, typer.Option("--squad", "-s", metavar="FILE", help="a squad file, CSV or JSON")]
Minutes = Annotated[float | None, typer.Option("--minutes", "-m", min=0.5, max=60, help="as the game says if left out")]
Seed = Annotated[int, typer.Option("--seed", min=0, max=2**53 - 1, help="the same seed gives the same answer")]
AsJson = Annotated[bool, typer.Option("--json", help="print JSON only")]
OutFile = Annotated[Path, typer.Option("--output", "-o", metavar="FILE", help="the file to write")]
VariantNumber = Annotated[int, typer.Option("--variant", min=0, help="a variant of the start; 0 is the plain one")]
StoreUrl = Annotated[str | None, typer.Option("--store", metavar="URL", help="a SQLite file or a database URL")]
Feet = Annotated[bool, typer.Option("--feet", help="lengths in feet and inches")]


def read_game(path: Path) -> Game:
    """Read a game file."""
    from courtwright.game.read import load_game

    return load_game(path)


def read_both(game: Path, squad: Path) -> tuple[Game, Squad]:
    """Both documents; if both are wrong, the problems of both."""
    from courtwright.squad import load_squad

    problems: list[Problem] = []
    loaded: list[Any] = []
    for path, load in ((game, read_game), (squad, load_squad)):
        try:
            loaded.append(load(path))
        except DocumentError as error:
            problems += [Problem(f"{path.name}, {item.place}", item.what, item.mend) for item in error.problems]
    if problems:
        raise DocumentError("input", problems)
    return loaded[0], loaded[1]


def known_variant(game: Game, variant: int) -> None:
    """Refuse a start the game does not have."""
    count = len(game.start.variants)
    if variant > count:
        mend = f"Use 0 to {count}." if count else "Leave --variant out."
        raise refusal("variant", f"{variant} is not in the game, which has {count}", mend)


def refusal(place: str, what: str, mend: str) -> DocumentError:
    """One thing that stops a command, with its mend."""
    return DocumentError(place, [Problem(place, what, mend)])


def write_whole(path: Path, content: bytes) -> None:
    """Write a file whole or not at all."""
    part = path.with_name(f".{path.name}.part")
    try:
        part.write_bytes(content)
        part.replace(path)
    except OSError as error:
        part.unlink(missing_ok=True)
        raise refusal(str(path), f"cannot be written ({error.strerror})", "Name another folder.") from None


def wrote(path: Path, as_json: bool) -> None:
    """Say what was written."""
    if as_json:
        print_json({"file": str(path), "size_bytes": path.stat().st_size})
    else:
        typer.echo(f"wrote {path}")


def print_json(data: Any) -> None:
    """Write one JSON document to standard output."""
    sys.stdout.write(json.dumps(data, indent=2, ensure_ascii=False) + "\n")


@contextmanager
def mended(as_json: bool) -> Iterator[None]:
    """Turn our own errors into problems for the reader and exit code 2."""
    try:
        yield
    except DocumentError as error:
        say_problems(error.problems, as_json)
        raise typer.Exit(2) from None
    except CourtwrightError as error:
        say_problems([Problem("", str(error), "")], as_json)
        raise typer.Exit(2) from None


def say_problems(problems: list[Problem], as_json: bool) -> None:
    """Name every problem, for people or for programs."""
    if as_json:
        print_json({"problems": [problem.to_json() for problem in problems]})
        return
    for problem in problems:
        typer.echo(str(problem) if problem.place else problem.what, err=True)


@contextmanager
def progress_bar(text: str, *, quiet: bool) -> Iterator[Callable[[int, int], None] | None]:
    """A bar on the error stream where somebody watches."""
    if quiet or not sys.stderr.isatty():
        yield None
        return
    with Progress(console=Console(stderr=True), transient=True) as bar:
        task = bar.add_task(text, total=None)
        yield lambda done, of: bar.update(task, completed=done, total=of)
