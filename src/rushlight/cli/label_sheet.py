"""The sheet of labels in the printer, by its name or by its measures."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import TYPE_CHECKING

from rushlight.errors import BadInput, Problems

if TYPE_CHECKING:
    from rushlight.press.labels.sheet import Sheet
    from rushlight.press.paper import Paper

_PAIR = re.compile(
    r"\s*(\d{1,4}(?:[.,]\d{1,3})?)\s*(?:mm)?\s*[x×*]\s*(\d{1,4}(?:[.,]\d{1,3})?)\s*(?:mm)?\s*"
)


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetWanted:
    """What was asked for; texts as typed, in millimetres."""

    name: str | None = None
    size: str | None = None
    grid: str | None = None
    margins: str | None = None
    pitch: str | None = None
    round: bool = False
    start: int = 1
    paper: str | None = None


def sheet_of(wanted: SheetWanted, kept: str) -> tuple[Sheet, Paper]:
    """Return the sheet and its paper; kept: the paper of the workshop."""
    from rushlight.press.paper import Paper

    said = (wanted.paper or kept).casefold()
    paper = Paper.LETTER if said == "letter" else Paper.A4
    if wanted.size is None:
        alone = [f"--{k}" for k in ("grid", "margins", "pitch") if getattr(wanted, k) is not None]
        if alone:
            raise BadInput.one(
                "The size of one label is missing.", "Type it, such as --size “74 x 52”.", alone[0]
            )
        return _usual(wanted, paper)
    if wanted.name is not None:
        raise BadInput.one(
            "The sheet is given by name and by measures.", "Leave one of them out.", "--sheet"
        )
    return _measured(wanted, paper), paper


def _usual(wanted: SheetWanted, paper: Paper) -> tuple[Sheet, Paper]:
    from rushlight.press.labels.stock import sheets

    on_paper = {name: found for name, found in sheets().items() if found[1] is paper}
    if wanted.name is None:
        found = next(iter(on_paper.values()))
        return found[0].starting(wanted.start), found[1]
    asked = _plain(wanted.name)
    names = [name for name in sheets() if asked in _plain(name)]
    if len(names) != 1:
        raise BadInput.one(
            f"{'No sheet is' if not names else f'{len(names)} sheets are'} called so.",
            f"Type one of: {'; '.join(names or sheets())}; or give its measures with --size.",
            "--sheet",
        )
    sheet, paper = sheets()[names[0]]
    return sheet.starting(wanted.start), paper


def _plain(name: str) -> str:
    return "".join(name.casefold().replace("×", "x").split())


def _measured(wanted: SheetWanted, paper: Paper) -> Sheet:
    from rushlight.press.labels.design import Outline, Shape
    from rushlight.press.labels.sheet import Sheet

    problems = Problems()
    width, height = _pair(wanted.size or "", "--size", problems)
    columns, rows = _pair(wanted.grid or "1 x 1", "--grid", problems)
    if columns != int(columns) or rows != int(rows):
        problems.add("--grid", "A sheet has whole columns and rows.", "Type them as “2 x 5”.")
    step_x, step_y = _pair(wanted.pitch or f"{width:g} x {height:g}", "--pitch", problems)
    wide, high = paper.millimetres
    centred = (
        max(0.0, (wide - (columns - 1) * step_x - width) / 2.0),
        max(0.0, (high - (rows - 1) * step_y - height) / 2.0),
    )
    left, top = _pair(wanted.margins, "--margins", problems) if wanted.margins else centred
    problems.check()
    return Sheet(
        outline=Outline(
            width=width,
            height=height,
            shape=Shape.ROUND if wanted.round else Shape.RECTANGLE,
        ),
        columns=int(columns),
        rows=int(rows),
        left=left,
        top=top,
        pitch_x=step_x,
        pitch_y=step_y,
        start=wanted.start,
    )


def _pair(text: str, place: str, problems: Problems) -> tuple[float, float]:
    match = _PAIR.fullmatch(text)
    if match is None:
        problems.add(place, f"“{text[:40]}” is not two measures.", "Type them as “74 x 52”.")
        return 1.0, 1.0
    first, second = (float(part.replace(",", ".")) for part in match.groups())
    return first, second
