"""The ℮ mark and the nominal quantity beside it (76/211/EEC)."""

from __future__ import annotations

from dataclasses import dataclass

from rushlight.errors import BadInput
from rushlight.hazard import WORKING_AID
from rushlight.hazard.data import net_table
from rushlight.quantity.si import Kilogram, Metre

GRAM = 1e-3  # [kg]
MILLIMETRE = 1e-3  # [m]
ROUNDING = 1e-9


@dataclass(frozen=True, slots=True, kw_only=True)
class Marking:
    """Least heights [m] of the figures and of the ℮, and what goes with them."""

    figures: Metre
    e_mark: Metre
    words: tuple[str, ...]
    source: str
    aid: str = WORKING_AID


def grams_in_scope(nominal: Kilogram) -> float:
    """Return a nominal quantity [kg] in grams, within 5 g to 10 kg, or refuse it."""
    scope = net_table("eu")["scope"]
    grams = round(nominal / GRAM, 9)
    if not scope["least_g"] <= grams <= scope["most_g"]:
        raise BadInput.one(
            f"{grams:g} g lies outside {scope['least_g']:g} g to {scope['most_g']:g} g, the scope"
            " of 76/211/EEC.",
            "Check the nominal quantity; outside that range the ℮ system does not apply.",
        )
    return grams


def marking(nominal: Kilogram) -> Marking:
    """Return the marking for a nominal quantity [kg]."""
    data = net_table("eu")
    grams = grams_in_scope(nominal)
    row = next(r for r in data["marking"] if grams <= r["up_to_g"])
    return Marking(
        figures=Metre(row["height_mm"] * MILLIMETRE),
        e_mark=Metre(data["e_mark"]["height_mm"] * MILLIMETRE),
        words=tuple(data["e_mark"]["words"]),
        source=data["e_mark"]["source"],
    )
