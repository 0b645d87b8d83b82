"""A batch to print, and a way to read a page back."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from dataclasses import replace
from typing import Any

import pytest

from rushlight.candle import batch, document, kinds, weigh
from rushlight.candle.sheet import BatchSheet
from rushlight.press.pour_sheet import PourSheetData
from rushlight.press.pour_sheet_from import from_batch
from rushlight.quantity.show import METRIC, Preference

DAY = dt.date(2026, 5, 2)

DOCUMENT: dict[str, Any] = {
    "name": "Slipway",
    "note": "Wicks warm, jars dry.",
    "vessel": {"use": "straight tumbler", "height": "90 mm", "diameter": "76 mm", "wall": "3 mm"},
    "fill": {"headspace": "12 mm"},
    "wax": {"use": "soy container"},
    "fragrance": {
        "load": "8 %",
        "basis": "of wax",
        "oils": [
            {"name": "Tar and samphire", "parts": "2", "flash_point": "93 C"},
            {"name": "Cedar shavings", "parts": "1", "flash_point": "99 C"},
        ],
    },
    "dyes": [{"name": "Slate blue", "drops": "60", "drop_mass": "0.03 g", "per": "1 kg"}],
    "wick": {"use": "cotton flat", "allowance": "15 mm"},
    "finishes": [{"name": "Lime wash", "amount": "4 g"}],
    "batch": {"jars": "20", "spares": "2", "residue": "15 g", "spill": "1 %", "capacity": "4 kg"},
}


@pytest.fixture
def sheet() -> Callable[..., BatchSheet]:
    """Return a maker of batches: keywords replace tables of the document."""

    def make(**tables: Any) -> BatchSheet:
        doc = DOCUMENT | tables
        jar = weigh.weigh(document.read(doc, kinds.built_in()))
        return batch.scale(jar, document.read_batch(doc))

    return make


@pytest.fixture
def data(sheet: Callable[..., BatchSheet]) -> Callable[..., PourSheetData]:
    """Return a maker of sheets to print: keywords replace fields of the sheet."""

    def make(preference: Preference = METRIC, **fields: Any) -> PourSheetData:
        made = from_batch(sheet(), preference, created=DAY, revision="3", pour="17")
        return replace(made, **fields)

    return make
