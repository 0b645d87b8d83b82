"""Rushlight: what to weigh, how it will set and burn, what it costs and when to pour.

The core, for notebooks: small typed functions in SI units. Each name below is loaded
when it is first used, so that ``import rushlight`` itself takes no time.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from rushlight.candle.batch import scale
    from rushlight.candle.document import read as read_candle
    from rushlight.candle.kinds import built_in as kinds
    from rushlight.candle.sheet import Batch, BatchSheet, JarSheet
    from rushlight.candle.weigh import weigh
    from rushlight.cost.averages import moving_average, weighted_average
    from rushlight.cost.jar import jar_cost
    from rushlight.cost.margin import Sold, margins
    from rushlight.cost.moves import Issue, Receipt
    from rushlight.cost.valuation import fifo
    from rushlight.cost.variance import Spent, variance
    from rushlight.errors import BadInput, RushlightError
    from rushlight.heat.pot import Pot, Reading, cool, forecast, melt_time
    from rushlight.quantity import parse, show

__version__ = "0.1.0"

_HOME = {
    "BadInput": ("errors", "BadInput"),
    "Batch": ("candle.sheet", "Batch"),
    "BatchSheet": ("candle.sheet", "BatchSheet"),
    "Issue": ("cost.moves", "Issue"),
    "JarSheet": ("candle.sheet", "JarSheet"),
    "Pot": ("heat.pot", "Pot"),
    "Reading": ("heat.pot", "Reading"),
    "Receipt": ("cost.moves", "Receipt"),
    "RushlightError": ("errors", "RushlightError"),
    "Sold": ("cost.margin", "Sold"),
    "Spent": ("cost.variance", "Spent"),
    "cool": ("heat.pot", "cool"),
    "fifo": ("cost.valuation", "fifo"),
    "forecast": ("heat.pot", "forecast"),
    "jar_cost": ("cost.jar", "jar_cost"),
    "kinds": ("candle.kinds", "built_in"),
    "margins": ("cost.margin", "margins"),
    "melt_time": ("heat.pot", "melt_time"),
    "moving_average": ("cost.averages", "moving_average"),
    "parse": ("quantity.parse", ""),
    "read_candle": ("candle.document", "read"),
    "scale": ("candle.batch", "scale"),
    "show": ("quantity.show", ""),
    "variance": ("cost.variance", "variance"),
    "weigh": ("candle.weigh", "weigh"),
    "weighted_average": ("cost.averages", "weighted_average"),
}

__all__ = [
    "BadInput",
    "Batch",
    "BatchSheet",
    "Issue",
    "JarSheet",
    "Pot",
    "Reading",
    "Receipt",
    "RushlightError",
    "Sold",
    "Spent",
    "cool",
    "fifo",
    "forecast",
    "jar_cost",
    "kinds",
    "margins",
    "melt_time",
    "moving_average",
    "parse",
    "read_candle",
    "scale",
    "show",
    "variance",
    "weigh",
    "weighted_average",
]


def __getattr__(name: str) -> Any:
    """Load a public name from its module when it is first asked for."""
    if name not in _HOME:
        raise AttributeError(f"module 'rushlight' has no attribute {name!r}")
    from importlib import import_module

    module, inside = _HOME[name]
    found = import_module(f"rushlight.{module}")
    return getattr(found, inside) if inside else found


def __dir__() -> list[str]:
    """List the public names."""
    return sorted([*__all__, "__version__"])
