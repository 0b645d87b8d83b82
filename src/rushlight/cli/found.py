"""Finding the candle a command is about: in a candle file, or by name in a workshop."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

from rushlight.candle.sheet import BatchSheet
from rushlight.errors import BadInput, Problems
from rushlight.quantity.show import METRIC, US, Preference

if TYPE_CHECKING:
    from rushlight.workshop.candles import Supply
    from rushlight.workshop.settings import Settings

Laid = Mapping[str, Mapping[str, str]]
"""What the command line says, by table of the document: {"batch": {"jars": "24"}}."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Found:
    """A candle's sheet, and what a workshop adds to it."""

    sheet: BatchSheet
    preference: Preference = METRIC
    revision: str = ""
    supplies: tuple[Supply, ...] | None = None
    settings: Settings | None = None

    def preferred(self, units: str | None) -> Preference:
        """Return the units asked for, or else those of the workshop."""
        return {"metric": METRIC, "us": US}.get(units or "", self.preference)


def find(candle: str, workshop: str | None, laid: Laid) -> Found:
    """Return the sheet of a candle with what the command line says laid over it.

    candle: the path of a candle file, or a name where there is a workshop. Raises
    BadInput with every problem of the file, the candle and the command line.
    """
    if workshop is None:
        return find_in_file(Path(candle), laid)[0]
    return _in_workshop(candle, workshop, laid)


def laid_over(document: Mapping[str, Any], laid: Laid) -> dict[str, Any]:
    """Return a document with some of its fields replaced.

    A table that is none is left as it is, for the reader to refuse.
    """
    made = dict(document)
    for table, fields in laid.items():
        below = made.get(table) or {}
        if fields and isinstance(below, Mapping):
            made[table] = {**below, **fields}
    return made


def find_in_file(path: Path, laid: Laid) -> tuple[Found, dict[str, Any]]:
    """Return the sheet of a candle file, and the document it was made from."""
    from rushlight.candle import batch, document, kinds, weigh
    from rushlight.cli import candle_file

    typed = laid_over(candle_file.read(path), laid)
    problems = Problems()
    candle = size = None
    try:
        candle = document.read(typed, kinds.built_in())
    except BadInput as bad:
        problems.extend(bad.problems)
    try:
        size = document.read_batch(typed)
    except BadInput as bad:
        problems.extend(bad.problems)
    problems.check()
    if candle is None or size is None:
        raise AssertionError("a part is missing and no problem says so")
    return Found(sheet=batch.scale(weigh.weigh(candle), size)), typed


def _in_workshop(candle: str, place: str, laid: Laid) -> Found:
    from rushlight.cli.workshop import opened, slug_of
    from rushlight.workshop import candles, settings

    with opened(place) as shop:
        view = candles.get(shop, slug_of(candles.listing(shop), candle))
        sheets = candles.sheet(shop, laid_over(view.document, laid))
        kept = settings.current(shop)
    return Found(
        sheet=sheets.batch,
        preference=kept.preference,
        revision=str(view.revision),
        supplies=sheets.supplies,
        settings=kept,
    )
