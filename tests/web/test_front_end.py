"""The browser code without a browser: its types, its own tests, and what holds it to the Python side."""

from __future__ import annotations

import json
import math
import os
import re
import shutil
import subprocess
from pathlib import Path
from typing import Any

import pytest

from courtwright.floor.court import Rules, court
from courtwright.game.document import Game
from courtwright.squad import Squad

ROOT = Path(__file__).parents[2]
STATIC = ROOT / "src" / "courtwright" / "web" / "static"
TEMPLATES = STATIC.parent / "templates"
MARKUP = re.compile(r"innerHTML|outerHTML|insertAdjacentHTML|document\.write|\beval\(|new Function")
SHARED = json.loads((ROOT / "tests" / "data" / "nearest-spots.json").read_text("utf-8"))["courts"]


def ran(*command: str) -> None:
    """Run a tool in the project's folder; its words are the failure's words."""
    done = subprocess.run(command, cwd=ROOT, capture_output=True, text=True, timeout=120, check=False)
    assert done.returncode == 0, done.stdout + done.stderr


def missing(why: str) -> None:
    """Skip on a bare laptop, fail in CI."""
    if os.environ.get("CI") == "true":
        pytest.fail(f"CI must not skip this: {why}")
    pytest.skip(why)


@pytest.mark.types
def test_the_types_of_the_browser_code_hold() -> None:
    compiler = shutil.which("tsc", path=str(ROOT / "node_modules" / ".bin"))
    if compiler is None:
        missing("needs the TypeScript compiler; run “npm ci” in the project's folder")
        return
    ran(compiler, "-p", "tsconfig.json")


def test_the_models_of_the_browser_code_pass_their_own_tests() -> None:
    node = shutil.which("node")
    if node is None:
        missing("needs Node to run the browser code's own tests")
        return
    files = sorted(str(path) for path in (ROOT / "tests" / "web" / "js").glob("*.test.mjs"))
    assert files
    ran(node, "--test", *files)


@pytest.mark.parametrize("rules", SHARED)
def test_the_shared_cases_hold_on_this_side_too(rules: str) -> None:
    floor = court(Rules(rules))
    for spot, at in floor.spots.items():
        assert SHARED[rules]["spots"][str(spot)] == pytest.approx(at, abs=0.0006)
    for case in SHARED[rules]["cases"]:
        assert floor.region(*case["at"]) == f"near the {case['nearest']}"
        gap_m = min(math.dist(at, case["at"]) for at in floor.spots.values())
        assert gap_m == pytest.approx(case["gap_m"], abs=0.002)


def interfaces() -> dict[str, set[str]]:
    """The names of every interface in the browser's types."""
    text = (STATIC / "js" / "types.d.ts").read_text("utf-8")
    found = re.findall(r"export interface (\w+)[^{]*\{(.*?)\n\}", text, re.S)
    return {name: set(re.findall(r"^  (\w+)\??:", body, re.M)) for name, body in found}


def objects(schema: dict[str, Any]) -> dict[str, set[str]]:
    """The names of every object in a JSON Schema."""
    named = {schema["title"]: schema} | schema.get("$defs", {})
    return {name: set(part["properties"]) for name, part in named.items() if part.get("type") == "object"}


def test_the_browser_knows_every_field_of_the_documents_and_no_other() -> None:
    told = interfaces()
    for name, fields in (objects(Game.model_json_schema()) | objects(Squad.model_json_schema())).items():
        if name != "Shots":  # carried through the browser unread
            assert told[name] == fields, name


def test_data_never_becomes_markup_and_nothing_is_asked_of_other_origins() -> None:
    for path in STATIC.rglob("*.js"):
        text = path.read_text("utf-8")
        assert not MARKUP.search(text), path
        addresses = set(re.findall(r"https?://[^\"'\s)]+", text))
        assert addresses <= {"http://www.w3.org/2000/svg"}, path


def test_pages_carry_no_script_and_no_style_of_their_own() -> None:
    for path in TEMPLATES.glob("*.html"):
        text = path.read_text("utf-8")
        assert not re.search(r"<style|\sstyle=|\son\w+=|javascript:", text), path
        assert all('src="/static/' in tag for tag in re.findall(r"<script[^>]*>", text)), path
        assert not re.search(r"(?:src|href)=\"(?!/|#)", text), path


def test_modules_keep_to_the_house_size() -> None:
    sizes = {path.name: len(path.read_text("utf-8").splitlines()) for path in STATIC.rglob("*.js")}
    assert max(sizes.values()) <= 300, sizes
