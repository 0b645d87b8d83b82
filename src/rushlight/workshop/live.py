"""The live sheet: a document as it stands, computed with what the workshop knows."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

from rushlight.candle import document as candle_document
from rushlight.candle.batch import scale
from rushlight.candle.facts import Shelf
from rushlight.candle.sheet import BatchSheet, JarSheet
from rushlight.candle.weigh import weigh
from rushlight.errors import BadInput, Problem
from rushlight.workshop.candle_views import Sheets
from rushlight.workshop.shop import Workshop
from rushlight.workshop.supplies import needs_of, supplies_of

if TYPE_CHECKING:
    from sqlalchemy import Connection


def sheet(
    shop: Workshop, document: Mapping[str, Any], batch: Mapping[str, str] | None = None
) -> Sheets:
    """Compute a document as it stands, saved or not.

    batch: typed texts (jars, spares, residue, spill, capacity, readability) over the
    document's own [batch] over the settings. BadInput with every problem.
    """
    with shop.store.reading() as connection:
        return sheets_within(connection, document, batch)


def sheets_within(
    connection: Connection, document: Mapping[str, Any], batch: Mapping[str, str] | None
) -> Sheets:
    """Compute a document within a reading."""
    from rushlight.store.queries.others import settings
    from rushlight.workshop.settings import settings_of
    from rushlight.workshop.shelf import StoredShelf

    defaults = settings_of(settings(connection)).batch_defaults()
    typed = batch_texts(document, batch, defaults)
    jar, whole = computed(document, typed, StoredShelf(connection, document))
    needs = needs_of(document, whole)
    return Sheets(jar=jar, batch=whole, supplies=supplies_of(connection, needs))


def computed(
    document: Mapping[str, Any], batch: Mapping[str, Any], shelf: Shelf
) -> tuple[JarSheet, BatchSheet]:
    """Return the sheets of one jar and of a batch; BadInput with the problems of both."""
    problems: list[Problem] = []
    jar = size = None
    try:
        jar = weigh(candle_document.read(document, shelf))
    except BadInput as bad:
        problems += bad.problems
    try:
        size = candle_document.read_batch({"batch": batch})
    except BadInput as bad:
        problems += bad.problems
    if jar is None or size is None:
        raise BadInput(*problems)
    return jar, scale(jar, size)


def batch_texts(
    document: Mapping[str, Any], batch: Mapping[str, str] | None, defaults: Mapping[str, str]
) -> dict[str, Any]:
    """Return the batch as typed: what is given now, over the document's, over the settings."""
    own = document.get("batch")
    layers = (defaults, own if isinstance(own, Mapping) else {}, batch or {})
    return {
        str(key): value
        for layer in layers
        for key, value in layer.items()
        if not (value is None or (isinstance(value, str) and not value.strip()))
    }
