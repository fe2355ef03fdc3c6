"""A reading: for every attacker without the ball a pass, for every helper his choices, and what waiting costs."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import cached_property
from typing import Any, Final

import numpy as np

from courtwright.engine import COMPILED, plain
from courtwright.floor import body as its
from courtwright.floor.readout import TIMINGS, read_draws
from courtwright.reading.estimate import SMALLEST, SURE, Estimate, estimate
from courtwright.reading.prepare import Array, Setting
from courtwright.reading.switch import Crossing, crossing_of, early_curve

FORMAT: Final = "courtwright.reading/1"
PAUSES_S: Final = (0.25, 0.5, 1.0)
IN_TIME_M: Final = 1.2
SOME: Final = 0.1
"""A dribble that fewer drives than this have is not spoken of (ours)."""


@dataclass(frozen=True)
class Raw:
    """What the kernels bring; the first axis is the parameter set."""

    shot: Array
    """(sets, 3) gap, chance, worth"""
    passes: Array
    """(sets, attackers, 4) gap, chance, risk, worth"""
    drive: Array
    """(sets, 7) see `courtwright.floor.readout.DRIVE`"""
    rows: Array
    """(sets, defenders, 4 moments of leaving, 5) see `courtwright.floor.readout.ROW`"""
    worth: Array
    """(sets,) of the moment"""


def read_raw(setting: Setting, *, pause_s: float = 0.0, turns: bool = True, engine: str = "numba") -> Raw:
    """Run the kernels; without ``turns`` the next man's help is not looked at."""
    compiled = COMPILED and engine == "numba"
    sets, defenders = len(setting.bodies), len(setting.figures) - setting.attackers
    raw = Raw(
        np.zeros((sets, 3)),
        np.zeros((sets, setting.attackers, 4)),
        np.zeros((sets, 7)),
        np.zeros((sets, defenders, 4, 5)),
        np.zeros(sets),
    )
    kernel: Callable[..., None] = read_draws if compiled else plain(read_draws)
    kernel(
        setting.scene(pause_s=pause_s, turns=turns, compiled=compiled),
        np.ascontiguousarray(setting.bodies),
        np.ascontiguousarray(setting.assumed),
        setting.worth.reset,
        setting.worth.fouled,
        raw.shot,
        raw.passes,
        raw.drive,
        raw.rows,
        raw.worth,
    )
    return raw


@dataclass(frozen=True)
class Row:
    """One helper leaving on one cue."""

    leaves: str
    in_time: str
    """in time, even or late at the rim"""
    rim_gap: Estimate
    left_gap: Estimate
    worth: Estimate
    worth_rotated: Estimate
    is_level: bool
    """within .03 of this helper's best, helping alone"""
    is_level_rotated: bool
    best_share: float
    """share of parameter sets in which it is the best of his rows, never helping included"""


@dataclass(frozen=True)
class Reading:
    """Everything a moment offers, from one set of draws."""

    setting: Setting
    raw: Raw

    @property
    def unit(self) -> str:
        """What worth is counted in."""
        return self.setting.worth.unit

    def figure(self, index: int) -> str:
        """A figure by its place in the arrays."""
        return self.setting.figures[index]

    @cached_property
    def helpers(self) -> list[int]:
        """Defenders who do not guard the ball, by their place among the defenders."""
        on_ball = self.setting.guard[self.setting.holder] - self.setting.attackers
        return [d for d in range(self.raw.rows.shape[1]) if d != on_ball]

    def shot(self) -> dict[str, Estimate]:
        """The holder's own shot now."""
        return self._shot(self.raw.shot[:, 0], self.raw.shot[:, 1], self.raw.shot[:, 2])

    def _shot(self, gap: Array, chance: Array, worth: Array) -> dict[str, Estimate]:
        return {
            "gap": estimate(gap, "metres at release"),
            "chance": estimate(chance, "share made"),
            "worth": estimate(worth, self.unit),
        }

    def passes(self) -> dict[str, dict[str, Estimate]]:
        """A pass now to each mate."""
        mates = [index for index in range(self.setting.attackers) if index != self.setting.holder]
        read = self.raw.passes
        return {
            self.figure(index): self._shot(read[:, index, 0], read[:, index, 1], read[:, index, 3])
            | {"risk": estimate(read[:, index, 2], "share lost")}
            for index in mates
        }

    def drive(self) -> dict[str, Estimate]:
        """The drive as a whole; ``worth`` is against the best help of one man."""
        read = self.raw.drive
        return {
            "contained": estimate(read[:, 0], "share of drives held"),
            "beat": estimate(read[:, 1], "seconds"),
            "release": estimate(read[:, 2], "seconds"),
            "never_helped": estimate(read[:, 3], self.unit),
            "worth": estimate(read[:, 5], self.unit),
            "worth_rotated": estimate(read[:, 4], self.unit),
        }

    @property
    def is_guarded(self) -> bool:
        """Whether anyone guards the ball."""
        return bool(self.setting.guard[self.setting.holder] >= 0)

    @property
    def dribbles(self) -> int:
        """Most dribbles that at least one set in ten fits into the drive."""
        touches = self.raw.drive[:, 6]
        return max([count for count in range(1, 9) if np.mean(touches > count - 0.5) >= SOME], default=1)

    def over_an_arm(self, gaps: Array) -> int:
        """1 where nine sets of ten leave a shooter more than a defender's arm, −1 where they do not; else 0."""
        bodies = self.setting.bodies[:, self.setting.attackers :]
        arms = 0.01 * (bodies[:, :, its.HEIGHT] * bodies[:, :, its.ARM]).mean(axis=1)
        share = float(np.mean(gaps > arms))
        return 1 if share >= SURE else -1 if share <= 1 - SURE else 0

    def contained(self) -> str:
        """How surely the on-ball man holds the drive; the level is uncalibrated, so only a word."""
        held = float(self.raw.drive[:, 0].mean())
        return "low" if held < 0.4 else "high" if held > 0.65 else "even"

    def man(self, helper: int) -> str:
        """The attacker a helper answers for."""
        return self.figure(int(self.setting.guard[self.setting.attackers + helper]))

    def rows(self, helper: int) -> list[Row]:
        """A helper's four moments of leaving."""
        return self._rows[helper]

    @cached_property
    def _rows(self) -> dict[int, list[Row]]:
        return {helper: self._rows_of(helper) for helper in self.helpers}

    def _rows_of(self, helper: int) -> list[Row]:
        rows, never = self.raw.rows[:, helper], self.raw.drive[:, 3:4]
        alone, turned = np.hstack([rows[:, :, 0], never]), np.hstack([rows[:, :, 1], never])
        best = np.bincount(alone.argmin(axis=1), minlength=5) / len(alone)
        near, near_turned = (worths.mean(axis=0).min() + SMALLEST for worths in (alone, turned))
        return [
            Row(
                leaves=timing,
                in_time=_in_time(rows[:, index, 2]),
                rim_gap=estimate(rows[:, index, 2], "metres at the finish's release"),
                left_gap=estimate(rows[:, index, 3], "metres at release"),
                worth=estimate(rows[:, index, 0], self.unit),
                worth_rotated=estimate(rows[:, index, 1], self.unit),
                is_level=bool(rows[:, index, 0].mean() <= near),
                is_level_rotated=bool(rows[:, index, 1].mean() <= near_turned),
                best_share=round(float(best[index]), 3),
            )
            for index, timing in enumerate(TIMINGS)
        ]

    def never_best_share(self, helper: int) -> float:
        """Share of parameter sets in which never helping is the best this helper can do."""
        return 1.0 - sum(row.best_share for row in self.rows(helper))

    def never_is_level(self, helper: int) -> bool:
        """Whether not helping is within .03 of this helper's best."""
        rows, never = self.raw.rows[:, helper, :, 0], self.raw.drive[:, 3]
        return bool(never.mean() <= min(rows.mean(axis=0).min(), never.mean()) + SMALLEST)

    def early_cost(self, helper: int, *, rotated: bool = False) -> Array:
        """Per set: what leaving on dribble 1 costs the defence over the better of dribble 2 and when beaten."""
        rows = self.raw.rows[:, helper, :, 1 if rotated else 0]
        cost: Array = rows[:, 0] - np.minimum(rows[:, 1], rows[:, 3])
        return cost

    def never_cost(self) -> Array:
        """Per set: what never helping costs the defence over its best single help."""
        cost: Array = self.raw.drive[:, 3] - self.raw.drive[:, 5]
        return cost

    def pauses(self) -> dict[float, Array]:
        """Per set and pause: what waiting so long after the catch costs the offence."""
        return {
            pause_s: self.raw.worth - read_raw(self.setting, pause_s=pause_s, turns=False).worth for pause_s in PAUSES_S
        }

    def switch(self, helper: int) -> dict[float, Array] | None:
        """Early cost against the open three-point share of the man left; nothing where he is no shooter from there."""
        return self._switches[helper]

    @cached_property
    def _switches(self) -> dict[int, dict[float, Array] | None]:
        return {helper: early_curve(self.setting, helper) for helper in self.helpers}

    def crossing(self, helper: int) -> Crossing | None:
        """Where on the switch's curve early help begins to cost something."""
        curve = self.switch(helper)
        return None if curve is None else crossing_of(curve)

    @property
    def break_even(self) -> Estimate | None:
        """The share of threes at which points × share is what starting over brings: about there the curve crosses."""
        worth = self.setting.worth
        gain = worth.baskets[2] - worth.missed
        return estimate((worth.reset - worth.missed) / gain, "share of threes made") if gain > 0 else None

    def to_json(self) -> dict[str, Any]:
        """Plain JSON data: what follows the finger; pauses, switch and sentences come on release."""
        return {
            "format": FORMAT,
            "moment": self.setting.moment.name,
            "moment_hash": self.setting.moment.hash,
            "unit": self.unit,
            "parameter_sets": len(self.setting.bodies),
            "range": "8 of 10 parameter sets fall between low and high",
            "holder": self.setting.moment.ball,
            "shot": _json(self.shot()),
            "passes": [{"to": figure} | _json(read) for figure, read in self.passes().items()],
            "drive": _json(self.drive()) | {"contained_word": self.contained(), "dribbles_at_most": self.dribbles},
            "help": [self._help_json(helper) for helper in self.helpers],
        }

    def _help_json(self, helper: int) -> dict[str, Any]:
        defender = self.setting.attackers + helper
        rows = [
            {
                "leaves": row.leaves,
                "in_time": row.in_time,
                "rim_gap": row.rim_gap.to_json(),
                "left_gap": row.left_gap.to_json(),
                "worth": row.worth.to_json(),
                "worth_rotated": row.worth_rotated.to_json(),
                "level": row.is_level,
                "level_rotated": row.is_level_rotated,
                "best_share_of_sets": row.best_share,
            }
            for row in self.rows(helper)
        ]
        never = {"worth": estimate(self.raw.drive[:, 3], self.unit).to_json(), "level": self.never_is_level(helper)}
        return {"helper": self.figure(defender), "man": self.man(helper), "rows": rows, "never": never}


def _in_time(gaps: Array) -> str:
    share = float(np.mean(gaps <= IN_TIME_M))
    return "in time" if share >= 0.9 else "late" if share <= 0.1 else "even"


def _json(read: dict[str, Estimate]) -> dict[str, Any]:
    return {name: value.to_json() for name, value in read.items()}
