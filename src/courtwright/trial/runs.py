"""Many runs of a game: turn after turn until the time or the score is up, each run on its own random numbers."""

from __future__ import annotations

import math
from collections.abc import Callable
from concurrent.futures import FIRST_COMPLETED, Future, ThreadPoolExecutor, wait
from typing import Final, NamedTuple

import numpy as np
from numpy.typing import NDArray

from courtwright.engine import COMPILED, inner, kernel, plain
from courtwright.errors import CancelledError
from courtwright.trial import layout as at
from courtwright.trial import parameters as par
from courtwright.trial.draws import draw, possession_key
from courtwright.trial.earned import due_at_stop, next_streak
from courtwright.trial.layout import World, blank_world
from courtwright.trial.motion import keep_on_floor
from courtwright.trial.possession import play

CHUNK: Final = 8
"""Runs handed out together; fixed, so that the number of threads changes nothing."""

TALLY: Final = (
    "possessions",
    "play_s",
    "with_help",
    "scored",
    "first_gap_sum_m",
    "first_gaps",
    "kick_gap_sum_m",
    "kick_gaps",
    "help_1",
    "help_2",
    "help_3",
    "help_later",
    "with_open_shot",
    "points_offence",
    "points_defence",
    "clock_s",
)
(
    POSSESSIONS,
    PLAY_S,
    WITH_HELP,
    SCORED_IN,
    FIRST_GAP_SUM,
    FIRST_GAPS,
    KICK_GAP_SUM,
    KICK_GAPS,
    HELP_ON_1,
    HELP_ON_2,
    HELP_ON_3,
    HELP_LATER,
    WITH_OPEN_SHOT,
    POINTS_OFFENCE,
    POINTS_DEFENCE,
    CLOCK_S,
) = range(len(TALLY))

LENGTH_BIN_S: Final = 0.5
LENGTH_BINS: Final = 49
"""Possessions are counted by their length in bins of so many seconds; the last holds all longer ones."""


class Plan(NamedTuple):
    """Everything a trial needs, as arrays. ``sets`` are parameter draws, ``events`` and ``rules`` as in `layout`."""

    starts: NDArray[np.float64]
    """(variants, players on the floor, 3) x, y and random shift, metres"""
    chances: NDArray[np.float64]
    """(variants,) running sum of their chances"""
    ball: int
    attackers: int
    guard: NDArray[np.int64]
    offence: NDArray[np.int64]
    """(turns, attackers) squad index of who stands there"""
    defence: NDArray[np.int64]
    teams: NDArray[np.int64]
    """(turns, 2) team attacking and defending; 0 and 1 where teams are mixed"""
    bodies: NDArray[np.float64]
    """(sets, squad, figures)"""
    models: NDArray[np.float64]
    """(sets, parameters)"""
    carry_on: NDArray[np.float64]
    """(sets,) what playing on is worth"""
    stopped: NDArray[np.float64]
    """(sets,) share of playing on that ends in a stop"""
    scale: float
    beliefs: NDArray[np.float64]
    """(kinds of options, 2) what experience has taught: shift and slope"""
    rules: NDArray[np.float64]
    costs: NDArray[np.int64]
    own: NDArray[np.float64]
    """(players on the floor, rules) the rules as they bind each figure"""
    own_costs: NDArray[np.int64]
    worth: NDArray[np.float64]
    points_offence: NDArray[np.float64]
    """(events,)"""
    points_defence: NDArray[np.float64]
    minutes_s: float
    reset_s: float
    to_points: float
    """score that ends a run; infinity where none does"""
    seed: int


class Results(NamedTuple):
    """What each run brought. ``run`` is the first axis everywhere.

    Ranges of single runs and differences run beside run need every run, so memory grows with them:
    `bytes_a_run` each, some 550 for six players, and nothing else that does.
    """

    events: NDArray[np.int32]
    """(runs, events)"""
    tally: NDArray[np.float64]
    """(runs, tally)"""
    score: NDArray[np.float64]
    """(runs, teams)"""
    turns: NDArray[np.int32]
    """(runs, squad, 2) turns attacking and defending"""
    lengths: NDArray[np.int32]
    """(runs, bins) possessions by length"""

    def first(self, runs: int) -> Results:
        """Only the first so many: a run does not depend on how many there are."""
        return Results(self.events[:runs], self.tally[:runs], self.score[:runs], self.turns[:runs], self.lengths[:runs])


def empty_results(runs: int, teams: int, squad: int) -> Results:
    """Room for so many runs."""
    return Results(
        np.zeros((runs, len(at.EVENTS)), np.int32),
        np.zeros((runs, len(TALLY))),
        np.zeros((runs, teams)),
        np.zeros((runs, squad, 2), np.int32),
        np.zeros((runs, LENGTH_BINS), np.int32),
    )


def bytes_a_run(teams: int, squad: int) -> int:
    """Memory that one more run of a trial takes, until its result is dropped."""
    return sum(part.nbytes for part in empty_results(1, teams, squad))


def new_world(plan: Plan, *, compiled: bool = True) -> World:
    """A world with the plan's rules in it, for one possession at a time."""
    w = blank_world(compiled=compiled)
    w.players, w.attackers = plan.starts.shape[1], plan.attackers
    w.guard[: w.players] = plan.guard
    w.own[: w.players], w.own_costs[: w.players] = plan.own, plan.own_costs
    w.rules[:], w.costs[:], w.worth[:] = plan.rules, plan.costs, plan.worth
    w.belief[:] = plan.beliefs
    return w


@inner
def place_players(w: World, plan: Plan) -> None:
    """Draw the start variant and everyone's random shift (even over a disc)."""
    chosen = draw(w, at.FOR_START)
    variant = 0
    while variant < plan.chances.shape[0] - 1 and chosen >= plan.chances[variant]:
        variant += 1
    for player in range(w.players):
        radius_m = plan.starts[variant, player, 2] * math.sqrt(draw(w, at.FOR_START))
        angle = 2.0 * math.pi * draw(w, at.FOR_START)
        w.here[player, 0] = plan.starts[variant, player, 0] + radius_m * math.cos(angle)
        w.here[player, 1] = plan.starts[variant, player, 1] + radius_m * math.sin(angle)
        keep_on_floor(w, player)
        w.home[player, 0] = w.here[player, 0]
        w.home[player, 1] = w.here[player, 1]


@inner
def take_stances(w: World) -> None:
    """How closely each defender guards in this possession: a log-logistic spread about the usual gap."""
    for player in range(w.attackers, w.players):
        u = min(0.999, max(0.001, draw(w, at.FOR_STANCE)))
        w.stance[player] = math.exp(w.model[par.GAP_SPREAD] * 0.5513 * math.log(u / (1.0 - u)))  # sd of a logistic


@inner
def take_places(w: World, plan: Plan, parameter_set: int, turn: int) -> None:
    """Put this turn's players into the bodies on the floor."""
    attackers = plan.attackers
    for player in range(w.players):
        who = plan.offence[turn, player] if player < attackers else plan.defence[turn, player - attackers]
        w.body[player, :] = plan.bodies[parameter_set, who, :]


@kernel
def play_possession(w: World, plan: Plan, run: int, possession: int, turn: int, trace: NDArray[np.float64]) -> float:
    """Play one named possession; returns its length in seconds."""
    parameter_set = run % plan.bodies.shape[0]
    w.model[:] = plan.models[parameter_set]
    w.worth[at.STOP] = plan.worth[at.STOP] + w.due
    w.carry_on = plan.carry_on[parameter_set] + plan.stopped[parameter_set] * w.due
    w.scale = plan.scale
    w.stream[0] = possession_key(np.uint64(plan.seed), np.uint64(run), np.uint64(possession))
    w.stream[1:] = 0
    w.guard[: w.players] = plan.guard  # rotations and switches change it
    take_places(w, plan, parameter_set, turn)
    place_players(w, plan)
    take_stances(w)
    return play(w, plan.ball, trace)


@inner
def note(w: World, tally: NDArray[np.float64], length_s: float) -> None:
    """Add one possession to a run's tally."""
    tally[POSSESSIONS] += 1
    tally[PLAY_S] += length_s
    tally[WITH_HELP] += 1 if w.count[at.HELP] > 0 else 0
    tally[SCORED_IN] += w.scored
    tally[WITH_OPEN_SHOT] += 1 if w.count[at.ATTEMPT_OPEN] > 0 else 0
    if w.first_gap >= 0.0:
        tally[FIRST_GAP_SUM] += w.first_gap
        tally[FIRST_GAPS] += 1
    if w.kick_gap >= 0.0:
        tally[KICK_GAP_SUM] += w.kick_gap
        tally[KICK_GAPS] += 1
    if w.help_dribble > 0.0:
        tally[HELP_ON_1 + min(3, int(w.help_dribble) - 1)] += 1


@kernel
def play_run(w: World, plan: Plan, out: Results, row: int, run: int) -> None:
    """One run: possessions and resets until the time is up or a score is reached."""
    clock_s = 0.0
    possession = turn = int(
        out.turns[row, 0, 0]
    )  # 0, and an integer like any other: a bare 0 would be compiled for apart
    no_trace = np.empty((0, 0))
    streak = np.zeros(out.score.shape[1], np.int64)
    while clock_s < plan.minutes_s:
        line = turn % plan.offence.shape[0]
        defends = plan.teams[line, 1]
        w.due = due_at_stop(plan.worth[at.STOPS_2], streak[defends], 2)
        w.due += due_at_stop(plan.worth[at.STOPS_3], streak[defends], 3)
        length_s = play_possession(w, plan, run, possession, line, no_trace)
        clock_s += length_s + plan.reset_s
        streak[defends] = next_streak(w, streak[defends])
        note(w, out.tally[row], length_s)
        out.lengths[row, min(LENGTH_BINS - 1, int(length_s / LENGTH_BIN_S))] += 1
        won, lost = 0.0, 0.0
        for event in range(w.count.shape[0]):
            out.events[row, event] += w.count[event]
            won += w.count[event] * plan.points_offence[event]
            lost += w.count[event] * plan.points_defence[event]
        out.score[row, plan.teams[line, 0]] += won
        out.score[row, plan.teams[line, 1]] += lost
        out.tally[row, POINTS_OFFENCE] += won
        out.tally[row, POINTS_DEFENCE] += lost
        for place in range(plan.offence.shape[1]):
            out.turns[row, plan.offence[line, place], 0] += 1
        for place in range(plan.defence.shape[1]):
            out.turns[row, plan.defence[line, place], 1] += 1
        if out.score[row].max() >= plan.to_points:
            break
        possession += 1
        turn += 0 if w.count[at.AGAIN] > 0 else 1
    out.tally[row, CLOCK_S] = clock_s


def play_runs(
    plan: Plan,
    runs: int,
    *,
    threads: int = 1,
    engine: str = "numba",
    progress: Callable[[int, int], None] | None = None,
    cancelled: Callable[[], bool] | None = None,
) -> Results:
    """Play all runs in chunks over threads; raises `CancelledError` when asked to stop."""
    out = empty_results(runs, int(plan.teams.max()) + 1, plan.bodies.shape[1])
    compiled = COMPILED and engine == "numba"
    played = play_run if compiled else plain(play_run)

    def work(first: int, last: int) -> int:
        with np.errstate(over="ignore"):  # the random numbers wrap around on purpose
            w = new_world(plan, compiled=compiled)
            for run in range(first, last):
                played(w, plan, out, run, run)
        return last - first

    done = 0
    with ThreadPoolExecutor(max_workers=max(1, threads)) as pool:
        waiting: set[Future[int]] = set()
        for first in range(0, runs, CHUNK):
            if cancelled is not None and cancelled():
                break
            waiting.add(pool.submit(work, first, min(first + CHUNK, runs)))
            if len(waiting) < 2 * threads:
                continue
            finished, waiting = wait(waiting, return_when=FIRST_COMPLETED)
            done += sum(task.result() for task in finished)
            if progress is not None:
                progress(done, runs)
        done += sum(task.result() for task in waiting)
    if done < runs:
        raise CancelledError("the trial was stopped")
    if progress is not None:
        progress(done, runs)
    return out
