"""In and out: lists brought in, everything taken out, the calendar, backups."""

from __future__ import annotations

from secrets import token_urlsafe
from typing import Any

from fastapi import APIRouter, Request
from starlette.datastructures import UploadFile
from starlette.responses import FileResponse, HTMLResponse, Response

from rushlight.errors import BadInput, NotFound, Problem, Refused, WorkshopError
from rushlight.web.asked import Form, Shop, see
from rushlight.web.render import by_place, page, shop_of
from rushlight.web.routes.heats import stove_of
from rushlight.web.trays import Trays
from rushlight.web.workbench import Blank
from rushlight.workshop import settings
from rushlight.workshop.exchange import archive, backups, imports
from rushlight.workshop.exchange.kinds import KINDS
from rushlight.workshop.exchange.mapping import Mapping
from rushlight.workshop.exchange.reader import read_table
from rushlight.workshop.exchange.table import Table, letter
from rushlight.workshop.stove import Pot, State

router = APIRouter(include_in_schema=False)
SAYS = "archive"


def _trays(request: Request) -> Trays:
    trays: Trays = request.app.state.trays
    return trays


def _show(
    request: Request, problems: tuple[Problem, ...] = (), kind: str = "materials"
) -> HTMLResponse:
    shop = shop_of(request)
    schedule = settings.current(shop).backups
    try:
        folder, found, not_here = backups.folder_of(shop), backups.listing(shop), ""
    except Refused as why:
        folder, found, not_here = None, (), str(why)
    return page(
        request,
        "exchange/exchange.html",
        status=422 if problems else 200,
        problems=problems,
        wrong=Blank(by_place(problems)),
        kind=kind,
        archives=[pot for pot in stove_of(request).pots(SAYS) if pot.state is State.DONE][:1],
        backups=found,
        folder=folder,
        not_here=not_here,
        every=schedule.every,
        keep=schedule.keep,
        trouble=backups.trouble(shop),
    )


@router.get("/exchange")
def exchange(request: Request) -> HTMLResponse:
    """Show what can come in and go out."""
    return _show(request)


@router.post("/exchange/import")
async def send(request: Request) -> Response:
    """Take a list in, and put it aside to be looked at."""
    from starlette.concurrency import run_in_threadpool

    async with request.form(max_files=1, max_fields=8) as form:
        file, said = form.get("file"), form.get("kind")
        name, content = "", b""
        if isinstance(file, UploadFile):
            name, content = file.filename or "", await file.read()
    kind = said if isinstance(said, str) and said in KINDS else "materials"
    if not content:
        problem = Problem("file", "No file was chosen.", "Choose the list, as CSV or XLSX.")
        return await run_in_threadpool(_show, request, (problem,), kind)
    try:
        table = await run_in_threadpool(read_table, name, content)
    except BadInput as bad:
        problems = tuple(p.at("file") if not p.place else p for p in bad.problems)
        return await run_in_threadpool(_show, request, problems, kind)
    return see(f"/exchange/import/{_trays(request).put(kind, table)}")


def _preview(
    request: Request,
    sent: tuple[str, Table],
    mapping: Mapping | None,
    problems: tuple[Problem, ...] = (),
    typed: dict[str, str] | None = None,
) -> HTMLResponse:
    kind, table = sent
    fields = imports.fields(kind)
    found = None if mapping is None else imports.preview(shop_of(request), kind, table, mapping)
    if typed is None and mapping is not None:
        typed = {key: str(column) for key, column in mapping.columns.items()}
        typed["dates"] = mapping.dates
    wrong = Blank(by_place(problems))
    columns = [(str(i), f"{letter(i)}: {head[:40]}") for i, head in enumerate(table.header)]
    return page(
        request,
        "exchange/import.html",
        status=422 if problems else 200,
        kind=kind,
        table=table,
        fields=fields,
        columns=columns,
        found=found,
        problems=problems,
        wrong=wrong,
        typed=Blank(typed or {}),
        chosen=[f.key for f in fields if (typed or {}).get(f.key) or wrong[f.key]],
    )


@router.get("/exchange/import/{token}")
def look(request: Request, token: str) -> HTMLResponse:
    """Show what a list would write, its columns as they are guessed."""
    sent = _trays(request).table(token)
    return _preview(request, sent, imports.propose(*sent))


@router.post("/exchange/import/{token}")
def look_again(request: Request, token: str, form: Form) -> HTMLResponse:
    """Show what it would write with the columns as chosen."""
    sent = _trays(request).table(token)
    try:
        mapping = imports.typed_mapping(*sent, form.typed())
    except BadInput as bad:
        return _preview(request, sent, None, bad.problems, form.typed())
    return _preview(request, sent, mapping)


@router.post("/exchange/import/{token}/write")
def write(request: Request, shop: Shop, token: str, form: Form) -> Response:
    """Write all of it, or nothing."""
    sent = _trays(request).table(token)
    try:
        mapping = imports.typed_mapping(*sent, form.typed())
        imports.write(shop, *sent, mapping, key=form.key)
    except BadInput as bad:
        return _preview(request, sent, None, bad.problems, form.typed())
    return see("/done")


@router.post("/exchange/export")
def export(request: Request, shop: Shop, form: Form) -> Response:
    """Begin to write everything into one archive; one that is being written is shown instead."""
    stove, trays = stove_of(request), _trays(request)

    def work(pot: Pot) -> archive.Written:
        def told(done: int, rows: int, _what: str) -> None:
            pot.done, pot.steps = done, rows

        return archive.write(shop, trays.archive("workshop.zip"), progress=told, stop=pot.halted)

    pot = next((pot for pot in stove.pots(SAYS) if not pot.settled.is_set()), None)
    if pot is None:
        question = ("archive", form.key or token_urlsafe(12))
        pot = stove.ask(question, work, says=SAYS, warm=False)
    return see(f"/exchange/export/{pot.number}")


def _pot(request: Request, number: int) -> Pot:
    pot = stove_of(request).pot(number)
    if pot is None or pot.says != SAYS:
        raise NotFound("This archive is not kept any more; make it again.")
    return pot


def _waiting(pot: Pot) -> dict[str, Any]:
    return {"done": pot.done, "steps": pot.steps, "warming": False, "query": ""}


@router.get("/exchange/export/{number}")
def exported(request: Request, number: int) -> HTMLResponse:
    """Show how far the archive is, or hand it out."""
    pot = _pot(request, number)
    return page(
        request,
        "exchange/archive.html",
        pot=pot,
        waiting=None if pot.ended.is_set() else _waiting(pot),
        stopped=pot.state is State.STOPPED,
        problem=pot.problem,
        made=pot.found,
    )


@router.get("/exchange/export/{number}/wait")
def wait(request: Request, number: int) -> HTMLResponse:
    """Say how far it is; the page is shown anew when it is done."""
    pot = _pot(request, number)
    answer = page(request, "heat/wait.html", waiting=_waiting(pot))
    if pot.ended.is_set():
        answer.headers["HX-Refresh"] = "true"
    return answer


@router.post("/exchange/export/{number}/stop")
def stop(request: Request, number: int) -> Response:
    """Stop it."""
    _pot(request, number).cancel()
    return see(f"/exchange/export/{number}")


@router.get("/exchange/export/{number}/workshop.zip")
def hand_out(request: Request, shop: Shop, number: int) -> Response:
    """Hand the archive out."""
    pot = _pot(request, number)
    made = pot.found
    if made is None or not made.path.exists():
        raise NotFound("This archive is not kept any more; make it again.")
    name = f"workshop-{shop.today().isoformat()}.zip"
    return FileResponse(made.path, media_type="application/zip", filename=name)


@router.get("/calendar.ics")
def calendar(shop: Shop) -> Response:
    """Hand out cures, due dates and planned pours as a calendar."""
    from rushlight.workshop.exchange.calendar import events

    return Response(
        events(shop),
        media_type="text/calendar; charset=utf-8",
        headers={"content-disposition": 'attachment; filename="workshop.ics"'},
    )


@router.post("/exchange/backup")
def back_up(request: Request, shop: Shop) -> Response:
    """Make a backup now."""
    try:
        backups.now(shop)
    except (Refused, NotFound, WorkshopError) as why:
        return _show(request, (Problem("", str(why), ""),))
    return see("/exchange#backups")
