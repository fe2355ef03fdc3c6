"""Tables of the documentation, made from the product itself each time the pages are built.

A page asks for one with a line ``<!-- table: NAME -->``. Nothing is written to a
file, so no table can be out of date.
"""

from __future__ import annotations

import json
import math
import re
from collections.abc import Callable, Iterable, Iterator
from functools import partial
from importlib.resources import files
from typing import Any, Final

import typer
from typer.core import TyperGroup

import reading_rules
from courtwright.answers.difference import LEAST, LEAST_SHARE
from courtwright.calibration.fit import FREE
from courtwright.floor import drive, helping, lanes, leaving, movement, readout
from courtwright.floor.court import Court, Rules, court
from courtwright.floor.presets import preset
from courtwright.floor.scene import ASSUMED
from courtwright.game.constraints import CONSTRAINTS, ConstraintKind
from courtwright.game.document import Game
from courtwright.game.moment import Moment
from courtwright.game.points import POINT_RULES
from courtwright.squad import Squad
from courtwright.squad.measured import TEST_DISTANCE_M, open_logit
from courtwright.trial.measures import MEASURES
from courtwright.trial.parameters import PARAMETERS
from courtwright.vocabulary import Evidence, FactKind, Level, Role, Zone, format_length
from courtwright.web.app import PARTS
from courtwright.web.roles import ROLES

MARK: Final = re.compile(r"^<!-- table: ([a-z ]+) -->$", re.MULTILINE)
MOST_WORDS: Final = 10
OWN_DEFAULTS: Final = {"threads": "one a core"}  # depends on the machine that builds the pages


def fill(text: str) -> str:
    """Put the tables into a page; an unknown name is an error."""
    return MARK.sub(lambda match: TABLES[match[1]](), text)


def grid(head: Iterable[str], rows: Iterable[Iterable[str]]) -> str:
    """Write a table in Markdown."""
    lines = [list(head), *(list(row) for row in rows)]
    lines.insert(1, ["---"] * len(lines[0]))
    return "\n".join(
        "| " + " | ".join(cell.replace("|", "\\|").replace("\n", " ") for cell in line) + " |" for line in lines
    )


def constraints() -> str:
    """Every constraint of the register."""
    head = ["rule", "says", "binds", "limit", "usual cost", "in the trial", "of one figure", "why not"]
    return grid(head, (_constraint(kind) for kind in CONSTRAINTS.values()))


def _constraint(kind: ConstraintKind) -> list[str]:
    limit = kind.limit
    reach = f"{limit.least:g} to {limit.most:g} {limit.unit}, usually {limit.usual:g}" if limit else "none"
    played = "played" if kind.played else f"left to the eye: {kind.watch}"
    one = "played" if kind.personal else "left to the eye"
    said = kind.say(limit.usual if limit else None)
    return [f"`{kind.key}`", said, kind.side, reach, kind.usual_cost, played, one, kind.why]


def point_rules() -> str:
    """Every point rule of the register."""
    head = ["rule", "rewards", "usually", "goes to", "in the trial", "what counts", "caution"]
    rows = (
        [
            f"`{kind.key}`",
            kind.text,
            "the court's 1, 2 or 3" if kind.by_court else f"{kind.usual}",
            kind.side,
            "counted" if kind.played else "left to the eye",
            kind.means,
            kind.caution,
        ]
        for kind in POINT_RULES.values()
    )
    return grid(head, rows)


def courts() -> str:
    """Every measure of every rule book, with its edition and how it was seen."""
    return "\n\n".join(_court(court(rules)) for rules in Rules)


def _court(floor: Court) -> str:
    rows = [
        [name.replace("_", " "), f"{measure.value_m:.3f} m", format_length(measure.value_m, feet=True), *said]
        for name, measure in floor.measures().items()
        for said in [(measure.edition, measure.evidence.value)]
    ]
    if floor.arc_radius is not None:
        join_m = floor.arc_join_from_end_line_m
        rows.append(
            ["arc join from end line", f"{join_m:.3f} m", format_length(join_m, feet=True), "computed", "fitted"]
        )
        rows.append(["floor inside the arc", f"{floor.inside_area_m2:.2f} m²", "", "computed", "fitted"])
    worth = f"A basket is worth {floor.inside_value} inside the arc and {floor.outside_value} beyond it."
    title = f"### {floor.name} (`{floor.rules.value}`)\n\n{worth}\n\n"
    return title + grid(["measure", "metres", "feet and inches", "rule book", "evidence"], rows)


def spots() -> str:
    """Every named spot on each court, in metres from the point under the ring."""
    floors = [court(rules) for rules in Rules]
    names = floors[0].spots
    rows = (
        [f"`{name}`", *(f"{floor.spots[name][0]:.2f}, {floor.spots[name][1]:.2f}" for floor in floors)]
        for name in names
    )
    return grid(["spot", *(floor.name for floor in floors)], rows)


def presets() -> str:
    """Every preset figure: middle ± range, how it is known, and from where."""
    levels = [preset(level) for level in Level]
    head = ["figure", "unit", *(level.level.value for level in levels), "source"]
    rows = (
        [first.text, first.unit, *(_figure(level[first.name]) for level in levels), first.source]
        for first in levels[0].figures
    )
    return grid(head, rows)


def _figure(figure: Any) -> str:
    return f"{figure.mid:g} ± {figure.spread:g} ({figure.evidence.value})"


def shooting_tests() -> str:
    """What is expected of an unguarded test, by level and zone."""
    head = ["level", *(f"{zone.value}, from {TEST_DISTANCE_M[zone]:g} m" for zone in Zone)]
    return grid(head, ([level.value, *(_open_share(level, zone) for zone in Zone)] for level in Level))


def _open_share(level: Level, zone: Zone) -> str:
    return f"{1 / (1 + math.exp(-open_logit(preset(level), zone))):.0%}".replace("%", " %")


def trial_parameters() -> str:
    """Every parameter of the trial that does not depend on the level."""
    head = ["parameter", "unit", "value", "source"]
    return grid(head, ([figure.text, figure.unit, _figure(figure), figure.source] for figure in PARAMETERS))


def measures() -> str:
    """What a trial measures, and what is no difference."""
    rows = ([f"`{item.key}`", item.text, item.unit, f"{LEAST.get(item.unit, LEAST_SHARE):g}"] for item in MEASURES)
    return grid(("key", "what", "unit", "no difference up to"), rows)


def reading_assumptions() -> str:
    """What a reading assumes beyond the presets."""
    head = ["assumed", "unit", "value", "evidence", "source"]
    rows = ([one.text, one.unit, _figure(one), one.evidence.value, one.source] for one in ASSUMED)
    return grid(head, rows)


def evidence() -> str:
    """The tags a number can carry."""
    meaning = {
        Evidence.PUBLISHED: "seen in a named source",
        Evidence.SECONDARY: "the named source, seen through another text",
        Evidence.FITTED: "computed by us from published rows",
        Evidence.PRACTICE: "what coaches hold; no source",
        Evidence.MEMORY: "believed to stand in the named source; not checked",
        Evidence.GUESS: "ours, to be replaced",
    }
    return grid(["tag", "meaning"], ([f"`{tag.value}`", meaning[tag]] for tag in Evidence))


def facts() -> str:
    """The frozen words for what can happen in a run."""
    return ", ".join(f"`{kind.value}`" for kind in FactKind) + "."


# --- fields of documents --------------------------------------------------------------------------------------------


def game_fields() -> str:
    """Every field of a game."""
    return fields(Game.model_json_schema())


def moment_fields() -> str:
    """Every field of a moment."""
    return fields(Moment.model_json_schema())


def squad_fields() -> str:
    """Every field of a squad."""
    return fields(Squad.model_json_schema())


def fields(schema: dict[str, Any]) -> str:
    """One table for the document and one for each of its parts, from the schema that checks them."""
    parts = schema.get("$defs", {})
    named = {schema["title"]: schema} | {name: part for name, part in parts.items() if part.get("type") == "object"}
    return "\n\n".join(_part(name, part, parts) for name, part in named.items())


def _part(name: str, part: dict[str, Any], parts: dict[str, Any]) -> str:
    required = part.get("required", [])
    rows = (
        [f"`{key}`", _kind(field, parts), "needed" if key in required else _default(field), _meaning(field)]
        for key, field in part["properties"].items()
    )
    return f"### {name}\n\n{part.get('description', '')}\n\n{grid(['field', 'holds', 'if left out', 'meaning'], rows)}"


def _meaning(field: dict[str, Any]) -> str:
    said = str(field.get("description", ""))
    return "" if "\n" in said else said  # a list of words has its own table


def _default(field: dict[str, Any]) -> str:
    value = field.get("default")
    if value is None:
        return "nothing"
    if value in ("", [], {}):
        return "empty"
    return "its usual parts" if isinstance(value, dict) else f"`{json.dumps(value)}`"


def _kind(field: dict[str, Any], parts: dict[str, Any]) -> str:
    """What a field holds, in words."""
    if "$ref" in field:
        name = field["$ref"].rsplit("/", 1)[-1]
        return name if parts[name].get("type") == "object" else _kind(parts[name], parts)
    if "anyOf" in field:
        return " or ".join(_kind(choice, parts) for choice in field["anyOf"] if choice.get("type") != "null")
    if "const" in field:
        return f"`{field['const']}`"
    if "enum" in field:
        return _words(field["enum"])
    if field.get("type") == "array":
        return _list(field, parts)
    names = {
        "string": "text",
        "integer": "whole number",
        "number": "number",
        "boolean": "true or false",
        "object": "object",
    }
    return names.get(field.get("type", ""), "anything") + _reach(field)


def _words(words: list[str]) -> str:
    if len(words) > MOST_WORDS:
        return f"one of {len(words)} words: see the tables of rules and [spots](court.md)"
    return "one of " + ", ".join(f"`{word}`" for word in words)


def _list(field: dict[str, Any], parts: dict[str, Any]) -> str:
    if "prefixItems" in field:
        return f"[{', '.join(_kind(item, parts) for item in field['prefixItems'])}]"
    most = f" (at most {field['maxItems']})" if "maxItems" in field else ""
    return f"list of {_kind(field['items'], parts)}{most}"


def _reach(field: dict[str, Any]) -> str:
    least = field.get("minimum", field.get("exclusiveMinimum"))
    most = field.get("maximum", field.get("exclusiveMaximum"))
    above = "above " if "exclusiveMinimum" in field else ""
    if least is not None and most is not None:
        return f", {above}{least:g} to {most:g}"
    return f" of at most {field['maxLength']} letters" if "maxLength" in field else ""


# --- command line ---------------------------------------------------------------------------------------------------


def command_line() -> str:
    """Every command with its arguments and options."""
    from courtwright.cli import app  # noqa: PLC0415 (the app brings the whole product in)

    group = typer.main.get_command(app)
    if not isinstance(group, TyperGroup):
        raise TypeError("the command line has one command only")
    return "\n\n".join(part for name, command in group.commands.items() for part in _commands(name, command))


def _commands(name: str, command: Any) -> Iterator[str]:
    """A command, or a group followed by its own commands."""
    yield _command(name, command)
    if isinstance(command, TyperGroup):
        for word, inner in command.commands.items():
            yield from _commands(f"{name} {word}", inner)


def _command(name: str, command: Any) -> str:
    context = command.context_class(command, info_name=f"courtwright {name}")
    usage = command.get_usage(context).removeprefix("Usage: ")
    rows = [_parameter(item) for item in command.params if not getattr(item, "hidden", False)]
    table = grid(["word", "usually", "meaning"], rows) if rows else ""
    return f"## {name}\n\n{(command.help or '').strip()}\n\n```text\n{usage}\n```\n\n{table}"


def _parameter(item: Any) -> list[str]:
    words = [item.metavar or item.name] if item.param_type_name == "argument" else [*item.opts, *item.secondary_opts]
    return [", ".join(f"`{word}`" for word in words), _usually(item), item.help or ""]


def _usually(item: Any) -> str:
    """Whether it must be given, what holds otherwise, and the range that is taken."""
    shown = isinstance(item.default, str | int | float) and not isinstance(item.default, bool)
    usual = "needed" if item.required else OWN_DEFAULTS.get(item.name, f"`{item.default}`" if shown else "")
    least, most = getattr(item, "min", None), getattr(item, "max", None)
    if least is None:
        return usual
    return "; ".join(
        part for part in (usual, f"{least:g} to {most}" if most is not None else f"from {least:g}") if part
    )


def reading_constants() -> str:
    """Numbers of the reading that do not vary from set to set; all are ours."""
    rows = [
        ("a defender must be so far in front of the driver on his way", f"{drive.AHEAD_M:g} m"),
        ("who closes at this speed or more is closing out, who stands is set", f"{drive.RUNNING_M_PER_S:g} m/s"),
        ("a set defender who is farther off comes up to", f"{drive.SET_GAP_M:g} m"),
        ("one farther off than this is not gone round but met", f"{drive.PAST_DEFENDER_M:g} m"),
        ("how wide of his man a driver may go", ", ".join(f"{wide:g}" for wide in readout.ABEAM_M) + " m"),
        ("sides that promise so nearly the same are both counted", f"{readout.LEVEL_POINTS:g} points"),
        ("a beat is seen by a helper after", f"{readout.SEEN_S:g} s"),
        ("a helper within this of the finish meets it", f"{helping.HELP_NEAR_M:g} m"),
        ("a helper within this of the driver's way begins to stop him", f"{helping.STOP_REACH_M:g} m"),
        ("a stopped driver can still kick for", f"{helping.HELD_UP_S:g} s"),
        ("a pull-up has so much room", f"{helping.PULL_UP_GAP_M:g} m"),
        ("a helper's leaving is seen a reaction later, give or take", f"{leaving.SEEN_OVER_S:g} s"),
        ("a pass up to this is flat", f"{lanes.FLAT_PASS_M:g} m"),
        ("from this on it flies over all but its last stretch", f"{lanes.LONG_PASS_M:g} m"),
        ("that stretch is", f"{lanes.LAST_M:g} m"),
        ("bodies come no nearer than", f"{movement.BODIES_M:g} m"),
    ]
    return grid(["what", "value"], rows)


def reading_rule(name: str) -> str:
    """Where a rule of thumb holds in the reading, computed anew."""
    return grid(*reading_rules.TABLES[name]())


def calibration() -> str:
    """Published rows beside the trial, as they were last measured."""
    data = json.loads(files("courtwright.calibration").joinpath("measured.json").read_text("utf-8"))
    head = ["", "published", "the trial", "gap", "tolerance", "", "source"]
    return grid(head, (_measured_row(row) for row in data["rows"]))


def _measured_row(row: dict[str, Any]) -> list[str]:
    simulated = row["simulated"]
    mean = sum(simulated) / len(simulated)
    spread = f"{mean:.3f} ({min(simulated):.3f} to {max(simulated):.3f})"
    mark = ("within" if row["within"] else "**outside**") + ("" if row["fitted"] else ", not fitted")
    numbers = [f"{row['target']:g}", spread, f"{row['gap']:+.3f}", f"± {row['tolerance']:g}"]
    return [row["text"], *numbers, mark, row["source"]]


def fitted_parameters() -> str:
    """The parameters that were fitted."""
    chosen = [parameter for parameter in PARAMETERS if parameter.name in FREE]
    return grid(
        ["parameter", "unit", "fitted", "allowed"],
        ([p.text, p.unit, f"{p.mid:g}", f"{FREE[p.name][0]:g} to {FREE[p.name][1]:g}"] for p in chosen),
    )


def roles() -> str:
    """What other devices may ask for, by role, from the table the gate looks into."""
    told = {
        f"{method} {route.path}": (route.endpoint.__doc__ or "").strip().partition("\n")[0]
        for part in PARTS
        for route in part.router.routes
        for method in getattr(route, "methods", ())
    }
    others = [role for role in Role if role is not Role.COACH]
    rows = [
        [f"`{name}`", told[name], *("yes" if role in may else "" for role in others)] for name, may in ROLES.items()
    ]
    return grid(["asked for", "what it is", *others], rows)


TABLES: Final[dict[str, Callable[[], str]]] = {
    "constraints": constraints,
    "point rules": point_rules,
    "courts": courts,
    "spots": spots,
    "presets": presets,
    "shooting tests": shooting_tests,
    "trial parameters": trial_parameters,
    "calibration": calibration,
    "fitted parameters": fitted_parameters,
    "reading assumptions": reading_assumptions,
    "evidence": evidence,
    "facts": facts,
    "game fields": game_fields,
    "moment fields": moment_fields,
    "squad fields": squad_fields,
    "measures": measures,
    "command line": command_line,
    "roles": roles,
    "reading constants": reading_constants,
} | {name: partial(reading_rule, name) for name in reading_rules.TABLES}
