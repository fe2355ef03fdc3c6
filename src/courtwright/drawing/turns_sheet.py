"""Who plays where on paper: the turns to hang on the wall, and what each gets. No limits of players stand on it."""

from __future__ import annotations

from typing import Any

from courtwright.drawing.paper import page_source, printed
from courtwright.drawing.svg import Svg
from courtwright.game.document import Teams
from courtwright.rota import Rota, Turn, fairness_text
from courtwright.rota.bibs import bibs_for

NOBODY_OFF = "–"


def turns_sheet(rota: Rota, title: str = "", squad_name: str = "") -> bytes:
    """The turns of a rota as PDF, A4, on as many pages as they need: tagged, with the font inside."""
    return printed(*page_source("turns.typ", _data(rota, title, squad_name), Svg("")))


def _data(rota: Rota, title: str, squad_name: str) -> dict[str, Any]:
    turns = [_row(rota, number, turn) for number, turn in enumerate(rota.turns)]
    baskets = f"{rota.baskets} baskets" if rota.baskets > 1 else ""
    kind = {Teams.FIXED: "teams stay together", Teams.HALF_MIXED: "new teams from time to time"}
    about = [f"{len(rota.waves)} turns", baskets, rota.rule.value, kind.get(rota.teams_kind, "mixed teams")]
    return {
        "name": title or "Who plays where",
        "squad": squad_name,
        "about": [part for part in about if part],
        "purpose": "",
        "alt": "",
        "baskets": rota.baskets,
        "teams": _teams(rota),
        "rows": turns,
        "widths": _widths(turns),
        "counts": _counts(rota),
        "said": fairness_text(rota),
        "foot": f"Courtwright · rota seed {rota.seed}",
    }


def _row(rota: Rota, number: int, turn: Turn) -> dict[str, Any]:
    called = [{"figure": figure, "name": rota.names[player]} for figure, player in turn.figures.items()]
    first = number % rota.baskets == 0
    off = ", ".join(rota.names[player] for player in turn.off) or NOBODY_OFF
    return {
        "turn": str(number // rota.baskets + 1) if first else "",
        "basket": str(number % rota.baskets + 1),
        "attack": [one for one in called if not one["figure"].startswith("X")],
        "defence": [one for one in called if one["figure"].startswith("X")],
        "off": off if first else "",
    }


def _teams(rota: Rota) -> list[dict[str, str]]:
    """The teams with bibs; none where they are made anew from time to time, or mixed."""
    if rota.teams_kind is not Teams.FIXED:
        return []
    bibs = bibs_for(len(rota.teams))
    return [
        {"bib": bib.name, "names": ", ".join(rota.names[player] for player in team)}
        for bib, team in zip(bibs, rota.teams, strict=True)
    ]


def _widths(rows: list[dict[str, Any]]) -> list[int]:
    """The shares of the columns: the longest row of each in letters."""
    sides = [max(sum(len(one["name"]) + 5 for one in row[side]) for row in rows) for side in ("attack", "defence")]
    return [*sides, max(6, *(len(row["off"]) for row in rows))]


def _counts(rota: Rota) -> dict[str, list[Any]]:
    figures = list(rota.spot_turns[0])
    rows = [
        [
            name,
            *map(str, (rota.total_turns[at], rota.offence_turns[at], rota.defence_turns[at], rota.off_turns[at])),
            *(str(rota.spot_turns[at][figure]) for figure in figures),
        ]
        for at, name in enumerate(rota.names)
    ]
    return {"header": ["", "turns", "attack", "defend", "off", *figures], "rows": rows}
