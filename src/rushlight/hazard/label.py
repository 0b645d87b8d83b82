"""The elements of a hazard label: what it shows, why, and what was left out and why."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from rushlight.hazard import WORKING_AID, precautions
from rushlight.hazard.classes import HazardClass
from rushlight.hazard.classify import Classification
from rushlight.hazard.data import table
from rushlight.hazard.finding import Finding
from rushlight.hazard.law import Law
from rushlight.hazard.pictograms import Sign, signal_word, signs
from rushlight.hazard.relief import Relief, Small, small
from rushlight.hazard.sensitisation import Mention
from rushlight.hazard.sizes import Sizes, sizes
from rushlight.hazard.statements import Language, statement, word
from rushlight.quantity.si import CubicMetre

# Whose substances are named (Art. 18(3)(b), from memory): families that make the mixture what it is
_NAMED = (
    "acute toxicity",
    "skin sensitisation",
    "respiratory sensitisation",
    "mutagenicity",
    "carcinogenicity",
    "reproductive toxicity",
    "organ toxicity",
    "aspiration",
)
_CLP = frozenset({Law.EU, Law.GB})
_TACTILE = (
    "Skin Corr.",
    "Resp. Sens.",
    "Muta. 2",
    "Carc. 2",
    "Repr. 2",
    "Flam. Liq. 1",
    "Flam. Liq. 2",
)
_NAMED_CODES = ("Skin Corr.", "Eye Dam.", "STOT SE 3", "ED HH")


@dataclass(frozen=True, slots=True)
class Said:
    """One line of the label: code, text in its language, and the reason it is there or not."""

    code: str
    text: str
    reason: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Label:
    """The hazard part of a label, in the order it is printed."""

    law: Law
    language: Language
    pictograms: tuple[Sign, ...]
    signal: str
    names: tuple[str, ...]
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
    chosen = precautions.choose(spoken, audience=audience)
    return Label(
        law=found.law,
        language=language,
        pictograms=shown,
        signal=word(signal, language) if signal else "",
        names=_names(found),
        hazards=tuple(lines),
        precautions=tuple(_said(c, language) for c in chosen.taken),
        supplemental=tuple(_supplemental(found, language)),
        omitted=(*omitted, *(_said(c, language) for c in chosen.left)),
        dropped=dropped,
        sizes=sizes(capacity, found.law) if capacity and found.law in _CLP else None,
        duties=tuple(_duties(found)),
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


def _names(found: Classification) -> tuple[str, ...]:
    """Return the substances to name: those behind the result, and every other sensitiser."""
    names = [d.name for f in found.findings if _is_named(f) for d in f.drivers]
    names += [m.ingredient.name for m in found.mentioned if m.mention is Mention.NAMED]
    return tuple(dict.fromkeys(names))


def _is_named(finding: Finding) -> bool:
    hazard = finding.hazard
    return hazard.family.startswith(_NAMED) or hazard.code.startswith(_NAMED_CODES)


def _supplemental(found: Classification, language: Language) -> Iterable[Said]:
    names = [m.ingredient.name for m in found.mentioned if m.mention is Mention.EUH208]
    if names:
        paragraph = found.mentioned[0].paragraph
        yield Said("EUH208", statement("EUH208", language, names=names), paragraph)
    for unknown in found.unknown:
        text = word("unknown", language).replace("{percent}", f"{100 * unknown.share:.3g}")
        yield Said("", text, f"{unknown.route}: CLP Annex I, 3.1.3.6.2.2 (from memory)")


def _duties(found: Classification) -> Iterable[str]:
    """Yield what else goes with a classified product (from memory)."""
    if found.law not in _CLP or not found.findings:
        return
    yield "Name, address and telephone number of the supplier; nominal quantity (Art. 17)."
    health = [f.hazard for f in found.findings if not f.hazard.family.startswith("aquatic")]
    if health and found.law is Law.EU:
        yield "UFI on the label and a poison centre notification (Art. 45, Annex VIII)."
    if any(_tactile(hazard) for hazard in health):
        yield "A tactile warning of danger (Annex II, part 3)."
    yield "A safety data sheet for customers in the trade."


def _tactile(hazard: HazardClass) -> bool:
    """Tell whether a class calls for one (Annex II, 3.2, from memory); H317 and H315 do not."""
    if hazard.family.startswith(("acute toxicity", "organ toxicity", "aspiration")):
        return True
    return hazard.code.startswith(
        (
            "Skin Corr.",
            "Resp. Sens.",
            "Muta. 2",
            "Carc. 2",
            "Repr. 2",
            "Flam. Liq. 1",
            "Flam. Liq. 2",
        )
    )
