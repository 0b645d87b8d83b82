"""What is typed of a pour's lots and leftovers, as the fields of its form."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from rushlight.errors import BadInput, Problems
from rushlight.workshop.stores.finish_form import FATES, REASONS

if TYPE_CHECKING:
    from rushlight.workshop.stores.views import NeedLots

Fields = dict[str, tuple[str, str]]
"""By field of the form: the text, and the option it came from."""
_MANY = 12  # names in a message


def chosen_lots(texts: Sequence[str], needs: Sequence[NeedLots]) -> Fields:
    """Return the lots chosen, each typed as “NEED=CODE:AMOUNT”; BadInput with every problem."""
    problems, found = Problems(), Fields()
    for text in texts:
        place = f"--lot {text[:60]}"
        said, _, lot = text.rpartition("=")
        code, _, amount = (part.strip() for part in lot.partition(":"))
        if not (said.strip() and code and amount):
            problems.add(
                place,
                "This is not a need, a lot and an amount.",
                "Type it like “Lake mint=M44-7:62 g”.",
            )
            continue
        try:
            need = _need(said, needs)
        except BadInput as bad:
            problems.extend(bad.at(place).problems)
            continue
        if f"lot.{need.need}.{code}" in found:
            problems.add(place, "This lot is chosen twice over.", "Type it once, with the sum.")
        found[f"lot.{need.need}.{code}"] = (amount, place)
    problems.check()
    return found


def leftovers(texts: Sequence[str], needs: Sequence[NeedLots]) -> Fields:
    """Return what is left over, each typed as “MATERIAL=AMOUNT [returned|scrapped]”."""
    problems, found = Problems(), Fields()
    for text in texts:
        place = f"--left {text[:60]}"
        said, _, rest = text.rpartition("=")
        amount, _, fate = rest.strip().rpartition(" ")
        if fate.casefold() not in FATES:
            amount, fate = rest.strip(), FATES[0]
        if not (said.strip() and amount):
            problems.add(
                place,
                "This is not a material and an amount.",
                "Type it like “Millpond soy=120 g returned” or “… scrapped”.",
            )
            continue
        try:
            slug = _need(said, needs, material=True).material
        except BadInput as bad:
            problems.extend(bad.at(place).problems)
            continue
        if f"left.{slug}.amount" in found:
            problems.add(place, "This leftover is told twice over.", "Type it once, with the sum.")
        found[f"left.{slug}.amount"] = (amount.strip(), place)
        found[f"left.{slug}.fate"] = (fate.casefold(), place)
    problems.check()
    return found


def rejects(texts: Sequence[str]) -> Fields:
    """Return the rejected jars, each typed as “REASON=JARS”; a number alone for another reason."""
    problems, found = Problems(), Fields()
    keys = {key: key for key in REASONS} | {name.casefold(): key for key, name in REASONS.items()}
    for text in texts:
        place = f"--rejected {text[:60]}"
        said, parted, jars = text.rpartition("=")
        key = keys.get(" ".join(said.casefold().split())) if parted else "other"
        if key is None:
            problems.add(
                place,
                f"“{said.strip()[:40]}” is no reason here.",
                f"Choose from {', '.join(REASONS)}.",
            )
        elif f"rejected.{key}" in found:
            problems.add(place, "This reason is told twice over.", "Type it once, with the sum.")
        else:
            found[f"rejected.{key}"] = (jars.strip(), place)
    problems.check()
    return found


def _need(text: str, needs: Sequence[NeedLots], *, material: bool = False) -> NeedLots:
    """Return the need called so: by its number, the short name of its material, or its name.

    material: any need of that material will do.
    """
    wanted = " ".join(text.casefold().split())
    found = [n for n in needs if wanted in (str(n.need), n.material, n.name.casefold())]
    if len({n.material for n in found} if material else found) == 1:
        return found[0]
    if found:
        numbers = ", ".join(str(n.need) for n in found)
        raise BadInput.one(
            f"This pour needs {text.strip()[:40]} more than once.", f"Type which: {numbers}."
        )
    names = ", ".join(dict.fromkeys(n.name for n in needs[:_MANY])) or "nothing kept in stores"
    raise BadInput.one(f"This pour takes no {text.strip()[:40]}.", f"It takes: {names}.")
