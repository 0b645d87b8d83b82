"""Where the figures of a candle come from: typed, a maker's sheet, measured, or its kind."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from rushlight.candle.document_section import Section, section
from rushlight.candle.document_table import as_text, rows
from rushlight.candle.facts import Shelf
from rushlight.errors import BadInput, Problems

_TABLES = (("vessel", "vessel"), ("wax", "wax"), ("wick", "wick"))
_LISTS = (("dyes", "dye"), ("additives", "additive"), ("finishes", "finish"))


@dataclass(frozen=True, slots=True)
class Known:
    """One fact a candle rests on: dotted place, value as text, origin, source if known."""

    place: str
    value: str
    origin: str
    source: str


def provenance(doc: Mapping[str, Any], shelf: Shelf) -> tuple[Known, ...]:
    """Return every fact a document rests on, with its origin; the topmost of each key.

    Meant for a document that `document.read` accepts; what cannot be said as text
    (a measured profile) is said as "measured".
    """
    return tuple(_known(doc, shelf))


def _known(doc: Mapping[str, Any], shelf: Shelf) -> Iterator[Known]:
    unheard = Problems()
    for place, role in _TABLES:
        yield from _facts(
            section(
                doc.get(place), place=place, field=place, role=role, shelf=shelf, problems=unheard
            )
        )
    fragrance = doc.get("fragrance")
    oils = fragrance.get("oils") if isinstance(fragrance, Mapping) else None
    listed = [("fragrance.oils", "fragrance", oils)]
    listed += [(place, role, doc.get(place)) for place, role in _LISTS]
    for place, role, raw in listed:
        for at, row in rows(raw, place, unheard):
            yield from _facts(
                section(row, place=at, field=place, role=role, shelf=shelf, problems=unheard)
            )


def _facts(here: Section) -> Iterator[Known]:
    seen: set[str] = {"use", "kind", "about", "name"}
    for layer in here.layers:
        for key, fact in layer.items():
            if key in seen:
                continue
            seen.add(key)
            try:
                value = as_text(fact.value)
            except BadInput:
                value = "measured"
            yield Known(f"{here.place}.{key}", value, fact.origin, fact.source)
