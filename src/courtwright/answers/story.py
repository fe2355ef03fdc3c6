"""What happened in a possession, event by event, from what was seen between one look and the next."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from itertools import pairwise
from typing import Final

from courtwright.answers.watch import Seen, Watch
from courtwright.game.constraints import CONSTRAINTS
from courtwright.game.document import Game
from courtwright.reading.timeline import ORDINALS, Event
from courtwright.trial import layout as at
from courtwright.trial.boards import FALL_S

ENDS: Final = {
    at.MAKE_RIM: "it is in, at the rim",
    at.MAKE_MID: "it is in",
    at.MAKE_THREE: "the three is in",
    at.MAKE_VOID: "it is in, but does not count",
    at.FOUL_TRIP: "fouled on the shot",
    at.TURNOVER_BAD_PASS: "the pass is lost",
    at.TURNOVER_LOST_BALL: "the ball is stripped",
    at.TURNOVER_OFFENSIVE_FOUL: "offensive foul",
    at.TURNOVER_CLOCK: "the clock has run out",
    at.DEFENSIVE_REBOUND: "the defence gets the rebound",
}
SIDE: Final = {at.DRIVE_LEFT: " left", at.DRIVE_RIGHT: " right"}


class Story:
    """Tells one watched possession."""

    def __init__(self, watch: Watch, figures: Sequence[str], game: Game) -> None:
        self._watch, self._figures, self._game = watch, figures, game

    def events(self) -> list[Event]:
        """Everything that happened, in order of time."""
        first = self._watch.seen[0]
        who = self._figures[first.holder]
        fed = first.mode == at.PASSING
        told = [self._event(first, "start", first.holder, f"the coach feeds {who}" if fed else f"{who} has the ball")]
        for before, now in pairwise(self._watch.seen):
            told += self._between(before, now)
        told += [self._breach(t_s, rule) for t_s, rule in self._watch.broken]
        return sorted(told, key=lambda event: event.t_s)

    def _between(self, before: Seen, now: Seen) -> Iterator[Event]:
        """What happened between two looks."""
        who, new = self._figures[now.holder], now.counts - before.counts
        if new[at.DRIBBLE] > 0:
            yield self._event(now, "dribble", now.holder, f"{ORDINALS[min(now.used, len(ORDINALS)) - 1]} dribble")
        yield from self._with_the_ball(before, now)
        if new[at.BEATEN] > 0:
            yield self._event(now, "beat", now.holder, f"{who} is past {self._figures[before.guard[now.holder]]}")
        if new[at.HELP] > 0:
            yield self._event(now, "help", now.helper, f"{self._figures[now.helper]} leaves to help")
        for cutter in range(now.attackers):
            if now.task[cutter] == at.CUT and before.task[cutter] != at.CUT:
                yield self._event(now, "cut", cutter, f"{self._figures[cutter]} cuts")
        if new[at.DEFLECTION] > 0:
            yield self._event(now, "deflection", now.holder, "the pass is touched")
        if new[at.OFFENSIVE_REBOUND] > 0:
            yield self._event(now, "rebound", now.holder, f"{who} gets the rebound")
        for event, text in ENDS.items():
            if new[event] > 0:
                yield self._event(now, at.EVENTS[event], now.holder, text)

    def _with_the_ball(self, before: Seen, now: Seen) -> Iterator[Event]:
        """What the one with the ball begins or ends."""
        who = self._figures[now.holder]
        new = now.counts - before.counts
        if before.mode == at.PASSING and now.mode == at.HELD:
            yield self._event(now, "catch", now.holder, f"{who} catches")
        if now.mode == at.PASSING and (before.mode != at.PASSING or new[at.PASS] > 0):
            how = "kicks out" if new[at.KICK_OUT] > 0 else "passes"
            yield self._event(now, "pass", now.holder, f"{who} {how} to {self._figures[now.target]}")
        if new[at.DRIVE] > 0:
            yield self._event(now, "drive", now.holder, f"{who} drives{self._side(now.t_s)}")
        if now.mode == at.FINISHING and before.mode != at.FINISHING:
            how = "picks the ball up" if before.mode == at.DRIVING else "goes up to finish"
            yield self._event(now, "gather", now.holder, f"{who} {how}")
        if now.mode == at.SHOOTING and before.mode != at.SHOOTING:
            yield self._event(now, "rise", now.holder, f"{who} goes up to shoot")
        if before.mode in (at.SHOOTING, at.FINISHING) and now.mode in (at.LOOSE, at.OVER):
            yield from self._shot(before, now)

    def _shot(self, before: Seen, now: Seen) -> Iterator[Event]:
        """The ball leaves the hand: how far off, who was nearest; and when it stays out."""
        tried = [at.ATTEMPT_RIM, at.ATTEMPT_MID, at.ATTEMPT_THREE]
        if not (now.counts - before.counts)[tried].any():
            return
        shooter = before.places_m[before.holder]
        gaps = {d: math.dist(shooter, before.places_m[d]) for d in range(before.attackers, len(before.places_m))}
        text = f"{self._figures[before.holder]} shoots from {math.hypot(*shooter):.1f} m"
        if gaps:
            near = min(gaps, key=lambda defender: gaps[defender])
            text += f", {self._figures[near]} {gaps[near]:.1f} m away"
        yield self._event(before, "release", before.holder, text)
        if now.mode == at.LOOSE:
            yield self._event(now, "miss", now.holder, "it stays out", t_s=now.due_s - FALL_S)

    def _side(self, t_s: float) -> str:
        """Which side a drive goes to: what was chosen then."""
        chosen = next((item.chosen for item in reversed(self._watch.weighed) if item.t_s <= t_s), None)
        return "" if chosen is None else SIDE.get(chosen, "")

    def _breach(self, t_s: float, rule: int) -> Event:
        slot = at.RULES[rule]
        limits = [item for item in self._game.constraints if CONSTRAINTS[item.rule].slot == slot]
        broken = max((seen for seen in self._watch.seen if seen.t_s <= t_s), key=lambda seen: seen.t_s)
        limits.sort(key=lambda item: item.figure != self._figures[broken.holder])  # his own limit before the side's
        text = f"against the limit: {limits[0].text}" if limits else "against a limit"
        return self._event(broken, "violation", broken.holder, text, t_s=t_s)

    def _event(self, seen: Seen, what: str, player: int, text: str, *, t_s: float | None = None) -> Event:
        x, y = seen.places_m[player].tolist()
        return Event(seen.t_s if t_s is None else float(t_s), what, self._figures[player], text, (x, y))
