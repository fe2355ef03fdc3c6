"""Commands that ask something of trials: two versions compared, one setting swept, one possession played again."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer
from rich.console import Console
from rich.table import Table

from courtwright.cli_parts import (
    AsJson,
    GameFile,
    Minutes,
    Seed,
    SquadFile,
    mended,
    print_json,
    progress_bar,
    read_both,
    read_game,
    refusal,
    write_whole,
    wrote,
)

if TYPE_CHECKING:
    from courtwright.answers import Replay, Value

Threads = Annotated[int, typer.Option(min=1, max=64, help="for time; never changes the result")]
OtherFile = Annotated[Path, typer.Argument(metavar="OTHER", help="the other version of the game")]


def compare(
    game: GameFile,
    other: OtherFile,
    squad: SquadFile,
    minutes: Minutes = None,
    runs: Annotated[int, typer.Option("--runs", "-n", min=2, max=100_000, help="dry runs of each")] = 500,
    seed: Seed = 0,
    threads: Threads = 2,
    as_json: AsJson = False,
) -> None:
    """Try two versions of a game on the same random numbers and say what moved."""
    with mended(as_json), progress_bar("dry runs of both", quiet=as_json) as progress:
        from courtwright.answers import compare_games

        first, people = read_both(game, squad)
        second = read_game(other)
        result = compare_games(
            first, second, people, minutes=minutes, runs=runs, seed=seed, threads=threads, progress=progress
        )
    data = result.to_json()
    if as_json:
        print_json(data)
        return
    _say_table(
        f"{data['first']['game']} → {data['second']['game']} · {data['minutes']:g} min · {runs} runs of each",
        ("", "first", "second", "change, 19 of 20", "", ""),
        [
            (row["text"], f"{row['first']:.2f}", f"{row['second']:.2f}", _change(row), row["unit"], row["verdict"])
            for row in data["differences"]
        ],
    )
    _say([*data["sentences"], data["note"]])


def sweep(
    game: GameFile,
    squad: SquadFile,
    setting: Annotated[str, typer.Option("--set", metavar="NAME", help="dribbles, “gap X1”, /ending/reset_s …")],
    values: Annotated[str | None, typer.Option(metavar="A,B,C", help="the values; usual ones if left out")] = None,
    first: Annotated[float | None, typer.Option("--from", help="instead: from here …")] = None,
    last: Annotated[float | None, typer.Option("--to", help="… to here")] = None,
    steps: Annotated[int, typer.Option(min=2, max=12, help="… in so many values")] = 5,
    measure: Annotated[str, typer.Option(help="what is looked at, such as help_drawn")] = "points",
    minutes: Minutes = None,
    runs: Annotated[int, typer.Option("--runs", "-n", min=2, max=10_000, help="dry runs of each value")] = 200,
    seed: Seed = 0,
    threads: Threads = 2,
    as_json: AsJson = False,
) -> None:
    """Try a game with one setting over its values and say how a measure follows."""
    with mended(as_json), progress_bar("dry runs of all values", quiet=as_json) as progress:
        from courtwright.answers import sweep_setting

        document, people = read_both(game, squad)
        asked = _values(document, setting, values, first, last, steps)
        result = sweep_setting(
            document, people, setting, asked, measure=measure, minutes=minutes, runs=runs, seed=seed,
            threads=threads, progress=progress,
        )  # fmt: skip
    data = result.to_json()
    if as_json:
        print_json(data)
        return
    _say_table(
        f"{data['game']} · {data['measure']['text']} by {data['setting']['text']}",
        (data["setting"]["unit"] or data["setting"]["key"], "mean", "8 of 10", "against now"),
        [(_said(row["value"]), *_cells(row), row["verdict"] or "now") for row in data["points"]],
    )
    _say([*data["sentences"], data["note"]])


def _values(game: Any, setting: str, values: str | None, first: float | None, last: float | None, steps: int) -> Any:
    """The values as they were asked for."""
    from courtwright.answers import even_values, setting_of

    if values is not None and (first is not None or last is not None):
        raise refusal("values", "are given both as a list and from … to", "Leave one of them out.")
    if (first is None) != (last is None):
        raise refusal("values", "have one end only", "Give both --from and --to.")
    if first is not None and last is not None:
        return even_values(first, last, steps)
    if values is not None:
        return [_number(part.strip()) for part in values.split(",") if part.strip()]
    return setting_of(game, setting).usual()


def _number(text: str) -> Value:
    try:
        return float(text)
    except ValueError:
        return text


def replay(
    game: GameFile,
    squad: SquadFile,
    run: Annotated[int | None, typer.Option(min=1, help="which run of the trial")] = None,
    possession: Annotated[int | None, typer.Option(min=1, help="which possession of that run")] = None,
    want: Annotated[str, typer.Option(help="instead: usual, help, kick-out, basket, rebound, turnover …")] = "usual",
    minutes: Minutes = None,
    seed: Seed = 0,
    output: Annotated[
        Path | None, typer.Option("--output", "-o", metavar="FILE", help="also write it as a picture: gif or webp")
    ] = None,
    as_json: AsJson = False,
) -> None:
    """Play one possession of a trial again and say what was weighed at each decision."""
    with mended(as_json), progress_bar("the possession", quiet=as_json):
        document, people = read_both(game, squad)
        if (run is None) != (possession is None):
            raise refusal("replay", "needs a run and a possession", "Give both --run and --possession, or --want.")
        from courtwright.answers import find_possession, replay_possession

        if run is not None and possession is not None:
            found = replay_possession(document, people, run=run, possession=possession, minutes=minutes, seed=seed)
        else:
            found = find_possession(document, people, want, minutes=minutes, seed=seed)
        if output is not None:
            write_whole(output, _picture(found, output))
    if as_json:
        print_json(found.to_json())
        return
    _say_replay(found)
    if output is not None:
        wrote(output, as_json)


def _picture(found: Replay, output: Path) -> bytes:
    from courtwright.drawing.animation import animate

    if output.suffix not in (".gif", ".webp"):
        raise refusal(str(output), "is neither .gif nor .webp", "Name the file with one of the two.")
    return animate(found.even(), format="gif" if output.suffix == ".gif" else "webp")


def _say_replay(found: Replay) -> None:
    numbers = f"run {found.played.run + 1}, possession {found.played.possession + 1}"
    names = " · ".join(f"{figure} {name}" for figure, name in found.players.items())
    _say([f"{found.game.name} · {numbers}", names, found.sentence()])
    weighed = {decision.t_s: decision for decision in found.decisions}
    for event in found.events:
        typer.echo(f"{event.t_s:5.1f} s  {event.text}")
        if decision := weighed.pop(event.t_s, None):
            typer.echo(f"         weighed: {'; '.join(map(_option, decision.options))}")


def _option(option: Any) -> str:
    mark = " ←" if option.chosen else ""
    return f"{option.text} {option.worth_points:+.2f} ({100 * option.chance:.0f} %){mark}"


# --- how answers are said


def _say(lines: list[str]) -> None:
    for line in lines:
        typer.echo(line)


def _say_table(title: str, heads: tuple[str, ...], rows: list[tuple[str, ...]]) -> None:
    table = Table(title=title, title_justify="left")
    for number, head in enumerate(heads):
        table.add_column(head, justify="right" if 0 < number < 4 else "left")
    for row in rows:
        table.add_row(*row)
    Console().print(table)


def _change(row: dict[str, Any]) -> str:
    if row["low"] is None:
        return "too few runs"
    return f"{row['low']:+.2f} to {row['high']:+.2f}"


def _cells(row: dict[str, Any]) -> tuple[str, str]:
    if row["mean"] is None:
        return "", "too few to say"
    return f"{row['mean']:.2f}", "" if row["low"] is None else f"{row['low']:.2f} to {row['high']:.2f}"


def _said(value: Value) -> str:
    return value if isinstance(value, str) else f"{value:g}"


def add_to(app: typer.Typer) -> None:
    """Add these commands."""
    for command in (compare, sweep, replay):
        app.command()(command)
