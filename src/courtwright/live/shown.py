"""What the players' screen may show: score, clock, who is on and next. Nothing that says who did what."""

from __future__ import annotations

from typing import Any

from courtwright.live.fold import State

PLAIN = "plain start"


def shown(state: State) -> dict[str, Any]:
    """The state of a run as everybody in the gym may see it, as plain JSON data."""
    opening, told = state.opening, state.to_json()
    return {
        "run": told["run"],
        "game": told["game"]["name"],
        "basket": opening["basket"],
        "possession": told["possession"],
        "score": told["score"],
        "score_of": score_of(opening),
        "on": told["figures"],
        "next": told["next"]["figures"],
        "start": start_name(told["game"], told["start"]),
        "next_start": start_name(told["game"], told["next"]["start"]),
        "clock": told["clock"],
        "minutes": told["game"].get("finish", {}).get("minutes"),
        "to_points": told["game"].get("finish", {}).get("points"),
        "frozen": told["freeze"] is not None,
        "over": told["over"],
    }


def score_of(opening: dict[str, Any]) -> list[str]:
    """Whose each number of the score is."""
    if not opening["teams"]:
        return ["attack", "defence"]
    return [f"team {number}" for number in range(1, len(opening["teams"]) + 1)]


def start_name(game: dict[str, Any], variant: int) -> str:
    """The name of a start; one the game in force does not have is the plain one."""
    variants = game.get("start", {}).get("variants", [])
    name: str = variants[variant]["name"] if 0 <= variant < len(variants) else PLAIN
    return name
