"""Any rota that can be asked for keeps every hard rule. The checker here shares no code with the planner."""

from __future__ import annotations

import json
from collections import Counter
from itertools import combinations

from hypothesis import given, settings
from hypothesis import strategies as st

from courtwright.game.document import Teams
from courtwright.rota import Rota, plan_rota


@st.composite
def requests(draw: st.DrawFn, *, fixed: bool = False) -> dict[str, int]:
    offence, defence = draw(st.integers(1, 5)), draw(st.integers(1, 5))
    neutral = draw(st.sampled_from([0, 0, 0, 1, 2]))
    least = max(offence + defence + neutral, 2 * max(offence, defence) if fixed else 2)
    players = draw(st.integers(least, max(20, least)))
    turns, seed = draw(st.integers(8, 60)), draw(st.integers(0, 2**32))
    return {
        "players": players,
        "offence": offence,
        "defence": defence,
        "neutral": neutral,
        "turns": turns,
        "seed": seed,
    }


def plan(asked: dict[str, int], teams: Teams) -> Rota:
    return plan_rota(
        [f"P{number}" for number in range(asked["players"])],
        offence=asked["offence"],
        defence=asked["defence"],
        neutral=asked["neutral"],
        turns=asked["turns"],
        teams=teams,
        seed=asked["seed"],
        longer=0.4,  # even turns do not need the whole search, and the order kept is no worse than asked for here
    )


def check_turns(rota: Rota, asked: dict[str, int]) -> None:
    """Right sizes, nobody twice, off are the rest."""
    assert len(rota.turns) == asked["turns"]
    for turn in rota.turns:
        sizes = len(turn.offence), len(turn.defence), len(turn.neutral)
        assert sizes == (asked["offence"], asked["defence"], asked["neutral"])
        everyone = [*turn.offence, *turn.defence, *turn.neutral, *turn.off]
        assert sorted(everyone) == list(range(asked["players"]))


def longest_run(flags: list[bool]) -> int:
    return max(len(run) for run in "".join("x" if flag else " " for flag in flags).split(" "))


def check_counts(rota: Rota) -> None:
    """What the rota reports is what its turns say."""
    by_role: Counter[tuple[str, int]] = Counter()
    by_figure: Counter[tuple[str, int]] = Counter()
    mates: Counter[frozenset[int]] = Counter()
    across: Counter[frozenset[int]] = Counter()
    for turn in rota.turns:
        for role in ("offence", "defence", "neutral", "off"):
            by_role.update((role, player) for player in getattr(turn, role))
        for mark, group in (("", turn.offence), ("X", turn.defence), ("N", turn.neutral)):
            by_figure.update((f"{mark}{place}", player) for place, player in enumerate(group, start=1))
        attack = [*turn.offence, *turn.neutral]
        mates.update(frozenset(pair) for side in (attack, turn.defence) for pair in combinations(side, 2))
        across.update(frozenset((one, other)) for one in attack for other in turn.defence)
    data = json.loads(json.dumps(rota.to_json()))
    for player, told in enumerate(data["players"]):
        for role in ("offence", "defence", "neutral", "off"):
            assert told[f"{role}_turns"] == by_role[role, player]
        assert told["total_turns"] + told["off_turns"] == len(rota.turns)
        assert all(by_figure[figure, player] == times for figure, times in told["turns_by_figure"].items())
        assert sum(told["turns_by_figure"].values()) == told["total_turns"]
        assert told["longest_sit_turns"] == longest_run([player in turn.off for turn in rota.turns])
    for one, other in combinations(range(len(rota.names)), 2):
        pair = frozenset((one, other))
        assert data["team_mate_turns"][one][other] == data["team_mate_turns"][other][one] == mates[pair]
        assert data["opponent_turns"][one][other] == data["opponent_turns"][other][one] == across[pair]


def broken_and_asked(rota: Rota) -> tuple[int, int]:
    """Moves against “defend, attack, off”, and moves the rule could ask for."""
    broken = asked = 0
    for before, after in zip(rota.turns, rota.turns[1:], strict=False):
        attack = [*after.offence, *after.neutral]
        attacked = [*before.offence, *before.neutral]
        can_attack, can_rest = min(len(before.defence), len(attack)), min(len(attacked), len(after.off))
        asked += can_attack + can_rest
        broken += can_attack - sum(player in attack for player in before.defence)
        broken += can_rest - sum(player in after.off for player in attacked)
    return broken, asked


def spread_of(counts: list[int]) -> int:
    return max(counts) - min(counts)


@settings(max_examples=60, deadline=None)
@given(requests())
def test_mixed(asked: dict[str, int]) -> None:
    rota = plan(asked, Teams.MIXED)
    check_turns(rota, asked)
    check_counts(rota)
    # guaranteed: in each role and in all, the spread is 0 if the turns divide evenly among the players, else 1
    n, turns = asked["players"], asked["turns"]
    on_floor = asked["offence"] + asked["defence"] + asked["neutral"]
    for role, places in [("offence", asked["offence"]), ("defence", asked["defence"]), ("total", on_floor)]:
        assert rota.spread[role] == (0 if places * turns % n == 0 else 1)
    # not guaranteed, but found in every one of 20 000 drawn cases: hardly longer off than the strict cycle asks
    cycle_sit = -(-(n - on_floor) // (asked["offence"] + asked["neutral"]))
    assert rota.longest_sit <= cycle_sit + 3


@settings(max_examples=40, deadline=None)
@given(requests())
def test_mixed_order_is_true_for_almost_everybody(asked: dict[str, int]) -> None:
    rota = plan(asked, Teams.MIXED)
    broken, could = broken_and_asked(rota)
    assert abs(rota.order_kept_share - (1 - broken / could)) < 1e-12
    on_floor = asked["offence"] + asked["defence"] + asked["neutral"]
    if asked["turns"] * on_floor >= 4 * asked["players"]:  # with fewer, evening up in the last turns weighs more
        assert broken / could < 0.5


@settings(max_examples=40, deadline=None)
@given(requests(fixed=True))
def test_fixed(asked: dict[str, int]) -> None:
    rota = plan(asked, Teams.FIXED)
    check_turns(rota, asked)
    check_counts(rota)
    check_teams(rota, asked)
    for before, after in zip(rota.turns, rota.turns[1:], strict=False):
        assert after.offence_team == before.defence_team
        assert (after.defence_team == before.offence_team) == (len(rota.teams) == 2)
    check_team_shares(rota, asked)


def check_teams(rota: Rota, asked: dict[str, int]) -> None:
    sizes = [len(team) for team in rota.teams]
    assert sorted(player for team in rota.teams for player in team) == list(range(asked["players"]))
    assert max(sizes) - min(sizes) <= 1
    assert min(sizes) >= max(asked["offence"], asked["defence"])
    for turn in rota.turns:
        assert set(turn.offence) <= set(rota.teams[turn.offence_team])
        assert set(turn.defence) <= set(rota.teams[turn.defence_team])


def check_team_shares(rota: Rota, asked: dict[str, int]) -> None:
    """Between teams each role within one team turn; inside a team within one turn; off at most a cycle and one."""
    numbers = range(len(rota.teams))
    for team_of in ("offence_team", "defence_team"):
        assert spread_of([sum(getattr(turn, team_of) == number for turn in rota.turns) for number in numbers]) <= 1
    for team in rota.teams:
        offence = [sum(player in turn.offence for turn in rota.turns) for player in team]
        defence = [sum(player in turn.defence for turn in rota.turns) for player in team]
        assert spread_of(offence) <= 1
        assert spread_of(defence) <= 1
        if not asked["neutral"]:  # those who are off help out, which evens up more than the team
            assert spread_of([one + other for one, other in zip(offence, defence, strict=True)]) <= 1
    for number in numbers:
        away = [number not in (turn.offence_team, turn.defence_team) for turn in rota.turns]
        assert longest_run(away) <= max(0, len(rota.teams) - 1)


@settings(max_examples=30, deadline=None)
@given(requests(fixed=True), st.sampled_from(Teams))
def test_same_seed_same_rota(asked: dict[str, int], teams: Teams) -> None:
    one, other = (plan(asked, teams) for _ in range(2))
    assert json.dumps(one.to_json()) == json.dumps(other.to_json())
    assert one == other
