"""The verdicts on a lot on the terminal."""

from __future__ import annotations

from rich.console import Console
from rich.padding import Padding
from rich.table import Table

from rushlight.cli.tables import table, words
from rushlight.hazard.netcontents.lot import LotVerdict

_GRAM = 1e-3  # [kg]


def show_verdict(found: LotVerdict) -> None:
    """Write the verdicts in words, the figures in a table, and where to aim."""
    console = Console(highlight=False)
    for title, test in (
        ("NIST Handbook 133, Category A", found.hb133),
        ("76/211/EEC, UK SI 2006/659", found.eu),
    ):
        if test is not None:
            console.print(words(title, "bold"))
            console.print(words(test.verdict))
            console.print(words(f"({test.paragraph}; {test.source})", "dim"))
    console.print(Padding(_figures(found), (1, 0)))
    for aim in found.aims:
        console.print(words(f"{aim.test.value}: {aim.words}"))
    for problem in found.unanswered:
        console.print(words(f"Not answered: {problem.what} {problem.remedy}"))
    console.print(words(found.aid, "dim"))


def _figures(found: LotVerdict) -> Table:
    made = table(("", "left"), ("", "right"))
    weights = found.weights
    rows = [
        ("Label", f"{found.label / _GRAM:.6g} g"),
        ("Weighed", f"{len(weights.masses)} of {found.lot}"),
        ("Mean", f"{weights.mean / _GRAM:.2f} g"),
        ("Scatter (standard deviation)", f"{weights.deviation / _GRAM:.2f} g"),
        ("Lightest", f"{min(weights.masses) / _GRAM:.2f} g"),
    ]
    if found.eu is not None:
        rows += [("T1", f"{found.eu.t1 / _GRAM:.1f} g"), ("T2", f"{found.eu.t2 / _GRAM:.1f} g")]
    for name, value in rows:
        made.add_row(words(name), words(value))
    return made
