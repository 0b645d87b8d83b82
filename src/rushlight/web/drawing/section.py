"""The candle's sheet: outside on the left of the centre line, cut open on the right.

Item numbers point at the parts; the parts list beside the drawing bears the same numbers,
and each is a link to the part's fields.
"""

from __future__ import annotations

from dataclasses import dataclass

from markupsafe import Markup

from rushlight.candle.sheet import JarSheet
from rushlight.quantity import show
from rushlight.quantity.share import apportion
from rushlight.quantity.si import Metre
from rushlight.web.drawing.dimension import across, upright
from rushlight.web.drawing.frame import HEIGHT, WIDTH, Frame, inner_points, outer_points
from rushlight.web.drawing.svg import Point, el, line, path, text


@dataclass(frozen=True, slots=True)
class Item:
    """A numbered part: its key is the anchor of its fields."""

    key: str
    name: str


ITEMS = (
    Item("vessel", "Vessel"),
    Item("fill", "Fill"),
    Item("wax", "Wax"),
    Item("fragrance", "Fragrance"),
    Item("wick", "Wick"),
    Item("colour", "Colour and additives"),
    Item("finish", "Finish"),
)
_COLUMN, _FIRST, _STEP = 36.0, 44.0, 72.0
_ALONG = 130.0  # a wick's length needs this much wax to be written along it


def _mirror(points: list[tuple[float, float]]) -> list[tuple[float, float]]:
    return [(-r, h) for r, h in points]


def _wick_places(sheet: JarSheet) -> list[float]:
    """Radii [m] of the wicks seen in the cut: one on the centre line, others a third apart."""
    count = max(1, min(sheet.candle.wick.count, 5))
    spacing = sheet.candle.vessel.profile.diameter_at(sheet.fill_height) / 3
    return [(i - (count - 1) / 2) * spacing / max(1, (count - 1) / 2) for i in range(count)]


def _touch(key: str, *drawn: Markup) -> Markup:
    """Return a drawn part that opens its fields when touched; the balloon is its keyboard twin."""
    return el("a", *drawn, href=f"#{key}", class_="d-part", tabindex="-1", aria_hidden="true")


def _adding_up(filled: float, space: float, pref: show.Preference) -> list[Metre]:
    """Return two lengths [m] so rounded that, as shown, they come to the depth as shown."""
    step = 0.0254 / 16 if pref.length == "in" else 0.0001
    return [Metre(steps * step) for steps in apportion([filled, space], step)]


class _Section:
    def __init__(self, sheet: JarSheet) -> None:
        self.sheet = sheet
        self.vessel = sheet.candle.vessel
        self.tip = sheet.fill_height + sheet.candle.wick.trim
        self.frame = Frame.around(self.vessel, self.tip)
        self.outer = outer_points(self.vessel)
        self.inner = inner_points(self.vessel, 0.0, self.vessel.profile.depth)
        self.filled = inner_points(self.vessel, 0.0, sheet.fill_height)

    def places(self, points: list[tuple[float, float]]) -> list[Point]:
        return [self.frame.at(r, h) for r, h in points]

    def glass(self) -> Markup:
        cut = [(0.0, -self.vessel.base), *self.outer, *reversed(self.inner), (0.0, 0.0)]
        outside = [(0.0, -self.vessel.base), *self.outer]
        brim = self.vessel.profile.depth
        face = self.places([*_mirror(outside), (0.0, brim)])
        return _touch(
            "vessel",
            el("path", d=path(face, closed=True), class_="d-outside"),
            el("path", d=path(self.places(cut), closed=True), class_="d-cut"),
            el("path", d=path(self.places(_mirror(outside))), class_="d-edge"),
            line(self.frame.at(-self.outer[-1][0], brim), self.frame.at(0, brim), "d-edge"),
        )

    def wax(self) -> Markup:
        right = self.places([(0.0, 0.0), *self.filled, (0.0, self.sheet.fill_height)])
        left = self.places(_mirror(self.filled))
        seen = [*left, self.frame.at(0, self.sheet.fill_height), self.frame.at(0, 0)]
        return _touch(
            "wax",
            el("path", d=path(seen, closed=True), class_="d-wax-seen"),
            el("path", d=path(right, closed=True), class_="d-wax"),
        )

    def fill_line(self) -> Markup:
        radius, height = self.filled[-1]
        left, right = self.frame.at(-radius, height), self.frame.at(radius, height)
        return _touch("fill", line(left, right, "d-hit"), line(left, right, "d-fill"))

    def finish(self) -> Markup:
        """Return the outside decoration as a stippled band, off the rim by the gap said."""
        worn = [f for f in self.sheet.candle.finishes if f.mass is not None or f.pieces]
        if not worn:
            return Markup("")
        gap = min((f.rim_gap for f in worn if f.rim_gap is not None), default=0.0)
        top = max(self.vessel.profile.depth - gap, 0.0)
        band = [(r + self.vessel.wall, h) for r, h in inner_points(self.vessel, 0.0, top)]
        area = self.places([*_mirror(band), (0.0, top), (0.0, 0.0)])
        return _touch("finish", el("path", d=path(area, closed=True), class_="d-finish"))

    def wicks(self) -> Markup:
        def one(radius: float) -> Markup:
            return el(
                "g",
                line(self.frame.at(radius, 0), self.frame.at(radius, self.tip), "d-hit"),
                line(self.frame.at(radius, 0), self.frame.at(radius, self.tip), "d-wick"),
                line(
                    self.frame.at(radius, self.sheet.fill_height),
                    self.frame.at(radius, self.tip),
                    "d-wick-bare",
                ),
            )

        return _touch("wick", *(one(radius) for radius in _wick_places(self.sheet)))

    def centre_line(self) -> Markup:
        top = min(self.frame.y(self.tip), self.frame.y(self.vessel.profile.depth)) - 14
        bottom = self.frame.y(-self.vessel.base) + 12
        return line((self.frame.centre, top), (self.frame.centre, bottom), "d-centre")

    def dimensions(self, pref: show.Preference) -> Markup:
        f, sheet, depth = self.frame, self.sheet, self.vessel.profile.depth
        wall = f.at(max(r for r, _ in self.outer), 0)[0]
        filled, space = _adding_up(sheet.fill_height, sheet.headspace, pref)
        near, far = wall + 22, wall + 22 + 92
        mouth = self.inner[-1][0]
        figures = [
            upright(near, f.y(sheet.fill_height), f.y(0), wall, show.length(filled, pref)),
            upright(near, f.y(depth), f.y(sheet.fill_height), wall, show.length(space, pref)),
            upright(far, f.y(depth), f.y(0), wall, show.length(depth, pref)),
            across(
                min(f.y(depth), f.y(self.tip)) - 20,
                f.at(-mouth, 0)[0],
                f.at(mouth, 0)[0],
                f.y(depth),
                show.length(self.vessel.profile.diameter_at(depth), pref),
            ),
        ]
        return el("g", *figures, self.wick_length(pref), class_="d-dimensions", aria_hidden="true")

    def wick_length(self, pref: show.Preference) -> Markup:
        """Return the trimmed wick's length, written along it where there is room."""
        if self.frame.y(0) - self.frame.y(self.sheet.fill_height) < _ALONG:
            return Markup("")
        x, y = self.frame.centre + 20, self.frame.y(self.sheet.fill_height * 0.08)
        words = f"wick {show.length(self.sheet.wick_length, pref)}"
        return el(
            "text", words, class_="d-figure", transform=f"translate({x:.1f} {y:.1f}) rotate(-90)"
        )

    def target(self, key: str) -> Point:
        """Where an item's leader ends."""
        level, depth = self.sheet.fill_height, self.vessel.profile.depth
        seen = self.filled[-1][0]
        wick = _wick_places(self.sheet)[0]
        high = (level + depth) / 2
        return {
            "vessel": self.frame.at(-self.vessel.profile.diameter_at(depth) / 2, depth),
            "fill": self.frame.at(-seen * 0.72, level),
            "wax": self.frame.at(-seen * 0.5, level * 0.78),
            "fragrance": self.frame.at(-seen * 0.4, level * 0.56),
            "wick": self.frame.at(wick, level * 0.42),
            "colour": self.frame.at(-seen * 0.45, level * 0.22),
            "finish": self.frame.at(-self.outer[1][0], min(level * 0.08, high)),
        }[key]

    def balloons(self) -> Markup:
        drawn = []
        for number, item in enumerate(ITEMS):
            at = (_COLUMN, _FIRST + number * _STEP)
            end = self.target(item.key)
            drawn.append(
                el(
                    "a",
                    el("circle", cx=at[0], cy=at[1], r=33.0, class_="d-reach"),
                    line((at[0] + 19, at[1]), end, "d-leader"),
                    el("circle", cx=end[0], cy=end[1], r=3.0, class_="d-dot"),
                    el("circle", cx=at[0], cy=at[1], r=19.0, class_="d-balloon"),
                    text((at[0], at[1] + 6.5), str(number + 1), "d-number", "middle"),
                    href=f"#{item.key}",
                    class_="d-item",
                    aria_label=f"{number + 1}, {item.name}: change it",
                )
            )
        return el("g", *drawn)


_DEFS = Markup(
    '<defs><pattern id="hatch" width="6" height="6" patternUnits="userSpaceOnUse" '
    'patternTransform="rotate(45)"><path d="M0 0V6" class="d-hatch"/></pattern>'
    '<pattern id="stipple" width="9" height="9" patternUnits="userSpaceOnUse">'
    '<circle cx="2" cy="2" r="1" class="d-grain"/><circle cx="6.5" cy="6" r=".8" class="d-grain"/>'
    "</pattern></defs>"
)


def section(sheet: JarSheet, pref: show.Preference) -> Markup:
    """Return the half-section of a candle, to scale, with its dimensions and item numbers."""
    s = _Section(sheet)
    name = f"Half-section of {sheet.candle.name or 'the candle'}, to scale"
    return el(
        "svg",
        _DEFS,
        s.glass(),
        s.wax(),
        s.finish(),
        s.wicks(),
        s.fill_line(),
        s.centre_line(),
        s.dimensions(pref),
        s.balloons(),
        viewBox=f"0 0 {WIDTH:.0f} {HEIGHT:.0f}",
        class_="section",
        role="group",
        aria_label=name,
    )
