"""What the routes share: the store, the job queue, and whether the kernels are ready."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Annotated

from fastapi import Depends, Request

from courtwright.store import Store
from courtwright.web.hub import Hub
from courtwright.web.jobs import Jobs
from courtwright.web.lately import Lately
from courtwright.web.ready import Kernels


@dataclass(frozen=True, slots=True)
class House:
    """What one running app works with."""

    store: Store
    jobs: Jobs
    kernels: Kernels
    lately: Lately = field(default_factory=Lately)
    hub: Hub = field(default_factory=Hub)


def _house(request: Request) -> House:
    house = request.app.state.house
    assert isinstance(house, House)
    return house


InHouse = Annotated[House, Depends(_house)]
