"""Help on a drive: who is called, when he has left, and who takes whom where the others rotate."""

from __future__ import annotations

from courtwright.engine import inner
from courtwright.floor import body as its
from courtwright.floor.movement import NEVER_S, run_time_s, span
from courtwright.trial import layout as at
from courtwright.trial.layout import World
from courtwright.trial.motion import distance_m, toward


@inner
def call_help(w: World) -> None:
    """The defender who can be in the driver's way first leaves his man after his reaction."""
    driver = w.holder
    best_s = NEVER_S
    ux, uy, away_m = toward(0.0, 0.0, w.here[driver, 0], w.here[driver, 1])
    stop_m = 0.5 * away_m
    for defender in range(w.attackers, w.players):
        if w.guard[defender] == driver:
            continue
        far_m = span(ux * stop_m - w.here[defender, 0], uy * stop_m - w.here[defender, 1])
        arrives_s = w.body[defender, its.REACT_HELP] + run_time_s(
            far_m, 0.0, w.body[defender, its.TOP], w.body[defender, its.TAU]
        )
        if arrives_s < best_s:
            best_s = arrives_s
            w.helper = defender
    if w.helper >= 0:
        w.t_help = w.t + w.body[w.helper, its.REACT_HELP]
        w.helping = 0


@inner
def note_help(w: World) -> None:
    """The helper has left his man."""
    w.helping = 1
    w.count[at.HELP] += 1
    if w.rules[at.ROTATION] > 0.0:
        rotate(w)
    if w.help_dribble < 0.0:
        w.help_dribble = max(1.0, float(w.used))


@inner
def rotate(w: World) -> None:
    """The mate nearest to the helper's man takes him; the beaten defender looks after the man that is left."""
    helper, driver = w.helper, w.holder
    left_man = w.guard[helper]
    if left_man < 0 or left_man == driver:
        return
    beaten = w.guard[driver]
    cover, best_m = -1, 99.0
    for defender in range(w.attackers, w.players):
        if defender in (helper, beaten):
            continue
        away_m = distance_m(w, defender, left_man)
        if away_m < best_m:
            cover, best_m = defender, away_m
    if cover < 0:
        cover = beaten
    if cover < 0:
        return
    his_man = w.guard[cover]
    w.guard[cover], w.guard[left_man] = left_man, cover
    if cover != beaten and beaten >= 0 and his_man >= 0:
        w.guard[beaten], w.guard[his_man] = his_man, beaten
    w.guard[helper], w.guard[driver] = driver, helper
