"""How long a melter takes: solid, melting and liquid wax, one after the other."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import numpy as np

from rushlight.errors import BadInput, Problems
from rushlight.heat.pot_body import COLDEST_ROOM, Pot, loss, note_problems, note_room
from rushlight.heat.pot_readings import HOTTEST_WAX
from rushlight.heat.pot_result import NINE_IN_TEN
from rushlight.quantity.si import Fraction1, Kelvin, Second, Watt

JACKETED, JACKETED_DOUBT = Fraction1(0.8), Fraction1(0.1)
"""[1] Share of a jacketed electric melter's power that reaches the wax; from memory."""
SOLID_HEAT_CAPACITY = 2000.0
"""[J/(kg K)] Waxes at room temperature: 1900–2200; from memory, as an engineering prior."""

_HEAT_DOUBT = 0.15  # [1] melting heat of a wax sold by its trade kind, one standard deviation
_NUDGE = 0.02  # [1] share of a doubt by which slopes are taken
_NODES = 65
_LOSS_DOUBT = 0.25  # [1] as in rushlight.heat.pot_fit.Doubt


_RANGES = (
    ("watts", 1.0, 100_000.0, "the power of a melter, in W"),
    ("efficiency", 0.01, 1.0, "a share of the power"),
    ("start", COLDEST_ROOM, HOTTEST_WAX, "a wax temperature, in K"),
    ("target", COLDEST_ROOM, HOTTEST_WAX, "a wax temperature, in K"),
    ("melts_at", 273.15, 393.15, "a melting temperature of wax, in K"),
    ("melting_heat", 1e4, 5e5, "a melting heat of wax, in J/kg"),
    ("solid_heat_capacity", 500.0, 5000.0, "a heat capacity, in J/(kg K)"),
)


@dataclass(frozen=True, slots=True, kw_only=True)
class MeltTime:
    """How long from switching on to the target, with every part kept.

    time, spread [s], the spread a half-width that holds nine times in ten.
    solid, melting, liquid, pitcher [J]: heat taken up by each; lost [J] to
    the room meanwhile; drawn [J] by the melter from the mains.
    """

    time: Second
    spread: Second
    solid: float
    melting: float
    liquid: float
    pitcher: float
    lost: float
    drawn: float


def melt_time(  # noqa: PLR0913 facts of the bench, all keyword-only
    pot: Pot,
    *,
    watts: Watt,
    start: Kelvin,
    target: Kelvin,
    melts_at: Kelvin,
    melting_heat: float,
    room: Kelvin,
    solid_heat_capacity: float = SOLID_HEAT_CAPACITY,
    efficiency: Fraction1 = JACKETED,
    efficiency_doubt: Fraction1 = JACKETED_DOUBT,
) -> MeltTime:
    """Return how long solid wax takes to melt and to reach a temperature.

    t = ∫ C dT / (η P − q(T)) through the solid, then m L / (η P − q(T_melt)),
    then through the liquid; q is the pitcher's loss to the room.

    watts: power drawn [W]; start, target, melts_at, room [K]; melting_heat
    [J/kg]; efficiency: share of the watts that reaches the pitcher [1] and its
    standard deviation. 0.8 ± 0.1 is from memory for a jacketed electric
    melter; a pot in a water bath on a hot plate is nearer 0.5. The spread
    joins the doubts of efficiency, loss (25 %) and melting heat (15 %).

    It takes the wax at one temperature: chips unstirred, or slabs, take longer.
    Raises BadInput, also where the melter cannot reach the target.
    """
    melting = _Melting(
        pot, watts, efficiency, start, target, melts_at, melting_heat, solid_heat_capacity, room
    )
    melting.check()
    best = melting.time()
    if not math.isfinite(best):
        raise BadInput.one(
            f"A melter of {watts:.0f} W loses as much to the room as it gives to the wax.",
            "Give a stronger melter, less wax or a lower temperature.",
            "watts",
        )
    nudged = (
        replace(melting, efficiency=efficiency - _NUDGE * efficiency_doubt),
        replace(melting, melting_heat=melting_heat * (1.0 + _NUDGE * _HEAT_DOUBT)),
        replace(melting, leak=1.0 + _NUDGE * _LOSS_DOUBT),
    )
    slopes = [(other.time() - best) / _NUDGE for other in nudged]
    solid, latent, liquid, pitcher = melting.stored()
    return MeltTime(
        time=Second(best),
        spread=Second(NINE_IN_TEN * math.hypot(*slopes)),
        solid=solid,
        melting=latent,
        liquid=liquid,
        pitcher=pitcher,
        lost=watts * efficiency * best - (solid + latent + liquid + pitcher),
        drawn=watts * best,
    )


@dataclass(frozen=True, slots=True)
class _Melting:
    """One melting, as its stages: SI units throughout; leak multiplies the loss."""

    pot: Pot
    watts: float
    efficiency: float
    start: float
    target: float
    melts_at: float
    melting_heat: float
    solid_heat_capacity: float
    room: Kelvin
    leak: float = 1.0

    def stored(self) -> tuple[float, float, float, float]:
        """Return the heat [J] taken up by solid, melting, liquid and pitcher."""
        wax = self.pot.wax_mass
        solid = max(min(self.melts_at, self.target) - self.start, 0.0)
        liquid = max(self.target - max(self.start, self.melts_at), 0.0)
        melts = self.start < self.melts_at < self.target
        return (
            wax * self.solid_heat_capacity * solid,
            wax * self.melting_heat * melts,
            wax * self.pot.wax_heat_capacity * liquid,
            self.pot.pitcher_mass * self.pot.pitcher_heat_capacity * (self.target - self.start),
        )

    def time(self) -> float:
        """Return the time of all stages [s]; inf where the loss eats the supply."""
        hard = replace(self.pot, wax_heat_capacity=self.solid_heat_capacity)
        latent = self.stored()[1]
        return (
            self._warming(hard, self.start, min(self.melts_at, self.target))
            + (latent / self._net(self.melts_at) if latent else 0.0)
            + self._warming(self.pot, max(self.start, self.melts_at), self.target)
        )

    def _net(self, temperature: float) -> float:
        """Return the heat that stays in the wax [W]; nothing counts as a trickle without end."""
        lost = self.leak * float(loss(self.pot, np.array([temperature]), self.room)[0])
        return max(self.watts * self.efficiency - lost, math.ulp(0.0))

    def _warming(self, pot: Pot, start: float, end: float) -> float:
        if end <= start:
            return 0.0
        temperature = np.linspace(start, end, _NODES)
        net = self.watts * self.efficiency - self.leak * loss(pot, temperature, self.room)
        if net.min() <= 0.0:
            return math.inf
        return float(pot.heat_capacity * np.trapezoid(1.0 / net, temperature))

    def check(self) -> None:
        """Raise BadInput with every figure that cannot be."""
        problems = Problems()
        note_problems(self.pot, problems)
        note_room(self.room, problems)
        for name, low, high, what in _RANGES:
            value = getattr(self, name)
            if not low <= value <= high:  # a NaN is outside as well
                problems.add(
                    name, f"{value:g} is not {what}.", f"Give a figure from {low:g} to {high:g}."
                )
        if self.target <= self.start:
            problems.add(
                "target",
                "The wax is already as warm as that.",
                "Give a temperature above the one it starts from.",
            )
        problems.check()
