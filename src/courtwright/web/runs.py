"""Runs on the floor: open one, tell its facts, follow it."""

from __future__ import annotations

import json
import re
import time
from collections.abc import AsyncIterator
from dataclasses import asdict
from http import HTTPStatus
from typing import Annotated, Any, Final

from fastapi import APIRouter, Query
from fastapi.responses import Response, StreamingResponse
from starlette.concurrency import run_in_threadpool

from courtwright.errors import DocumentError, Problem
from courtwright.game.document import Game
from courtwright.live import checked, fold, open_run
from courtwright.live.anew import turns_anew
from courtwright.live.details import ID
from courtwright.live.log import read_log, written
from courtwright.live.opening import Watched
from courtwright.live.shown import shown
from courtwright.rota import rota_for
from courtwright.squad import Player, Squad
from courtwright.store import Arrived
from courtwright.store.documents import new_id, now
from courtwright.vocabulary import Fact
from courtwright.web.bodies import NewRun, ReplanRun, RunFile, TellFacts, true_json
from courtwright.web.context import House, InHouse
from courtwright.web.may import check_may_tell, told_to
from courtwright.web.plans import club_squad

router: Final = APIRouter(prefix="/api")

Answer = dict[str, Any]
After = Annotated[int, Query(ge=0, le=10**12)]

STREAM: Final = "text/event-stream"
UNBUFFERED: Final = {"X-Accel-Buffering": "no"}


def server_ms() -> int:
    """The server's clock."""
    return time.time_ns() // 1_000_000


@router.post("/runs", status_code=HTTPStatus.CREATED)
def add_run(body: NewRun, house: InHouse) -> Answer:
    """Open a run of a game with the players who are here."""
    kept = house.store.game(body.game_id)
    game = kept.game if body.minutes is None else _lasting(kept.game, body.minutes)
    squad = _here(house, body.players)
    opening = open_run(
        new_id(),
        body.game_id,
        game,
        rota_for(game, squad, None, body.seed),
        made_at=now(),
        basket=body.basket,
        tags=tuple(Watched(tag=item.tag, opportunity=item.opportunity) for item in body.tags),
        seed=body.seed,
    )
    house.store.runs.add(opening)
    return {"opening": opening.to_json()}


def _lasting(game: Game, minutes: float) -> Game:
    return game.model_copy(update={"finish": game.finish.model_copy(update={"minutes": minutes})})


def _here(house: House, names: list[str] | None) -> Squad:
    """Those named, whether or not the squad knows them; without names, those whom the squad says are here."""
    squad = club_squad(house.store) if names is None else house.store.squad()[0]
    if names is None and squad is not None:
        return squad
    known = {player.name: player for player in squad.players} if squad else {}
    players = tuple(
        known[name].model_copy(update={"here": True}) if name in known else Player(name=name) for name in names or ()
    )
    return squad.model_copy(update={"players": players}) if squad else Squad(name="here", players=players)


@router.get("/runs")
def list_runs(house: InHouse) -> Answer:
    """The newest runs, newest first."""
    return {"runs": [asdict(row) for row in house.store.runs.listed()]}


@router.get("/runs/{run}")
def get_run(run: str, house: InHouse) -> Answer:
    """How a run opened, and every fact that has arrived."""
    opening = house.store.runs.opening(run)
    return {"opening": opening, **_told(house.store.runs.since(run), house)}


@router.get("/runs/{run}/facts")
def get_facts(run: str, house: InHouse, after: After = 0) -> Answer:
    """The facts that arrived after a number."""
    return _told(house.store.runs.since(run, after), house)


def _told(arrived: Arrived, house: House) -> Answer:
    facts = [told_to(fact, house.visitor.role) for fact in arrived.facts]
    return {"facts": facts, "last": arrived.last, "server_ms": server_ms()}


@router.post("/runs/{run}/facts")
def tell_facts(run: str, body: TellFacts, house: InHouse) -> Answer:
    """Take facts. Sending one twice is the same as sending it once; what is wrong with one holds up no other."""
    sound: list[Fact] = []
    refused: list[Answer] = []
    for data in body.facts:
        try:
            fact = _of_run(data, run)
            check_may_tell(fact, house.visitor.role)
            sound.append(fact)
        except DocumentError as error:
            refused.append({"event": _event_id(data), "problems": [problem.to_json() for problem in error.problems]})
    done = house.store.runs.append(run, sound)
    other = Problem("event_id", "names another fact that is kept already", "Tell it anew, under another id.")
    refused += [{"event": event, "problems": [other.to_json()]} for event in done.differing]
    if done.new:
        house.hub.arrived(run, done.last - len(done.new) + 1, done.new)
    return {"taken": done.taken, "refused": refused, "last": done.last, "server_ms": server_ms()}


def _of_run(data: Any, run: str) -> Fact:
    try:
        fact = checked(true_json(data))
    except ValueError as error:
        if isinstance(error, DocumentError):
            raise
        raise DocumentError("fact", [Problem("fact", str(error), "Tell it anew.")]) from None
    if fact.run_id != run:
        raise DocumentError("fact", [Problem("run_id", "is another run's", f"Send it to {fact.run_id}.")])
    return fact


def _event_id(data: Any) -> str:
    """The id of what was refused, where it has one."""
    event = data.get("event_id") if isinstance(data, dict) else None
    return event if isinstance(event, str) and re.fullmatch(ID, event) else ""


@router.post("/runs/{run}/rota")
def replan_run(run: str, body: ReplanRun, house: InHouse) -> Answer:
    """Turns from now on for those who are here now; what was played counts. For a fact: nothing is kept yet."""
    opening = house.store.runs.opening(run)
    state = fold(opening, map(Fact.from_json, house.store.runs.since(run).facts)).to_json()
    grades = {player.name: player.grade for player in (house.store.squad()[0] or Squad(name="-", players=())).players}
    turns, sentence = turns_anew(state, body.here, [grades.get(name) for name in body.here], opening["seed"] + 1)
    return {"turns": turns, "sentence": sentence}


# --- following


@router.get("/runs/{run}/stream", response_class=StreamingResponse)
async def follow(run: str, house: InHouse, after: After = 0) -> Response:
    """Facts as they arrive (server-sent events): “facts” with what arrived, “time” with the server's clock."""
    await run_in_threadpool(house.store.runs.since, run, 10**12)  # an unknown run is refused before the stream opens

    async def events() -> AsyncIterator[str]:
        last = after
        async for told in house.hub.calls(run):
            facts, known = (house.hub.after(run, last) if told else []), last
            if not facts:
                arrived = await run_in_threadpool(house.store.runs.since, run, last)
                facts, known = arrived.facts, arrived.last
            last += len(facts)
            if facts:
                yield _event("facts", json.dumps(_told(Arrived(facts, last), house)), last)
            elif not told:
                yield _time(known)

    return StreamingResponse(events(), media_type=STREAM, headers=UNBUFFERED)


@router.get("/runs/{run}/screen")
def get_screen(run: str, house: InHouse) -> Answer:
    """What the players' screen may show."""
    return _screen(house, run)[1]


@router.get("/runs/{run}/screen/stream", response_class=StreamingResponse)
async def follow_screen(run: str, house: InHouse) -> Response:
    """What the players' screen may show, whenever it changes (server-sent events)."""
    await run_in_threadpool(house.store.runs.since, run, 10**12)

    async def events() -> AsyncIterator[str]:
        last = -1
        async for _ in house.hub.calls(run):
            number, screen = await house.hub.screen(run, last, lambda: run_in_threadpool(_shown, house, run))
            if number == last:
                yield _time(number)
            else:
                last = number
                yield _event("screen", screen, last)

    return StreamingResponse(events(), media_type=STREAM, headers=UNBUFFERED)


def _screen(house: House, run: str) -> tuple[int, Answer]:
    arrived = house.store.runs.since(run)
    state = fold(house.store.runs.opening(run), map(Fact.from_json, arrived.facts))
    return arrived.last, {**shown(state), "server_ms": server_ms()}


def _shown(house: House, run: str) -> tuple[int, str]:
    last, screen = _screen(house, run)
    return last, json.dumps(screen)


def _event(name: str, data: str, number: int) -> str:
    return f"event: {name}\nid: {number}\ndata: {data}\n\n"


def _time(last: int) -> str:
    return f'event: time\ndata: {{"last": {last}, "server_ms": {server_ms()}}}\n\n'


# --- files


@router.get("/runs/{run}/file")
def get_file(run: str, house: InHouse) -> Response:
    """The run as one file: JSON lines, the opening first."""
    text = written(house.store.runs.opening(run), map(Fact.from_json, house.store.runs.since(run).facts))
    headers = {"Content-Disposition": f'attachment; filename="{run}.run.jsonl"'}
    return Response(text, media_type="application/jsonl", headers=headers)


@router.post("/runs/file", status_code=HTTPStatus.CREATED)
def add_file(body: RunFile, house: InHouse) -> Answer:
    """Keep a run from its file."""
    opening, facts = read_log(body.text, "run file")
    house.store.runs.add(opening, facts)
    return {"run": opening.run, "facts": len(facts)}
