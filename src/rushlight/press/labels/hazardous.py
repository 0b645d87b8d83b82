"""The hazard label: pictograms, signal word, statements, in the order and sizes of CLP.

What it says was decided in `rushlight.hazard.label`; here it only gets its place. CLP is
followed in its layout wishes: one face without serifs, black on white, lines at least 1.2
of the size apart (Regulation (EU) 2024/2865, secondary source).
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from rushlight.errors import BadInput
from rushlight.hazard import label as hazard
from rushlight.hazard.sizes import Sizes
from rushlight.hazard.statements import word
from rushlight.press.labels.design import (
    LEGIBLE_RULE,
    Align,
    Column,
    Gap,
    Label,
    Lettering,
    Outline,
    Part,
    Pictograms,
    Row,
    Shape,
    Stand,
    Words,
)
from rushlight.press.labels.faces import LEGIBLE, Face

_METRE = 1e3  # [mm]
USUAL_X_HEIGHT = 1.2
USUAL_SIDE = 10.0
_ROW = 3  # pictograms in a row


@dataclass(frozen=True, slots=True, kw_only=True)
class Hazard:
    """What stands on the hazard label.

    product: its identifier; supplier: name, address and telephone number; quantity: nominal,
    as text; ufi: as typed; uncounted: materials without a safety data sheet, which the notes
    name. x_height, and side of the red squares [mm]: the least the law
    allows unless given.
    """

    said: hazard.Label
    product: str
    supplier: str = ""
    quantity: str = ""
    ufi: str = ""
    uncounted: tuple[str, ...] = ()
    x_height: float | None = None
    side: float | None = None

    def label(self, outline: Outline) -> Label:
        """Return the hazard label.

        Raises BadInput when there is nothing to say, or where the label is smaller than the
        law allows.
        """
        sizes = self.said.sizes
        _stop_too_small(outline, sizes)
        align = Align.CENTRE if outline.shape is Shape.ROUND else Align.LEFT
        return Label(
            name="hazard",
            outline=outline,
            parts=self.parts(align, beside=outline.width > outline.height),
            language=self.said.language.value,
            notes=(
                self.said.aid,
                *unknown(self.uncounted),
                *_notes(outline, sizes, self._side),
                *self.said.duties,
            ),
        )

    def parts(self, align: Align = Align.LEFT, *, beside: bool = False) -> tuple[Part, ...]:
        """Return the label as parts; beside: one row of pictograms stands left of the text."""
        if self.said.empty:
            unknown = ", ".join(self.uncounted)
            raise BadInput.one(
                f"Not known: there is no safety data sheet for {unknown}."
                if unknown
                else "The rules call for no hazard label here.",
                "Enter it first." if unknown else "Print the other labels.",
                "hazard",
            )
        rows = self._pictograms(align)
        texts = tuple(self._texts(_letters(self.said.sizes, self.x_height)))
        if not rows:
            return texts
        if len(rows) == 1 and beside and align is Align.LEFT:
            return (Row(parts=(rows[0], Column(parts=texts)), gap=2.5, stand=Stand.TOP),)
        return (*rows, Gap(1.5), *texts)

    @property
    def _side(self) -> float:
        sizes = self.said.sizes
        return self.side or (sizes.pictogram * _METRE if sizes else USUAL_SIDE)

    def _pictograms(self, align: Align) -> list[Part]:
        """Return the pictograms in rows of at most three."""
        sizes = self.said.sizes
        codes = tuple(sign.code for sign in self.said.pictograms)
        rows: list[Part] = []
        for at in range(0, len(codes), _ROW):
            rows += [Gap(1.0)] if rows else []
            rows.append(
                Pictograms(
                    codes=codes[at : at + _ROW],
                    side=self._side,
                    align=align,
                    least=sizes.pictogram * _METRE if sizes else USUAL_SIDE,
                    rule=sizes.paragraph if sizes else "common practice",
                )
            )
        return rows

    def _texts(self, letters: Lettering) -> Iterable[Part]:
        """Yield the texts in their order: product, names, signal word, statements, supplier."""
        said = self.said
        bold = replace(letters, face=Face.SANS_BOLD)
        loud = replace(bold, x_height=letters.x_height * 1.3)
        air = letters.x_height * 0.9
        names = ", ".join(said.names)
        contains = f"{word('contains', said.language)}: {names}." if names else ""
        ufi = f"UFI: {self.ufi}" if self.ufi else ""
        for place, text, style, above in (
            ("product", self.product, bold, 0.0),
            ("names", contains, letters, 0.0),
            ("signal word", said.signal, loud, air),
            ("hazard statements", _joined(said.hazards), letters, air * 0.5),
            ("supplemental", _joined(said.supplemental), letters, air * 0.5),
            ("precautions", _joined(said.precautions), letters, air * 0.5),
            ("quantity", self.quantity, letters, air),
            ("UFI", ufi, letters, air),
            ("supplier", self.supplier, letters, air),
        ):
            if text:
                yield Gap(above)
                yield Words(text=text, letters=style, place=place)


def _joined(lines: Iterable[hazard.Said]) -> str:
    return " ".join(line.text for line in lines)


def _letters(sizes: Sizes | None, x_height: float | None) -> Lettering:
    least, rule = LEGIBLE, LEGIBLE_RULE
    if sizes is not None and sizes.x_height is not None:
        least = sizes.x_height * _METRE
        rule = f"{sizes.paragraph}; Regulation (EU) 2024/2865"
    return Lettering(
        face=Face.SANS,
        x_height=max(least, USUAL_X_HEIGHT) if x_height is None else x_height,
        least=least,
        rule=rule,
    )


def _stop_too_small(outline: Outline, sizes: Sizes | None) -> None:
    if sizes is None or sizes.if_possible or not _below(outline, sizes):
        return
    short, long = (side * _METRE for side in sizes.label)
    raise BadInput.one(
        f"A label {outline.said} is smaller than {short:g} × {long:g} mm: {sizes.paragraph}.",
        "Take a larger label for a package of this size.",
        "outline",
    )


def _below(outline: Outline, sizes: Sizes) -> bool:
    """Say whether the label, either way round, is smaller than the table's."""
    short, long = sorted(side * _METRE for side in sizes.label)
    low, high = sorted((outline.width, outline.height))
    return low < short - 1e-6 or high < long - 1e-6


def unknown(names: Sequence[str]) -> Iterable[str]:
    """Yield what the label does not count: an unsheeted material may well be hazardous."""
    if names:
        yield f"Not counted, for want of a safety data sheet: {', '.join(names)}."


def _notes(outline: Outline, sizes: Sizes | None, side: float) -> Iterable[str]:
    """Yield what the rules wish for, if possible, and this label does not give."""
    if sizes is None:
        return
    if _below(outline, sizes):
        short, long = (each * _METRE for each in sizes.label)
        yield f"If possible at least {short:g} × {long:g} mm ({sizes.paragraph})."
    wished = sizes.pictogram_wished * _METRE
    if side < wished - 1e-6:
        yield f"Pictograms of {wished:g} mm, if possible ({sizes.paragraph})."
