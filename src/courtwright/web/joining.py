"""Other devices: the way in, who they are, and the coach's list of them."""

from __future__ import annotations

import io
from dataclasses import asdict
from http import HTTPStatus
from typing import Any, Final

from fastapi import APIRouter, Request
from fastapi.responses import JSONResponse, Response

from courtwright.store import Device
from courtwright.store.codes import LASTS_S, shown
from courtwright.vocabulary import Role
from courtwright.web.bodies import ChangeDevice, Join, NewCode
from courtwright.web.context import House, InHouse
from courtwright.web.roles import HOME
from courtwright.web.visitors import COOKIE, COOKIE_LASTS_S

router: Final = APIRouter(prefix="/api")


@router.get("/me")
def get_me(house: InHouse) -> dict[str, Any]:
    """Who asks: a device, or the owner at this computer (without a device)."""
    visitor = house.visitor
    return {"device": visitor.device, "role": visitor.role, "name": visitor.name}


@router.post("/join", status_code=HTTPStatus.CREATED)
def join(body: Join, request: Request, house: InHouse) -> Response:
    """Let a device in by its code."""
    address = request.client.host if request.client else ""
    house.tries.begin(address)
    device, secret = house.store.devices.join(body.code, body.name)
    house.tries.right(address)
    if house.visitor.device is not None:  # whoever joins anew leaves what it was before
        house.store.devices.revoke(house.visitor.device)
    told = {"device": device.id, "role": device.role, "name": device.name, "home": HOME[device.role]}
    answer = JSONResponse(told, HTTPStatus.CREATED)
    answer.set_cookie(
        COOKIE,
        secret,
        max_age=COOKIE_LASTS_S,
        path="/",
        httponly=True,
        samesite="lax",
        secure=request.url.scheme == "https",  # elsewhere a browser would not send it back
    )
    return answer


@router.post("/leave")
def leave(house: InHouse) -> Response:
    """Let this device go: what it shows is worth nothing from now on."""
    if house.visitor.device is not None:
        house.store.devices.revoke(house.visitor.device)
    answer = JSONResponse({"left": house.visitor.device})
    answer.delete_cookie(COOKIE, path="/", httponly=True, samesite="lax")
    return answer


@router.get("/devices")
def list_devices(house: InHouse) -> dict[str, Any]:
    """The devices that joined, the roles that can be joined now, and where."""
    devices = house.store.devices
    return {
        "devices": [_told(device, house) for device in devices.all()],
        "codes": [asdict(code) for code in devices.open_codes()],
        "roles": [role.value for role in Role],
        "address": house.reach.address(),
        "lan": house.reach.lan,
    }


def _told(device: Device, house: House) -> dict[str, Any]:
    return asdict(device) | {"me": device.id == house.visitor.device}


@router.post("/devices/codes", status_code=HTTPStatus.CREATED)
def make_code(body: NewCode, house: InHouse) -> dict[str, Any]:
    """Make the one code for a role, with its picture to scan. It is shown this once."""
    code, opened = house.store.devices.open_code(body.role)
    house.tries.forget()
    address = house.reach.address()
    # after a # the code stays in the browser: it is in no request, so in no log and no history of a server between
    link = None if address is None else f"{address}/join#{shown(code)}"
    return asdict(opened) | {
        "lasts_s": LASTS_S,
        "code": shown(code),
        "link": link,
        "qr": None if link is None else _qr(link),
    }


def _qr(text: str) -> str:
    import segno  # noqa: PLC0415 (only where a code is made)

    drawn = io.BytesIO()
    code = segno.make(text, error="m", micro=False)
    code.save(drawn, kind="svg", xmldecl=False, border=4, dark="#000", light="#fff", omitsize=True)
    return drawn.getvalue().decode().strip()


@router.delete("/devices/codes/{role}")
def close_code(role: Role, house: InHouse) -> dict[str, Any]:
    """Take a code back before its time."""
    house.store.devices.close_code(role)
    return {"closed": role}


@router.patch("/devices/{device_id}")
def change_device(device_id: str, body: ChangeDevice, house: InHouse) -> dict[str, Any]:
    """Give a device another name or role; it holds from its next request on."""
    return _told(house.store.devices.change(device_id, name=body.name, role=body.role), house)


@router.delete("/devices/{device_id}")
def revoke_device(device_id: str, house: InHouse) -> dict[str, Any]:
    """Let a device in no more."""
    return _told(house.store.devices.revoke(device_id), house)
