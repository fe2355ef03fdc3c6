"""The one use of the solver."""

from __future__ import annotations

from courtwright.rota.balance import Counts


def cheapest(cost: Counts) -> Counts:
    """Give each row a column of its own so that the sum of costs is least.

    Whole-number costs below 2^53 stay exact, so the answer is the same on every machine.
    """
    from scipy.optimize import linear_sum_assignment  # noqa: PLC0415 (takes most of a second to load; a sheet need not)

    columns: Counts = linear_sum_assignment(cost)[1]
    return columns
