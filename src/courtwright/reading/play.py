"""A drive with one helper's answer to it: who does what, and where everybody is at any time.

Everything comes from the kernels that read the moment, run as plain Python under
one set of parameters: the mean of the reading's sets. Mates stand, as they do in
the reading.
"""

from __future__ import annotations

import math
from copy import copy
from dataclasses import dataclass
from functools import cached_property
from typing import Final

from courtwright.engine import plain
from courtwright.floor import ball as flight
from courtwright.floor import body as its
from courtwright.floor import drive, helping, kicks, leaving, movement, readout
from courtwright.floor import scene as at
from courtwright.floor.leaving import AT_THE_RING_S, NOBODY
from courtwright.floor.scene import Scene
from courtwright.reading.prepare import Setting

Point = tuple[float, float]
NOT_AT_ALL_S: Final = math.inf

_drift_s = plain(movement.drift_s)
_place_at = plain(drive.place_at)
_stand_at = plain(drive.stand_at)
_state_of = plain(leaving.state_of)
_gap_to = plain(kicks.gap_to)


@dataclass(frozen=True)
class Play:
    """What happens. Players by their place in the arrays, times from the moment on, never is infinity."""

    scene: Scene
    """under the middle parameters, with the route laid"""
    worth: float
    """to the offence"""
    helper: int
    leave_s: float
    """when the helper leaves his man"""
    meet_s: float
    """when he means to meet the driver on his way, or `AT_THE_RING_S`: he runs for the finish"""
    stop_s: float
    """when he stops the ball"""
    kick_to: int
    kick_s: float
    finishes: bool
    ring_height_m: float

    # --- when

    @cached_property
    def caught_s(self) -> float:
        """When the kick is caught."""
        s = self.scene
        if self.kick_to == NOBODY:
            return NOT_AT_ALL_S
        flight_s = plain(kicks.pass_s)(s, s.holder, *self._kick_from, *self._here(self.kick_to))
        return self.kick_s + plain(kicks.kick_wind_s)(s) + flight_s

    @cached_property
    def released_s(self) -> float:
        """When the shot leaves the hand."""
        if self.finishes:
            return self.scene.release_s
        return self.caught_s + float(self.scene.body[self.shooter, its.RELEASE])

    @cached_property
    def over_s(self) -> float:
        """When the shot is at the ring, or the drive given up."""
        if self.shooter == NOBODY:
            return self.drive_ends_s
        x, y = self.place(self.shooter, self.released_s)
        height_m = flight.RELEASE_HEIGHT_PER_CM * float(self.scene.body[self.shooter, its.HEIGHT])
        return self.released_s + plain(flight.usual_flight_s)(math.hypot(x, y), height_m, self.ring_height_m)

    @property
    def shooter(self) -> int:
        """Who shoots."""
        return self.scene.holder if self.finishes else self.kick_to

    @property
    def drive_ends_s(self) -> float:
        """When the driver stops short: to pass, because he is stopped, or to start over."""
        given_up_s = NOT_AT_ALL_S if self.finishes or self.kick_to != NOBODY else self.scene.gather_s
        return min(self.kick_s, self.stop_s, given_up_s)

    # --- where

    def place(self, player: int, t_s: float) -> Point:
        """Where a player is; from the shot on all stand."""
        s, t_s = self.scene, min(t_s, self.released_s)
        if player == s.holder:
            return self._driver(t_s)
        if player < s.attackers:
            return self._here(player)
        if player == s.guard[s.holder]:
            return self._on_ball(player, t_s)
        if self.kick_to != NOBODY and player == s.guard[self.kick_to] and t_s > self.kick_s:
            return self._closing_out(player, t_s)
        x, y, *_ = self._state(player, t_s)
        return x, y

    def ball(self, t_s: float) -> Point:
        """Where the ball is, seen from above."""
        s = self.scene
        if t_s > self.released_s:
            share = min(1.0, (t_s - self.released_s) / (self.over_s - self.released_s))
            x, y = self.place(self.shooter, self.released_s)
            return (1.0 - share) * x, (1.0 - share) * y
        if t_s >= self.caught_s:
            return self._here(self.kick_to)
        flown_s = t_s - self.kick_s - plain(kicks.kick_wind_s)(s)
        if self.kick_to == NOBODY or flown_s <= 0.0:
            return self._driver(t_s)
        start, end = self._kick_from, self._here(self.kick_to)
        away_m = max(0.5, math.dist(start, end))
        speed = plain(flight.pass_speed_at)(away_m, float(s.body[s.holder, its.PASS_SPEED]))
        return between(start, end, plain(flight.pass_distance_m)(flown_s, speed, flight.DRAG_PER_M) / away_m)

    def _here(self, player: int) -> Point:
        return float(self.scene.here[player, 0]), float(self.scene.here[player, 1])

    @cached_property
    def _kick_from(self) -> Point:
        return self._driver(self.kick_s)

    def _driver(self, t_s: float) -> Point:
        """Along the path to the gather, then straight to the finish at an even speed."""
        s = self.scene
        t_s = min(t_s, self.drive_ends_s)
        gathered = _place_at(s, min(t_s, s.gather_s))
        if t_s <= s.gather_s:
            return float(gathered[0]), float(gathered[1])
        landed_s = s.release_s - s.assumed[at.UP]
        share = (t_s - s.gather_s) / (landed_s - s.gather_s)
        return between(gathered, (s.finish[0], s.finish[1]), min(share, self._finish_share(gathered)))

    def _finish_share(self, gathered: Point) -> float:
        """How much of the last steps is taken: a finish met by help is taken farther out."""
        s = self.scene
        helped = plain(helping.near_share)(plain(helping.front_gap_m)(s, self.helper, self.leave_s))
        out = plain(helping.finish_out)(s, helped)
        return max(0.0, 1.0 - (out - 1.0) * math.hypot(*s.finish) / max(1e-9, math.dist(gathered, s.finish)))

    def _on_ball(self, d: int, t_s: float) -> Point:
        s = self.scene
        if t_s >= s.stand_s:
            return self._chasing(d, min(t_s, s.release_s) - s.stand_s - float(s.assumed[at.TURN]))
        closing = copy(s)
        closing.stand = s.stand.copy()
        _stand_at(closing, d, t_s)
        return float(closing.stand[0]), float(closing.stand[1])

    def _chasing(self, d: int, run_s: float) -> Point:
        """Beaten, he turns and runs to where the finish will be, no faster than he needs to."""
        s = self.scene
        x, y, vx, vy = (float(part) for part in s.stand)
        whole_s = s.release_s - s.stand_s - float(s.assumed[at.TURN])
        if run_s <= 0.0 or whole_s <= 0.0:
            return x, y
        tau_s = float(s.body[d, its.TAU])
        carry = _drift_s(whole_s, tau_s)
        to_x, to_y = float(s.finish[0]) - x - vx * carry, float(s.finish[1]) - y - vy * carry
        away_m = max(1e-9, math.hypot(to_x, to_y))
        speed = min(float(s.body[d, its.TOP]), max(0.0, away_m - helping.NEAREST_M) / (whole_s - carry))
        carry = _drift_s(run_s, tau_s)
        run_m = speed * (run_s - carry) / away_m
        return x + vx * carry + to_x * run_m, y + vy * carry + to_y * run_m

    def _state(self, d: int, t_s: float) -> tuple[float, ...]:
        """Place and velocity of a defender who is off the ball."""
        return tuple(float(part) for part in _state_of(self.scene, d, self.helper, self.leave_s, self.meet_s, t_s))

    def _closing_out(self, d: int, t_s: float) -> Point:
        """On his way out to the man with the ball, as far as the gap to him says."""
        s, goal = self.scene, self._here(self.kick_to)
        state, run_s = self._state(d, self.kick_s), t_s - self.kick_s
        blind_s = plain(kicks.kick_wind_s)(s) + float(s.body[d, its.REACT_OFF])
        gap_m = _gap_to(s, d, *goal, state, blind_s, run_s)
        at_x, at_y, vx, vy = state
        x, y, _ = plain(movement.sideways)(*goal, at_x, at_y, vx, vy, float(s.body[d, its.TAU]), run_s)
        return between(goal, (x, y), gap_m / max(1e-9, math.dist(goal, (x, y))))


def between(start: Point, end: Point, share: float) -> Point:
    """The point so far along a line."""
    return start[0] + share * (end[0] - start[0]), start[1] + share * (end[1] - start[1])


def middle_scene(setting: Setting) -> Scene:
    """The moment under the mean of all parameter sets, with the drive laid and clocked."""
    s = setting.scene(compiled=False)
    s.body[: s.players], s.assumed[:] = setting.bodies.mean(axis=0), setting.assumed.mean(axis=0)
    s.reset, s.fouled = float(setting.worth.reset.mean()), float(setting.worth.fouled.mean())
    plain(drive.settle_defender)(s)
    plain(readout.choose_route)(s)
    return s


def leave_s(s: Scene, helper: int, timing: int) -> float:
    """When a helper leaves on a cue."""
    return plain(readout.row_cue_s)(s, timing) + float(s.body[helper, its.REACT_HELP])


def best_play(setting: Setting, helper: int, timing: int | None) -> Play:
    """The drive against one helper who leaves on a cue (nothing: nobody helps), each side at its best."""
    s = middle_scene(setting)
    leaves_s = NOT_AT_ALL_S if timing is None else leave_s(s, helper, timing)
    helper = NOBODY if timing is None else helper
    ring_m = setting.moment.floor.ring_height.value_m
    contest = _contested(s, helper, leaves_s, ring_m)
    stopped = None if timing is None else _stopped(s, helper, leaves_s, ring_m)
    return contest if stopped is None or contest.worth <= stopped.worth else stopped


def _contested(s: Scene, helper: int, leaves_s: float, ring_m: float) -> Play:
    """The helper meets the finish: finish, kick or start over."""
    finish = plain(helping.finish_worth)(s, helper, leaves_s)
    if helper != NOBODY:
        plain(leaving.lay_left)(s, helper, leaves_s, AT_THE_RING_S)
    kick = plain(leaving.best_kick)(s, s.release_s, helper, False, True)
    if finish >= kick:
        return Play(s, finish, helper, leaves_s, AT_THE_RING_S, NOT_AT_ALL_S, NOBODY, NOT_AT_ALL_S, True, ring_m)
    return _kicked(s, kick, helper, leaves_s, AT_THE_RING_S, NOT_AT_ALL_S, ring_m)


def _stopped(s: Scene, helper: int, leaves_s: float, ring_m: float) -> Play | None:
    """The helper stops the ball, where he more likely can than not: kick or start over."""
    plain(helping.find_stop)(s, helper, leaves_s)
    if s.stopped < 0.5:
        return None
    plain(helping.lay_stop)(s, helper, leaves_s)
    kick = plain(helping.stopped_worth)(s, helper, False)
    return _kicked(s, kick, helper, leaves_s, s.meet_s, s.meet_s, ring_m)


def _kicked(
    s: Scene, worth: float, helper: int, leaves_s: float, meet_s: float, stopped_s: float, ring_m: float
) -> Play:
    """A kick to the man who was left goes as soon as that is seen, as the gap in the table has it."""
    kick_s = s.kick_s if s.kick_to != NOBODY else NOT_AT_ALL_S
    if helper != NOBODY and s.kick_to == s.guard[helper]:
        kick_s = min(kick_s, max(leaves_s, plain(readout.soonest_kick_s)(s, leaves_s)))
    gone = leaves_s >= kick_s  # the ball is gone before he would leave
    leaves_s = NOT_AT_ALL_S if gone else leaves_s
    return Play(s, worth, helper, leaves_s, meet_s, stopped_s, s.kick_to, kick_s, False, ring_m)
