"""A line of a delivery as it is typed on the command line, in one go.

“Millpond soy, 2 x 10 kg @ 52.00, lot MS-2209, until 2027-05-31”: what came; how many packs of
what size, and the price of one; the supplier's lot code; until when it is good, or `retest` and
the day. The name may hold commas itself. Without @ and a price the cost is not known.
"""

from __future__ import annotations

import re

from rushlight.errors import BadInput

LIKE = "Type it like “Millpond soy, 2 x 10 kg @ 52.00, lot MS-2209, until 2027-05-31”."
_PARTS = re.compile(r",\s+")  # “0,5 kg” is one part
_PACKS = re.compile(r"(?P<packs>\d+)\s*[x×*]\s*(?P<pack>[^@]+?)(?:\s*@\s*(?P<price>.+))?")
_WORDS = {"lot": "supplier_lot", "until": "expires", "retest": "expires"}


def read(text: str) -> dict[str, str]:
    """Return the fields of a line by their names in a form; BadInput when it is none."""
    found: dict[str, str] = {}
    parts = [part.strip() for part in _PARTS.split(text.strip())]
    while parts:
        word, _, rest = parts[-1].partition(" ")
        field = _WORDS.get(word.casefold())
        if field is None or not rest.strip():
            break
        if field in found:
            raise BadInput.one(f"“{parts[-1][:40]}” is said twice over.", "Leave one of them out.")
        found[field] = rest.strip()
        if field == "expires":
            found["date_kind"] = "retest" if word.casefold() == "retest" else "expiry"
        parts.pop()
    packs = _PACKS.fullmatch(parts[-1]) if parts else None
    name = ", ".join(part for part in parts[:-1] if part)
    if packs is None or not name:
        what = f"“{text[:60]}” does not say what came, and how many packs of what size."
        raise BadInput.one(what, LIKE)
    said = {key: value.strip() for key, value in packs.groupdict(default="").items()}
    return {"material": name, **said, **found}
