"""SI quantities as distinct names over float.

They cost nothing at run time, but mypy catches a kelvin handed over as a kilogram.

A temperature (`Kelvin`, on the absolute scale) and a temperature difference
(`KelvinStep`) are different types on purpose.
"""

from typing import NewType

Kilogram = NewType("Kilogram", float)
"""Mass [kg]."""
CubicMetre = NewType("CubicMetre", float)
"""Volume [m³]."""
Metre = NewType("Metre", float)
"""Length [m]."""
Kelvin = NewType("Kelvin", float)
"""Temperature on the absolute scale [K]."""
KelvinStep = NewType("KelvinStep", float)
"""Difference of two temperatures [K]."""
Second = NewType("Second", float)
"""Duration [s]."""
Watt = NewType("Watt", float)
"""Power [W]."""
Fraction1 = NewType("Fraction1", float)
"""Ratio [1]; 8 % is 0.08."""
Density = NewType("Density", float)
"""Mass per volume [kg/m³]."""
