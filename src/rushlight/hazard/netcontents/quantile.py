"""Student's t as both weighing laws use it: t(q, n − 1) / √n."""

from __future__ import annotations

from math import sqrt


def mean_factor(quantile: float, n: int) -> float:
    """Return t(quantile, n − 1)/√n [1] for n ≥ 2 weighed packages.

    0.975 gives the sample correction factors of NIST Handbook 133, Table 2-1 (12: 0.635);
    0.995 the mean-test factors of SI 2006/659 (30: 0.503).
    """
    from scipy.special import stdtrit

    return float(stdtrit(n - 1, quantile)) / sqrt(n)
