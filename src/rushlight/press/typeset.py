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


def typeset(template: str, data: Mapping[str, Any], *, created: dt.date) -> bytes:
    """Set `template` (a file beside this module) with `data` and return the PDF.

    created is the date written into the file: the date of the sheet and not of the
    print, so that the same sheet gives the same bytes. The PDF is tagged to PDF/UA-1
    (ISO 14289-1), under which a character without a glyph is an error too.

    Raises PressError when the typesetter complains of anything at all.
    """
    import typst

    midnight = dt.datetime.combine(created, dt.time(), tzinfo=dt.UTC)
    compiler = typst.Compiler(
        HERE / template,
        root=HERE,
        font_paths=_fonts(),
        ignore_system_fonts=True,
        sys_inputs={"data": json.dumps(data, ensure_ascii=False)},
    )
    try:
        pdf, warnings = compiler.compile_with_warnings(
            format="pdf", pdf_standards="ua-1", timestamp=midnight
        )
    except typst.TypstError as error:
        raise PressError(f"The page could not be set: {error.diagnostic}") from error
    if warnings:
        said = "; ".join(warning.message for warning in warnings)
        raise PressError(f"The page was set with warnings: {said}")
    if not isinstance(pdf, bytes):
        raise PressError("The typesetter gave back no PDF.")
    return pdf
