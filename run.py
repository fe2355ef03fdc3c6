"""Set Courtwright up in this folder and start it. Nothing but Python is needed.

::

    python3 run.py                     set up and open the app
    python3 run.py serve --port 8123   the same, with options for the app
    python3 run.py test                set up and run every test
    python3 run.py test -k court       some of them
    python3 run.py check               all that a change must pass
    python3 run.py check lint docs     parts of it

Everything is put into ``.venv`` beside this file; delete that folder to start afresh.
"""

import contextlib
import hashlib
import importlib.util
import itertools
import json
import os
import shutil
import subprocess
import sys
from collections.abc import Iterable, Sequence
from pathlib import Path
from typing import TextIO

OLDEST = (3, 11)
if sys.version_info < OLDEST:
    sys.exit(
        "Courtwright needs Python {}.{} or newer; this is {}.{} ({}).\n"
        "Install a newer one from python.org or your system's packages, then run this again with it.".format(
            *OLDEST, *sys.version_info[:2], sys.executable
        )
    )

ROOT = Path(__file__).resolve().parent
VENV = ROOT / ".venv"
BIN = VENV / ("Scripts" if os.name == "nt" else "bin")
PYTHON = BIN / ("python.exe" if os.name == "nt" else "python")
STAMP = VENV / "courtwright-setup.json"
LOG = VENV / "courtwright-setup.log"
IN_CI = os.environ.get("CI") == "true"

HINTS = (
    (
        ("name resolution", "NewConnectionError", "Network is unreachable", "getaddrinfo", "ProxyError", "timed out"),
        "There is no connection to the package index. The first start needs the internet; later ones do not.",
    ),
    (("No space left", "not enough space"), "The disk is full. About 700 MB are needed (1.1 GB for the tests)."),
    (
        ("No matching distribution", "Could not find a version", "requires a different Python"),
        "One part is not offered for this Python or this machine. Python 3.11, 3.12 and 3.13 are known to work.",
    ),
    (("Permission denied", "Read-only file system"), "This folder cannot be written to. Copy it to one of your own."),
)
"""What went wrong, by the words an installer says it in, and what helps."""


WARM = ("trials", "readings", "turns")
"""What `courtwright.warming` compiles, the longest first; they go side by side."""


SIDE_BY_SIDE = ["-n", str(min(os.cpu_count() or 1, 4)), "--dist", "loadfile", "--no-loadscope-reorder"]
"""All tests, each file in one of so many programs, the long ones first as they stand."""


class SetupError(Exception):
    """Set-up cannot go on; the text says what to do."""


def main(arguments: Sequence[str]) -> int:
    """Set up what the command needs and hand over to it."""
    command, *rest = arguments or ["serve"]
    if command.startswith("-") and command not in ("-h", "--help"):
        command, rest = "serve", list(arguments)
    try:
        if command in ("-h", "--help", "help"):
            return say_how()
        if command == "test":
            set_up("dev")
            if not rest:
                warm()  # else every worker would compile for itself
            return hand_over([PYTHON, "-m", "pytest", *(rest or SIDE_BY_SIDE)])
        if command == "check":
            return check(rest)
        set_up("")
        if command in ("serve", "trial"):
            warm()
        return hand_over([PYTHON, "-m", "courtwright", command, *rest])
    except SetupError as error:
        say(f"\n{error}")
        return 1
    except KeyboardInterrupt:
        say("\nStopped.")
        return 130


def say(text: str) -> None:
    """Tell the person something; standard output is left to the program that is handed over to."""
    print(text, file=sys.stderr, flush=True)


def say_how() -> int:
    """Print what this file can do."""
    say(str(__doc__).replace("::\n\n", "").strip())
    return 0


# --- set-up ---------------------------------------------------------------------------------------------------------


def set_up(extra: str) -> None:
    """Make the environment and install into it, unless the stamp says that this was done."""
    wanted, done = fingerprint(), read_stamp()
    if done.get("install") == wanted and extra in ("", done.get("extra")) and PYTHON.exists():
        return
    say("Setting Courtwright up in this folder. This happens once and takes about a minute.")
    make_environment(moved=done.get("folder", str(ROOT)) != str(ROOT))
    install(f".[{extra}]" if extra else ".")
    write_stamp(done | {"install": wanted, "extra": extra, "folder": str(ROOT)})


def fingerprint() -> str:
    """What the environment was made from: the lists of packages, the version, the folder."""
    parts = [ROOT / "pyproject.toml", ROOT / "constraints.txt", ROOT / "src" / "courtwright" / "__init__.py"]
    return digest(parts, str(ROOT))


def digest(paths: Iterable[Path], more: str = "") -> str:
    """Name the content of files."""
    total = hashlib.sha256(more.encode())
    for path in paths:
        total.update(path.read_bytes())
    return total.hexdigest()


def read_stamp() -> dict[str, str]:
    """What earlier set-ups noted; nothing if there was none."""
    try:
        found = json.loads(STAMP.read_text("utf-8"))
    except (OSError, ValueError):
        return {}
    return found if isinstance(found, dict) else {}


def write_stamp(notes: dict[str, str]) -> None:
    """Note what was done; a set-up that was cut short leaves no note and is repeated."""
    STAMP.write_text(json.dumps(notes), "utf-8")


def make_environment(*, moved: bool) -> None:
    """Make ``.venv``, unless there is one that works; one that was moved with its folder does not."""
    if PYTHON.exists() and not moved:
        works = subprocess.run([PYTHON, "-m", "pip", "--version"], capture_output=True, check=False)
        if works.returncode == 0:
            return
    if importlib.util.find_spec("ensurepip") is None or importlib.util.find_spec("venv") is None:
        raise SetupError("This Python cannot make environments. On Debian or Ubuntu: sudo apt install python3-venv")
    say("  making .venv")
    made = subprocess.run(
        [sys.executable, "-m", "venv", "--clear", str(VENV)], capture_output=True, text=True, check=False
    )
    if made.returncode:
        raise SetupError(explain(made.stdout + made.stderr, "The environment could not be made."))


def install(what: str) -> None:
    """Install the package and what it needs, at the versions of ``constraints.txt``."""
    STAMP.unlink(missing_ok=True)
    command = [str(PYTHON), "-m", "pip", "install", "--disable-pip-version-check", "--no-input", "--progress-bar=off"]
    with LOG.open("w", encoding="utf-8") as log:
        failed = run_watched([*command, "-c", "constraints.txt", "-e", what], log)
    show("")
    if failed:
        raise SetupError(explain(LOG.read_text("utf-8"), "The installation stopped."))
    say("  installed")


def run_watched(command: Sequence[str], log: TextIO) -> int:
    """Run the installer, keep what it says and tell the coach the part worth telling."""
    pipe = subprocess.PIPE
    with subprocess.Popen(
        command, cwd=ROOT, stdout=pipe, stderr=subprocess.STDOUT, encoding="utf-8", errors="replace"
    ) as pip:
        for line in pip.stdout or ():
            log.write(line)
            show_progress(line)
    return pip.returncode


def show_progress(line: str) -> None:
    """Tell what the installer is at, in a coach's words."""
    if line.startswith("Collecting "):
        show(f"  fetching {line.split()[1]}")
    elif line.startswith("Installing collected"):
        show("  unpacking")


def show(text: str) -> None:
    """Write over the last line on a terminal; elsewhere stay silent."""
    if sys.stderr.isatty():
        print(f"\r\033[K{text}", end="", file=sys.stderr, flush=True)


def explain(output: str, what: str) -> str:
    """What went wrong, what helps, and where the whole story is."""
    hints = [hint for words, hint in HINTS if any(word in output for word in words)]
    last = [f"    {line}" for line in output.strip().splitlines()[-6:]]
    where = [f"The whole output is in {LOG}."] if LOG.exists() else []
    return "\n".join([what, *hints[:1], *last, *where, "Nothing else was changed; run it again."])


def warm() -> None:
    """Compile the kernels once, so that the first trial is quick; skipped while they are unchanged."""
    folders = [ROOT / "src" / "courtwright" / name for name in (".", "floor", "trial", "rota", "reading")]
    sources = [path for folder in folders for path in sorted(folder.glob("*.py"))]
    ages = [f"{path} {path.stat().st_mtime_ns}" for path in sources]  # by which the compiler knows its own work again
    wanted = digest([], " ".join([*ages, os.environ.get("COURTWRIGHT_DATA", "")]))
    notes = read_stamp()
    if notes.get("warm") == wanted or os.environ.get("COURTWRIGHT_ENGINE") == "python":
        return
    say("Preparing trials, readings and turns for this computer. This happens once and takes about half a minute.")
    if watched_wait([[str(PYTHON), "-m", "courtwright.warming", part] for part in WARM]):
        say("  That did not work. The app starts all the same, and tries again with the first trial.")
        return
    write_stamp(notes | {"warm": wanted})
    say("  ready")


def watched_wait(commands: Sequence[Sequence[str]]) -> int:
    """Run silent programs side by side; on a terminal count the seconds and what is done. How many failed."""
    programs = [subprocess.Popen(command, cwd=ROOT) for command in commands]
    for second in itertools.count(1):
        done = sum(program.poll() is not None for program in programs)
        if done == len(programs):
            break
        show(f"  {second} s, {done} of {len(programs)} ready")
        wait_for_one(programs)
    show("")
    return sum(program.returncode != 0 for program in programs)


def wait_for_one(programs: Sequence[subprocess.Popen[bytes]]) -> None:
    """Wait a second, or until the first that still runs has ended."""
    running = next(program for program in programs if program.poll() is None)
    with contextlib.suppress(subprocess.TimeoutExpired):
        running.wait(1)


def hand_over(command: Sequence[str | Path]) -> int:
    """Go on as another program: it gets the keys, and its exit code is ours."""
    words = [str(word) for word in command]
    os.chdir(ROOT)
    if os.name != "nt":
        os.execv(words[0], words)
    return subprocess.run(words, check=False).returncode


# --- check ----------------------------------------------------------------------------------------------------------


def check(names: Sequence[str]) -> int:
    """Run the steps, all of them whatever fails, and sum up."""
    unknown = [name for name in names if name not in STEPS]
    if unknown:
        raise SetupError(
            f"“{unknown[0]}” is no step. The steps are {', '.join(STEPS)}.\n"
            f"To check a game or squad file: {BIN / 'courtwright'} check FILE"
        )
    set_up("dev")
    results: dict[str, str] = {}
    for name in names or STEPS:
        say(f"\n=== {name}")
        results[name] = STEPS[name]()
    say("")
    for name, result in results.items():
        say(f"{name:<10} {result}")
    return 0 if all(result == "passed" or result.startswith("skipped") for result in results.values()) else 1


def step(*command: str | Path, **environment: str) -> str:
    """Run one step's command; say whether it passed."""
    done = subprocess.run(
        [str(word) for word in command], cwd=ROOT, env=os.environ | environment, check=False, stdin=subprocess.DEVNULL
    )
    return "passed" if done.returncode == 0 else f"FAILED (exit code {done.returncode})"


def module(*words: str) -> str:
    """Run a step that is a Python module."""
    return step(PYTHON, "-m", *words)


def check_browser_types() -> str:
    """Type-check the browser's code with the TypeScript compiler, where Node.js is at hand."""
    npm, node = shutil.which("npm"), shutil.which("node")
    if npm is None or node is None:
        return "FAILED (Node.js is missing)" if IN_CI else "skipped (Node.js is not here)"
    compiler = ROOT / "node_modules" / "typescript" / "bin" / "tsc"
    if not compiler.exists():
        fetched = step(npm, "ci", "--silent")
        if fetched != "passed":
            return fetched if IN_CI else "skipped (npm could not fetch the TypeScript compiler)"
    return step(node, compiler, "--project", "tsconfig.json")


def check_docs() -> str:
    """Build the documentation; a warning is an error."""
    return module("sphinx", "-W", "--keep-going", "-q", "-E", "-b", "html", "docs", "docs/_build/html")


def check_tests() -> str:
    """Run every test with branch coverage; then the kernels' truths as plain Python, which coverage can see into."""
    cov = ["pytest", "--cov", "--cov-branch", "--cov-report="]
    results = [
        module(*cov),
        step(PYTHON, "-m", *cov, "--cov-append", "tests/truth", COURTWRIGHT_ENGINE="python"),
        module("coverage", "report"),
    ]
    return next((result for result in results if result != "passed"), "passed")


STEPS = {
    "format": lambda: module("ruff", "format", "--check", "."),
    "lint": lambda: module("ruff", "check", "."),
    "types": lambda: module("mypy"),
    "contracts": lambda: step(BIN / "lint-imports"),
    "browser": check_browser_types,
    "docs": check_docs,
    "tests": check_tests,
}

if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
