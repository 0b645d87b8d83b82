"""Today, and what was done."""

from __future__ import annotations

from fastapi import APIRouter, Request
from starlette.responses import HTMLResponse, Response

from rushlight.web.asked import Form, Shop, see
from rushlight.web.render import page
from rushlight.workshop import today, undo

router = APIRouter(include_in_schema=False)


@router.get("/")
def day(request: Request, shop: Shop) -> HTMLResponse:
    """Show what the day asks for."""
    return page(request, "today.html", today=today.today(shop), latest=undo.latest(shop))


@router.get("/done")
def done(request: Request, shop: Shop) -> HTMLResponse:
    """Show everything done lately, each with the way back."""
    return page(request, "done.html", deeds=undo.listing(shop, limit=100))


@router.post("/undo/{deed}")
def take_back(shop: Shop, deed: int, form: Form) -> Response:
    """Undo a deed by one that makes up for it."""
    undo.undo(shop, deed, key=form.key)
    return see("/done")
