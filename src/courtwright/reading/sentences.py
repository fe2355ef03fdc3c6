"""What a reading may say. Said: what nine parameter sets of ten agree on. The rest goes either way, or is not said.

Never said: a single best row that is best in under half of the sets, points to
two decimals as if they were known, charges, and anything about a shooter whose
percentage is a guess without showing both sides of the flip.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

import numpy as np

from courtwright.reading.estimate import sure_sign
from courtwright.reading.prepare import Array
from courtwright.reading.result import Reading

ARM_M: Final = 0.85
"""An arm's length, for words (0.44 of height; a grown player's)."""
EITHER: Final = "could go either way"


def listed(words: Sequence[str], last: str = "and") -> str:
    """Ada; Ada and Bex; Ada, Bex and Cleo."""
    return words[0] if len(words) == 1 else f"{', '.join(words[:-1])} {last} {words[-1]}"


def metres(value_m: float) -> str:
    """A distance as it may be said: to the half metre, from two metres on; to the tenth below."""
    return f"{round(value_m * 2) / 2:g} m" if value_m >= 2 else f"{value_m:.1f} m"


def span_of(values: Array) -> str:
    """Where eight of ten sets lie, to the twentieth of a point."""
    low, high = (round(float(value) * 20) / 20 for value in np.quantile(values, [0.1, 0.9]))
    return f"{low:.2f}" if low == high else f"{low:.2f} to {high:.2f}"


def shot_sentence(reading: Reading) -> str:
    """The holder's shot now."""
    gap = reading.shot()["gap"]
    room = "more than an arm's length" if gap.low > ARM_M else "within an arm's length" if gap.high < ARM_M else ""
    said = (
        f"If {reading.setting.moment.ball} shoots now, the nearest defender is {metres(gap.mean)} away at the release"
    )
    return f"{said}, {room}." if room else f"{said}; an arm's length {EITHER}."


def pass_sentence(reading: Reading) -> str:
    """Which mates are open to a pass now."""
    passes = reading.passes()
    if not passes:
        return "There is nobody to pass to."
    free = [figure for figure, read in passes.items() if read["gap"].low > ARM_M]
    if not free:
        return "Nobody is sure to have more than an arm's length on a pass now."
    gaps = [f"{figure} has about {metres(passes[figure]['gap'].mean)}" for figure in free]
    return f"On a pass now {listed(gaps)}: more than an arm's length."


def drive_sentence(reading: Reading) -> str:
    """Whether his man holds the drive; the level is uncalibrated, so only a word."""
    word = {"low": "is more likely beaten than not", "even": EITHER, "high": "more likely holds the drive than not"}
    said = word[reading.contained()]
    if said == EITHER:
        return f"Whether the defender on the ball holds the drive {EITHER}."
    return f"The defender on the ball {said}. How likely is not known."


def help_sentence(reading: Reading, helper: int) -> str:
    """When a helper is in time, what he leaves, and which moments are level."""
    rows = reading.rows(helper)
    name = reading.figure(reading.setting.attackers + helper)
    parts = [_time_part(name, [(row.leaves, row.in_time) for row in rows])]
    man = int(reading.setting.guard[reading.setting.attackers + helper])
    left = rows[0].left_gap
    if man >= 0 and left.low > ARM_M:
        parts.append(
            f"On dribble 1 he leaves {reading.figure(man)} about {metres(left.mean)}, more than an arm's length."
        )
    parts.append(_best_part(reading, helper))
    return " ".join(parts)


def _time_part(name: str, times: list[tuple[str, str]]) -> str:
    groups = {word: [cue for cue, said in times if said == word] for word in ("in time", "even", "late")}
    said = []
    if groups["in time"]:
        said.append(f"{name} is in time {_cues(groups['in time'])}")
    if groups["late"]:
        said.append(f"{'late' if said else f'{name} is late'} {_cues(groups['late'])}")
    if groups["even"]:
        said.append(f"{_cues(groups['even'])} it {EITHER}" if said else f"Whether {name} is in time {EITHER}")
    return f"{'; '.join(said)}."


def _cues(cues: list[str]) -> str:
    dribbles = [cue.removeprefix("dribble ") for cue in cues if cue.startswith("dribble")]
    said = [f"on dribble {listed(dribbles, 'or')}"] if dribbles else []
    said += [cue for cue in cues if not cue.startswith("dribble")]
    return listed(said, "or")


def _best_part(reading: Reading, helper: int) -> str:
    rows = reading.rows(helper)
    level = [row.leaves for row in rows if row.is_level] + (["never"] if reading.never_is_level(helper) else [])
    if len(level) == 1 and max(row.best_share for row in rows) < 0.5:
        return "Which moment is best cannot be said."
    return f"Helping alone, {listed(level)} {'are about level' if len(level) > 1 else 'is best'}."


def early_sentence(reading: Reading, helper: int, *, shooter_known: bool = False) -> str:
    """What leaving on dribble 1 costs; for an unknown shooter both sides of the flip are shown."""
    man = reading.figure(int(reading.setting.guard[reading.setting.attackers + helper]))
    if not shooter_known:
        return _flip_sentence(reading, helper, man)
    cost = reading.early_cost(helper)
    sign = sure_sign(cost)
    if sign == 0:
        return f"Against {man}, leaving on dribble 1 or later {EITHER}."
    word = "costs" if sign > 0 else "gains"
    return f"Against {man}, leaving on dribble 1 {word} {span_of(cost * sign)} a chance."


def _flip_sentence(reading: Reading, helper: int, man: str) -> str:
    curve = reading.switch(helper)
    if curve is None:
        return f"{man} is left inside the arc: what early help costs there {EITHER}."
    signs = {share: sure_sign(cost) for share, cost in curve.items()}
    free = [share for share, sign in signs.items() if sign <= 0]
    dear = [share for share, sign in signs.items() if sign > 0]
    if not dear:
        return f"Whatever {man} makes from there, leaving on dribble 1 has no sure cost."
    under, over = max((share for share in free if share < min(dear)), default=None), min(dear)
    start = f"Against a shooter who makes {under:.0%} or fewer, dribble 1 has no sure cost; " if under else ""
    cost = span_of(curve[over])
    return f"{start}{'a' if start else 'A'}gainst one who makes {over:.0%} or more it costs {cost} a chance."


def never_sentence(reading: Reading) -> str:
    """What it costs if nobody ever helps."""
    if not reading.helpers:
        return "There is nobody to help."
    cost = reading.never_cost()
    if sure_sign(cost) > 0:
        return f"Never helping costs {span_of(cost)} a chance."
    return f"Helping at the best moment or never {EITHER}."


def pause_sentence(pauses: dict[float, Array]) -> str:
    """What waiting after the catch costs the offence."""
    sure = [(pause_s, loss) for pause_s, loss in pauses.items() if sure_sign(loss) > 0]
    if not sure:
        return "A pause after the catch has no sure cost here."
    pause_s, loss = sure[0]
    cost = span_of(loss)
    return f"A pause of {pause_s:g} s costs {cost} a chance: the defender arrives. Help that loads up is not counted."
