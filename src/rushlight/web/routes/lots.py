"""Lots of materials: what is left of each, where it is from, what happened to it."""

from __future__ import annotations

from fastapi import APIRouter, Request
from starlette.responses import HTMLResponse, Response

from rushlight.errors import BadInput, NotFound, Problem
from rushlight.web.asked import Form, Shop, Upload, see
from rushlight.web.handed import handed
from rushlight.web.render import by_place, page, shop_of
from rushlight.web.workbench import Blank
from rushlight.workshop import attachments, materials
from rushlight.workshop.stores import lots

router = APIRouter(include_in_schema=False)
_MOST = 200


@router.get("/lots")
def listing(request: Request, shop: Shop, of: str = "", empty: str = "") -> HTMLResponse:
    """Show lots, first expiring first."""
    known = materials.listing(shop)
    slug = next((m.slug for m in known if m.name.casefold() == of.strip().casefold()), of.strip())
    found = lots.listing(shop, slug or None, empty=bool(empty), limit=_MOST + 1)
    return page(
        request,
        "lots/list.html",
        lots=found[:_MOST],
        cut=len(found) > _MOST,
        of=slug,
        named=next((m.name for m in known if m.slug == slug), ""),
        empty=bool(empty),
        today=shop.today(),
        materials=known,
    )


def _show(
    request: Request,
    code: str,
    problems: tuple[Problem, ...] = (),
    typed: dict[str, str] | None = None,
) -> HTMLResponse:
    shop = shop_of(request)
    return page(
        request,
        "lots/lot.html",
        status=422 if problems else 200,
        view=lots.get(shop, code),
        today=shop.today(),
        problems=problems,
        wrong=Blank(by_place(problems)),
        typed=Blank(typed or {}),
    )


@router.get("/lots/{code}")
def lot(request: Request, code: str) -> HTMLResponse:
    """Show one lot."""
    return _show(request, code)


_MOVES = {"count": lots.count, "scrap": lots.scrap}


@router.post("/lots/{code}/move")
def move(request: Request, shop: Shop, code: str, form: Form) -> Response:
    """Book what was counted or thrown away."""
    verb = _MOVES.get(form.get("move"))
    try:
        if verb is None:
            raise BadInput.one("What happened was not said.", "Choose one of the two.", "move")
        verb(shop, code, {k: form.get(k) for k in ("amount", "note")}, key=form.key)
    except BadInput as bad:
        return _show(request, code, bad.problems, form.typed())
    return see(f"/lots/{code}#moves")


@router.post("/lots/{code}/worth")
def worth(request: Request, shop: Shop, code: str, form: Form) -> Response:
    """Note what a lot cost that came without a cost."""
    try:
        lots.worth(shop, code, {"cost": form.get("cost")}, key=form.key)
    except BadInput as bad:
        return _show(request, code, bad.problems, form.typed())
    return see(f"/lots/{code}")


@router.post("/lots/{code}/file")
def attach(request: Request, shop: Shop, code: str, sent: Upload) -> Response:
    """Keep a certificate or sheet of this lot."""
    view = lots.get(shop, code)
    try:
        attachments.attach(
            shop, view.line.material, sent.name, sent.content, lot=view.line.code, key=sent.key
        )
    except BadInput as bad:
        return _show(request, code, bad.problems)
    return see(f"/lots/{code}#files")


@router.get("/lots/{code}/file/{number}")
def file(shop: Shop, code: str, number: int) -> Response:
    """Hand out a file, for download only, as what its first bytes say it is."""
    if all(number != kept.id for kept in lots.get(shop, code).files):
        raise NotFound(f"There is no attached file {number} here.")
    return handed(attachments.attachment(shop, number))
