"""Weighed jars: what the label may say, whether a lot holds it, and where to aim."""

from __future__ import annotations

import json
from collections.abc import Collection
from dataclasses import dataclass
from functools import lru_cache
from typing import TYPE_CHECKING, Final

from rushlight.errors import NotFound, Problems
from rushlight.hazard.netcontents.directive import Directive
from rushlight.hazard.netcontents.lot import MOST_LOTS, LotVerdict, judge, pooled, read_label
from rushlight.hazard.netcontents.plan import BelowT1
from rushlight.hazard.netcontents.target import Aim, Test, aim
from rushlight.hazard.netcontents.weights import Weights
from rushlight.quantity import parse
from rushlight.quantity.si import Fraction1, Kilogram
from rushlight.workshop.netweight_form import FIELDS, count_of, read_lot
from rushlight.workshop.netweight_views import LotView
from rushlight.workshop.shop import Workshop
from rushlight.workshop.typed import LONGEST_NOTE, Typed, within

if TYPE_CHECKING:
    from sqlalchemy import Connection, RowMapping

__all__ = [
    "Aim",
    "BelowT1",
    "Directive",
    "LotVerdict",
    "LotView",
    "Test",
    "aims",
    "get",
    "lots",
    "save_lot",
    "tests_asked",
    "verdict",
]

_MILLIGRAMS: Final = 1_000_000
_ALL: Final = tuple(Test)


def lots(shop: Workshop, candle: str | None = None) -> tuple[LotView, ...]:
    """Return the weighed lots, newest first, of one candle (slug) or of all."""
    from rushlight.store.queries import lots as query
    from rushlight.workshop.candles import existing

    with shop.store.reading() as connection:
        owner = None if candle is None else existing(connection, candle)["id"]
        rows = query.lots(connection, owner)
        asked = _asked(connection)
    return tuple(_view(shop, row, asked) for row in rows)


def get(shop: Workshop, number: int) -> LotView:
    """Return one lot; NotFound."""
    from rushlight.store.queries.lots import lot_row

    with shop.store.reading() as connection:
        row = lot_row(connection, number) if 0 < number < 2**31 else None
        asked = _asked(connection)
    if row is None:
        raise NotFound(f"There is no weighed lot {number}.")
    return _view(shop, row, asked)


def tests_asked(shop: Workshop) -> tuple[Test, ...]:
    """Return the lot tests of the workshop's net-quantity system."""
    with shop.store.reading() as connection:
        return _asked(connection).tests


def verdict(  # noqa: PLR0913  as many as there are fields to type
    shop: Workshop,
    weights: str,
    label: str,
    *,
    tare: str = "",
    jars: str = "",
    opened: str = "no",
    tests: Collection[Test] | None = None,
) -> LotVerdict:
    """Return what the tests say of weights as typed; nothing is kept.

    jars: in the whole lot, as typed; where empty, those weighed. opened: "yes" where the
    jars weighed were opened for it. BadInput places: "label", "weights.3", "tare", "jars".
    """
    typed = {"label": label, "weights": weights, "tare": tare, "jars": jars, "opened": opened}
    lot = read_lot(Typed(typed, FIELDS))
    with shop.store.reading() as connection:
        asked = _asked(connection)
    return judge(
        lot.weights,
        label=lot.label,
        lot=lot.jars,
        tests=asked.tests if tests is None else tests,
        below_t1=asked.below_t1,
        destructive=lot.opened,
    )


def save_lot(  # noqa: PLR0913  a record has as many parts
    shop: Workshop,
    candle: str,
    pour: int | None,
    weights: str,
    label: str,
    *,
    tare: str = "",
    jars: str = "",
    opened: str = "no",
    note: str = "",
    key: str | None = None,
) -> LotView:
    """Keep the weighed jars of a lot of a candle (slug); the record never changes.

    pour: the pour they are of; its jars are the lot unless `jars` says another number.
    weights: one a jar, in grams, as typed or pasted; gross where `tare` (jar, lid and wick
    holder) is given. label: the declared quantity, as "226 g" or "8 oz (226 g)".
    """
    from rushlight.store.deeds import deed_of
    from rushlight.workshop.candles import existing

    typed = {"label": label, "weights": weights, "tare": tare, "jars": jars, "note": note}
    typed["opened"] = opened
    with deed_of(shop.store, "lot.save", at=shop.now(), key=key) as work:
        if work.first is None:
            owner = existing(work.connection, candle)
            form = Typed(typed, FIELDS)
            poured = None if pour is None else _poured(work.connection, pour, owner["id"])
            remark = form.text("note", longest=LONGEST_NOTE)
            lot = read_lot(form, jars=poured)
            number = work.do(
                "lot",
                values={
                    "candle_id": owner["id"],
                    "pour_id": pour,
                    "label_typed": form.text("label"),
                    "label": round(lot.label * _MILLIGRAMS),
                    "jars": lot.jars,
                    "tare_typed": form.text("tare"),
                    "typed": lot.weights.typed,
                    "opened": int(lot.opened),
                    "masses": json.dumps([round(m * _MILLIGRAMS) for m in lot.weights.masses]),
                    "note": remark,
                },
            )
            work.subject = f"lot:{number}"
            work.said = f"Weighed {len(lot.weights.masses)} jars of {owner['name']}."
            work.result = {"id": number}
        number = work.outcome()["id"]
    return get(shop, number)


def aims(  # noqa: PLR0913  as many as there are fields to type
    shop: Workshop,
    candle: str,
    label: str,
    *,
    jars: str,
    passing: str = "99 %",
    tests: Collection[Test] | None = None,
) -> tuple[Aim, ...]:
    """Return where to aim the fill of a candle, from the scatter within all its weighed lots.

    jars: in a lot; passing: share of lots that shall pass. BadInput where too few jars were
    weighed to know the scatter.
    """
    form = Typed({"label": label, "jars": jars, "passing": passing}, ("label", "jars", "passing"))
    quantity = form.read("label", read_label)
    count = form.read("jars", count_of)
    share = form.read("passing", within(parse.fraction, 0.5, 0.9999, "from 50 % to 99.99 %"))
    for field, value in (("label", quantity), ("jars", count)):
        if value is None and not form.texts.get(field, "").strip():
            form.problems.add(field, "This needs a value.", "Type it.")
    form.problems.check()
    scatter = pooled(_weighed(shop, candle))
    with shop.store.reading() as connection:
        asked = _asked(connection)
    return tuple(
        aim(
            label=quantity or Kilogram(0.0),
            scatter=scatter,
            lot=count or 1,
            passing=Fraction1(share or MOST_LOTS),
            test=test,
            below_t1=asked.below_t1,
        )
        for test in (asked.tests if tests is None else tests)
    )


def _poured(connection: Connection, pour: int, candle: int) -> int:
    """Return the jars of a pour of this candle: the good ones once that is known."""
    from rushlight.store.queries.pours import pour_row

    row = pour_row(connection, pour) if 0 < pour < 2**31 else None
    if row is None:
        raise NotFound(f"There is no pour {pour}.")
    problems = Problems()
    if row["candle_id"] != candle:
        problems.add("pour", f"Pour {pour} is of another candle.", "Choose one of this candle.")
    problems.check()
    return int(row["good"] or row["jars"])


@dataclass(frozen=True, slots=True)
class _Asked:
    """Which tests the workshop is under, and whose figure for jars below T1."""

    tests: tuple[Test, ...]
    below_t1: BelowT1


def _asked(connection: Connection) -> _Asked:
    from rushlight.store.queries.others import settings
    from rushlight.workshop.settings import settings_of

    labels = settings_of(settings(connection)).labels
    tests = {"us": (Test.CATEGORY_A,), "eu": (Test.DIRECTIVE,), "both": _ALL}
    return _Asked(tests[labels.net_quantity], labels.below_t1)


def _weighed(shop: Workshop, candle: str) -> list[tuple[Kilogram, ...]]:
    """Return the net masses of every lot of a candle that stands."""
    from rushlight.store.queries import lots as query
    from rushlight.workshop.candles import existing

    with shop.store.reading() as connection:
        rows = query.lots(connection, existing(connection, candle)["id"])
    return [_masses(row["masses"]) for row in rows]


def _masses(text: str) -> tuple[Kilogram, ...]:
    return tuple(Kilogram(mg / _MILLIGRAMS) for mg in json.loads(text))


@lru_cache(maxsize=512)  # a lot never changes, and its aims take a root search each
def _judged(  # noqa: PLR0913, PLR0917  each is one thing the verdict depends on
    masses: str, typed: str, label: int, jars: int, opened: int, asked: _Asked
) -> LotVerdict:
    return judge(
        Weights(_masses(masses), typed),
        label=Kilogram(label / _MILLIGRAMS),
        lot=jars,
        tests=asked.tests,
        below_t1=asked.below_t1,
        destructive=bool(opened),
    )


def _view(shop: Workshop, row: RowMapping, asked: _Asked) -> LotView:
    from rushlight.store.marks import moment

    kept = (row["masses"], row["typed"], row["label"], row["jars"], row["opened"])
    return LotView(
        id=row["id"],
        candle=row["candle_slug"],
        candle_name=row["candle_name"],
        pour=row["pour_id"],
        label=Kilogram(row["label"] / _MILLIGRAMS),
        label_typed=row["label_typed"],
        jars=row["jars"],
        tare_typed=row["tare_typed"],
        typed=row["typed"],
        opened=bool(row["opened"]),
        masses=_masses(row["masses"]),
        note=row["note"],
        weighed_at=shop.local(moment(row["at"])),
        verdict=_judged(*kept, asked),
    )
