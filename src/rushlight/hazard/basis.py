"""Of the wax or of the total: the step at which loads are most often misread."""

from __future__ import annotations

from dataclasses import dataclass

from rushlight.quantity.si import Fraction1


@dataclass(frozen=True, slots=True)
class Basis:
    """A load said both ways [1]; wax: share of everything but the fragrance that is wax [1]."""

    of_wax: Fraction1
    of_total: Fraction1
    wax: Fraction1

    @property
    def words(self) -> str:
        """The conversion, written out."""
        parts = 100.0 * self.of_wax
        whole = parts + 100.0 / self.wax
        return (
            f"{parts:.4g} % of the wax is {parts:.4g} in {whole:.5g} parts of everything poured:"
            f" {100.0 * self.of_total:.4g} % of the finished candle. Limits count on the latter."
        )


def from_wax(of_wax: float, *, wax: float = 1.0) -> Basis:
    """Return both bases from a load of the wax [1]: x = L·w / (1 + L·w).

    wax: share [1] of everything but the fragrance that is wax. 8 % gives 7.407 %.
    """
    scaled = of_wax * wax
    return Basis(Fraction1(of_wax), Fraction1(scaled / (1.0 + scaled)), Fraction1(wax))


def from_total(of_total: float, *, wax: float = 1.0) -> Basis:
    """Return both bases from a load of the total [1], below 1: L = x / ((1 − x)·w)."""
    of_wax = of_total / ((1.0 - of_total) * wax) if of_total < 1.0 else float("inf")
    return Basis(Fraction1(of_wax), Fraction1(of_total), Fraction1(wax))
