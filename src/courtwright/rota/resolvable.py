"""Rounds of groups in which no two players are together twice: built from theory, or not at all.

Every construction says why it holds; `tests/truth` counts each of them.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import lru_cache
from itertools import combinations, product
from typing import NamedTuple

from courtwright.rota.fields import Field, field

Team = tuple[int, ...]
Round = tuple[Team, ...]
Grouping = tuple[Round, ...]
"""Rounds of groups of players, numbered from 0."""


class RoundsBound(NamedTuple):
    """How many rounds there can be without a pair together twice."""

    rounds: int
    reason: str


def rounds_bound(players: int, size: int) -> RoundsBound:
    """The most rounds of groups of `size` in which no two players are together twice, and why no more.

    Counting gives ⌊(n - 1)/(k - 1)⌋. Two cases are known to be lower: too few groups to
    part one into (6 in threes, 8 in fours), and 12 in threes.

    Parameters
    ----------
    players, size
        `size`, from 2, divides `players`.
    """
    groups = players // size
    if groups == 1:
        return RoundsBound(1, "all are in one group, so in one round everyone is with everyone")
    if groups < size:
        reason = f"a second group of {size} must take two from one of the {groups} groups before"
        return RoundsBound(1, reason)
    if (players, size) == (12, 3):
        reason = "five rounds for 12 in threes do not exist: every way to go on from two rounds has been tried"
        return RoundsBound(4, reason)
    each = (players - 1) // (size - 1)
    reason = f"a player has {players - 1} others to meet and meets {size - 1} a round"
    return RoundsBound(each, reason)


@lru_cache(maxsize=128)
def groups(players: int, size: int) -> Grouping | None:
    """Rounds of groups of `size` with no pair twice, as many rounds as a known construction has; None if we know none.

    Parameters
    ----------
    players, size
        `size` divides `players`.

    Returns
    -------
    Rounds of groups of players 0 to n - 1. Where `rounds` x (size - 1) is n - 1, every two
    players are together exactly once.
    """
    if size < 2 or players % size:
        return None
    builders = (only_one, round_robin, affine, kirkman_15, kirkman_by_thirds, transversal)
    built = (builder(players, size) for builder in builders)
    return next((found for found in built if found is not None), None)


def only_one(players: int, size: int) -> Grouping | None:
    """One round, where `rounds_bound` says that a second must repeat a pair."""
    if players // size >= size:
        return None
    return (tuple(tuple(range(first, first + size)) for first in range(0, players, size)),)


def round_robin(players: int, size: int) -> Grouping | None:
    """Pairs, n even: one stands still, the others go round the circle (the circle method; Berger's tables, in content).

    Round r pairs those whose numbers add up to 2r modulo n - 1; r itself meets the one who stands still.
    So every pair is together in exactly one of the n - 1 rounds.
    """
    if size != 2 or players % 2:
        return None
    ring = players - 1
    return tuple(
        (
            (shift, ring),
            *(((shift + step) % ring, (shift - step) % ring) for step in range(1, players // 2)),
        )
        for shift in range(ring)
    )


def affine(players: int, size: int) -> Grouping | None:
    """Players are the points of an affine space over GF(size), groups its lines, rounds its directions.

    Two points lie on exactly one line, and the lines of a direction part the space, so every
    pair is together exactly once: 9 in threes 4 rounds, 16 in fours 5, 25 in fives 6, 27 in threes 13.
    """
    numbers = field(size)
    space = field(players)
    if numbers is None or space is None or numbers.prime != space.prime or space.degree % numbers.degree:
        return None
    dimension = space.degree // numbers.degree
    points = list(product(range(size), repeat=dimension))
    name = {point: place for place, point in enumerate(points)}
    directions = [point for point in points if next((part for part in point if part), 0) == 1]
    return tuple(_lines(numbers, points, name, direction) for direction in directions)


def _lines(
    numbers: Field, points: list[tuple[int, ...]], name: dict[tuple[int, ...], int], direction: tuple[int, ...]
) -> Round:
    """The parallel lines of one direction."""
    lines = set()
    for point in points:
        line = (
            tuple(numbers.add(at, numbers.times(step, way)) for at, way in zip(point, direction, strict=True))
            for step in range(numbers.order)
        )
        lines.add(tuple(sorted(name[place] for place in line)))
    return tuple(sorted(lines))


def kirkman_15(players: int, size: int) -> Grouping | None:
    """Kirkman's schoolgirls (1850): 15 in threes on seven days, every pair once.

    The 35 lines of PG(3,2) are the triples a, b, a xor b of 1 to 15, and hold every pair once. Five
    of them that meet nobody twice (a spread) are a day; seven days that use no line twice are the answer.
    """
    if (players, size) != (15, 3):
        return None
    lines = sorted({tuple(sorted((a, b, a ^ b))) for a, b in combinations(range(1, 16), 2)})
    days = list(_covers(frozenset(range(1, 16)), lines))
    week = next(_covers(frozenset(range(len(lines))), days))
    return tuple(tuple(tuple(girl - 1 for girl in lines[line]) for line in days[day]) for day in week)


def _covers(wanted: frozenset[int], parts: Sequence[tuple[int, ...]]) -> Iterator[tuple[int, ...]]:
    """Every choice of parts, by place, that holds each wanted number once: an exact cover, from the least number on."""
    if not wanted:
        yield ()
        return
    least = min(wanted)
    for place, part in enumerate(parts):
        if least in part and wanted.issuperset(part):
            for others in _covers(wanted.difference(part), parts):
                yield place, *others


def kirkman_by_thirds(players: int, size: int) -> Grouping | None:
    """Kirkman triples on 3q players, a prime power q = 6t + 1, as for 21 (Ray-Chaudhuri & Wilson 1971).

    Players are (x, level), x in GF(q), three levels. With w a generator and c = w^2t a cube root of 1:

    - one round is 0 on all three levels, the triples wⁱ{1, c, c²} on each level for i below t, and
      wⁱ⁺ᵗ{1, c, c²} across the levels, begun at each level: all exponents on all levels, so everyone once.
      Adding each x of the field gives q rounds;
    - each triple wⁱ{1, c, c²} across the levels, with all x added, is a round by itself: 3t more.

    Within a level the differences are wⁱ(1 - c) times the sixth roots of 1: each difference once.
    From a level to the next they are wⁱ(c - 1) times the cube roots from the triples alone and wᵗ
    times that from the first rounds: each once again, and 0 from the first triple. So each pair is
    together exactly once.
    """
    third = players // 3
    numbers = field(third)
    if size != 3 or players % 3 or numbers is None or third % 6 != 1:
        return None
    t = third // 6

    def across(exponent: int, level: int) -> list[tuple[int, int]]:
        return [(numbers.power(exponent + 2 * t * step), (level + step) % 3) for step in range(3)]

    def shifted(triple: list[tuple[int, int]], shift: int) -> Team:
        return tuple(sorted(numbers.add(x, shift) + third * level for x, level in triple))

    level_triples = [
        [(numbers.power(i + 2 * t * step), level) for step in range(3)] for i in range(t) for level in range(3)
    ]
    first = [[(0, 0), (0, 1), (0, 2)], *level_triples, *(across(i + t, level) for i in range(t) for level in range(3))]
    alone = [across(i, level) for i in range(t) for level in range(3)]
    return (
        *(tuple(shifted(triple, shift) for triple in first) for shift in range(third)),
        *(tuple(shifted(triple, shift) for shift in range(third)) for triple in alone),
    )


def transversal(players: int, size: int) -> Grouping | None:
    """`size` columns of q players, a prime power q not below `size`: q rounds.

    12 in threes get 4, 20 in fours 5. In round m, group b takes from column j the player m·j + b over
    GF(q). Two players of different columns fix m and b, so they are together once; two of a column never.
    """
    height = players // size
    numbers = field(height)
    if numbers is None or height < size:
        return None
    return tuple(
        tuple(
            tuple(column * height + numbers.add(numbers.times(slope, column), start) for column in range(size))
            for start in range(height)
        )
        for slope in range(height)
    )
