"""Who plays where when: a rota as asked for, two players who change places, groups."""

from __future__ import annotations

from typing import Any, Final

from fastapi import APIRouter, Response
from pydantic import Field

from courtwright.drawing.turns_sheet import turns_sheet
from courtwright.rota import (
    Rota,
    RotaAsked,
    asked_for,
    change_text,
    exchange_text,
    exchanged,
    expected_turns,
    fairness_text,
    find_teams,
    groups_of,
    judge,
    judgement_text,
    solve,
)
from courtwright.rota.asked import Name, TurnAsked
from courtwright.rota.plan import BY_RESULT
from courtwright.web.bodies import Body, Minutes, Seed
from courtwright.web.context import InHouse
from courtwright.web.plans import club_squad

router: Final = APIRouter(prefix="/api")

LONGER: Final = 10
"""times the usual number of steps, for who asks to look longer"""

Answer = dict[str, Any]


class PlanRota(Body):
    """What is asked for, and whether to look longer."""

    asked: RotaAsked
    longer: bool = False


class ExchangePlayers(Body):
    """A rota as a screen holds it, and two players who change places in one of its turns."""

    asked: RotaAsked
    turns: tuple[TurnAsked, ...] = Field(min_length=1, max_length=5000)
    teams: tuple[tuple[Name, ...], ...] = ()
    turn: int = Field(ge=1)
    one: Name
    other: Name


class PrintTurns(Body):
    """A rota as a screen holds it, and what stands above it on paper."""

    asked: RotaAsked
    turns: tuple[TurnAsked, ...] = Field(min_length=1, max_length=5000)
    teams: tuple[tuple[Name, ...], ...] = ()
    title: str = Field(default="", max_length=80)


class MakeGroups(Body):
    """Players to put in groups, anew in each round."""

    names: tuple[Name, ...] = Field(min_length=2, max_length=60)
    size: int = Field(ge=2, le=12)
    rounds: int = Field(ge=1, le=60)
    seed: Seed = 0


class FindTeams(Body):
    """How many teams of those who are here, and who is kept together or apart."""

    count: int = Field(ge=2, le=20)
    together: tuple[tuple[Name, ...], ...] = Field(default=(), max_length=20)
    apart: tuple[tuple[Name, ...], ...] = Field(default=(), max_length=20)
    how_many: int = Field(default=3, ge=1, le=10)
    seed: Seed = 0


@router.get("/games/{game_id}/rota/asked")
def get_asked(game_id: str, house: InHouse, minutes: Minutes | None = None, seed: Seed = 0) -> Answer:
    """What the game asks for with those who are here: to change, and to send to /api/rotas."""
    asked = asked_for(house.store.game(game_id).game, club_squad(house.store), minutes, seed)
    return {"asked": asked.model_dump(mode="json")}


@router.post("/rotas")
def plan(body: PlanRota) -> Answer:
    """A rota for what is asked; nothing is kept."""
    problem = body.asked.problem()
    rota = solve(problem, LONGER if body.longer else 1)
    answer = told(rota) | {"asked": body.asked.model_dump(mode="json")}
    if problem.played:
        answer["changed"] = change_text(rota, len(problem.played) // problem.baskets + 1)
    if problem.rule in BY_RESULT:
        expected = expected_turns(problem, rota.teams)
        answer["expected"] = {
            "turns": dict(zip(rota.names, (round(turns, 2) for turns in expected.turns), strict=True)),
            "low": dict(zip(rota.names, expected.low, strict=True)),
            "high": dict(zip(rota.names, expected.high, strict=True)),
            "hardly_play": expected.hardly_play,
            "sentence": expected.text(),
        }
    return answer


@router.post("/rotas/exchange")
def exchange(body: ExchangePlayers) -> Answer:
    """The rota with two players in each other's places, and what that costs."""
    before = body.asked.rota(body.turns, body.teams)
    after = exchanged(before, body.turn, body.one, body.other)
    return told(after) | {"cost": exchange_text(before, after, body.turn, body.one, body.other)}


@router.post("/rotas/sheet", response_class=Response)
def sheet(body: PrintTurns) -> Response:
    """The turns on paper, PDF."""
    rota = body.asked.rota(body.turns, body.teams)
    return Response(turns_sheet(rota, body.title), media_type="application/pdf")


@router.post("/rotas/groups")
def make_groups(body: MakeGroups) -> Answer:
    """New groups each round, with as few together again as can be."""
    plan = groups_of(len(body.names), body.size, body.rounds, body.seed)
    return {
        "rounds": [[[body.names[player] for player in group] for group in groups] for groups in plan.rounds],
        "repeats": plan.repeats,
        "least_repeats": plan.least_repeats,
        "perfect": plan.perfect,
        "sentence": plan.sentence,
    }


@router.post("/rotas/teams")
def even(body: FindTeams, house: InHouse) -> Answer:
    """The most even teams of those who are here, with bibs, and the next best."""
    return find_teams(
        club_squad(house.store).here,
        body.count,
        together=body.together,
        apart=body.apart,
        how_many=body.how_many,
        seed=body.seed,
    ).to_json()


def told(rota: Rota) -> Answer:
    """The rota as plain JSON data with its sentences."""
    return {
        "rota": rota.to_json(),
        "sentence": fairness_text(rota),
        "judgement": "" if rota.rule in BY_RESULT else judgement_text(judge(rota)),
    }
