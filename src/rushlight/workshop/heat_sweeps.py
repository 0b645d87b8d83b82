"""Many candles at once: designs × loads × pour temperatures, or × wicks, as one table."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from concurrent.futures import Executor
from dataclasses import dataclass
from functools import partial

from rushlight.candle.sheet import JarSheet
from rushlight.errors import BadInput, Problems
from rushlight.heat.burn_run import Burning
from rushlight.heat.enthalpy import ZERO
from rushlight.heat.from_candle import burning_of, setting_of
from rushlight.heat.setting import Setting
from rushlight.heat.surroundings import Place
from rushlight.heat.sweep import Case, sweep
from rushlight.heat.wick_window import WickRate
from rushlight.quantity import parse
from rushlight.workshop.heat_asked import rate
from rushlight.workshop.heat_keys import BURN, SET, number, renamed
from rushlight.workshop.heats import known_rate

MOST_CASES = 5_000
Row = dict[str, str | float | None]
Inputs = Mapping[str, str | float | None]
Lay = Callable[[str], JarSheet]
"""A design's sheet at a fragrance load as typed; "" leaves the load as it is."""


@dataclass(frozen=True, slots=True)
class Design:
    """A candle of a sweep: its name and how it is laid out at a load."""

    name: str
    lay: Lay


@dataclass(frozen=True, slots=True)
class Planned:
    """One row to be: what goes in, the case, or the problem that keeps it from being tried."""

    inputs: Mapping[str, str | float | None]
    case: Case | None
    problem: str = ""


def listed(text: str) -> list[str]:
    """Return the parts of a list as typed: "6 %; 8 %", "70 C, 75 C"."""
    parts = text.replace("\n", ";").replace(", ", ";").split(";")
    return [part.strip() for part in parts if part.strip()]


def temperatures(text: str) -> list[float]:
    """Return temperatures [K] from a list as typed; one unit at the end holds for all."""
    parts = listed(text)
    unit = parts[-1].lstrip("+-−0123456789., ") if parts else ""
    return [
        float(parse.temperature(p if any(c.isalpha() for c in p) else f"{p} {unit}")) for p in parts
    ]


def rates(text: str) -> list[float]:
    """Return burn rates [g/h] from a list as typed."""
    return [rate(part) for part in listed(text)]


def _sheets(designs: Iterable[Design], loads: Sequence[str]) -> list[tuple[Design, JarSheet]]:
    """Return the sheet of every design at every load; BadInput with every problem."""
    found, problems = [], Problems()
    for design in designs:
        for load in loads or ("",):
            try:
                found.append((design, design.lay(load)))
            except BadInput as bad:
                problems.extend(
                    type(p)(p.place, f"{design.name}: {p.what}", p.remedy) for p in bad.problems
                )
    problems.check()
    return found


def _own(jar: JarSheet) -> tuple[WickRate, ...]:
    """Return the wick of the design, where its burn rate is known."""
    known = known_rate(jar)
    return (WickRate(jar.candle.wick.name, known.low, known.high),) if known else ()


def _inputs(design: Design, jar: JarSheet) -> dict[str, str | float | None]:
    return {
        "candle": design.name,
        "load_of_wax_percent": number(100 * float(jar.load_of_wax)),
        "fill_mass_g": number(1000 * float(jar.fill_mass)),
    }


def set_cases(
    designs: Sequence[Design], *, loads: Sequence[str], pours: Sequence[float], place: Place
) -> list[Planned]:
    """Return the settings of a sweep; pours [K], the sheet's own where there are none."""
    planned: list[Planned] = []
    for design, jar in _sheets(designs, loads):
        for pour in pours or (float(jar.pour_at),):
            inputs = {
                **_inputs(design, jar),
                "pour_temperature_c": number(pour - ZERO),
                "room_temperature_c": number(place.room - ZERO),
            }
            _add(planned, inputs, partial(setting_of, jar, place=place, pour=pour))
    return planned


def burn_cases(
    designs: Sequence[Design],
    *,
    loads: Sequence[str],
    wicks: Sequence[WickRate],
    place: Place,
) -> list[Planned]:
    """Return the burns of a sweep, each wick at the middle of its burn rates."""
    planned: list[Planned] = []
    for design, jar in _sheets(designs, loads):
        for wick in wicks or _own(jar):
            burns = 0.5 * (wick.low + wick.high)
            inputs = {
                **_inputs(design, jar),
                "wick": wick.name,
                "burn_rate_g_h": number(burns),
                "room_temperature_c": number(place.room - ZERO),
            }
            _add(planned, inputs, partial(burning_of, jar, grams_per_hour=burns, place=place))
    return planned


def _add(planned: list[Planned], inputs: Inputs, make: Callable[[], Setting | Burning]) -> None:
    if len(planned) >= MOST_CASES:
        raise BadInput.one(
            f"That is more than {MOST_CASES:,} cases.", "Take fewer loads, temperatures or wicks."
        )
    try:
        subject = make()
        subject.check()
    except BadInput as bad:
        planned.append(Planned(inputs, None, " ".join(str(p) for p in bad.problems)))
        return
    planned.append(Planned(inputs, Case(str(len(planned)), subject)))


def run(
    planned: Sequence[Planned],
    *,
    executor: Executor,
    progress: Callable[[int], None] | None = None,
    stop: Callable[[], bool] | None = None,
) -> list[Row]:
    """Return one row a case that was tried, in order; fewer where it was stopped."""
    found = sweep(
        (p.case for p in planned if p.case is not None),
        executor=executor,
        progress=progress,
        stop=stop,
    )
    by_name = {str(row["case"]): row for row in found}
    rows: list[Row] = []
    for one in planned:
        if one.case is None:
            rows.append({**one.inputs, "problem": one.problem})
        elif one.case.name in by_name:
            rows.append({**one.inputs, **_named(by_name[one.case.name])})
    return rows


def _named(row: Mapping[str, str | float]) -> Row:
    figures = {key: value for key, value in row.items() if isinstance(value, int | float)}
    keys = SET if "skin" in figures else BURN
    return {**renamed(figures, keys), "problem": str(row["problem"])}


def columns_of(rows: Sequence[Row]) -> list[str]:
    """Return the columns of rows: those of the fullest row, the problem last."""
    fullest = max(rows, key=len, default={})
    return [*(key for key in fullest if key != "problem"), "problem"]


def as_csv(rows: Sequence[Row]) -> str:
    """Return rows as comma-separated text; empty where something does not come about."""
    from rushlight.heat import sweep as core

    columns = columns_of(rows)
    return core.as_csv(
        [{key: "" if (v := row.get(key)) is None else v for key in columns} for row in rows]
    )
