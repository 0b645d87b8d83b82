"""A GTIN and a lot in one code of bars, for shops that read GS1 element strings.

The element string is (01) and the GTIN on 14 digits, then (10) and the lot; a lot has to
come with the GTIN it belongs to (GS1 General Specifications, section 3.4.1; the rest of what
is said of GS1-128 here from memory). The GTIN is the maker's own, licensed one.
"""

from __future__ import annotations

from rushlight.errors import BadInput
from rushlight.press.labels.gtin import Gtin

LONGEST = 20
"""Characters of a lot under (10)."""
MODULE = 0.254
"""Width of the narrowest bar [mm]: three dots of a printer of 300 dpi, within what GS1-128
allows (0.25 to 0.495 mm on what a till does not read; from memory)."""
HEIGHT = 13.0
"""Height of the bars [mm]; half an inch, the least for small items (from memory)."""
QUIET = 10
"""Empty modules on either side."""
_SIGNS = frozenset("!\"%&'()*+,-./_:;<=>?")  # beside letters and figures, all a lot may hold


def element_string(gtin: Gtin, lot: str) -> str:
    """Return what a scanner reads, without the sign that GS1 begins with.

    Raises BadInput where the lot is not one that (10) can hold.
    """
    odd = sorted({c for c in lot if not (c in _SIGNS or (c.isascii() and c.isalnum()))})
    if odd or not 1 <= len(lot) <= LONGEST:
        what = f"“{lot[:40]}” is no lot for a GS1 code."
        remedy = f"Use 1 to {LONGEST} letters, figures and hyphens."
        raise BadInput.one(what, remedy, "lot")
    return f"01{gtin.digits.zfill(14)}10{lot}"


def said(gtin: Gtin, lot: str) -> str:
    """Return the element string as it is printed for people, in its brackets."""
    return f"(01) {gtin.digits.zfill(14)} (10) {lot}"


def modules(gtin: Gtin, lot: str) -> str:
    """Return the symbol as a row of modules, 1 a bar, without its quiet zones."""
    from barcode.codex import Gs1_128

    return str(Gs1_128(element_string(gtin, lot)).build()[0])


def width(gtin: Gtin, lot: str, module: float) -> float:
    """Return the width of the symbol with its quiet zones [mm]."""
    return (len(modules(gtin, lot)) + 2 * QUIET) * module
