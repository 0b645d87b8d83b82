"""The counting sheet of a stocktake, for paper."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from rushlight.press.counting_sheet import CountingSheet, Shelf, Sight, ToCount, render
from rushlight.press.paper import Paper
from rushlight.press.pour_sheet import Fact
from rushlight.web.say import Say
from rushlight.workshop import Workshop, settings
from rushlight.workshop.materials import Measure
from rushlight.workshop.stores.views import CountLine, StocktakeView

_HEADS = {
    "wax": "Waxes",
    "fragrance": "Fragrance oils",
    "finish": "Finishes",
    "packaging": "Packaging",
}


def counting_sheet_pdf(
    shop: Workshop,
    view: StocktakeView,
    shelves: Mapping[str, Sequence[CountLine]],
    size: str = "",
) -> bytes:
    """Return the PDF; the size asked for, or that of the settings."""
    now = settings.current(shop)
    paper, say = Paper(size) if size in set(Paper) else Paper(now.paper), Say(now)
    sheet = CountingSheet(
        title=f"Stocktake {view.line.id}",
        created=view.line.opened_at.date(),
        sight=Sight.BLIND if view.line.blind else Sight.OPEN,
        shelves=tuple(
            Shelf(
                _HEADS.get(role, role.removesuffix("s").capitalize() + "s"),
                tuple(_row(line, say) for line in lines),
            )
            for role, lines in shelves.items()
        ),
        meta=(Fact("Begun", say.day(view.line.opened_at)), Fact("Counted by", "")),
    )
    return render(sheet, paper=paper)


def _row(line: CountLine, say: Say) -> ToCount:
    pieces = "jars" if line.role == "jars" else "pieces"
    unit = pieces if line.measure is Measure.PIECES else say.pref.mass
    return ToCount(
        code=line.code,
        name=line.name,
        unit=unit,
        detail=line.supplier_lot,
        expected="" if line.expected is None else say.amount(line.expected),
    )
