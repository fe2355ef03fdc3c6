"""A shot: rising, the ball leaving the hand, what it counts as, free throws."""

from __future__ import annotations

from typing import Final

from courtwright.engine import inner
from courtwright.floor import body as its
from courtwright.floor.movement import span
from courtwright.trial import layout as at
from courtwright.trial import parameters as par
from courtwright.trial.acts import break_rule, end
from courtwright.trial.boards import in_air_s, miss
from courtwright.trial.draws import happens
from courtwright.trial.earned import SET_M
from courtwright.trial.layout import World
from courtwright.trial.limits import make_event, shot_rule_broken
from courtwright.trial.motion import distance_m, gap_at_m
from courtwright.trial.options import QUICK_RELEASE
from courtwright.trial.values import (
    FOULED,
    foul_share,
    shooter_chance,
    unfouled_chance,
)

SHORT_M: Final = 2.6
"""A finish released nearer than this is one at the ring (ours: two steps and the reach)."""
SET_M_PER_S: Final = 1.5
"""If he moves no faster than this (ours)."""


@inner
def start_shot(w: World) -> None:
    """Rise for a jump shot; the ball leaves the hand after the release time."""
    holder = w.holder
    quick = QUICK_RELEASE if w.used > 0 else 1.0
    w.mode = at.SHOOTING
    w.caught = 1 if w.used == 0 and w.passer != at.NOBODY and w.t <= w.t_catch + 0.01 else 0
    defender = w.guard[holder]
    w.t_notice = w.t + (w.body[defender, its.REACT_ON] if defender >= 0 else 0.0)
    w.t_event = w.t + quick * w.body[holder, its.RELEASE]


@inner
def release_shot(w: World, finish: bool) -> None:
    """The ball leaves the hand: offensive foul, shooting foul, make or miss."""
    shooter = w.holder
    x, y = w.here[shooter, 0], w.here[shooter, 1]
    trailing_m = w.model[par.TRAILING] if finish else 0.0
    gap_m = gap_at_m(w, x, y, trailing_m, 0.0, 0.0)
    helper = w.helper
    is_set = finish and helper >= 0 and w.helping == 1 and stands_in_front(w, helper, shooter)
    if is_set and happens(w, at.FOR_DRIVE, w.model[par.OFFENSIVE_FOUL]):
        w.count[at.TURNOVER_OFFENSIVE_FOUL] += 1
        w.count[at.CHARGE] += 1
        end(w, stopped=True)
        return
    if w.first_gap < 0.0:
        w.first_gap = gap_m
    caught = w.caught == 1
    if caught and not finish and w.from_drive == 1 and w.kick_gap < 0.0:
        w.kick_gap = gap_m
    foul = foul_share(w, span(x, y), gap_m)
    chance = unfouled_chance(shooter_chance(w, shooter, x, y, gap_m, 1.0 if caught else 0.0), foul)
    near_x, near_y = counted_from(w, x, y, finish)
    event = make_event(w, near_x, near_y)
    family = family_of(w, event, finish)
    fouled = happens(w, at.FOR_SHOT, foul)
    if fouled and not happens(w, at.FOR_SHOT, FOULED * chance):
        free_throws(w, shooter, 2)
        return
    broken = shot_rule_broken(w, shooter, near_x, near_y, w.passes_side)
    if broken >= 0 and w.own_costs[shooter, broken] != at.COST_NO_POINTS:
        break_rule(w, broken)
        return
    w.count[at.ATTEMPT_RIM + event - at.MAKE_RIM] += 1
    w.shots[family, 0] += 1
    if event == at.MAKE_THREE:
        w.gaps[min(at.GAP_BINS - 1, int(10.0 * gap_m))] += 1
    w.count[at.ATTEMPT_OPEN] += 1 if gap_m >= w.model[par.OPEN_GAP] and event != at.MAKE_RIM else 0
    if fouled or happens(w, at.FOR_SHOT, chance):
        w.shots[family, 1] += 1
        basket(w, event, caught and not finish, broken)
        if fouled and broken < 0 and w.rules[at.FOUL_THEN] == 2.0:  # elsewhere the basket is what counts
            free_throws(w, shooter, 1)
    else:
        miss(w, x, y)


@inner
def basket(w: World, event: int, caught: bool, broken: int) -> None:
    """It went in."""
    if broken >= 0:
        w.count[at.MAKE_VOID] += 1
        w.count[at.VIOLATION_OFFENCE] += 1
        end(w, stopped=True)
        return
    w.count[event] += 1
    w.scored = 1
    if w.passer >= 0 and w.used <= 1:
        w.count[at.MAKE_ASSISTED] += 1
    if caught and w.from_drive == 1:
        w.count[at.MAKE_KICK_OUT] += 1
    if w.rules[at.MAKE_AGAIN] > 0.0:
        w.count[at.AGAIN] += 1
    shooter = w.holder
    w.t += in_air_s(w, w.here[shooter, 0], w.here[shooter, 1])
    end(w, stopped=False)


@inner
def counted_from(w: World, x: float, y: float, finish: bool) -> tuple[float, float]:
    """The place a shot counts from: a finish that was met a little short of its goal is still one at the ring."""
    if finish and span(x, y) < SHORT_M:
        return w.goal_x, w.goal_y
    return x, y


@inner
def family_of(w: World, event: int, finish: bool) -> int:
    """The family of a shot, as a scorer would name it."""
    if event == at.MAKE_THREE:
        return at.CATCH_THREE if w.used == 0 else at.PULL_UP_THREE
    if event == at.MAKE_MID:
        return at.CATCH_TWO if w.used == 0 else at.PULL_UP_TWO
    if w.used > 0:
        return at.DRIVING_LAYUP
    if w.off_cut == 1:
        return at.CUT_LAYUP
    return at.PUTBACK if w.rebounded == 1 else at.OTHER_LAYUP


@inner
def free_throws(w: World, shooter: int, throws: int) -> None:
    """A shooting foul, and what the game makes of it: two throws, one after a basket."""
    w.count[at.FOUL_TRIP] += 1
    then = w.rules[at.FOUL_THEN]
    if then == 1.0:
        w.count[at.AGAIN] += 1
    if then == 2.0:
        for _ in range(throws):
            w.count[at.FREE_THROW_ATTEMPT] += 1
            if happens(w, at.FOR_SHOT, w.body[shooter, its.FREE_THROW]):
                w.count[at.FREE_THROW_MAKE] += 1
                w.scored = 1
    end(w, stopped=False)


@inner
def stands_in_front(w: World, helper: int, shooter: int) -> bool:
    """Whether a helper is near, nearer to the ring than the shooter, and hardly moving."""
    near = distance_m(w, helper, shooter) < SET_M
    front = span(w.here[helper, 0], w.here[helper, 1]) < span(w.here[shooter, 0], w.here[shooter, 1])
    return near and front and span(w.velocity[helper, 0], w.velocity[helper, 1]) < SET_M_PER_S
