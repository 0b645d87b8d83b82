"""Settings of the workshop."""

from __future__ import annotations

from fastapi import APIRouter, Request
from starlette.responses import HTMLResponse, Response

from rushlight.errors import BadInput, Problem
from rushlight.web.asked import Form, Shop, see
from rushlight.web.render import by_place, page
from rushlight.web.workbench import Blank
from rushlight.workshop import Workshop, settings

router = APIRouter(include_in_schema=False)


def _show(
    request: Request,
    shop: Workshop,
    typed: dict[str, str] | None = None,
    problems: tuple[Problem, ...] = (),
) -> HTMLResponse:
    shown = dict(settings.current(shop).typed) | (typed or {})
    return page(
        request,
        "settings.html",
        status=422 if problems else 200,
        groups=_groups(shown),
        typed=Blank(shown),
        problems=problems,
        wrong=Blank(by_place(problems)),
        place=shop.place,
    )


def _groups(shown: dict[str, str]) -> dict[str, list[settings.Field]]:
    """Return the fields by group; of numbered rows those in use and one to spare."""
    groups: dict[str, list[settings.Field]] = {}
    for field in settings.fields():
        table, *rest = field.key.split(".")
        first = {"labour": "step", "packaging": "use"}.get(table, "")
        if rest and int(rest[0]) and not shown.get(f"{table}.{int(rest[0]) - 1}.{first}"):
            continue
        groups.setdefault(field.group, []).append(field)
    return groups


@router.get("/settings")
def form(request: Request, shop: Shop) -> HTMLResponse:
    """Show every setting."""
    return _show(request, shop)


@router.post("/settings")
def change(request: Request, shop: Shop, form: Form) -> Response:
    """Keep the settings."""
    try:
        settings.change(shop, form.typed(), key=form.key)
    except BadInput as bad:
        return _show(request, shop, form.typed(), bad.problems)
    return see("/settings")
