"""A review as text and tables on the terminal."""

from __future__ import annotations

from collections.abc import Sequence

from rich.console import Console
from rich.padding import Padding
from rich.table import Table
from rich.text import Text

from rushlight.candle.sheet import Weight
from rushlight.cli.tables import table, words
from rushlight.hazard.label import Label
from rushlight.hazard.margin import Mark
from rushlight.hazard.review import Review
from rushlight.hazard.us_consumer import UsConsumer
from rushlight.hazard.uselimit import UseLimit


def show_review(candle: str, found: Review, *, pictograms: bool) -> None:
    """Write what a candle must say, why, and at what load it would change."""
    console = Console(highlight=False)
    console.print(words(candle, "bold"))
    console.print(words(f"By {found.law.rules}."))
    console.print(
        words(f"Load {_of(found.load.of_wax)} of wax = {_of(found.load.of_total)} of total.")
    )
    if found.consumer is not None:
        _consumer(console, found.consumer)
    console.print(
        Padding(_label(found.label, pictograms=pictograms, unsheeted=len(found.unsheeted)), (1, 0))
    )
    for finding in found.classification.findings:
        said = words(f"{finding.hazard.h} ({finding.hazard.code}):", "bold")
        console.print(Text(" ").join((said, words(finding.words), _dim(finding.paragraph))))
    if found.scale.marks:
        console.print(Padding(_scale(found.scale.marks), (1, 0)))
    console.print(Text(" ").join((words("Use limit:", "bold"), words(found.use_limit.words))))
    console.print(Padding(_limits(found.use_limit), (0, 0, 1, 0)))
    for caution in found.cautions:
        style = "" if caution.weight is Weight.NOTE else "bold"
        said = words(f"{caution.weight.value.capitalize()}:", "dim")
        console.print(Text(" ").join((said, words(caution.what, style), words(caution.remedy))))
    for note in (*found.classification.notes, *found.label.duties):
        console.print(words(f"Note: {note}"))
    console.print(words(found.aid, "dim"))


def _consumer(console: Console, consumer: UsConsumer) -> None:
    for line in (*consumer.plain, *consumer.elements, *consumer.oils):
        console.print(words(line))
    for found in consumer.sensitizers:
        said = f"{found.name}: {_of(found.share)}, listed from {_of(found.limit)}"
        console.print(words(f"Strong sensitizer: {said} ({found.paragraph})."))


def _label(label: Label, *, pictograms: bool, unsheeted: int) -> Table:
    made = table(("The label says", "left"), ("", "left"), ("Because", "left"))
    if label.empty and unsheeted:
        gap = f"{unsheeted} of its materials have no safety data sheet, so they were not counted."
        made.add_row(words("not known", "bold"), words(gap))
    elif label.empty:
        made.add_row(words("nothing"), words("The rules call for no hazard label."))
    for sign in label.pictograms if pictograms else ():
        made.add_row(words(sign.code), words("pictogram"), _dim(sign.reason))
    if label.signal:
        made.add_row(words(""), words(label.signal, "bold"))
    if label.names:
        made.add_row(words(""), words(", ".join(label.names)))
    for lines in (label.hazards, label.supplemental, label.precautions):
        for said in lines:
            made.add_row(words(said.code), words(said.text), _dim(said.reason))
    return made


def _scale(marks: Sequence[Mark]) -> Table:
    made = table(
        ("From a load of wax", "right"), ("of total", "right"), ("", "left"), ("Because", "left")
    )
    for mark in marks:
        row = (_of(mark.at.of_wax), _of(mark.at.of_total), mark.text, ", ".join(mark.because))
        made.add_row(*map(words, row))
    return made


def _limits(limit: UseLimit) -> Table:
    made = table(("Certificate", "left"), ("Load of total", "right"), ("Limit", "right"))
    for oil in limit.oils:
        standing, held = oil.certificate.standing.value, oil.certificate.limit
        said = standing if held is None else _of(held)
        made.add_row(*map(words, (oil.oil, _of(oil.load), said)))
    return made


def _of(share: float) -> str:
    return f"{100.0 * share:.3g} %"


def _dim(text: str) -> Text:
    return words(text, "dim")
