"""The verdicts on a lot as JSON; masses in grams."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from rushlight.hazard.netcontents.category_a import CategoryA
from rushlight.hazard.netcontents.directive import Directive
from rushlight.hazard.netcontents.lot import LotVerdict
from rushlight.hazard.netcontents.target import Aim

_DIGITS = 6
Json = Mapping[str, Any]


def shaped(found: LotVerdict) -> Json:
    """Return the verdicts as JSON; jars are numbered from 1 as they were weighed."""
    return {
        "label_g": _g(found.label),
        "lot_jars": found.lot,
        "weighed_jars": len(found.weights.masses),
        "mean_g": _g(found.weights.mean),
        "deviation_g": _g(found.weights.deviation),
        "hb133": None if found.hb133 is None else _hb133(found.hb133),
        "eu": None if found.eu is None else _eu(found.eu),
        "aims": [_aim(aim) for aim in found.aims],
        "unanswered": [
            {"place": p.place, "what": p.what, "remedy": p.remedy} for p in found.unanswered
        ],
        "aid": found.aid,
    }


def _hb133(test: CategoryA) -> Json:
    return {
        "passes": test.passes,
        "verdict": test.verdict,
        "mean_error_g": _g(test.mean),
        "sampling_allowance_g": _g(test.sel),
        "largest_shortage_g": _g(test.mav),
        "short": [at + 1 for at in test.short],
        "sample_jars": test.sample,
        "paragraph": test.paragraph,
        "source": test.source,
    }


def _eu(test: Directive) -> Json:
    return {
        "passes": test.passes,
        "undecided": test.undecided,
        "further_jars": test.further,
        "verdict": test.verdict,
        "least_mean_g": _g(test.least_mean),
        "tolerable_negative_error_g": _g(test.tne),
        "t1_g": _g(test.t1),
        "t2_g": _g(test.t2),
        "below_t1": [at + 1 for at in test.below_t1],
        "below_t2": [at + 1 for at in test.below_t2],
        "may_be_below_t1_jars": test.allowed_below_t1,
        "sample_jars": test.sample,
        "paragraph": test.paragraph,
        "source": test.source,
    }


def _aim(aim: Aim) -> Json:
    return {
        "test": aim.test.value,
        "fill_g": _g(aim.fill),
        "cautious_fill_g": _g(aim.cautious),
        "scatter_g": _g(aim.scatter),
        "cautious_scatter_g": _g(aim.cautious_scatter),
        "passing_percent": round(100.0 * aim.passing, _DIGITS),
        "words": aim.words,
    }


def _g(kilograms: float) -> float:
    return round(1000.0 * kilograms, _DIGITS)
