"""What follows from a choice: passes, drives, breaches, time that goes live. Each act sets the next event's time."""

from __future__ import annotations

from typing import Final

from courtwright.engine import inner
from courtwright.floor import body as its
from courtwright.floor.movement import NEVER_S, run_time_s, span
from courtwright.trial import layout as at
from courtwright.trial import parameters as par
from courtwright.trial.draws import draw
from courtwright.trial.driving import FIRST_TOUCH_S, bend_point
from courtwright.trial.earned import TIP_S, is_extra, note_caught, tip_chance
from courtwright.trial.layout import World
from courtwright.trial.limits import in_lane
from courtwright.trial.values import (
    bad_pass_share,
    cut_chance,
    meets_at,
)

UP_S: Final = 0.25
"""From the last step to the ball leaving the hand (ours)."""


@inner
def end(w: World, stopped: bool) -> None:
    """End the possession; ``stopped`` counts a stop for the defence."""
    w.mode = at.OVER
    if stopped:
        w.count[at.STOP] += 1


@inner
def go_live(w: World) -> None:
    """From here everything counts, and the shot clock runs."""
    if w.live == 1:
        return
    w.live = 1
    w.t_clock = w.t
    w.in_paint = 0
    if w.mode == at.HELD:
        note_paint(w)


@inner
def break_rule(w: World, rule: int) -> None:
    """The offence broke a rule: pay what it costs."""
    w.count[at.VIOLATION_OFFENCE] += 1
    cost = w.own_costs[w.holder, rule]
    if cost == at.COST_AGAIN:
        w.count[at.AGAIN] += 1
        end(w, stopped=False)
        return
    if cost == at.COST_POINT:
        w.count[at.POINT_TO_DEFENCE] += 1
    else:
        w.count[at.TURNOVER_CLOCK if rule == at.CLOCK_S else at.TURNOVER_VIOLATION] += 1
    end(w, stopped=True)


@inner
def note_paint(w: World) -> None:
    """Count the ball going into the paint."""
    holder = w.holder
    inside = in_lane(w, w.here[holder, 0], w.here[holder, 1])
    if inside and w.in_paint == 0 and w.live == 1:
        w.count[at.PAINT_TOUCH] += 1
        w.painted = 1
    w.in_paint = 1 if inside else 0


@inner
def start_pass(w: World, receiver: int) -> None:
    """Throw to a mate; whether it will be lost is settled as it leaves the hand."""
    passer = w.holder
    kicked = w.mode in (at.DRIVING, at.FINISHING)
    wind_up_s = 0.4 * w.model[par.WIND_UP] if kicked else w.model[par.WIND_UP]
    w.from_x, w.from_y = w.here[passer, 0], w.here[passer, 1]
    w.t_release = w.t + wind_up_s
    to_x, to_y, flight_s = meets_at(w, passer, receiver, wind_up_s)
    w.rebounded = 0
    w.t_event = w.t_release + flight_s
    w.target = receiver
    w.extra = 1 if is_extra(w) else 0
    w.from_drive = 1 if kicked else 0
    w.lost = 0
    if w.live == 1:
        w.count[at.PASS] += 1
        w.count[at.KICK_OUT] += 1 if kicked else 0
        cut = cut_chance(w, passer, to_x, to_y, flight_s)
        astray = bad_pass_share(w, passer)
        sample = draw(w, at.FOR_PASS)
        if sample < cut:
            w.lost = 2
        elif sample < cut + astray:
            w.lost = 1
        elif sample < cut + astray + tip_chance(w, cut):
            w.count[at.DEFLECTION] += 1
            w.t_event += TIP_S
    w.mode = at.PASSING


@inner
def catch_ball(w: World) -> None:
    """A pass arrives, or was lost on the way."""
    if w.lost > 0:
        w.count[at.TURNOVER_BAD_PASS] += 1
        w.count[at.STEAL] += 1 if w.lost == 2 else 0
        end(w, stopped=True)
        return
    note_caught(w)
    w.passer = at.COACH if w.lost == at.FED else w.holder
    take_ball(w, w.target)
    if w.entry_left > 0:
        w.entry_left -= 1
    elif w.live == 1:
        w.passes_side += 1
    waits_for = w.rules[at.LIVE_ON]
    if waits_for == 1.0 or (waits_for == 3.0 and w.entry_left == 0):
        go_live(w)
    w.t_event = w.t


@inner
def take_ball(w: World, player: int) -> None:
    """A player has the ball, with a fresh dribble."""
    w.holder = player
    w.mode = at.HELD
    w.used = 0
    w.dead = 0
    w.helper = -1
    w.off_cut = 1 if w.task[player] == at.CUT else 0
    if w.off_cut == 1:
        w.task[player] = at.CLEAR
    w.t_catch = w.t
    w.t_beat = NEVER_S
    w.t_help = NEVER_S
    note_paint(w)


@inner
def start_drive(w: World, side: float, go_s: float) -> None:
    """Put the ball down past the defender on one side."""
    holder = w.holder
    w.bend_x, w.bend_y, w.goal_x, w.goal_y = bend_point(w, holder, side, go_s)
    w.from_x, w.from_y = w.here[holder, 0], w.here[holder, 1]
    w.t_go = w.t + go_s
    w.t_touch = w.t_go + FIRST_TOUCH_S
    w.t_event = w.t_touch
    defender = w.guard[holder]
    w.t_notice = w.t_go + (w.body[defender, its.REACT_ON] if defender >= 0 else 0.0)
    w.t_beat = NEVER_S
    w.t_help = NEVER_S
    w.helper = -1
    w.phase = 0
    w.rebounded = 0
    w.mode = at.DRIVING
    w.count[at.DRIVE] += 1
    if w.live == 0:
        go_live(w)


@inner
def stop_drive(w: World, dead: bool) -> None:
    """Pull the drive out: he stands with the ball, his dribble used up or alive."""
    w.mode = at.HELD
    w.helper = -1
    w.dead = 1 if dead else 0
    w.t_beat = NEVER_S
    w.t_help = NEVER_S
    w.t_event = w.t + 0.4


@inner
def gather(w: World) -> None:
    """The ball is picked up for the last steps; the finish leaves the hand when they are done."""
    holder = w.holder
    left_m = span(w.goal_x - w.here[holder, 0], w.goal_y - w.here[holder, 1])
    speed = span(w.velocity[holder, 0], w.velocity[holder, 1])
    steps_s = run_time_s(left_m, min(speed, w.body[holder, its.TOP]), w.body[holder, its.TOP], w.body[holder, its.TAU])
    w.mode = at.FINISHING
    w.caught = 1 if w.used == 0 and w.passer != at.NOBODY else 0
    w.dead = 1
    w.t_event = w.t + max(UP_S, steps_s)  # he rises in his last step: the ball leaves the hand where it ends


@inner
def next_touch(w: World) -> None:
    """Set the time of the next dribble."""
    w.t_touch = w.t + w.body[w.holder, its.DRIBBLE_PERIOD]
    w.t_event = w.t_touch
