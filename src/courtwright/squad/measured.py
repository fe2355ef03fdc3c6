"""A squad's figures: the level's preset, moved by what was measured of each player.

Height is taken as it is. Timed sprints and shooting tests are weighed against the
preset (`courtwright.floor.fitting`): its half-width is read as one standard
deviation between players, and what remains after the fit is the new half-width.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import Final

import numpy as np
from numpy.typing import NDArray

from courtwright.engine import plain
from courtwright.floor import body as its
from courtwright.floor.fitting import Belief, ShotFit, SprintFit, fit_shots, fit_sprint
from courtwright.floor.presets import Preset, preset, triangular
from courtwright.floor.shots import make_chance
from courtwright.squad.document import Player, Squad
from courtwright.vocabulary import Level, Zone

GRADE_LOGIT: Final = 0.15
"""Log-odds of a shot for each step of the coach's grade from 3 (ours, a guess)."""
GROUP_SHARE: Final = 0.5
"""Share of a shot figure's variance that players of one squad and level have in common (ours)."""
OPEN_GAP_M: Final = 3.05
"""Nobody guards a shooting test; from here on more room changes nothing in the shot table."""
TEST_DISTANCE_M: Final = {Zone.RIM: 1.2, Zone.MID: 4.5, Zone.THREE: 7.0}
"""Where the shots of a test are taken to come from (ours)."""
ZONE_FIGURE: Final = {Zone.RIM: its.RIM_LOGIT, Zone.MID: its.MID_LOGIT, Zone.THREE: its.THREE_LOGIT}

Floats = NDArray[np.float64]
Tries = tuple[int, int]
"""Makes and attempts of a test."""
UNTESTED: Final[Tries] = (0, 0)


@dataclass(frozen=True, slots=True)
class Measured:
    """Figures of some players: middle and half-width, each of shape (players, figures)."""

    mid: Floats
    spread: Floats

    def drawn(self, quantiles: Floats) -> Floats:
        """Values at the quantiles of each figure's triangular range.

        Parameters
        ----------
        quantiles
            Between 0 and 1, shape (sets, figures); the same for every player, so that sets are levels, not luck.

        Returns
        -------
        figures
            Shape (sets, players, figures).
        """
        return np.asarray(self.mid + self.spread * triangular(quantiles)[:, None, :])


def measured(squad: Squad, players: Sequence[Player] | None = None) -> Measured:
    """Figures of players of the squad, by default those who are here, in the order of `FIGURES`."""
    players = squad.here if players is None else players
    kinds = [preset(level_of(squad, player)) for player in players]
    figures = np.array([[(figure.mid, figure.spread) for figure in kind.figures] for kind in kinds])
    figures = figures.reshape(len(players), len(preset(squad.level).figures), 2)
    tests = {level: _tests(squad, level) for level in {kind.level for kind in kinds}}
    for player, kind, row in zip(players, kinds, figures, strict=True):
        if player.height_cm is not None:
            row[its.HEIGHT] = player.height_cm, 0.0
        fit = sprint_of(player, kind.level)
        if fit is not None and fit.refusal is None:
            row[its.TOP], row[its.TAU] = fit.top_m_per_s, fit.tau_s
        _put_shots(player, kind, tests[kind.level], row)
    return Measured(figures[..., 0], figures[..., 1])


def level_of(squad: Squad, player: Player) -> Level:
    """The player's own level, or the squad's."""
    return player.level or squad.level


def sprint_of(player: Player, level: Level) -> SprintFit | None:
    """The player's splits fitted against the level's preset; nothing without splits."""
    return _sprint(tuple(player.splits_s.items()), level) if player.splits_s else None


@lru_cache(maxsize=512)
def _sprint(splits_s: tuple[tuple[float, float], ...], level: Level) -> SprintFit:
    distances_m, times_s = zip(*splits_s, strict=True)
    figures = preset(level).figures
    top, tau = (Belief(figures[place].mid, figures[place].spread) for place in (its.TOP, its.TAU))
    return fit_sprint(distances_m, times_s, top_m_per_s=top, tau_s=tau)


# --- shooting tests


def tries_of(player: Player, zone: Zone) -> Tries | None:
    """Makes and attempts of a player's test in a zone, if he took any shot."""
    shots = player.shooting.get(zone)
    return None if shots is None or not shots.attempts else (shots.makes, shots.attempts)


def open_logit(kind: Preset, zone: Zone) -> float:
    """Log-odds that the model gives a usual player of the level with nobody near him, off the catch."""
    mids = kind.mids()
    offsets = mids[its.RIM_LOGIT], mids[its.MID_LOGIT], mids[its.THREE_LOGIT]
    beyond_arc, slope = zone is Zone.THREE, mids[its.PRESSURE]
    chance = plain(make_chance)(TEST_DISTANCE_M[zone], OPEN_GAP_M, 1.0, beyond_arc, slope, *offsets)
    return math.log(chance / (1.0 - chance))


def _tests(squad: Squad, level: Level) -> dict[Zone, tuple[Tries, ...]]:
    """Tests of everyone at the level, here or not, in the zones where anyone was tested."""
    peers = [player for player in squad.players if level_of(squad, player) is level]
    tests = {zone: tuple(tries_of(player, zone) for player in peers) for zone in Zone}
    return {zone: tuple(tries or UNTESTED for tries in taken) for zone, taken in tests.items() if any(taken)}


def _put_shots(player: Player, kind: Preset, tests: dict[Zone, tuple[Tries, ...]], row: Floats) -> None:
    """Move the shot figures by the tests, or where a player was not tested by the coach's grade."""
    for zone, place in ZONE_FIGURE.items():
        tries = tries_of(player, zone)
        if zone in tests:
            fit = _shots(tests[zone], kind.level, zone)
            peer = tests[zone].index(tries or UNTESTED)  # players with equal tests have equal fits
            row[place] = row[place, 0] + fit.offset[peer], fit.sd[peer]
        if tries is None:
            row[place, 0] += GRADE_LOGIT * ((player.grade or 3) - 3)


@lru_cache(maxsize=64)
def _shots(tests: tuple[Tries, ...], level: Level, zone: Zone) -> ShotFit:
    kind = preset(level)
    makes, attempts = zip(*tests, strict=True)
    variance = kind.figures[ZONE_FIGURE[zone]].spread ** 2
    between_sd, group_sd = math.sqrt((1 - GROUP_SHARE) * variance), math.sqrt(GROUP_SHARE * variance)
    return fit_shots(makes, attempts, open_logit(kind, zone), between_sd=between_sd, group_sd=group_sd)
