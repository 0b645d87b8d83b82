"""The settings there are: label, default and how each is read."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from rushlight.quantity.money import CURRENCIES


@dataclass(frozen=True, slots=True, kw_only=True)
class Field:
    """One setting as a form shows it.

    choices: the allowed texts with their labels; empty when it is typed freely.
    """

    key: str
    group: str
    label: str
    default: str
    hint: str = ""
    choices: tuple[tuple[str, str], ...] = ()


MOST_STEPS: Final = 10
"""Timed labour steps a form offers."""
MOST_PACKAGING: Final = 6
"""Packaging materials of a jar that a form offers."""

_UNITS, _BENCH, _MONEY, _SHOP = "Units", "Bench", "Money", "Workshop"
_LABELS, _BACKUPS = "Labels", "Backups"

_STEPS: Final = (
    ("Set up and clean", "30 min", "batch"),
    ("Melt, weigh and stir", "45 min", "batch"),
    ("Wick and pour", "2 min", "jar"),
    ("Label and pack", "3 min", "jar"),
)
"""Typical times, common practice; hers replace them."""


def _steps() -> tuple[Field, ...]:
    found = []
    for i in range(MOST_STEPS):
        name, time, per = _STEPS[i] if i < len(_STEPS) else ("", "", "jar")
        label = f"Step {i + 1}"
        found += [
            Field(key=f"labour.{i}.step", group="Labour", label=label, default=name),
            Field(key=f"labour.{i}.time", group="Labour", label=f"{label}: time", default=time),
            Field(
                key=f"labour.{i}.per",
                group="Labour",
                label=f"{label}: for each",
                default=per,
                choices=(("batch", "batch"), ("jar", "jar")),
            ),
        ]
    return tuple(found)


def _packaging() -> tuple[Field, ...]:
    found = []
    for i in range(MOST_PACKAGING):
        label = f"Packaging {i + 1}"
        found += [
            Field(key=f"packaging.{i}.use", group="Packaging", label=label, default=""),
            Field(
                key=f"packaging.{i}.pieces",
                group="Packaging",
                label=f"{label}: pieces for a jar",
                default="1",
            ),
        ]
    return tuple(found)


FIELDS: Final = (
    Field(key="name", group=_SHOP, label="Name of the workshop", default="My workshop"),
    Field(
        key="paper",
        group=_SHOP,
        label="Paper",
        default="A4",
        choices=(("A4", "A4"), ("Letter", "Letter")),
    ),
    Field(
        key="mass",
        group=_UNITS,
        label="Mass",
        default="g",
        choices=(("g", "grams"), ("oz", "ounces and pounds")),
    ),
    Field(
        key="volume",
        group=_UNITS,
        label="Volume",
        default="ml",
        choices=(("ml", "millilitres"), ("fl oz", "fluid ounces (US)")),
    ),
    Field(
        key="length",
        group=_UNITS,
        label="Length",
        default="mm",
        choices=(("mm", "millimetres"), ("in", "inches")),
    ),
    Field(
        key="temperature",
        group=_UNITS,
        label="Temperature",
        default="C",
        choices=(("C", "°C"), ("F", "°F")),
    ),
    Field(
        key="decimal",
        group=_UNITS,
        label="Decimal mark",
        default=".",
        choices=((".", "point, 1.5"), (",", "comma, 1,5")),
    ),
    Field(
        key="readability",
        group=_UNITS,
        label="Scale reads to",
        default="1 g",
        hint="The smallest step your scale shows; every weighing is rounded to it.",
    ),
    Field(
        key="currency",
        group=_MONEY,
        label="Currency",
        default="GBP",
        choices=tuple((code, code) for code in CURRENCIES),
    ),
    Field(key="labour_rate", group=_MONEY, label="An hour of work costs", default="12.00"),
    Field(
        key="overhead",
        group=_MONEY,
        label="Overhead in a month",
        default="0",
        hint="Rent, power, insurance, software: what is paid whether you pour or not.",
    ),
    Field(key="jars_per_month", group=_MONEY, label="Jars in a month", default="100"),
    Field(
        key="price_step",
        group=_MONEY,
        label="Round prices up to",
        default="0.50",
        hint="A price of 13.48 becomes 13.50.",
    ),
    Field(
        key="scrap",
        group=_MONEY,
        label="Jars that are rejected",
        default="2 %",
        hint="Their cost is carried by the good ones.",
    ),
    Field(
        key="melter_capacity",
        group=_BENCH,
        label="Melter or pitcher holds",
        default="2 kg",
        hint="A batch above it is split into equal pots. Empty: no limit.",
    ),
    Field(key="melter_power", group=_BENCH, label="Melter power", default="1500 W"),
    Field(key="pitcher_mass", group=_BENCH, label="Pitcher, empty", default="350 g"),
    Field(key="pitcher_diameter", group=_BENCH, label="Pitcher, inner diameter", default="140 mm"),
    Field(
        key="pitcher_material",
        group=_BENCH,
        label="Pitcher is of",
        default="aluminium",
        choices=(
            ("aluminium", "bright aluminium"),
            ("steel", "bright stainless steel"),
            ("enamel", "enamelled or painted steel"),
        ),
    ),
    Field(key="room", group=_BENCH, label="Room temperature", default="21 °C"),
    Field(
        key="residue",
        group=_BENCH,
        label="Wax left in each pot",
        default="10 g",
    ),
    Field(key="spill", group=_BENCH, label="Spill", default="1 %"),
    Field(key="spares", group=_BENCH, label="Spare jars in a batch", default="0"),
    *_steps(),
    *_packaging(),
    Field(
        key="law",
        group=_LABELS,
        label="Sold in",
        default="GB",
        choices=(
            ("GB", "Great Britain"),
            ("EU", "the European Union, Northern Ireland"),
            ("US", "the United States"),
            ("UN", "elsewhere, by the UN's GHS"),
        ),
    ),
    Field(
        key="label_language",
        group=_LABELS,
        label="Language of the label",
        default="en",
        choices=(("en", "English"), ("de", "German"), ("fr", "French"), ("es", "Spanish")),
    ),
    Field(
        key="supplier_name",
        group=_LABELS,
        label="Your name on the label",
        default="",
        hint="The business that answers for the candle.",
    ),
    Field(
        key="supplier_address",
        group=_LABELS,
        label="Your address on the label",
        default="",
    ),
    Field(
        key="supplier_telephone",
        group=_LABELS,
        label="Your telephone on the label",
        default="",
        hint="A hazard label in Europe needs one.",
    ),
    Field(
        key="net_quantity",
        group=_LABELS,
        label="Net weight by",
        default="eu",
        choices=(
            ("eu", "grams (76/211/EEC, UK SI 2006/659)"),
            ("us", "ounces and grams (16 CFR 500)"),
            ("both", "both"),
        ),
    ),
    Field(
        key="below_t1",
        group=_LABELS,
        label="Jars that may be light (below T1)",
        default="2.5 %",
        hint="Of a batch weighed whole, under the European test.",
        choices=(("2.5 %", "2.5 %, as usual"), ("2 %", "2 %, Germany")),
    ),
    Field(
        key="pictograms",
        group=_LABELS,
        label="Hazard pictograms on a US candle",
        default="no",
        hint="A retail candle in the United States does not call for them.",
        choices=(("no", "no"), ("yes", "yes, I also sell elsewhere")),
    ),
    Field(
        key="backup_every",
        group=_BACKUPS,
        label="Back up",
        default="1",
        hint="While the program is open. A backup is read back before it counts as one.",
        choices=(("1", "every day"), ("7", "every week"), ("30", "every 30 days"), ("0", "never")),
    ),
    Field(
        key="backup_folder",
        group=_BACKUPS,
        label="Into the folder",
        default="backups",
        hint="Beside the workshop, unless it is named in full. Best on another disc.",
    ),
    Field(
        key="backup_keep",
        group=_BACKUPS,
        label="Keep the newest",
        default="14",
        hint="Older ones are deleted, but never the only good one.",
    ),
)

KEYS: Final = frozenset(field.key for field in FIELDS)
DEFAULTS: Final = {field.key: field.default for field in FIELDS}
