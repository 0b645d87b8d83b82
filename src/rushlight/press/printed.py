"""Plain data made ready for paper: every text in it printable, nothing but text."""

from __future__ import annotations

import datetime as dt
import re
from dataclasses import Field, fields, is_dataclass
from typing import Any, ClassVar, Protocol

from rushlight.press.glyphs import NO_BREAK, STAND_IN, printable, shortened
from rushlight.press.paper import Paper
from rushlight.press.typeset import typeset

WORKING_AID = (
    "A working aid. Local law, the supplier's safety data sheet and licensed practice decide."
)
NAMELESS = "Without a name"
SOME_CHARACTERS = f"{STAND_IN} stands for a character that the fonts of this sheet do not have."
_BEFORE_UNIT = re.compile(r"(?<=\d) (?=(?:k?g|oz|lb|ml|l|fl oz|mm|cm|in|min|[hsd])\b|°[CF]\b|%)")


def as_printed(value: Any) -> Any:
    """Return the data with every text in it made printable, figures kept beside their unit."""
    if isinstance(value, str):
        return printable(_BEFORE_UNIT.sub(NO_BREAK, value))
    if isinstance(value, dict):
        return {key: as_printed(part) for key, part in value.items()}
    if isinstance(value, list | tuple):
        return [as_printed(part) for part in value]
    if is_dataclass(value):
        return {part.name: as_printed(getattr(value, part.name)) for part in fields(value)}
    return value


def some_characters(before: Any, after: Any) -> str:
    """Return the remark about stand-ins, where making the data printable took some."""
    return SOME_CHARACTERS if STAND_IN in str(after) and STAND_IN not in str(before) else ""


class Sheet(Protocol):
    """What is printed on a sheet: any dataclass."""

    __dataclass_fields__: ClassVar[dict[str, Field[Any]]]


def on_paper(  # noqa: PLR0913 -- each is named where it is called
    template: str,
    data: Sheet,
    *,
    title: str,
    created: dt.date,
    paper: Paper,
    aid: str = "",
) -> bytes:
    """Set a sheet of the stores: a template that begins with `page.typ`, and its data.

    title: what it is, above every page. aid: the remark at the foot of every page.

    Raises PressError when the page cannot be set cleanly.
    """
    page = as_printed(data)
    page.pop("created", None)
    page["title"] = printable(title) or NAMELESS
    page["running_title"] = printable(shortened(title, longest=60)) or NAMELESS
    page["working_aid"] = aid
    page["some_characters"] = some_characters((data, title), (page, page["title"]))
    page["paper"] = paper.typst_name
    return typeset(template, page, created=created)
