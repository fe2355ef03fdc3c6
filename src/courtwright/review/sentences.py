"""Plain sentences from numbers. None claims anything where its range crosses the line."""

from __future__ import annotations

import math

from courtwright.review.effects import Effect, Plan
from courtwright.review.events import Coverage
from courtwright.review.forecast import LAST, Verdict
from courtwright.review.intervals import Interval
from courtwright.review.rates import Rate
from courtwright.review.ratings import SURE, Order
from courtwright.review.streaks import Streak
from courtwright.vocabulary import Side

IN_ROLE = {Side.OFFENCE: "in attack", Side.DEFENCE: "in defence"}


def counted(count: int, word: str) -> str:
    """A count with its word: 1 possession, 2 possessions."""
    return f"{count} {word}" if count == 1 else f"{count} {word}s"


def percent(share: float) -> str:
    """A share in whole percent, the sign left to the sentence."""
    return f"{100 * share:.0f}"


def span(low: str, high: str) -> str:
    """From one number to another; one alone where both read alike."""
    return low if low == high else f"{low} to {high}"


def coverage_line(told: Coverage, tag: str = "") -> str:
    """How much of what was played was told."""
    if not told.played:
        return "Nothing was played yet."
    tagged = f"{tag} watched for in" if tag else "tagged"
    line = f"Scored {told.scored} of {counted(told.played, 'possession')}, {tagged} {told.tagged}."
    if told.again:
        was = "was" if told.again == 1 else "were"
        line += f" {told.again} of them {was} run again from a frozen moment: shown, not counted."
    return line


def counts_line(told: Coverage) -> str:
    """Both counts, named."""
    return (
        f"{counted(told.possessions, 'possession')} until the ball changed side, "
        f"{counted(told.chances, 'chance')} until a shot, a foul or a turnover."
    )


def rate_line(name: str, what: str, rate: Rate) -> str:
    """What was seen of a player and what is likely."""
    if not rate.of:
        return f"{name}: no {what} told yet."
    likely = span(percent(rate.likely.low), percent(rate.likely.high))
    return f"{name}: {what}, {rate.hits} of {rate.of}; likely {likely} % in the long run."


def count_line(name: str, what: str, count: int) -> str:
    """A count without a denominator."""
    times = {0: "not once", 1: "once", 2: "twice"}.get(count, f"{count} times")
    return f"{name}: {what} told {times}; nobody counts how often it could have been."


def order_line(order: Order) -> str:
    """Which of two does better, or that it is too early."""
    where = IN_ROLE[order.side]
    if not order.ahead:
        return f"Too early to say whether {order.one} or {order.other} does better {where}."
    behind = order.other if order.ahead == order.one else order.one
    sure = max(order.probability, 1 - order.probability)
    # rounded down, so that it never says more than is known
    return f"{order.ahead} likely does better than {behind} {where} ({min(99, math.floor(sure * 100 + 1e-9))} in 100)."


def difference_line(what: str, before: tuple[int, int], since: tuple[int, int], apart: Interval) -> str:
    """Two shares, before and since; ``apart`` is the range of the second less the first."""
    seen = f"{what}: {before[0]} of {before[1]} before, {since[0]} of {since[1]} since"
    if apart.holds(0.0):
        return f"{seen}; chance alone may make as much."
    way, ends = _one_way(apart)
    return f"{seen}: {span(percent(ends.low), percent(ends.high))} in 100 {way}. A difference, not an effect."


def _one_way(ends: Interval) -> tuple[str, Interval]:
    """A range on one side of 0 as a word and sizes."""
    return ("more", ends) if ends.low > 0 else ("fewer", Interval(-ends.high, -ends.low))


def effect_line(rule: str, told: Effect, planned: Plan, a_practice: int) -> str:
    """What an alternation says of a constraint, or what is still needed."""
    if told.told:
        way, ends = _one_way(told.range)
        low, high = f"{ends.low:.2f}", f"{ends.high:.2f}"
        return f"With “{rule}” the attack has {span(low, high)} points a possession {way}, at this look and any other."
    needed, practices = planned.left(told.blocks * planned.block, a_practice)
    line = f"Whether “{rule}” changes anything cannot be told yet."
    if not needed:
        return f"{line} If it does, by less than {abs(planned.effect):g} points a possession most likely."
    more = f"{counted(needed, 'more possession')} ({counted(practices, 'practice')})"
    return f"{line} {more} would likely show {abs(planned.effect):g} points a possession."


def forecast_line(what: str, told: Verdict) -> str:
    """How the forecasts of something did."""
    against = f"the last {LAST} runs as a forecast"
    inside = f"{told.inside} of {counted(told.runs, 'run')} came within nine in ten of it"
    if told.said == "too few to say":
        return f"Forecasts of {what}: too few to say; {inside}."
    if told.said == "no better":
        return f"Forecasts of {what} were no better than {against}; {inside}."
    return f"Forecasts of {what} were {told.said} than {against}; {inside}."


def streak_line(name: str, told: Streak | None) -> str:
    """Whether hits follow hits, never measured against the share itself."""
    if told is None:
        return f"{name}: too few shots to speak of streaks."
    chance = f"{percent(told.by_chance)} % by chance in a row like this"
    if told.p > 1 - SURE:
        return f"{name}: {percent(told.seen)} % after a hit, {chance}: no sign of streaks."
    return f"{name}: {percent(told.seen)} % after a hit, {chance}: streakier than nine in ten orders by chance."
