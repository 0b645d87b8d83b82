"""The pour sheet: what to weigh into each pot, what was done, what runs."""

from __future__ import annotations

import json
from collections import Counter
from collections.abc import Mapping, Sequence
from datetime import date
from functools import lru_cache
from typing import TYPE_CHECKING, Any

from rushlight.candle.sheet import BatchSheet, JarSheet
from rushlight.errors import NotFound
from rushlight.quantity.si import Kelvin, Kilogram
from rushlight.workshop.candle_views import Sheets
from rushlight.workshop.pour_lines import line_of
from rushlight.workshop.pour_views import PotView, PourView, Reading, Tick, Timer, WeighLine
from rushlight.workshop.shop import Workshop
from rushlight.workshop.typed import slug_of

if TYPE_CHECKING:
    from sqlalchemy import Connection, RowMapping


def get(shop: Workshop, pour: int) -> PourView:
    """Return a pour; NotFound."""
    with shop.store.reading() as connection:
        return view_within(shop, connection, pour)


def view_within(shop: Workshop, connection: Connection, pour: int) -> PourView:
    """Return a pour within a reading."""
    from rushlight.store.marks import moment
    from rushlight.store.queries import pours as query
    from rushlight.store.queries.pouring import jar_lot_of, rejects

    row = query.pour_row(connection, pour)
    if row is None:
        raise NotFound(f"There is no pour {pour} in this workshop.")
    document, batch, sheets = sheets_of(connection, row)
    line = line_of(shop, row)
    pots = _pots(
        sheets.batch,
        ticks=[tick_of(shop, entry) for entry in query.ticks(connection, pour)],
        readings=[reading_of(shop, entry) for entry in query.readings(connection, pour)],
        timers=[timer_of(shop, entry) for entry in query.timers(connection, pour)],
    )
    return PourView(
        id=pour,
        slug=line.slug,
        candle=line.candle,
        revision=line.revision,
        state=line.state,
        planned_for=date.fromisoformat(row["planned_for"]),
        planned_at=shop.local(moment(row["planned_at"])),
        started_at=line.started_at,
        finished_at=line.finished_at,
        ready_on=line.ready_on,
        jars=line.jars,
        good=row["good"],
        rejected=row["rejected"],
        note=row["note"],
        document=document,
        batch=batch,
        sheets=sheets,
        pots=pots,
        person=row["person"],
        rejects=tuple(rejects(connection, pour)),
        jar_lot=jar_lot_of(connection, pour),
    )


def sheets_of(
    connection: Connection, row: RowMapping
) -> tuple[dict[str, Any], Mapping[str, str], Sheets]:
    """Return the document, the batch and the sheets of a pour, from what was kept with it."""
    from rushlight.workshop.supplies import needs_of, supplies_of

    document = json.loads(row["document"])["document"]
    jar, whole = kept_sheets(row)
    supplies = supplies_of(connection, needs_of(document, whole), but=row["id"])
    batch = json.loads(row["batch"])
    return document, batch, Sheets(jar=jar, batch=whole, supplies=supplies)


def kept_sheets(row: RowMapping) -> tuple[JarSheet, BatchSheet]:
    """Return the sheets of a pour without its supplies."""
    return _computed(row["document"], row["batch"])


@lru_cache(maxsize=64)
def _computed(document: str, batch: str) -> tuple[JarSheet, BatchSheet]:
    """Compute what was kept; the same texts always give the same sheets."""
    from rushlight.workshop.live import computed
    from rushlight.workshop.shelf import PinnedShelf

    kept = json.loads(document)
    return computed(kept["document"], json.loads(batch), PinnedShelf(kept["facts"]))


def line_keys(batch: BatchSheet) -> list[str]:
    """Return what names each weighing line of a pot: its role and name, once each."""
    seen: Counter[str] = Counter()
    keys = []
    for line in batch.lines:
        key = slug_of(f"{line.role.value} {line.name}", lambda _: False)
        seen[key] += 1
        keys.append(key if seen[key] == 1 else f"{key}-{seen[key]}")
    return keys


def _pots(
    batch: BatchSheet,
    *,
    ticks: Sequence[Tick],
    readings: Sequence[Reading],
    timers: Sequence[Timer],
) -> tuple[PotView, ...]:
    done = {(tick.pot, tick.line): tick for tick in ticks}
    keys = line_keys(batch)
    return tuple(
        PotView(
            number=number,
            lines=tuple(
                WeighLine(
                    key=key,
                    role=line.role,
                    name=line.name,
                    planned=line.pot,
                    counted=line.counted,
                    tick=done.get((number, key)),
                )
                for key, line in zip(keys, batch.lines, strict=True)
            ),
            readings=tuple(reading for reading in readings if reading.pot == number),
            timers=tuple(timer for timer in timers if timer.pot == number),
        )
        for number in range(1, batch.pots + 1)
    )


def tick_of(shop: Workshop, row: RowMapping) -> Tick:
    """Return a weighing entry as a tick."""
    from rushlight.store.marks import moment

    return Tick(
        pot=row["pot"],
        line=row["line"],
        actual=Kilogram(row["amount"] / 1_000_000),
        typed=row["typed"],
        at=shop.local(moment(row["at"])),
    )


def reading_of(shop: Workshop, row: RowMapping) -> Reading:
    """Return a thermometer reading."""
    from rushlight.store.marks import moment

    return Reading(
        id=row["id"],
        pot=row["pot"],
        temperature=Kelvin(row["millikelvin"] / 1000),
        typed=row["typed"],
        at=shop.local(moment(row["at"])),
    )


def timer_of(shop: Workshop, row: RowMapping) -> Timer:
    """Return a timer."""
    from rushlight.store.marks import moment

    stopped = row["stopped_at"]
    return Timer(
        id=row["id"],
        pot=row["pot"],
        name=row["name"],
        started_at=shop.local(moment(row["started_at"])),
        deadline=shop.local(moment(row["deadline"])),
        stopped_at=shop.local(moment(stopped)) if stopped else None,
    )
