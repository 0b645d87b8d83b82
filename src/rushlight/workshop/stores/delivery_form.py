"""Reading a delivery as it was typed: its papers, and a lot a line; every problem at once."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from typing import TYPE_CHECKING, Any, Final

from rushlight.errors import BadInput
from rushlight.quantity import parse
from rushlight.quantity.preference import Preference
from rushlight.workshop.material_views import Amount, Measure, amount_reader
from rushlight.workshop.stores.amounts import MOST_MONEY, MOST_UNITS, like, money_reader
from rushlight.workshop.stores.ledger import MONEY
from rushlight.workshop.typed import LONGEST_NOTE, Typed, day, within

if TYPE_CHECKING:
    from sqlalchemy import Connection, RowMapping

HEAD: Final = (
    *("supplier", "day", "reference", "note"),
    *("freight", "freight_by", "duty", "duty_by"),
)
LINE: Final = ("material", "packs", "pack", "price", "supplier_lot", "expires", "date_kind")
MOST_LINES: Final = 100
_FIELD: Final = re.compile(rf"lines\.(0|[1-9]\d{{0,3}})\.({'|'.join(LINE)})", re.ASCII)
_SPREADS: Final = ("value", "mass")
_KINDS: Final = ("expiry", "retest")


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """A line as read. place: where it was typed ("lines.3"). price: of a pack [1/10 000].

    price is None where it was left empty: the cost of the lot is then not known.
    """

    place: str
    material: RowMapping
    packs: int
    pack: int
    pack_typed: str
    price: int | None
    supplier_lot: str
    expires: date | None
    date_kind: str

    @property
    def measure(self) -> Measure:
        """How the material is counted."""
        return Measure(self.material["measure"])

    @property
    def units(self) -> int:
        """What the line brings, in milligrams or pieces."""
        return self.packs * self.pack

    @property
    def goods(self) -> int:
        """What the line cost before freight and duty [1/10 000]."""
        return self.packs * (self.price or 0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Papers:
    """A delivery as read; charges in 1/10 000 of the currency."""

    supplier: str
    day: date
    reference: str
    note: str
    freight: int
    duty: int
    freight_by: str
    duty_by: str
    lines: tuple[Line, ...]


def read(
    connection: Connection,
    typed: Mapping[str, Any],
    pref: Preference,
    today: date,
    *,
    supplier_needed: bool = True,
) -> Papers:
    """Return a delivery as read; BadInput with every problem of every line."""
    numbers = sorted({int(m[1]) for key in typed if (m := _FIELD.fullmatch(str(key)))})
    form = Typed(typed, {*HEAD, *(f"lines.{n}.{field}" for n in numbers for field in LINE)})
    money = money_reader(pref.currency)
    on = form.read("day", day, default=today.isoformat())
    if on is not None and on > today:
        form.problems.add("day", "This day is still to come.", "Type the day it arrived.")
    if supplier_needed:
        form.needed("supplier", "The supplier is missing.", "Type who sent it.")
    charges = {name: form.read(name, money) or 0 for name in ("freight", "duty")}
    spread = {name: form.choice(name, _SPREADS, "value") for name in ("freight_by", "duty_by")}
    filled = [n for n in numbers if any(form.text(f"lines.{n}.{f}") for f in LINE[:-1])]
    names = _Names(connection, [form.text(f"lines.{n}.material") for n in filled[:MOST_LINES]])
    lines = _lines(form, filled, names, on or today, money)
    _check_spread(form, names.counted, charges, spread)
    if any(charges.values()):
        _check_prices(form, filled[:MOST_LINES])
    papers = Papers(
        supplier=" ".join(form.text("supplier").split()),
        day=on or today,
        reference=" ".join(form.text("reference").split()),
        note=form.text("note", longest=LONGEST_NOTE),
        freight=charges["freight"],
        duty=charges["duty"],
        freight_by=spread["freight_by"],
        duty_by=spread["duty_by"],
        lines=tuple(lines),
    )
    form.problems.check()
    return papers


def _lines(
    form: Typed, numbers: Sequence[int], names: _Names, on: date, money: Callable[[str], int]
) -> list[Line]:
    """Return the lines that could be read; numbers: of the rows that are not empty."""
    if not numbers and not form.problems.found:
        form.problems.add("lines", "Nothing was delivered.", "Fill in a line at least.")
    if len(numbers) > MOST_LINES:
        form.problems.add(
            "lines", f"These are {len(numbers)} lines.", f"Enter at most {MOST_LINES} at once."
        )
        return []
    found = [_line(form, f"lines.{n}", names, on, money) for n in numbers]
    return [line for line in found if line is not None]


def _line(
    form: Typed, place: str, names: _Names, on: date, money: Callable[[str], int]
) -> Line | None:
    def at(field: str) -> str:
        return f"{place}.{field}"

    form.needed(at("material"), "The material is missing.", "Type its name.")
    material = form.read(at("material"), names.find)
    measure = None if material is None else Measure(material["measure"])
    form.needed(at("packs"), "The number of packs is missing.", "Type how many came, like 2.")
    packs = form.read(
        at("packs"), within(parse.count, 1, 1_000_000, "from 1 to 1,000,000"), default=""
    )
    example = "24" if measure is Measure.PIECES else "10 kg"
    form.needed(at("pack"), "The size of a pack is missing.", f"Type it, like {example}.")
    pack = form.read(at("pack"), _pack_reader(measure))
    if pack is not None and pack.units == 0:
        form.problems.add(at("pack"), "A pack holds something.", f"Type it, like {example}.")
    price = form.read(at("price"), money)
    expires = form.read(at("expires"), day)
    if expires is not None and expires < on:
        form.problems.add(
            at("expires"),
            f"It was past this date when it came, on {on.isoformat()}.",
            "Check the date on the pack; if it is right, send the goods back.",
        )
    kind = form.choice(at("date_kind"), _KINDS, "expiry")
    supplier_lot = " ".join(form.text(at("supplier_lot")).split())
    if material is None or measure is None or not packs or pack is None or pack.units == 0:
        return None
    if packs * pack.units > MOST_UNITS[measure]:
        form.problems.add(at("packs"), "This is more than any workshop holds.", like(measure))
    if packs * (price or 0) > MOST_MONEY * MONEY:
        form.problems.add(at("price"), "This is more than any workshop pays.", "Check the price.")
    return Line(
        place=place,
        material=material,
        packs=packs,
        pack=pack.units,
        pack_typed=" ".join(form.text(at("pack")).split()),
        price=price,
        supplier_lot=supplier_lot,
        expires=expires,
        date_kind=kind if expires is not None else "",
    )


def _check_spread(
    form: Typed, counted: Sequence[str], charges: Mapping[str, int], spread: Mapping[str, str]
) -> None:
    """Note a charge that is to follow mass where something comes by the piece."""
    for name, charge in charges.items():
        if charge > 0 and counted and spread[f"{name}_by"] == "mass":
            form.problems.add(
                f"{name}_by",
                f"The {name} cannot follow mass: {counted[0]} comes by the piece, "
                "and what a piece weighs is not known.",
                "Spread it by value.",
            )


def _check_prices(form: Typed, numbers: Sequence[int]) -> None:
    """Note the lines without a price, where freight or duty is to be spread over all."""
    for n in numbers:
        if not form.text(f"lines.{n}.price"):
            form.problems.add(
                f"lines.{n}.price",
                "The price of a pack is missing, and freight or duty is to be spread.",
                "Type it, like 48.50; 0 for a free sample.",
            )


def _pack_reader(measure: Measure | None) -> Callable[[str], Amount]:
    """Return the parser of a pack; where the material is not known, either kind will do."""
    if measure is not None:
        return amount_reader(measure)

    def either(text: str) -> Amount:
        try:
            return amount_reader(Measure.PIECES)(text)
        except BadInput:
            return amount_reader(Measure.MASS)(text)

    return either


class _Names:
    """Finds materials by what was typed for them: the short name, or the name."""

    def __init__(self, connection: Connection, texts: Sequence[str]) -> None:
        """Look all of them up at once."""
        from rushlight.store.marks import plain
        from rushlight.store.queries.stock import called

        self.plain = plain
        self.rows = called(connection, texts)

    @property
    def counted(self) -> list[str]:
        """The names of those that come by the piece."""
        return [row["name"] for row in self.rows if row["measure"] == Measure.PIECES]

    def find(self, text: str) -> RowMapping:
        """Return the material of a text; BadInput when there is none, or more than one."""
        wanted = self.plain(text)
        exact = [row for row in self.rows if row["slug"] == wanted]
        found = exact or [row for row in self.rows if row["plain"] == wanted]
        if len(found) == 1:
            return found[0]
        if not found:
            raise BadInput.one(
                f"There is no material “{text[:60]}” in this workshop.",
                "Type its name as it stands in Stores, or add it there first.",
            )
        names = " or ".join(f"{row['slug']} ({row['role']})" for row in found)
        raise BadInput.one(f"There is more than one “{text[:60]}”.", f"Type {names}.")
