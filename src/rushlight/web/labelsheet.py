"""The sheet of labels as typed: bought by its size, described by its measures, or around a jar."""

from __future__ import annotations

from dataclasses import dataclass, replace

from rushlight.candle.parts import Vessel
from rushlight.errors import BadInput, Problem
from rushlight.press.labels.design import Outline, Shape
from rushlight.press.labels.sheet import Lie, Sheet
from rushlight.press.labels.wrap import Band
from rushlight.press.paper import Paper
from rushlight.quantity import parse
from rushlight.quantity.si import Metre
from rushlight.web.workbench import Blank

OWN = "own"  # a sheet described by its measures
WRAP = "wrap"  # strips around the jar, measured from the vessel
MILLIMETRE = 1e-3  # [m]
EDGE, BETWEEN = 10.0, 4.0  # of strips on their paper [mm]
USUAL_SHARE = 0.6  # of a jar's height, where no height of the strip is typed


@dataclass(frozen=True, slots=True)
class Stock:
    """A sheet with its paper; band: the strip around the jar, where that is asked for."""

    sheet: Sheet | None
    paper: Paper
    band: Band | None = None


def stock_of(typed: Blank, vessel: Vessel, found: list[Problem]) -> Stock:
    """Return the sheet asked for; what is wrong with it is added to the problems found."""
    from rushlight.press.labels.stock import sheets

    start = _whole("start", typed["start"] or "1", found)
    right, down = (_millimetres(key, typed, found, "0") for key in ("right", "down"))
    paper = Paper(typed["paper"]) if typed["paper"] in set(Paper) else Paper.A4
    band = None
    made: Sheet | None
    if typed["stock"] == WRAP:
        band = _band(typed, vessel, found)
        made = _strips(band, paper) if band else None
    elif typed["stock"] in sheets():
        made, paper = sheets()[typed["stock"]]
    else:
        made = _own(typed, found)
    if made is None or start is None:
        return Stock(None, paper, band)
    made = replace(made, start=start, right=right, down=down)
    wrong = made.problems(paper)
    found += wrong
    return Stock(None if wrong else made, paper, band)


def _band(typed: Blank, vessel: Vessel, found: list[Problem]) -> Band | None:
    """Return the strip around a vessel, of the height typed."""
    from rushlight.press.labels.wrap import around

    try:
        if not vessel.shape_known:
            raise BadInput.one(
                "The shape of this vessel was not measured.",
                "Measure its height and diameters, or choose another sheet.",
            )
        usual = round(USUAL_SHARE * vessel.profile.depth / MILLIMETRE) * MILLIMETRE
        text = typed["strip"]
        height = parse.length(text, default="mm") if text else Metre(usual)
        return around(vessel, height=height)
    except BadInput as bad:
        found += [problem.at("strip") for problem in bad.problems]
        return None


def _strips(band: Band, paper: Paper) -> Sheet:
    """Return as many strips as go on a paper that lies across."""
    high, wide = paper.millimetres
    outline = band.outline
    pitch = outline.height + BETWEEN
    rows = max(1, int((high - 2 * EDGE + BETWEEN) // pitch))
    return Sheet(
        outline=outline,
        columns=1,
        rows=rows,
        left=max(0.0, (wide - outline.width) / 2),
        top=EDGE,
        pitch_x=outline.width,
        pitch_y=pitch,
        lie=Lie.ACROSS,
    )


def _own(typed: Blank, found: list[Problem]) -> Sheet | None:
    before = len(found)
    columns, rows = (_whole(key, typed[key], found) for key in ("columns", "rows"))
    width, height, left, top = (
        _millimetres(key, typed, found) for key in ("width", "height", "left", "top")
    )
    pitch_x = _millimetres("pitch_x", typed, found, f"{width:g} mm")
    pitch_y = _millimetres("pitch_y", typed, found, f"{height:g} mm")
    if len(found) > before:
        return None
    return Sheet(
        outline=Outline(
            width=width,
            height=height,
            shape=Shape.ROUND if typed["round"] else Shape.RECTANGLE,
        ),
        columns=columns or 0,
        rows=rows or 0,
        left=left,
        top=top,
        pitch_x=pitch_x,
        pitch_y=pitch_y,
    )


def _whole(place: str, text: str, found: list[Problem]) -> int | None:
    try:
        if not text:
            raise BadInput.one("This is not typed.", "Count them on the sheet.")
        return parse.count(text)
    except BadInput as bad:
        found += bad.at(place).problems
        return None


def _millimetres(place: str, typed: Blank, found: list[Problem], default: str = "") -> float:
    text = typed[place] or default
    sign = -1.0 if text.startswith(("-", "−")) else 1.0
    try:
        if not text:
            raise BadInput.one("This is not typed.", "Measure it on the sheet, such as 12.7 mm.")
        return sign * parse.length(text.lstrip("-− "), default="mm") / MILLIMETRE
    except BadInput as bad:
        found += bad.at(place).problems
        return 0.0
