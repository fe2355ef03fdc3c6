"""The commands about devices that joined: say which, let one in no more."""

from __future__ import annotations

from dataclasses import asdict
from typing import TYPE_CHECKING, Annotated, Final

import typer
from rich.console import Console
from rich.table import Table

from courtwright.cli_parts import AsJson, StoreUrl, mended, print_json, refusal

if TYPE_CHECKING:
    from courtwright.store import Device

devices: Final = typer.Typer(help="The devices that joined: list them, revoke one.", no_args_is_help=True)


@devices.command("list")
def list_devices(store: StoreUrl = None, as_json: AsJson = False) -> None:
    """List the devices that joined, with role and last visit."""
    from courtwright.store import Store

    with mended(as_json), Store.open(store) as opened:
        found = opened.devices.all()
    if as_json:
        print_json({"devices": [asdict(device) for device in found]})
    elif not found:
        typer.echo("No device has joined.")
    else:
        Console().print(_table(found))


def _table(found: list[Device]) -> Table:
    table = Table("id", "name", "role", "last seen (UTC)", "")
    for device in found:
        seen = (device.seen_at or "never")[:16].replace("T", " ")
        table.add_row(device.id, device.name, device.role, seen, "" if device.welcome else _gone(device))
    return table


def _gone(device: Device) -> str:
    return "revoked" if device.revoked_at else "must join again"


@devices.command()
def revoke(
    device: Annotated[str, typer.Argument(metavar="DEVICE", help="its id, or its name where only one has it")],
    store: StoreUrl = None,
    as_json: AsJson = False,
) -> None:
    """Let a device in no more, from its next request on."""
    from courtwright.store import Store

    with mended(as_json), Store.open(store) as opened:
        welcome = [item for item in opened.devices.all() if item.welcome]
        meant = [item for item in welcome if item.id == device] or [item for item in welcome if item.name == device]
        if len(meant) != 1:
            what = "is no device that may come in" if not meant else f"is the name of {len(meant)} devices"
            raise refusal(device, what, "Use an id from `courtwright devices list`.")
        revoked = opened.devices.revoke(meant[0].id)
    if as_json:
        print_json(asdict(revoked))
    else:
        typer.echo(f"{revoked.name} ({revoked.role}) is not let in any more")


def add_to(app: typer.Typer) -> None:
    """Give the program its commands."""
    app.add_typer(devices, name="devices")
