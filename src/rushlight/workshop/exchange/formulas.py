"""Texts that a spreadsheet would take for a formula, in fields that later leave in a table."""

from __future__ import annotations

import re
from typing import Final

# = and @ always begin one there; + and - do before anything but a number or a blank, so that
# “-5”, “+44 20 …” and “- stirred twice” are what they look like
_FORMULA: Final = re.compile(r"\s*(?:[=@＝＠]|[+\-＋−－]+[^\s0-9+\-])")

WHAT: Final = "This begins like a formula of a spreadsheet."
REMEDY: Final = "Begin it with a letter or a digit: it would be run where the list is opened."


def looks_like_formula(text: str) -> bool:
    """Whether a spreadsheet might work out a text instead of showing it.

    Outgoing tables neutralise such texts anyway (`csv_writer`); here they are pointed out,
    because no material, supplier or buyer is called so.
    """
    if re.match(r"\s*[+\-＋−－][0-9]", text) is not None:  # -5+cmd|' /C calc'!A0
        return "|" in text or "!" in text or "(" in text
    return _FORMULA.match(text) is not None
