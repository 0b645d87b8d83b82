"""The load as oil in a measuring glass: of wax on the left, of total on the right.

Every load at which the label changes is a mark on the glass; the oil stands where she is now.
"""

from __future__ import annotations

from collections.abc import Sequence

from markupsafe import Markup

from rushlight.hazard.basis import from_total, from_wax
from rushlight.hazard.margin import Mark, Scale
from rushlight.quantity.si import Fraction1
from rushlight.web.drawing.apart import apart, steps
from rushlight.web.drawing.svg import el, line, path, text

WIDTH = 480.0
LEFT, RIGHT = 92.0, 128.0  # the glass
WORDS = 218.0  # where the words of the marks begin
TOP, LINE, LEAST = 42.0, 27.0, 340.0
TICK = 7.0
LONGEST = 27  # characters of a mark's words; the table has them whole
PIECES = 6
NEAR = 11.0  # a figure this near the present load would lie on its words


def drawn_marks(scale: Scale) -> tuple[Mark, ...]:
    """Return the marks that lie on the drawn part of the scale."""
    return tuple(mark for mark in scale.marks if mark.at.of_total <= scale.top)


def words_of(mark: Mark) -> str:
    """Return a mark's words, short enough to stand beside the scale."""
    words = mark.text.removesuffix(" begins.")
    if mark.says == "EUH208":
        words = f"mention {mark.because[0]}" if mark.because else "mention a substance"
    return words if len(words) <= LONGEST else words[: LONGEST - 1] + "…"


def _percent(value: float) -> str:
    return f"{100.0 * value:.3g} %"


class _Glass:
    def __init__(self, scale: Scale, room: int) -> None:
        self.scale = scale
        self.floor = TOP + max(LEAST, room * LINE)

    def y(self, of_total: float) -> float:
        return self.floor - (self.floor - TOP) * of_total / self.scale.top

    def oil(self) -> Markup:
        level = self.y(min(self.scale.now.of_total, self.scale.top))
        return el(
            "rect",
            x=LEFT,
            y=level,
            width=RIGHT - LEFT,
            height=max(self.floor - level, 0.0),
            class_="l-oil",
        )

    def walls(self) -> Markup:
        corners = [(LEFT, TOP - 12), (LEFT, self.floor), (RIGHT, self.floor), (RIGHT, TOP - 12)]
        return el("path", d=path(corners), class_="l-glass")

    def ticks(self) -> list[Markup]:
        """Return round figures: of wax to the left, of total to the right."""
        wax, top = self.scale.now.wax, self.scale.top
        most = from_total(min(top, 0.999), wax=wax).of_wax
        here = self.y(self.scale.now.of_total)
        drawn = []
        for value in steps(0.0, most, PIECES):
            y = self.y(from_wax(value, wax=wax).of_total)
            drawn.append(line((LEFT - TICK, y), (LEFT, y), "l-tick"))
            if abs(y - here) > NEAR:
                drawn.append(text((LEFT - TICK - 5, y + 5), _percent(value), "l-figure", "end"))
        for value in steps(0.0, top, PIECES):
            y = self.y(value)
            drawn.append(line((RIGHT, y), (RIGHT + TICK, y), "l-tick"))
            if abs(y - here) > NEAR:
                drawn.append(text((RIGHT + TICK + 4, y + 5), _percent(value), "l-figure"))
        return drawn

    def now(self) -> list[Markup]:
        basis = self.scale.now
        y = self.y(min(Fraction1(self.scale.top), basis.of_total))
        return [
            line((LEFT - TICK, y), (RIGHT + TICK, y), "l-now"),
            text((LEFT - TICK - 5, y + 5), _percent(basis.of_wax), "l-here", "end"),
            text((RIGHT + TICK + 4, y + 5), _percent(basis.of_total), "l-here"),
        ]

    def marks(self, shown: Sequence[Mark]) -> list[Markup]:
        """Return the marks with their numbers, moved apart, each led to its load."""
        from_top = list(reversed(list(enumerate(shown, start=1))))
        wanted = [self.y(mark.at.of_total) for _, mark in from_top]
        drawn = []
        for (number, mark), at, y in zip(
            from_top, wanted, apart(wanted, LINE, TOP, self.floor), strict=True
        ):
            begun = mark.at.of_total <= self.scale.now.of_total * (1.0 + 1e-9)
            lead = path([(LEFT, at), (RIGHT, at), (RIGHT + 58, at), (WORDS - 24, y)])
            drawn += [
                el("path", d=lead, class_="l-lead"),
                line((LEFT, at), (RIGHT, at), "l-mark"),
                el("circle", cx=WORDS - 14, cy=y, r=10.5, class_="l-balloon on" if begun
                   else "l-balloon"),
                text((WORDS - 14, y + 4.5), str(number), "l-number on" if begun else "l-number",
                     "middle"),
                text((WORDS + 4, y + 5), words_of(mark), "l-words"),
            ]  # fmt: skip
        return drawn


def load_scale(scale: Scale) -> Markup:
    """Return the measuring glass; its figures stand in the table beside it."""
    shown = drawn_marks(scale)
    glass = _Glass(scale, len(shown))
    drawn = [
        glass.oil(),
        *glass.marks(shown),
        glass.walls(),
        *glass.ticks(),
        *glass.now(),
        text((LEFT - TICK - 5, TOP - 18), "of wax", "l-head", "end"),
        text((RIGHT + TICK + 4, TOP - 18), "of total", "l-head"),
    ]
    return el(
        "svg",
        *drawn,
        viewBox=f"0 0 {WIDTH:.0f} {glass.floor + 14:.0f}",
        class_="loads",
        role="img",
        aria_label="Loads at which the label changes; the figures are in the table.",
    )
