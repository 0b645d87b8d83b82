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
        FactField("wall", "Wall", "such as 3 mm"),
        FactField("base", "Base", "thickness under the wax"),
        FactField("material", "Made of", "glass, tin, ceramic …"),
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
