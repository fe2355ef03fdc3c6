"""Where each figure of a body stands in the arrays the kernels see: ``body[player, TOP]`` and so on."""

from __future__ import annotations

from typing import Final

from courtwright.floor.presets import FIGURES

TOP: Final = FIGURES.index("top_speed_m_per_s")
TAU: Final = FIGURES.index("sprint_time_constant_s")
REACT_OFF: Final = FIGURES.index("reaction_off_ball_s")
REACT_ON: Final = FIGURES.index("reaction_on_ball_s")
REACT_ATTACK: Final = FIGURES.index("reaction_attack_s")
REACT_HELP: Final = FIGURES.index("reaction_help_s")
SLIDE: Final = FIGURES.index("slide_ratio")
BRAKE: Final = FIGURES.index("brake_m_per_s2")
STOP_GAP: Final = FIGURES.index("stop_gap_m")
DRIBBLE_COST: Final = FIGURES.index("dribble_cost")
DRIBBLE_PERIOD: Final = FIGURES.index("dribble_period_s")
PASS_SPEED: Final = FIGURES.index("pass_speed_m_per_s")
RELEASE: Final = FIGURES.index("release_time_s")
THREE_LOGIT: Final = FIGURES.index("three_logit")
MID_LOGIT: Final = FIGURES.index("mid_logit")
RIM_LOGIT: Final = FIGURES.index("rim_logit")
PRESSURE: Final = FIGURES.index("pressure_slope")
FREE_THROW: Final = FIGURES.index("free_throw_share")
LAST_STEPS: Final = FIGURES.index("last_steps_m")
READS: Final = FIGURES.index("read_share")
HEIGHT: Final = FIGURES.index("height_cm")
ARM: Final = FIGURES.index("arm_ratio")
"""shoulder to fingertip, over height"""
