"""How long classifying a candle takes: 500 components, every class in use."""

from __future__ import annotations

from benchmarks.measure import Row, repeat
from rushlight.hazard.classes import known
from rushlight.hazard.classify import classify
from rushlight.hazard.component import Component
from rushlight.hazard.label import label
from rushlight.hazard.law import Law
from rushlight.hazard.margin import scale
from rushlight.hazard.mixture import Part
from rushlight.hazard.oil import SafetySheet
from rushlight.hazard.recipe import Recipe
from rushlight.quantity.si import Fraction1

BUDGET = 0.020  # s, for 500 components


def crowded(count: int = 500, *, classes: int = 4) -> Recipe:
    """Return a candle of one oil with many components of shrinking share (invented)."""
    codes = [code for code in known() if not code.startswith("Flam.")]
    components = tuple(
        Component(
            name=f"substance {i}",
            low=Fraction1(0.0),
            high=Fraction1(0.03 * 0.97**i),
            classes=tuple(codes[(i * 7 + k * 11) % len(codes)] for k in range(classes)),
            m_acute=1.0,
            m_chronic=1.0,
        )
        for i in range(count)
    )
    oil = SafetySheet(name="crowded oil", components=components)
    return Recipe(name="crowded", oils=(Part(oil, Fraction1(1.0)),), load=Fraction1(0.08))


def rows() -> list[Row]:
    """Return the measured rows."""
    many, usual = crowded(), crowded(40)
    return [
        Row(
            "classify 500 components (EU), mixture included",
            repeat(lambda: classify(many.mixture(), Law.EU), times=30, warm=3),
            "median",
            BUDGET,
        ),
        Row(
            "classify and label 40 components (EU)",
            repeat(lambda: label(classify(usual.mixture(), Law.EU)), times=30, warm=3),
            "median",
        ),
        Row(
            "scale of loads, 40 components (EU)",
            repeat(lambda: scale(usual, Law.EU), times=30, warm=3),
            "median",
        ),
    ]
