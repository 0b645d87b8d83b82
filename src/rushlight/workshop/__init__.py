"""The verbs a maker does: the only place where the core meets the store."""

from rushlight.workshop.shop import Clock, Workshop, wall_clock

__all__ = ["Clock", "Workshop", "wall_clock"]
