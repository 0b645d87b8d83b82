"""The cautions on a US household label: what the Federal Hazardous Substances Act asks for.

Which hazards a product has is settled by test or human experience, not by adding up: only
a listed strong sensitizer follows from what is in it; the maker chooses the rest.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from rushlight.errors import Problems
from rushlight.hazard import WORKING_AID
from rushlight.hazard.data import table
from rushlight.hazard.us_consumer import UsConsumer

SENSITIZER = "sensitizer"


@dataclass(frozen=True, slots=True, kw_only=True)
class UsCaution:
    """The texts of the label, in the order they are printed; contains: hazardous components.

    placement: what the rules say of where it stands, for the maker; never printed.
    """

    signal: str
    hazards: tuple[str, ...]
    contains: str
    precautions: tuple[str, ...]
    first_aid: str
    children: str
    placement: tuple[str, ...]
    paragraph: str
    source: str
    aid: str = WORKING_AID


def kinds() -> tuple[str, ...]:
    """Return the kinds of hazard there are statements for."""
    return tuple(_rows())


def caution(
    consumer: UsConsumer, *, chosen: Sequence[str] = (), components: Sequence[str] = ()
) -> UsCaution:
    """Return the cautions: of the listed sensitizers in it, and of the kinds chosen.

    chosen: from `kinds`; components: names that are to be printed beside those of the
    listed sensitizers. The signal word is the gravest of all kinds. Raises BadInput where
    no hazard is chosen and none follows, for an unknown kind, or without a component's name.
    """
    data = table("fhsa")["caution"]
    known = _rows()
    listed = [found.name for found in consumer.sensitizers]
    wanted = list(dict.fromkeys([*([SENSITIZER] if listed else []), *map(str.strip, chosen)]))
    names = list(dict.fromkeys(filter(None, (*listed, *map(str.strip, components)))))
    problems = Problems()
    for key in wanted:
        if key not in known:
            problems.add(
                "hazards", f"There is no statement for “{key}”.", f"Choose from {', '.join(known)}."
            )
    if not wanted:
        problems.add(
            "hazards",
            "Nothing here settles that this candle has a hazard under the FHSA, or which.",
            f"Choose what test or experience shows: {', '.join(known)}.",
        )
    if not names:
        problems.add(
            "components",
            f"The names of the hazardous components are missing: {data['paragraph']}.",
            "Type each as its usual or chemical name.",
        )
    problems.check()
    rows = [known[key] for key in wanted]
    signals: list[str] = data["signals"]
    aids = _each(rows, "first_aid")
    return UsCaution(
        signal=min((row["signal"] for row in rows), key=signals.index),
        hazards=_each(rows, "hazard"),
        contains=f"{data['contains']}: {', '.join(names)}.",
        precautions=_each(rows, "precaution"),
        first_aid=f"{data['first_aid']}: {' '.join(aids)}" if aids else "",
        children=data["children"],
        placement=tuple(data["placement"]),
        paragraph=data["paragraph"],
        source=data["source"],
    )


def _rows() -> Mapping[str, Mapping[str, Any]]:
    return {row["key"]: row for row in table("fhsa")["caution"]["row"]}


def _each(rows: Sequence[Mapping[str, Any]], key: str) -> tuple[str, ...]:
    """Return the texts of all rows, each once."""
    return tuple(dict.fromkeys(row[key] for row in rows if row[key]))
