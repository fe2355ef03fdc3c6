"""Turns and trials of a kept game with the squad that is here."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Final

from fastapi import APIRouter

from courtwright.errors import CannotPlayError
from courtwright.game.document import Game
from courtwright.game.read import game_from_json
from courtwright.rota import rota_for
from courtwright.web.bodies import Minutes, NewTrial, Seed
from courtwright.web.context import House, InHouse
from courtwright.web.jobs import Job
from courtwright.web.lately import THREADS
from courtwright.web.plans import asked_game, club_squad, rota_json
from courtwright.web.problems import problems_in

if TYPE_CHECKING:
    from courtwright.trial import TrialResult

router: Final = APIRouter(prefix="/api")


@router.get("/games/{game_id}/rota")
def get_rota(game_id: str, house: InHouse, minutes: Minutes | None = None, seed: Seed = 0) -> dict[str, Any]:
    """Who plays where when, for those who are here."""
    return rota_json(rota_for(house.store.game(game_id).game, club_squad(house.store), minutes, seed))


@router.get("/games/{game_id}/trials")
def list_trials(game_id: str, house: InHouse) -> dict[str, Any]:
    """The trials kept for a game, newest first, and those that still run."""
    current = house.store.game(game_id)
    rows = [
        {
            "id": trial.id,
            "made_at": trial.kept_at,
            "game_hash": trial.game_hash,
            "squad_hash": trial.squad_hash,
            "of_current_game": trial.game_hash == current.hash,
            "result": trial.summary,
        }
        for trial in house.store.trials(game_id)
    ]
    return {"trials": rows, "jobs": [_told(job, house) for job in house.jobs.about(game_id)]}


@router.post("/games/{game_id}/trials", status_code=202)
def start_trial(game_id: str, body: NewTrial, house: InHouse) -> dict[str, str]:
    """Run a trial in the background, and the one it is compared with."""
    game, squad = asked_game(house, game_id, body.document), club_squad(house.store)
    other = _other(house, game_id, body)
    for version in (game, other):
        if version is not None:
            if version.not_simulated:
                raise CannotPlayError(version.not_simulated)
            rota_for(version, squad, body.minutes, body.seed)  # what cannot be played is refused at once
    parts = 1 if other is None else 2
    kept = body.keep and body.document is None

    def play(job: Job, version: Game, part: int) -> TrialResult:
        return house.lately.play(
            version,
            squad,
            minutes=body.minutes,
            runs=body.runs,
            seed=body.seed,
            threads=1 if body.behind else THREADS,
            progress=lambda done, _: job.progress(part * body.runs + done, parts * body.runs),
            cancelled=job.cancelled,
        )

    def work(job: Job) -> dict[str, Any]:
        from courtwright.answers import compare_trials  # noqa: PLC0415 (loads the compiler)

        first = None if other is None else play(job, other, 0)
        trial = play(job, game, parts - 1)
        summary = trial.to_json()
        if kept:
            summary = house.store.keep_trial(game_id, summary).summary
        return summary if first is None else summary | {"comparison": compare_trials(first, trial).to_json()}

    return {"job": house.jobs.start(game_id, parts * body.runs, work, behind=body.behind, listed=kept).id}


def _other(house: House, game_id: str, body: NewTrial) -> Game | None:
    """The version to compare with."""
    if body.against is not None:
        return game_from_json(body.against)
    if body.against_revision is not None:
        return house.store.game_at(game_id, body.against_revision).game
    return None


@router.get("/jobs/{job_id}")
def get_job(job_id: str, house: InHouse) -> dict[str, Any]:
    """How far a trial is, and its result once it is done."""
    return _told(house.jobs.find(job_id), house)


@router.delete("/jobs/{job_id}")
def stop_job(job_id: str, house: InHouse) -> dict[str, Any]:
    """Stop a trial; nothing of it is kept."""
    return _told(house.jobs.stop(job_id), house)


def _told(job: Job, house: House) -> dict[str, Any]:
    problems = [] if job.error is None else problems_in(job.error)[1]
    told = {
        "job": job.id,
        "game": job.subject,
        "state": job.state.value,
        "done": job.done,
        "of": job.of,
        "getting_ready": "" if job.done else house.kernels.getting_ready,
        "problems": [problem.to_json() for problem in problems],
    }
    return told if job.result is None else told | {"result": job.result}
