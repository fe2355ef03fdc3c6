"""A possession played once more in plain Python, and watched: who is where, what happens, what is weighed."""

from __future__ import annotations

import types
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any, Final, cast

import numpy as np
from numpy.typing import NDArray

from courtwright.engine import Around, watched
from courtwright.trial import layout as at
from courtwright.trial.layout import World
from courtwright.trial.runs import Plan, new_world, play_possession

DRAWS: Final = 400
"""Even draws by which the chance of each choice is found."""

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Weighed:
    """One decision: what each option was worth to the one who chose, in net points, and how often he chooses it.

    Worth is what he goes by: his estimate, what experience has taught him about such options, and his taste.
    """

    t_s: float
    holder: int
    mode: int
    """what the ball was doing, as `courtwright.trial.layout` has it"""
    worth: Floats
    """(options,)"""
    chance: Floats
    """(options,)"""
    chosen: int


@dataclass(frozen=True, slots=True)
class Seen:
    """The world after one step or event."""

    t_s: float
    mode: int
    holder: int
    target: int
    helper: int
    used: int
    lost: int
    attackers: int
    guard: NDArray[np.int64]
    """as in `World.guard`"""
    task: NDArray[np.int64]
    """what each player without the ball is about"""
    places_m: Floats
    """(players, 2), attackers first"""
    thrown_m: tuple[float, float]
    """where the present pass comes from"""
    lands_m: tuple[float, float]
    """where the present miss comes down"""
    release_s: float
    due_s: float
    """when the next event is due"""
    counts: NDArray[np.int64]
    """(events,)"""


class Watch:
    """Looks on while the plain twin plays; sees what the kernels leave in the world and changes nothing."""

    def __init__(self) -> None:
        self.seen: list[Seen] = []
        self.weighed: list[Weighed] = []
        self.broken: list[tuple[float, int]] = []
        """when a rule was broken, and which"""

    def play(self, plan: Plan, run: int, possession: int, turn: int, due: float = 0.0) -> float:
        """Play one possession; returns its length in seconds. ``due`` is what a stop brings beside, as `World.due`."""
        around: dict[str, Around] = {
            "start": self._look_after,
            "advance": self._look_after,
            "happen": self._look_after,
            "break_rule": self._note_breach,
            "pick": self._note_choice,
        }
        twin = watched(play_possession, around)
        w = new_world(plan, compiled=False)
        w.due = due
        with np.errstate(over="ignore"):  # the random numbers wrap around on purpose
            return float(twin(w, plan, run, possession, turn, np.empty((0, 0))))

    def _look_after(self, kernel: Callable[..., Any]) -> Callable[..., Any]:
        def looked(w: World, *rest: Any) -> Any:
            result = kernel(w, *rest)
            self.seen.append(_seen(w))
            return result

        return looked

    def _note_breach(self, kernel: Callable[..., Any]) -> Callable[..., Any]:
        def noted(w: World, rule: int) -> Any:
            self.broken.append((w.t, rule))
            return kernel(w, rule)

        return noted

    def _note_choice(self, kernel: Callable[..., Any]) -> Callable[..., Any]:
        chances = _chances_of(cast("types.FunctionType", kernel))

        def noted(w: World, options: int) -> Any:
            chance = chances(w, options)
            chosen = kernel(w, options)
            self.weighed.append(Weighed(w.t, w.holder, w.mode, w.value[:options].copy(), chance, chosen))
            return chosen

        return noted


def _chances_of(pick: types.FunctionType) -> Callable[[World, int], Floats]:
    """How often each option is drawn, asked of the choice itself: there is no second copy of its rule to go wrong."""

    def chances(w: World, options: int) -> Floats:
        counts, value, decided = np.zeros(options), w.value.copy(), w.decided
        for step in range(DRAWS):
            calls = 0

            def drawn(_w: World, _purpose: int, at_share: float = (step + 0.5) / DRAWS) -> float:
                nonlocal calls
                calls += 1
                return at_share

            counts[types.FunctionType(pick.__code__, pick.__globals__ | {"draw": drawn})(w, options)] += 1
            assert calls == 1, "a choice is one draw"
            w.value[:], w.decided = value, decided  # as if nothing had been asked
        return counts / DRAWS

    return chances


def _seen(w: World) -> Seen:
    return Seen(
        t_s=float(w.t),
        mode=w.mode,
        holder=w.holder,
        target=w.target,
        helper=w.helper if w.helping == 1 else at.NOBODY,
        used=w.used,
        lost=w.lost,
        attackers=w.attackers,
        guard=w.guard[: w.players].copy(),
        task=w.task[: w.players].copy(),
        places_m=w.here[: w.players].copy(),
        thrown_m=(float(w.from_x), float(w.from_y)),
        lands_m=(float(w.goal_x), float(w.goal_y)),
        release_s=float(w.t_release),
        due_s=float(w.t_event),
        counts=w.count.copy(),
    )
