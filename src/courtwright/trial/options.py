"""The options of the one who holds the ball, and the draw among them."""

from __future__ import annotations

import math

from courtwright.engine import kernel
from courtwright.floor import body as its
from courtwright.floor.movement import span
from courtwright.trial import layout as at
from courtwright.trial import parameters as par
from courtwright.trial.draws import draw
from courtwright.trial.driving import drive_worth, finish_worth, go_on_worth
from courtwright.trial.layout import World
from courtwright.trial.limits import catch_left_s, dribble_rule, dribbles_left, make_event, shot_rule_broken
from courtwright.trial.motion import gap_at_m
from courtwright.trial.values import (
    breach_worth,
    clock_left_s,
    expected_gap_m,
    hold_worth,
    own_breach_worth,
    pass_worth,
    shot_worth,
)


@kernel
def standing_options(w: World, dead: bool) -> None:
    """Fill `World.value` for a holder who stands: shoot, drive left or right, hold, pass to each mate."""
    holder = w.holder
    x, y = w.here[holder, 0], w.here[holder, 1]
    fresh = w.t <= w.t_catch + 0.01
    catch = 1.0 if fresh and w.used == 0 and w.passer != at.NOBODY else 0.0
    seen_s = 0.0
    gap_m = expected_gap_m(w, x, y, seen_s, w.body[holder, its.RELEASE])
    w.value[at.SHOOT] = shot_worth(w, holder, x, y, gap_m, catch, w.passes_side, catch * w.from_drive)
    if clock_left_s(w) < w.body[holder, its.RELEASE]:
        w.value[at.SHOOT] = breach_worth(w, at.CLOCK_S)
    go_s = w.body[holder, its.REACT_ATTACK]
    w.value[at.DRIVE_LEFT] = w.value[at.DRIVE_RIGHT] = at.NOT_OPEN
    if not dead:
        w.value[at.DRIVE_LEFT] = drive_worth(w, holder, -1.0, go_s)
        w.value[at.DRIVE_RIGHT] = drive_worth(w, holder, 1.0, go_s)
    elif dribbles_left(w) < 1.0:
        w.value[at.DRIVE_LEFT] = own_breach_worth(w, holder, dribble_rule(w))  # one dribble too many
    w.value[at.HOLD] = hold_worth(w, w.model[par.LOOK])
    if dead:
        w.value[at.HOLD] -= 0.25 * w.scale
    if catch_left_s(w) < w.model[par.LOOK]:
        w.value[at.HOLD] = own_breach_worth(w, holder, at.CATCH_S)
    for mate in range(w.attackers):
        w.value[at.PASS_TO + mate] = at.NOT_OPEN if mate == holder else pass_worth(w, holder, mate, 0.0)


@kernel
def drive_options(w: World, gathered: bool) -> None:
    """Fill `World.value` in a drive."""
    driver = w.holder
    x, y = w.here[driver, 0], w.here[driver, 1]
    passes = w.passes_side
    finish = finish_worth(w, driver)
    if gathered:
        w.value[at.SHOOT] = finish
        w.value[at.HOLD] = at.NOT_OPEN
    else:
        gap_m = gap_at_m(w, x, y, w.model[par.TRAILING], 0.0, 0.0)
        w.value[at.SHOOT] = shot_worth(w, driver, x, y, max(0.45, gap_m - 0.3), 0.0, passes, 0.0)
        w.value[at.HOLD] = go_on_worth(w, driver, finish)
    w.value[at.DRIVE_LEFT] = hold_worth(w, 0.6) - (0.3 if gathered else 0.1) * w.scale
    w.value[at.DRIVE_RIGHT] = at.NOT_OPEN
    for mate in range(w.attackers):
        w.value[at.PASS_TO + mate] = at.NOT_OPEN if mate == driver else pass_worth(w, driver, mate, 1.0)


@kernel
def pick(w: World, options: int) -> int:
    """Draw an option by softmax over what the holder sees: better readers draw more sharply."""
    reads = w.body[w.holder, its.READS]
    spread = w.scale * (w.model[par.TEMPERATURE] + (1.0 - reads) * w.model[par.MISJUDGE])
    best = w.value[0]
    for option in range(1, options):
        best = max(best, w.value[option])
    total = 0.0
    for option in range(options):
        total += math.exp((w.value[option] - best) / spread)
    left = draw(w, at.FOR_CHOICE) * total
    for option in range(options):
        left -= math.exp((w.value[option] - best) / spread)
        if left < 0.0:
            return option
    return at.SHOOT


@kernel
def note_open_shot(w: World) -> None:
    """Count an open jump shot on the catch that was not taken."""
    holder = w.holder
    x, y = w.here[holder, 0], w.here[holder, 1]
    fresh = w.t <= w.t_catch + 0.01 and w.passer != at.NOBODY
    event = make_event(w, x, y)
    in_range = event != at.MAKE_RIM and span(x, y) < 8.0 and shot_rule_broken(w, holder, x, y, w.passes_side) < 0
    if fresh and in_range and gap_at_m(w, x, y, 0.0, 0.0, 0.0) >= w.model[par.OPEN_GAP] + 0.5:
        w.count[at.OPEN_TURNED_DOWN] += 1
