"""Settings of the workshop: kept as typed, used as parsed."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from functools import lru_cache
from types import MappingProxyType
from typing import Final, Literal, TypeVar, cast

from rushlight.errors import BadInput
from rushlight.hazard.law import Law
from rushlight.hazard.netcontents.plan import BelowT1
from rushlight.hazard.statements import Language
from rushlight.quantity import parse, preference
from rushlight.quantity.preference import Preference
from rushlight.quantity.si import Fraction1, Kelvin, Kilogram, Metre, Second, Watt
from rushlight.workshop.setting_fields import (
    DEFAULTS,
    FIELDS,
    KEYS,
    MOST_PACKAGING,
    MOST_STEPS,
    Field,
)
from rushlight.workshop.shop import Workshop
from rushlight.workshop.typed import Typed, within

__all__ = [
    "Backups",
    "Field",
    "Labels",
    "LabourStep",
    "Packing",
    "Pitcher",
    "Settings",
    "change",
    "current",
    "fields",
]

T = TypeVar("T")

DEMO: Final = "demo"
"""The stored setting that marks invented data; no form offers it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Pitcher:
    """The pouring pitcher: what the cooling forecast needs of it."""

    mass: Kilogram
    heat_capacity: float  # [J/(kg K)]
    diameter: Metre
    side_emissivity: Fraction1


@dataclass(frozen=True, slots=True)
class LabourStep:
    """A timed step: seconds, per "batch" or per "jar"."""

    name: str
    time: Second
    per: Literal["batch", "jar"]


@dataclass(frozen=True, slots=True)
class Packing:
    """A packaging material and how many of it a jar takes."""

    use: str
    pieces: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Labels:
    """What labels are made by: whose law, which language, who answers for the candle."""

    law: Law
    language: Language
    supplier: str
    address: str
    telephone: str
    net_quantity: Literal["eu", "us", "both"]
    below_t1: BelowT1
    pictograms_asked: bool

    @property
    def pictograms(self) -> bool:
        """Whether to show hazard pictograms: not to a US-only maker, unless she asks."""
        return self.law is not Law.US or self.pictograms_asked


@dataclass(frozen=True, slots=True)
class Backups:
    """When to back up: every so many days (0: never), into which folder, how many to keep."""

    every: int
    folder: str
    keep: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Settings:
    """Every setting, parsed; `typed` keeps the texts (defaults filled in)."""

    typed: Mapping[str, str]
    demo: bool
    name: str
    preference: Preference
    paper: Literal["A4", "Letter"]
    room: Kelvin
    melter_capacity: Kilogram | None
    melter_power: Watt
    pitcher: Pitcher
    residue: Kilogram
    spill: Fraction1
    spares: int
    labour_rate: Decimal  # per hour
    labour: tuple[LabourStep, ...]
    overhead_per_month: Decimal
    jars_per_month: int
    price_step: Decimal
    scrap: Fraction1
    packaging: tuple[Packing, ...]
    labels: Labels
    backups: Backups

    def batch_defaults(self) -> dict[str, str]:
        """Return what a batch takes from here, as typed."""
        keys = {"spares", "residue", "spill", "readability"}
        found = {key: self.typed[key] for key in sorted(keys)}
        if self.typed["melter_capacity"]:
            found["capacity"] = self.typed["melter_capacity"]
        return found


_MATERIALS: Final = {
    # Specific heat [J/(kg K)]: Incropera, Heat and Mass Transfer, table A.1 (aluminium 903,
    # AISI 302 steel 480). Emissivity of the side: bright metal 0.1, enamel 0.9, from memory.
    "aluminium": (903.0, 0.1),
    "steel": (480.0, 0.1),
    "enamel": (480.0, 0.9),
}
_CELSIUS: Final = 273.15


def fields() -> tuple[Field, ...]:
    """Return every setting in the order of the form."""
    return FIELDS


def current(shop: Workshop) -> Settings:
    """Return the settings as they are now."""
    from rushlight.store.queries.others import settings

    with shop.store.reading() as connection:
        return settings_of(settings(connection))


def settings_of(stored: Mapping[str, str]) -> Settings:
    """Return the parsed settings of stored texts; BadInput with every problem."""
    return _parsed(tuple(sorted(stored.items())))


@lru_cache(maxsize=8)
def _parsed(stored: tuple[tuple[str, str], ...]) -> Settings:
    """Parse settings; the same texts always give the same."""
    made = dict(stored)
    typed = {**DEFAULTS, **{key: value for key, value in made.items() if key in KEYS}}
    form = Typed(typed, KEYS)
    try:
        shown = preference.read(typed)
    except BadInput as bad:
        form.problems.extend(bad.problems)
        shown = Preference()
    found = _read(form, shown, MappingProxyType(typed), demo=made.get(DEMO) == "yes")
    form.problems.check()
    return found


def change(shop: Workshop, typed: Mapping[str, str], *, key: str | None = None) -> Settings:
    """Change some settings; those not named stay. BadInput places are the setting's key."""
    from rushlight.store.deeds import deed_of
    from rushlight.store.queries.others import settings

    given = Typed(typed, KEYS)
    given.problems.check()
    with deed_of(shop.store, "settings.change", at=shop.now(), key=key) as work:
        stored = settings(work.connection)
        if work.first is None:
            before = {**DEFAULTS, **stored}
            fresh = {k: v.strip() for k, v in given.texts.items() if v.strip() != before[k]}
            settings_of({**stored, **fresh})
            if fresh:
                work.do("put", values=fresh)
            work.subject = "settings"
            work.said = f"Changed the settings: {', '.join(_labels(fresh))}."
    return current(shop)


def mark_demo(shop: Workshop) -> None:
    """Mark the workshop as invented data, which every face then says; for good."""
    from rushlight.store.deeds import deed_of

    with deed_of(shop.store, "settings.demo", at=shop.now(), key="demo") as work:
        if work.first is None:
            work.do("put", values={DEMO: "yes"})
            work.said = "Filled this workshop with invented data."


def _labels(keys: Mapping[str, str]) -> list[str]:
    return [field.label for field in FIELDS if field.key in keys]


def _read(form: Typed, shown: Preference, typed: Mapping[str, str], *, demo: bool) -> Settings:
    heat, emissivity = _MATERIALS[form.choice("pitcher_material", _MATERIALS, "aluminium")]
    money = within(_money(shown), 0, 1e7, "an amount from 0 to 10,000,000")
    room = within(
        parse.temperature, _CELSIUS - 10, _CELSIUS + 45, "a room from −10 to 45 °C (14 to 113 °F)"
    )
    paper = form.choice("paper", ("A4", "Letter"), "A4")
    return Settings(
        typed=typed,
        demo=demo,
        name=form.needed("name", "The workshop has no name.", "Type a name."),
        preference=shown,
        paper=cast("Literal['A4', 'Letter']", paper),
        room=_or(form, "room", room),
        melter_capacity=form.read(
            "melter_capacity", within(parse.mass, 0.05, 500, "from 50 g to 500 kg")
        ),
        melter_power=_or(
            form, "melter_power", within(parse.power, 10, 50_000, "from 10 W to 50 kW")
        ),
        pitcher=Pitcher(
            mass=_or(form, "pitcher_mass", within(parse.mass, 0.01, 100, "from 10 g to 100 kg")),
            heat_capacity=heat,
            diameter=_or(
                form, "pitcher_diameter", within(parse.length, 0.02, 1.5, "from 20 mm to 1.5 m")
            ),
            side_emissivity=Fraction1(emissivity),
        ),
        residue=_or(form, "residue", within(parse.mass, 0, 5, "from 0 g to 5 kg")),
        spill=_or(form, "spill", within(parse.fraction, 0, 0.5, "from 0 % to 50 %")),
        spares=_or(form, "spares", within(parse.count, 0, 1000, "from 0 to 1000")),
        labour_rate=_or(form, "labour_rate", money),
        labour=_labour(form),
        overhead_per_month=_or(form, "overhead", money),
        jars_per_month=_or(
            form, "jars_per_month", within(parse.count, 1, 1_000_000, "from 1 to 1,000,000")
        ),
        price_step=_or(
            form,
            "price_step",
            within(_money(shown), 0.01, 1000, "an amount from 0.01 to 1000, like 0.50"),
        ),
        packaging=_packaging(form),
        scrap=_or(form, "scrap", within(parse.fraction, 0, 0.9, "from 0 % to 90 %")),
        labels=_label_settings(form),
        backups=Backups(
            every=int(form.choice("backup_every", ("0", "1", "7", "30"), "1")),
            folder=form.needed("backup_folder", "There is no folder named.", "Type backups."),
            keep=_or(form, "backup_keep", within(parse.count, 1, 1000, "from 1 to 1000")),
        ),
    )


def _label_settings(form: Typed) -> Labels:
    systems = form.choice("net_quantity", ("eu", "us", "both"), "eu")
    return Labels(
        law=Law(form.choice("law", tuple(Law), Law.GB)),
        language=Language(form.choice("label_language", tuple(Language), Language.EN)),
        supplier=form.text("supplier_name"),
        address=form.text("supplier_address"),
        telephone=form.text("supplier_telephone"),
        net_quantity=cast("Literal['eu', 'us', 'both']", systems),
        below_t1=BelowT1(form.choice("below_t1", tuple(BelowT1), BelowT1.GUIDE)),
        pictograms_asked=form.choice("pictograms", ("no", "yes"), "no") == "yes",
    )


def _labour(form: Typed) -> tuple[LabourStep, ...]:
    steps = []
    for i in range(MOST_STEPS):
        name = form.text(f"labour.{i}.step")
        per = form.choice(f"labour.{i}.per", ("batch", "jar"), "jar")
        time = form.read(
            f"labour.{i}.time",
            within(parse.duration, 0, 7 * 86400, "from 0 s to 7 days, like 25 min"),
        )
        if time is not None:
            steps.append(
                LabourStep(name or f"Step {i + 1}", time, cast("Literal['batch', 'jar']", per))
            )
        elif name and not form.texts.get(f"labour.{i}.time", "").strip():
            form.problems.add(
                f"labour.{i}.time", f"“{name}” has no time.", "Type how long it takes: 25 min."
            )
    return tuple(steps)


def _packaging(form: Typed) -> tuple[Packing, ...]:
    found = []
    for i in range(MOST_PACKAGING):
        use = " ".join(form.text(f"packaging.{i}.use").split())
        pieces = form.read(f"packaging.{i}.pieces", _pieces, default="1")
        if use and pieces:
            found.append(Packing(use, pieces))
    return tuple(found)


def packaging_of(rows: Sequence[object]) -> tuple[Packing, ...]:
    """Return the packaging a candle's own [[price.packaging]] names: use and pieces."""
    form = Typed({}, ())
    found = []
    for i, row in enumerate(rows):
        if not isinstance(row, Mapping) or not str(row.get("use") or "").strip():
            form.problems.add(
                f"price.packaging.{i}.use", "This names no packaging.", "Type what it is."
            )
            continue
        try:
            pieces = _pieces(str(row.get("pieces") or "1"))
        except BadInput as bad:
            form.problems.extend(bad.at(f"price.packaging.{i}.pieces").problems)
            continue
        found.append(Packing(" ".join(str(row["use"]).split()), pieces))
    form.problems.check()
    return tuple(found)


def _pieces(text: str) -> int:
    return within(parse.count, 0, 1000, "from 0 to 1000")(text)


def _money(shown: Preference) -> Callable[[str], Decimal]:
    return lambda text: parse.money(text, currency=shown.currency)


def _or(form: Typed, key: str, reader: Callable[[str], T]) -> T:
    """Return a field that needs a value; where there is none, its default stands in."""
    before = len(form.problems.found)
    value = form.read(key, reader)
    if value is None:
        if len(form.problems.found) == before:
            form.problems.add(key, "This needs a value.", f"Type one, like {DEFAULTS[key]}.")
        return reader(DEFAULTS[key])
    return value
