"""A weighed lot as the page shows it: verdicts, plot, tables."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from markupsafe import Markup

from rushlight.hazard.netcontents.lot import LotVerdict
from rushlight.web.drawing.lot import Level, lot

GRAM = 1e-3  # [kg]


@dataclass(frozen=True, slots=True)
class Verdict:
    """One test in words, with its figures and where it is written."""

    name: str
    short: str
    words: str
    figures: tuple[tuple[str, str], ...]
    paragraph: str
    source: str


@dataclass(frozen=True, slots=True)
class Jar:
    """A jar of the table: its number, net weight and what it is over the label, and a remark."""

    number: int
    net: str
    over: str
    remark: str


def _g(mass: float, mark: str = ".") -> str:
    return f"{mass / GRAM:.1f} g".replace("-", "−").replace(".", mark)


def _fine(mass: float, mark: str) -> str:
    return f"{mass / GRAM:.2f} g".replace("-", "−").replace(".", mark)


def _over(mass: float, mark: str, places: int = 1) -> str:
    shown = f"{mass / GRAM:+.{places}f} g"
    return shown.replace("-", "−").replace(".", mark)


def shown(found: LotVerdict, mark: str) -> dict[str, Any]:
    """Return what the page needs of a verdict; mark: the maker's decimal mark."""
    return {
        "found": found,
        "verdicts": [v for v in (_hb133(found, mark), _eu(found, mark)) if v],
        "plot": _plot(found),
        "jars": _jars(found, mark),
        "mean": _fine(found.weights.mean, mark),
        "mean_over": _over(found.weights.mean - found.label, mark, 2),
        "scatter": _fine(found.weights.deviation, mark),
        "aims": [(aim, _g(aim.fill, mark), _g(aim.cautious, mark)) for aim in found.aims],
    }


def _hb133(found: LotVerdict, mark: str) -> Verdict | None:
    r = found.hb133
    if r is None:
        return None
    return Verdict(
        "NIST Handbook 133, Category A",
        _short(passes=r.passes, partly=len(r.errors) < r.sample),
        r.verdict,
        (
            ("Jars weighed, of the lot", f"{len(r.errors)} of {r.lot}"),
            ("Mean over the label", _over(r.mean, mark, 2)),
            ("Allowed below it, for sampling", _fine(r.sel, mark)),
            ("Scatter (standard deviation)", _fine(r.deviation, mark)),
            ("One jar may be short by", _g(r.mav, mark)),
            ("Jars short by more", f"{len(r.short)}; {r.allowed_short} may be"),
        ),
        r.paragraph,
        r.source,
    )


def _short(*, passes: bool, partly: bool) -> str:
    """Return the verdict in three words; partly: fewer jars were weighed than the plan asks."""
    verdict = "passes" if passes else "fails"
    return f"So far it {verdict}." if partly else f"It {verdict}."


def _eu(found: LotVerdict, mark: str) -> Verdict | None:
    r = found.eu
    if r is None:
        return None
    return Verdict(
        "76/211/EEC and SI 2006/659",
        "It is undecided."
        if r.undecided
        else _short(passes=r.passes, partly=len(r.masses) < r.sample),
        r.verdict,
        (
            ("Jars weighed, of the batch", f"{len(r.masses)} of {r.batch}"),
            ("Mean", _fine(r.mean, mark)),
            ("The mean must reach", _fine(r.least_mean, mark)),
            ("Scatter (standard deviation)", _fine(r.deviation, mark)),
            ("T1: few may lie below", _g(r.t1, mark)),
            ("Jars below T1", f"{len(r.below_t1)}; {r.allowed_below_t1} may be"),
            ("T2: none may lie below", _g(r.t2, mark)),
            ("Jars below T2", str(len(r.below_t2))),
        ),
        r.paragraph,
        r.source,
    )


def _floor(found: LotVerdict) -> float:
    """Return the lightest weight [kg] that no test remarks on."""
    floors: list[float] = [found.eu.t1] if found.eu else []
    floors += [found.label - found.hb133.mav] if found.hb133 else []
    return max(floors, default=found.label)


def _plot(found: LotVerdict) -> Markup:
    levels = [Level("label", found.label, "label"), Level("mean", found.weights.mean, "mean")]
    if found.eu:
        levels += [Level("T1", found.eu.t1, "limit"), Level("T2", found.eu.t2, "limit")]
    if found.hb133:
        levels.append(Level("label − MAV", found.label - found.hb133.mav, "limit"))
    return lot(found.weights.masses, levels, floor=_floor(found) * (1 - 1e-12))


def _jars(found: LotVerdict, mark: str) -> list[Jar]:
    short = set(found.hb133.short) if found.hb133 else set()
    t1 = set(found.eu.below_t1) if found.eu else set()
    t2 = set(found.eu.below_t2) if found.eu else set()
    rows = []
    for at, mass in enumerate(found.weights.masses):
        remarks = ["below T2" if at in t2 else "below T1"] if at in t1 | t2 else []
        remarks += ["short by more than the MAV"] if at in short else []
        rows.append(
            Jar(at + 1, _g(mass, mark), _over(mass - found.label, mark), "; ".join(remarks))
        )
    return rows
