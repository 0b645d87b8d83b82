"""A drawing that stands alone: the style sheet's colours written into it, on paper white."""

from __future__ import annotations

import re
from collections.abc import Sequence

from markupsafe import Markup

INK, SOFT, RULE, EDGE, MADDER, WAX = (
    *("#22262c", "#54534b", "#c9bfab", "#857b69"),
    *("#8f282d", "#f0dfb2"),
)
_LINE = 'fill="none" stroke-linejoin="round"'
_SANS = 'font-family="Source Sans 3, sans-serif" font-size="15"'
_SERIF = 'font-family="Source Serif 4, serif" font-size="15"'
STYLES = {
    "c-axis": f'stroke="{INK}" stroke-width="1.2"',
    "c-band": f'fill="{WAX}" fill-opacity=".7"',
    "c-spread": f'fill="{EDGE}" fill-opacity=".28"',
    "g-rule": f'stroke="{RULE}" stroke-width=".8"',
    "g-figure": f'fill="{SOFT}" {_SERIF}',
    "g-unit": f'fill="{SOFT}" {_SANS}',
    "g-words": f'fill="{INK}" {_SANS}',
    "g-name": f'fill="{INK}" {_SANS}',
    "g-here": f'fill="{MADDER}" font-weight="600" {_SANS}',
    "g-line": f'stroke="{INK}" stroke-width="2.4" {_LINE}',
    "second": 'stroke-dasharray="8 5"',
    "third": 'stroke-dasharray="2 5" stroke-linecap="round"',
    "g-level": f'stroke="{MADDER}" stroke-width="1.6" stroke-dasharray="6 4"',
    "g-mark": f'stroke="{MADDER}" stroke-width="2"',
    "n-lead": f'stroke="{EDGE}" stroke-width=".9"',
    "n-dot": f'fill="{INK}"',
    "w-window": f'fill="{WAX}"',
    "w-end": f'stroke="{INK}" stroke-width="1.6"',
    "w-doubt": f'fill="{EDGE}" fill-opacity=".75"',
    "w-wick": f'stroke="{INK}" stroke-width="3"',
    "w-dot": f'fill="{INK}"',
}
"""The classes of curves and ranges as the style sheet has them by day, as attributes."""
_CLASS = re.compile(r' class="([^"]*)"')
_SIZE = re.compile(r'viewBox="0 0 (\d+) (\d+)"')


def _styled(match: re.Match[str]) -> str:
    return "".join(f" {STYLES[name]}" for name in match[1].split() if name in STYLES)


def alone(title: str, drawings: Sequence[tuple[str, Markup]]) -> str:
    """Return drawings one under another as one SVG document, each under its heading."""
    from markupsafe import escape

    wide, y, parts = 480.0, 34.0, []
    for heading, drawn in drawings:
        size = _SIZE.search(drawn)
        if size is None:
            continue
        across, tall = float(size[1]), float(size[2])
        wide = max(wide, across)
        inner = _CLASS.sub(_styled, str(drawn)).replace(
            "<svg", f'<svg x="0" y="{y + 26:g}" width="{across:g}" height="{tall:g}"', 1
        )
        parts.append(
            f'<text x="12" y="{y + 18:g}" font-size="16" font-weight="600" fill="{INK}" '
            f'font-family="Source Serif 4, serif">{escape(heading)}</text>{inner}'
        )
        y += tall + 40
    head = (
        f'<text x="12" y="26" font-size="20" font-weight="600" fill="{INK}" '
        f'font-family="Source Serif 4, serif">{escape(title)}</text>'
    )
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {wide:g} {y:g}" '
        f'width="{wide:g}" height="{y:g}"><rect width="100%" height="100%" fill="#fffdf8"/>'
        f"{head}{''.join(parts)}</svg>\n"
    )
