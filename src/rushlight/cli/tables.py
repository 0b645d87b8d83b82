"""The one look that the tables of all commands share."""

from __future__ import annotations

from rich.table import Table
from rich.text import Text

from rushlight.cli.say import plain


def words(text: object, style: str = "") -> Text:
    """Return text as it stands: no markup is read in it, nothing in it steers the terminal."""
    return Text(plain(text), style)


def table(*columns: tuple[str, str]) -> Table:
    """Return an empty table of the one look all commands share: rules, no boxes."""
    made = Table(box=None, pad_edge=False, padding=(0, 2, 0, 0), header_style="dim")
    for name, justify in columns:
        made.add_column(name, justify="right" if justify == "right" else "left")
    return made
