"""Stocktakes: begun, counted shelf by shelf, booked with their reason."""

from __future__ import annotations

from itertools import groupby
from typing import Any

from fastapi import APIRouter, Request
from starlette.responses import HTMLResponse, Response

from rushlight.errors import BadInput, NotFound, Problem
from rushlight.web.adding import coin
from rushlight.web.asked import Form, Shop, see
from rushlight.web.differing import after, differing, unit_of
from rushlight.web.render import by_place, page, shop_of
from rushlight.web.workbench import Blank
from rushlight.workshop import materials, settings
from rushlight.workshop.stores import stocktakes
from rushlight.workshop.stores.views import CountLine, StocktakeView

router = APIRouter(include_in_schema=False)
_PAGE = 100  # lots on a page
_CALLED = {"wax": "Waxes", "fragrance": "Oils", "finish": "Finishes", "packaging": "Packaging"}


def _listed(
    request: Request, problems: tuple[Problem, ...] = (), typed: dict[str, str] | None = None
) -> HTMLResponse:
    return page(
        request,
        "stocktakes/list.html",
        status=422 if problems else 200,
        stocktakes=stocktakes.listing(shop_of(request)),
        roles=materials.ROLES,
        problems=problems,
        wrong=Blank(by_place(problems)),
        typed=Blank(typed or {}),
    )


@router.get("/stocktakes")
def listing(request: Request) -> HTMLResponse:
    """Show the stocktakes, and the way to begin one."""
    return _listed(request)


@router.post("/stocktakes")
def begin(request: Request, shop: Shop, form: Form) -> Response:
    """Begin a stocktake."""
    try:
        made = stocktakes.begin(shop, form.typed(), key=form.key)
    except BadInput as bad:
        return _listed(request, bad.problems, form.typed())
    return see(f"/stocktakes/{made.line.id}")


def shelves(view: StocktakeView) -> dict[str, list[CountLine]]:
    """Return the lines of a stocktake by the shelf they lie on, in their order."""
    by_role = sorted(view.lines, key=lambda line: line.role)
    return {role: list(lines) for role, lines in groupby(by_role, key=lambda line: line.role)}


def called(role: str) -> str:
    """Return what a shelf is called."""
    return _CALLED.get(role) or f"{role.removesuffix('s')}s".capitalize()


def _parts(view: StocktakeView) -> list[tuple[str, int, list[CountLine]]]:
    """Return every page of every shelf in their order."""
    return [
        (role, 1 + first // _PAGE, lines[first : first + _PAGE])
        for role, lines in shelves(view).items()
        for first in range(0, len(lines), _PAGE)
    ]


def _part(view: StocktakeView, role: str, number: int) -> dict[str, Any]:
    """Return one page of one shelf, and what there is beside it."""
    found = shelves(view)
    role = role if role in found else next(iter(found), "")
    lines = found.get(role, [])
    pages = max(1, -(-len(lines) // _PAGE))
    number = min(max(number, 1), pages)
    groups = [
        (name, called(name), sum(line.counted is not None for line in group), len(group))
        for name, group in found.items()
    ]
    shown = lines[(number - 1) * _PAGE : number * _PAGE]
    return {"groups": groups, "role": role, "lines": shown, "pages": pages, "page_no": number}


def _next(view: StocktakeView, role: str, number: int) -> tuple[str, int]:
    """Return where to count on when a part was entered."""
    part, parts = _part(view, role, number), _parts(view)
    here = part["role"], part["page_no"]
    return parts[after(parts, here)][:2] if parts else here


def _show(
    request: Request,
    number: int,
    at: tuple[str, int] = ("", 1),
    problems: tuple[Problem, ...] = (),
    typed: dict[str, str] | None = None,
) -> HTMLResponse:
    shop = shop_of(request)
    view = stocktakes.get(shop, number)
    pref = settings.current(shop).preference
    counting, blind = view.line.state == "open", view.line.blind
    look = not counting or not blind or request.query_params.get("look") == "yes"
    return page(
        request,
        "stocktakes/stocktake.html",
        status=422 if problems else 200,
        view=view,
        differ=differing(view, coin(pref)) if look else None,
        named={f"line.{line.id}": line.code for line in view.lines},
        unit_of=lambda line: unit_of(line, pref.mass),
        problems=problems,
        wrong=Blank(by_place(problems)),
        typed=Blank(typed or {}),
        **_part(view, *at),
    )


@router.get("/stocktakes/{number}")
def stocktake(
    request: Request,
    number: int,
    role: str = "",
    page: int = 1,
) -> HTMLResponse:
    """Show one shelf of a stocktake."""
    return _show(request, number, (role, page))


@router.get("/stocktakes/{number}/sheet.pdf")
def sheet(shop: Shop, number: int, paper: str = "") -> Response:
    """Hand out the counting sheet for paper."""
    from rushlight.web.counting import counting_sheet_pdf

    view = stocktakes.get(shop, number)
    return Response(
        counting_sheet_pdf(shop, view, shelves(view), paper),
        media_type="application/pdf",
        headers={"content-disposition": f'inline; filename="stocktake-{number}.pdf"'},
    )


@router.post("/stocktakes/{number}/{act}")
def do(  # noqa: PLR0913, PLR0917 - a form and where it stood
    request: Request,
    shop: Shop,
    number: int,
    act: str,
    form: Form,
    role: str = "",
    page: int = 1,
) -> Response:
    """Enter counts, book them, or give it up."""
    try:
        if act == "enter":
            entered = stocktakes.enter(shop, number, form.typed(), key=form.key)
            role, page = _next(entered, role, page)
        elif act == "book":
            stocktakes.book(shop, number, form.typed(), key=form.key)
        elif act == "abandon":
            stocktakes.abandon(shop, number, key=form.key)
        else:
            raise NotFound("There is no such thing to do with a stocktake.")
    except BadInput as bad:
        return _show(request, number, (role, page), bad.problems, form.typed())
    if act == "enter":
        return see(f"/stocktakes/{number}?role={role}&page={page}#count")
    return see(f"/stocktakes/{number}")
