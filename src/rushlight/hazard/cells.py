"""Reads the smaller cells of a pasted row: M-factors, specific limits, ATEs, pH."""

from __future__ import annotations

import re
from math import inf, nextafter

from rushlight.errors import BadInput
from rushlight.hazard.classes import hazard_class
from rushlight.hazard.codes import read_classes
from rushlight.hazard.component import Ate, Route, SpecificLimit
from rushlight.hazard.ranges import read_limit

_M = re.compile(
    r"(acute|chronic)?\s*(?:m\s*(?:\((acute|chronic)\))?\s*[=:]?)?\s*(\d{1,9})", re.IGNORECASE
)
_ATE = re.compile(
    r"(oral|dermal|gas(?:es)?|vapou?rs?|mist|dust(?:/mist)?|inhal\w*)\D*?"
    r"(?:(?<![\d.,])(\d{1,9}(?:[.,]\d{1,9})?)(?!\d)|(unknown))",
    re.IGNORECASE,
)
_LIMIT = re.compile(
    r"(?P<code>[^≥≤<>=:]*?[A-Za-z]\D*\d[A-C]?(?:\s+[a-z]+)?)\s*[:;]?\s*(?P<range>.*)"
)
_ROUTES = {"oral": Route.ORAL, "dermal": Route.DERMAL, "gas": Route.GAS, "vapo": Route.VAPOUR}
PH_LEAST, PH_MOST = 0.0, 14.0


def number(text: str, *, what: str) -> float:
    """Return a plain number [1]; comma or point."""
    if not re.fullmatch(r"\d{1,9}(?:[.,]\d{1,12})?", text.strip()):
        raise BadInput.one(f"“{text.strip()}” is not {what}.", "Type a number.")
    return float(text.strip().replace(",", "."))


def read_m(text: str) -> tuple[float | None, float | None]:
    """Return acute and chronic M-factor [1] of "10", "acute 10, chronic 1" or ""."""
    acute = chronic = None
    for piece in filter(None, (p.strip() for p in re.split(r"[,;]", text))):
        match = _M.fullmatch(piece)
        if match is None or int(match[3]) < 1:
            raise BadInput.one(f"“{piece}” is not an M-factor.", "Type 10, or acute 10; chronic 1.")
        kind = (match[1] or match[2] or "").lower()
        value = float(match[3])
        acute = value if kind != "chronic" else acute
        chronic = value if kind != "acute" else chronic
    return acute, chronic


def read_ates(text: str) -> tuple[tuple[Ate, ...], frozenset[Route]]:
    """Return estimates and unknown routes of "oral 500; vapour 11 mg/l; dermal unknown"."""
    ates: list[Ate] = []
    unknown: set[Route] = set()
    for piece in filter(None, (p.strip() for p in re.split(r";|\n", text))):
        match = _ATE.search(piece)
        if match is None:
            raise BadInput.one(
                f"“{piece}” is not an acute toxicity estimate.",
                "Name the route and the value: oral 500; dermal 1100; vapour 11 (mg/kg or mg/l).",
            )
        route = _ROUTES.get(match[1].lower()[:4].rstrip("e"), Route.MIST)
        if match[3]:
            unknown.add(route)
            continue
        value = float(match[2].replace(",", "."))
        if value <= 0.0:
            raise BadInput.one(
                f"“{piece}”: an acute toxicity estimate is more than 0.", "Check the figure."
            )
        over = ">" in piece[: match.start(2)]  # "> 2000" lies just above it: the next category
        ates.append(Ate(route, nextafter(value, inf) if over else value))
    return tuple(ates), frozenset(unknown)


def read_limits(text: str) -> tuple[SpecificLimit, ...]:
    """Return the limits of "Skin Irrit. 2: C ≥ 5 %; Skin Sens. 1 ≥ 0.1 %".

    Limits of one family must not overlap, else no outcome would be certain.
    """
    limits: list[SpecificLimit] = []
    for piece in filter(None, (p.strip() for p in re.split(r";|\n", text))):
        match = _LIMIT.fullmatch(piece)
        codes = read_classes(match["code"]) if match else ()
        if match is None or len(codes) != 1:
            raise BadInput.one(
                f"“{piece}” is not a specific concentration limit.",
                "Name the class and the limit: Skin Irrit. 2: C ≥ 5 %.",
            )
        limits.append(SpecificLimit(codes[0], *read_limit(match["range"])))
    _no_overlap(limits)
    return tuple(limits)


def _no_overlap(limits: list[SpecificLimit]) -> None:
    """Within a family the ranges of two outcomes must not run into each other."""
    for i, one in enumerate(limits):
        for other in limits[i + 1 :]:
            same = hazard_class(one.code).family == hazard_class(other.code).family
            first, second = sorted((one, other), key=lambda limit: limit.low)
            if same and first.high is not None and first.high > second.low:
                raise BadInput.one(
                    f"The limits of {one.code} and {other.code} overlap"
                    f" ({second.low * 100:g} to {first.high * 100:g} %).",
                    "Check where the one ends and the other begins.",
                )


def read_ph(text: str) -> float:
    """Return a pH [1] between 0 and 14."""
    value = number(text, what="a pH")
    if not PH_LEAST <= value <= PH_MOST:
        raise BadInput.one(f"A pH of {value:g} does not exist.", "Type one from 0 to 14.")
    return value


def read_additive(text: str) -> bool:
    """Return whether additivity applies: yes unless the cell says no."""
    word = text.strip().lower()
    if word in {"", "yes", "y", "additive"}:
        return True
    if word in {"no", "n", "not additive"}:
        return False
    raise BadInput.one(f"“{text.strip()}” is neither yes nor no.", "Type yes or no.")
