"""Everything the candle's sheet shows, from what stands in its form."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from datetime import date
from decimal import Decimal
from typing import Any

from rushlight.errors import BadInput, Problem
from rushlight.web.columns import columns
from rushlight.web.drawing.section import ITEMS, section
from rushlight.web.drawing.strip import strip
from rushlight.web.forms import ROWS, Typed, flatten, nest
from rushlight.web.labelled import brief
from rushlight.web.render import by_place
from rushlight.web.say import Say
from rushlight.web.summaries import summaries
from rushlight.workshop import Workshop, candles, materials, prices, settings
from rushlight.workshop.candles import CandleView, Sheets

_PARTS = {"additives": "colour", "dyes": "colour", "finishes": "finish"}
_MOST_ROWS = 12


class Blank(dict[str, str]):
    """A mapping in which whatever was not typed is empty."""

    def __missing__(self, _key: str) -> str:
        """Return empty text."""
        return ""


@dataclass(frozen=True, slots=True)
class Bench:
    """A candle being worked on: what was typed, its figures, and what is wrong with them."""

    typed: Typed
    view: CandleView | None
    sheets: Sheets | None = None
    cost: Decimal | None = None
    price: Decimal | None = None
    unpriced: int = 0
    problems: tuple[Problem, ...] = field(default=())

    @property
    def status(self) -> int:
        """HTTP status this state of the form deserves."""
        return 422 if self.problems else 200


def work_out(shop: Workshop, typed: Typed, view: CandleView | None) -> Bench:
    """Compute the candle that stands in a form; problems are collected, not raised."""
    try:
        sheets = candles.sheet(shop, typed.document)
    except BadInput as bad:
        return Bench(typed, view, problems=typed.problems(bad.problems))
    quick = prices.quick(shop, sheets, typed.document)
    return Bench(typed, view, sheets, quick.cost, quick.retail, len(quick.missing))


def of_fields(shop: Workshop, fields: Iterable[tuple[str, str]], view: CandleView | None) -> Bench:
    """Compute the candle typed into a form."""
    return work_out(shop, nest(fields), view)


def _rows(flat: dict[str, str], more: str) -> dict[str, int]:
    """How many rows of each table to show: those typed, one to begin with, one more when asked."""
    shown = {}
    for table in ROWS:
        typed = {
            name.removeprefix(table + ".").split(".", 1)[0]
            for name in flat
            if name.startswith(table + ".")
        }
        least = 1 + max((int(i) for i in typed if i.isdecimal()), default=-1)
        shown[table] = min(max(least, 1) + (table == more), _MOST_ROWS)
    return shown


def fragment(shop: Workshop, bench: Bench) -> dict[str, Any]:
    """Return what the live parts of the page need."""
    say = Say(settings.current(shop))
    jar = bench.sheets.jar if bench.sheets else None
    flat = Blank(flatten(bench.typed.document))
    return {
        "typed": flat,
        "view": bench.view,
        "sheets": bench.sheets,
        "cost": bench.cost,
        "price": bench.price,
        "unpriced": bench.unpriced,
        "items": ITEMS,
        "problems": bench.problems,
        "wrong": Blank(by_place(bench.problems)),
        "drawn": section(jar, say.pref) if jar else "",
        "columns": columns(bench.sheets.batch, say.pref) if bench.sheets else None,
        "strip": strip(jar.windows, say.pref) if jar else "",
        "must_say": brief(shop, bench.typed.document, jar) if jar else None,
        "summaries": summaries(jar, say) if jar else {item.key: "" for item in ITEMS},
    }


def whole(
    shop: Workshop, bench: Bench, *, more: str = "", open_part: str = "", day: str = ""
) -> dict[str, Any]:
    """Return what the whole page needs: the live parts, the rows to show, the names."""
    shelf = materials.shelf(shop)
    parts = fragment(shop, bench)
    first = bench.problems[0].place.split(".")[0] if bench.problems else ""
    first = _PARTS.get(first, first)
    rows = _rows(parts["typed"], more)
    more_part = _PARTS.get(more, more.split(".", maxsplit=1)[0])
    return parts | {
        "rows": rows,
        "names": {
            role: tuple(shelf.names(role))
            for role in ("vessel", "wax", "fragrance", "wick", "dye", "additive", "finish")
        },
        "open": open_part or more_part or first or ("" if bench.view else "vessel"),
        "day": day or date.isoformat(shop.today()),
    }
