"""Use limits of one or several oils in one candle: Σ (load / limit) stays at or below 1."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import fsum

from rushlight.candle.sheet import JarSheet, Role
from rushlight.hazard import WORKING_AID
from rushlight.hazard.certificate import Certificate, Standing
from rushlight.hazard.criterion import TOLERANCE
from rushlight.quantity.si import Fraction1

SOURCE = (
    "limit: the oil's certificate, per cent of the finished product without jar and wick; sum"
    " over several oils: derived, since the same restricted material can be in each"
)


@dataclass(frozen=True, slots=True)
class OilUse:
    """One oil: its share of everything poured [1], its certificate, load over limit [1]."""

    oil: str
    load: Fraction1
    certificate: Certificate
    used: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class UseLimit:
    """How far the use limits are used up.

    standing of all oils together: the worst of them. used: Σ load/limit [1] of the oils with
    a number. largest: largest load of the total [1] in the present blend, where it is known.
    """

    standing: Standing
    oils: tuple[OilUse, ...]
    used: float
    over: bool
    largest: Fraction1 | None
    words: str
    source: str = SOURCE
    aid: str = WORKING_AID


_WORST = (Standing.NOT_PERMITTED, Standing.UNKNOWN, Standing.NUMBER, Standing.NO_RESTRICTION)


def loads(jar: JarSheet) -> Mapping[str, Fraction1]:
    """Return each fragrance oil's share of everything poured [1]; one listed twice adds up."""
    found: dict[str, Fraction1] = {}
    for line in jar.lines:
        if line.role is Role.FRAGRANCE and line.of_total > 0.0:
            found[line.name] = Fraction1(found.get(line.name, 0.0) + line.of_total)
    return found


def use_limit(oils: Mapping[str, Fraction1], certificates: Mapping[str, Certificate]) -> UseLimit:
    """Return how a candle stands to its certificates; an oil without one is unknown.

    oils: each oil's share of everything poured [1]; certificates by oil name.
    """
    if not oils:
        return UseLimit(
            standing=Standing.NO_RESTRICTION,
            oils=(),
            used=0.0,
            over=False,
            largest=None,
            words="There is no fragrance oil in it.",
        )
    uses = [_use(name, share, certificates.get(name)) for name, share in oils.items()]
    standings = {use.certificate.standing for use in uses}
    standing = next(s for s in _WORST if s in standings)
    used = fsum(use.used for use in uses if use.used is not None)
    numbered = standing is Standing.NUMBER and used > 0.0
    largest = Fraction1(min(1.0, fsum(oils.values()) / used)) if numbered else None
    return UseLimit(
        standing=standing,
        oils=tuple(uses),
        used=used,
        over=standing is Standing.NOT_PERMITTED or used > 1.0 + TOLERANCE,
        largest=largest,
        words=_words(standing, uses, used, largest),
    )


def _use(oil: str, load: Fraction1, certificate: Certificate | None) -> OilUse:
    held = certificate or Certificate(oil=oil, standing=Standing.UNKNOWN)
    return OilUse(oil, load, held, load / held.limit if held.limit else None)


def _words(
    standing: Standing, oils: Sequence[OilUse], used: float, largest: Fraction1 | None
) -> str:
    named = ", ".join(o.oil for o in oils if o.certificate.standing is standing)
    if standing is Standing.NOT_PERMITTED:
        return f"The certificate does not permit {named} in candles."
    if standing is Standing.UNKNOWN:
        return f"No limit for candles is known for {named}: ask the supplier for the certificate."
    if standing is Standing.NO_RESTRICTION:
        return (
            "The certificates set no limit for candles. That says nothing of classification,"
            " burning or flash point."
        )
    most = (
        f" The largest load of this blend is {100 * largest:.4g} % of the total." if largest else ""
    )
    if used > 1.0 + TOLERANCE:
        return f"The load passes the use limits ({100 * used:.4g} % of them).{most}"
    return f"The load uses {100 * used:.4g} % of the use limits.{most}"
