"""A label around the jar: how long it must be, and how much of it is seen from the front."""

from __future__ import annotations

from dataclasses import dataclass
from math import hypot, pi

from rushlight.candle.parts import Vessel
from rushlight.errors import BadInput
from rushlight.hazard.netcontents.panel import TypeHeight, cylinder, type_height
from rushlight.press.labels.design import Column, Label, Outline, Part, Row, Stand
from rushlight.quantity.si import Metre

_METRE = 1e3  # [mm]
_SHARE = 0.40
"""Share of the circumference that is the principal display panel (16 CFR 500.21)."""
_SLACK = 0.5
"""How far [mm] the two edges of a straight strip may differ before it creases (common
practice)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Band:
    """The strip around a vessel; lengths [mm], area of its display panel [m²].

    circumference: of the outside; panel: width of the 40 % seen from the front.
    """

    circumference: float
    height: float
    overlap: float
    panel: float
    area: float

    @property
    def outline(self) -> Outline:
        """The strip as a label, overlap included."""
        return Outline(width=self.circumference + self.overlap, height=self.height, corner=0.0)

    @property
    def type_height(self) -> TypeHeight:
        """The least height of the net weight on it."""
        return type_height(self.area)


def around(
    vessel: Vessel,
    *,
    height: Metre,
    above_base: Metre = Metre(0.005),
    overlap: Metre = Metre(0.006),
) -> Band:
    """Return the strip of a height [m] that starts above the inner base [m] and overlaps [m].

    The outside is the inside plus two walls. The panel is 40 % of height × circumference
    (16 CFR 500.21). Raises BadInput where the vessel ends before the label does, or widens
    so much that a straight strip would crease; the arc to cut instead is told.
    """
    if not 0 <= above_base < above_base + height <= vessel.profile.depth + 1e-9:
        raise BadInput.one(
            f"A label of {height * _METRE:g} mm from {above_base * _METRE:g} mm above the base"
            f" goes beyond the side of the vessel ({vessel.profile.depth * _METRE:g} mm).",
            "Take a lower label, or start it lower.",
            "height",
        )
    top = Metre(min(above_base + height, vessel.profile.depth))
    heights = [above_base, *_between(vessel, above_base, top), top]
    outside = [vessel.profile.diameter_at(Metre(h)) + 2 * vessel.wall for h in heights]
    low, high, widest = outside[0], outside[-1], max(outside)
    if pi * (widest - min(outside)) * _METRE > _SLACK:
        raise BadInput.one(
            _arc(low, high, height), "Cut it to that arc, or take a lower label.", "height"
        )
    return Band(
        circumference=pi * widest * _METRE,
        height=height * _METRE,
        overlap=overlap * _METRE,
        panel=_SHARE * pi * widest * _METRE,
        area=cylinder(Metre(widest), height),
    )


def _between(vessel: Vessel, low: Metre, high: Metre) -> list[Metre]:
    """Return the heights between where the side of the vessel bends."""
    return [s.height for s in vessel.profile.stations if low < s.height < high]


def _arc(low: float, high: float, height: float) -> str:
    """Return what a straight strip would do here, and the arc of a cone's side."""
    edges = sorted((pi * low * _METRE, pi * high * _METRE))
    said = (
        f"Its edges would be {edges[0]:.1f} mm and {edges[1]:.1f} mm around: a straight strip"
        " creases."
    )
    if low == high:
        return said
    slant = hypot(height, (high - low) / 2) * _METRE
    outer = slant * edges[1] / (edges[1] - edges[0])
    return f"{said} The side unrolls to an arc of radii {outer - slant:.0f} mm and {outer:.0f} mm."


def wrapped(
    band: Band,
    *,
    front: Label,
    left: tuple[Part, ...] = (),
    right: tuple[Part, ...] = (),
    gap: float = 4.0,
) -> Label:
    """Return one strip: the front on its panel in the middle, the rest to its sides.

    left, right: what stands beside the front; gap [mm] between them. The overlap, at the
    right end, stays empty.
    """
    outline = band.outline
    side = (band.circumference - band.panel) / 2 - gap - outline.margin
    if side <= 0 and (left or right):
        raise BadInput.one(
            f"Beside the panel of {band.panel:.0f} mm there is no room on this vessel.",
            "Put the rest on a label under the base.",
            "wrap-around",
        )
    nothing = Column(parts=())
    row = Row(
        parts=(
            Column(parts=left),
            nothing,
            Column(parts=front.parts),
            nothing,
            Column(parts=right),
            nothing,
        ),
        shares=(side, gap, band.panel, gap, side, band.overlap),
        gap=0.0,
        stand=Stand.FILL,
    )
    return Label(
        name="wrap-around",
        outline=outline,
        parts=(row,),
        language=front.language,
        notes=front.notes,
    )
