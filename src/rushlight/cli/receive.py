"""`rushlight receive`: what was delivered becomes lots, each with what it cost to have it here."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal

from rushlight.cli import receive_line
from rushlight.cli.places import option, placed
from rushlight.cli.say import say_json
from rushlight.cli.stores_json import Json, amount, money, unit_cost, when
from rushlight.cli.workshop import opened
from rushlight.errors import BadInput, Problems
from rushlight.workshop import settings
from rushlight.workshop.shop import Workshop
from rushlight.workshop.stores import receiving
from rushlight.workshop.stores.receiving import LandedLine
from rushlight.workshop.stores.views import DeliveryView


@dataclass(frozen=True, slots=True, kw_only=True)
class Wanted:
    """What was typed: the lines, and the papers by field."""

    workshop: str
    lines: tuple[str, ...]
    typed: Mapping[str, str]
    only_look: bool


def run_receive(wanted: Wanted, *, as_json: bool) -> None:
    """Enter the delivery, or say what it would cost, and write its lots."""
    with opened(wanted.workshop) as shop:
        with placed(_place):
            typed, lines = _looked(shop, wanted)
            made = None if wanted.only_look else receiving.receive(shop, typed)
        pref = settings.current(shop).preference
    if as_json:
        say_json(shaped(lines, made, typed, pref.currency))
        return
    from rushlight.cli.receive_table import show_delivery

    show_delivery(lines, made, pref)


def shaped(
    lines: tuple[LandedLine, ...],
    made: DeliveryView | None,
    typed: Mapping[str, str],
    currency: str,
) -> Json:
    """Return a delivery as JSON; lot: null while nothing is booked."""
    charges = {
        name: sum((getattr(line, name) for line in lines), Decimal(0))
        for name in ("freight", "duty")
    }
    known = [line.landed for line in lines if line.landed is not None]
    codes = [lot.code for lot in made.lots] if made else [None] * len(lines)
    return {
        "booked": made is not None,
        "delivery": made.line.id if made else None,
        "day": when(made.line.day) if made else None,
        "supplier": made.line.supplier if made else typed.get("supplier") or None,
        "reference": made.line.reference if made else typed.get("reference") or "",
        "currency": currency,
        "freight": money(charges["freight"]),
        "duty": money(charges["duty"]),
        "landed_cost": money(sum(known, Decimal(0))) if len(known) == len(lines) else None,
        "lines": [_line(line, code, typed) for line, code in zip(lines, codes, strict=True)],
    }


def _line(line: LandedLine, code: str | None, typed: Mapping[str, str]) -> Json:
    return {
        "lot": code,
        "material": line.material,
        "name": line.name,
        **amount("came", line.amount),
        "supplier_lot": typed.get(f"{line.place}.supplier_lot", ""),
        "expires_on": typed.get(f"{line.place}.expires"),
        "date_kind": typed.get(f"{line.place}.date_kind", ""),
        "goods_cost": money(line.goods),
        "freight_cost": money(line.freight),
        "duty_cost": money(line.duty),
        "landed_cost": money(line.landed),
        **unit_cost(line.amount.measure, line.unit_cost),
    }


def _looked(shop: Workshop, wanted: Wanted) -> tuple[dict[str, str], tuple[LandedLine, ...]]:
    """Return the delivery as a form has it, and what it will cost; BadInput with every problem."""
    problems = Problems()
    typed = dict(wanted.typed)
    for number, text in enumerate(wanted.lines):
        try:
            line = receive_line.read(text)
        except BadInput as bad:
            problems.extend(bad.at(f"lines.{number}").problems)
        else:
            typed |= {f"lines.{number}.{field}": said for field, said in line.items()}
    if not (wanted.only_look or typed.get("supplier", "").strip()):
        problems.add("supplier", "The supplier is missing.", "Type who sent it.")
    lines: tuple[LandedLine, ...] = ()
    try:
        lines = receiving.preview(shop, typed)
    except BadInput as bad:
        # where no line could be read, that nothing was delivered is no news
        problems.extend(p for p in bad.problems if p.place != "lines" or not problems.found)
    problems.check()
    return typed, lines


def _place(place: str) -> str:
    """Return where a problem is: “lines.2.price” is in --line 3."""
    head, _, rest = place.partition(".")
    number, _, field = rest.partition(".")
    if head != "lines":
        return option(place)
    if not number.isdigit():
        return "--line"
    where = f"--line {int(number) + 1}"
    return f"{where}, {field.replace('_', ' ')}" if field else where
