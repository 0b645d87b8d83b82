"""Templates, and what every page knows."""

from __future__ import annotations

import secrets
from collections.abc import Iterable
from pathlib import Path
from typing import Any

from jinja2 import Environment, FileSystemLoader, StrictUndefined, select_autoescape
from starlette.requests import Request
from starlette.responses import HTMLResponse

from rushlight.errors import Problem
from rushlight.web.placed import called
from rushlight.web.say import Say
from rushlight.workshop import Workshop, settings

HERE = Path(__file__).parent


def environment() -> Environment:
    """Return the template environment: everything escaped, nothing undefined passes."""
    made = Environment(
        loader=FileSystemLoader(HERE / "templates"),
        autoescape=select_autoescape(default=True),
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    made.filters["called"] = called
    made.filters["slot"] = lambda name: str(name).replace(".", "-").replace("_", "-")
    return made


def by_place(problems: Iterable[Problem]) -> dict[str, str]:
    """Return problems as {place: what and remedy}, several at one place joined."""
    found: dict[str, str] = {}
    for problem in problems:
        words = f"{problem.what} {problem.remedy}"
        found[problem.place] = (
            f"{found[problem.place]} {words}" if problem.place in found else words
        )
    return found


def shop_of(request: Request) -> Workshop:
    """Return the open workshop."""
    shop: Workshop = request.app.state.shop
    return shop


def page(request: Request, name: str, *, status: int = 200, **context: Any) -> HTMLResponse:
    """Return a rendered page or fragment."""
    templates: Environment = request.app.state.templates
    now = settings.current(shop_of(request))
    html = templates.get_template(name).render(
        say=Say(now),
        settings=now,
        here=request.url.path,
        key=secrets.token_urlsafe(12),
        **context,
    )
    return HTMLResponse(html, status)
