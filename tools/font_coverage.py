"""Write down which characters all vendored faces have: run it after changing a font.

python tools/font_coverage.py
"""

from __future__ import annotations

from itertools import groupby
from pathlib import Path

from fontTools.ttLib import TTFont

FONTS = Path(__file__).parent.parent / "src" / "rushlight" / "press" / "fonts"


def covered() -> str:
    """Return the ranges, one per line, as hexadecimal first-last."""
    faces = [set(TTFont(path).getBestCmap()) for path in sorted(FONTS.glob("*.ttf"))]
    common = sorted(set.intersection(*faces))
    runs = [
        [code for _, code in run]
        for _, run in groupby(enumerate(common), key=lambda pair: pair[1] - pair[0])
    ]
    return "".join(f"{run[0]:04X}-{run[-1]:04X}\n" for run in runs)


if __name__ == "__main__":
    (FONTS / "coverage.txt").write_text(covered(), encoding="ascii")
