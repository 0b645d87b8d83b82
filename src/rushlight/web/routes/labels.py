"""Labels to print: which, how many, and where on the sheet they begin."""

from __future__ import annotations

from fastapi import APIRouter, Request
from starlette.responses import HTMLResponse, Response

from rushlight.errors import BadInput, NotFound
from rushlight.web import labelset
from rushlight.web.asked import Shop
from rushlight.web.labelmakers import Jar, jar_of
from rushlight.web.render import page
from rushlight.web.workbench import Blank
from rushlight.workshop import Workshop
from rushlight.workshop.stores import jars
from rushlight.workshop.stores.views import JarLotLine

router = APIRouter(include_in_schema=False)
LONGEST = 400  # characters of one field; a label holds far fewer
MOST_FIELDS = 60
SEVERAL = ("caution.hazards",)  # boxes of which more than one may be ticked


def _typed(request: Request) -> Blank:
    """Return the form as it stands in the address; nothing is written by printing."""
    pairs = request.query_params.multi_items()[:MOST_FIELDS]
    typed = Blank({name: value.strip()[:LONGEST] for name, value in pairs})
    for name in SEVERAL:
        found = [value.strip() for key, value in pairs if key == name]
        if found:
            typed[name] = ", ".join(found)[:LONGEST]
    return typed


def _show(request: Request, jar: Jar, printing: labelset.Printing) -> HTMLResponse:
    status = 422 if printing.problems else 200
    return page(request, "label/print.html", status=status, **labelset.shown(jar, printing))


def _made(shop: Workshop, slug: str, code: str) -> JarLotLine | None:
    """Return the lot of jars that is to be labelled; NotFound where it is of another candle."""
    if not code:
        return None
    line = jars.get(shop, code).line
    if line.candle != slug:
        raise NotFound(f"Lot {line.code} is of {line.name}, not of this candle.")
    return line


@router.get("/candles/{slug}/labels")
def labels(request: Request, shop: Shop, slug: str) -> HTMLResponse:
    """Show the labels asked for, and the sheet they stand on."""
    jar = jar_of(shop, slug)
    typed = _typed(request)
    if set(typed) <= {"lot"}:
        typed = labelset.begun(jar, _made(shop, slug, typed["lot"]))
    return _show(request, jar, labelset.asked(jar, typed))


@router.get("/candles/{slug}/labels/{kind}.svg")
def picture(request: Request, shop: Shop, slug: str, kind: str) -> Response:
    """Hand out one label as a picture at true size."""
    from rushlight.press.labels import preview

    made = labelset.label_of(jar_of(shop, slug), _typed(request), kind)
    if made is None:
        raise NotFound("There is no such label here.")
    return Response(preview(made), media_type="image/svg+xml")


@router.get("/candles/{slug}/labels.pdf")
def paper(request: Request, shop: Shop, slug: str) -> Response:
    """Hand out the sheets of labels for paper; with a problem, the page that says it."""
    from dataclasses import replace

    from rushlight.press.labels import render
    from rushlight.press.labels.sheet import Kind

    jar = jar_of(shop, slug)
    printing = labelset.asked(jar, _typed(request))
    if printing.problems or printing.sheet is None:
        return _show(request, jar, printing)
    proof = "proof" in request.query_params
    sheet = replace(printing.sheet, kind=Kind.PROOF) if proof else printing.sheet
    try:
        made = render(printing.labels, sheet, printing.stock.paper, created=shop.today())
    except BadInput as bad:
        return _show(request, jar, replace(printing, problems=bad.problems))
    return Response(
        made,
        media_type="application/pdf",
        headers={"content-disposition": f'inline; filename="labels-{jar.view.slug}.pdf"'},
    )
