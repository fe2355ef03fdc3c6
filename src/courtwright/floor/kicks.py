"""Passes out of a moment or a drive: what a shot is worth, who is how open, what the pass risks.

Every kick out of a drive is worth something to everyone who looks at the drive, so
all are worked out once for each way to the ring; a helper changes only the one to
the man he left.
"""

from __future__ import annotations

from typing import Final

from courtwright.engine import inner
from courtwright.floor import body as its
from courtwright.floor import scene as at
from courtwright.floor.ball import DRAG_PER_M, pass_flight_s, pass_speed_at
from courtwright.floor.drive import place_at
from courtwright.floor.lanes import lane_cut
from courtwright.floor.movement import controlled_gap_m, drift_s, span
from courtwright.floor.scene import Scene
from courtwright.floor.shots import foul_chance, make_chance

RIM_M: Final = 1.83
WIND_LEFT: Final = 0.4
"""How much of a pass's wind-up a kick out of a drive still takes: the ball is half-way there (ours)."""
MOST_RISK: Final = 0.9


@inner
def beyond(s: Scene, x: float, y: float) -> bool:
    """Whether a shot from there is from beyond the arc."""
    return span(x, y) > s.arc_radius or abs(x) > s.arc_lateral


@inner
def chance_of(s: Scene, player: int, x: float, y: float, gap_m: float, catch: float, extra: float) -> float:
    """Chance of his shot from there, ``extra`` log-odds added."""
    rim, mid, three = s.body[player, its.RIM_LOGIT], s.body[player, its.MID_LOGIT], s.body[player, its.THREE_LOGIT]
    slope = s.body[player, its.PRESSURE]
    return make_chance(span(x, y), gap_m, catch, beyond(s, x, y), slope, rim + extra, mid + extra, three + extra)


@inner
def shot_worth(s: Scene, player: int, x: float, y: float, gap_m: float, catch: float, extra: float) -> float:
    """Net points of his shot from there."""
    distance_m = span(x, y)
    prize = s.worth[2] if beyond(s, x, y) else (s.worth[0] if distance_m < RIM_M else s.worth[1])
    chance = chance_of(s, player, x, y, gap_m, catch, extra)
    foul = foul_chance(distance_m, gap_m)
    return (1.0 - foul) * (chance * prize + (1.0 - chance) * s.missed) + foul * s.fouled


@inner
def catch_worth(s: Scene, mate: int, gap_m: float, risk: float, extra: float) -> float:
    """Net points of a pass to a mate who shoots or starts over, less the risk."""
    best = max(s.reset, shot_worth(s, mate, s.here[mate, 0], s.here[mate, 1], gap_m, 1.0, extra))
    return (1.0 - risk) * best + risk * s.lost


@inner
def pass_s(s: Scene, passer: int, x: float, y: float, to_x: float, to_y: float) -> float:
    """Flight time of a pass."""
    away_m = max(0.5, span(to_x - x, to_y - y))
    return pass_flight_s(away_m, pass_speed_at(away_m, s.body[passer, its.PASS_SPEED]), DRAG_PER_M)


@inner
def kick_wind_s(s: Scene) -> float:
    """From the wish to kick the ball out to its leaving the hands."""
    wind_s: float = WIND_LEFT * s.assumed[at.WIND_UP]
    return wind_s


@inner
def gap_to(
    s: Scene, d: int, goal_x: float, goal_y: float, state: tuple[float, ...], blind_s: float, t_s: float
) -> float:
    """Gap a defender in that state leaves a standing shooter after ``t``."""
    top, tau_s, brake = s.body[d, its.TOP], s.body[d, its.TAU], s.body[d, its.BRAKE]
    stop_m = s.body[d, its.STOP_GAP]
    return controlled_gap_m(
        goal_x, goal_y, state[0], state[1], state[2], state[3], blind_s, t_s, top, tau_s, brake, stop_m
    )


@inner
def drifting(s: Scene, d: int, t_s: float) -> tuple[float, ...]:
    """Where a defender drifts to with his own speed, and how he moves then."""
    carry = drift_s(t_s, s.body[d, its.TAU])
    fade = 1.0 - carry / s.body[d, its.TAU]
    vx, vy = s.velocity[d, 0], s.velocity[d, 1]
    return s.here[d, 0] + vx * carry, s.here[d, 1] + vy * carry, vx * fade, vy * fade


@inner
def note_states(s: Scene, instant: int, t_s: float) -> None:
    """Note where every defender is at a time, nobody helping."""
    for d in range(s.attackers, s.players):
        put_state(s, instant, d, drifting(s, d, t_s))


@inner
def put_state(s: Scene, instant: int, d: int, state: tuple[float, ...]) -> None:
    """Note where one defender is."""
    for part in range(4):
        s.states[instant, d, part] = state[part]


@inner
def noted(s: Scene, instant: int, d: int) -> tuple[float, ...]:
    """What was noted of a defender."""
    return s.states[instant, d, 0], s.states[instant, d, 1], s.states[instant, d, 2], s.states[instant, d, 3]


@inner
def risk_from(s: Scene, d: int, x: float, y: float, to_x: float, to_y: float, flight_s: float, instant: int) -> float:
    """Chance that one defender gets a pass that is thrown at an instant."""
    return lane_cut(
        x,
        y,
        to_x,
        to_y,
        flight_s,
        s.states[instant, d, 0],
        s.states[instant, d, 1],
        s.states[instant, d, 2],
        s.states[instant, d, 3],
        s.body[d, its.REACT_OFF],
        s.body[d, its.TOP],
        s.body[d, its.TAU],
        0.01 * s.body[d, its.HEIGHT] * s.body[d, its.ARM],
        s.assumed[at.LANE_WEIGHT],
        s.assumed[at.LANE_SHIFT],
        s.assumed[at.LANE_SOFTNESS],
    )


@inner
def rest_options(
    s: Scene, mate: int, x: float, y: float, flight_s: float, instant: int, driven: bool
) -> tuple[float, float]:
    """Gap at the mate's release and chance of a cut, from everyone but those who guard him; they stand where they are.

    A driver has his own man behind him: that man cuts no kick.
    """
    to_x, to_y = s.here[mate, 0], s.here[mate, 1]
    gap_m, cut = 9.0, 0.0
    for d in range(s.attackers, s.players):
        if s.guard[d] != mate:
            gap_m = min(gap_m, span(to_x - s.states[instant, d, 0], to_y - s.states[instant, d, 1]))
            if not (driven and d == s.guard[s.holder]):
                cut = max(cut, risk_from(s, d, x, y, to_x, to_y, flight_s, instant))
    return gap_m, cut


@inner
def own_options(
    s: Scene, mate: int, x: float, y: float, flight_s: float, instant: int, wind_s: float
) -> tuple[float, float]:
    """The same from those who guard the mate; they close out once they see the pass."""
    to_x, to_y = s.here[mate, 0], s.here[mate, 1]
    total_s = wind_s + flight_s + s.body[mate, its.RELEASE]
    gap_m, cut = 9.0, 0.0
    for d in range(s.attackers, s.players):
        if s.guard[d] == mate:
            blind_s = wind_s + s.body[d, its.REACT_OFF]
            gap_m = min(gap_m, gap_to(s, d, to_x, to_y, noted(s, instant, d), blind_s, total_s))
            cut = max(cut, risk_from(s, d, x, y, to_x, to_y, flight_s, instant))
    return gap_m, cut


@inner
def note_rest(s: Scene, mate: int, x: float, y: float, instant: int, driven: bool) -> None:
    """Note how open the mate is to a pass from (x, y) at an instant but for his own man."""
    flight_s = pass_s(s, s.holder, x, y, s.here[mate, 0], s.here[mate, 1])
    gap_m, cut = rest_options(s, mate, x, y, flight_s, instant, driven)
    s.rest[instant, mate, 0], s.rest[instant, mate, 1], s.rest[instant, mate, 2] = gap_m, cut, flight_s


@inner
def pass_options(s: Scene, mate: int, x: float, y: float, instant: int, wind_s: float) -> tuple[float, float]:
    """Gap at the mate's release and chance that the pass is lost, from what was noted of the rest and his own man."""
    gap_m, cut = own_options(s, mate, x, y, s.rest[instant, mate, 2], instant, wind_s)
    risk = s.assumed[at.BAD_PASS] + max(cut, s.rest[instant, mate, 1])
    return min(gap_m, s.rest[instant, mate, 0]), min(MOST_RISK, risk)


@inner
def kick_risk(s: Scene, risk: float, late: bool) -> float:
    """Risk of a kick; one in mid-step is lost more often."""
    return min(MOST_RISK, risk + s.assumed[at.LATE_LOSS]) if late else risk


@inner
def lay_instants(s: Scene) -> None:
    """Note when the ball is in hand: after each dribble that is back by the gather, at the gather, in mid-step."""
    count = 0
    for touch in range(s.touches):
        in_hand_s = s.touch_s[touch] + s.assumed[at.IN_HAND]
        if in_hand_s <= s.gather_s:
            s.instant_s[count] = in_hand_s
            count += 1
    s.instant_s[count] = s.gather_s
    s.instant_s[count + 1] = 0.5 * (s.gather_s + s.release_s)
    s.instants = count + 2


@inner
def lay_kicks(s: Scene) -> None:
    """Note what a kick to each mate is worth at each instant while nobody helps."""
    lay_instants(s)
    for instant in range(s.instants):
        note_states(s, instant, s.instant_s[instant])
        x, y = place_at(s, s.instant_s[instant])
        late = instant == s.instants - 1
        for mate in range(s.attackers):
            if mate != s.holder:
                s.home[instant, mate] = home_kick(s, mate, x, y, instant, late)


@inner
def home_kick(s: Scene, mate: int, x: float, y: float, instant: int, late: bool) -> float:
    """Worth of a kick to a mate whose man did not leave."""
    note_rest(s, mate, x, y, instant, True)
    gap_m, risk = pass_options(s, mate, x, y, instant, kick_wind_s(s))
    return catch_worth(s, mate, gap_m, kick_risk(s, risk, late), -s.assumed[at.LATE_LOGIT] if late else 0.0)
