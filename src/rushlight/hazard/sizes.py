"""How large label, pictograms and letters must be (CLP Annex I, 1.2.1)."""

from __future__ import annotations

from dataclasses import dataclass
from math import sqrt

from rushlight.hazard.data import table
from rushlight.hazard.law import Law
from rushlight.quantity.si import CubicMetre, Metre

LITRE = 1e-3  # [m³]
MILLIMETRE = 1e-3  # [m]


@dataclass(frozen=True, slots=True, kw_only=True)
class Sizes:
    """Minimum sizes [m] for a package of a capacity.

    pictogram: side of the red square; pictogram_wished, and the label where `if_possible`:
    to be kept if possible. x_height: of a lower-case x, None where the law sets none.
    """

    label: tuple[Metre, Metre]
    if_possible: bool
    pictogram: Metre
    pictogram_wished: Metre
    x_height: Metre | None
    paragraph: str
    source: str


def sizes(capacity: CubicMetre, law: Law) -> Sizes:
    """Return label sizes for a capacity [m³] (Table 1.3)."""
    data = table("label")["sizes"]
    row = next(r for r in data["row"] if capacity / LITRE <= r["up_to_l"] * (1.0 + 1e-9))
    width, height = (Metre(side * MILLIMETRE) for side in row["label_mm"])
    lettered = law.value in data["x_height_laws"]
    return Sizes(
        label=(width, height),
        if_possible=row["label_if_possible"],
        pictogram=Metre(row["pictogram_mm"] * MILLIMETRE),
        pictogram_wished=Metre(row["pictogram_if_possible_mm"] * MILLIMETRE),
        x_height=Metre(row["x_height_mm"] * MILLIMETRE) if lettered else None,
        paragraph=data["paragraph"],
        source=data["source"],
    )


def pictogram_side(label: tuple[Metre, Metre]) -> Metre:
    """Return the least side [m] of a pictogram on a label of minimum size [m]².

    At least a fifteenth of the label's area and 1 cm² (1.2.1.3): 52 × 74 mm gives 16.02 mm.
    """
    rule = table("label")["pictogram"]
    area = label[0] * label[1] / rule["share_of_label"]
    return Metre(sqrt(max(area, rule["least_mm2"] * MILLIMETRE**2)))
