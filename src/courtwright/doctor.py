"""A look at everything the app leans on. Each finding says what to do; nothing is changed."""

from __future__ import annotations

import os
import shutil
import socket
from collections.abc import Iterator
from contextlib import closing
from pathlib import Path
from typing import Final

from courtwright.errors import StoreError
from courtwright.store.opening import address_of
from courtwright.store.soundness import Check, check_store

LEAST_FREE_MB: Final = 200
PORTS_TRIED: Final = 10


def examine(store_url: str | Path | None, port: int) -> list[Check]:
    """Look at store, disk, folders, kernels, fonts and port."""
    folders = _folders(store_url)
    return [
        *check_store(store_url),
        *(_writable(folder) for folder in folders),
        *(_room(folder) for folder in folders[:1]),
        _kernels(),
        _fonts(),
        _port(port),
    ]


def _folders(store_url: str | Path | None) -> list[Path]:
    """Where the store lies, and the app's own folder."""
    from courtwright.engine import DATA_DIR  # noqa: PLC0415 (loads the compiler)

    folders = [DATA_DIR]
    try:
        address = address_of(store_url)
    except StoreError:
        return folders
    if address.get_backend_name() == "sqlite" and address.database:
        folders.insert(0, Path(address.database).absolute().parent)
    return list(dict.fromkeys(folders))


def _nearest(folder: Path) -> Path:
    """The folder, or the one in which it would be made."""
    return next(place for place in (folder, *folder.parents) if place.exists())


def _writable(folder: Path) -> Check:
    place = _nearest(folder.absolute())
    if place.is_dir() and os.access(place, os.W_OK | os.X_OK):
        return Check("folder", True, str(folder))
    return Check("folder", False, f"{place} cannot be written to", "Allow yourself to write there.")


def _room(folder: Path) -> Check:
    free_mb = shutil.disk_usage(_nearest(folder.absolute())).free // 1_000_000
    return Check("disk", free_mb >= LEAST_FREE_MB, f"{free_mb} MB free", f"Free {LEAST_FREE_MB} MB or more.")


def _kernels() -> Check:
    from courtwright.engine import COMPILED  # noqa: PLC0415

    if not COMPILED:
        return Check("kernels", True, "plain Python, which is slow: COURTWRIGHT_ENGINE=python is set")
    cache = Path(os.environ.get("NUMBA_CACHE_DIR", ""))
    place = _nearest(cache.absolute())
    if not os.access(place, os.W_OK | os.X_OK):
        return Check("kernels", False, f"{place} cannot be written to", "Allow it, or set NUMBA_CACHE_DIR to a folder.")
    made = cache.is_dir() and any(cache.rglob("*.nbc"))
    return Check("kernels", True, "" if made else "compiled at the next start, about half a minute")


def _fonts() -> Check:
    from importlib.resources import files  # noqa: PLC0415

    try:
        folder = files("fontpkg_source_sans_3").joinpath("files")
        found = sum(1 for item in folder.iterdir() if item.name.endswith((".otf", ".ttf")))
    except (ModuleNotFoundError, OSError):
        found = 0
    return Check("fonts", found > 0, f"{found} of the printed font", "Install Courtwright again: paper needs its font.")


def _port(port: int) -> Check:
    taken = [number for number in _ports(port) if not _free(number)]
    if port not in taken:
        return Check("port", True, str(port))
    free = next((number for number in _ports(port) if number not in taken), None)
    if free is None:
        found = f"{port} to {taken[-1]} are all taken"
        return Check("port", False, found, "Name another with --port, or close what uses them.")
    return Check("port", True, f"{port} is in use (by Courtwright itself, if it runs); {free} is free")


def _ports(port: int) -> Iterator[int]:
    yield from range(port, min(port + PORTS_TRIED, 65536))


def _free(port: int) -> bool:
    with closing(socket.socket(socket.AF_INET, socket.SOCK_STREAM)) as probe:
        if os.name == "posix":
            probe.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            probe.bind(("127.0.0.1", port))
        except OSError:
            return False
    return True
