"""Runs and logs for tests: an opening of a starter game, facts by hand, and logs drawn at random."""

from __future__ import annotations

from collections.abc import Sequence
from random import Random
from typing import Any, Final

from courtwright.game.document import AfterPossession, Game, Teams
from courtwright.game.starters import starters
from courtwright.live import checked, open_run
from courtwright.rota import plan_rota
from courtwright.vocabulary import Fact, FactKind, HybridTime

NAMES: Final = ("Ada", "Bex", "Cleo", "Dot", "Effie", "Fern", "Gus", "Hal", "Ivo")
FIGURES: Final = ("1", "2", "3", "X1", "X2", "X3")


def three_on_three(**changes: Any) -> Game:
    """Three on three where baskets, stops and stops in a row pay."""
    data = starters()["low-mans-call"].to_json() | {
        "points": [
            {"rule": "basket by the court", "points": 1},
            {"rule": "stop", "points": 1},
            {"rule": "two stops in a row", "points": 2},
            {"rule": "offensive rebound", "points": 1},
        ],
        "constraints": [{"rule": "dribbles", "limit": 3}, {"rule": "help no earlier", "limit": 2}],
    }
    return Game.model_validate(data | changes)


def opening_of(
    game: Game | None = None,
    *,
    names: Sequence[str] = NAMES,
    rule: AfterPossession = AfterPossession.CYCLE,
    teams: Teams = Teams.MIXED,
    turns: int = 12,
) -> dict[str, Any]:
    """How a run of a game opens, as plain JSON data."""
    game = game or three_on_three(rota={"rule": rule.value, "teams": teams.value})
    sides = game.sides
    rota = plan_rota(names, offence=sides.offence, defence=sides.defence, turns=turns, rule=rule, teams=teams)
    return open_run("run-1", "game-1", game, rota, made_at="2026-11-02T18:00:00Z").to_json()


class Device:
    """One device that tells facts; its clock may be off by minutes."""

    def __init__(self, name: str = "coach", ahead_ms: int = 0) -> None:
        self.name = name
        self.ahead_ms = ahead_ms
        self.told: list[Fact] = []
        self._last = HybridTime(0)
        self._now_ms = 1_700_000_000_000

    def tell(self, kind: FactKind | str, possession: int, seen: Fact | None = None, /, **detail: Any) -> Fact:
        """A fact a second after the last; after what the device has seen of others too."""
        self._now_ms += 1000
        self._last = self._last.next(self._now_ms + self.ahead_ms, seen.time if seen else None)
        data = {
            "event_id": f"{self.name}-{len(self.told)}",
            "device": self.name,
            "sequence": len(self.told),
            "time": str(self._last),
            "run_id": "run-1",
            "possession": possession,
            "turn": 0,
            "game_id": "game-1",
            "game_hash": "0" * 64,
            "kind": str(FactKind(kind)),
            "detail": detail,
        }
        fact = checked(data)
        self.told.append(fact)
        return fact


def random_log(random: Random, most: int = 60) -> list[Fact]:
    """A log of up to three devices that tap whatever a device can send, sensible or not."""
    devices = [Device(name, random.randrange(-180_000, 180_000)) for name in ("ann", "bob", "cyd")]
    log: list[Fact] = []
    possession = 1
    for _ in range(random.randrange(1, most)):
        kind = random.choice(list(FactKind))
        device = random.choice(devices)
        seen = random.choice(log) if log and random.random() < 0.7 else None
        late = random.randrange(1, possession + 1) if random.random() < 0.15 else possession
        log.append(device.tell(kind, late, seen, **_detail(random, kind, log)))
        possession += random.random() < 0.4
    return log


def _detail(random: Random, kind: FactKind, log: list[Fact]) -> dict[str, Any]:
    who: dict[str, Any] = {"who": random.choice(FIGURES)} if random.random() < 0.6 else {}
    if random.random() < 0.05:
        who |= {"inserted": random.randrange(1, 3)}
    name = random.choice((*NAMES, "Juno"))
    event = random.choice(log).event_id if log and random.random() < 0.95 else "nothing-0"
    zone = {"zone": random.choice(("rim", "mid", "three"))}
    by: dict[str, Any] = {"by": random.choice(FIGURES)} if random.random() < 0.4 else {}
    rebound = {"rebound": random.choice(("offence", "defence"))} if random.random() < 0.7 else {}
    rule = random.choice(("dribbles", "help no earlier", "no spin", "of another day"))
    make = {**zone, "assist": random.choice((True, "2")), "kick_out": random.random() < 0.5, "place": [1.5, 4]}
    cost = {"cost": random.choice(("turnover", "no points", "point to the other side", "again"))}
    switched = random.choice(
        (
            {"on": random.random() < 0.5, "constraint": {"rule": "dribbles", "limit": 2, **cost}},
            {"on": random.random() < 0.5, "points": {"rule": "steal", "points": 2}},
            {"on": True, "placement": {"figure": "X2", "at": [1, 2.5]}},
        )
    )
    game = three_on_three(ending={"offensive_rebound": "possession ends", "foul": "possession ends"})
    rows = [{"figures": dict(zip(FIGURES, random.sample(NAMES, 6), strict=True)), "off": ["Juno"]} for _ in range(2)]
    clock = {"do": random.choice(("start", "stop", "set", "end")), "played_ms": random.randrange(600_000)}
    moved: dict[str, Any] = {"possession": 2} if random.random() < 0.3 else {}
    corrected = random.choice(({**who}, {**zone}, {"who": None}, {"made": False}, {"rebound": "defence"}))
    details: dict[FactKind, dict[str, Any]] = {
        FactKind.MAKE: random.choice(({**who, **make}, {**who, **zone})),
        FactKind.MISS: {**who, **rebound, **(by if rebound else {})},
        FactKind.TURNOVER: {**who, **by},
        FactKind.FREE_THROW: {**who, "made": random.random() < 0.5},
        FactKind.CHARGE: {**who, **by},
        FactKind.VIOLATION: {**who, "rule": rule, **(cost if random.random() < 0.6 else {})},
        FactKind.TAG: {**who, "tag": random.choice(("talk", "box")), "did": random.random() < 0.5},
        FactKind.WATCHING: {"tag": random.choice(("talk", "box")), "on": random.random() < 0.7},
        FactKind.FREEZE: {"cue": "See the low man."},
        FactKind.RUN_IT_AGAIN: {},
        FactKind.POSSESSION: {"do": "skip"},
        FactKind.SUBSTITUTION: {"figure": random.choice(FIGURES), "player": name},
        FactKind.ATTENDANCE: {"player": name, "state": random.choice(("here", "late", "away", "limited"))},
        FactKind.ROTA_CHANGED: {"turns": rows},
        FactKind.CONSTRAINT_SWITCHED: switched,
        FactKind.GAME_CHANGED: {"game": game.to_json(), "say": "Rebounds end it."},
        FactKind.CLOCK: {**clock, "server_ms": 1_700_000_000_000 + random.randrange(600_000)},
        FactKind.UNDO: {"event": event},
        FactKind.EDIT: {"event": event, "detail": corrected, **moved},
        FactKind.CLAIM: {"score": [random.randrange(9), random.randrange(9)]},
    }
    return details.get(kind, who)
