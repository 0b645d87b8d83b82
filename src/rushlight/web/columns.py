"""The weights of a batch in columns that add up as shown: one jar, each pot, all."""

from __future__ import annotations

from dataclasses import dataclass, replace

from rushlight.candle.sheet import BatchSheet
from rushlight.press.pour_sheet_from import shares, shown_weighings
from rushlight.quantity import show
from rushlight.quantity.si import Kilogram

JAR_STEP = Kilogram(0.0001)  # a single jar is shown to 0.1 g, so that small parts can be seen


@dataclass(frozen=True, slots=True)
class Row:
    """One material, in words."""

    role: str
    name: str
    counted: str
    jar: str
    pot: str
    total: str


@dataclass(frozen=True, slots=True)
class Columns:
    """Every material, and what each column comes to."""

    rows: tuple[Row, ...]
    jar: str
    pot: str
    total: str


def columns(batch: BatchSheet, pref: show.Preference) -> Columns:
    """Return the columns; the shown parts of each add up to its shown total."""
    fine = replace(pref, readability=min(JAR_STEP, batch.batch.readability))
    jars = shares([line.mass for line in batch.jar.lines], fine)
    weighings, pot, total = shown_weighings(batch, pref)
    rows = tuple(
        Row(
            line.role.value,
            line.name,
            line.counted,
            show.mass(jar, fine),
            weighing.beside if line.counted else weighing.target,
            weighing.total,
        )
        for line, jar, weighing in zip(batch.lines, jars, weighings, strict=True)
    )
    return Columns(rows, show.mass(Kilogram(sum(jars)), fine), pot, total)
