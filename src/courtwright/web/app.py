"""The app, made around a store."""

from __future__ import annotations

import mimetypes
from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from pathlib import Path
from typing import Any, Final

from fastapi import FastAPI
from starlette.responses import Response
from starlette.staticfiles import StaticFiles

from courtwright import __version__
from courtwright.store import Store
from courtwright.web import (
    answers,
    api,
    files,
    joining,
    keeping,
    moment_files,
    moments,
    pages,
    readings,
    rotas,
    runs,
    trials,
)
from courtwright.web.context import House
from courtwright.web.jobs import Jobs
from courtwright.web.problems import handle_problems
from courtwright.web.reach import HERE_ONLY, Reach
from courtwright.web.ready import Kernels
from courtwright.web.roles import Doors
from courtwright.web.security import Gate

HERE: Final = Path(__file__).parent
PARTS: Final = (api, joining, keeping, moments, readings, trials, rotas, answers, runs, moment_files, files, pages)
"""Modules with routes, in the order in which they are asked."""

# Windows asks its registry for these, and finds what other programs left there.
for _type, _ending in (("text/javascript", ".js"), ("text/css", ".css"), ("image/svg+xml", ".svg")):
    mimetypes.add_type(_type, _ending)


class _Revalidated(StaticFiles):
    """Static files that a browser keeps but asks about: an update shows at the next load."""

    def file_response(self, *args: Any, **kwargs: Any) -> Response:
        response = super().file_response(*args, **kwargs)
        response.headers["Cache-Control"] = "no-cache"
        return response


def create_app(store: Store, *, workers: int = 1, reach: Reach = HERE_ONLY, warm_after_s: float = 0.0) -> FastAPI:
    """Make the app.

    ``workers`` is how many trials run side by side, ``reach`` where it listens and to what
    names, ``warm_after_s`` how long the kernels wait before they are made ready.
    """
    jobs, kernels = Jobs(workers), Kernels(after_s=warm_after_s)

    @asynccontextmanager
    async def lifespan(_app: FastAPI) -> AsyncIterator[None]:
        kernels.start()
        yield
        kernels.close()
        jobs.close()

    # The framework's own documentation pages load scripts from elsewhere; nothing here may.
    app = FastAPI(
        title="Courtwright",
        version=__version__,
        openapi_url="/api/openapi.json",
        docs_url=None,
        redoc_url=None,
        lifespan=lifespan,
    )
    app.state.house = House(store, jobs, kernels, reach)
    handle_problems(app)
    for part in PARTS:
        app.include_router(part.router)
    app.mount("/static", _Revalidated(directory=HERE / "static"), name="static")
    doors = Doors([route for part in PARTS for route in part.router.routes])
    app.add_middleware(Gate, devices=store.devices, doors=doors, reach=reach)
    return app
