"""How the stores are shown on the terminal: amounts, money and days in the maker's own way."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal
from typing import TYPE_CHECKING

from rushlight.cli.tables import table, words
from rushlight.quantity import show
from rushlight.quantity.preference import Preference
from rushlight.workshop.material_views import Amount
from rushlight.workshop.stores.saying import said

if TYPE_CHECKING:  # read in where a table is written, not where JSON is
    from rich.console import Console

NOT_KNOWN = "not known"
_KILO, _MEGA = 1_000, 1_000_000


@dataclass(frozen=True, slots=True)
class Shown:
    """Writes to the terminal in the units and the currency of a workshop."""

    pref: Preference

    def amount(self, found: Amount | None) -> str:
        """Return an amount; nothing where there is none."""
        return "" if found is None else said(found, self.pref)

    def some(self, found: Amount | None) -> str:
        """Return an amount; nothing where it is none or nought."""
        return self.amount(found) if found is not None and found.units else ""

    def money(self, found: Decimal | None) -> str:
        """Return money; words where a cost is not known, for it is not nought."""
        return NOT_KNOWN if found is None else show.money(found, self.pref)

    def line(self, text: object, style: str = "") -> None:
        """Write a line."""
        _console().print(words(text, style))

    def rows(self, title: str, columns: Sequence[str], rows: Iterable[Sequence[object]]) -> None:
        """Write a table under its title; nothing at all where it has no rows.

        A column whose name ends in ">" stands at the right.
        """
        made = table(*((c.rstrip(">"), "right" if c.endswith(">") else "left") for c in columns))
        for row in rows:
            made.add_row(*(words("" if cell is None else cell) for cell in row))
        if not made.row_count:
            return
        console = _console()
        if title:
            console.print(words(title, "bold"))
        from rich.padding import Padding

        console.print(Padding(made, (0, 0, 1, 0)))


def day(found: date | None) -> str:
    """Return a day; nothing where there is none."""
    return "" if found is None else found.isoformat()


def moment(found: datetime | None) -> str:
    """Return a moment to the minute; nothing where there is none."""
    return "" if found is None else f"{found:%Y-%m-%d %H:%M}"


def counted(number: int, name: str) -> str:
    """Return how many there are of something: “1 jar”, “3 jars”."""
    return f"{number:,} {name}" if number == 1 else f"{number:,} {name}s"


def size(number: int) -> str:
    """Return the size of a file [bytes] in words: “46.7 kB”, “1.2 MB”."""
    mega = number >= _MEGA
    return f"{number / (_MEGA if mega else _KILO):,.1f} {'MB' if mega else 'kB'}"


def _console() -> Console:
    from rich.console import Console

    return Console(highlight=False)
