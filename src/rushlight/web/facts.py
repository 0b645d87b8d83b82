"""The facts a form asks of each role; the reader in `candle` decides what is allowed."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class FactField:
    """A fact as a form shows it."""

    key: str
    label: str
    hint: str


_FIELDS: dict[str, tuple[FactField, ...]] = {
    "vessel": (
        FactField("brim", "Volume to the brim", "such as 8 fl oz or 240 ml"),
        FactField("height", "Inner depth", "from the inner base to the rim"),
        FactField("diameter", "Inner diameter at the rim", "such as 3 in or 75 mm"),
        FactField("base_diameter", "Inner diameter at the base", "only when it tapers"),
        FactField("plan", "From above it is", "round, square or oval"),
        FactField("breadth", "Inner breadth the shorter way", "only when not round"),
        FactField("corner", "Corner radius", "only when square"),
        FactField("wall", "Wall", "such as 3 mm"),
        FactField("base", "Base", "thickness under the wax"),
        FactField("material", "Made of", "glass, tin, ceramic …"),
        FactField("annealed", "Annealed", "yes or no, of glass: ask the supplier"),
    ),
    "wax": (
        FactField("density_hot", "Density when melted", "such as 0.875 g/ml"),
        FactField("density_hot_at", "That density is at", "such as 70 C"),
        FactField("density_set", "Density when set", "such as 0.90 g/ml"),
        FactField("melt", "Melt and hold", "a range, such as 80-90 C"),
        FactField("add", "Add fragrance", "a range, such as 82-88 C"),
        FactField("pour", "Pour", "a range, such as 68-77 C"),
        FactField("stir", "Stir", "such as 1-2 min"),
        FactField("cure", "Cure", "such as 7-14 d"),
        FactField("max_load", "Most fragrance", "of wax, such as 10 %"),
        FactField("melts_at", "Melting point", "such as 52 C"),
        FactField("solidus", "Nothing liquid below", "such as 43 C, for the forecasts"),
        FactField("liquidus", "All liquid above", "such as 53 C, for the forecasts"),
        FactField("melting_heat", "Melting heat", "in J/kg, such as 130000"),
        FactField("heat_capacity", "Heat capacity, melted", "in J/(kg K), such as 2200"),
        FactField("heat_capacity_set", "Heat capacity, set", "in J/(kg K), such as 2000"),
        FactField("conductivity", "Conductivity, melted", "in W/(m K), such as 0.16"),
        FactField("conductivity_set", "Conductivity, set", "in W/(m K), such as 0.18"),
    ),
    "fragrance": (
        FactField("flash_point", "Flash point", "from the safety data sheet, section 9"),
        FactField("flash_method", "Flash point method", "closed cup or open cup"),
        FactField("density", "Density", "such as 0.96 g/ml"),
    ),
    "dye": (
        FactField("drop_mass", "One drop", "such as 0.03 g, for liquid dye"),
        FactField("block_mass", "One block", "such as 10 g, for blocks"),
    ),
    "additive": (),
    "wick": (
        FactField("kind", "Made of", "cotton flat, cotton square, paper-cored, wooden …"),
        FactField("core", "Core", "none, paper, cotton, metal …"),
        FactField("trim", "Trim above the wax", "such as 1/4 in"),
        FactField("suits", "Suits a diameter of", "the maker's range for one, such as 65-80 mm"),
        FactField("burn_rate", "It burns", "wax in an hour, such as 4.2 g/h or 3.8-4.6 g/h"),
    ),
    "finish": (
        FactField("combustible", "It burns", "yes or no"),
        FactField("sheds", "It flakes or sheds", "yes or no"),
    ),
    "packaging": (),
}


def fact_fields(role: str) -> tuple[FactField, ...]:
    """Return the facts asked of a role."""
    return _FIELDS.get(role, ())
