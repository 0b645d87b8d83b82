"""SVG elements as escaped text."""

from __future__ import annotations

from collections.abc import Iterable

from markupsafe import Markup, escape

Point = tuple[float, float]


def el(name: str, *children: str, **attributes: str | float) -> Markup:
    """Return an element; attribute ``class_`` is written ``class``, ``a_b`` as ``a-b``."""
    written = Markup("").join(
        Markup(' {}="{}"').format(
            key.rstrip("_").replace("_", "-"),
            f"{value:.2f}".rstrip("0").rstrip(".") if isinstance(value, float) else value,
        )
        for key, value in attributes.items()
    )
    inside = Markup("").join(escape(child) for child in children)
    return Markup("<{0}{1}>{2}</{0}>").format(Markup(name), written, inside)  # noqa: S704 - names are ours


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
