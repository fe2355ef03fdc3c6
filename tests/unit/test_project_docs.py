"""The documentation cannot drift: it names every command, rule, word and source there is."""

from __future__ import annotations

import re
import xml.etree.ElementTree as ET
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
import typer
from typer.core import TyperGroup

import tables
from courtwright.cli import app
from courtwright.floor.court import Rules, court
from courtwright.floor.presets import FIGURES, preset
from courtwright.game.constraints import CONSTRAINTS
from courtwright.game.points import POINT_RULES
from courtwright.game.read import load_game
from courtwright.vocabulary import SPOTS, Level, Role
from courtwright.web.roles import ROLES

ROOT = Path(__file__).parents[2]
DOCS = ROOT / "docs"


def page(name: str) -> str:
    """A page as a reader sees it, tables filled in."""
    return tables.fill((DOCS / f"{name}.md").read_text("utf-8"))


def commands() -> TyperGroup:
    group = typer.main.get_command(app)
    assert isinstance(group, TyperGroup)
    return group


def every_command(group: TyperGroup, before: str = "") -> Iterator[tuple[str, Any]]:
    """Every command by its words, those of groups too."""
    for name, command in group.commands.items():
        yield f"{before}{name}", command
        if isinstance(command, TyperGroup):
            yield from every_command(command, f"{before}{name} ")


def test_every_role_and_what_it_may_ask_for_is_described() -> None:
    text = page("devices")
    for role in Role:
        assert f"**{role}**" in text
    for route, roles in ROLES.items():
        (row,) = (line for line in text.splitlines() if line.startswith(f"| `{route}` |"))
        assert row.count("| yes") == len(roles - {Role.COACH})


def test_every_command_and_option_is_described() -> None:
    text = page("cli")
    for name, command in every_command(commands()):
        section = re.search(rf"^## {name}\n(.*?)(?=^## |\Z)", text, re.MULTILINE | re.DOTALL)
        assert section, name
        assert (command.help or "").strip() in section[1]
        for option in re.findall(r"--[a-z-]+", " ".join(word for item in command.params for word in item.opts)):
            assert f"`{option}`" in section[1], f"{name} {option}"
            assert re.search(rf"`{option}`.*\| \S.* \|$", section[1], re.MULTILINE), f"{name} {option} has no help"


@pytest.mark.parametrize("key", [*CONSTRAINTS, *POINT_RULES])
def test_every_rule_of_the_registers_is_described(key: str) -> None:
    assert f"| `{key}` |" in page("games")


@pytest.mark.parametrize("key", [key for key, kind in CONSTRAINTS.items() if not kind.played])
def test_what_is_left_to_the_eye_says_what_to_watch(key: str) -> None:
    (row,) = (line for line in page("games").splitlines() if line.startswith(f"| `{key}` |"))
    assert f"left to the eye: {CONSTRAINTS[key].watch} |" in row
    assert row.endswith(f"| {CONSTRAINTS[key].why} |")
    assert CONSTRAINTS[key].watch


def test_every_measure_of_every_rule_book_is_listed_with_its_edition() -> None:
    text = page("court")
    for rules in Rules:
        floor = court(rules)
        section = text.partition(f"(`{rules.value}`)")[2].partition("### ")[0]
        for name, measure in floor.measures().items():
            assert f"| {name.replace('_', ' ')} | {measure.value_m:.3f} m |" in section
            assert f"| {measure.edition} | {measure.evidence.value} |" in section
    for spot in SPOTS:
        assert f"| `{spot}` |" in text


def test_every_preset_is_listed_with_its_range() -> None:
    text = page("trial")
    for name in FIGURES:
        figures = [preset(level)[name] for level in Level]
        (row,) = (line for line in text.splitlines() if line.startswith(f"| {figures[0].text} |"))
        for figure in figures:
            assert f"{figure.mid:g} ± {figure.spread:g} ({figure.evidence.value})" in row


CITED = re.compile(r"\b([A-ZŐÖÜÁÉ][\w-]+)(?: et al\.,?| (?:&|and) [A-Z][\w-]+)? \(?((?:19|20)\d\d)\b")
NOT_AN_AUTHOR = {"Rules", "June", "October", "NBA", "FIBA", "Biomech"}


def test_every_source_the_product_cites_is_in_the_bibliography() -> None:
    listed = (DOCS / "bibliography.md").read_text("utf-8")
    cited = set()
    for path in [
        *(ROOT / "src").rglob("*.py"),
        *(ROOT / "src").rglob("*.toml"),
        *(ROOT / "tests" / "truth").rglob("*.py"),
    ]:
        cited |= set(CITED.findall(path.read_text("utf-8")))
    named = {(author, year) for author, year in cited if author not in NOT_AN_AUTHOR}
    assert len(named) > 5
    for author, year in sorted(named):
        assert re.search(rf"^\| .*\b{author}\b.*\b{year}\b", listed, re.MULTILINE), f"{author} {year}"


def test_every_source_says_how_it_was_seen() -> None:
    rows = [line for line in (DOCS / "bibliography.md").read_text("utf-8").splitlines() if line.startswith("| ")]
    sources = [row for row in rows if not row.startswith(("| source", "| ---"))]
    assert len(sources) > 30
    for row in sources:
        assert re.search(r"\| [^|]*\b(read|secondary|from memory)\b[^|]*\|$", row), row


def test_every_table_is_used_and_an_unknown_one_is_an_error() -> None:
    asked = {name for path in DOCS.glob("*.md") for name in tables.MARK.findall(path.read_text("utf-8"))}
    assert asked == set(tables.TABLES)
    with pytest.raises(KeyError):
        tables.fill("<!-- table: none such -->")


def shape(svg: str) -> list[tuple[str, str | None, str | None]]:
    """What is drawn and where it stands in the tree, without coordinates."""
    return [(item.tag, item.get("class"), item.get("data-figure")) for item in ET.fromstring(svg).iter()]


def test_the_picture_of_the_readme_is_drawn_by_this_version() -> None:
    from courtwright.drawing import draw_game

    picture = re.search(r"!\[[^]]{20,}\]\((docs/images/([\w-]+)\.svg)\)", (ROOT / "README.md").read_text("utf-8"))
    assert picture
    game = load_game(ROOT / "examples" / f"{picture[2]}.game.json")
    kept = (ROOT / picture[1]).read_text("utf-8")
    assert shape(kept) == shape(str(draw_game(game)))


def test_pages_link_only_to_pages_that_exist() -> None:
    for path in DOCS.glob("*.md"):
        for target in re.findall(r"\]\(([\w./-]+)\)", path.read_text("utf-8")):
            assert (DOCS / target).exists(), f"{path.name}: {target}"
