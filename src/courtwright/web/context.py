"""What the routes share: the store, the job queue, whether the kernels are ready; and who asks."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from typing import Annotated

from fastapi import Depends, Request

from courtwright.store import Store
from courtwright.web.hub import Hub
from courtwright.web.jobs import Jobs
from courtwright.web.lately import Lately
from courtwright.web.reach import HERE_ONLY, Reach
from courtwright.web.ready import Kernels
from courtwright.web.tries import Tries
from courtwright.web.visitors import NOBODY, Visitor


@dataclass(frozen=True, slots=True)
class House:
    """What one running app works with."""

    store: Store
    jobs: Jobs
    kernels: Kernels
    reach: Reach = HERE_ONLY
    lately: Lately = field(default_factory=Lately)
    hub: Hub = field(default_factory=Hub)
    tries: Tries = field(default_factory=Tries)
    visitor: Visitor = NOBODY
    """who asks; each request has its own"""


def _house(request: Request) -> House:
    house = request.app.state.house
    assert isinstance(house, House)
    return replace(house, visitor=request.state.visitor)


InHouse = Annotated[House, Depends(_house)]
