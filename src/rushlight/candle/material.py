"""Checking the facts of one material, before a workshop keeps them."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from rushlight.candle import document_mix, document_outside, document_vessel, document_wax
from rushlight.candle.document_range import parse_range
from rushlight.candle.document_section import Section, section
from rushlight.candle.document_table import as_text, table, unknown_keys
from rushlight.candle.document_vessel import read_profile
from rushlight.candle.facts import Shelf
from rushlight.candle.kinds import ROLES
from rushlight.candle.limits import LIMITS
from rushlight.errors import BadInput, Problems

FIELDS: Mapping[str, str] = {
    "vessel": "vessel",
    "wax": "wax",
    "fragrance": "fragrance.oils",
    "dye": "dyes",
    "additive": "additives",
    "wick": "wick",
    "finish": "finishes",
    "packaging": "packaging",
}
"""By role, where its facts stand in a candle document."""

_KEYS: Mapping[str, tuple[str, ...]] = {
    "vessel": document_vessel.KEYS,
    "wax": document_wax.KEYS,
    "fragrance": document_mix.OIL_KEYS,
    "dye": document_mix.DYE_KEYS,
    "additive": document_mix.ADDITIVE_KEYS,
    "wick": document_outside.WICK_KEYS,
    "finish": document_outside.FINISH_KEYS,
    "packaging": ("kind", "name"),
}
_FLAGS = ("combustible", "sheds")
_RANGES = (*document_wax.WINDOWS, *document_wax.SPANS, "usual_load", "burn_rate", "suits")


def keys(role: str) -> tuple[str, ...]:
    """Return the facts a material of a role may have, in the order of the document."""
    return tuple(key for key in (*_KEYS[role], "about") if key != "use")


def check(role: str, typed: Mapping[str, Any], shelf: Shelf) -> None:
    """Raise BadInput with every fact of a material that cannot be used.

    typed: facts as text or as {value, origin, source}; places are the keys. What is
    missing is no problem: the kind, or the candle that uses it, may say it.
    """
    if role not in ROLES:
        raise BadInput.one("There is no such role.", f"Choose one of: {', '.join(ROLES)}.", "role")
    problems = Problems()
    facts = table(typed, "", problems)
    unknown_keys(facts, keys(role), "", problems)
    here = Section("", FIELDS[role], (facts,), problems)
    for key in facts:
        _check(here, key)
    if role == "wax":
        over_kind = section(
            typed, place="", field="wax", role=role, shelf=shelf, problems=Problems()
        )
        document_wax.check_melting(over_kind, problems)
    kind = here.text("kind")
    if kind and shelf.facts(role, kind) is None:
        names = ", ".join(shelf.names(role)[:12])
        here.note("kind", f"There is no kind called “{kind}”.", f"Choose one of: {names}.")
    problems.check()


def _check(here: Section, key: str) -> None:
    base = key.removesuffix("_aim")
    field = f"{here.field}.{base}"
    if key == "profile":
        read_profile(here)
    elif key in _FLAGS:
        here.flag(key)
    elif base in _RANGES and field in LIMITS:
        try:
            parse_range(field, as_text(here.layers[0][key].value))
        except BadInput as bad:
            here.problems.extend(bad.at(key).problems)
    elif field in LIMITS:
        here.number(key)
    else:
        here.text(key)
