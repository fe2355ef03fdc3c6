"""The options of the one who holds the ball, and the draw among them."""

from __future__ import annotations

import math
from typing import Final

from courtwright.engine import inner
from courtwright.floor import body as its
from courtwright.floor.movement import span
from courtwright.trial import layout as at
from courtwright.trial import parameters as par
from courtwright.trial.draws import draw
from courtwright.trial.driving import DEAD_COST, FINISH_M, drive_worths, finish_worth, go_on_worth, out_cost
from courtwright.trial.layout import World
from courtwright.trial.limits import (
    catch_left_s,
    dribble_rule,
    dribbles_left,
    drive_rule_broken,
    make_event,
    shot_rule_broken,
)
from courtwright.trial.motion import gap_at_m, toward
from courtwright.trial.values import (
    NEAR_M,
    breach_worth,
    clock_left_s,
    expected_gap_m,
    hold_worth,
    own_breach_worth,
    pass_worth,
    shot_worth,
)

QUICK_RELEASE: Final = 0.7
"""Off the dribble the ball is already up: this share of the usual release time (ours)."""


@inner
def standing_options(w: World, dead: bool) -> None:
    """Fill `World.value` for a holder who stands: shoot, drive left or right, hold, pass to each mate."""
    holder = w.holder
    x, y = w.here[holder, 0], w.here[holder, 1]
    fresh = w.t <= w.t_catch + 0.01
    catch = 1.0 if fresh and w.used == 0 and w.passer != at.NOBODY else 0.0
    if can_finish(w):
        aim_finish(w)
        w.value[at.SHOOT] = finish_worth(w, holder, catch)
        w.kind[at.SHOOT] = kind_of_shot(w, w.goal_x, w.goal_y)
    else:
        gap_m = expected_gap_m(w, x, y, 0.0, w.body[holder, its.RELEASE])
        w.value[at.SHOOT] = shot_worth(w, holder, x, y, gap_m, catch, w.passes_side, catch * w.from_drive)
        w.kind[at.SHOOT] = kind_of_shot(w, x, y)
    if clock_left_s(w) < w.body[holder, its.RELEASE]:
        w.value[at.SHOOT], w.kind[at.SHOOT] = breach_worth(w, at.CLOCK_S), -1
    go_s = w.body[holder, its.REACT_ATTACK]
    w.value[at.DRIVE_LEFT] = w.value[at.DRIVE_RIGHT] = at.NOT_OPEN
    w.kind[at.DRIVE_LEFT] = w.kind[at.DRIVE_RIGHT] = at.DRIVE_IT if drive_rule_broken(w) < 0 else -1
    if not dead:
        w.value[at.DRIVE_LEFT], w.value[at.DRIVE_RIGHT] = drive_worths(w, holder, go_s)
    elif dribbles_left(w) < 1.0:
        w.value[at.DRIVE_LEFT] = own_breach_worth(w, holder, dribble_rule(w))  # one dribble too many
    w.value[at.HOLD], w.kind[at.HOLD] = hold_worth(w, w.model[par.LOOK]), at.KEEP
    if dead:
        w.value[at.HOLD] -= DEAD_COST * w.scale
    if catch_left_s(w) < w.model[par.LOOK]:
        w.value[at.HOLD], w.kind[at.HOLD] = own_breach_worth(w, holder, at.CATCH_S), -1
    for mate in range(w.attackers):
        w.value[at.PASS_TO + mate] = at.NOT_OPEN if mate == holder else pass_worth(w, holder, mate, 0.0)
        w.kind[at.PASS_TO + mate] = kind_of_pass(w, mate)


@inner
def drive_options(w: World, gathered: bool) -> None:
    """Fill `World.value` in a drive."""
    driver = w.holder
    x, y = w.here[driver, 0], w.here[driver, 1]
    passes = w.passes_side
    finish = finish_worth(w, driver, 0.0)
    if gathered:
        w.value[at.SHOOT], w.kind[at.SHOOT] = finish, kind_of_shot(w, w.goal_x, w.goal_y)
        w.value[at.HOLD] = at.NOT_OPEN
    else:
        stop_x, stop_y = pulls_up_at(w)
        w.kind[at.SHOOT], w.kind[at.HOLD] = kind_of_shot(w, stop_x, stop_y), at.GO_ON
        gap_m = gap_at_m(w, x, y, w.model[par.TRAILING], 0.0, 0.0)
        w.value[at.SHOOT] = shot_worth(w, driver, stop_x, stop_y, max(0.45, gap_m - 0.3), 0.0, passes, 0.0)
        w.value[at.HOLD] = go_on_worth(w, driver, finish)
    w.value[at.DRIVE_LEFT] = hold_worth(w, 0.6) - (DEAD_COST if gathered else out_cost(w)) * w.scale
    w.kind[at.DRIVE_LEFT] = at.PULL_OUT
    w.value[at.DRIVE_RIGHT] = at.NOT_OPEN
    for mate in range(w.attackers):
        w.value[at.PASS_TO + mate] = at.NOT_OPEN if mate == driver else pass_worth(w, driver, mate, 1.0)
        w.kind[at.PASS_TO + mate] = at.KICK


@inner
def pulls_up_at(w: World) -> tuple[float, float]:
    """Where a driver who pulls up now lets the ball go: he brakes while he rises."""
    driver = w.holder
    vx, vy = w.velocity[driver, 0], w.velocity[driver, 1]
    speed = span(vx, vy)
    brake = w.body[driver, its.BRAKE]
    rise_s = min(QUICK_RELEASE * w.body[driver, its.RELEASE], speed / brake)
    mean_s = rise_s * (1.0 - 0.5 * brake * rise_s / max(speed, 0.01))  # seconds at full speed that bring him as far
    return w.here[driver, 0] + vx * mean_s, w.here[driver, 1] + vy * mean_s


@inner
def kind_of_shot(w: World, x: float, y: float) -> int:
    """Which kind of option a jump shot from there is; −1 where it breaks a rule."""
    if shot_rule_broken(w, w.holder, x, y, w.passes_side) >= 0:
        return -1
    return at.RIM + make_event(w, x, y) - at.MAKE_RIM


@inner
def kind_of_pass(w: World, mate: int) -> int:
    """Inside, to a cutter or one near the ring, or around."""
    inside = w.task[mate] == at.CUT or span(w.here[mate, 0], w.here[mate, 1]) < 3.0
    return at.INSIDE if inside else at.SWING


@inner
def can_finish(w: World) -> bool:
    """Whether a standing holder, or one who caught it on a cut, goes up to the ring rather than jump for a shot."""
    away_m = span(w.here[w.holder, 0], w.here[w.holder, 1])
    return away_m < NEAR_M or (w.off_cut == 1 and away_m < NEAR_M + 1.0)


@inner
def aim_finish(w: World) -> None:
    """His finish is in front of the ring, or where he is if that is nearer."""
    ux, uy, away_m = toward(0.0, 0.0, w.here[w.holder, 0], w.here[w.holder, 1])
    w.goal_x, w.goal_y = ux * min(away_m, FINISH_M), uy * min(away_m, FINISH_M)


@inner
def believe(w: World, options: int) -> None:
    """Turn estimates into what he goes by: what experience has taught about each kind of option, and taste."""
    for option in range(options):
        kind = w.kind[option]
        if kind < 0 or w.value[option] <= at.NOT_OPEN:
            continue
        learned = w.carry_on + w.belief[kind, 1] * (w.value[option] - w.carry_on) + w.belief[kind, 0] * w.scale
        w.value[option] = learned + taste(w, kind) * w.scale


@inner
def taste(w: World, kind: int) -> float:
    """How much players prefer a kind of option beyond what it pays, in scales."""
    if kind == at.THREE:
        return w.model[par.TASTE_THREE]
    if kind == at.MID:
        return w.model[par.TASTE_MID]
    if kind == at.DRIVE_IT:
        return w.model[par.TASTE_DRIVE]
    return w.model[par.TASTE_HOLD] if kind == at.KEEP else 0.0


@inner
def write_down(w: World, option: int, estimate: float) -> None:
    """Keep what was chosen, what it was thought to be worth, and the net points until then."""
    if w.learning == 0 or w.decided >= at.MOST_DECISIONS or w.kind[option] < 0:
        return
    so_far = 0.0
    for event in range(w.count.shape[0]):
        so_far += w.count[event] * w.worth[event]
    w.said[w.decided] = w.kind[option]
    w.thought[w.decided, 0], w.thought[w.decided, 1] = estimate, so_far
    w.decided += 1


@inner
def pick(w: World, options: int) -> int:
    """Draw an option by softmax over what the holder sees: better readers draw more sharply."""
    estimates = w.estimate
    for option in range(options):
        estimates[option] = w.value[option]
    believe(w, options)
    reads = w.body[w.holder, its.READS]
    spread = w.scale * (w.model[par.TEMPERATURE] + (1.0 - reads) * w.model[par.MISJUDGE])
    best = w.value[0]
    for option in range(1, options):
        best = max(best, w.value[option])
    total = 0.0
    for option in range(options):
        w.weight[option] = math.exp((w.value[option] - best) / spread) if w.value[option] > at.NOT_OPEN else 0.0
        total += w.weight[option]
    left = draw(w, at.FOR_CHOICE) * total
    for option in range(options):
        left -= w.weight[option]
        if left < 0.0:
            write_down(w, option, estimates[option])
            return option
    return at.SHOOT


@inner
def note_open_shot(w: World) -> None:
    """Count an open jump shot on the catch that was not taken."""
    holder = w.holder
    x, y = w.here[holder, 0], w.here[holder, 1]
    fresh = w.t <= w.t_catch + 0.01 and w.passer != at.NOBODY
    event = make_event(w, x, y)
    in_range = event != at.MAKE_RIM and span(x, y) < 8.0 and shot_rule_broken(w, holder, x, y, w.passes_side) < 0
    if fresh and in_range and gap_at_m(w, x, y, 0.0, 0.0, 0.0) >= w.model[par.OPEN_GAP] + 0.5:
        w.count[at.OPEN_TURNED_DOWN] += 1
