"""What is asked of trials: one setting over its values, one possession again."""

from __future__ import annotations

from typing import Any, Final

from fastapi import APIRouter
from fastapi.responses import JSONResponse, Response

from courtwright.web.bodies import NewReplay, NewSweep
from courtwright.web.context import House, InHouse
from courtwright.web.jobs import Job
from courtwright.web.plans import asked_game, club_squad

# Everything about trials is imported where it is used: it loads the compiler.

router: Final = APIRouter(prefix="/api")


@router.get("/games/{game_id}/settings")
def list_settings(game_id: str, house: InHouse) -> dict[str, Any]:
    """What can be swept, with values to begin with, and what can be looked at."""
    from courtwright.answers import WANTED, settings_of  # noqa: PLC0415
    from courtwright.trial.measures import MEASURES  # noqa: PLC0415

    return {
        "settings": [setting.to_json() for setting in settings_of(house.store.game(game_id).game)],
        "measures": [{"key": item.key, "text": item.text, "unit": item.unit} for item in MEASURES],
        "wanted": [{"key": key, "text": text} for key, text in WANTED.items()],
    }


@router.post("/games/{game_id}/sweeps", status_code=202)
def start_sweep(game_id: str, body: NewSweep, house: InHouse) -> dict[str, str]:
    """Try every value of a setting."""
    from courtwright.answers import changed_to, sweep_setting  # noqa: PLC0415
    from courtwright.answers.sweep import measure_of  # noqa: PLC0415

    game, squad = asked_game(house, game_id, body.document), club_squad(house.store)
    measure_of(body.measure)
    for value in body.values:  # what makes no game is refused at once
        changed_to(game, body.setting, value)

    def work(job: Job) -> dict[str, Any]:
        return sweep_setting(
            game,
            squad,
            body.setting,
            body.values,
            measure=body.measure,
            minutes=body.minutes,
            runs=body.runs,
            seed=body.seed,
            progress=job.progress,
            cancelled=job.cancelled,
        ).to_json()

    return {"job": house.jobs.start(game_id, (len(body.values) + 1) * body.runs, work, behind=True).id}


@router.post("/games/{game_id}/replays")
def replay(game_id: str, body: NewReplay, house: InHouse) -> Response:
    """One possession of the trial, to be played on the board."""
    return JSONResponse(_replay(game_id, body, house))


def _replay(game_id: str, body: NewReplay, house: House) -> dict[str, Any]:
    from courtwright.answers import Found, find_possession, replay_possession  # noqa: PLC0415

    game, squad = asked_game(house, game_id, body.document), club_squad(house.store)
    here = Found(body.run, body.possession) if body.run and body.possession else None
    if body.want is not None:
        return find_possession(game, squad, body.want, after=here, minutes=body.minutes, seed=body.seed).to_json()
    assert here is not None  # the body says so
    return replay_possession(
        game, squad, run=here.run, possession=here.possession, minutes=body.minutes, seed=body.seed
    ).to_json()
