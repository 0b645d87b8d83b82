"""From one jar to a batch: allowances, equal pots, figures a scale can show."""

from __future__ import annotations

from collections.abc import Iterator
from math import ceil

from rushlight.candle.parts import Dye
from rushlight.candle.sheet import (
    Batch,
    BatchLine,
    BatchSheet,
    Caution,
    JarSheet,
    PieceLine,
    Role,
    Weight,
)
from rushlight.errors import BadInput, Problems
from rushlight.quantity.share import apportion, whole_steps
from rushlight.quantity.si import Kilogram

MOST_POTS = 1000
"""More pots than this is a capacity typed in the wrong unit."""
_FEW = 10  # blocks, below which quarters matter
_ENOUGH_STEPS = 5  # steps of the scale, so that rounding is at most a tenth of the mass
_MOST_STEPS = 10**9  # of the whole batch; beyond it the scale's step is a slip


def scale(jar: JarSheet, batch: Batch) -> BatchSheet:
    """Return what a batch takes.

    With n jars (spares included) of m each, a spill s of all that is poured and a
    residue r in each of p pots, n m / (1 - s) + p r is melted, in p equal pots of at
    most the capacity. Each pot's lines are rounded to the scale together (largest
    remainder), so the shown parts add up to the shown total exactly.
    """
    _check(batch)
    poured = batch.jars + batch.spares
    jars_mass = Kilogram(poured * jar.fill_mass)
    leaving = jars_mass / (1 - batch.spill)
    pots = _pots(leaving, batch)
    melted = leaving + pots * batch.residue
    if melted > _MOST_STEPS * batch.readability:
        raise BadInput.one(
            f"Steps of {batch.readability * 1e6:g} mg are too fine for {melted:.0f} kg.",
            'Type the step your scale shows at this weight, such as "1 g".',
            "batch.readability",
        )
    lines = tuple(_lines(jar, batch, Kilogram(melted), pots))
    pot_mass = _shown(sum(_steps(line.pot, batch) for line in lines), batch)
    return BatchSheet(
        jar=jar,
        batch=batch,
        jars_poured=poured,
        pots=pots,
        jars_mass=jars_mass,
        residue_mass=Kilogram(pots * batch.residue),
        spill_mass=Kilogram(leaving - jars_mass),
        lines=lines,
        pot_mass=pot_mass,
        total_mass=_shown(pots * _steps(pot_mass, batch), batch),
        outside=tuple(_outside(jar, batch, poured)),
        pieces=tuple(_pieces(jar, poured)),
        cautions=tuple(_cautions(lines, batch, pots, poured)),
    )


def _check(batch: Batch) -> None:
    problems = Problems()
    if batch.jars < 1:
        problems.add("batch.jars", "A batch has at least one jar.", "Type how many jars to pour.")
    if batch.spares < 0:
        problems.add("batch.spares", "Spare jars cannot be negative.", "Type 0 or more.")
    if not 0 <= batch.spill < 1:
        problems.add("batch.spill", "Spill must be below 100 %.", 'Type, for example, "1 %".')
    if not batch.residue >= 0:
        problems.add("batch.residue", "Residue cannot be negative.", 'Type, for example, "15 g".')
    if not batch.readability > 0:
        problems.add(
            "batch.readability",
            "The scale's smallest step must be more than zero.",
            'Type, for example, "1 g".',
        )
    problems.check()


def _pots(leaving: float, batch: Batch) -> int:
    """Fewest equal pots within the capacity."""
    if batch.capacity is None:
        return 1
    room = batch.capacity - batch.residue
    # 1e-9: a batch that fills its pots exactly must not need one more by a rounding error
    pots = ceil(leaving / room - 1e-9) if room > 0 else MOST_POTS + 1
    if pots > MOST_POTS:
        raise BadInput.one(
            f"Pots of {batch.capacity * 1000:g} g cannot hold this batch"
            f" ({leaving * 1000:.0f} g, and {batch.residue * 1000:g} g left in each pot).",
            'Type what your melter or pitcher holds, such as "2 kg".',
            "batch.capacity",
        )
    return max(pots, 1)


def _lines(jar: JarSheet, batch: Batch, melted: Kilogram, pots: int) -> Iterator[BatchLine]:
    exact = [melted * line.of_total for line in jar.lines]
    steps = apportion([mass / pots for mass in exact], batch.readability)
    dyes = iter(jar.candle.dyes)
    for line, mass, step in zip(jar.lines, exact, steps, strict=True):
        counted = _counted(next(dyes), mass / pots) if line.role is Role.DYE else ""
        yield BatchLine(
            line.role,
            line.name,
            Kilogram(mass),
            _shown(step, batch),
            _shown(step * pots, batch),
            counted,
        )


def _outside(jar: JarSheet, batch: Batch, poured: int) -> Iterator[BatchLine]:
    for line in jar.finishes:
        exact = Kilogram(line.mass * poured)
        shown = _shown(_steps(exact, batch), batch)
        yield BatchLine(line.role, line.name, exact, shown, shown)


def _pieces(jar: JarSheet, poured: int) -> Iterator[PieceLine]:
    candle = jar.candle
    yield PieceLine(Role.VESSEL, candle.vessel.name, poured)
    each = "" if candle.wick.count == 1 else f"{candle.wick.count} to a jar"
    yield PieceLine(Role.WICK, candle.wick.name, poured * candle.wick.count, each)
    for finish in candle.finishes:
        if finish.pieces:
            each = "" if finish.pieces == 1 else f"{finish.pieces} to a jar"
            yield PieceLine(Role.FINISH, finish.name, poured * finish.pieces, each)


def _cautions(
    lines: tuple[BatchLine, ...], batch: Batch, pots: int, poured: int
) -> Iterator[Caution]:
    for line in lines:
        each = line.exact / pots
        # What is counted needs no scale; else the rounding should be small beside the mass.
        if not line.counted and 0 < each < _ENOUGH_STEPS * batch.readability:
            yield Caution(
                "batch.readability",
                Weight.CAUTION,
                f"{line.name}: {each * 1000:.3g} g a pot is too little for a scale that"
                f" shows steps of {batch.readability * 1000:g} g.",
                "Weigh it on a finer scale, or count it out.",
                "common practice",
            )
    if poured % pots:
        yield Caution(
            "batch.jars",
            Weight.NOTE,
            f"{poured} jars from {pots} equal pots is not a whole number of jars a pot.",
            f"{-poured % pots} more, as spares, would make it even.",
            "common practice",
        )


def _counted(dye: Dye, mass: float) -> str:
    if not (dye.counted and dye.unit_mass):
        return ""
    pieces = mass / dye.unit_mass
    # A drop cannot be cut; a block is cut into quarters while there are few.
    finest = 4 if dye.counted == "blocks" and pieces < _FEW else 1
    shown = max(round(pieces * finest), 1) / finest
    return f"{shown:g} {dye.counted}"


def _steps(mass: float, batch: Batch) -> int:
    return whole_steps(mass, batch.readability)


def _shown(steps: int, batch: Batch) -> Kilogram:
    return Kilogram(steps * batch.readability)
