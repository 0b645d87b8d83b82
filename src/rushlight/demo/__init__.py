"""The demonstration: a boathouse workshop with its early-summer line, all of it invented."""

from rushlight.demo.build import build, fill
from rushlight.demo.large import large

__all__ = ["build", "fill", "large"]
