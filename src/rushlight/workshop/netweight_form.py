"""A weighed lot as typed: label, weights, tare, and how many jars it has."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from rushlight.hazard.netcontents.lot import read_label
from rushlight.hazard.netcontents.weights import Weights, read_weights
from rushlight.quantity import parse
from rushlight.quantity.si import Kilogram
from rushlight.workshop.typed import Typed, within

FIELDS: Final = ("label", "weights", "tare", "jars", "opened", "note")
MOST_TYPED: Final = 50_000
"""Characters of a column of weights; five thousand jars."""


@dataclass(frozen=True, slots=True, kw_only=True)
class LotTyped:
    """A lot as read: declared quantity [kg], net weights, jars in the lot.

    opened: the jars weighed were opened for it.
    """

    label: Kilogram
    weights: Weights
    jars: int
    opened: bool


def read_lot(form: Typed, *, jars: int | None = None) -> LotTyped:
    """Return a lot; BadInput with every problem, at "label", "weights.3", "tare", "jars".

    jars: in the lot where the form says nothing; else those weighed are the lot.
    """
    label = form.read("label", read_label)
    if label is None and not form.texts.get("label", "").strip():
        form.problems.add("label", "The label's quantity is missing.", "Type it, such as 226 g.")
    tare = form.read("tare", within(parse.mass, 0, 20, "from 0 g to 20 kg"))
    counted = form.read("jars", count_of)
    opened = form.choice("opened", ("no", "yes"), "no") == "yes"
    before = len(form.problems.found)
    column = form.text("weights", longest=MOST_TYPED)
    weights = read_weights(column, tare=Kilogram(tare or 0.0))
    if len(form.problems.found) == before:  # else the column could not be taken at all
        form.problems.extend(weights.problems)
    size = counted or jars or len(weights.masses)
    if size < len(weights.masses):
        form.problems.add(
            "jars",
            f"{len(weights.masses)} weights cannot come from a lot of {size}.",
            "Check how many jars the lot has.",
        )
    form.problems.check()
    if label is None:
        raise AssertionError("the label is missing and no problem says so")
    return LotTyped(label=label, weights=weights, jars=size, opened=opened)


def count_of(text: str) -> int:
    """Return a number of jars."""
    return within(parse.count, 1, 1_000_000, "from 1 to 1,000,000")(text)
