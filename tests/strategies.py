"""Hypothesis strategies for sound documents, shared by every kind of test."""

from __future__ import annotations

from typing import Any, Final

from hypothesis import settings
from hypothesis import strategies as st

from courtwright.floor.court import Rules
from courtwright.game.check import NEEDS_ARC
from courtwright.game.constraints import CONSTRAINTS, ConstraintKind
from courtwright.game.document import (
    Constraint,
    Ending,
    Entry,
    EntryKind,
    Finish,
    Form,
    Game,
    Help,
    Placement,
    PointRule,
    RotaRule,
    Sides,
    Start,
    Step,
    Teams,
    Then,
    Variant,
)
from courtwright.game.points import POINT_RULES
from courtwright.squad import Player, Shots, Squad
from courtwright.squad.check import fastest_s, slowest_s
from courtwright.vocabulary import SPOTS, Cost, Level, Live, Side, Zone

# a busy machine may stall; how long things take is the benchmarks' business
settings.register_profile("calm", deadline=None)
settings.load_profile("calm")

CELLS: Final = [(float(x_m), float(y_m)) for x_m in range(-6, 7) for y_m in range(9)]
"""Places a metre apart that lie on every court."""

JSON = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=12),
    lambda inner: st.lists(inner, max_size=4) | st.dictionaries(st.text(max_size=8), inner, max_size=4),
    max_leaves=20,
)


def lines(most: int, *, least: int = 0) -> st.SearchStrategy[str]:
    """One line of any printable text, with no blank at either end."""
    signs = st.characters(exclude_categories=("Cc", "Cs"))
    return st.text(signs, max_size=most).map(str.strip).filter(lambda text: len(text) >= least)


def amounts(least: float, most: float) -> st.SearchStrategy[float]:
    """A number in a range."""
    return st.floats(least, most, allow_nan=False)


# --- games


@st.composite
def games(draw: st.DrawFn) -> Game:
    """Any sound game."""
    sides = draw(
        st.builds(
            Sides,
            offence=st.integers(1, 5),
            defence=st.integers(1, 5),
            neutral=st.integers(0, 2),
            coach=st.booleans(),
        )
    )
    rules = draw(st.sampled_from(Rules))
    entry, ball = draw(entries(sides))
    holders = [figure for figure in sides.figures if figure[0] != "X"]
    lives = [
        live
        for live in Live
        if not (live is Live.ENTRY_DONE and entry.kind is EntryKind.NONE)
        and not (live is Live.FIRST_CATCH and len(holders) < 2)
    ]
    asked = draw(st.sampled_from(Help))
    points = draw(point_rules(rules))
    needed = len(sides.figures) - sides.coach
    return Game(
        name=draw(lines(80, least=1)),
        purpose=draw(lines(400)),
        court=rules,
        sides=sides,
        start=draw(starts(sides, ball)),
        entry=entry,
        live=draw(st.sampled_from(lives)),
        help=asked,
        constraints=draw(constraints(sides, rules, asked, holders)),
        points=points,
        ending=draw(endings()),
        rota=RotaRule(teams=draw(st.sampled_from(Teams))),
        finish=draw(finishes(points)),
        cues=tuple(draw(st.lists(lines(60), max_size=4))),
        question=draw(lines(60)),
        easier=tuple(draw(st.lists(steps(), max_size=2))),
        harder=tuple(draw(st.lists(steps(), max_size=2))),
        forms=tuple(draw(forms(needed))),
        cautions=tuple(draw(st.lists(lines(60), max_size=2))),
    )


@st.composite
def entries(draw: st.DrawFn, sides: Sides) -> tuple[Entry, str]:
    """An entry that these sides can play, and who starts with the ball."""
    attackers = [figure for figure in sides.figures if figure[0] not in "XC"]
    kinds = [EntryKind.NONE, EntryKind.CUE, EntryKind.SWAP]
    kinds += [EntryKind.PASSES] if len(attackers) + sides.coach > 1 else []
    kinds += [EntryKind.FEED] if sides.coach else []
    kind = draw(st.sampled_from(kinds))
    ball = "C" if kind is EntryKind.FEED else draw(st.sampled_from(attackers))
    say = draw(lines(40, least=1))
    if kind is EntryKind.PASSES:
        passes = draw(st.integers(1, 6))
        others = [figure for figure in attackers if passes > 1 or figure != ball]
        if len(attackers) + sides.coach == 2:  # the ball goes to and fro
            others = [figure for figure in others if (figure == ball) == (passes % 2 == 0)]
        to = draw(st.none() | st.sampled_from(others)) if others else None
        return Entry(kind=kind, passes=passes, to=to, say=say), ball
    if kind is EntryKind.FEED:
        return Entry(kind=kind, to=draw(st.none() | st.sampled_from(attackers)), say=say), ball
    return Entry(kind=kind, say=say), ball


@st.composite
def starts(draw: st.DrawFn, sides: Sides, ball: str) -> Start:
    """Everyone somewhere on the floor, nobody on top of another, and a few other starts."""
    figures = sides.figures
    places: list[Any] = list(CELLS) if draw(st.booleans()) else [str(spot) for spot in SPOTS]
    cells = draw(st.permutations(places))
    attackers = [figure for figure in figures if figure[0] not in "XC"]
    placements = tuple(
        Placement(
            figure=figure,
            at=cell,
            vary_m=draw(amounts(0, 2)),
            guards=draw(st.none() | st.sampled_from(attackers)) if figure[0] == "X" else None,
        )
        for figure, cell in zip(figures, cells, strict=False)
    )
    free = cells[len(figures) :]
    variants = draw(st.lists(variants_of(figures, free), max_size=3))
    return Start(placements=placements, ball=ball, variants=tuple(variants))


@st.composite
def variants_of(draw: st.DrawFn, figures: list[str], free: list[Any]) -> Variant:
    """A start with some figures moved to free places, or the mirror of one."""
    moved = draw(st.lists(st.sampled_from(figures), unique=True, max_size=min(3, len(free))))
    placements = tuple(
        Placement(figure=figure, at=cell, vary_m=draw(amounts(0, 2)))
        for figure, cell in zip(moved, draw(st.permutations(free)), strict=False)
    )
    return Variant(
        name=draw(lines(20)),
        weight=draw(amounts(0.001, 100)),
        mirror=draw(st.booleans()) if placements else True,
        placements=placements,
    )


@st.composite
def constraints(draw: st.DrawFn, sides: Sides, rules: Rules, asked: Help, holders: list[str]) -> tuple[Constraint, ...]:
    """Limits that do not contradict each other or the game."""
    keys = draw(st.lists(st.sampled_from(sorted(CONSTRAINTS)), unique=True, max_size=6))
    banned = NEEDS_ARC if rules is Rules.MINI else {"paint before three"} if "no threes" in keys else set()
    banned = banned | ({"help no earlier"} if asked.startswith("dribble") else set())
    banned = banned | ({"passes first", "no mid-range", "no drive off a drive"} if len(holders) < 2 else set())
    banned = banned | ({"no threes"} if "may shoot threes" in keys else set())
    banned = banned | ({"no mid-range"} if {"no rim shots", "no paint shots"} & set(keys) else set())
    banned = banned | ({"no shot"} if "may shoot" in keys or len(holders) - sides.coach < 2 else set())
    return tuple(draw(_constraint(CONSTRAINTS[key], sides)) for key in keys if key not in banned)


@st.composite
def _constraint(draw: st.DrawFn, kind: ConstraintKind, sides: Sides) -> Constraint:
    limit = None
    if kind.limit is not None:
        least, most = kind.limit.least, kind.limit.most
        limit = float(draw(st.integers(int(least), int(most)))) if kind.limit.whole else draw(amounts(least, most))
    defends = kind.side is Side.DEFENCE
    bound = [figure for figure in sides.figures if figure != "C" and (figure[0] == "X") == defends]
    costs = [cost for cost in Cost if not (defends and cost is Cost.TURNOVER)]
    return Constraint(
        rule=kind.key,
        limit=limit,
        cost=draw(st.none() | st.sampled_from(costs)),
        figure=draw(st.sampled_from(bound) if kind.names else st.none() | st.sampled_from(bound)),
    )


@st.composite
def point_rules(draw: st.DrawFn, rules: Rules) -> tuple[PointRule, ...]:
    """Point rules, at least one of them worth something if there are any."""
    keys = draw(st.lists(st.sampled_from(sorted(POINT_RULES)), unique=True, max_size=5))
    kept = [key for key in keys if rules is not Rules.MINI or key not in NEEDS_ARC]
    worth = [draw(st.integers(1, 10)), *(draw(st.integers(-10, 10)) for _ in kept[1:])]
    to = st.none() | st.sampled_from(Side)
    return tuple(PointRule(rule=key, points=points, to=draw(to)) for key, points in zip(kept, worth, strict=False))


def endings() -> st.SearchStrategy[Ending]:
    """Any ending."""
    return st.builds(
        Ending,
        make=st.sampled_from([Then.ENDS, Then.AGAIN]),
        offensive_rebound=st.sampled_from([Then.ENDS, Then.PLAY_ON]),
        foul=st.sampled_from([Then.ENDS, Then.AGAIN, Then.FREE_THROWS]),
        defence_must=st.sampled_from(["nothing", "clear", "outlet"]),
        reset_s=amounts(0, 60),
    )


def finishes(points: tuple[PointRule, ...]) -> st.SearchStrategy[Finish]:
    """Minutes, a score if anything scores, or both."""
    minutes = amounts(0.5, 60)
    timed = st.builds(Finish, minutes=minutes)
    if not points:
        return timed
    return timed | st.builds(Finish, minutes=st.none() | minutes, points=st.integers(1, 200))


CHANGES: Final = st.sampled_from(
    [{}, {"purpose": "other"}, {"finish": {"minutes": 5}}, {"ending": {"reset_s": 4.5}}, {"question": None}]
)


def steps() -> st.SearchStrategy[Step]:
    """A changed form that fits every game."""
    return st.builds(Step, say=lines(40), change=CHANGES)


def forms(needed: int) -> st.SearchStrategy[list[Form]]:
    """Forms for different numbers of players, enough for the baskets they use."""
    one = st.builds(Form, players=st.integers(max(2, needed), 40), say=lines(40), change=CHANGES)
    return st.lists(one, max_size=4, unique_by=lambda form: form.players)


# --- squads


@st.composite
def squads(draw: st.DrawFn) -> Squad:
    """Any sound squad."""
    names = draw(st.lists(lines(40, least=1), unique_by=str.casefold, max_size=6))
    numbers = draw(st.permutations(range(100)))
    players = tuple(draw(players_named(name, number)) for name, number in zip(names, numbers, strict=False))
    return Squad(name=draw(lines(80, least=1)), level=draw(st.sampled_from(Level)), players=players)


@st.composite
def players_named(draw: st.DrawFn, name: str, number: int) -> Player:
    """A player of that name, with anything from nothing to everything known."""
    return Player(
        name=name,
        number=draw(st.sampled_from([None, number])),
        height_cm=draw(st.none() | amounts(100, 240)),
        level=draw(st.none() | st.sampled_from(Level)),
        here=draw(st.booleans()),
        grade=draw(st.none() | st.integers(1, 5)),
        splits_s=draw(splits()),
        shooting=draw(st.dictionaries(st.sampled_from(Zone), shots(), max_size=3)),
    )


@st.composite
def splits(draw: st.DrawFn) -> dict[float, float]:
    """Believable sprint times that rise with distance."""
    distances = draw(st.sets(st.integers(100, 5000), max_size=4))
    slow = draw(amounts(0.01, 0.9))
    return {
        distance / 100: fastest_s(distance / 100) * (1 - slow) + slowest_s(distance / 100) * slow
        for distance in distances
    }


@st.composite
def shots(draw: st.DrawFn) -> Shots:
    """A shooting test."""
    attempts = draw(st.integers(0, 200))
    return Shots(makes=draw(st.integers(0, attempts)), attempts=attempts)
