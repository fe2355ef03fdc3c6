"""Who may do what: the one table. The coach may do everything; what is not named here only the coach may.

A route stands here by its method and its path as it was declared. `courtwright.web.security.Gate`
looks here before anything else is done with a request; `tests/web/test_roles.py` holds
every route against a table of its own.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from starlette.routing import BaseRoute, Match, Route
from starlette.types import Scope

from courtwright.vocabulary import Role

NOBODY_YET: Final = frozenset({"GET /join", "POST /api/join", "POST /api/leave"})
"""Open to devices that have not joined: the way in, and the way out."""

OPEN_FILES: Final = frozenset(
    f"/static/{name}"
    for name in (
        "css/base.css",
        "css/devices.css",
        "icon.svg",
        "js/join_page.js",
        "js/look.js",
        "js/model/words.js",
        "js/net/api.js",
        "js/view/dom.js",
        "js/view/prefs.js",
        "js/view/problems.js",
    )
)
"""What the page for joining is made of, and no other file."""

EVERYONE: Final = frozenset(Role)
READERS: Final = frozenset({Role.COACH, Role.ASSISTANT})
CALLERS: Final = READERS | {Role.SCORER}

ROLES: Final = {
    "GET /": EVERYONE,
    "GET /join": EVERYONE,
    "POST /api/join": EVERYONE,
    "POST /api/leave": EVERYONE,
    "GET /api/me": EVERYONE,
    # assistants read games, moments, readings, drawings and trials; not the squad: most of it is about minors
    "GET /games": READERS,
    "GET /games/{game_id}": READERS,
    "GET /games/{game_id}.svg": READERS,
    "GET /games/{game_id}.png": READERS,
    "GET /games/{game_id}.json": READERS,
    "GET /games/{game_id}/moments/{moment_id}.svg": READERS,
    "GET /games/{game_id}/moments/{moment_id}.png": READERS,
    "GET /games/{game_id}/moments/{moment_id}.pdf": READERS,
    "GET /games/{game_id}/moments/{moment_id}.gif": READERS,
    "GET /games/{game_id}/moments/{moment_id}.webp": READERS,
    "GET /api/vocabulary": READERS,
    "GET /api/schema/game": READERS,
    "GET /api/schema/moment": READERS,
    "GET /api/games": READERS,
    "GET /api/games/{game_id}": READERS,
    "GET /api/games/{game_id}/revisions": READERS,
    "GET /api/games/{game_id}/revisions/{revision}": READERS,
    "GET /api/games/{game_id}/settings": READERS,
    "GET /api/games/{game_id}/moments": READERS,
    "GET /api/games/{game_id}/moments/{moment_id}": READERS,
    "GET /api/games/{game_id}/moments/{moment_id}/revisions": READERS,
    "GET /api/games/{game_id}/trials": READERS,
    "GET /api/jobs/{job_id}": READERS,
    "POST /api/check": READERS,  # these change nothing: they are asked with a body
    "POST /api/draw": READERS,
    "POST /api/draw/moment": READERS,
    "POST /api/read": READERS,
    "POST /api/read/more": READERS,
    "POST /api/read/timeline": READERS,
    # the floor: runs, their facts and their streams
    "GET /floor": EVERYONE,
    "GET /floor/{run}": CALLERS,
    "GET /floor/{run}/players": EVERYONE,
    "GET /api/runs": EVERYONE,
    "POST /api/runs": READERS,
    "GET /api/runs/{run}": CALLERS,
    "GET /api/runs/{run}/facts": CALLERS,
    "POST /api/runs/{run}/facts": CALLERS,  # which kinds of facts, `courtwright.web.runs` says
    "GET /api/runs/{run}/stream": CALLERS,
    "POST /api/runs/{run}/rota": READERS,
    "GET /api/runs/{run}/screen": EVERYONE,
    "GET /api/runs/{run}/screen/stream": EVERYONE,
}

HOME: Final = {Role.COACH: "/games", Role.ASSISTANT: "/games", Role.SCORER: "/floor", Role.SCREEN: "/floor"}
"""The page a device comes to first."""


class Doors:
    """Finds the route a request is for, and who may pass."""

    def __init__(self, routes: Sequence[BaseRoute]) -> None:
        self._routes = [route for route in routes if isinstance(route, Route)]

    def opens(self, scope: Scope, role: Role | None) -> bool:
        """Whether a request of this role (nothing: of nobody we know) may go on."""
        if role is Role.COACH:
            return True
        path: str = scope["path"]
        if path.startswith("/static/"):
            return scope["method"] in ("GET", "HEAD") and (role is not None or path in OPEN_FILES)
        name = self._name(scope)
        return name in NOBODY_YET if role is None else role in ROLES.get(name, ())

    def _name(self, scope: Scope) -> str:
        """The route by its method and path as declared, found as the router finds it: the first that fits."""
        for route in self._routes:
            if route.matches(scope)[0] is Match.FULL:
                return f"{scope['method']} {route.path}"
        return ""
