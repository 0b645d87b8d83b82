"""Jars: the finished lots, what they cost, where they went."""

from __future__ import annotations

from fastapi import APIRouter, Request
from starlette.responses import HTMLResponse, Response

from rushlight.errors import BadInput, NotFound, Problem
from rushlight.web.adding import adding_up, coin
from rushlight.web.asked import Fields, Form, Shop, see
from rushlight.web.render import by_place, page, shop_of
from rushlight.web.workbench import Blank
from rushlight.workshop import candles, settings
from rushlight.workshop.stores import jar_moves, jars
from rushlight.workshop.stores.finish_form import REASONS

router = APIRouter(include_in_schema=False)
_MOST = 200


@router.get("/jars")
def listing(request: Request, shop: Shop, of: str = "", empty: str = "") -> HTMLResponse:
    """Show the lots of jars, the oldest cure first."""
    found = jars.listing(shop, candle=of.strip() or None, empty=bool(empty), limit=_MOST + 1)
    return page(
        request,
        "jars/list.html",
        lots=found[:_MOST],
        cut=len(found) > _MOST,
        of=of.strip(),
        empty=bool(empty),
        candles=candles.listing(shop),
    )


def _show(
    request: Request,
    code: str,
    problems: tuple[Problem, ...] = (),
    typed: dict[str, str] | None = None,
) -> HTMLResponse:
    shop = shop_of(request)
    view = jars.get(shop, code)
    step = coin(settings.current(shop).preference)
    costs, made = [part.cost for part in view.parts], view.line.made or 1
    whole, each = adding_up(costs, step), adding_up([cost / made for cost in costs], step)
    return page(
        request,
        "jars/jar.html",
        status=422 if problems else 200,
        view=view,
        parts=list(zip((part.name for part in view.parts), whole, each, strict=True)),
        reasons=REASONS,
        problems=problems,
        wrong=Blank(by_place(problems)),
        typed=Blank(typed or {}),
    )


@router.get("/jars/{code}")
def jar(request: Request, code: str) -> HTMLResponse:
    """Show one lot of jars."""
    return _show(request, code)


# what may happen to jars, the fields of its form, and the name its fields have on the page
_MOVES = {
    "take": (jar_moves.take, ("jars", "fate", "note"), ""),
    "count": (jar_moves.count, ("jars", "note"), "count."),
    "back": (jar_moves.take_back, ("jars", "order", "note"), "back."),
}


@router.post("/jars/{code}/{move}")
def moved(request: Request, shop: Shop, code: str, move: str, form: Form) -> Response:
    """Book what happened to jars of a lot."""
    if move not in _MOVES:
        raise NotFound("There is no such thing to do with jars.")
    verb, fields, under = _MOVES[move]
    try:
        verb(shop, code, _typed(form, fields), key=form.key)
    except BadInput as bad:
        problems = tuple(p.at(under + p.place) for p in bad.problems)
        return _show(request, code, problems, {under + k: form.get(k) for k in fields})
    return see(f"/jars/{code}#moves")


def _typed(form: Fields, fields: tuple[str, ...]) -> dict[str, str]:
    return {name: form.get(name) for name in fields}
