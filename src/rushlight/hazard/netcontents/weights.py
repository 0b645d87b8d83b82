"""A column of weighed jars, typed or pasted at the bench."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from math import fsum, sqrt

from rushlight.errors import Problem, Problems
from rushlight.quantity.si import Kilogram

GRAM = 1e-3  # [kg]
ODD = 0.5  # a weight half off the middle one is surely a slip of the keys


@dataclass(frozen=True, slots=True)
class Weights:
    """Net masses of single jars [kg], what was typed, and what could not be read."""

    masses: tuple[Kilogram, ...]
    typed: str
    problems: tuple[Problem, ...] = ()

    @property
    def mean(self) -> float:
        """Mean net mass [kg]."""
        return fsum(self.masses) / len(self.masses)

    @property
    def deviation(self) -> float:
        """Sample standard deviation with n − 1 [kg]; 0 for a single jar."""
        return deviation(self.masses)


def deviation(values: Sequence[float]) -> float:
    """Return the sample standard deviation with n − 1, in the unit of the values."""
    n = len(values)
    if n == 1:
        return 0.0
    mean = fsum(values) / n
    return sqrt(fsum((value - mean) ** 2 for value in values) / (n - 1))


def read_weights(text: str, *, tare: Kilogram = Kilogram(0.0)) -> Weights:
    """Return net masses from grams in a column or a row; a comma inside a number is a point.

    tare: of jar, lid and wick holder [kg], taken off each weight.
    """
    problems = Problems()
    masses: list[Kilogram] = []
    for at, piece in enumerate(p for p in re.split(r"[\s;]+|,(?=\s)", text) if p):
        match = re.fullmatch(r"(\d{1,6}(?:[.,]\d{1,6})?)g?", piece)
        if match is None:
            if piece != "g":
                problems.add(
                    f"weights.{at}", f"“{piece}” is not a weight.", "Type grams, such as 226.8."
                )
            continue
        net = float(match[1].replace(",", ".")) * GRAM - tare
        if net <= 0.0:
            problems.add(
                f"weights.{at}",
                f"{piece} g leaves nothing after the tare of {tare / GRAM:g} g.",
                "Type gross weights only where the tare is given, else net.",
            )
        masses.append(Kilogram(net))
    _odd_ones(masses, problems)
    if not masses and not problems.found:
        problems.add("weights", "No weight was typed.", "Type one weight a jar, in grams.")
    return Weights(tuple(masses), text, tuple(problems.found))


def _odd_ones(masses: Sequence[Kilogram], problems: Problems) -> None:
    middle = sorted(masses)[len(masses) // 2] if masses else 0.0
    for at, mass in enumerate(masses):
        if mass > 0.0 and abs(mass - middle) > ODD * middle:
            problems.add(
                f"weights.{at}",
                f"{mass / GRAM:g} g is far from the others (middle: {middle / GRAM:g} g).",
                "Check for a slipped digit or a missing point.",
            )
