"""Labels for jars: designed as data, checked, and printed at true size.

`design` holds what a label is made of; `front`, `fire`, `hazardous`, `lot` and `codes` make
the usual ones; `wrap` measures the vessel; `sheet` is the grid on the paper; `fit` checks;
`printing` sets them. Everything on a label is a working aid: local law, the supplier's
safety data sheet and licensed practice decide.
"""

from __future__ import annotations

from rushlight.press.labels.printing import preview, render

__all__ = ["preview", "render"]
