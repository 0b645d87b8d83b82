"""The elements of a hazard label: what it shows, why, and what was left out and why."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from rushlight.hazard import WORKING_AID, precautions
from rushlight.hazard.classes import HazardClass
from rushlight.hazard.classify import Classification
from rushlight.hazard.data import table
from rushlight.hazard.duties import CLP, duties
from rushlight.hazard.law import Law
from rushlight.hazard.names import names
from rushlight.hazard.on_request import triggers
from rushlight.hazard.pictograms import Sign, signal_word, signs
from rushlight.hazard.relief import Relief, Small, small
from rushlight.hazard.sensitisation import Mention
from rushlight.hazard.sizes import Sizes, sizes
from rushlight.hazard.statements import Language, percentage, statement, word
from rushlight.quantity.si import CubicMetre


@dataclass(frozen=True, slots=True)
class Said:
    """One line of the label: code, text in its language, and the reason it is there or not."""

    code: str
    text: str
    reason: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Label:
    """The hazard part of a label, in the order it is printed.

    unnamed: substances behind a hazard that need no name beside the others (`names`).
    """

    law: Law
    language: Language
    pictograms: tuple[Sign, ...]
    signal: str
    names: tuple[str, ...]
    unnamed: tuple[str, ...] = ()
    hazards: tuple[Said, ...]
    precautions: tuple[Said, ...]
    supplemental: tuple[Said, ...]
    omitted: tuple[Said, ...]
    dropped: tuple[Sign, ...]
    sizes: Sizes | None
    duties: tuple[str, ...]
    aid: str = WORKING_AID

    @property
    def empty(self) -> bool:
        """Whether the rules call for no hazard label at all."""
        return not (self.hazards or self.pictograms or self.supplemental)


def label(
    found: Classification,
    *,
    language: Language = Language.EN,
    capacity: CubicMetre | None = None,
    audience: str = "public",
) -> Label:
    """Return the label of a classified mixture.

    capacity: of the package [m³], for sizes and small-package relief; audience: "public"
    or "trade".
    """
    hazards = [finding.hazard for finding in found.findings]
    shown, dropped = signs(hazards)
    signal = signal_word(hazards)
    relief = small(capacity, found.law)
    lines, omitted = _hazards(hazards, relief, language, audience)
    spoken = [h for h in hazards if relief.of(h, audience=audience) is Relief.NONE]
    named = names(found)
    chosen = precautions.choose(spoken, audience=audience)
    return Label(
        law=found.law,
        language=language,
        pictograms=shown,
        signal=word(signal, language) if signal else "",
        names=named.printed,
        unnamed=named.left,
        hazards=tuple(lines),
        precautions=tuple(_said(c, language) for c in chosen.taken),
        supplemental=tuple(_supplemental(found, language, audience)),
        omitted=(*omitted, *(_said(c, language) for c in chosen.left)),
        dropped=dropped,
        sizes=sizes(capacity, found.law) if capacity and found.law in CLP else None,
        duties=tuple(duties(found, language)),
    )


def _hazards(
    hazards: Sequence[HazardClass], relief: Small, language: Language, audience: str
) -> tuple[list[Said], list[Said]]:
    """Return H statements printed and left out: duplicates, small packages."""
    codes = {hazard.h for hazard in hazards}
    duplicates = table("label")["duplicates"]
    lines: dict[str, Said] = {}
    omitted: dict[str, Said] = {}
    for hazard in sorted(hazards, key=lambda h: (h.signal != "Danger", h.h)):
        text = statement(hazard.h, language)
        over = duplicates.get(hazard.h)
        if over in codes:
            omitted[hazard.h] = Said(hazard.h, text, f"{over} says it already (Art. 27)")
        elif relief.of(hazard, audience=audience) is Relief.H_AND_P:
            omitted[hazard.h] = Said(
                hazard.h, text, f"may be left out up to 125 ml: {relief.paragraph}"
            )
        else:
            lines[hazard.h] = Said(hazard.h, text, hazard.code)
    return list(lines.values()), list(omitted.values())


def _said(choice: precautions.Choice, language: Language) -> Said:
    return Said(choice.code, statement(choice.code, language), choice.reason)


def _supplemental(found: Classification, language: Language, audience: str) -> Iterable[Said]:
    names = [m.ingredient.name for m in found.mentioned if m.mention is Mention.EUH208]
    if names:
        paragraph = found.mentioned[0].paragraph
        yield Said("EUH208", statement("EUH208", language, names=names), paragraph)
    for unknown in found.unknown:
        text = word("unknown", language).replace("{percent}", percentage(unknown.share, language))
        yield Said("", text, f"{unknown.route}: CLP Annex I, 3.1.3.6.2.2 (from memory)")
    on_request = triggers(found, audience=audience)
    if on_request:
        because = ", ".join(trigger.name for trigger in on_request)
        reason = f"{because}: {on_request[0].paragraph}"
        yield Said("EUH210", statement("EUH210", language), reason)
