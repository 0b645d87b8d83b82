"""SVG elements as escaped text."""

from __future__ import annotations

from collections.abc import Iterable

from markupsafe import Markup, escape

Point = tuple[float, float]


def el(name: str, *children: str, **attributes: str | float) -> Markup:
    """Return an element; attribute ``class_`` is written ``class``, ``a_b`` as ``a-b``."""
    written = "".join(f' {_name(key)}="{_value(value)}"' for key, value in attributes.items())
    inside = "".join(escape(child) for child in children)
    # names are ours, values and children are escaped above
    return Markup(f"<{name}{written}>{inside}</{name}>")  # noqa: S704


def _name(key: str) -> str:
    return key.rstrip("_").replace("_", "-")


def _value(value: str | float) -> str:
    if isinstance(value, float):
        return f"{value:.2f}".rstrip("0").rstrip(".")
    return str(escape(value))


def path(points: Iterable[Point], *, closed: bool = False) -> str:
    """Return straight path data through points."""
    steps = " L".join(f"{x:.2f} {y:.2f}" for x, y in points)
    return f"M{steps}{' Z' if closed else ''}"


def line(start: Point, end: Point, class_: str) -> Markup:
    """Return a straight line."""
    return el("line", x1=start[0], y1=start[1], x2=end[0], y2=end[1], class_=class_)


def text(at: Point, words: str, class_: str, anchor: str = "start") -> Markup:
    """Return words at a place."""
    return el("text", words, x=at[0], y=at[1], class_=class_, text_anchor=anchor)
