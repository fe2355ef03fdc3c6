"""The project's own promises: versions, hosts, what is installed and why."""

from __future__ import annotations

import ast
import json
import re
import tomllib
from collections.abc import Iterator
from importlib import metadata
from pathlib import Path

import pytest
from packaging.requirements import Requirement
from packaging.utils import canonicalize_name

ROOT = Path(__file__).parents[2]
PROJECT = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))["project"]
PINS = [Requirement(line) for line in (ROOT / "constraints.txt").read_text("utf-8").splitlines()]
HERE = {canonicalize_name(pin.name): pin for pin in PINS if pin.marker is None or pin.marker.evaluate()}

LEFT_OUT = {".git", ".venv", "node_modules", "_build", "dist", "build", "scratch", "htmlcov"}


def declared() -> list[Requirement]:
    extras = PROJECT["optional-dependencies"].values()
    return [Requirement(text) for group in (PROJECT["dependencies"], *extras) for text in group]


def committed() -> Iterator[Path]:
    """Text files as a clone has them."""
    for path in sorted(ROOT.rglob("*")):
        parts = path.relative_to(ROOT).parts
        hidden = any(part.startswith(".") and part not in (".ci", ".gitignore", ".npmrc") for part in parts)
        if path.is_file() and not hidden and not LEFT_OUT.intersection(parts) and "__pycache__" not in parts:
            yield path


@pytest.mark.parametrize("wanted", declared(), ids=str)
def test_every_declared_package_is_pinned_within_its_bounds(wanted: Requirement) -> None:
    pin = HERE[canonicalize_name(wanted.name)]
    assert wanted.specifier.contains(next(iter(pin.specifier)).version)


def test_constraints_name_exact_versions_and_no_place() -> None:
    for pin in PINS:
        assert pin.url is None
        assert [item.operator for item in pin.specifier] == ["=="], pin
    assert "://" not in (ROOT / "constraints.txt").read_text("utf-8")


def test_nothing_an_installed_package_needs_is_left_to_float() -> None:
    for name, pin in HERE.items():
        for text in metadata.requires(name) or []:
            needed = Requirement(text)
            if needed.marker is None or any(needed.marker.evaluate({"extra": extra}) for extra in ("", *pin.extras)):
                assert canonicalize_name(needed.name) in HERE, f"{name} needs {needed.name}"


def test_the_lists_serve_every_supported_python() -> None:
    assert PROJECT["requires-python"] == ">=3.11"
    for version in ("3.11.0", "3.11.9", "3.12.1", "3.13.0"):
        place = {"python_full_version": version, "python_version": version.rpartition(".")[0]}
        fits = [canonicalize_name(pin.name) for pin in PINS if pin.marker is None or pin.marker.evaluate(place)]
        assert len(fits) == len(set(fits)), "two versions of one package"
        assert {canonicalize_name(wanted.name) for wanted in declared()} <= set(fits)


NOT_IMPORTED = {"fontpkg-source-sans-3", "jinja2"}  # a folder of fonts; what FastAPI's templates are made of
IMPORTED_AS = {"pillow": "PIL"}


def test_every_package_the_product_installs_is_used() -> None:
    names: set[str] = set()
    for path in (ROOT / "src").rglob("*.py"):
        for node in ast.walk(ast.parse(path.read_text("utf-8"))):
            if isinstance(node, ast.Import):
                names |= {alias.name.partition(".")[0] for alias in node.names}
            elif isinstance(node, ast.ImportFrom) and node.module:
                names.add(node.module.partition(".")[0])
    installed = {Requirement(text).name for text in PROJECT["dependencies"]} - NOT_IMPORTED
    assert {IMPORTED_AS.get(name, name) for name in installed} <= names


FORBIDDEN = re.compile(
    "|".join(["py" + r"pi\.org", "python" + "hosted", "registry" + r"\.npmjs", "deb" + r"\.debian", "/wo" + "rk/"])
)


def test_no_committed_file_names_a_registry_or_a_place_of_ours() -> None:
    for path in committed():
        try:
            text = path.read_text("utf-8")
        except UnicodeDecodeError:
            continue
        assert not FORBIDDEN.search(text), path.relative_to(ROOT)


def test_the_browser_tools_lock_names_no_host() -> None:
    assert "omit-lockfile-registry-resolved=true" in (ROOT / ".npmrc").read_text("utf-8").splitlines()
    lock = json.loads((ROOT / "package-lock.json").read_text("utf-8"))
    assert lock["packages"]
    assert not [name for name, part in lock["packages"].items() if "resolved" in part]


def test_ci_runs_the_command_the_readme_names() -> None:
    command = "python3 run.py test"
    assert command in (ROOT / "README.md").read_text("utf-8")
    assert command in (ROOT / ".ci" / "run").read_text("utf-8")


def test_the_changelog_speaks_of_this_version() -> None:
    assert f"\n## {metadata.version('courtwright')}" in (ROOT / "CHANGELOG.md").read_text("utf-8")
