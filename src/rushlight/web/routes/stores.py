"""Stores: what is on the shelves, its facts, its prices."""

from __future__ import annotations

from fastapi import APIRouter, Request
from starlette.responses import HTMLResponse, Response

from rushlight.errors import BadInput, Problem
from rushlight.web.asked import Fields, Form, Shop, see
from rushlight.web.facts import fact_fields
from rushlight.web.price_past import price_past
from rushlight.web.render import by_place, page, shop_of
from rushlight.web.workbench import Blank
from rushlight.workshop import Workshop, materials
from rushlight.workshop.exchange import backups
from rushlight.workshop.stores import lots
from rushlight.workshop.stores.shelves import shelves as at_a_glance

router = APIRouter(include_in_schema=False)
_LOTS = 50  # lots of a material shown with it


@router.get("/stores")
def listing(request: Request, shop: Shop) -> HTMLResponse:
    """Show the stores at a glance, and every material by role."""
    return page(
        request,
        "stores/list.html",
        shelves=at_a_glance(shop),
        trouble=backups.trouble(shop),
        materials=materials.listing(shop),
        roles=materials.ROLES,
    )


def _show(
    request: Request,
    at: tuple[str, str],
    typed: dict[str, str] | None = None,
    problems: tuple[Problem, ...] = (),
) -> HTMLResponse:
    """Return the page of a material: its slug ("new" for none yet) and its role."""
    shop = shop_of(request)
    slug, role = at
    view = None if slug == "new" else materials.get(shop, slug)
    shown = Blank(typed or {})
    if view and typed is None:
        shown |= {"name": view.name, "note": view.note, "kind": view.kind, "low_at": view.low_at}
        for fact in view.facts:
            shown[f"facts.{fact.key}"] = (
                fact.value
                if isinstance(fact.value, str)
                else "\n".join(", ".join(pair) for pair in fact.value)
            )
            shown[f"origin.{fact.key}"] = fact.origin
    role = view.role if view else role
    return page(
        request,
        "stores/material.html",
        status=422 if problems else 200,
        view=view,
        role=role,
        roles=materials.ROLES,
        typed=shown,
        problems=problems,
        form_first=any(not p.place.startswith(("move.", "price.")) for p in problems),
        wrong=Blank(by_place(problems)),
        facts=fact_fields(role),
        kinds=materials.kinds(role),
        suppliers=materials.suppliers(shop),
        day=shop.today().isoformat(),
        today=shop.today(),
        lots=lots.listing(shop, view.slug, limit=_LOTS) if view else (),
        past=price_past(shop, view.slug) if view else None,
    )


@router.get("/stores/{slug}")
def material(request: Request, slug: str, role: str = "wax") -> HTMLResponse:
    """Show one material, or a form for a new one."""
    return _show(request, (slug, role if role in materials.ROLES else "wax"))


def _typed_material(form: Fields) -> dict[str, object]:
    origins = form.under("origin")
    facts: dict[str, object] = {}
    for name, value in form.pairs:
        if name.startswith("facts."):
            key = name.removeprefix("facts.")
            text = value.strip()
            said: object = text
            if key == "profile" and text:
                said = [
                    [p.strip() for p in row.split(",", 1)]
                    for row in text.splitlines()
                    if row.strip()
                ]
            facts[key] = (
                {"value": said, "origin": origins.get(key, ""), "source": ""} if text else ""
            )
    plain = {k: form.get(k) for k in ("role", "name", "note", "kind", "low_at")}
    return plain | {"facts": facts}


@router.post("/stores/{slug}")
def save(request: Request, shop: Shop, slug: str, form: Form) -> Response:
    """Keep a material's name and facts."""
    try:
        saved = materials.save(
            shop, None if slug == "new" else slug, _typed_material(form), key=form.key
        )
    except BadInput as bad:
        return _show(request, (slug, form.get("role")), form.typed(), bad.problems)
    return see(f"/stores/{saved.slug}")


_MOVES = {"receive": materials.receive, "count": materials.count, "scrap": materials.scrap}


@router.post("/stores/{slug}/price")
def price(request: Request, shop: Shop, slug: str, form: Form) -> Response:
    """Note a pack price."""
    try:
        materials.save_price(shop, slug, form.typed(), key=form.key)
    except BadInput as bad:
        return _again(request, shop, slug, form, bad)
    return see(f"/stores/{slug}#prices")


@router.post("/stores/{slug}/price/{number}/drop")
def drop_price(shop: Shop, slug: str, number: int, form: Form) -> Response:
    """Take a pack price out of use."""
    materials.drop_price(shop, slug, number, key=form.key)
    return see(f"/stores/{slug}#prices")


@router.post("/stores/{slug}/move")
def move(request: Request, shop: Shop, slug: str, form: Form) -> Response:
    """Book what came, was counted or was thrown away."""
    verb = _MOVES.get(form.get("move"))
    try:
        if verb is None:
            raise BadInput.one("What happened was not said.", "Choose one of the three.", "move")
        verb(shop, slug, {k: form.get(k) for k in ("amount", "note")}, key=form.key)
    except BadInput as bad:
        return _again(request, shop, slug, form, bad)
    return see(f"/stores/{slug}#moves")


def _again(
    request: Request, shop: Workshop, slug: str, form: Fields, bad: BadInput
) -> HTMLResponse:
    """Show the material again with what was typed in one of its smaller forms."""
    view = materials.get(shop, slug)
    kept = {"name": view.name, "note": view.note, "kind": view.kind, "low_at": view.low_at}
    for fact in view.facts:
        kept[f"facts.{fact.key}"] = fact.value if isinstance(fact.value, str) else ""
    table = "price" if form.get("pack") or form.get("price") else "move"
    small = {f"{table}.{k}": v for k, v in form.typed().items()}
    problems = tuple(p.at(f"{table}.{p.place}") for p in bad.problems)
    return _show(request, (slug, view.role), kept | small, problems)
