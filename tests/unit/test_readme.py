"""The README does what it shows: every block under a ``<!-- runs -->`` mark is run as it stands."""

from __future__ import annotations

import doctest
import os
import re
import shlex
import shutil
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
README = (ROOT / "README.md").read_text("utf-8")
BLOCK = re.compile(r"^<!-- runs -->\n```(console|python)\n(.*?)^```$", re.MULTILINE | re.DOTALL)
NUMBER = r"(\d+(?:\.\d+)?)"
LOOSELY = doctest.ELLIPSIS | doctest.NORMALIZE_WHITESPACE


def commands() -> Iterator[tuple[str, str]]:
    """Each ``$ command`` with the output shown under it."""
    for kind, text in BLOCK.findall(README):
        if kind == "console":
            for part in re.split(r"^\$ ", text, flags=re.MULTILINE)[1:]:
                command, _, output = part.partition("\n")
                yield command, output


def python_blocks() -> list[str]:
    return [text for kind, text in BLOCK.findall(README) if kind == "python"]


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder with the examples, as the README assumes, where the samples may write."""
    place = tmp_path_factory.mktemp("readme")
    shutil.copytree(ROOT / "examples", place / "examples")
    return place


def pattern_of(part: str) -> str:
    if part == "...":
        return ".*?"
    if re.fullmatch(NUMBER, part):
        return NUMBER
    return r"\s+" if part.isspace() else re.escape(part)


def assert_shown(wanted: str, got: str) -> None:
    """The words must be these, ``...`` standing for any; simulated numbers must be near.

    Near, because other processors round the last bit differently, and that can turn a simulated shot.
    """
    parts = re.split(r"(\.\.\.|\d+(?:\.\d+)?|\s+)", wanted.strip())
    found = re.fullmatch("".join(map(pattern_of, parts)), got.strip(), re.DOTALL)
    assert found, f"shown:\n{wanted}\ngot:\n{got}"
    shown = [float(part) for part in parts if re.fullmatch(NUMBER, part)]
    assert [float(number) for number in found.groups()] == pytest.approx(shown, rel=0.15, abs=0.05)


@pytest.mark.parametrize(("command", "output"), list(commands()))
def test_a_command_prints_what_is_shown(folder: Path, command: str, output: str) -> None:
    program, *words = shlex.split(command)
    assert program == "courtwright"
    done = subprocess.run(
        [sys.executable, "-m", "courtwright", *words],
        cwd=folder,
        env=os.environ | {"COLUMNS": "120", "NO_COLOR": "1"},
        capture_output=True,
        encoding="utf-8",
        timeout=300,
        check=False,
    )
    assert done.returncode == 0, done.stdout + done.stderr
    if output.strip():
        assert_shown(output, done.stdout)


@pytest.mark.parametrize("text", python_blocks())
def test_a_python_sample_gives_what_is_shown(folder: Path, monkeypatch: pytest.MonkeyPatch, text: str) -> None:
    monkeypatch.chdir(folder)
    names: dict[str, object] = {}
    sample = doctest.DocTestParser().get_doctest(text, names, "README", "README.md", 0)
    assert sample.examples, "a sample without >>> shows nothing"
    runner = doctest.DocTestRunner(optionflags=LOOSELY)
    told: list[str] = []
    runner.run(sample, out=told.append)
    assert not runner.failures, "".join(told)


def test_there_are_samples_of_both_kinds() -> None:
    assert {command.split()[1] for command, _ in commands()} >= {"check", "trial", "rota", "draw", "print"}
    assert python_blocks()


def test_no_sample_goes_unrun() -> None:
    """Only the commands that set up, start or install are left out: they are proved elsewhere."""
    unrun = re.findall(r"(?<!<!-- runs -->\n)^```(?:console|python)\n(.*?)^```$", README, re.MULTILINE | re.DOTALL)
    words = {line.removeprefix("$ ").split("#")[0].strip() for block in unrun for line in block.splitlines()}
    assert words <= {"python3 run.py", "python3 run.py test", "pipx install .", "courtwright serve"}


def test_it_opens_with_the_job_then_the_two_commands_then_a_picture() -> None:
    title, paragraph, *rest = (part for part in README.split("\n\n") if part.strip())
    assert title == "# Courtwright"
    assert re.match(r"[A-Z][^#`!\n]", paragraph)
    assert re.findall(r"^(python3 run\.py.*?) +#", rest[0], re.MULTILINE) == ["python3 run.py", "python3 run.py test"]
    assert rest[1].startswith("![")


def test_every_link_to_a_file_leads_somewhere() -> None:
    for target in re.findall(r"\]\(([^)#:]+)\)", README):
        assert (ROOT / target).exists(), target
