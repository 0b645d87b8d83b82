"""What one jar takes."""

from dataclasses import FrozenInstanceError, fields, is_dataclass, replace
from math import fsum
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rushlight.candle.parts import Candle, Fill, FillBy, FillState, Wick
from rushlight.candle.sheet import Role
from rushlight.candle.weigh import weigh
from rushlight.quantity.si import Metre
from tests.candle.support import candles, slipway


@given(candles())
def test_mass_is_conserved(candle: Candle) -> None:
    """The lines add up to the fill mass, their shares to one; roles add up to their figures."""
    jar = weigh(candle)
    assert fsum(line.mass for line in jar.lines) == pytest.approx(jar.fill_mass, rel=1e-12)
    assert fsum(line.of_total for line in jar.lines) == pytest.approx(1, rel=1e-12)
    oils = fsum(line.mass for line in jar.lines if line.role is Role.FRAGRANCE)
    assert oils == pytest.approx(jar.fragrance_mass, rel=1e-12, abs=1e-18)
    assert jar.fragrance_mass == pytest.approx(jar.wax_mass * jar.load_of_wax, rel=1e-12)
    assert jar.fragrance_mass == pytest.approx(jar.fill_mass * jar.load_of_total, rel=1e-12)


@given(candles())
def test_volume_density_and_mass_are_one_statement(candle: Candle) -> None:
    """Mass is volume times density, hot and set; heights and headspace fill the depth."""
    jar = weigh(candle)
    assert jar.fill_volume * jar.density_hot == pytest.approx(jar.fill_mass, rel=1e-9)
    assert jar.set_volume * jar.density_set == pytest.approx(jar.fill_mass, rel=1e-9)
    assert jar.fill_fraction == pytest.approx(jar.fill_volume / jar.brim_volume)
    depth = candle.vessel.profile.depth
    assert jar.fill_height + jar.headspace == pytest.approx(depth)
    assert jar.set_height + jar.set_headspace == pytest.approx(depth)
    assert jar.set_height <= jar.fill_height + 1e-12
    assert jar.density_used in {jar.density_hot, jar.density_set}


@given(candles(), st.floats(0.1, 0.9))
def test_splitting_an_oil_in_two_changes_nothing(candle: Candle, share: float) -> None:
    """One oil as two with the same parts together weighs the same."""
    oil, *others = candle.oils
    halves = (
        replace(oil, parts=oil.parts * share),
        replace(oil, parts=oil.parts * (1 - share)),
    )
    whole, split = weigh(candle), weigh(replace(candle, oils=(*halves, *others)))
    for figure in ("fill_mass", "wax_mass", "fragrance_mass", "density_hot", "set_height"):
        assert getattr(split, figure) == pytest.approx(getattr(whole, figure), rel=1e-12)


@given(candles(), st.floats(0, 1), st.floats(0, 1))
def test_more_headspace_never_weighs_more(candle: Candle, one: float, other: float) -> None:
    """Of two headspaces the larger never takes more."""
    depth = candle.vessel.profile.depth * 0.9
    small, large = sorted((one * depth, other * depth))
    masses = [
        weigh(replace(candle, fill=Fill(by=FillBy.HEADSPACE, amount=head))).fill_mass
        for head in (small, large)
    ]
    assert masses[1] <= masses[0] * (1 + 1e-12)


def test_the_sheet_is_weighed_by_hand() -> None:
    """Slipway with its figures worked out by hand from the definitions.

    163 °F is 72.778 °C; soy 875/(1 + 0.0006·2.778) = 873.544 kg/m³; oils 950/(1 + 8.5e-4·52.778)
    = 909.211; the mix per wax 1 + 0.00018 + 0.003 + 0.08 = 1.08318; so
    1.08318/(1.00318/873.544 + 0.08/909.211) = 876.082 kg/m³; set,
    1.08318/(1.00318/900 + 0.08/950) = 903.51 kg/m³. The brim is 10 US fl oz = 295.735 ml
    (NIST Handbook 44, App. C) and 78/90 of it is filled: 224.54 g.
    """
    jar = weigh(slipway())
    assert jar.density_hot == pytest.approx(876.08, abs=0.02)
    assert jar.density_set == pytest.approx(903.51, abs=0.01)
    assert jar.fill_volume == pytest.approx(256.304e-6, rel=1e-5)
    assert jar.fill_mass == pytest.approx(0.22454, abs=0.00002)
    assert jar.wax_mass == pytest.approx(0.22454 / 1.08318, abs=0.00002)
    assert [line.name for line in jar.lines] == [
        "soy container",
        "Tide",
        "Cedar",
        "liquid dye",
        "UV inhibitor",
    ]
    assert jar.density_state is FillState.HOT
    assert jar.density_used == jar.density_hot


def test_the_wick_is_cut_from_depth_and_trim() -> None:
    """Cut: inner depth, trim and allowance; trimmed: from the base to 1/4 in above the wax."""
    wick = Wick(name="cotton flat", kind="cotton flat", cut_allowance=Metre(0.02))
    jar = weigh(replace(slipway(), wick=wick))
    assert jar.wick_cut == pytest.approx(0.090 + 0.00635 + 0.02)
    assert jar.wick_length == pytest.approx(jar.set_height + 0.00635)


def test_a_net_weight_is_what_is_poured() -> None:
    """The fill mass is the net weight, whatever the density."""
    jar = weigh(slipway(fill={"net": "180 g", "state": "when set"}))
    assert jar.fill_mass == pytest.approx(0.180)
    assert jar.density_state is FillState.HOT


def test_a_finish_is_no_part_of_what_is_poured() -> None:
    """Flakes on the outside are listed apart and weigh nothing in the mix."""
    jar = weigh(slipway())
    assert [(line.name, line.mass) for line in jar.finishes] == [("mineral flakes", 0.004)]
    assert Role.FINISH not in {line.role for line in jar.lines}


def _walk(value: Any) -> list[Any]:
    if is_dataclass(value):
        return [value, *(x for f in fields(value) for x in _walk(getattr(value, f.name)))]
    if isinstance(value, tuple):
        return [x for one in value for x in _walk(one)]
    return []


def test_results_are_frozen_all_the_way_down() -> None:
    """No part of a sheet can be changed after the fact."""
    parts = _walk(weigh(slipway()))
    assert len(parts) > 20
    for part in parts:
        with pytest.raises((FrozenInstanceError, TypeError)):
            setattr(part, fields(part)[0].name, None)
