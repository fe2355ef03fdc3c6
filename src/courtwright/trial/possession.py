"""One possession from start to end: move everyone to the next event, let it happen, choose, repeat."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from courtwright.engine import inner
from courtwright.floor import body as its
from courtwright.floor.movement import NEVER_S, span
from courtwright.trial import layout as at
from courtwright.trial import parameters as par
from courtwright.trial.acts import (
    break_rule,
    catch_ball,
    end,
    gather,
    go_live,
    next_touch,
    note_paint,
    start_drive,
    start_pass,
    stop_drive,
    take_ball,
)
from courtwright.trial.attack import consider_cuts, end_cuts, is_cutting
from courtwright.trial.boards import board
from courtwright.trial.draws import draw, happens
from courtwright.trial.driving import BEATEN_M
from courtwright.trial.helping import call_help, note_help
from courtwright.trial.layout import World
from courtwright.trial.limits import catch_left_s, dribbles_left, drive_rule_broken
from courtwright.trial.motion import ahead_m, distance_m
from courtwright.trial.options import aim_finish, can_finish, drive_options, note_open_shot, pick, standing_options
from courtwright.trial.shooting import release_shot, start_shot
from courtwright.trial.step import step
from courtwright.trial.values import clock_ends_s, clock_left_s

CUT_LOOK = 0.5
"""While somebody cuts the holder looks this much oftener (ours)."""


@inner
def play(w: World, ball: int, trace: NDArray[np.float64]) -> float:
    """Play one possession to its end and return its length in seconds.

    ``World.here``, ``home``, ``body``, ``guard``, ``rules`` and the stream's key
    are set; everything else is cleared here. Where ``trace`` has rows, each step is
    kept in it: time, mode, holder, then x and y of each player.
    """
    clear(w)
    start(w, ball)
    while w.mode != at.OVER:
        advance(w, trace)
        if w.mode != at.OVER and w.t >= w.t_event:
            happen(w)
    return w.t


@inner
def clear(w: World) -> None:
    """Forget the last possession."""
    w.velocity[:, :] = 0.0
    w.step_s = -1.0  # other bodies coast otherwise
    w.count[:] = 0
    w.t = w.t_clock = w.t_catch = w.t_go = 0.0
    w.from_x = w.from_y = w.goal_x = w.goal_y = w.bend_x = w.bend_y = 0.0
    w.t_touch = w.t_notice = w.t_beat = w.t_help = w.t_release = NEVER_S
    w.help_dribble = w.first_gap = w.kick_gap = -1.0
    w.passer = w.helper = w.target = at.NOBODY
    w.from_drive = w.used = w.dead = w.dribbles_side = w.passes_side = 0
    w.painted = w.in_paint = w.phase = w.live = w.lost = w.scored = w.row = w.helping = w.caught = 0
    w.rebounded = w.off_cut = w.decided = 0
    w.task[:] = 0
    w.shots[:, :] = 0
    w.gaps[:] = 0
    w.t_task[:] = 0.0
    w.crash[:] = 0
    w.extra = 0


@inner
def start(w: World, ball: int) -> None:
    """Who has the ball, what must happen first, when the first decision falls."""
    w.entry_left = int(w.rules[at.ENTRY_PASSES])
    w.mode = at.PASSING  # nobody has the ball yet
    if w.rules[at.LIVE_ON] == 0.0:
        go_live(w)
    delay_s = w.rules[at.ENTRY_DELAY_S] * (0.5 + draw(w, at.FOR_START))
    if w.rules[at.COACH_FEEDS] == 0.0:
        take_ball(w, ball)
        w.t_event = delay_s + w.body[ball, its.REACT_ATTACK]
    else:
        target = entry_target(w, at.NOBODY)
        away_m = span(w.here[target, 0] - w.rules[at.COACH_X], w.here[target, 1] - w.rules[at.COACH_Y])
        w.from_x, w.from_y = w.rules[at.COACH_X], w.rules[at.COACH_Y]
        w.t_release = delay_s
        w.t_event = delay_s + away_m / 8.0
        w.holder = w.target = target
        w.entry_left = 1
        w.lost = at.FED


@inner
def entry_target(w: World, passer: int) -> int:
    """Whom the next pass of the entry goes to: the named one on the last, otherwise anybody else."""
    named = int(w.rules[at.ENTRY_TO])
    if w.entry_left <= 1 and named >= 0 and named != passer:
        return named
    spared = named if w.entry_left == 2 and w.attackers > 2 else at.NOBODY  # he gets the last one
    choices = 0
    for mate in range(w.attackers):
        choices += 1 if mate not in (passer, spared) else 0
    picked = int(draw(w, at.FOR_START) * choices)
    for mate in range(w.attackers):
        if mate not in (passer, spared):
            if picked == 0:
                return mate
            picked -= 1
    return 0


@inner
def advance(w: World, trace: NDArray[np.float64]) -> None:
    """Move everyone to the next event or by one step, whichever is sooner, and watch the drive."""
    until = min(w.t + w.model[par.STEP], w.t_event)
    for moment in (w.t_go, w.t_notice, w.t_help):  # what changes somebody's mind falls at its own time, not at a step
        if w.t < moment < until:
            until = moment
    if w.mode != at.LOOSE:
        until = min(until, max(w.t, clock_ends_s(w)))
    dt_s = max(0.0, until - w.t)
    if dt_s > 0.0:
        step(w, dt_s)
        w.t = until
        end_cuts(w)
    if trace.shape[0] > w.row:
        record(w, trace)
    if w.mode in (at.DRIVING, at.FINISHING):
        watch_drive(w)
    if w.mode != at.LOOSE and clock_left_s(w) <= 0.0:
        break_rule(w, at.CLOCK_S)
    elif w.t > w.model[par.GIVE_UP] and w.mode != at.LOOSE:
        end(w, stopped=True)


@inner
def record(w: World, trace: NDArray[np.float64]) -> None:
    """Keep a row of the trace."""
    row = w.row
    trace[row, 0] = w.t
    trace[row, 1] = w.mode
    trace[row, 2] = w.holder
    for player in range(w.players):
        trace[row, 3 + 2 * player] = w.here[player, 0]
        trace[row, 4 + 2 * player] = w.here[player, 1]
    w.row = row + 1


@inner
def watch_drive(w: World) -> None:
    """Between events of a drive: the bend, the beat, the helper's leaving, the gather."""
    driver = w.holder
    note_paint(w)
    if w.phase == 0:
        bend_m = span(w.bend_x - w.here[driver, 0], w.bend_y - w.here[driver, 1])
        goal_m = span(w.goal_x - w.here[driver, 0], w.goal_y - w.here[driver, 1])
        bend_to_goal = span(w.goal_x - w.bend_x, w.goal_y - w.bend_y)
        if bend_m < 0.35 or goal_m < bend_to_goal:
            w.phase = 1
    defender = w.guard[driver]
    is_past = defender < 0 or (w.phase == 1 and ahead_m(w, defender, driver) < BEATEN_M)
    if is_past and w.t_beat == NEVER_S and w.t > w.t_go:
        w.t_beat = w.t
        w.count[at.BEATEN] += 1 if defender >= 0 else 0
        if w.rules[at.HELP_RULE] == 0.0 and w.used >= w.rules[at.HELP_FROM_DRIBBLE]:
            call_help(w)
    if w.helper >= 0 and w.helping == 0 and w.t >= w.t_help:
        note_help(w)
    if w.mode == at.DRIVING and w.phase == 1 and w.t > w.t_go:
        left_m = span(w.goal_x - w.here[driver, 0], w.goal_y - w.here[driver, 1])
        if left_m <= w.body[driver, its.LAST_STEPS] and w.t < w.t_event:
            gather(w)
            choose_in_drive(w)


@inner
def happen(w: World) -> None:
    """The event that is due."""
    mode = w.mode
    if mode == at.PASSING:
        catch_ball(w)
    elif mode == at.HELD:
        choose_standing(w)
    elif mode == at.DRIVING:
        touch(w)
    elif mode in (at.SHOOTING, at.FINISHING):
        release_shot(w, finish=mode == at.FINISHING)
    elif mode == at.LOOSE:
        board(w)


@inner
def touch(w: World) -> None:
    """The ball meets the floor and comes back: count it, risk it, let help answer, choose.

    Where no dribble is left he picks the ball up instead and stands.
    """
    if dribbles_left(w) < 1.0:
        stop_drive(w, True)
        w.t_event = w.t
        return
    w.used += 1
    w.dribbles_side += 1
    w.count[at.DRIBBLE] += 1
    driver = w.holder
    defender = w.guard[driver]
    pressed = defender >= 0 and distance_m(w, defender, driver) < w.model[par.CONTACT] + 0.25
    helper = w.helper
    pressed = pressed or (helper >= 0 and distance_m(w, helper, driver) < w.model[par.CONTACT] + 0.25)
    if pressed and happens(w, at.FOR_DRIVE, w.model[par.STRIP]):
        w.count[at.TURNOVER_LOST_BALL] += 1
        w.count[at.STEAL] += 1
        end(w, stopped=True)
        return
    if pressed and happens(w, at.FOR_DRIVE, w.model[par.OFFENSIVE_FOUL]):
        w.count[at.TURNOVER_OFFENSIVE_FOUL] += 1
        end(w, stopped=True)
        return
    rule = w.rules[at.HELP_RULE]
    allowed = w.used >= w.rules[at.HELP_FROM_DRIBBLE]
    if helper < 0 and allowed and (w.used == rule or (rule == 0.0 and w.t_beat < NEVER_S)):
        call_help(w)
    choose_in_drive(w)


@inner
def choose_standing(w: World) -> None:
    """A holder who stands decides."""
    holder = w.holder
    if w.entry_left > 0:
        start_pass(w, entry_target(w, holder))
        return
    if w.rules[at.LIVE_ON] == 3.0:
        go_live(w)  # after a cue or a swap nothing else says so
    consider_cuts(w, w.model[par.LOOK])
    standing_options(w, w.dead == 1)
    option = pick(w, at.PASS_TO + w.attackers)
    if option != at.SHOOT:
        note_open_shot(w)
    if option == at.SHOOT:
        go_live(w)
        if can_finish(w):
            aim_finish(w)
            gather(w)
        else:
            start_shot(w)
    elif option in (at.DRIVE_LEFT, at.DRIVE_RIGHT):
        go(w, -1.0 if option == at.DRIVE_LEFT else 1.0)
    elif option == at.HOLD:
        wait(w)
    else:
        start_pass(w, option - at.PASS_TO)


@inner
def go(w: World, side: float) -> None:
    """Drive, or break the rule that forbids it."""
    broken = drive_rule_broken(w)
    if broken >= 0:
        break_rule(w, broken)
        return
    start_drive(w, side, w.body[w.holder, its.REACT_ATTACK])


@inner
def wait(w: World) -> None:
    """Keep the ball and look again; too long after a catch is a breach."""
    if catch_left_s(w) < w.model[par.LOOK]:
        break_rule(w, at.CATCH_S)
        return
    w.t_event = w.t + w.model[par.LOOK] * (CUT_LOOK if is_cutting(w) else 1.0)


@inner
def choose_in_drive(w: World) -> None:
    """After a dribble or at the gather: pull up or finish, pull out, go on, kick to a mate."""
    gathered = w.mode == at.FINISHING
    drive_options(w, gathered)
    option = pick(w, at.PASS_TO + w.attackers)
    if option == at.SHOOT:
        if not gathered:
            start_shot(w)
    elif option == at.DRIVE_LEFT:
        stop_drive(w, dead=gathered or dribbles_left(w) < 1.0)
    elif option == at.HOLD:
        next_touch(w)
    elif option >= at.PASS_TO:
        start_pass(w, option - at.PASS_TO)
