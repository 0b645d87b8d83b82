"""A candle in section as it sets: the right half by temperature, the left as the eye sees it."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from markupsafe import Markup
from numpy.typing import NDArray

from rushlight.candle.parts import Vessel
from rushlight.heat.set import Frames
from rushlight.quantity import show
from rushlight.quantity.si import Kelvin
from rushlight.web.drawing.contour import contour
from rushlight.web.drawing.frame import Frame, inner_points, outer_points
from rushlight.web.drawing.svg import Point, el, line, path, text

Array = NDArray[np.float64]
WIDTH, HEIGHT = 400.0, 420.0
WIDEST, TALLEST = 340.0, 380.0
LEVELS = 14  # tints of the ramp
HALF = 0.5  # liquid share at the line between solid and liquid


@dataclass(frozen=True, slots=True)
class Scale:
    """The temperatures of the coldest and the warmest tint [K]."""

    low: float
    high: float

    def level(self, warm: Array) -> NDArray[np.int64]:
        """Return the tint of each temperature; −1 outside the wax."""
        share = (warm - self.low) / max(self.high - self.low, 1e-9)
        tint = np.clip(np.floor(np.nan_to_num(share) * LEVELS), 0, LEVELS - 1).astype(np.int64)
        return np.where(np.isfinite(warm), tint, -1)


def _frame(vessel: Vessel) -> Frame:
    widest = 2 * max(r for r, _ in outer_points(vessel))
    tallest = vessel.profile.depth + vessel.base
    scale = min(WIDEST / widest, TALLEST / tallest)
    floor = (HEIGHT + tallest * scale) / 2
    return Frame(scale, WIDTH / 2, floor - vessel.base * scale)


def _spread_out(row: NDArray[np.int64]) -> NDArray[np.int64]:
    """Return a row with its last tint carried on under the wall; the vessel's outline cuts it."""
    inside = np.flatnonzero(row >= 0)
    if not len(inside):
        return row
    full = row.copy()
    full[inside[-1] + 1 :] = row[inside[-1]]
    return np.append(full, full[-1])


def _patches(tints: NDArray[np.int64], dx: float, dy: float, frame: Frame) -> dict[int, list[str]]:
    """Return the path data of each tint: runs along the rows, joined where they are alike."""
    found: dict[int, list[str]] = {}
    for number, row in enumerate(tints):
        full = _spread_out(row)
        cuts = [0, *(int(i) + 1 for i in np.flatnonzero(np.diff(full))), len(full)]
        y = frame.y((number + 1) * dy)
        for start, end in pairwise(cuts):
            tint = int(full[start])
            if tint < 0:
                continue
            x, wide = frame.centre + start * dx * frame.scale, (end - start) * dx * frame.scale
            tall = dy * frame.scale + 0.6  # a hair's overlap, so that no seam shows
            found.setdefault(tint, []).append(
                f"M{x:.1f} {y:.1f}h{wide:.1f}v{tall:.1f}h-{wide:.1f}z"
            )
    return found


@dataclass(frozen=True, slots=True)
class _Jar:
    vessel: Vessel
    fill: float
    frame: Frame
    mark: str

    def places(self, points: list[tuple[float, float]]) -> list[Point]:
        return [self.frame.at(r, h) for r, h in points]

    def filled(self) -> list[tuple[float, float]]:
        return inner_points(self.vessel, 0.0, self.fill)

    def clip(self) -> Markup:
        right = self.filled()
        shape = [*right, *((-r, h) for r, h in reversed(right))]
        drawn = el("path", d=path(self.places(shape), closed=True))
        return el("clipPath", drawn, id=f"within-{self.mark}")

    def glass(self) -> Markup:
        outer = outer_points(self.vessel)
        depth = self.vessel.profile.depth
        inner = inner_points(self.vessel, 0.0, depth)
        right = [*outer, *reversed(inner)]
        left = [(-r, h) for r, h in reversed(right)]
        return el("path", d=path(self.places([*right, *left]), closed=True), class_="h-glass")


def _front(liquid: Array, dx: float, dy: float, frame: Frame) -> str:
    """Return the line between solid and liquid as path data, on both sides of the middle."""
    # the middle line repeated, so that the front meets it
    whole = np.concatenate([liquid[:, ::-1], liquid], axis=1)
    middle = liquid.shape[1]
    steps = []
    for x1, y1, x2, y2 in contour(whole, HALF):
        ends = [frame.at((x - middle + 0.5) * dx, (y + 0.5) * dy) for x, y in ((x1, y1), (x2, y2))]
        steps.append("M{:.1f} {:.1f}L{:.1f} {:.1f}".format(*ends[0], *ends[1]))
    return "".join(steps)


def section(  # noqa: PLR0913 -- a moment is its jar, its frame and its words
    vessel: Vessel,
    frames: Frames,
    at: int,
    scale: Scale,
    *,
    surface: tuple[Array, Array] | None = None,
    says: str,
    mark: str = "a",
) -> Markup:
    """Return one moment of a candle that sets.

    at: which of the frames; surface: radius and height [m] of the top it is left with;
    says: the moment in words, for a reader by ear; mark: tells two sections on a page apart.
    """
    frame = _frame(vessel)
    dx, dy = 2 * float(frames.radius[0]), float(frames.height[1] - frames.height[0])
    fill = dy * len(frames.height)
    jar = _Jar(vessel, fill, frame, mark)
    warm, liquid = frames.temperature[at], frames.liquid[at]
    tints = _patches(scale.level(warm), dx, dy, frame)
    fluid = _patches(np.where(liquid > HALF, 1, 0), dx, dy, frame).get(1, [])
    flip = f"matrix(-1 0 0 1 {2 * frame.centre:.1f} 0)"
    wax = el(
        "g",
        el("rect", x=0, y=0, width=frame.centre, height=HEIGHT, class_="h-set"),
        el("path", d="".join(fluid), class_="h-fluid", transform=flip),
        *(el("path", d="".join(d), class_=f"h-{tint}") for tint, d in sorted(tints.items())),
        el("path", d=_front(liquid, dx, dy, frame), class_="h-front"),
        clip_path=f"url(#within-{mark})",
    )
    top = frame.y(vessel.profile.depth) - 12
    drawn = [
        el("defs", jar.clip()),
        wax,
        jar.glass(),
        line((frame.centre, top), (frame.centre, frame.y(-vessel.base) + 12), "d-centre"),
    ]
    if surface is not None:
        right = [(float(r), float(h)) for r, h in zip(*surface, strict=True)]
        left = [(-r, h) for r, h in reversed(right)]
        drawn.append(el("path", d=path(jar.places([*left, *right])), class_="h-left"))
    return el(
        "svg",
        *drawn,
        viewBox=f"0 0 {WIDTH:.0f} {HEIGHT:.0f}",
        class_="field",
        role="img",
        aria_label=says,
    )


def ramp(scale: Scale, pref: show.Preference) -> Markup:
    """Return the legend of the tints, with five temperatures on it."""
    wide, left, tall = 400.0, 24.0, 16.0
    each = (wide - 2 * left) / LEVELS
    drawn = [
        el("rect", x=left + i * each, y=2, width=each + 0.5, height=tall, class_=f"h-{i}")
        for i in range(LEVELS)
    ]
    for share in (0.0, 0.25, 0.5, 0.75, 1.0):
        x = left + share * (wide - 2 * left)
        kelvin = Kelvin(scale.low + share * (scale.high - scale.low))
        drawn.append(line((x, tall + 2), (x, tall + 8), "c-axis"))
        drawn.append(text((x, tall + 26), show.temperature(kelvin, pref), "g-figure", "middle"))
    return el(
        "svg",
        *drawn,
        viewBox=f"0 0 {wide:.0f} 48",
        class_="ramp",
        role="img",
        aria_label="Tints from the coldest to the warmest",
    )
