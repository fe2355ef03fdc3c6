"""The launcher: what it says when it cannot go on, and that it does nothing twice."""

from __future__ import annotations

import ast
import importlib.util
import json
import os
import shutil
import subprocess
import sys
import venv
from pathlib import Path
from types import ModuleType

import pytest

ROOT = Path(__file__).parents[2]
SOURCE = (ROOT / "run.py").read_text("utf-8")


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A project folder with what the launcher looks at."""
    place = tmp_path / "a folder with spaces"
    package = place / "src" / "courtwright"
    package.mkdir(parents=True)
    (package / "__init__.py").write_text('__version__ = "0"\n')
    for name in ("run.py", "pyproject.toml", "constraints.txt"):
        shutil.copy(ROOT / name, place / name)
    return place


@pytest.fixture
def run(folder: Path) -> ModuleType:
    """The launcher of that folder as a module; it hands nothing over."""
    spec = importlib.util.spec_from_file_location("run_in_folder", folder / "run.py")
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


@pytest.fixture
def installed(run: ModuleType, monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """What would have been installed, noted instead of done."""
    wanted: list[str] = []

    def note(what: str) -> None:
        run.STAMP.unlink(missing_ok=True)
        wanted.append(what)

    def make(*, moved: bool) -> None:
        run.PYTHON.parent.mkdir(parents=True, exist_ok=True)
        run.PYTHON.touch()

    monkeypatch.setattr(run, "install", note)
    monkeypatch.setattr(run, "make_environment", make)
    return wanted


def started(folder: Path, *words: str, **environment: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, "run.py", *words],
        cwd=folder,
        env={**os.environ, **environment},
        capture_output=True,
        encoding="utf-8",
        timeout=240,
        check=False,
    )


def test_an_old_python_can_read_the_file_and_is_told() -> None:
    ast.parse(SOURCE, feature_version=(3, 7))
    pretend = f"import sys; sys.version_info = (3, 9, 2, 'final', 0); exec(compile({SOURCE!r}, 'run.py', 'exec'))"
    done = subprocess.run([sys.executable, "-c", pretend], capture_output=True, encoding="utf-8", check=False)
    assert done.returncode == 1
    assert "needs Python 3.11 or newer; this is 3.9" in done.stderr
    assert "Traceback" not in done.stderr


def test_only_the_standard_library_is_imported() -> None:
    tree = ast.walk(ast.parse(SOURCE))
    names = {node.module for node in tree if isinstance(node, ast.ImportFrom)}
    names |= {
        alias.name for node in ast.walk(ast.parse(SOURCE)) if isinstance(node, ast.Import) for alias in node.names
    }
    assert {str(name).partition(".")[0] for name in names} <= sys.stdlib_module_names


def test_set_up_happens_once_and_again_when_the_lists_change(run: ModuleType, installed: list[str]) -> None:
    run.set_up("")
    run.set_up("")
    assert installed == ["."]
    with (run.ROOT / "constraints.txt").open("a") as constraints:
        constraints.write("# changed\n")
    run.set_up("")
    assert installed == [".", "."]


def test_the_app_is_content_with_the_developers_set_up_but_not_the_other_way(
    run: ModuleType, installed: list[str]
) -> None:
    run.set_up("")
    run.set_up("dev")
    run.set_up("")
    assert installed == [".", ".[dev]"]


def test_a_set_up_cut_short_is_repeated(run: ModuleType, installed: list[str], monkeypatch: pytest.MonkeyPatch) -> None:
    def stop(what: str) -> None:
        run.STAMP.unlink(missing_ok=True)
        raise KeyboardInterrupt

    run.set_up("")
    with (run.ROOT / "constraints.txt").open("a") as constraints:
        constraints.write("# changed\n")
    with monkeypatch.context() as patch:
        patch.setattr(run, "install", stop)
        with pytest.raises(KeyboardInterrupt):
            run.set_up("")
    assert run.read_stamp() == {}
    run.set_up("")
    assert installed == [".", "."]


def test_a_spoiled_stamp_counts_as_none(run: ModuleType, installed: list[str]) -> None:
    run.set_up("")
    run.STAMP.write_text("{not json")
    run.set_up("")
    run.STAMP.write_text(json.dumps(["a list"]))
    run.set_up("")
    assert installed == [".", ".", "."]


@pytest.mark.parametrize(
    ("words", "handed"),
    [
        ([], ["courtwright", "serve"]),
        (["serve", "--port", "8123"], ["courtwright", "serve", "--port", "8123"]),
        (["--port", "8123"], ["courtwright", "serve", "--port", "8123"]),
        (["draw", "x.game.json", "-o", "x.svg"], ["courtwright", "draw", "x.game.json", "-o", "x.svg"]),
        (["test", "-k", "court"], ["pytest", "-k", "court"]),
    ],
)
def test_words_are_passed_on(
    run: ModuleType, installed: list[str], monkeypatch: pytest.MonkeyPatch, words: list[str], handed: list[str]
) -> None:
    commands: list[list[str]] = []

    def note(command: list[object]) -> int:
        commands.append([str(word) for word in command])
        return 7

    monkeypatch.setattr(run, "hand_over", note)
    monkeypatch.setattr(run, "warm", lambda: None)
    assert run.main(words) == 7
    assert commands == [[str(run.PYTHON), "-m", *handed]]
    assert installed == [".[dev]" if "pytest" in handed else "."]


def test_all_tests_run_side_by_side_and_find_the_kernels_ready(
    run: ModuleType, installed: list[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    order: list[list[str]] = []

    def note(command: list[object]) -> int:
        order.append([str(word) for word in command])
        return 0

    monkeypatch.setattr(run, "hand_over", note)
    monkeypatch.setattr(run, "warm", lambda: order.append(["warm"]))
    assert run.main(["test"]) == 0
    assert order == [["warm"], [str(run.PYTHON), "-m", "pytest", *run.SIDE_BY_SIDE]]
    assert "loadfile" in run.SIDE_BY_SIDE  # what a file shares is made once
    assert installed == [".[dev]"]


def test_check_runs_every_step_and_fails_if_one_does(
    run: ModuleType, installed: list[str], monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    asked: list[str] = []

    def answer(name: str, result: str) -> str:
        asked.append(name)
        return result

    steps = {
        "first": lambda: answer("first", "FAILED (exit code 1)"),
        "second": lambda: answer("second", "skipped (no tool)"),
        "third": lambda: answer("third", "passed"),
    }
    monkeypatch.setattr(run, "STEPS", steps)
    assert run.main(["check"]) == 1
    assert asked == ["first", "second", "third"]
    assert "FAILED (exit code 1)" in capsys.readouterr().err
    assert run.main(["check", "second", "third"]) == 0


def test_check_with_a_file_points_to_the_other_check(run: ModuleType, capsys: pytest.CaptureFixture[str]) -> None:
    assert run.main(["check", "my.game.json"]) == 1
    said = capsys.readouterr().err
    assert "no step" in said
    assert "courtwright" in said


def test_browser_types_are_skipped_with_a_reason_and_never_in_ci(
    run: ModuleType, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(run.shutil, "which", lambda name: None)
    monkeypatch.setattr(run, "IN_CI", False)
    assert run.check_browser_types() == "skipped (Node.js is not here)"
    monkeypatch.setattr(run, "IN_CI", True)
    assert run.check_browser_types().startswith("FAILED")


def test_a_step_passes_only_with_exit_code_zero(run: ModuleType) -> None:
    assert run.step(sys.executable, "-c", "pass") == "passed"
    assert run.step(sys.executable, "-c", "raise SystemExit(3)") == "FAILED (exit code 3)"


@pytest.mark.parametrize(
    ("output", "hint"),
    [
        (
            "ERROR: No matching distribution found for numba\nsocket: Temporary failure in name resolution",
            "no connection",
        ),
        ("OSError: [Errno 28] No space left on device", "disk is full"),
        ("ERROR: No matching distribution found for numba==0.68.1", "not offered for this Python"),
        ("OSError: [Errno 30] Read-only file system: '/media/x'", "cannot be written to"),
    ],
)
def test_a_failure_says_what_helps(run: ModuleType, output: str, hint: str) -> None:
    said = run.explain(output, "The installation stopped.")
    assert hint in said
    assert output.splitlines()[-1] in said
    assert "run it again" in said


def test_without_the_means_to_make_environments(run: ModuleType, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(run.importlib.util, "find_spec", lambda name: None)
    with pytest.raises(run.SetupError, match="apt install python3-venv"):
        run.make_environment(moved=False)


def test_an_environment_that_works_is_kept_and_one_that_was_moved_or_broken_is_made_anew(
    run: ModuleType,
) -> None:
    mine = run.VENV / "kept.txt"
    venv.create(run.VENV, with_pip=True)
    mine.touch()
    run.make_environment(moved=False)
    assert mine.exists()
    run.make_environment(moved=True)
    assert not mine.exists()
    mine.touch()
    run.PYTHON.unlink()
    run.make_environment(moved=False)
    assert not mine.exists()


def test_the_trial_is_prepared_once_and_again_when_its_code_changes(
    run: ModuleType, installed: list[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    kernel = run.ROOT / "src" / "courtwright" / "trial" / "kernel.py"
    kernel.parent.mkdir()
    kernel.write_text("x = 1")
    prepared: list[list[list[str]]] = []
    codes = iter([1, 0, 0])

    def note(commands: list[list[str]]) -> int:
        prepared.append(commands)
        return next(codes)

    monkeypatch.delenv("COURTWRIGHT_ENGINE", raising=False)
    monkeypatch.setattr(run, "watched_wait", note)
    run.set_up("")
    run.warm()  # fails, so it is tried again
    run.warm()
    run.warm()
    assert len(prepared) == 2
    os.utime(kernel, ns=(0, 0))
    run.warm()
    assert len(prepared) == 3
    run.set_up("dev")
    run.warm()
    assert len(prepared) == 3
    assert installed == [".", ".[dev]"]
    assert [command[-1] for command in prepared[0]] == ["trials", "readings", "turns"]


def test_programs_side_by_side_are_all_waited_for(run: ModuleType, monkeypatch: pytest.MonkeyPatch) -> None:
    shown: list[str] = []
    monkeypatch.setattr(run, "show", shown.append)
    codes = ["import time; time.sleep(0.6)", "raise SystemExit(3)", ""]
    assert run.watched_wait([[sys.executable, "-c", code] for code in codes]) == 1
    assert any(" of 3 ready" in text for text in shown)
    assert shown[-1] == ""


def test_a_folder_that_cannot_hold_the_environment(folder: Path) -> None:
    (folder / ".venv").write_text("in the way")
    done = started(folder, "test")
    assert done.returncode == 1
    assert "The environment could not be made." in done.stderr
    assert "Traceback" not in done.stderr


def test_without_a_connection_the_coach_is_told(folder: Path) -> None:
    nowhere = "http://127.0.0.1:9/"
    done = started(
        folder, "test", PIP_INDEX_URL=nowhere, PIP_EXTRA_INDEX_URL="", PIP_FIND_LINKS="", PIP_RETRIES="1",
        PIP_CONFIG_FILE=os.devnull, PIP_NO_CACHE_DIR="1",
    )  # fmt: skip
    assert done.returncode == 1
    assert "There is no connection to the package index." in done.stderr
    assert "Traceback" not in done.stderr
    assert (folder / ".venv" / "courtwright-setup.log").exists()
    assert not (folder / ".venv" / "courtwright-setup.json").exists()
