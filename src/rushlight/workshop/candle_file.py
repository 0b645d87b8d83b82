"""A candle document as TOML text, to keep as a candle file."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from typing import Any

from rushlight.candle.document import FORMAT, KEYS
from rushlight.candle.document_table import as_text
from rushlight.errors import BadInput

LARGEST = 200_000
"""Characters of a candle file; no candle needs a tenth of it."""


def write(doc: Mapping[str, Any]) -> str:
    """Return a document as TOML that `parse` reads back to the same fields.

    What was left empty is left out; the format's version comes first. Text is kept
    as typed. Raises BadInput where the document holds what is not text or a table.
    """
    import tomli_w

    kept = {key: value for key, value in _kept(doc, "").items() if key != "rushlight"}
    known = {key: kept[key] for key in KEYS if key in kept}
    return tomli_w.dumps({"rushlight": FORMAT, **known, **kept}, multiline_strings=False)


def parse(text: str) -> dict[str, Any]:
    """Return the document in the text of a candle file, not yet read into a candle."""
    if len(text) > LARGEST:
        raise BadInput.one("This file is too large for a candle.", "Choose a candle file.")
    try:
        return tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise BadInput.one(
            f"This is not a candle file: {str(error)[:200]}.",
            'A candle file is TOML: name = "Slipway", then tables such as [vessel].',
        ) from error
    except (RecursionError, ValueError) as error:
        raise BadInput.one(
            "This file is nested or numbered beyond sense.", "Write it afresh."
        ) from error


def _kept(value: Mapping[str, Any], place: str) -> dict[str, Any]:
    kept = {}
    for key, entry in value.items():
        if entry is None or entry in ("", [], {}):
            continue
        kept[str(key)] = _value(entry, f"{place}.{key}".lstrip("."))
    return kept


def _value(entry: Any, place: str) -> Any:
    if place.count(".") > 6:  # noqa: PLR2004  the deepest field there is: vessel.profile.0.1
        raise BadInput.one("The document is nested too deeply.", "Write it afresh.", place[:80])
    if isinstance(entry, Mapping):
        return _kept(entry, place)
    if isinstance(entry, list | tuple):
        return [_value(one, f"{place}.{i}") for i, one in enumerate(entry)]
    if isinstance(entry, bool | int):
        return entry
    try:
        return as_text(entry, longest=5000)
    except BadInput as bad:
        raise bad.at(place) from bad
