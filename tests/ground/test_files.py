"""The files themselves: short, unchanged where they are others', and with the signs we print."""

import hashlib
from pathlib import Path

import pytest
from fontTools.ttLib import TTFont

from tests.support.tree import ROOT, SRC, files

LONGEST = 400  # lines; data tables, locks and vendored files apart
KERNEL = 500  # numba's cache notices changes only in a kernel's own file: one kernel, one file
DATA = {".txt", ".json", ".csv", ".min", ".svg"}
VENDORED = SRC / "web" / "static" / "vendor" / "VENDORED.md"
FONTS = sorted((SRC / "press" / "fonts").glob("*.ttf"))


def _rows() -> list[tuple[str, str]]:
    table = [line.split("|") for line in VENDORED.read_text(encoding="utf-8").splitlines()]
    return [(cells[1].strip(), cells[5].strip()) for cells in table if len(cells) == 7][2:]


def test_no_file_of_ours_is_long() -> None:
    """One idea to a file: none has more than 400 lines, but data, kernels and what is others'."""
    ours = [f for f in files() if "vendor" not in f.parts and f.suffix not in DATA]
    code = [f for f in ours if f.suffix in {".py", ".css", ".js", ".html", ".typ", ".md", ""}]
    assert len(code) > 50
    long = {
        f.relative_to(ROOT).as_posix(): lines
        for f in code
        if f.name != "LICENSE"
        and (lines := f.read_bytes().count(b"\n"))
        > (KERNEL if f.name.startswith("kernel_") else LONGEST)
    }
    assert long == {}


def test_vendored_files_are_as_published() -> None:
    """Every file in VENDORED.md has the checksum written there."""
    rows = _rows()
    assert len(rows) == 12
    changed = [
        name
        for name, wanted in rows
        if hashlib.sha256((ROOT / name).read_bytes()).hexdigest() != wanted
    ]
    assert changed == []


def test_every_vendored_file_is_written_down() -> None:
    """No script, style or font of others lies in the tree without a row in VENDORED.md."""
    written = {name for name, _ in _rows()}
    found = {
        f.relative_to(ROOT).as_posix()
        for f in files()
        if f.suffix in {".ttf", ".woff2", ".otf", ".woff"}
        or ("vendor" in f.parts and f.suffix in {".js", ".css"})
    }
    assert found
    assert found - written == set()


@pytest.mark.parametrize("font", FONTS, ids=lambda font: font.stem)
def test_the_fonts_hold_the_signs_we_print(font: Path) -> None:
    """Fractions, units, dashes and currency signs are in every font for paper."""
    with TTFont(font) as opened:
        known = opened.getBestCmap()
    assert [sign for sign in "½¼¾°×−–—²³Ø€£µ≤≥±’“”…·•→✓" if ord(sign) not in known] == []


@pytest.mark.parametrize("font", FONTS, ids=lambda font: font.stem)
def test_figures_are_of_one_width(font: Path) -> None:
    """Columns of figures line up without any feature switched on."""
    with TTFont(font) as opened:
        known, widths = opened.getBestCmap(), opened["hmtx"]
        assert len({widths[known[ord(figure)]][0] for figure in "0123456789"}) == 1


def test_there_are_fonts_to_check() -> None:
    """The two checks above walk five files, not an empty folder."""
    assert len(FONTS) == 5
