"""Trace: from a code to all that is on its thread, and the recall list of a lot."""

from __future__ import annotations

from urllib.parse import quote

from fastapi import APIRouter, Request
from starlette.responses import HTMLResponse, Response

from rushlight.errors import BadInput
from rushlight.web.asked import Shop, see
from rushlight.web.drawing.thread import thread as drawn
from rushlight.web.recalled import shown
from rushlight.web.render import page
from rushlight.web.workbench import Blank
from rushlight.workshop.stores import jars, trace
from rushlight.workshop.stores.finish_form import REASONS
from rushlight.workshop.stores.thread_views import WORDS, Thread, ThreadNode

router = APIRouter(include_in_schema=False)
_LATEST = 8
MOST = 200
"""Rows of a table that are shown; the recall list has every jar, whatever their number."""
_PAGES = {"stock_lot": "lots", "jar_lot": "jars", "order": "orders", "pour": "pours"}


@router.get("/trace")
def search(request: Request, shop: Shop, code: str = "") -> Response:
    """Ask for a code; go where it leads, or list what it may mean."""
    found, wrong = None, ""
    if code.strip():
        try:
            found = trace.find(shop, code)
        except BadInput as bad:
            wrong = str(bad.problems[0])
        if found is not None and len(found.hits) == 1 and not found.slip:
            return see(f"/trace/{found.hits[0].code}")
    return page(
        request,
        "trace/search.html",
        status=422 if wrong else 200,
        typed=Blank({"code": code.strip()}),
        found=found,
        wrong=wrong,
        latest=jars.latest(shop, _LATEST),
    )


def page_of(kind: str, code: str) -> str | None:
    """Return the address of the page of what a code names; None where it has none."""
    return f"/{_PAGES[kind]}/{code}" if code and kind in _PAGES else None


def _drawn(thread: Thread) -> str:
    """Draw the thread: what was asked for leads to its own page, the rest to its own thread."""

    def leads(node: ThreadNode) -> str | None:
        own = page_of(node.kind, node.code)
        if own is None or node.key == thread.root or node.kind == "pour":
            return own
        return f"/trace/{node.code}"

    return drawn(thread, href=leads)


@router.get("/trace/{code}")
def followed(request: Request, shop: Shop, code: str) -> Response:
    """Show the thread of a code, drawn and as tables, with what is known of it."""
    try:
        found = trace.follow(shop, code)
    except BadInput:  # perhaps it is a supplier's own code
        return see(f"/trace?code={quote(code)}")
    return page(
        request,
        "trace/thread.html",
        found=found,
        drawn=_drawn(found.thread),
        rows=found.thread.rows,
        used={use.pour: use.amount for use in found.uses if use.lot == found.code},
        own=page_of(found.kind, found.code),
        page_of=page_of,
        words=WORDS,
        reasons=REASONS,
        today=shop.today(),
        most=MOST,
    )


@router.get("/trace/{code}/recall")
def recall(request: Request, shop: Shop, code: str) -> HTMLResponse:
    """Show the recall list of a lot."""
    return page(request, "trace/recall.html", **shown(shop, trace.recall(shop, code)))


@router.get("/trace/{code}/recall.csv")
def recall_csv(shop: Shop, code: str) -> Response:
    """Hand out the recall list as a table."""
    from rushlight.workshop.exchange.csv_writer import write_csv
    from rushlight.workshop.stores.recall_rows import recall_rows

    found = trace.recall(shop, code)
    return Response(
        write_csv(*recall_rows(found)),
        media_type="text/csv; charset=utf-8",
        headers={"content-disposition": f'attachment; filename="recall-{found.code}.csv"'},
    )


@router.get("/trace/{code}/recall.pdf")
def recall_pdf(shop: Shop, code: str, paper: str = "") -> Response:
    """Hand out the recall list for paper."""
    from rushlight.press.recall_list_from import recall_pdf as pdf

    found = trace.recall(shop, code)
    return Response(
        pdf(shop, found, paper),
        media_type="application/pdf",
        headers={"content-disposition": f'inline; filename="recall-{found.code}.pdf"'},
    )
