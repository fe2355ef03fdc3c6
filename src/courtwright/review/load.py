"""Load as the players felt it: session RPE × minutes, and a week's monotony and strain.

The standard deviation is that of the seven days, days off counted as 0, with n − 1 below (our convention; sources
differ). A week that is the same every day has none, and so no monotony. Nothing here tells who will be hurt: no
cut-off is known to, and the ratio of recent to earlier load is left out (Impellizzeri et al. 2020).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from statistics import fmean, stdev
from typing import Any, Final

from courtwright.errors import WordError

DAYS: Final = 7
WORDS: Final = {
    0: "rest",
    1: "very, very easy",
    2: "easy",
    3: "moderate",
    4: "somewhat hard",
    5: "hard",
    7: "very hard",
    10: "maximal",
}
"""What a player is asked to choose from, about half an hour after; 6, 8 and 9 have no words."""
MOST_HOURS_A_WEEK: Final = {(7, 8): 3, (9, 11): 5, (12, 14): 10, (15, 18): 14}
"""Hours of coached basketball a week by age, first and last year.

Source: DiFiori et al. 2018; its grades 9 to 12 are taken as 15 to 18 years.
"""
CAUTIONS: Final = (
    "This is load from what was entered here; school, other teams and free play are not in it.",
    "It does not tell who will be hurt. Pain, illness and return to play are for qualified people under local rules.",
)


def session_load(rpe: float, minutes: float) -> float:
    """RPE (0 to 10) × minutes, in arbitrary units; raises `WordError` outside (Foster et al. 2001)."""
    if not 0 <= rpe <= 10 or not 0 <= minutes <= 24 * 60:
        raise WordError(f"RPE {rpe:g} for {minutes:g} minutes cannot be; RPE runs from 0 to 10")
    return rpe * minutes


@dataclass(frozen=True, slots=True)
class Week:
    """A week of daily loads."""

    load: float
    monotony: float | None
    """daily mean by standard deviation; None where every day was the same: it is not defined then"""
    strain: float | None
    """load × monotony"""

    def to_json(self) -> dict[str, Any]:
        """Give it as plain JSON data."""
        told = {"load": self.load, "monotony": self.monotony, "strain": self.strain}
        return {name: None if value is None else round(value, 3) for name, value in told.items()}


def week(daily: Sequence[float]) -> Week:
    """Load, monotony and strain of seven days; a day off is 0, and every day has to be given (Foster 1998)."""
    if len(daily) != DAYS:
        raise WordError(f"a week has {DAYS} days, days off as 0; {len(daily)} were given")
    load, sd = sum(daily), stdev(daily)
    if sd == 0:
        return Week(load, None, None)
    monotony = fmean(daily) / sd
    return Week(load, monotony, load * monotony)


def hours_caution(age: int, hours: float) -> str:
    """A caution where a week holds more coached hours than the youth guideline; empty otherwise."""
    most = next((most for (first, last), most in MOST_HOURS_A_WEEK.items() if first <= age <= last), None)
    if most is None or hours <= most:
        return ""
    return (
        f"{hours:g} hours of coached basketball this week; a youth guideline has {most} at most at {age} "
        "(DiFiori et al. 2018). Local rules go before it."
    )
