"""Heat facts of the kinds of container wax, until a maker has better ones.

Each figure is a middle value. "from memory" marks what rests on an engineer's
recollection and not on a text that was read; the spreads of a forecast are
drawn from the ranges given in `rushlight.heat.ensemble`.
"""

from __future__ import annotations

import re

from rushlight.errors import BadInput
from rushlight.heat.enthalpy import ZERO, Transition, WaxThermal


def _range(start: float, end: float, latent: float, liquid: float = 1.0) -> Transition:
    return Transition(ZERO + start, ZERO + end, latent, liquid)


PARAFFIN = WaxThermal(
    name="paraffin",
    # melting 53–62 °C of a nominal 60 °C grade: slPCMlib RT60 record after Barz et al.,
    # Energies 13:5149 (2020); total 190 kJ/kg and the solid–solid change: from memory
    transitions=(_range(35, 45, 70e3, 0.0), _range(52, 61, 120e3)),
    heat_solid=2000.0,  # slPCMlib RT60
    heat_liquid=2250.0,  # from memory; docosane 2381 at 80 °C (CalebBell thermo)
    conduct_solid=0.24,  # Incropera, Fundamentals of Heat Transfer, App. A, from memory
    conduct_liquid=0.145,  # docosane 0.140–0.1425 at 80 °C (CalebBell thermo)
    density_liquid=775.0,  # from memory; 770 in slPCMlib RT60
    density_at=ZERO + 70,
    shrink=0.125,  # slPCMlib RT60: 1 − 770/880; 10–16 % from memory
    expansion_solid=5e-4,  # from memory
    expansion_liquid=8.7e-4,  # docosane −0.658 kg/m³K (CalebBell thermo)
    undercooling=1.0,  # slPCMlib RT60: freezing 1 K below melting
    burning_heat=43.5e6,  # dotriacontane, net (CalebBell chemicals)
    source="slPCMlib RT60 record; rest from memory",
)

SOY = WaxThermal(
    name="soy",
    transitions=(_range(43, 53, 130e3),),  # from memory
    heat_solid=2000.0,  # from memory
    heat_liquid=2210.0,  # trielaidin at 350 K: cp = 1327 + 2.529 T (abstract)
    conduct_solid=0.18,  # from memory
    conduct_liquid=0.160,  # Choi & Okos 1986, fat, 70 °C
    density_liquid=875.0,  # from memory; generic fat 896 at 70 °C (Choi & Okos 1986)
    density_at=ZERO + 70,
    shrink=0.07,  # 5–10 %, from memory
    expansion_solid=3e-4,  # from memory
    expansion_liquid=6.5e-4,  # between Choi & Okos 1986 (4.7e-4) and soybean oil, from memory
    undercooling=4.0,  # 3–10 K for soy types, from memory
    burning_heat=37e6,  # from memory; stearic acid 36.87e6 net (CalebBell chemicals)
    source="mostly from memory; Choi & Okos 1986",
)

COCONUT = WaxThermal(
    name="coconut",
    transitions=(_range(38, 48, 115e3),),  # from memory
    heat_solid=2050.0,  # from memory
    heat_liquid=2150.0,  # from memory
    conduct_solid=0.20,  # from memory
    conduct_liquid=0.16,  # Choi & Okos 1986, fat
    density_liquid=900.0,  # from memory
    density_at=ZERO + 50,
    shrink=0.07,  # 5–9 %, from memory
    expansion_solid=3e-4,  # from memory
    expansion_liquid=7.5e-4,  # from memory
    undercooling=4.0,  # from memory
    burning_heat=35.5e6,  # from memory; lauric acid 34.19e6 net (CalebBell chemicals)
    source="from memory; latent heat after Kahwaji & White, Appl. Sci. 9:1627 (2019)",
)

BEESWAX = WaxThermal(
    name="beeswax",
    # 38–68 °C span and 206 kJ/kg: review table, PMC12131709; its parting is from memory
    transitions=(_range(40, 56, 60e3, 0.0), _range(57, 65, 120e3)),
    heat_solid=2400.0,  # from memory
    heat_liquid=2300.0,  # from memory
    conduct_solid=0.25,  # from memory
    conduct_liquid=0.165,  # from memory
    density_liquid=825.0,  # from memory
    density_at=ZERO + 80,
    shrink=0.105,  # 9–12 %, from memory
    expansion_solid=5e-4,  # from memory
    expansion_liquid=8e-4,  # from memory
    undercooling=1.0,  # from memory
    burning_heat=39.5e6,  # from memory
    source="from memory; PMC12131709",
)

PALM = WaxThermal(
    name="palm",
    # two melting regions: Busfield & Proschogo, JAOCS 67 (1990); figures from memory
    transitions=(_range(10, 20, 25e3, 0.0), _range(38, 56, 95e3)),
    heat_solid=2000.0,  # from memory
    heat_liquid=2150.0,  # from memory
    conduct_solid=0.20,  # from memory
    conduct_liquid=0.16,  # Choi & Okos 1986, fat
    density_liquid=885.0,  # from memory
    density_at=ZERO + 60,
    shrink=0.08,  # 6–10 %, from memory
    expansion_solid=3e-4,  # from memory
    expansion_liquid=7e-4,  # from memory
    undercooling=5.0,  # from memory
    burning_heat=36.8e6,  # from memory
    source="from memory",
)

MELTS_AT = {
    name: ZERO + t
    for name, t in (
        ("paraffin", 58.0),
        ("soy", 52.0),
        ("coconut", 48.0),
        ("beeswax", 63.0),
        ("palm", 54.0),
    )
}
"""The melting point on a maker's sheet that these transitions belong to [K]: from memory;
a wax whose sheet says otherwise has its transitions moved by the difference."""

WAXES = {wax.name: wax for wax in (PARAFFIN, SOY, COCONUT, BEESWAX, PALM)}


def thermal(kind: str) -> WaxThermal:
    """Return the heat facts of a kind of wax by a word in its name ("soy container")."""
    for word in re.findall(r"[a-z]+", kind.lower()):
        if word in WAXES:
            return WAXES[word]
    raise BadInput.one(
        f"No heat facts are known for the wax kind “{kind}”.",
        f"Name one of: {', '.join(WAXES)}; a blend goes by its main part.",
        "wax.kind",
    )
