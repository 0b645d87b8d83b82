"""A candle's outline for the shelf, every candle to the same scale."""

from __future__ import annotations

from markupsafe import Markup

from rushlight.candle.sheet import JarSheet
from rushlight.web.drawing.frame import Frame, inner_points, outer_points
from rushlight.web.drawing.svg import el, line, path

SCALE = 1300.0  # px per metre: a 100 mm jar stands 130 px high
ROOM = 12.0


def outline(sheet: JarSheet) -> Markup:
    """Return the vessel in plain outline, filled to its line, standing on its base."""
    vessel = sheet.candle.vessel
    outer = outer_points(vessel)
    tip = max(vessel.profile.depth, sheet.fill_height + sheet.candle.wick.trim)
    width = 2 * max(r for r, _ in outer) * SCALE + 4
    height = (tip + vessel.base) * SCALE + ROOM
    frame = Frame(SCALE, width / 2, height - vessel.base * SCALE - 1)
    right = [frame.at(r, h) for r, h in outer]
    left = [frame.at(-r, h) for r, h in reversed(outer)]
    filled = inner_points(vessel, 0.0, sheet.fill_height)
    wax = [frame.at(r, h) for r, h in filled] + [frame.at(-r, h) for r, h in reversed(filled)]
    wick = line(
        frame.at(0, sheet.fill_height),
        frame.at(0, sheet.fill_height + sheet.candle.wick.trim),
        "d-wick-bare",
    )
    return el(
        "svg",
        el("path", d=path(wax, closed=True), class_="o-wax"),
        el("path", d=path([*left, *right], closed=True), class_="o-vessel"),
        wick,
        viewBox=f"0 0 {width:.0f} {height:.0f}",
        width=f"{width:.0f}",
        height=f"{height:.0f}",
        aria_hidden="true",
    )
