"""Reading the wick and what is put on the outside."""

from __future__ import annotations

from typing import Any

from rushlight.candle.document_range import parse_range, spread
from rushlight.candle.document_section import Section, section
from rushlight.candle.document_table import as_text, rows
from rushlight.candle.facts import Shelf
from rushlight.candle.parts import Finish, Wick
from rushlight.errors import BadInput, Problems
from rushlight.quantity.si import Kilogram, Metre

WICK_KEYS = ("use", "kind", "name", "count", "trim", "allowance", "core", "suits", "burn_rate")
FINISH_KEYS = ("use", "kind", "name", "amount", "pieces", "combustible", "sheds", "rim_gap")
QUARTER_INCH = Metre(0.00635)
"""1/4 in [m]: the length a wick is trimmed to before each burn (common practice)."""


def read_wick(raw: Any, shelf: Shelf, problems: Problems) -> Wick | None:
    """Return the wick; None where none is chosen."""
    here = section(raw, place="wick", field="wick", role="wick", shelf=shelf, problems=problems)
    here.only(WICK_KEYS)
    if not here.layers[0]:
        here.note("use", "No wick is chosen.", 'Type, for example, use = "cotton flat".')
        return None
    count, trim = here.number("count"), here.number("trim")
    suits, burns = spread(here, "suits"), here.fact("burn_rate")
    return Wick(
        name=here.name or "wick",
        kind=here.text("kind") or here.text("use"),
        count=1 if count is None else int(count),
        trim=QUARTER_INCH if trim is None else Metre(trim),
        core=here.text("core", "none"),
        cut_allowance=Metre(here.number("allowance") or 0.0),
        suits=None if suits is None else (Metre(suits.low), Metre(suits.high)),
        burn_rate=None if burns is None else _burns(here, burns.value),
        burn_rate_origin="" if burns is None else burns.origin,
    )


def _burns(here: Section, said: Any) -> tuple[float, float] | None:
    """Return the rate a wick burns at, low and high [kg/s]: what is said on top counts alone."""
    try:
        return parse_range("wick.burn_rate", as_text(said))
    except BadInput as bad:
        here.problems.extend(bad.at(here.at("burn_rate")).problems)
        return None


def read_finishes(raw: Any, shelf: Shelf, problems: Problems) -> tuple[Finish, ...]:
    """Return the finishes: each by mass or by pieces, for one jar."""
    found = []
    for at, row in rows(raw, "finishes", problems):
        here = section(
            row, place=at, field="finishes", role="finish", shelf=shelf, problems=problems
        )
        here.only(FINISH_KEYS)
        mass, pieces, gap = (here.number(key) for key in ("amount", "pieces", "rim_gap"))
        if mass is None and not pieces:
            here.note(
                "amount",
                "Nothing says how much of this a jar takes.",
                'Give amount ("4 g") or pieces ("1").',
            )
        found.append(
            Finish(
                name=here.name or "finish",
                mass=None if mass is None else Kilogram(mass),
                pieces=int(pieces or 0),
                combustible=here.flag("combustible"),
                sheds=here.flag("sheds"),
                rim_gap=None if gap is None else Metre(gap),
            )
        )
    return tuple(found)
