"""Today, and what was done."""

from __future__ import annotations

from itertools import groupby

from fastapi import APIRouter, Request
from starlette.responses import HTMLResponse, Response

from rushlight.web.asked import Form, Shop, see
from rushlight.web.render import page
from rushlight.workshop import today, undo

router = APIRouter(include_in_schema=False)
_MOST = 100  # deeds shown


@router.get("/")
def day(request: Request, shop: Shop) -> HTMLResponse:
    """Show what the day asks for."""
    return page(request, "today.html", today=today.today(shop), latest=undo.latest(shop))


@router.get("/done")
def done(request: Request, shop: Shop) -> HTMLResponse:
    """Show everything done lately, each with the way back."""
    found = undo.listing(shop, limit=_MOST)
    days = [(on, list(some)) for on, some in groupby(found, key=lambda deed: deed.at.date())]
    return page(request, "done.html", days=days, cut=_MOST if len(found) == _MOST else 0)


@router.post("/undo/{deed}")
def take_back(shop: Shop, deed: int, form: Form) -> Response:
    """Undo a deed by one that makes up for it."""
    undo.undo(shop, deed, key=form.key)
    return see("/done")
