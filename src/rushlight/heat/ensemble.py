"""Spreads: the same candle with its uncertain inputs drawn from their ranges.

The draws are a fixed Latin design, so that a forecast is the same each time it
is made: with n members every input takes n evenly spaced values, each once.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from rushlight.heat.enthalpy import Array
from rushlight.heat.setting import Doubt
from rushlight.heat.surroundings import Sway

MEMBERS = 9
# low and high of each factor [1]. side ±20 %, top ±40 %: scatter of the correlations on
# small surfaces; base: contact 5–15 W/m²K, from memory; latent heat 100–150 about 130 kJ/kg
# and conductivity 0.15–0.25 about 0.18 W/mK for soy, from memory; shrinkage 5–10 % about
# 7, 10–16 about 12.5 %: slPCMlib RT60 and from memory
RANGES = {
    "side": (0.8, 1.2),
    "top": (0.6, 1.4),
    "base": (0.6, 1.6),
    "latent": (0.8, 1.2),
    "conduct": (0.85, 1.25),
    "undercooling": (0.3, 1.7),
    "mixing": (1.5, 8.0),
    "shrink": (0.7, 1.3),
}


@dataclass(frozen=True, slots=True)
class Spread:
    """A figure with its range: 10th and 90th percentile of the ensemble.

    A figure that does not come about (a surface that never closes) is NaN; share
    [1] tells in how many members it did.
    """

    low: float
    likely: float
    high: float
    share: float = 1.0


def latin(count: int, columns: int) -> Array:
    """Return `count` rows of numbers in (0, 1), each column evenly filled, fixed."""
    order = np.random.default_rng(20_11)  # a fixed seed: the same answer each time
    even = (np.arange(count) + 0.5) / count
    return np.stack([order.permutation(even) for _ in range(columns)], axis=1)


def doubts(count: int = MEMBERS) -> tuple[Doubt, ...]:
    """Return the members' draws, geometric between the ends of each range."""
    if not count:
        return ()
    rows = latin(count, len(RANGES))
    draws = [
        {
            name: low * (high / low) ** float(x)
            for (name, (low, high)), x in zip(RANGES.items(), row, strict=True)
        }
        for row in rows
    ]
    return tuple(
        Doubt(
            Sway(d["side"], d["top"], d["base"]),
            d["latent"],
            d["conduct"],
            d["undercooling"],
            d["mixing"],
            d["shrink"],
        )
        for d in draws
    )


def spread(likely: float, coarse: float, members: Array) -> Spread:
    """Return a spread about `likely`, scaled by the members relative to their own centre.

    likely: on the fine grid; coarse: the same figure on the members' grid.
    """
    real = members[np.isfinite(members)]
    share = len(real) / len(members) if len(members) else float(np.isfinite(likely))
    if not len(real):
        return Spread(likely, likely, likely, share)
    low, high = np.quantile(real, [0.1, 0.9])
    if np.isfinite(likely) and np.isfinite(coarse) and coarse > 0:
        low, high = low * likely / coarse, high * likely / coarse
        low, high = min(low, likely), max(high, likely)
    return Spread(float(low), float(likely), float(high), share)
