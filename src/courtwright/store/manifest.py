"""What a backup file is: a zip of one part a table and a manifest, and how one is looked through.

``manifest.json`` names the format, the time, the store's version and for each part
its columns, its rows and its SHA-256. A part ``NAME.jsonl`` holds one row a line, a
JSON list in the order of the columns. Nothing in it belongs to one database.
"""

from __future__ import annotations

import hashlib
import json
import zipfile
import zlib
from collections.abc import Iterator
from dataclasses import asdict, dataclass
from pathlib import Path
from typing import IO, Any, Final

from courtwright.errors import DocumentError, NewerFormatError, Problem
from courtwright.store.schema import MIGRATIONS

KIND: Final = "courtwright.backup"
VERSION: Final = 1
MANIFEST: Final = "manifest.json"
MOST_MANIFEST_BYTES: Final = 1_000_000
LONGEST_LINE_BYTES: Final = 64_000_000
_SOUND: Final = "Use another backup; nothing was changed."


@dataclass(frozen=True, slots=True)
class Part:
    """One table: its columns in order, how many rows, SHA-256 of its lines."""

    columns: list[str]
    rows: int
    sha256: str


@dataclass(frozen=True, slots=True)
class Manifest:
    """What a backup says it holds."""

    made_at: str
    program: str
    schema: str
    parts: dict[str, Part]

    @property
    def rows(self) -> int:
        """Rows in all parts."""
        return sum(part.rows for part in self.parts.values())

    def to_json(self) -> dict[str, Any]:
        """The manifest as plain JSON data."""
        return {"format": f"{KIND}/{VERSION}", **asdict(self)}


def part_name(table: str) -> str:
    """The name of a table's part in the file."""
    return f"{table}.jsonl"


def verified(path: Path) -> Manifest:
    """Look through a whole backup; raise `DocumentError` with all that is wrong with it."""
    try:
        with zipfile.ZipFile(path) as archive:
            manifest = read_manifest(archive, path.name)
            problems = [
                problem for table, part in manifest.parts.items() for problem in _problems(archive, table, part)
            ]
            expected = {MANIFEST, *map(part_name, manifest.parts)}
            problems += [Problem(name, "is in the file, but not in its manifest", _SOUND)
                         for name in sorted({*archive.namelist()} - expected)]  # fmt: skip
    except FileNotFoundError:
        raise _refusal(path.name, "is not there", "Check the name of the file.") from None
    except OSError as error:
        raise _refusal(path.name, f"cannot be read ({error.strerror or error})", "Allow yourself to read it.") from None
    except zipfile.BadZipFile:
        raise _refusal(path.name, "is no backup, or is damaged", _SOUND) from None
    if problems:
        raise DocumentError(path.name, problems)
    return manifest


def read_manifest(archive: zipfile.ZipFile, source: str) -> Manifest:
    """The manifest, if this program can read the backup."""
    try:
        if archive.getinfo(MANIFEST).file_size > MOST_MANIFEST_BYTES:
            raise ValueError("too long")
        data = json.loads(archive.read(MANIFEST))
        kind, _, version = str(data["format"]).partition("/")
    except (KeyError, TypeError, ValueError, RecursionError, *_UNZIPPING) as error:
        raise _refusal(source, f"has no sound manifest ({type(error).__name__})", _SOUND) from None
    if kind != KIND or not version.isdecimal():
        raise _refusal(source, "is no backup of Courtwright", "Choose a file that `courtwright backup` wrote.")
    if int(version) > VERSION:
        raise _newer(source, f"is written as {kind}/{version}")
    try:
        parts = {
            str(name): Part([str(column) for column in part["columns"]], int(part["rows"]), str(part["sha256"]))
            for name, part in data["parts"].items()
        }
        manifest = Manifest(str(data["made_at"]), str(data["program"]), str(data["schema"]), parts)
    except (KeyError, TypeError, ValueError, AttributeError) as error:
        raise _refusal(source, f"has no sound manifest ({type(error).__name__})", _SOUND) from None
    if manifest.schema not in MIGRATIONS:
        raise _newer(source, f"holds a store of version {manifest.schema}")
    return manifest


def lines_of(archive: zipfile.ZipFile, table: str, part: Part) -> Iterator[dict[str, Any]]:
    """The rows of a part, read as they are asked for."""
    with archive.open(part_name(table)) as lines:
        for line in _lines(lines):
            yield dict(zip(part.columns, json.loads(line), strict=True))


def is_backup(path: Path) -> bool:
    """Whether a file is a backup of ours, sound or not."""
    try:
        with zipfile.ZipFile(path) as archive:
            return MANIFEST in archive.namelist()
    except (OSError, zipfile.BadZipFile):
        return False


# What the parts of a damaged zip make Python say.
_UNZIPPING: Final = (zipfile.BadZipFile, zlib.error, NotImplementedError, RuntimeError, EOFError, OSError)


def _problems(archive: zipfile.ZipFile, table: str, part: Part) -> Iterator[Problem]:
    name, digest, rows, odd = part_name(table), hashlib.sha256(), 0, 0
    try:
        with archive.open(name) as lines:
            for line in _lines(lines):
                digest.update(line)
                rows += 1
                odd += not _sound_row(line, len(part.columns))
    except KeyError:
        yield Problem(name, "is missing", _SOUND)
        return
    except (ValueError, *_UNZIPPING) as error:
        yield Problem(name, f"cannot be read ({error})", _SOUND)
        return
    if rows != part.rows:
        yield Problem(name, f"has {rows} rows, but {part.rows} were written", _SOUND)
    if digest.hexdigest() != part.sha256:
        yield Problem(name, "is not what was written (its SHA-256 differs)", _SOUND)
    if odd:
        yield Problem(name, f"has {odd} rows that do not fit its columns", _SOUND)


def _lines(file: IO[bytes]) -> Iterator[bytes]:
    while line := file.readline(LONGEST_LINE_BYTES):
        if not line.endswith(b"\n"):
            raise ValueError("a line is cut off, or too long")
        yield line


def _sound_row(line: bytes, columns: int) -> bool:
    try:
        row = json.loads(line)
    except (ValueError, RecursionError):
        return False
    return isinstance(row, list) and len(row) == columns and not any(isinstance(cell, list | dict) for cell in row)


def _refusal(source: str, what: str, mend: str) -> DocumentError:
    return DocumentError(source, [Problem(source, what, mend)])


def _newer(source: str, what: str) -> NewerFormatError:
    mend = "Update Courtwright, then restore it; nothing was changed."
    return NewerFormatError(source, [Problem(source, f"{what}, newer than this Courtwright reads", mend)])
