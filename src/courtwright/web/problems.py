"""One envelope for everything that is refused: ``{"problems": [{"place", "what", "mend"}]}``."""

from __future__ import annotations

import logging
from collections.abc import Mapping
from http import HTTPStatus
from typing import Any, Final

from fastapi import FastAPI, Request
from fastapi.exceptions import RequestValidationError
from fastapi.responses import JSONResponse, Response
from starlette.exceptions import HTTPException

from courtwright.errors import (
    CannotPlayError,
    ConflictError,
    CourtwrightError,
    DocumentError,
    JoinError,
    NotFoundError,
    NotYoursError,
    Problem,
    RotaError,
    StoreError,
    WordError,
)
from courtwright.web.jobs import BusyError
from courtwright.web.ready import NotReadyError
from courtwright.web.render import page_of
from courtwright.web.tries import TooManyTriesError

LOG: Final = logging.getLogger("courtwright.web")

KINDS: Final[tuple[tuple[type[CourtwrightError], HTTPStatus, str, str], ...]] = (
    (ConflictError, HTTPStatus.CONFLICT, "revision", "Load it again, then repeat the change."),
    (NotFoundError, HTTPStatus.NOT_FOUND, "address", "Go back to the list and choose again."),
    (StoreError, HTTPStatus.SERVICE_UNAVAILABLE, "store", "Nothing was saved. Mend the store, then try again."),
    (BusyError, HTTPStatus.TOO_MANY_REQUESTS, "trial", "Wait for one to end, or stop one."),
    (NotReadyError, HTTPStatus.SERVICE_UNAVAILABLE, "reading", "Try again in a few seconds."),
    (TooManyTriesError, HTTPStatus.TOO_MANY_REQUESTS, "code", "Wait a little, or ask the coach for a new code."),
    (JoinError, HTTPStatus.FORBIDDEN, "code", "Look at it again, or ask the coach for a new one."),
    (NotYoursError, HTTPStatus.FORBIDDEN, "role", "Ask the coach."),
    (RotaError, HTTPStatus.UNPROCESSABLE_ENTITY, "rota", "Change who is here, or the sides of the game."),
    (
        CannotPlayError,
        HTTPStatus.UNPROCESSABLE_ENTITY,
        "trial",
        "It can still be drawn, printed and played on the floor.",
    ),
    (WordError, HTTPStatus.UNPROCESSABLE_ENTITY, "word", "Use one of those."),
)
"""Error, status, place and mend; the first that fits counts."""


def refusal(
    request: Request, status: int, *problems: Problem, headers: Mapping[str, str] | None = None, **extra: Any
) -> Response:
    """An answer that refuses, with every problem: a page for a person who came to a page, else JSON."""
    if wants_page(request):
        return page_of(request, "missing", {"problem": problems[0]}, status)
    content = {"problems": [problem.to_json() for problem in problems], **extra}
    return JSONResponse(content, status_code=status, headers=headers)


def wants_page(request: Request) -> bool:
    """Whether a person came to a page, and not a program to its data."""
    path = request.url.path
    to_page = not path.startswith(("/api/", "/static/")) and "." not in path.rsplit("/", 1)[-1]
    return to_page and "text/html" in request.headers.get("accept", "")


def problems_in(error: Exception) -> tuple[int, list[Problem]]:
    """The status and the problems that tell of an error."""
    if isinstance(error, DocumentError):
        return HTTPStatus.UNPROCESSABLE_ENTITY, error.problems
    for kind, status, place, mend in KINDS:
        if isinstance(error, kind):
            return status, [Problem(place, str(error), mend)]
    if isinstance(error, CourtwrightError):
        return HTTPStatus.BAD_REQUEST, [Problem("request", str(error), "Change it and try again.")]
    what = f"the program failed here ({type(error).__name__})"
    mend = "Nothing was changed. Try again; if it fails again, restart the program and report this."
    return HTTPStatus.INTERNAL_SERVER_ERROR, [Problem("program", what, mend)]


def handle_problems(app: FastAPI) -> None:
    """Let every refusal of the app leave in the envelope."""
    app.add_exception_handler(CourtwrightError, _deliberate)
    app.add_exception_handler(RequestValidationError, _malformed)
    app.add_exception_handler(HTTPException, _by_status)


async def _deliberate(request: Request, error: Exception) -> Response:
    status, problems = problems_in(error)
    extra: dict[str, Any] = {"current": error.current} if isinstance(error, ConflictError) else {}
    headers = {"Retry-After": str(error.wait_s)} if isinstance(error, TooManyTriesError) else None
    return refusal(request, status, *problems, headers=headers, **extra)


async def _malformed(request: Request, error: Exception) -> Response:
    assert isinstance(error, RequestValidationError)
    return refusal(request, HTTPStatus.UNPROCESSABLE_ENTITY, *map(_problem, error.errors()))


def _problem(error: Mapping[str, Any]) -> Problem:
    place = ", ".join(str(part) for part in error["loc"] if part not in ("body", "query", "path")) or "body"
    if error["type"] == "json_invalid":
        why = error.get("ctx", {}).get("error", "unreadable")
        return Problem("body", f"is not JSON ({why})", "Mend the text there.")
    if error["type"] == "missing":
        return Problem(place, "is missing", "Add it.")
    if error["type"] == "extra_forbidden":
        return Problem(place, "is not asked for", "Take it out, or check its spelling.")
    text = str(error["msg"]).removeprefix("Value error, ").rstrip(".")
    return Problem(place, text[:1].lower() + text[1:], "Change it and send it again.")


STATUS_TEXTS: Final = {
    HTTPStatus.NOT_FOUND: ("there is nothing at this address", "Go back to the list and choose again."),
    HTTPStatus.METHOD_NOT_ALLOWED: ("this address does not take that kind of request", "See /api/openapi.json."),
}


async def _by_status(request: Request, error: Exception) -> Response:
    assert isinstance(error, HTTPException)
    usual = (str(error.detail), "Change it and try again.")
    what, mend = STATUS_TEXTS.get(HTTPStatus(error.status_code), usual)
    problem = Problem("address", f"{what}: {request.url.path}", mend)
    return refusal(request, error.status_code, problem, headers=error.headers)


def failure(request: Request, error: Exception) -> Response:
    """The answer where the program itself is wrong; the details go to the log, not to the browser."""
    LOG.error("a request failed", exc_info=error)
    status, problems = problems_in(error)
    return refusal(request, status, *problems)
