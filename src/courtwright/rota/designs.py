"""Team against team, perfect: every two players team-mates equally often, and opponents equally often.

Every construction is general, with the reason why it holds in its docstring; the base rounds
that theory does not give were found by exact search. `tests/truth` counts each design.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace
from functools import lru_cache
from itertools import combinations
from typing import Final

from courtwright.rota.fields import field
from courtwright.rota.ordering import Game, Games, Rounds, ends_evened, queued
from courtwright.rota.resolvable import Round, Team, groups, rounds_bound

__all__ = ["Design", "Game", "Games", "Rounds", "Team", "groups", "on_baskets", "one_basket", "rounds_bound"]
__all__ += ["team_games", "williams_order"]


@dataclass(frozen=True, slots=True)
class Design:
    """A schedule of games in which all pairs are treated alike.

    Played to the end, every player has played equally often, every two players were
    team-mates `team_mates` times and opponents `opponents` times.
    """

    players: int
    side: int
    rounds: Rounds
    source: str
    """the construction, by name"""
    loose: bool = False
    """each game is a round of its own: any order will do"""

    @property
    def baskets(self) -> int:
        """Games at the same time."""
        return max(len(games) for games in self.rounds)

    @property
    def games(self) -> Games:
        """All games, in order."""
        return tuple(game for games in self.rounds for game in games)

    @property
    def each_plays(self) -> int:
        """Games per player."""
        return 2 * self.side * len(self.games) // self.players

    @property
    def team_mates(self) -> int:
        """Games any two players are on one team."""
        return self.each_plays * (self.side - 1) // (self.players - 1)

    @property
    def opponents(self) -> int:
        """Games any two players are against each other."""
        return self.each_plays * self.side // (self.players - 1)


@lru_cache(maxsize=256)
def team_games(players: int, side: int, baskets: int) -> Design | None:
    """The shortest perfect schedule we can build; None where we know none, or have not the players.

    Parameters
    ----------
    players, side
        2-on-2 and 4 players are `team_games(4, 2, 1)`.
    baskets
        Games at the same time. With fewer than the design has, its rounds are played piece by piece; the
        last round may then leave a basket free.
    """
    if side < 1 or not 1 <= baskets <= players // (2 * side):
        return None
    built = [design for builder in BUILDERS if (design := builder(players, side)) is not None]
    short = [design for design in built if len(design.games) <= MOST_GAMES]
    best = min(short, key=lambda design: len(design.games), default=None)
    return best and on_baskets(replace(best, rounds=ends_evened(players, best.rounds)), baskets)


def whist_by_roots(players: int, side: int) -> Design | None:
    """A prime power q = 2tm + 1 of players, t a side: q rounds, m games at a time, one player rests in each.

    With w a generator of GF(q), let G be the powers of w^m (the 2t-th roots of 1) and H those of w^2m.
    Game i is wⁱH against wⁱ⁺ᵐH, i below m; the round is moved by every x of the field. The differences
    h - h·z of team-mates, z in H but 1, are (1 - z)wⁱG over both teams, and over all i every number but 0:
    so t - 1 times each. Those of opponents, h - h·g with g in G but not H, are (1 - g)wⁱG in the same
    way: t times each. So any two players are team-mates t - 1 and opponents t times, a generalised whist
    tournament (the constants: Abel, Finizio, Greig & Lewis 2003). 2-on-2 for 5, 9, 13, 17; 3-on-3 for 7, 13, 19;
    4-on-4 for 9, 17; 5-on-5 for 11.
    """
    numbers = field(players)
    if numbers is None or players % (2 * side) != 1:
        return None
    m = players // (2 * side)

    def team(exponent: int, shift: int) -> Team:
        return tuple(sorted(numbers.add(numbers.power(exponent + 2 * m * step), shift) for step in range(side)))

    rounds = (tuple((team(i, shift), team(i + m, shift)) for i in range(m)) for shift in range(players))
    return Design(players, side, tuple(rounds), f"generalised whist from the {2 * side}th roots of 1 in GF({players})")


WHIST: Final[dict[tuple[int, int], Games]] = {
    (8, 2): (((7, 0), (2, 3)), ((1, 5), (4, 6))),
    (12, 2): (((11, 0), (8, 9)), ((1, 7), (2, 5)), ((3, 10), (4, 6))),
    (16, 2): (((15, 0), (2, 8)), ((1, 13), (6, 10)), ((3, 5), (4, 9)), ((7, 14), (11, 12))),
    (20, 2): (((19, 0), (12, 15)), ((1, 2), (3, 7)), ((4, 16), (11, 13)), ((5, 10), (9, 18)), ((6, 17), (8, 14))),
    (12, 3): (((11, 0, 8), (1, 5, 10)), ((2, 3, 9), (4, 6, 7))),
}
"""Base rounds by (players, side), found by exact search; each is counted by `tests/truth`.

Whist tournaments exist for all n = 0, 1 mod 4 (Haanpää & Kaski 2005)."""


def whist_by_ring(players: int, side: int) -> Design | None:
    """All play, t a side: a base round moved round n - 1 places, the last of the n players standing still.

    It holds because among the places of the base round every difference modulo n - 1 comes t - 1
    times between team-mates and t times between opponents (`WHIST`).
    """
    base = WHIST.get((players, side))
    if base is None:
        return None
    ring = players - 1

    def moved(team: Team, shift: int) -> Team:
        return tuple(sorted(place if place == ring else (place + shift) % ring for place in team))

    rounds = (tuple((moved(one, shift), moved(other, shift)) for one, other in base) for shift in range(ring))
    return Design(players, side, tuple(rounds), f"generalised whist, a round moved modulo {ring}")


def halves_by_squares(players: int, side: int) -> Design | None:
    """All play: 2t players, 2t - 1 a prime q = 3 mod 4, such as 4-on-4 for 8 in 7 games (Paley 1933).

    Game x is {x + the squares, and the player who stands still} against {x + the others}. The squares are a
    difference set (each difference (q - 3)/4 times), which makes the halves a 3-design (Hadamard): any
    two players are on one team t - 1 times and against each other t times.
    """
    ring = players - 1
    if players != 2 * side or ring % 4 != 3 or not _is_prime(ring):
        return None
    squares = {x * x % ring for x in range(1, ring)}

    def game(shift: int) -> Game:
        with_it = tuple(sorted((x + shift) % ring for x in squares))
        return (*with_it, ring), tuple(player for player in range(ring) if player not in with_it)

    return Design(players, side, tuple((game(shift),) for shift in range(ring)), f"squares modulo {ring}")


def all_halves(players: int, side: int) -> Design | None:
    """All play: every split of 2t players once, such as the ten of six. By symmetry no pair is preferred."""
    if players != 2 * side or side > MOST_HALVED:
        return None
    rest = range(1, players)
    splits = [((0, *mates), tuple(p for p in rest if p not in mates)) for mates in combinations(rest, side - 1)]
    return Design(players, side, tuple((split,) for split in splits), f"all {len(splits)} splits of {players}")


MOST_HALVED: Final = 5
"""ten players have 126 splits; twelve have 462, more than a season wants"""


def classes_played_off(players: int, side: int) -> Design | None:
    """Wherever every two players are together once in rounds of groups: in each round, all groups play each other.

    Any two are team-mates once for each of the other groups, and opponents once in each round but the one
    they share. 9 players in 12 games from the affine plane of order 3: each plays 8 and sits 4.
    """
    rounds = groups(players, side)
    if rounds is None or len(rounds) * (side - 1) != players - 1:
        return None
    games = tuple(games for teams in rounds for games in _played_off(teams))
    return Design(players, side, games, f"{len(rounds)} rounds of {side}s without a pair twice, all teams against all")


def _played_off(teams: Round) -> Rounds:
    """All against all, by the circle method; three teams by defend, attack, off."""
    if len(teams) == 3:
        one, two, three = teams
        return ((one, two),), ((two, three),), ((three, one),)
    pairs = groups(len(teams) + len(teams) % 2, 2) or ()
    return tuple(tuple((teams[a], teams[b]) for a, b in meetings if max(a, b) < len(teams)) for meetings in pairs)


def games_by_squares(players: int, side: int) -> Design | None:
    """A prime q = 3 mod 4 of players, any side: one game, times every square, moved by every x.

    Of d and -d exactly one is a square, so these q(q - 1)/2 maps take any pair of players to any other once:
    whatever the first game is, all pairs are treated alike. 3-on-3 for 11 in 55 games, {0, 1, 2} against {3, 4, 5}.
    """
    if not _is_prime(players) or players % 4 != 3:
        return None
    one, other = range(side), range(side, 2 * side)
    squares = sorted({x * x % players for x in range(1, players)})

    def moved(team: Iterable[int], square: int, shift: int) -> Team:
        return tuple(sorted((square * place + shift) % players for place in team))

    games = [(moved(one, sq, shift), moved(other, sq, shift)) for sq in squares for shift in range(players)]
    return Design(
        players, side, tuple((game,) for game in games), f"one game under the squares modulo {players}", loose=True
    )


BUILDERS: Final[tuple[Callable[[int, int], Design | None], ...]] = (
    whist_by_roots,
    whist_by_ring,
    halves_by_squares,
    classes_played_off,
    all_halves,
    games_by_squares,
)


MOST_GAMES: Final = 300
"""longer schedules are even only after more games than anybody plays"""


def _is_prime(number: int) -> bool:
    return number > 1 and all(number % divisor for divisor in range(2, number))


def one_basket(design: Design) -> Design:
    """The same games one after the other."""
    return on_baskets(design, 1)


def on_baskets(design: Design, baskets: int) -> Design:
    """The same games on fewer baskets at a time, in an order in which nobody sits long."""
    rounds = (design.games,) if design.loose else design.rounds
    if baskets >= design.baskets and not design.loose:
        return design
    return replace(design, rounds=queued(design.players, rounds, baskets))


def williams_order(players: int) -> tuple[tuple[int, ...], ...]:
    """Orders in which every player comes directly after every other equally often (Williams 1949).

    The row 0, 1, n - 1, 2, n - 2, ... moved round n places: its neighbours differ by 1, -2, 3, -4, ...
    modulo n. For even n these are all different, so every ordered pair of neighbours comes once;
    for odd n each odd one comes twice, and reading the rows backwards gives the even ones.

    Returns
    -------
    n rows (2n where n is odd), each an order of the players 0 to n - 1.
    """
    row = [(step + 1) // 2 if step % 2 else -(step // 2) for step in range(players)]
    square = tuple(tuple((place + shift) % players for place in row) for shift in range(players))
    return square if players % 2 == 0 else (*square, *(order[::-1] for order in square))
