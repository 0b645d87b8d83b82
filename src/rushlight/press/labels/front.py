"""The front of a jar: its name, its scent, and what it holds in letters of the right height."""

from __future__ import annotations

import re
from dataclasses import dataclass

from rushlight.errors import BadInput
from rushlight.hazard.netcontents.emark import Marking
from rushlight.hazard.netcontents.panel import TypeHeight
from rushlight.press.labels.design import (
    LEGIBLE_RULE,
    TIE,
    Align,
    Frame,
    Gap,
    Label,
    Lettering,
    Outline,
    Part,
    Rule,
    Shape,
    Spring,
    Words,
)
from rushlight.press.labels.faces import ABOVE, LEGIBLE, Face

E_MARK_NOTE = "Compare the ℮ with its drawing in Directive 2009/34/EC."
_UNIT = re.compile(r"(?<=\d) (?=[^\W\d])| (?=℮)")  # the space before a unit, or the ℮
_METRE = 1e3  # [mm]
_USUAL = 1.5  # x-height [mm] of a declaration that no rule makes larger
_BOTTOM = 0.30
_FREE_AREA = 5 * 25.4**2  # [mm²] 16 CFR 500.6: the bottom rule spares 5 square inches (memory)


@dataclass(frozen=True, slots=True, kw_only=True)
class Look:
    """The maker's choice of type; name_x_height [mm] of the candle's name."""

    name: Face = Face.SERIF
    name_x_height: float = 3.4
    small: Face = Face.SANS
    small_x_height: float = 1.3
    frame: Frame = Frame.LINE


@dataclass(frozen=True, slots=True, kw_only=True)
class Front:
    """What stands on the front.

    net: the declaration as printed ("Net Wt 8 oz (226 g)", "220 g ℮"); kind: what it is
    ("Scented candle"), the identity that 16 CFR 500.4 asks for; maker: the house's name.
    panel: least letter height from the display panel (16 CFR 500.21): of the capitals where
    the declaration is all capitals, of the lower-case o otherwise (from memory). marking:
    least heights for the ℮ (76/211/EEC). net_x_height [mm]: the least allowed, or 1.5 where
    no rule asks for as much, unless given.
    """

    name: str
    net: str
    kind: str = ""
    maker: str = ""
    panel: TypeHeight | None = None
    marking: Marking | None = None
    net_x_height: float | None = None
    look: Look = Look()

    def label(self, outline: Outline) -> Label:
        """Return the front as a label; raises BadInput where the net weight is missing."""
        if not self.net.strip():
            raise BadInput.one("A jar says what it holds.", "Type the net weight.", "net")
        look = self.look
        parts: list[Part] = []
        if self.maker:
            parts += [_small(self.maker, look, "maker", 0.16), Gap(look.small_x_height)]
        parts.append(Spring())
        letters = Lettering(face=look.name, x_height=look.name_x_height)
        parts.append(Words(text=self.name, letters=letters, align=Align.CENTRE, place="name"))
        if self.kind:
            parts += [Gap(1.2), Rule(thickness=0.2, share=0.18), Gap(1.6)]
            parts.append(_small(self.kind, look, "kind", 0.08))
        parts += [Spring(), Gap(1.0), self._declared(outline)]
        return Label(
            name="front",
            outline=outline,
            parts=tuple(parts),
            frame=look.frame,
            notes=(
                *(self.panel.placement if self.panel else ()),
                *((E_MARK_NOTE,) if "℮" in self.net else ()),
            ),
        )

    def _declared(self, outline: Outline) -> Words:
        """Return the declaration, low on the panel and with clear space (16 CFR 500.6)."""
        panel = self.panel
        letters = _net_letters(self.net, panel, self.marking, self.net_x_height)
        low = panel is not None and panel.area * _METRE**2 > _FREE_AREA * (1 + 1e-9)
        return Words(
            text=_UNIT.sub(TIE, self.net),
            letters=letters,
            align=Align.CENTRE,
            place="net weight",
            clear=_clear(letters) if panel else 0.0,
            foot=_BOTTOM if low and outline.shape is Shape.RECTANGLE else None,
        )


def _small(text: str, look: Look, place: str, tracking: float) -> Words:
    letters = Lettering(face=look.small, x_height=look.small_x_height, tracking=tracking)
    return Words(text=text, letters=letters, align=Align.CENTRE, place=place)


def _net_letters(
    net: str, panel: TypeHeight | None, marking: Marking | None, x_height: float | None
) -> Lettering:
    """Return the lettering of the declaration, no lower than the rules allow."""
    cut = Face.SANS_BOLD.cut
    asked = [(LEGIBLE, LEGIBLE_RULE)]
    if panel is not None:
        # all capitals are measured by the capital, mixed letters by the o: no lower than the x
        share = cut.x_height / cut.capital if net.upper() == net else 1.0
        asked.append((panel.height * _METRE * share, f"{panel.paragraph}: {panel.inches} in"))
    if marking is not None:
        heights = [marking.figures / cut.figure]
        if "℮" in net:
            heights.append(marking.e_mark / cut.estimated)
        asked.append((max(heights) * _METRE * cut.x_height, "marking by 76/211/EEC"))
    least, rule = max(asked)
    return Lettering(
        face=Face.SANS_BOLD,
        x_height=max(least, _USUAL) if x_height is None else x_height,
        least=least,
        rule=rule,
    )


def _clear(letters: Lettering) -> float:
    """Return the space to leave above and below: the height of the letters (16 CFR 500.6)."""
    cut = letters.face.cut
    own = (ABOVE - cut.capital) * letters.size  # the line's own air above its capitals
    return max(cut.capital * letters.size - own, 0.0)
