"""A rota as it is asked for by name: what a file, a command or a screen sends, read into a `Problem`."""

from __future__ import annotations

from typing import Annotated, Any, Self

from pydantic import Field, ValidationError, model_validator

from courtwright.documents import Part, in_words
from courtwright.errors import DocumentError, RotaError
from courtwright.errors import Problem as Wrong
from courtwright.game.document import AfterPossession, Game, Teams
from courtwright.game.read import place_in_words
from courtwright.rota.anneal import MOST_PLAYERS, MOST_TURNS
from courtwright.rota.for_game import PLAY_S, minutes_of
from courtwright.rota.plan import turns_needed
from courtwright.rota.problem import Problem, Wish, WishKind
from courtwright.rota.turns import Rota, Turn
from courtwright.squad import Squad

Name = Annotated[str, Field(min_length=1, max_length=80)]
Figure = Annotated[str, Field(pattern=r"^[XN]?[1-9]$")]


class WishAsked(Part):
    """One wish, players by name."""

    kind: WishKind
    players: tuple[Name, ...] = Field(min_length=1, max_length=MOST_PLAYERS)
    number: int = Field(default=0, ge=0, le=MOST_TURNS, description="turns, or the number of a turn, from 1")
    figures: tuple[Figure, ...] = Field(default=(), max_length=12, description="for “only at”: 1, 2, X1, N1 …")


class TurnAsked(Part):
    """One turn at one basket, players by name, as a rota gives it."""

    offence: tuple[Name, ...]
    defence: tuple[Name, ...]
    neutral: tuple[Name, ...] = ()
    off: tuple[Name, ...] = ()
    offence_team: int = -1
    defence_team: int = -1
    turn: int = 0
    basket: int = 1


class RotaAsked(Part):
    """Who is there, what is played, by which rule, and what is wished."""

    names: tuple[Name, ...] = Field(min_length=2, max_length=MOST_PLAYERS)
    grades: tuple[Annotated[float, Field(ge=0, le=10)] | None, ...] = ()
    offence: int = Field(ge=1, le=5)
    defence: int = Field(ge=1, le=5)
    neutral: int = Field(default=0, ge=0, le=3)
    baskets: int = Field(default=1, ge=1, le=8)
    turns: int = Field(ge=1, le=MOST_TURNS)
    rule: AfterPossession = AfterPossession.CYCLE
    teams: Teams = Teams.MIXED
    wishes: tuple[WishAsked, ...] = Field(default=(), max_length=60)
    played: tuple[TurnAsked, ...] = Field(default=(), max_length=MOST_TURNS * 8)
    surprise: bool = Field(default=False, description="the order is no cycle that players could learn")
    seed: int = Field(default=0, ge=0, le=2**53 - 1)

    @model_validator(mode="after")
    def _names_differ(self) -> Self:
        twice = sorted({name for name in self.names if self.names.count(name) > 1})
        if twice:
            raise ValueError(f"{', '.join(twice)} stands twice among the names; give each player one name")
        return self

    def problem(self) -> Problem:
        """The same with players by number; raise `RotaError` naming every name that is not among them."""
        place = {name: number for number, name in enumerate(self.names)}
        named = [name for wish in self.wishes for name in wish.players]
        named += [name for turn in self.played for name in (*turn.offence, *turn.defence, *turn.neutral, *turn.off)]
        strangers = sorted(set(named) - set(place))
        if strangers:
            raise RotaError(f"{', '.join(strangers)}: not among the players of this rota; add them or mend the name")
        wishes = [
            Wish(wish.kind, tuple(place[name] for name in wish.players), wish.number, wish.figures)
            for wish in self.wishes
        ]
        return Problem(
            self.names,
            self.offence,
            self.defence,
            self.neutral,
            self.baskets,
            self.turns,
            self.rule,
            self.teams,
            tuple(wishes),
            self.seed,
            turns_from(self.names, self.played),
            self.grades,
            self.surprise,
        )

    def rota(self, turns: tuple[TurnAsked, ...], teams: tuple[tuple[Name, ...], ...] = ()) -> Rota:
        """Turns that a screen holds as a rota again."""
        place = {name: number for number, name in enumerate(self.names)}
        members = tuple(tuple(place[name] for name in team) for team in teams)
        problem = self.problem()
        return Rota(
            self.names, turns_from(self.names, turns), members, self.seed, self.teams, (), problem.rule, problem.baskets
        )


def read_asked(data: dict[str, Any]) -> RotaAsked:
    """Read what is asked; raise `DocumentError` naming everything that is wrong."""
    try:
        return RotaAsked.model_validate(data)
    except ValidationError as error:
        problems = [
            Wrong(place_in_words(item["loc"]) or "rota", *in_words(RotaAsked, item))
            for item in error.errors(include_url=False)
        ]
    raise DocumentError("rota", problems)


def turns_from(names: tuple[str, ...], rows: tuple[TurnAsked, ...]) -> tuple[Turn, ...]:
    """Turns by name as turns by number."""
    place = {name: number for number, name in enumerate(names)}

    def numbers(called: tuple[str, ...]) -> tuple[int, ...]:
        return tuple(place[name] for name in called)

    return tuple(
        Turn(
            numbers(row.offence),
            numbers(row.defence),
            numbers(row.neutral),
            numbers(row.off),
            row.offence_team,
            row.defence_team,
        )
        for row in rows
    )


def asked_for(game: Game, squad: Squad, minutes: float | None = None, seed: int = 0, **more: Any) -> RotaAsked:
    """What a game asks for those of a squad who are here; ``more`` replaces any field."""
    return read_asked(
        {
            "names": [player.name for player in squad.here],
            "grades": [player.grade for player in squad.here],
            "offence": game.sides.offence,
            "defence": game.sides.defence,
            "neutral": game.sides.neutral,
            "turns": turns_needed(minutes_of(game, minutes), PLAY_S + game.ending.reset_s),
            "rule": game.rota.rule,
            "teams": game.rota.teams,
            "seed": seed,
        }
        | more
    )
