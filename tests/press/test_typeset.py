"""The typesetter: plain data in, the same bytes out, no complaint passed over."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

import pytest

from rushlight.press import typeset as typesetting
from rushlight.press.typeset import PressError, measured, picture, typeset

DAY = dt.date(2026, 5, 2)
PAGE = '#set document(title: "t")\n#set text(font: "Source Sans 3", fallback: false)\n'


@pytest.fixture
def template(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Return a template file of the test's own, in place of the package's."""
    monkeypatch.setattr(typesetting, "HERE", tmp_path)
    return tmp_path / "page.typ"


def test_a_warning_of_the_typesetter_is_an_error(template: Path) -> None:
    """An unknown font is only a warning to Typst; to us the page is not the one meant."""
    template.write_text(PAGE + '#text(font: "No Such Face", fallback: true)[x]', "utf-8")
    with pytest.raises(PressError, match="no such face"):
        typeset("page.typ", {}, created=DAY)


def test_a_character_without_a_glyph_is_an_error(template: Path) -> None:
    """It never comes out as an empty box that nobody notices."""
    template.write_text(PAGE + "#json(bytes(sys.inputs.data)).name", "utf-8")
    with pytest.raises(PressError, match="could not be displayed"):
        typeset("page.typ", {"name": "candle 🕯"}, created=DAY)


def test_a_mistake_in_a_template_is_our_error(template: Path) -> None:
    """It is said as one of ours, not as a stranger's exception."""
    template.write_text("#let", "utf-8")
    with pytest.raises(PressError, match="could not be set"):
        typeset("page.typ", {}, created=DAY)


def test_a_template_reads_no_file_outside_the_package(template: Path) -> None:
    """The root of the typesetter is the package; nothing typed could name a file anyway."""
    template.write_text(PAGE + '#read("../secret.txt")', "utf-8")
    (template.parent.parent / "secret.txt").write_text("secret", "utf-8")
    with pytest.raises(PressError):
        typeset("page.typ", {}, created=DAY)


def test_data_is_text_and_never_code(template: Path) -> None:
    """What a person types comes out letter for letter."""
    template.write_text(PAGE + "#json(bytes(sys.inputs.data)).name", "utf-8")
    first = typeset("page.typ", {"name": "#panic() $x$ *b* \\u{41} //"}, created=DAY)
    assert first == typeset("page.typ", {"name": "#panic() $x$ *b* \\u{41} //"}, created=DAY)
    assert first.startswith(b"%PDF-")


def test_a_picture_is_svg_without_any_text(template: Path) -> None:
    """Letters are paths: the screen needs no font of ours."""
    template.write_text(PAGE + "#set page(width: 50mm, height: 20mm)\nHello", "utf-8")
    svg = picture("page.typ", {})
    assert svg.startswith("<svg")
    assert "<text" not in svg
    template.write_text(PAGE + "#nothing", "utf-8")
    with pytest.raises(PressError, match="could not be set"):
        picture("page.typ", {})


def test_what_a_template_measured_comes_back_as_plain_data(template: Path) -> None:
    """And a mistake in it is our error."""
    template.write_text(PAGE + "#[#metadata((a: 1, b: (true, none))) <measured>]", "utf-8")
    assert measured("page.typ", {}) == {"a": 1, "b": [True, None]}
    template.write_text(PAGE + "#nothing", "utf-8")
    with pytest.raises(PressError, match="could not be measured"):
        measured("page.typ", {})
