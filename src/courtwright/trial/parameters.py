"""The trial's own parameters by name, and their draws."""

from __future__ import annotations

from typing import Final

import numpy as np
from numpy.typing import NDArray

from courtwright.floor.presets import Figure, drawn, fixed_quantiles, read_figures

MODEL_VERSION: Final = "2"
DRAWS: Final = 32
"""How many parameter sets a trial mixes; run i uses set i modulo this."""


PARAMETERS: Final[tuple[Figure, ...]] = read_figures("courtwright.trial", "parameters.toml")
_NAMES: Final = tuple(parameter.name for parameter in PARAMETERS)

STEP: Final = _NAMES.index("step_s")
SETTLE: Final = _NAMES.index("settle_s")
ON_BALL_GAP: Final = _NAMES.index("on_ball_gap_m")
SAG_NEAR: Final = _NAMES.index("sag_near")
SAG_FAR: Final = _NAMES.index("sag_far")
CONTACT: Final = _NAMES.index("contact_m")
BUMP: Final = _NAMES.index("bump")
BEND: Final = _NAMES.index("bend_m")
BEAT_SOFTNESS: Final = _NAMES.index("beat_softness_m")
TEMPERATURE: Final = _NAMES.index("temperature_points")
MISJUDGE: Final = _NAMES.index("misjudge_points")
PATIENCE: Final = _NAMES.index("patience_points_per_s")
LOOK: Final = _NAMES.index("look_s")
WIND_UP: Final = _NAMES.index("wind_up_s")
BAD_PASS: Final = _NAMES.index("bad_pass")
LANE_WEIGHT: Final = _NAMES.index("lane_weight")
LANE_SHIFT: Final = _NAMES.index("lane_shift_m")
LANE_SOFTNESS: Final = _NAMES.index("lane_softness_m")
STRIP: Final = _NAMES.index("strip")
OFFENSIVE_FOUL: Final = _NAMES.index("offensive_foul")
TRAILING: Final = _NAMES.index("trailing_m")
CRASH: Final = _NAMES.index("crash")
BOX_OUT: Final = _NAMES.index("box_out_m")
GRAB_SCALE: Final = _NAMES.index("grab_scale_m")
OPEN_GAP: Final = _NAMES.index("open_gap_m")
REBOUND_PAUSE: Final = _NAMES.index("pause_after_rebound_s")
GIVE_UP: Final = _NAMES.index("give_up_s")
RIM_SHIFT: Final = _NAMES.index("rim_shift")
MID_SHIFT: Final = _NAMES.index("mid_shift")
THREE_SHIFT: Final = _NAMES.index("three_shift")
FOULS: Final = _NAMES.index("fouls")
GAP_SPREAD: Final = _NAMES.index("gap_spread")
DENY: Final = _NAMES.index("deny")
DENY_DEAD: Final = _NAMES.index("deny_dead")
PRESSED_PASS: Final = _NAMES.index("pressed_pass")
CUTS: Final = _NAMES.index("cuts_per_s")
CRASH_PRICE: Final = _NAMES.index("crash_price")
TASTE_THREE: Final = _NAMES.index("taste_three")
TASTE_MID: Final = _NAMES.index("taste_mid")
TASTE_DRIVE: Final = _NAMES.index("taste_drive")
CONTEST: Final = _NAMES.index("contest")
TASTE_HOLD: Final = _NAMES.index("taste_hold")
TIPPED: Final = _NAMES.index("tipped")


def quantile_sets() -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """The quantiles that every trial uses for figures and for its own parameters, each (DRAWS, …).

    Fixed, so that two versions of a game are compared on the same sets.
    """
    return fixed_quantiles(DRAWS, len(PARAMETERS), seed=20260901)


def model_draws(quantiles: NDArray[np.float64]) -> NDArray[np.float64]:
    """The trial's parameters for each set of quantiles, shape (sets, parameters)."""
    return drawn(PARAMETERS, quantiles)
