"""What is built is complete, and works without anything the developers have."""

from __future__ import annotations

import os
import re
import subprocess
import sys
import sysconfig
import urllib.request
import venv
import zipfile
from importlib import metadata
from pathlib import Path

import pytest
from packaging.requirements import Requirement

ROOT = Path(__file__).parents[2]
PACKAGE = ROOT / "src" / "courtwright"


@pytest.fixture(scope="module")
def wheel(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The wheel of this source."""
    place = tmp_path_factory.mktemp("wheel")
    subprocess.run(
        [sys.executable, "-m", "build", "--wheel", "--no-isolation", "--outdir", str(place), str(ROOT)],
        check=True,
        capture_output=True,
    )
    (built,) = place.glob("*.whl")
    return built


@pytest.fixture(scope="module")
def command(wheel: Path, tmp_path_factory: pytest.TempPathFactory) -> list[str]:
    """``python -m courtwright`` in an environment that holds the wheel and what it says it needs, and no more."""
    place = tmp_path_factory.mktemp("bare")
    venv.create(place, with_pip=False, symlinks=os.name != "nt")
    library = Path(sysconfig.get_path("purelib", vars={"base": str(place), "platbase": str(place)}))
    with zipfile.ZipFile(wheel) as archive:
        archive.extractall(library)
    for entry in entries_of(needed_by("courtwright")):
        (library / entry.name).symlink_to(entry)
    python = place / ("Scripts/python.exe" if os.name == "nt" else "bin/python")
    return [str(python), "-m", "courtwright"]


def needed_by(name: str, extra: str = "") -> set[str]:
    """Every package that one needs, and those that these need."""
    found: set[str] = set()
    waiting = [(name, extra)]
    while waiting:
        name, extra = waiting.pop()
        for text in metadata.requires(name) or []:
            wanted = Requirement(text)
            if (wanted.marker is None or wanted.marker.evaluate({"extra": extra})) and wanted.name not in found:
                found.add(wanted.name)
                waiting += [(wanted.name, extra) for extra in ("", *wanted.extras)]
    return found


def entries_of(names: set[str]) -> set[Path]:
    """What those packages put into the library folder."""
    entries: set[Path] = set()
    for name in names:
        package = metadata.distribution(name)
        for file in package.files or []:
            if file.parts[0] not in ("..", "__pycache__"):
                entries.add(Path(str(package.locate_file(file.parts[0]))))
    return entries


def bare_environment(data: Path) -> dict[str, str]:
    """Nothing of the developers' Python, and a data folder of its own."""
    kept = {name: value for name, value in os.environ.items() if not name.startswith(("PYTHON", "COV"))}
    return kept | {"COURTWRIGHT_DATA": str(data), "COURTWRIGHT_ENGINE": "python", "PYTHONIOENCODING": "utf-8"}


def run(command: list[str], *words: str | Path, data: Path) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [*command, *map(str, words)],
        cwd=data,
        env=bare_environment(data),
        capture_output=True,
        encoding="utf-8",
        timeout=120,
        check=False,
    )


def test_the_wheel_holds_every_file_of_the_package_and_nothing_else(wheel: Path) -> None:
    with zipfile.ZipFile(wheel) as archive:
        held = {name for name in archive.namelist() if ".dist-info/" not in name}
    files = [path for path in PACKAGE.rglob("*") if path.is_file() and path.suffix != ".pyc"]
    assert held == {path.relative_to(PACKAGE.parent).as_posix() for path in files}
    assert {path.suffix for path in files} >= {".toml", ".json", ".html", ".js", ".css", ".typed"}


def test_it_needs_no_tool_of_the_developers(command: list[str], tmp_path: Path) -> None:
    done = subprocess.run([command[0], "-c", "import pytest"], capture_output=True, encoding="utf-8", check=False)
    assert "No module named 'pytest'" in done.stderr
    done = run(command, "--version", data=tmp_path)
    assert (done.returncode, done.stderr) == (0, "")
    assert metadata.version("courtwright") in done.stdout


def test_it_checks_the_examples(command: list[str], tmp_path: Path) -> None:
    files = sorted((ROOT / "examples").iterdir())
    assert files
    done = run(command, "check", *files, data=tmp_path)
    assert done.returncode == 0, done.stdout + done.stderr


@pytest.mark.parametrize(("kind", "opening"), [("svg", b"<svg"), ("png", b"\x89PNG")])
def test_it_draws(command: list[str], tmp_path: Path, kind: str, opening: bytes) -> None:
    game = next((ROOT / "examples").glob("*.game.json"))
    picture = tmp_path / f"game.{kind}"
    done = run(command, "draw", game, "-o", picture, data=tmp_path)
    assert done.returncode == 0, done.stdout + done.stderr
    assert opening in picture.read_bytes()[:200]


def test_it_prints(command: list[str], tmp_path: Path) -> None:
    game = next((ROOT / "examples").glob("*.game.json"))
    sheet = tmp_path / "game.pdf"
    done = run(command, "print", game, "-o", sheet, data=tmp_path)
    assert done.returncode == 0, done.stdout + done.stderr
    assert sheet.read_bytes().startswith(b"%PDF")


def test_it_serves_its_pages(command: list[str], tmp_path: Path) -> None:
    with subprocess.Popen(
        [*command, "serve", "--port", "0", "--no-open"],
        cwd=tmp_path,
        env=bare_environment(tmp_path),
        stderr=subprocess.PIPE,
        encoding="utf-8",
    ) as app:
        assert app.stderr is not None
        try:
            line = app.stderr.readline()
            found = re.search(r"http://[\d.]+:\d+/", line)
            assert found, line + app.stderr.read()
            with urllib.request.urlopen(found[0], timeout=20) as answer:
                page = answer.read().decode()
            assert "Courtwright" in page
            for address in re.findall(r'(?:src|href)="(/static/[^"]+)"', page):
                with urllib.request.urlopen(found[0].rstrip("/") + address, timeout=20) as answer:
                    assert answer.read(), address
        finally:
            app.terminate()
