"""Setting a page: a template of ours and plain data in, the bytes of a PDF out.

What a person typed travels as JSON and is only ever shown as text, so no name can
become a command of the typesetter. The template sees the files of this package and
nothing else; fonts are the vendored ones alone, so a sheet looks the same everywhere
and comes out byte for byte the same.
"""

from __future__ import annotations

import datetime as dt
import json
from collections.abc import Mapping
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING, Any

from rushlight.errors import RushlightError

if TYPE_CHECKING:
    import typst

HERE = Path(__file__).parent
FONTS = HERE / "fonts"


class PressError(RushlightError):
    """A page could not be set: a fault of ours, not of what was typed."""


@cache
def _fonts() -> typst.Fonts:
    """Read the vendored fonts, once."""
    import typst

    return typst.Fonts(include_system_fonts=False, include_embedded_fonts=False, font_paths=[FONTS])


def _compiler(template: str, data: Mapping[str, Any]) -> typst.Compiler:
    """Make the typesetter ready for a template and its data."""
    import typst

    return typst.Compiler(
        HERE / template,
        root=HERE,
        font_paths=_fonts(),
        ignore_system_fonts=True,
        sys_inputs={"data": json.dumps(data, ensure_ascii=False)},
    )


def _compiled(template: str, data: Mapping[str, Any], **options: Any) -> bytes:
    """Set a template; anything the typesetter complains of is an error."""
    import typst

    try:
        made, warnings = _compiler(template, data).compile_with_warnings(**options)
    except typst.TypstError as error:
        raise PressError(f"The page could not be set: {error.diagnostic}") from error
    if warnings:
        said = "; ".join(warning.message for warning in warnings)
        raise PressError(f"The page was set with warnings: {said}")
    if not isinstance(made, bytes):
        raise PressError("The typesetter gave back no page, or more than one.")
    return made


def typeset(template: str, data: Mapping[str, Any], *, created: dt.date) -> bytes:
    """Set `template` (a file beside this module) with `data` and return the PDF.

    created is the date written into the file: the date of the sheet and not of the
    print, so that the same sheet gives the same bytes. The PDF is tagged to PDF/UA-1
    (ISO 14289-1), under which a character without a glyph is an error too.

    Raises PressError when the typesetter complains of anything at all.
    """
    midnight = dt.datetime.combine(created, dt.time(), tzinfo=dt.UTC)
    return _compiled(template, data, format="pdf", pdf_standards="ua-1", timestamp=midnight)


def picture(template: str, data: Mapping[str, Any]) -> str:
    """Set a template of one page and return it as SVG: the same drawing, letters as paths.

    Raises PressError when the typesetter complains of anything at all.
    """
    return _compiled(template, data, format="svg").decode("utf-8")


def measured(template: str, data: Mapping[str, Any]) -> Any:
    """Set a template and return what it measured: the value of its ``<measured>``.

    Raises PressError when the typesetter cannot set it.
    """
    try:
        found = _compiler(template, data).query("<measured>", field="value", one=True)
    except RuntimeError as error:  # of which the typesetter's own error is one
        raise PressError(f"The page could not be measured: {error}") from error
    return json.loads(found)
