"""What the heat commands share: the candle found, the room, figures as a table, the plot."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from rushlight.cli.found import Found, find
from rushlight.errors import BadInput
from rushlight.heat.enthalpy import ZERO
from rushlight.quantity.show import Preference
from rushlight.web.say import Say

if TYPE_CHECKING:
    from markupsafe import Markup

    from rushlight.web.heat_words import Answer

ROOM = ZERO + 21.0
PIXELS = 144.0  # to the inch, of a PNG


@dataclass(frozen=True, slots=True)
class Wanted:
    """What was asked for; texts as typed, under the names of `heat_asked`."""

    candle: str
    workshop: str | None
    typed: Mapping[str, str]
    units: str | None
    plot: Path | None


class Spoken(Say):
    """What a page says, in the units of a command."""

    def __init__(self, pref: Preference) -> None:  # a command has no settings of its own
        """Bind to a preference."""
        self.pref = pref


def found_for(wanted: Wanted) -> tuple[Found, float]:
    """Return the candle and the room's temperature [K] where none is typed."""
    if wanted.plot is not None and wanted.plot.suffix.casefold() not in {".svg", ".png"}:
        raise BadInput.one(
            "A plot is drawn as SVG or PNG.", 'Give a name that ends in ".svg".', str(wanted.plot)
        )
    found = find(wanted.candle, wanted.workshop, {})
    return found, float(found.settings.room) if found.settings else ROOM


def show_answers(title: str, said: Iterable[str], answers: Sequence[Answer]) -> None:
    """Write words and a table of answers."""
    from rich.console import Console
    from rich.padding import Padding

    from rushlight.cli.tables import table, words

    console = Console(highlight=False)
    console.print(words(title, "bold"))
    for line in said:
        console.print(words(line))
    made = table(("Answer", "left"), ("Likely", "right"), ("Between", "left"))
    for one in answers:
        name = f"{one.name} ({one.note})" if one.note else one.name
        made.add_row(words(name), words(one.likely), words(one.between or "–"))
    console.print(Padding(made, (1, 0)))


def draw(path: Path, title: str, drawings: Sequence[tuple[str, Markup]]) -> None:
    """Write the plot, whole or not at all."""
    from rushlight.cli.write import write_whole
    from rushlight.web.drawing.alone import alone

    drawn = alone(title, drawings).encode()
    write_whole(path, drawn if path.suffix.casefold() == ".svg" else _png(drawn))


def _png(svg: bytes) -> bytes:
    import tempfile

    import typst

    with tempfile.TemporaryDirectory(prefix="rushlight-") as folder:
        Path(folder, "plot.svg").write_bytes(svg)
        page = Path(folder, "plot.typ")
        page.write_text(
            '#set page(width: auto, height: auto, margin: 0pt)\n#image("plot.svg")\n', "utf-8"
        )
        made = typst.compile(str(page), format="png", ppi=PIXELS)
    return bytes(made)
