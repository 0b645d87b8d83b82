"""Errors as a page or as JSON: one status for each class of the exception tree."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any
from urllib.parse import urlsplit

from fastapi import FastAPI
from fastapi.exceptions import RequestValidationError
from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import JSONResponse, Response

from rushlight.errors import (
    BadInput,
    NotFound,
    Problem,
    Refused,
    RushlightError,
    SolverError,
    WorkshopError,
)
from rushlight.web.guard import ALWAYS
from rushlight.web.placed import called
from rushlight.web.render import page

STATUS: dict[type[RushlightError], tuple[int, str]] = {
    BadInput: (422, "Something to mend"),
    NotFound: (404, "Not here"),
    Refused: (409, "Not as things stand"),
    WorkshopError: (503, "The workshop file"),
    SolverError: (500, "The calculation did not end"),
}


def as_json(problems: Iterable[Problem], status: int) -> JSONResponse:
    """Return the one shape every JSON error has."""
    listed = [{"place": p.place, "what": p.what, "remedy": p.remedy} for p in problems]
    return JSONResponse({"problems": listed}, status)


_AGAIN = frozenset({409, 500, 503})  # another state of things may let it pass
_UNSEEN = frozenset({"key", "pot", "line", "role", "worked", "timer", "reading", "move", "fate"})


def kept(request: Request, *, again: bool) -> dict[str, Any]:
    """Return what was typed into the form that met trouble: nothing of it is lost.

    typed: what is shown, by what its field is called; sent: every field, to send again; back:
    the page it was typed on.
    """
    sent: tuple[tuple[str, str], ...] = getattr(request.state, "typed", ())
    typed = [
        (called(name), value)
        for name, value in sent
        if value.strip() and name not in _UNSEEN and not name.endswith((".id", ".fate"))
    ]
    from_page = urlsplit(request.headers.get("referer", ""))
    back = f"{from_page.path}?{from_page.query}".rstrip("?")
    ours = from_page.netloc == request.url.netloc and back.startswith("/")
    path = f"{request.url.path}?{request.url.query}".rstrip("?")
    return {
        "typed": typed,
        "sent": sent if again else (),
        "path": path,
        "back": back if ours else "",
    }


def _answer(request: Request, status: int, title: str, problems: tuple[Problem, ...]) -> Response:
    if request.url.path.startswith("/api/"):
        return as_json(problems, status)
    return page(
        request,
        "trouble.html",
        status=status,
        title=title,
        problems=problems,
        **kept(request, again=status in _AGAIN),
    )


def _ours(request: Request, error: Exception) -> Response:
    status, title = next((STATUS[k] for k in type(error).__mro__ if k in STATUS), (500, "Trouble"))
    problems = error.problems if isinstance(error, BadInput) else (Problem("", str(error), ""),)
    return _answer(request, status, title, problems)


def _malformed(request: Request, error: Exception) -> Response:
    found = error.errors() if isinstance(error, RequestValidationError) else []
    problems = tuple(
        Problem(
            ".".join(str(part) for part in e["loc"][1:]),
            f"{e['msg']}.",
            "Mend this and send it again.",
        )
        for e in found
    )
    status = 404 if request.method == "GET" and not request.url.path.startswith("/api/") else 422
    return _answer(request, status, "Not here" if status == 404 else "Something to mend", problems)  # noqa: PLR2004


def _http(request: Request, error: Exception) -> Response:
    status = error.status_code if isinstance(error, HTTPException) else 500
    what = "There is no such page." if status == 404 else "That cannot be done here."  # noqa: PLR2004
    return _answer(request, status, "Not here", (Problem("", what, "Go back to Today."),))


def _fault(request: Request, _error: Exception) -> Response:
    """Answer a mistake of ours; this runs outside the guard, so it adds the guard's headers."""
    what = Problem("", "Rushlight made a mistake, and nothing was written.", "Please report it.")
    answer = _answer(request, 500, "Our fault", (what,))
    answer.headers.update(ALWAYS)
    return answer


def attend(app: FastAPI) -> None:
    """Attach the handlers."""
    app.add_exception_handler(RushlightError, _ours)
    app.add_exception_handler(RequestValidationError, _malformed)
    app.add_exception_handler(HTTPException, _http)
    app.add_exception_handler(Exception, _fault)
