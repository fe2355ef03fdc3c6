"""Commands about who plays where when: a rota, with or without a squad, and groups."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any, Final

import typer

from courtwright.cli_parts import AsJson, Minutes, Seed, mended, print_json, read_both, refusal, write_whole, wrote
from courtwright.game.document import AfterPossession, Teams

if TYPE_CHECKING:
    from courtwright.rota import Problem, Rota, RotaAsked

OptionalGame = Annotated[
    Path | None, typer.Argument(metavar="[GAME]", help="a game file; left out with --players and --side")
]
OptionalSquad = Annotated[Path | None, typer.Option("--squad", "-s", metavar="FILE", help="a squad file, CSV or JSON")]
LONGER: Final = 10
"""times the usual number of steps, for who asks to look longer"""


def _names(text: str) -> typer.models.OptionInfo:
    option: typer.models.OptionInfo = typer.Option(metavar="NAME,NAME…", help=f"players {text}; may be given again")
    return option


def _turns(text: str) -> typer.models.OptionInfo:
    option: typer.models.OptionInfo = typer.Option(metavar="NAME=TURNS", help=f"{text}; may be given again")
    return option


Wishes = list[str] | None


def rota(
    game: OptionalGame = None,
    squad: OptionalSquad = None,
    players: Annotated[int | None, typer.Option("--players", "-n", min=2, max=60, help="without a squad")] = None,
    side: Annotated[int | None, typer.Option("--side", "-k", min=1, max=5, help="a side, with --players")] = None,
    baskets: Annotated[int, typer.Option(min=1, max=8, help="baskets played on at one time")] = 1,
    turns: Annotated[int | None, typer.Option(min=1, max=600, help="as the minutes hold if left out")] = None,
    minutes: Minutes = None,
    rule: Annotated[AfterPossession | None, typer.Option(help="who plays next, if not as the game says")] = None,
    teams: Annotated[Teams | None, typer.Option(help="whether teams stay together, if not as the game says")] = None,
    apart: Annotated[Wishes, _names("never on one side")] = None,
    together: Annotated[Wishes, _names("always on one side, or both off")] = None,
    at_most: Annotated[Wishes, _turns("most turns of a player")] = None,
    in_a_row: Annotated[Wishes, _turns("most turns in a row")] = None,
    only_at: Annotated[Wishes, typer.Option(metavar="NAME=FIGURE,FIGURE…", help="places a player keeps to")] = None,
    from_turn: Annotated[Wishes, _turns("who comes late, and from which turn")] = None,
    until_turn: Annotated[Wishes, _turns("who leaves, and after which turn")] = None,
    guest: Annotated[list[str] | None, typer.Option(metavar="NAME", help="sits first where turns are uneven")] = None,
    surprise: Annotated[bool, typer.Option("--surprise", help="no order that players could learn")] = False,
    longer: Annotated[bool, typer.Option("--longer", help=f"look {LONGER} times as long")] = False,
    seed: Seed = 0,
    output: Annotated[Path | None, typer.Option("--output", "-o", metavar="FILE", help="a PDF to write")] = None,
    as_json: AsJson = False,
) -> None:
    """Say who attacks, defends and is off in each turn, and how near that is to the best possible."""
    from courtwright.rota import solve

    wishes = [
        *(_named("apart", names) for names in apart or ()),
        *(_named("together", names) for names in together or ()),
        *(_counted("at most", "--at-most", text) for text in at_most or ()),
        *(_counted("in a row", "--in-a-row", text) for text in in_a_row or ()),
        *(_placed(text) for text in only_at or ()),
        *(_counted("from turn", "--from-turn", text) for text in from_turn or ()),
        *(_counted("to turn", "--until-turn", text) for text in until_turn or ()),
        *(_named("guest", name) for name in guest or ()),
    ]
    more = {"baskets": baskets, "turns": turns, "rule": rule, "teams": teams, "surprise": surprise or None}
    given = {key: value for key, value in more.items() if value is not None}
    with mended(as_json):
        asked = _asked(game, squad, players, side, minutes, seed, given | {"wishes": wishes})
        problem = asked.problem()
        planned = solve(problem, LONGER if longer else 1)
        if output is not None:
            from courtwright.drawing.turns_sheet import turns_sheet

            write_whole(output, turns_sheet(planned))
    if output is not None:
        wrote(output, as_json)
    elif as_json:
        print_json(planned.to_json() | {"asked": asked.model_dump(mode="json")})
    else:
        _say(planned, problem)


def _asked(
    game: Path | None,
    squad: Path | None,
    players: int | None,
    side: int | None,
    minutes: float | None,
    seed: int,
    given: dict[str, Any],
) -> RotaAsked:
    """What is asked for: by a game and a squad, or by numbers alone."""
    from courtwright.rota import asked_for

    if players is not None and side is not None and game is None and squad is None:
        from courtwright.rota.asked import read_asked
        from courtwright.rota.for_game import PLAY_S, USUAL_MINUTES
        from courtwright.rota.plan import turns_needed

        names = [f"P{number}" for number in range(1, players + 1)]
        turns = turns_needed(minutes or USUAL_MINUTES, PLAY_S + 9)
        numbers = {"names": names, "offence": side, "defence": side, "turns": turns, "seed": seed}
        return read_asked(numbers | given)
    if game is None or squad is None or players is not None or side is not None:
        raise refusal(
            "rota", "needs a game and a squad, or two numbers", "Give GAME and --squad, or --players N and --side K."
        )
    return asked_for(*read_both(game, squad), minutes, seed, **given)


def _named(kind: str, text: str) -> dict[str, Any]:
    return {"kind": kind, "players": _split(text)}


def _counted(kind: str, option: str, text: str) -> dict[str, Any]:
    name, sign, number = text.rpartition("=")
    if not sign or not number.strip().isdigit():
        raise typer.BadParameter(f"“{text}” is not NAME=TURNS, such as Ada=6", param_hint=option)
    return {"kind": kind, "players": [name.strip()], "number": int(number)}


def _placed(text: str) -> dict[str, Any]:
    name, sign, figures = text.rpartition("=")
    if not sign:
        raise typer.BadParameter(f"“{text}” is not NAME=FIGURES, such as Ada=1,X1", param_hint="--only-at")
    return {"kind": "only at", "players": [name.strip()], "figures": _split(figures)}


def _say(planned: Rota, problem: Problem) -> None:
    """The rota for people: teams, turns, how fair, how near the best possible, what was assumed."""
    from courtwright.rota import expected_turns, fairness_text, judge, judgement_text, rota_text, teams_text
    from courtwright.rota.plan import BY_RESULT

    lines = [*teams_text(planned), *rota_text(planned), fairness_text(planned)]
    if problem.rule in BY_RESULT:  # one example: what it came to says little
        lines.append(expected_turns(problem, planned.teams).text())
    else:
        lines.append(judgement_text(judge(planned)))
    for line in (*lines, *planned.notes):
        typer.echo(line)


def groups(
    players: Annotated[int, typer.Option("--players", "-n", min=2, max=60, help="how many are here")],
    size: Annotated[int, typer.Option("--size", "-k", min=2, max=12, help="players in a group")],
    rounds: Annotated[int, typer.Option("--rounds", "-r", min=1, max=60, help="times the groups are made anew")],
    seed: Seed = 0,
    as_json: AsJson = False,
) -> None:
    """Make new groups each round, with as few together again as can be."""
    from courtwright.rota import groups_of

    with mended(as_json):
        plan = groups_of(players, size, rounds, seed)
    if as_json:
        print_json(
            {
                "rounds": [[[player + 1 for player in group] for group in teams] for teams in plan.rounds],
                "repeats": plan.repeats,
                "least_repeats": plan.least_repeats,
                "perfect": plan.perfect,
                "sentence": plan.sentence,
            }
        )
        return
    for number, teams in enumerate(plan.rounds, start=1):
        typer.echo(f"Round {number}: " + "; ".join(" ".join(str(player + 1) for player in group) for group in teams))
    typer.echo(plan.sentence)


def teams(
    squad: Annotated[Path, typer.Option("--squad", "-s", metavar="FILE", help="a squad file, CSV or JSON")],
    count: Annotated[int, typer.Option("--count", "-c", min=2, max=20, help="how many teams")] = 2,
    apart: Annotated[Wishes, _names("in different teams")] = None,
    together: Annotated[Wishes, _names("in one team")] = None,
    seed: Seed = 0,
    as_json: AsJson = False,
) -> None:
    """Make even teams of those who are here, from your own grades, with bibs and the next best splits."""
    from courtwright.rota import find_teams
    from courtwright.squad import load_squad

    with mended(as_json):
        found = find_teams(
            load_squad(squad).here,
            count,
            together=[_split(names) for names in together or ()],
            apart=[_split(names) for names in apart or ()],
            seed=seed,
        )
    if as_json:
        print_json(found.to_json())
        return
    for line in found.lines():
        typer.echo(line)


def _split(text: str) -> list[str]:
    return [name.strip() for name in text.split(",")]


def add_to(app: typer.Typer) -> None:
    """Add the commands."""
    app.command()(rota)
    app.command()(groups)
    app.command()(teams)
