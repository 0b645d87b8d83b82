"""The candle document: what she typed, read into a candle with every problem at once."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from rushlight.candle.document_mix import read_additives, read_dyes, read_fragrance
from rushlight.candle.document_outside import read_finishes, read_wick
from rushlight.candle.document_section import Section
from rushlight.candle.document_table import (
    LONGEST_NOTE,
    Layer,
    as_text,
    key_text,
    table,
    unknown_keys,
)
from rushlight.candle.document_vessel import read_fill, read_vessel
from rushlight.candle.document_wax import read_wax
from rushlight.candle.facts import Shelf, fact
from rushlight.candle.parts import Candle
from rushlight.candle.sheet import Batch
from rushlight.errors import BadInput, Problems
from rushlight.quantity.si import Fraction1, Kilogram

FORMAT = 1
"""Version of the document's format."""
TABLES = ("vessel", "fill", "wax", "fragrance", "dyes", "additives", "wick", "finishes")
KEYS = ("rushlight", "name", "note", *TABLES, "batch", "price")
BATCH_KEYS = ("jars", "spares", "residue", "spill", "capacity", "readability")
DEFAULTS: Mapping[str, str] = {
    "jars": "1",
    "spares": "0",
    "residue": "0 g",
    "spill": "0 %",
    "readability": "1 g",
}


def read(doc: Mapping[str, Any], shelf: Shelf) -> Candle:
    """Return the candle of a document.

    doc: the nested fields as typed (text; numbers and yes/no are taken too).
    shelf: where `use` finds its materials. Raises BadInput with every problem found,
    each at its dotted place. The batch and price tables are read elsewhere.
    """
    problems = Problems()
    doc = _top(doc, problems)
    name = _words(doc, "name", problems) or "untitled"
    note = _words(doc, "note", problems, longest=LONGEST_NOTE)
    vessel = read_vessel(doc.get("vessel"), shelf, problems)
    fill = read_fill(doc.get("fill"), problems)
    wax = read_wax(doc.get("wax"), shelf, problems)
    load, oils = read_fragrance(doc.get("fragrance"), shelf, problems)
    dyes = read_dyes(doc.get("dyes"), shelf, problems)
    additives = read_additives(doc.get("additives"), shelf, problems)
    wick = read_wick(doc.get("wick"), shelf, problems)
    finishes = read_finishes(doc.get("finishes"), shelf, problems)
    problems.check()
    if vessel is None or fill is None or wax is None or wick is None:
        raise AssertionError("a part is missing and no problem says so")
    return Candle(
        name=name,
        vessel=vessel,
        fill=fill,
        wax=wax,
        wick=wick,
        load=load,
        oils=oils,
        dyes=dyes,
        additives=additives,
        finishes=finishes,
        note=note,
    )


def read_batch(doc: Mapping[str, Any], defaults: Mapping[str, Any] | None = None) -> Batch:
    """Return the batch of a document.

    defaults: typed values, by the same keys, for what the document leaves out (the
    workshop's settings); what neither gives is one jar with no allowances.
    """
    raw = _top(doc, Problems()).get("batch")  # the candle's own problems are told by `read`
    problems = Problems()
    below: Layer = {key: fact(value) for key, value in (defaults or {}).items() if value}
    own: Layer = {key: fact(value) for key, value in DEFAULTS.items()}
    here = Section("batch", "batch", (table(raw, "batch", problems), below, own), problems)
    here.only(BATCH_KEYS)
    values = {key: here.number(key) for key in BATCH_KEYS}
    problems.check()
    capacity = values["capacity"]
    return Batch(
        jars=int(values["jars"] or 0),
        spares=int(values["spares"] or 0),
        residue=Kilogram(values["residue"] or 0.0),
        spill=Fraction1(values["spill"] or 0.0),
        capacity=None if capacity is None else Kilogram(capacity),
        readability=Kilogram(values["readability"] or 0.0),
    )


def _top(doc: Any, problems: Problems) -> Mapping[str, Any]:
    if not isinstance(doc, Mapping):
        raise BadInput.one("This is not a candle document.", "It is a table of named fields.")
    unknown_keys((key_text(key) for key in doc), KEYS, "", problems)
    version = doc.get("rushlight", FORMAT)
    if version not in (FORMAT, str(FORMAT), ""):
        problems.add(
            "rushlight",
            "This document is of a format this Rushlight does not know.",
            f"Type rushlight = {FORMAT}, or use a newer Rushlight.",
        )
    return doc


def _words(doc: Mapping[str, Any], key: str, problems: Problems, *, longest: int = 120) -> str:
    try:
        return as_text(doc.get(key) or "", longest=longest)
    except BadInput as bad:
        problems.extend(bad.at(key).problems)
        return ""
