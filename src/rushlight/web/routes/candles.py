"""Candles: the shelf, the drawing sheet, its revisions."""

from __future__ import annotations

from fastapi import APIRouter, Request
from starlette.responses import HTMLResponse, PlainTextResponse, Response

from rushlight.errors import BadInput, NotFound
from rushlight.web import workbench
from rushlight.web.asked import Fields, Form, Shop, see
from rushlight.web.forms import ROWS, Typed
from rushlight.web.render import page
from rushlight.web.shelf import standing
from rushlight.workshop import Workshop, candles, pours
from rushlight.workshop.candles import CandleView

router = APIRouter(include_in_schema=False)


def _view(shop: Workshop, slug: str) -> CandleView | None:
    return candles.get(shop, slug) if slug and slug != "new" else None


def _show(
    request: Request, shop: Workshop, bench: workbench.Bench, *, more: str = "", day: str = ""
) -> HTMLResponse:
    context = workbench.whole(shop, bench, more=more, day=day)
    return page(request, "candle/sheet.html", status=bench.status, **context)


@router.get("/candles")
def shelf(request: Request, shop: Shop) -> HTMLResponse:
    """Show every candle on a shelf, to one scale."""
    return page(request, "candle/shelf.html", candles=standing(shop, request.app.state.outlines))


@router.get("/candles/new")
def new(request: Request, shop: Shop) -> HTMLResponse:
    """Show a sheet to start from."""
    return _show(request, shop, workbench.work_out(shop, Typed(candles.blank(shop)), None))


@router.post("/draw")
def draw(request: Request, shop: Shop, form: Form) -> HTMLResponse:
    """Recompute the live parts of the sheet from what stands in the form."""
    bench = workbench.of_fields(shop, form.pairs, _view(shop, form.get("slug")))
    context = workbench.fragment(shop, bench)
    return page(request, "candle/live.html", **context)


@router.get("/candles/{slug}")
def sheet(request: Request, shop: Shop, slug: str, revision: int | None = None) -> HTMLResponse:
    """Show the drawing sheet of a candle."""
    view = candles.get(shop, slug, revision)
    return _show(request, shop, workbench.work_out(shop, Typed(view.document), view))


def _saved(shop: Workshop, slug: str, form: Fields, bench: workbench.Bench) -> CandleView:
    if bench.problems:
        raise BadInput(*bench.problems)
    return candles.save(shop, None if slug == "new" else slug, bench.typed.document, key=form.key)


@router.post("/candles/{slug}")
def save(request: Request, shop: Shop, slug: str, form: Form) -> Response:
    """Keep what stands in the form as the newest revision."""
    view = _view(shop, slug)
    bench = workbench.of_fields(shop, form.pairs, view)
    try:
        saved = _saved(shop, slug, form, bench)
    except BadInput as bad:
        problems = bench.problems or bench.typed.problems(bad.problems)
        bench = workbench.Bench(bench.typed, view, bench.sheets, problems=problems)
        return _show(request, shop, bench, day=form.get("day"))
    return see(f"/candles/{saved.slug}")


@router.post("/candles/{slug}/work-out")
def work_out(request: Request, shop: Shop, slug: str, form: Form) -> HTMLResponse:
    """Recompute the whole page, for a browser without scripts."""
    bench = workbench.of_fields(shop, form.pairs, _view(shop, slug))
    return _show(request, shop, bench, day=form.get("day"))


@router.post("/candles/{slug}/rows/{table}")
def row(request: Request, shop: Shop, slug: str, table: str, form: Form) -> HTMLResponse:
    """Show the page with one more row in a table; nothing is written."""
    if table not in ROWS:
        raise NotFound(f"A candle has no table called {table[:40]!r}.")
    bench = workbench.of_fields(shop, form.pairs, _view(shop, slug))
    return _show(request, shop, bench, more=table, day=form.get("day"))


@router.post("/candles/{slug}/pour")
def plan(request: Request, shop: Shop, slug: str, form: Form) -> Response:
    """Save the candle if it changed, and plan a pour of it."""
    view = _view(shop, slug)
    bench = workbench.of_fields(shop, form.pairs, view)
    key = form.key
    try:
        saved = _saved(shop, slug, form, bench)
        pour = pours.plan(
            shop,
            saved.slug,
            form.under("batch"),
            form.get("day") or shop.today(),
            key=f"pour-{key}" if key else None,
        )
    except BadInput as bad:
        problems = bench.problems or bench.typed.problems(bad.problems)
        bench = workbench.Bench(bench.typed, view, bench.sheets, problems=problems)
        return _show(request, shop, bench, day=form.get("day"))
    return see(f"/pours/{pour.id}")


@router.get("/candles/{slug}/revisions")
def revisions(request: Request, shop: Shop, slug: str) -> HTMLResponse:
    """Show every revision, newest first."""
    view = candles.get(shop, slug)
    return page(request, "candle/revisions.html", view=view, revisions=candles.history(shop, slug))


@router.post("/candles/{slug}/revisions/{number}")
def put_back(shop: Shop, slug: str, number: int, form: Form) -> Response:
    """Make an earlier revision the newest."""
    candles.put_back(shop, slug, number, key=form.key)
    return see(f"/candles/{slug}")


@router.get("/candles/{slug}/candle.toml")
def candle_file(shop: Shop, slug: str) -> Response:
    """Hand out the candle as a candle file."""
    from rushlight.workshop.candle_file import write

    view = candles.get(shop, slug)
    return PlainTextResponse(
        write(view.document),
        headers={"content-disposition": f'attachment; filename="{view.slug}.toml"'},
    )
