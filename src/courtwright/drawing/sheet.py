"""A game on one printed page: the drawing, the rules, what to say, and who plays where first."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from typing import Any, Final

from courtwright.drawing.figures import rings
from courtwright.drawing.game import draw_game, entry_passes
from courtwright.drawing.paper import page_source, printed
from courtwright.drawing.svg import THEMES
from courtwright.drawing.words import (
    capital,
    say_ending,
    say_entry,
    say_finish,
    say_form,
    say_help,
    say_live,
    say_points,
    say_sides,
    text_twin,
)
from courtwright.game.document import Game, Teams
from courtwright.game.points import POINT_RULES
from courtwright.rota import Rota, teams_text

Level = dict[str, float]
"""How much of each part a page keeps: counts, letters, millimetres, points."""

CUES: Final = 2
"""More than two cues are not heard (common practice, no source)."""
NAME_LETTERS: Final = (40, 24, 14, 10)
MOST_TURNS: Final = 24
USUAL_TURNS: Final = 12
FEW_TURNS: Final = 8


def game_sheet(
    game: Game, rota: Rota | None = None, *, squad_name: str = "", variant: int | None = None, feet: bool = False
) -> bytes:
    """One A4 page as PDF: tagged, with the font inside, the same bytes for the same game.

    It never runs over. What does not fit gives way in this order, and the page
    says so: turns beyond the twelfth, air, turns beyond the eighth, the height of
    the notes box, the ends of long names, forms for other numbers (those nearest
    to the rota's number of players stay longest), easier and harder steps beyond
    the first, the ends of long lines, the last turns; only a page that is still
    too full is set smaller than 10.5 points. Limits, points, cautions and the
    drawing stay.
    """
    return printed(*sheet_source(game, rota, squad_name=squad_name, variant=variant, feet=feet))


def sheet_source(
    game: Game, rota: Rota | None = None, *, squad_name: str = "", variant: int | None = None, feet: bool = False
) -> tuple[bytes, dict[str, str]]:
    """The page's source, always the same, and its data beside it."""
    data = _sheet(game, rota, squad_name, variant, feet)
    svg = draw_game(game, variant=variant, feet=feet, theme="print")
    return page_source("sheet.typ", data, svg)


def _sheet(game: Game, rota: Rota | None, squad_name: str, variant: int | None, feet: bool) -> dict[str, Any]:
    """Everything on the page, as plain data for the typesetter."""
    players = len(rota.names) if rota else 0
    seed = f" · rota seed {rota.seed}" if rota else ""
    start = "" if variant is None else f"“{game.start.variants[variant].name}”"
    first = (start, say_entry(game.entry), say_live(game.live), say_help(game.help, game.rotation))
    said = {
        "name": game.name,
        "squad": squad_name,
        "about": _about(game, rota),
        "purpose": game.purpose,
        "first": [capital(words) for words in first if words],
        "rules": [{"text": capital(rule.text), "cost": rule.costs.value} for rule in game.constraints],
        "points": [{"text": capital(rule.text), "worth": say_points(game, rule)} for rule in game.points],
        "ending": say_ending(game.ending),
        "cues": game.cues[:CUES],
        "question": game.question,
        "easier": [step.say for step in game.easier],
        "harder": [step.say for step in game.harder],
        "forms": [
            {"players": form.players, "baskets": form.baskets, "say": say_form(form)}
            for form in sorted(game.forms, key=lambda form: abs(form.players - players))
        ],
        "cautions": game.cautions,
        "warnings": _warnings(game),
        "legend": _legend(game, variant),
        "foot": f"Courtwright · game {game.hash[:8]}{seed} · {game.floor.name} lines to scale",
        "turns": None if rota is None else _turns(game, rota),
    }
    counted = {
        "more_cues": max(0, len(game.cues) - CUES),
        "longest_line": max(map(len, _lines(said)), default=0),
        "longest_name": max(map(len, rota.names), default=0) if rota else 0,
        "levels": _levels(len(rota.turns) if rota else 0, len(game.forms)),
        "alt": text_twin(game, variant, feet=feet),
    }
    return {**said, **counted}


def _about(game: Game, rota: Rota | None) -> list[str]:
    court, kind = f"{game.floor.name} half court", rota.teams_kind if rota else game.rota.teams
    finish = say_finish(game)
    teams = "teams stay together" if kind is Teams.FIXED else "mixed teams"
    return [part for part in (say_sides(game), court, finish, game.rota.rule, teams) if part]


def _legend(game: Game, variant: int | None) -> list[str]:
    """What the marks of this drawing mean."""
    marks = {
        "circle: attacks": True,
        "cross: defends": True,
        "square: neutral": game.sides.neutral > 0,
        "C: coach": game.sides.coach,
        "dot: ball": True,
        "dashed: pass": bool(entry_passes(game)),
        "dotted ring: start varies": any(rings(vary_m, THEMES["print"]) for vary_m in game.vary_m(variant).values()),
    }
    return [words for words, shown in marks.items() if shown]


def _warnings(game: Game) -> list[str]:
    """The cautions that belong to a point rule; they are never cut short."""
    ruled = [POINT_RULES[rule.rule] for rule in game.points]
    return [f"{capital(rule.text)}: {rule.caution}" for rule in ruled if rule.caution]


def _lines(said: dict[str, Any]) -> list[str]:
    """Every line that may be cut short."""
    steps = [*said["cues"], said["question"], *said["easier"], *said["harder"], *said["cautions"], *said["first"]]
    return [*steps, *(form["say"] for form in said["forms"])]


def _turns(game: Game, rota: Rota) -> dict[str, Any]:
    attackers = [figure for figure in game.sides.figures if figure[0] not in "XC"]
    defenders = [figure for figure in game.sides.figures if figure[0] == "X"]
    rows = [{"attack": turn.attack, "defend": turn.defence, "off": turn.off} for turn in rota.turns[:MOST_TURNS]]
    header = {"attack": f"attack: {' · '.join(attackers)}", "defend": f"defend: {' · '.join(defenders)}", "off": "off"}
    return {
        "header": list(header.values()),
        "names": {str(letters): short_names(rota.names, letters) for letters in NAME_LETTERS},
        "rows": rows,
        "of": len(rota.turns),
        "widths": [_width(rota, words, [row[column] for row in rows]) for column, words in header.items()],
        "teams": teams_text(rota),
        "narrow": len(attackers) <= 3 and len(defenders) <= 3,
    }


def short_names(names: Sequence[str], letters: int) -> list[str]:
    """Names cut to so many letters, and still told apart."""
    cut = [name if len(name) <= letters else f"{name[: letters - 1]}…" for name in names]
    same = Counter(cut)
    numbered = (f"{name[: letters - 3]}…{index}" for index, name in enumerate(names, start=1))
    return [short if same[short] == 1 else other for short, other in zip(cut, numbered, strict=True)]


def _width(rota: Rota, header: str, groups: list[tuple[int, ...]]) -> int:
    """The share of the table that a column of names asks for: its longest row in letters."""
    return max([len(header) + 2, *(sum(len(rota.names[player]) + 3 for player in group) for group in groups)])


def _levels(turns: int, forms: int) -> list[Level]:
    """Ever tighter pages, in the order in which things give way."""
    level: Level = {"turns": min(turns, MOST_TURNS), "notes": 26, "forms": 20, "steps": 4}
    level |= {"letters": 200, "name": 40, "drawing": 100, "air": 0.62, "size": 10.5}
    steps: list[Level] = [
        *_fewer("turns", range(min(turns, MOST_TURNS) - 4, USUAL_TURNS, -4)),
        {"turns": USUAL_TURNS},
        {"drawing": 92, "air": 0.52},
        {"air": 0.42},
        *_fewer("turns", range(USUAL_TURNS - 1, FEW_TURNS - 1, -1)),
        {"notes": 18},
        {"name": 24},
        {"name": 14},
        *_fewer("forms", range(min(forms, 12), -1, -2)),
        {"steps": 2},
        {"steps": 1},
        {"letters": 140},
        {"notes": 0},
        {"letters": 100},
        *_fewer("turns", (6, 4)),
        {"letters": 70, "name": 10},
        {"turns": 0},
        {"letters": 48},
        {"letters": 30},
        {"size": 9.5},
        {"size": 8.5},
    ]
    levels = [level]
    for step in steps:
        levels.append(levels[-1] | {name: min(value, levels[-1][name]) for name, value in step.items()})
    return levels


def _fewer(what: str, counts: Iterable[int]) -> list[Level]:
    return [{what: count} for count in counts]
