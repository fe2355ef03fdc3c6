"""The commands that keep what is kept: backup, restore, and a look whether all is well."""

from __future__ import annotations

from dataclasses import asdict
from pathlib import Path
from typing import Annotated

import typer

from courtwright.cli_parts import AsJson, StoreUrl, mended, print_json

BackupFile = Annotated[Path, typer.Argument(metavar="FILE", help="a backup, such as friday.courtwright-backup")]


def backup(file: BackupFile, store: StoreUrl = None, as_json: AsJson = False) -> None:
    """Write everything that is kept into one file; the app may run meanwhile."""
    from courtwright.store import Store
    from courtwright.store.backup import backup_to

    with mended(as_json), Store.open(store) as opened:
        manifest = backup_to(opened, file)
    size_bytes = file.stat().st_size
    if as_json:
        print_json({"file": str(file), "size_bytes": size_bytes, **manifest.to_json()})
    else:
        typer.echo(f"wrote {file}: {manifest.rows} rows of {len(manifest.parts)} tables, {size_bytes // 1000 + 1} kB")


def restore(file: BackupFile, store: StoreUrl = None, as_json: AsJson = False) -> None:
    """Put a backup in the place of what is kept now, which is set aside first. Stop the app before."""
    from courtwright.store.restore import restore_from

    with mended(as_json):
        done = restore_from(file, store)
    aside = None if done.set_aside is None else str(done.set_aside)
    if as_json:
        print_json({"store": done.store, "set_aside": aside, **done.manifest.to_json()})
        return
    typer.echo(f"{done.store} is as it was on {done.manifest.made_at[:16].replace('T', ' ')} UTC")
    if aside:
        typer.echo(f"what was there before is in {aside}")
    typer.echo("other devices must join again")


def doctor(
    store: StoreUrl = None,
    port: Annotated[int, typer.Option(min=1, max=65535, help="the port the app will want")] = 8720,
    as_json: AsJson = False,
) -> None:
    """Look whether all is well: store, disk, folders, kernels, fonts, port, clock. Changes nothing."""
    from courtwright.doctor import examine

    checks = examine(store, port)
    if as_json:
        print_json({"checks": [asdict(check) for check in checks]})
    else:
        for check in checks:
            typer.echo(f"{check.what}: {'ok' if check.ok else 'WRONG'}{f', {check.found}' if check.found else ''}")
            if not check.ok:
                typer.echo(f"  {check.mend}")
    if not all(check.ok for check in checks):
        raise typer.Exit(1)


def add_to(app: typer.Typer) -> None:
    """Give the program its commands."""
    for command in (backup, restore, doctor):
        app.command()(command)
