"""The command line. Every command takes ``--json``; exit code 2 means that the input needs mending.

Commands load what they need when they run, so that ``--help`` stays quick.
"""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any, Final, Literal

import typer
from rich.console import Console
from rich.table import Table

from courtwright import (
    __version__,
    cli_answers,
    cli_calibrate,
    cli_devices,
    cli_keep,
    cli_library,
    cli_review,
    cli_rota,
    cli_runs,
)
from courtwright.cli_parts import (
    AsJson,
    Feet,
    GameFile,
    Minutes,
    OutFile,
    Seed,
    SquadFile,
    VariantNumber,
    known_variant,
    mended,
    print_json,
    progress_bar,
    read_both,
    read_game,
    refusal,
    write_whole,
    wrote,
)
from courtwright.errors import DocumentError, Problem
from courtwright.vocabulary import Level

if TYPE_CHECKING:
    from courtwright.game.document import Game
    from courtwright.game.moment import Moment
    from courtwright.reading import Reading
    from courtwright.reading.people import People
    from courtwright.rota import Rota
    from courtwright.squad import Squad
    from courtwright.trial import TrialResult

app: Final = typer.Typer(
    help="Design, foresee, plan and run small-sided basketball games.",
    no_args_is_help=True,
    add_completion=False,
    pretty_exceptions_enable=False,
)

Points = Literal["game", "plain"]


def _version(asked: bool) -> None:
    if asked:
        typer.echo(f"courtwright {__version__}")
        raise typer.Exit


@app.callback()
def courtwright(
    _: Annotated[
        bool, typer.Option("--version", callback=_version, is_eager=True, help="say the version and stop")
    ] = False,
) -> None:
    """Design, foresee, plan and run small-sided basketball games."""


@app.command()
def serve(
    host: Annotated[
        str, typer.Option(help="where to listen; other than 127.0.0.1 or ::1 only with --lan")
    ] = "127.0.0.1",
    port: Annotated[int, typer.Option(min=0, max=65535, help="the next free one is used if it is taken")] = 8720,
    store: Annotated[str | None, typer.Option(metavar="URL", help="a SQLite file or a database URL")] = None,
    open_browser: Annotated[bool, typer.Option("--open/--no-open", help="open the page in the browser")] = True,
    lan: Annotated[bool, typer.Option("--lan", help="let devices in the network in that join with a code")] = False,
    certificate: Annotated[Path | None, typer.Option(metavar="FILE", help="for https: a certificate, PEM")] = None,
    key: Annotated[Path | None, typer.Option(metavar="FILE", help="for https: its key, PEM, no password")] = None,
    as_json: AsJson = False,
) -> None:
    """Start the app in the browser."""
    from courtwright.web.serve import serve as run

    with mended(as_json):
        run(host, port, store, open_browser, lan=lan, certificate=certificate, key=key)


@app.command()
def check(
    files: Annotated[list[Path], typer.Argument(metavar="FILE...", help="game, moment and squad files")],
    as_json: AsJson = False,
) -> None:
    """Look through game, moment and squad files and name every problem with its place and mend."""
    reports = [_check_one(path) for path in files]
    if as_json:
        print_json({"files": reports})
    else:
        for report in reports:
            _say_report(report)
    if any(report["problems"] for report in reports):
        raise typer.Exit(2)


def _check_one(path: Path) -> dict[str, Any]:
    try:
        document = _load_any(path)
    except DocumentError as error:
        return {"file": str(path), "problems": [problem.to_json() for problem in error.problems]}
    named = {"name": document.name, "format": document.format, "hash": document.hash}
    return {"file": str(path), "problems": [problem.to_json() for problem in _loose(document)], **named}


def _loose(document: Game | Moment | Squad) -> list[Problem]:
    from courtwright.game.document import Game
    from courtwright.game.read import loose_ends

    return loose_ends(document) if isinstance(document, Game) else []


def _load_any(path: Path) -> Game | Moment | Squad:
    """A game or a moment where the file says so, else a squad (which may be a table without a format)."""
    from courtwright.game.moment import load_moment
    from courtwright.game.read import load_game
    from courtwright.squad import load_squad

    if _says(path, "moment"):
        return load_moment(path)
    return load_game(path) if _says(path, "game") else load_squad(path)


def _says(path: Path, kind: str) -> bool:
    """Whether a file says that it is a game, or a moment."""
    try:
        head = path.read_bytes()[:100_000]
    except OSError:
        head = b""
    return f'"courtwright.{kind}/'.encode() in head or path.name.endswith(f".{kind}.json")


def _say_report(report: dict[str, Any]) -> None:
    problems = report["problems"]
    if not problems:
        typer.echo(f"{report['file']}: {report['name']}, all in order")
        return
    typer.echo(f"{report['file']}: {len(problems)} problem{'s' if len(problems) > 1 else ''}", err=True)
    for problem in problems:
        typer.echo(f"  {problem['place']}: {problem['what']}. {problem['mend']}", err=True)


@app.command()
def trial(
    game: GameFile,
    squad: SquadFile,
    minutes: Minutes = None,
    runs: Annotated[int, typer.Option("--runs", "-n", min=1, max=100_000, help="dry runs")] = 500,
    seed: Seed = 0,
    threads: Annotated[int, typer.Option(min=1, max=64, help="for time; never changes the result")] = 2,
    as_json: AsJson = False,
) -> None:
    """Play dry runs of a game with a squad and say what they bring."""
    from courtwright.rota import minutes_of, rota_for

    with mended(as_json):
        played, people = read_both(game, squad)
        planned = rota_for(played, people, minutes, seed)
        result = _play(played, people, planned, minutes_of(played, minutes), runs, seed, threads, quiet=as_json)
    if as_json:
        print_json(result.to_json())
    else:
        _say_trial(result)


def _play(
    game: Game, squad: Squad, rota: Rota, minutes: float, runs: int, seed: int, threads: int, *, quiet: bool
) -> TrialResult:
    with progress_bar("dry runs", quiet=quiet) as progress:
        from courtwright.trial import run_trial

        return run_trial(
            game, squad, rota.arrays(), minutes=minutes, runs=runs, seed=seed, threads=threads, progress=progress
        )


def _say_trial(result: TrialResult) -> None:
    data = result.to_json()
    table = Table(title=f"{data['game']} · {data['minutes']:g} min · {data['runs']} runs", title_justify="left")
    for heading, side in (("", "left"), ("mean", "right"), ("8 of 10 runs", "right"), ("", "left")):
        table.add_column(heading, justify="right" if side == "right" else "left")
    for row in [*data["measures"], *({"text": f"points, {score['team']}", **score} for score in data["scores"])]:
        table.add_row(row["text"], *_cells(row), row["unit"])
    console = Console()
    console.print(table)
    for sentence in [*data["sentences"], *(f"Left to your eye: {text}." for text in data["left_to_the_eye"])]:
        typer.echo(sentence)
    typer.echo(data["model"]["note"])


def _cells(row: dict[str, Any]) -> tuple[str, str]:
    if row["mean"] is None:
        return "", "too few to say"
    return f"{row['mean']:.2f}", f"{row['low']:.2f} to {row['high']:.2f}"


@app.command()
def read(
    file: Annotated[Path, typer.Argument(metavar="FILE", help="a game file, read at its start, or a moment file")],
    preset: Annotated[Level | None, typer.Option(help="the level of everyone; U16 if left out")] = None,
    squad: Annotated[Path | None, typer.Option("--squad", "-s", metavar="FILE", help="players, in their order")] = None,
    player: Annotated[list[str] | None, typer.Option(metavar="FIGURE=NAME", help="who stands there instead")] = None,
    points: Annotated[Points | None, typer.Option(help="the game's points, or plain twos and threes")] = None,
    variant: VariantNumber = 0,
    helper: Annotated[str | None, typer.Option(metavar="FIGURE", help="whose help to draw, such as X2")] = None,
    cue: Annotated[str, typer.Option(help="when he leaves: dribble 1, 2 or 3, when beaten, never")] = "never",
    output: Annotated[
        Path | None, typer.Option("--output", "-o", metavar="FILE", help="also draw it: svg, png, pdf, gif or webp")
    ] = None,
    feet: Feet = False,
    as_json: AsJson = False,
) -> None:
    """Read a frozen moment: gaps, when help is in time, what waiting costs."""
    with mended(as_json), progress_bar("reading", quiet=as_json):
        from courtwright.reading import SETS_RELEASED, full_json, read_moment, without_chances

        moment, game = _moment_and_game(file, variant, points)
        people = _people(moment, squad, player, preset)
        level = people.level if people else preset or Level.U16
        bodies = people.bodies(moment, SETS_RELEASED) if people else None
        reading = read_moment(moment, level=level, game=game, bodies=bodies)
        names = dict(people.names) if people else {}
        data = full_json(reading, known=people.known if people else ())
        data |= {"level": level.value, "players": names}
        if output is not None:
            write_whole(output, _shown(reading, output, (helper, cue), people, level, feet))
    if as_json:
        print_json(without_chances(data) if level is Level.U12 else data)
        return
    _say_reading(data, level)
    if output is not None:
        wrote(output, as_json)


def _moment_and_game(path: Path, variant: int, points: Points | None) -> tuple[Moment, Game | None]:
    """The moment, and the game in whose points it is read."""
    from courtwright.game.moment import load_moment, moment_from_json, moment_of

    if _says(path, "moment"):
        if variant:
            raise refusal("variant", "a moment has none", "Leave --variant out.")
        if points == "game":
            mend = "Leave --points out, or read the game's own file."
            raise refusal("points", "a moment file names no game, and so no points but plain ones", mend)
        return load_moment(path), None
    game = read_game(path)
    known_variant(game, variant)
    start = moment_of(game, variant - 1 if variant else None)
    return moment_from_json(start.to_json(), source=path.name), None if points == "plain" else game


def _people(moment: Moment, squad: Path | None, player: list[str] | None, preset: Level | None) -> People | None:
    """Who stands where: as said, else those who are here in their order, attackers first."""
    from courtwright.reading.people import People, first_here
    from courtwright.squad import load_squad

    if squad is None:
        if player:
            raise refusal("player", "is named, but no squad", "Add --squad FILE.")
        return None
    if preset is not None:
        raise refusal("preset", "is named beside a squad, which has its own level", "Leave one of them out.")
    squad_ = load_squad(squad)
    pairs = [text.partition("=") for text in player or []]
    for figure, equals, name in pairs:
        if not (figure and equals and name):
            raise refusal("player", f"“{figure}” is not FIGURE=NAME", "Write it as 1=Ada.")
    names = {figure: name for figure, _, name in pairs} or first_here(moment, squad_)
    return People(squad_, squad_.level, names)


def _say_reading(data: dict[str, Any], level: Level) -> None:
    from courtwright.reading.tables import told, word_tables

    console = Console()
    typer.echo(f"{data['moment']} · {level} preset · {data['unit']}")
    if data["players"]:
        typer.echo(" · ".join(f"{figure} {name}" for figure, name in data["players"].items()))
    for words in word_tables(data, chances=level is not Level.U12):
        table = Table(title=words.title, title_justify="left")
        for heading in words.head:
            table.add_column(heading)
        for row in words.rows:
            table.add_row(*row)
        console.print(table)
    for sentence in told(data):
        typer.echo(sentence)
    typer.echo("Most figures are estimates, above all for the young; ranges hold 8 of 10 sets of them.")


def _shown(
    reading: Reading, output: Path, row: tuple[str | None, str], people: People | None, level: Level, feet: bool
) -> bytes:
    """The moment as the kind of file that is asked for."""
    from courtwright.reading import timeline

    moment, kind = reading.setting.moment, output.suffix
    if kind == ".pdf":
        from courtwright.drawing.moment_sheet import moment_sheet

        chances, whose = level is not Level.U12, people.whose if people else f"{level} preset"
        known = people.known if people else frozenset()
        return moment_sheet(moment, reading, row=row, whose=whose, known=known, chances=chances, feet=feet)
    if kind in (".gif", ".webp"):
        from courtwright.drawing.animation import animate

        return animate(timeline(reading, *row), format="gif" if kind == ".gif" else "webp", feet=feet)
    if kind not in (".svg", ".png"):
        raise refusal(str(output), "is no kind of file that can be written", "Use .svg, .png, .pdf, .gif or .webp.")
    from courtwright.drawing import svg_to_png
    from courtwright.drawing.moment import draw_moment

    picture = draw_moment(moment, reading=reading, row=row, feet=feet)
    return picture.encode() if kind == ".svg" else svg_to_png(picture, 1600)


@app.command()
def draw(
    game: GameFile, output: OutFile, variant: VariantNumber = 0, feet: Feet = False, as_json: AsJson = False
) -> None:
    """Draw the start of a game to scale, as .svg or .png."""
    from courtwright.drawing import draw_game, svg_to_png

    with mended(as_json):
        document = read_game(game)
        known_variant(document, variant)
        picture = draw_game(document, variant=variant - 1 if variant else None, feet=feet)
        if output.suffix not in (".svg", ".png"):
            raise refusal(str(output), "is neither .svg nor .png", "Name the file with one of the two.")
        write_whole(output, picture.encode() if output.suffix == ".svg" else svg_to_png(picture, 1600))
    wrote(output, as_json)


@app.command("print")
def print_sheet(
    game: GameFile,
    output: OutFile,
    squad: Annotated[Path | None, typer.Option("--squad", "-s", metavar="FILE", help="adds the turns")] = None,
    minutes: Minutes = None,
    seed: Seed = 0,
    variant: VariantNumber = 0,
    feet: Feet = False,
    as_json: AsJson = False,
) -> None:
    """Print a game on one page, with the turns of a squad."""
    from courtwright.drawing import game_sheet
    from courtwright.rota import rota_for

    with mended(as_json):
        document, people = read_both(game, squad) if squad else (read_game(game), None)
        known_variant(document, variant)
        planned = rota_for(document, people, minutes, seed) if people else None
        shown = variant - 1 if variant else None
        name = people.name if people else ""
        write_whole(output, game_sheet(document, planned, squad_name=name, variant=shown, feet=feet))
    wrote(output, as_json)


cli_answers.add_to(app)
cli_devices.add_to(app)
cli_keep.add_to(app)
cli_calibrate.add_to(app)
cli_rota.add_to(app)
cli_runs.add_to(app)
cli_review.add_to(app)
cli_library.add_to(app)
