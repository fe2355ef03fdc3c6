"""How far off the trial is: every published row beside what the trial makes of it, on fresh seeds."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import asdict, dataclass
from typing import Any, Final

import numpy as np

from courtwright.calibration.aggregate import add_up
from courtwright.calibration.rows import Target, targets, values
from courtwright.calibration.setting import setting_plan

FRESH_SEEDS: Final = (11, 12, 13)
"""Not among those the fit saw."""
POSSESSIONS: Final = 20_000


@dataclass(frozen=True, slots=True)
class Row:
    """One row of the table."""

    target: Target
    simulated: tuple[float, ...]
    """one value for each seed"""

    @property
    def mean(self) -> float:
        """Over seeds."""
        return float(np.mean(self.simulated))

    @property
    def gap(self) -> float:
        """Simulated less published."""
        return self.mean - self.target.target

    @property
    def within(self) -> bool:
        """Whether the mean is within the tolerance named beforehand."""
        return abs(self.gap) <= self.target.tolerance

    def to_json(self) -> dict[str, Any]:
        """Plain JSON data."""
        found = {"simulated": [round(value, 4) for value in self.simulated], "gap": round(self.gap, 4)}
        return asdict(self.target) | found | {"within": self.within}


def report(seeds: Sequence[int] = FRESH_SEEDS, *, possessions: int = POSSESSIONS, threads: int = 1) -> list[Row]:
    """Play the setting on each seed and lay the rows beside their targets.

    The middles of all parameters are played, so that the table shows the model and
    not its uncertainty.
    """
    found = [values(add_up(setting_plan(seed=seed), possessions, threads=threads)) for seed in seeds]
    return [Row(target, tuple(each[target.key] for each in found)) for target in targets()]
