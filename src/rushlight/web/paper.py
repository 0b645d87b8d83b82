"""The pour sheet of a pour, for paper."""

from __future__ import annotations

from rushlight.press.paper import Paper
from rushlight.press.pour_sheet import render
from rushlight.press.pour_sheet_from import from_batch
from rushlight.workshop import Workshop, pours, settings


def pour_sheet_pdf(shop: Workshop, pour: int, size: str = "") -> bytes:
    """Return the PDF; the size asked for, or that of the settings."""
    view = pours.get(shop, pour)
    now = settings.current(shop)
    paper = Paper(size) if size in set(Paper) else Paper(now.paper)
    data = from_batch(
        view.sheets.batch,
        now.preference,
        created=view.planned_for,
        revision=str(view.revision),
        pour=str(view.id),
    )
    return render(data, paper=paper)
