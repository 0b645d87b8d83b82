"""`rushlight import`: a list, looked over and then written whole; or an archive, made anew."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from rushlight.cli import progress
from rushlight.cli.bench import BAD_INPUT
from rushlight.cli.places import option, placed
from rushlight.cli.say import say, say_json
from rushlight.cli.workshop import opened
from rushlight.errors import BadInput, Problems
from rushlight.workshop.exchange import imports

if TYPE_CHECKING:
    from rushlight.workshop.exchange.mapping import Mapping
    from rushlight.workshop.exchange.table import Table


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    """What was typed."""

    file: Path
    workshop: str | None
    kind: str | None
    columns: tuple[str, ...]
    dates: str
    sheet: str | None
    write: bool
    into: str | None


def run_import(asked: Asked, *, as_json: bool) -> None:
    """Bring in what was asked for."""
    if (asked.into is None) == (asked.kind is None):
        raise BadInput.one(
            "It is not said what is to come of this file.",
            "For a list type --as materials, deliveries or orders; for an archive --into and "
            "a new file.",
            str(asked.file),
        )
    if asked.into is not None:
        _archive(asked, asked.into, as_json=as_json)
    else:
        _list(asked, asked.kind or "", as_json=as_json)


def _archive(asked: Asked, into: str, *, as_json: bool) -> None:
    """Make a workshop of an archive; everything that is in it, or nothing."""
    from rushlight.workshop.exchange.archive import read

    unfit = {
        "--workshop": asked.workshop,
        "--column": asked.columns,
        "--sheet": asked.sheet,
        "--write": asked.write,
    }
    for name in (name for name, typed in unfit.items() if typed):
        raise BadInput.one("This is of a list, not of an archive.", "Leave it out.", name)
    rows = 0

    with progress.shown("Reading", quiet=as_json) as bar:

        def tell(done: int, total: int, what: str) -> None:
            nonlocal rows
            rows = done
            if bar is not None:
                bar(done, total, what)

        with placed(lambda place: _inside(asked.file, place)):
            shop = read(asked.file, into, progress=tell)
    try:
        place = shop.place
    finally:
        shop.close()
    if as_json:
        say_json({"file": str(asked.file), "workshop": place, "rows": rows})
        return
    say(f"{place}: made of {rows:,} rows. Open it with: rushlight open {place}")


def _inside(file: Path, place: str) -> str:
    """Return where a problem is: in the file, or in an entry of it."""
    return str(file) if place in {"", "file"} else f"{file}, {place}"


def _list(asked: Asked, kind: str, *, as_json: bool) -> None:
    """Look a list over, and write it when asked to and when nothing is wrong with it."""
    from rushlight.workshop.exchange.reader import read_table

    if asked.workshop is None:
        raise BadInput.one(
            "The workshop is missing.", "Type --workshop and its file.", "--workshop"
        )
    with placed(lambda _: str(asked.file)):
        table = read_table(asked.file.name, asked.file, sheet=asked.sheet)
    mapping = _mapping(asked, kind, table)
    with opened(asked.workshop) as shop:
        found = imports.preview(shop, kind, table, mapping)
        made = imports.write(shop, kind, table, mapping) if asked.write and found.ready else None
    if as_json:
        from rushlight.cli.import_shown import shaped

        say_json(shaped(str(asked.file), table, found, made))
    else:
        from rushlight.cli.import_shown import show_import

        show_import(found, made)
    if found.problems:
        raise SystemExit(BAD_INPUT)


def _mapping(asked: Asked, kind: str, table: Table) -> Mapping:
    """Return which column is which: by the headings, but for those that were named."""
    own = _columns(asked.columns)
    proposed = imports.propose(kind, table)
    taken = {" ".join(heading.casefold().split()) for heading in own.values()}
    typed = {
        key: str(column)
        for key, column in proposed.columns.items()
        if table.header[column].casefold() not in taken
    }
    with placed(lambda place: _place(place, own)):
        return imports.typed_mapping(kind, table, typed | own | {"dates": asked.dates})


def _columns(texts: Sequence[str]) -> dict[str, str]:
    problems, found = Problems(), dict[str, str]()
    for text in texts:
        key, parted, heading = text.partition("=")
        key = key.strip()
        if not key or not parted:
            problems.add(
                f"--column {text[:40]}",
                "This is not a field and a heading.",
                "Type it like “price=Cost”.",
            )
        elif key in found:
            problems.add(f"--column {text[:40]}", f"{key[:40]} is named twice.", "Name it once.")
        found[key] = heading.strip()
    problems.check()
    return found


def _place(place: str, own: dict[str, str]) -> str:
    """Return where a problem is: at the column named, or at the field that has none."""
    if place == "dates":
        return option(place)
    return f"--column {place}={own[place]}" if place in own else f"--column {place}"
