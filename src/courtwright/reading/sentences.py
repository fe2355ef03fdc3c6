"""What a reading may say. Said: what nine parameter sets of ten agree on. The rest goes either way, or is not said.

Never said: a single best row that is best in under half of the sets, points to
two decimals as if they were known, charges, and anything about a shooter whose
percentage is a guess without showing both sides of the flip.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

import numpy as np

from courtwright.floor.readout import TIMINGS
from courtwright.reading.estimate import sure_sign
from courtwright.reading.prepare import Array
from courtwright.reading.result import Reading, Row

EITHER: Final = "could go either way"
NEVER: Final = "never"


def listed(words: Sequence[str], last: str = "and") -> str:
    """Ada; Ada and Bex; Ada, Bex and Cleo."""
    return words[0] if len(words) == 1 else f"{', '.join(words[:-1])} {last} {words[-1]}"


def metres(value_m: float) -> str:
    """A distance as it may be said: to the half metre, from two metres on; to the tenth below."""
    return f"{round(value_m * 2) / 2:g} m" if value_m >= 2 else f"{value_m:.1f} m"


def points_words(values: Array) -> str:
    """A difference in points as it may be said: its middle and where eight of ten sets lie, to the twentieth."""
    low, middle, high = (_twentieth(float(value)) for value in np.quantile(values, [0.1, 0.5, 0.9]))
    said = f"about {middle}" if low == high else f"about {middle} ({low} to {high})"
    return f"{said} points a chance"


def _twentieth(value: float) -> str:
    return f"{round(value * 20) / 20 + 0.0:.2f}".replace("-", "−")  # no −0.00


def percent(share: float) -> str:
    """A share in whole per cent."""
    return f"{100 * share:.0f} %"


def shot_sentence(reading: Reading) -> str:
    """The holder's shot now."""
    gaps, holder = reading.raw.shot[:, 0], reading.setting.moment.ball
    room = {
        1: ", more than an arm's length",
        0: f"; whether that is an arm's length {EITHER}",
        -1: ", within an arm's length",
    }[reading.over_an_arm(gaps)]
    return f"If {holder} shoots now, the nearest defender is {metres(float(gaps.mean()))} away at the release{room}."


def pass_sentence(reading: Reading) -> str:
    """Which mates are open to a pass now."""
    mates = [index for index in range(reading.setting.attackers) if index != reading.setting.holder]
    if not mates:
        return "There is nobody to pass to."
    gaps = {mate: reading.raw.passes[:, mate, 0] for mate in mates}
    free = [mate for mate in mates if reading.over_an_arm(gaps[mate]) > 0]
    if not free:
        return "On a pass now nobody is sure to have more than an arm's length."
    said = [f"{reading.figure(mate)} has about {metres(float(gaps[mate].mean()))}" for mate in free]
    return f"On a pass now {listed(said)}: more than an arm's length."


def drive_sentence(reading: Reading) -> str:
    """Whether his man holds the drive; the level is uncalibrated, so only a word."""
    if not reading.is_guarded:
        return "Nobody guards the ball."
    if reading.contained() == "even":
        return f"Whether the defender on the ball holds the drive {EITHER}."
    said = {"low": "is more likely beaten than not", "high": "more likely holds the drive than not"}
    return f"The defender on the ball {said[reading.contained()]}; how likely is not known."


def help_sentence(reading: Reading, helper: int) -> str:
    """When a helper is in time, what he leaves, and which moments are level."""
    dribbles, name = reading.dribbles, reading.figure(reading.setting.attackers + helper)
    rows = [row for row in reading.rows(helper) if row.leaves not in TIMINGS[dribbles:-1]]
    parts = [_time_part(name, [(row.leaves, row.in_time) for row in rows])]
    if dribbles < len(TIMINGS) - 1:
        parts.append(f"The drive has {'one dribble' if dribbles == 1 else 'two dribbles'} at most.")
    gaps = reading.raw.rows[:, helper, 0, 3]
    if reading.man(helper) != reading.setting.moment.ball and reading.over_an_arm(gaps) > 0:
        left = f"On dribble 1 he leaves {reading.man(helper)} about {metres(float(gaps.mean()))}"
        parts.append(f"{left}, more than an arm's length.")
    parts.append(_best_part(reading, helper, rows))
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


def _best_part(reading: Reading, helper: int, rows: Sequence[Row]) -> str:
    """Rows about level with the best are named as equals; one row alone only if it is best in half of the sets."""
    level = [row.leaves for row in rows if row.is_level]
    shares = {row.leaves: row.best_share for row in rows} | {NEVER: reading.never_best_share(helper)}
    if reading.never_is_level(helper):
        level.append(NEVER)
    if len(level) > len(rows):
        return "Helping alone, it is about level when he leaves, or whether he does."
    if len(level) > 1:
        return f"Helping alone, these are about level: leaving {_cues(level)}."
    if not level or shares[level[0]] < 0.5:
        return "Which moment is best cannot be said."
    return "Staying with his man is best." if level == [NEVER] else f"Helping alone, leaving {_cues(level)} is best."


def early_sentence(reading: Reading, helper: int, *, shooter_known: bool = False) -> str:
    """What leaving on dribble 1 costs; for an unknown shooter both sides of the flip are shown."""
    man = reading.man(helper)
    if man == reading.setting.moment.ball:
        return f"He leaves nobody: {man} has the ball."
    if not shooter_known:
        return _flip_sentence(reading, helper, man)
    cost = reading.early_cost(helper)
    sign = sure_sign(cost)
    if sign == 0:
        return f"Against {man}, leaving on dribble 1 or later {EITHER}."
    word = "costs" if sign > 0 else "gains"
    return f"Against {man}, leaving on dribble 1 {word} {points_words(cost * sign)}."


def _flip_sentence(reading: Reading, helper: int, man: str) -> str:
    curve = reading.switch(helper)
    if curve is None:
        return f"{man} is left inside the arc: what early help costs there {EITHER}."
    dear = [share for share, cost in curve.items() if sure_sign(cost) > 0]
    if not dear:
        return f"Whatever share of open threes {man} makes, leaving on dribble 1 has no sure cost."
    cost, free = points_words(curve[min(dear)]), [share for share in curve if share < min(dear)]
    if not free:
        return f"Whatever share of open threes {man} makes, leaving on dribble 1 costs: at {percent(min(dear))} {cost}."
    return (
        f"If {man} makes {percent(max(free))} of his open threes or fewer, leaving on dribble 1 has no sure cost; "
        f"at {percent(min(dear))} it costs {cost}."
    )


def never_sentence(reading: Reading) -> str:
    """What it costs if nobody ever helps."""
    if not reading.helpers:
        return "There is nobody to help."
    cost = reading.never_cost()
    if sure_sign(cost) > 0:
        return f"Never helping costs {points_words(cost)}."
    return f"Whether helping at all pays {EITHER}."


def pause_sentence(pauses: dict[float, Array]) -> str:
    """What waiting after the catch costs the offence."""
    sure = [(pause_s, loss) for pause_s, loss in pauses.items() if sure_sign(loss) > 0]
    if not sure:
        return "A pause after the catch has no sure cost here."
    pause_s, loss = sure[0]
    return (
        f"A pause of {pause_s:g} s costs {points_words(loss)}: the defence arrives. Help that loads up is not counted."
    )
