"""The caution on a US household candle: the elements of the Federal Hazardous Substances Act.

What it says comes from `rushlight.hazard.us_caution`; here it gets its place and its sizes.
16 CFR 1500.121 sets least type sizes by the area of the principal display panel, and means
by type size the height of the printed capitals (our reading, from memory): so the capitals
are measured here, also where a text is mostly lower case. Signal word and principal hazard
are all capitals; every text beside them counts as "other cautionary material", which asks
for more than the rule does of the maker's name.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from math import pi

from rushlight.errors import BadInput
from rushlight.hazard.us_caution import UsCaution
from rushlight.hazard.us_consumer import TypeSizes, type_sizes
from rushlight.press.labels.design import (
    LEGIBLE_RULE,
    Align,
    Frame,
    Gap,
    Label,
    Lettering,
    Outline,
    Part,
    Shape,
    Words,
)
from rushlight.press.labels.faces import LEGIBLE, Face
from rushlight.press.labels.hazardous import unknown
from rushlight.quantity.si import Metre

READING = "Type sizes are measured on the capitals: 16 CFR 1500.121 as we read it (from memory)."
NOT_THE_PANEL = "The label was taken for the panel: a larger panel of the jar asks for larger type."
_METRE = 1e3  # [mm]


@dataclass(frozen=True, slots=True, kw_only=True)
class Household:
    """What stands on the caution.

    maker: name and place of business; product: its name above all, none if empty;
    uncounted: materials without a safety data sheet, which the notes name. types: least sizes
    for the jar's principal display panel; those for a panel of the label's own area where not
    given. scale: letters larger than the least by this factor [1].
    """

    said: UsCaution
    maker: str
    product: str = ""
    uncounted: tuple[str, ...] = ()
    types: TypeSizes | None = None
    scale: float = 1.0

    def label(self, outline: Outline) -> Label:
        """Return the label; raises BadInput where the maker's name and place are missing."""
        if not self.maker.strip():
            raise BadInput.one(
                f"The maker's name and place of business are missing: {self.said.paragraph}(1)(A)"
                " (from memory).",
                "Type both: who makes or sells it, town, state and ZIP code.",
                "maker",
            )
        types = self.types or type_sizes(_area(outline))
        align = Align.CENTRE if outline.shape is Shape.ROUND else Align.LEFT
        return Label(
            name="caution",
            outline=outline,
            parts=tuple(self._parts(types, align)),
            frame=Frame.LINE,
            notes=(
                self.said.aid,
                *unknown(self.uncounted),
                READING,
                *(() if self.types else (NOT_THE_PANEL,)),
                *self.said.placement,
            ),
        )

    def _parts(self, types: TypeSizes, align: Align) -> Iterable[Part]:
        """Yield the texts in their order, with a little air between them."""
        said = self.said
        signal, hazard, other = types.inches
        loud = self._letters(Face.SANS_BOLD, types.signal_word, signal, types)
        grave = self._letters(Face.SANS_BOLD, types.principal_hazard, hazard, types)
        plain = self._letters(Face.SANS, types.other, other, types)
        bold = self._letters(Face.SANS_BOLD, types.other, other, types)
        above = 0.0
        for place, text, letters in (
            ("product", self.product, bold),
            ("signal word", said.signal, loud),
            ("principal hazard", ". ".join(said.hazards) + ".", grave),
            ("components", said.contains, plain),
            ("precautions", " ".join(said.precautions), plain),
            ("first aid", said.first_aid, plain),
            ("children", said.children, bold),
            ("maker", self.maker, plain),
        ):
            if text.strip():
                yield Gap(above)
                yield Words(text=text, letters=letters, align=align, place=place)
                above = plain.x_height * 0.7

    def _letters(self, face: Face, least: Metre, inches: str, types: TypeSizes) -> Lettering:
        """Return letters whose capitals are as high as the rule asks [m], and large enough."""
        cut = face.cut
        asked = least * _METRE * cut.x_height / cut.capital
        rule = f"{types.paragraph}: capitals of {inches} in ({types.source})"
        lowest, rule = max((asked, rule), (LEGIBLE, LEGIBLE_RULE))
        return Lettering(face=face, x_height=lowest * self.scale, least=lowest, rule=rule)


def _area(outline: Outline) -> float:
    """Return the area of a label [m²]."""
    share = pi / 4 if outline.shape is Shape.ROUND else 1.0
    return share * outline.width * outline.height / _METRE**2
