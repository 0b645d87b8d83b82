"""What a candle must say, from a candle file or from a workshop."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

from rushlight.candle.sheet import JarSheet
from rushlight.errors import BadInput, Problems
from rushlight.hazard.law import Law
from rushlight.hazard.review import Review
from rushlight.hazard.statements import Language

if TYPE_CHECKING:
    from rushlight.workshop.settings import Settings

DEFAULT_LAW, DEFAULT_LANGUAGE = Law.GB, Language.EN
_LARGEST = 1_000_000


@dataclass(frozen=True, slots=True, kw_only=True)
class Wanted:
    """What was asked for."""

    candle: str
    workshop: str | None = None
    law: str | None = None
    language: str | None = None
    pictograms: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Found:
    """The candle's sheet and review; pictograms: whether they are to be shown."""

    jar: JarSheet
    review: Review
    pictograms: bool
    settings: Settings | None = None


def find(wanted: Wanted) -> Found:
    """Return the review of a candle; BadInput with every problem."""
    law = Law(wanted.law.upper()) if wanted.law else None
    language = Language(wanted.language) if wanted.language else None
    if wanted.workshop is not None:
        return _in_workshop(wanted, wanted.workshop, law, language)
    jar, reviewed = _in_file(Path(wanted.candle), law or DEFAULT_LAW, language or DEFAULT_LANGUAGE)
    shown = reviewed.law is not Law.US or wanted.pictograms
    return Found(jar=jar, review=reviewed, pictograms=shown)


def _in_workshop(wanted: Wanted, place: str, law: Law | None, language: Language | None) -> Found:
    from rushlight.cli.workshop import opened, slug_of
    from rushlight.workshop import candles, hazards, settings

    with opened(place) as shop:
        view = candles.get(shop, slug_of(candles.listing(shop), wanted.candle))
        jar = candles.sheet(shop, view.document).jar
        reviewed = hazards.review_jar(shop, view.document, jar, law, language=language)
        kept = settings.current(shop)
    asked = wanted.pictograms or kept.labels.pictograms_asked
    shown = reviewed.law is not Law.US or asked
    return Found(jar=jar, review=reviewed, pictograms=shown, settings=kept)


def _in_file(path: Path, law: Law, language: Language) -> tuple[JarSheet, Review]:
    from rushlight.candle import document, kinds, weigh
    from rushlight.cli import candle_file
    from rushlight.hazard.document import carried
    from rushlight.hazard.review import review

    problems = Problems()
    typed = with_files(candle_file.read(path), path.parent, problems)
    candle = held = None
    try:
        candle = document.read(typed, kinds.built_in())
    except BadInput as bad:
        problems.extend(bad.problems)
    try:
        held = carried(typed)
    except BadInput as bad:
        problems.extend(bad.problems)
    problems.check()
    if candle is None or held is None:
        raise AssertionError("a part is missing and no problem says so")
    jar = weigh.weigh(candle)
    reviewed = review(
        jar,
        sheets=held.sheets,
        certificates=held.certificates,
        law=law,
        language=language,
    )
    return jar, reviewed


def with_files(document: Mapping[str, Any], folder: Path, problems: Problems) -> dict[str, Any]:
    """Return a document in which every `sheet = "rows.csv"` holds the rows of that file.

    The flash point that the oil states for itself then goes with the rows.
    """
    from rushlight.hazard.document import entries

    made: dict[str, Any] = _copied(document)
    for entry in entries(made):
        name = entry.row.get("sheet")
        if not isinstance(name, str) or not name.strip():
            continue
        place = f"{entry.place}.sheet"
        rows = _rows(folder / name.strip(), place, problems)
        own = {key: entry.row.get(key) for key in ("flash_point", "flash_method")}
        facts = {key: value for key, value in own.items() if isinstance(value, str) and value}
        # what cannot be read is taken away, so that it is said only once
        entry.row["sheet"] = {} if rows is None else {"rows": rows, **facts}  # type: ignore[index]  # our own copy
    return made


def _copied(value: Any) -> Any:
    """Return a document's tables and lists anew, so that they can be changed."""
    if isinstance(value, Mapping):
        return {key: _copied(item) for key, item in value.items()}
    return [_copied(item) for item in value] if isinstance(value, list) else value


def _rows(path: Path, place: str, problems: Problems) -> str | None:
    try:
        with path.open("rb") as file:
            raw = file.read(_LARGEST + 1)
        if len(raw) > _LARGEST:
            problems.add(
                place,
                f"{path} is larger than {_LARGEST // 1000:,} kB.",
                "A table of rows is a page of text; check that this is the right file.",
            )
            return None
        return raw.decode("utf-8-sig")
    except UnicodeDecodeError:
        what, remedy = f"{path} is not text in UTF-8.", "Save the table as CSV in UTF-8."
    except (OSError, ValueError) as error:  # ValueError: a null character in the name
        reason = getattr(error, "strerror", None) or str(error)
        what = f"{path} cannot be read ({reason})."
        remedy = "Name a CSV file beside the candle file."
    problems.add(place, what, remedy)
    return None
