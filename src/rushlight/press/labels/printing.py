"""Labels on paper and on screen: one drawing, set twice."""

from __future__ import annotations

import datetime as dt
import io
from collections.abc import Sequence
from typing import Any

from rushlight.errors import BadInput, Problem
from rushlight.press.glyphs import printable
from rushlight.press.labels import fit, plain
from rushlight.press.labels.design import Label
from rushlight.press.labels.sheet import Kind, Lie, Sheet
from rushlight.press.paper import Paper
from rushlight.press.typeset import picture, typeset

RULER_TEXT = "100 mm: if this is not 100 mm long, print again at 100 %, without “fit to page”."
_MOST = 5000  # labels in one file


def render(labels: Sequence[Label], sheet: Sheet, paper: Paper, *, created: dt.date) -> bytes:
    """Return the sheets of labels as a PDF at true size; the same labels give the same bytes.

    labels: one for each cell, in their order; repeat one to print it again. The 100 mm
    ruler stands in a margin, or on a page of its own where the labels leave no room.

    Raises BadInput, with every problem, for a sheet that is not possible or a label whose
    content does not fit.
    """
    problems = [problem.at(f"sheet.{problem.place}") for problem in sheet.problems(paper)]
    kinds = list(dict.fromkeys(labels))
    number = {label: at for at, label in enumerate(kinds)}
    problems += [_other_size(label, sheet) for label in kinds if label.outline != sheet.outline]
    if not 1 <= len(labels) <= _MOST:
        what = f"{len(labels)} labels cannot be printed."
        problems.append(Problem("labels", what, f"Ask for 1 to {_MOST}."))
    if problems:
        raise BadInput(*problems)
    fit.check(*kinds)
    title = printable(", ".join(dict.fromkeys(label.name for label in labels)))
    data = {
        "title": title or "Labels",
        "paper": paper.typst_name,
        "flipped": sheet.lie is Lie.ACROSS,
        "ruler_text": RULER_TEXT,
        "labels": [plain.label(label) for label in kinds],
        "pages": _pages([number[label] for label in labels], sheet, paper),
    }
    return _true_size(typeset("labels/sheet.typ", data, created=created))


def preview(label: Label) -> str:
    """Return one label as SVG at true size: the drawing that is printed, letters as paths.

    Raises BadInput when its content does not fit.
    """
    fit.check(label)
    data = {"title": printable(label.name), "labels": [plain.label(label)]}
    return picture("labels/preview.typ", data)


def _other_size(label: Label, sheet: Sheet) -> Problem:
    return Problem(
        f"{label.name}.outline",
        f"The label is {label.outline.said}, the sheet has labels {sheet.outline.said}.",
        "Choose the sheet of this label, or set the label for this sheet.",
    )


def _pages(labels: Sequence[int], sheet: Sheet, paper: Paper) -> list[dict[str, Any]]:
    """Return the pages: which label stands where, outlines of a proof, the ruler."""
    ruler = sheet.ruler(paper)
    right, down = sheet.right, sheet.down
    measure = ruler and {"x": ruler.x + right, "y": ruler.y + down, "turned": ruler.turned}
    proof = sheet.kind is Kind.PROOF
    outlines = [{"x": c.x + right, "y": c.y + down} for c in sheet.cells] if proof else []
    pages, done = [], 0
    for spots in sheet.used(len(labels)):
        cells = [
            {"x": spot.x + right, "y": spot.y + down, "label": label}
            for spot, label in zip(spots, labels[done:], strict=False)
        ]
        pages.append({"cells": cells, "outlines": outlines, "ruler": measure})
        done += len(spots)
    if measure is None:
        wide, high = sheet.size(paper)
        own = {"x": (wide - 100) / 2, "y": high / 2, "turned": False}
        pages.append({"cells": [], "outlines": [], "ruler": own})
    return pages


def _true_size(pdf: bytes) -> bytes:
    """Ask the viewer not to fit the page to the printer (ISO 32000-1, 12.2: PrintScaling)."""
    from pypdf import PdfReader, PdfWriter
    from pypdf.generic import DictionaryObject, NameObject

    writer = PdfWriter(clone_from=PdfReader(io.BytesIO(pdf)))
    wishes = writer.root_object.get("/ViewerPreferences", DictionaryObject()).get_object()
    wishes[NameObject("/PrintScaling")] = NameObject("/None")
    writer.root_object[NameObject("/ViewerPreferences")] = wishes
    out = io.BytesIO()
    writer.write(out)
    return out.getvalue()
