"""What a candle must say, and the safety data sheets that it rests on."""

from __future__ import annotations

from typing import Any

from fastapi import APIRouter, Request
from starlette.responses import HTMLResponse, Response

from rushlight.errors import BadInput, NotFound, Problem
from rushlight.hazard.cautions import cautions
from rushlight.hazard.classify import classify
from rushlight.hazard.law import Law
from rushlight.hazard.mixture import of_oil
from rushlight.hazard.oil import SafetySheet
from rushlight.web import labelled
from rushlight.web.asked import Fields, LongForm, Shop, Upload, see
from rushlight.web.handed import handed
from rushlight.web.pasted import certificate_of, places_of_form, read_table, standing_of
from rushlight.web.render import by_place, page, shop_of
from rushlight.web.say import Say
from rushlight.web.workbench import Blank
from rushlight.workshop import Workshop, hazards, settings
from rushlight.workshop.attachments import LARGEST

router = APIRouter(include_in_schema=False)
KINDS = {"application/pdf": "PDF", "image/png": "picture", "image/jpeg": "picture"}


@router.get("/candles/{slug}/label")
def label(request: Request, shop: Shop, slug: str) -> HTMLResponse:
    """Show what a candle must say, line by line, and how much load would change it."""
    question = labelled.asked(shop, slug, dict(request.query_params))
    return page(request, "hazard/label.html", **labelled.shown(shop, question))


@router.get("/candles/{slug}/label.svg")
def picture(request: Request, shop: Shop, slug: str) -> Response:
    """Hand out the hazard label as a picture at true size."""
    from rushlight.press.labels import preview

    question = labelled.asked(shop, slug, dict(request.query_params))
    review = hazards.review(shop, question.view.document, question.law, language=question.language)
    made = labelled.picture_of(shop, review, question.view)
    return Response(preview(made), media_type="image/svg+xml")


def _law(shop: Workshop) -> Law:
    """Return the law by which an undiluted oil is judged: workplaces in the US go by GHS."""
    return settings.current(shop).labels.law


def _neat(sheet: SafetySheet | None, law: Law) -> dict[str, Any] | None:
    if sheet is None or not sheet.components:
        return None
    found = classify(of_oil(sheet), law)
    return {
        "hazards": found.findings,
        "words": labelled.neat(found),
        "cautions": cautions(sheet, place="", law=law),
    }


def _sheet(
    request: Request,
    slug: str,
    *,
    typed: dict[str, str] | None = None,
    certificate: dict[str, str] | None = None,
    problems: tuple[Problem, ...] = (),
) -> HTMLResponse:
    """Return the page of a material's sheet, with whichever form was sent last as it was typed."""
    shop = shop_of(request)
    view = hazards.sheet(shop, slug)
    fields = Blank(view.typed if typed is None else typed)
    read = hazards.preview(fields["rows"]) if fields["rows"].strip() else None
    said = problems or view.problems
    return page(
        request,
        "hazard/sheet.html",
        status=422 if problems else 200,
        sheet=view,
        typed=fields,
        cert=Blank(
            standing_of(certificate or view.certificate_typed, view.certificate.standing.value)
        ),
        problems=tuple(p for p in said if not p.place.startswith("rows")),
        wrong=Blank(by_place(said)),
        table=read_table(read, Say(settings.current(shop))) if read else None,
        listed=sum(part.high for part in read.components) if read else 0.0,
        neat=_neat(view.sheet, _law(shop)) if typed is None else None,
        kinds=KINDS,
        most_mb=LARGEST // 1_000_000,
    )


@router.get("/stores/{slug}/sheet")
def sheet(request: Request, slug: str) -> HTMLResponse:
    """Show a material's safety data sheet, its certificate and its files."""
    return _sheet(request, slug)


def _fields(form: Fields) -> dict[str, str]:
    """Return the fields of a sheet; the rows keep their own spaces and tabs."""
    raw = {name: value for name, value in form.pairs if name in hazards.SHEET_FIELDS}
    return {k: v if k == "rows" else v.strip() for k, v in raw.items()}


@router.post("/stores/{slug}/sheet")
def save(request: Request, shop: Shop, slug: str, form: LongForm) -> Response:
    """Keep a safety data sheet."""
    typed = _fields(form)
    kept = {
        key: value for key, value in hazards.sheet(shop, slug).typed.items() if key not in typed
    }
    try:
        if not any(value.strip() for value in typed.values()):
            hazards.clear_sheet(shop, slug, key=form.key)
        else:
            hazards.save_sheet(shop, slug, kept | typed, key=form.key)
    except BadInput as bad:
        return _sheet(request, slug, typed=typed, problems=bad.problems)
    return see(f"/stores/{slug}/sheet")


@router.post("/stores/{slug}/sheet/look")
def look(request: Request, slug: str, form: LongForm) -> HTMLResponse:
    """Show what can be read of the rows, for a browser without scripts; nothing is kept."""
    return _sheet(request, slug, typed=_fields(form))


@router.post("/sheet/read")
def read(request: Request, shop: Shop, form: LongForm) -> HTMLResponse:
    """Show what can be read of the rows while they are typed; nothing is kept."""
    rows = _fields(form).get("rows", "")
    found = hazards.preview(rows) if rows.strip() else None
    return page(
        request,
        "hazard/read.html",
        table=read_table(found, Say(settings.current(shop))) if found else None,
        listed=sum(part.high for part in found.components) if found else 0.0,
    )


@router.post("/stores/{slug}/certificate")
def certificate(request: Request, shop: Shop, slug: str, form: LongForm) -> Response:
    """Keep a certificate of use limits."""
    typed = {name: value for name, value in form.typed().items() if name != "key"}
    try:
        fields = certificate_of(typed)
        if any(fields.values()):
            hazards.save_certificate(shop, slug, fields, key=form.key)
        else:
            hazards.clear_certificate(shop, slug, key=form.key)
    except BadInput as bad:
        wrong = places_of_form(bad.problems, "certificate")
        return _sheet(request, slug, certificate=typed, problems=wrong)
    return see(f"/stores/{slug}/sheet#certificate")


@router.post("/stores/{slug}/file")
def attach(request: Request, shop: Shop, slug: str, sent: Upload) -> Response:
    """Keep a file with a material."""
    try:
        hazards.attach(shop, slug, sent.name, sent.content, key=sent.key)
    except BadInput as bad:
        wrong = places_of_form(bad.problems, "attachment")
        return _sheet(request, slug, problems=wrong)
    return see(f"/stores/{slug}/sheet#files")


def _of(shop: Workshop, slug: str, number: int) -> None:
    """Refuse a file that is not of this material."""
    if number not in {line.id for line in hazards.sheet(shop, slug).attachments}:
        raise NotFound(f"There is no attached file {number} here.")


@router.get("/stores/{slug}/file/{number}")
def hand_out(shop: Shop, slug: str, number: int) -> Response:
    """Hand out a file, for download only, as what its first bytes say it is."""
    _of(shop, slug, number)
    return handed(hazards.attachment(shop, number))


@router.post("/stores/{slug}/file/{number}/drop")
def detach(shop: Shop, slug: str, number: int, form: LongForm) -> Response:
    """Take a file away; it can be undone."""
    _of(shop, slug, number)
    hazards.detach(shop, number, key=form.key)
    return see(f"/stores/{slug}/sheet#files")
