"""Net weight: what a label may declare, whether a lot of jars holds it, where to aim."""

from __future__ import annotations

from typing import Any

from fastapi import APIRouter, Request
from starlette.responses import HTMLResponse, Response

from rushlight.errors import BadInput, Problem
from rushlight.hazard.netcontents.lot import read_label
from rushlight.web import weighed
from rushlight.web.asked import Fields, LongForm, Shop, see
from rushlight.web.declared import Declared, declared, front_of, read_front
from rushlight.web.render import by_place, page
from rushlight.web.say import Say
from rushlight.web.workbench import Blank
from rushlight.workshop import Workshop, candles, netweights, pours, settings
from rushlight.workshop.netweights import LotView, Test

router = APIRouter(include_in_schema=False)
FIELDS = (
    *("candle", "pour", "label", "weights", "tare", "jars", "opened", "note"),
    *("rules", "diameter", "height"),
)
RULES = {"eu": (Test.DIRECTIVE,), "us": (Test.CATEGORY_A,), "both": tuple(Test)}
MOST_PROBLEMS = 12  # said one by one; the rest are counted


def _tests(shop: Workshop, typed: Blank) -> tuple[Test, ...]:
    return RULES.get(typed["rules"], netweights.tests_asked(shop))


def _begun(shop: Workshop, slug: str, pour: str) -> Blank:
    """Return the form of a candle: its own figures where it has some."""
    typed = Blank(
        {"candle": slug, "pour": pour, "rules": settings.current(shop).labels.net_quantity}
    )
    if not slug:
        return typed
    pref = settings.current(shop).preference
    say = Say(settings.current(shop))
    jar = candles.sheet(shop, candles.get(shop, slug).document).jar
    may = declared(jar.fill_mass, RULES["us" if pref.mass == "oz" else "eu"], None)
    typed["label"] = may.dual.text.removeprefix("Net Wt ") if may.dual else may.metric.rstrip(" ℮")
    front = front_of(jar.candle.vessel)
    if front:
        typed |= {"diameter": say.length(front.diameter), "height": say.length(front.height)}
    if pour.isascii() and pour.isdecimal() and len(pour) < 10:  # noqa: PLR2004 - 32 bits
        view = pours.get(shop, int(pour))
        typed["jars"] = str(view.good or view.sheets.batch.jars_poured)
    return typed


def _may(shop: Workshop, typed: Blank) -> tuple[Declared | None, tuple[Problem, ...]]:
    """Return what may be declared of the quantity typed, or what is wrong with it."""
    try:
        front = read_front(typed["diameter"], typed["height"])
    except BadInput as bad:
        return None, bad.problems
    if not typed["label"]:
        return None, ()
    try:
        net = read_label(typed["label"])
    except BadInput:
        return None, ()  # said by the verdict too
    area = front.area if front else None
    return declared(net, _tests(shop, typed), area, text=typed["label"]), ()


def _said(problems: tuple[Problem, ...]) -> tuple[Problem, ...]:
    """Return problems as the form says them: those of single weights at the one field."""
    found: list[Problem] = []
    for problem in problems:
        table, _, at = problem.place.partition(".")
        if table == "weights" and at.isdecimal():
            what = f"Weight {int(at) + 1}: {problem.what}"
            found.append(Problem("weights", what, problem.remedy))
        else:
            found.append(problem)
    singles = [problem for problem in found if problem.place == "weights"]
    if len(singles) > MOST_PROBLEMS:
        rest = len(singles) - MOST_PROBLEMS
        kept = [p for p in found if p.place != "weights"] + singles[:MOST_PROBLEMS]
        found = [
            *kept,
            Problem("weights", f"{rest} more weights cannot be read.", "Check the column."),
        ]
    return tuple(found)


def _show(
    request: Request,
    shop: Workshop,
    typed: Blank,
    problems: tuple[Problem, ...] = (),
    **more: Any,
) -> HTMLResponse:
    may, wrong = _may(shop, typed)
    said = _said((*problems, *wrong))
    return page(
        request,
        "netweight/weigh.html",
        status=422 if said else 200,
        typed=typed,
        problems=said,
        wrong=Blank(by_place(said)),
        candles=[(line.slug, line.name) for line in candles.listing(shop)],
        may=may,
        lots=netweights.lots(shop, typed["candle"] or None)[:20],
        **({"found": None} | more),
    )


@router.get("/netweight")
def form(request: Request, shop: Shop, candle: str = "", pour: str = "") -> HTMLResponse:
    """Show the form, filled with what is known of a candle."""
    return _show(request, shop, _begun(shop, candle[:80], pour))


def _typed(form: Fields) -> Blank:
    return Blank({name: form.get(name) for name in FIELDS})


@router.post("/netweight")
def judge(request: Request, shop: Shop, form: LongForm) -> HTMLResponse:
    """Say what the tests say of the weights; nothing is kept."""
    typed = _typed(form)
    if not typed["weights"] and typed["label"]:
        try:
            read_label(typed["label"])
        except BadInput as bad:
            return _show(request, shop, typed, bad.at("label").problems)
        return _show(request, shop, typed)
    try:
        found = netweights.verdict(
            shop,
            typed["weights"],
            typed["label"],
            tare=typed["tare"],
            jars=typed["jars"],
            opened=typed["opened"] or "no",
            tests=_tests(shop, typed),
        )
    except BadInput as bad:
        return _show(request, shop, typed, bad.problems)
    return _show(request, shop, typed, **_result(shop, found))


def _result(shop: Workshop, found: netweights.LotVerdict) -> dict[str, Any]:
    return weighed.shown(found, settings.current(shop).preference.decimal)


@router.post("/netweight/keep")
def keep(request: Request, shop: Shop, form: LongForm) -> Response:
    """Keep the weights with their candle; the record never changes."""
    typed = _typed(form)
    try:
        if not typed["candle"]:
            raise BadInput.one("No candle is chosen.", "Choose whose jars these are.", "candle")
        pour = typed["pour"]
        known = pour.isascii() and pour.isdecimal() and len(pour) < 10  # noqa: PLR2004 - 32 bits
        saved = netweights.save_lot(
            shop,
            typed["candle"],
            int(pour) if known else None,
            typed["weights"],
            typed["label"],
            tare=typed["tare"],
            jars=typed["jars"],
            opened=typed["opened"] or "no",
            note=typed["note"],
            key=form.key,
        )
    except BadInput as bad:
        return _show(request, shop, typed, bad.problems)
    return see(f"/netweight/{saved.id}")


@router.get("/netweight/{number}")
def kept(request: Request, shop: Shop, number: int) -> HTMLResponse:
    """Show the weights of a lot as they were kept."""
    view: LotView = netweights.get(shop, number)
    return page(request, "netweight/lot.html", view=view, **_result(shop, view.verdict))
