"""The one look that the tables of all commands share."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rushlight.cli.say import plain

if TYPE_CHECKING:
    from rich.table import Table
    from rich.text import Text


def words(text: object, style: str = "") -> Text:
    """Return text as it stands: no markup is read in it, nothing in it steers the terminal."""
    from rich.text import Text

    return Text(plain(text), style)


def table(*columns: tuple[str, str]) -> Table:
    """Return an empty table of the one look all commands share: rules, no boxes."""
    from rich.table import Table

    made = Table(box=None, pad_edge=False, padding=(0, 2, 0, 0), header_style="dim")
    for name, justify in columns:
        made.add_column(name, justify="right" if justify == "right" else "left")
    return made
