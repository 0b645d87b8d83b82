"""Reading a candle document."""

from collections.abc import Mapping, Sequence
from typing import Any

import pytest

from rushlight.candle.document import read, read_batch
from rushlight.candle.kinds import built_in
from rushlight.candle.parts import FillBy, FillState, LoadBasis, Thermal, VolumeFrom
from rushlight.errors import BadInput, Problem
from rushlight.quantity import parse
from tests.candle.support import slipway, typed


class Shop:
    """A shelf of one workshop: its own materials over the built-in kinds."""

    own: Mapping[tuple[str, str], Mapping[str, Any]] = {
        ("wax", "our soy"): {
            "name": "Our soy",
            "kind": "soy container",
            "max_load": {"value": "9 %", "origin": "maker's sheet"},
            "pour": "57 C",
        },
        ("vessel", "harbour jar"): {
            "height": {"value": "80 mm", "origin": "measured"},
            "diameter": {"value": "70 mm", "origin": "measured"},
            "brim": {"value": "300 ml", "origin": "measured"},
        },
        ("wick", "our flat"): {
            "kind": "cotton flat",
            "burn_rate": {"value": "3.6-7.2 g/h", "origin": "measured"},
        },
    }

    def facts(self, role: str, name: str) -> Mapping[str, Any] | None:
        """Return the workshop's own facts, else those of the kind."""
        return self.own.get((role, name)) or built_in().facts(role, name)

    def names(self, role: str) -> Sequence[str]:
        """Return all names."""
        return built_in().names(role)


def problems(**changes: Any) -> list[Problem]:
    """Return what is wrong with the Slipway so changed."""
    with pytest.raises(BadInput) as caught:
        read(typed(**changes), built_in())
    return list(caught.value.problems)


def places(**changes: Any) -> list[str]:
    """Return where it is wrong."""
    return [problem.place for problem in problems(**changes)]


def test_the_document_is_read_into_a_candle() -> None:
    """Every table reaches its part, in SI."""
    candle = slipway()
    assert candle.name == "Slipway"
    assert candle.vessel.volume_from is VolumeFrom.STATED
    assert candle.vessel.brim_volume == pytest.approx(parse.volume("10 fl oz"))
    assert candle.vessel.profile.depth == pytest.approx(0.090)
    assert candle.vessel.base == pytest.approx(0.006)  # of the kind
    assert (candle.fill.by, candle.fill.state) == (FillBy.HEADSPACE, FillState.HOT)
    assert candle.load is not None
    assert (candle.load.amount, candle.load.basis) == (0.08, LoadBasis.WAX)
    assert [oil.name for oil in candle.oils] == ["Tide", "Cedar"]
    assert candle.oils[0].flash_point == pytest.approx(parse.temperature("93 C"))
    assert candle.dyes[0].per_wax == pytest.approx(6 * 0.03e-3)
    assert candle.additives[0].of_wax == pytest.approx(0.003)
    assert candle.finishes[0].sheds is True


def test_numbers_and_yes_or_no_may_be_typed_without_quotes() -> None:
    """A TOML number or a JSON true is as good as its text."""
    wick = slipway(wick={"use": "cotton flat", "count": 2}).wick
    assert wick.count == 2
    assert slipway(vessel={"use": "tin", "combustible": True}).vessel.combustible is True


def test_a_field_left_empty_is_one_not_given() -> None:
    """A form sends empty fields and rows; they change nothing."""
    changed = slipway(
        wax={"use": "soy container", "pour": "163 F", "max_load": "", "name": " "},
        additives=[{"use": "UV inhibitor", "percent": ""}, {"use": "", "percent": " "}],
    )
    assert changed == slipway()


def test_every_problem_is_told_at_once_each_in_its_place() -> None:
    """Six faults in six tables are six problems."""
    found = places(
        vessel={"use": "straight tumbler", "brim": "8 oz"},
        fill={"headspace": "12 mm", "percent": "80 %"},
        wax={"use": "soy container", "pour": "3 mm"},
        fragrance={"load": "900 %", "basis": "of everything", "oils": [{"parts": "-1"}]},
        wick={"use": "cotton flat", "trim": "long"},
        finishes=[{"use": "ribbon", "rimgap": "3 mm"}],
    )
    assert sorted(found) == [
        "fill.percent",
        "finishes.0.rimgap",
        "fragrance.basis",
        "fragrance.load",
        "fragrance.oils.0.parts",
        "vessel.brim",
        "wax.pour",
        "wick.trim",
    ]


def test_ounces_of_volume_are_explained() -> None:
    """8 oz where a volume is wanted says what fl oz is."""
    (problem,) = problems(vessel={"use": "tin", "brim": "8 oz"})
    assert "fl oz" in f"{problem.what} {problem.remedy}"


def test_an_unknown_key_is_reported_with_the_nearest_known_one() -> None:
    """In a table, in a row and at the top."""
    (problem,) = problems(vessel={"use": "tin", "heigth": "50 mm"})
    assert (problem.place, problem.remedy) == ("vessel.heigth", 'Did you mean "height"?')
    (problem,) = problems(fragance={})
    assert (problem.place, problem.remedy) == ("fragance", 'Did you mean "fragrance"?')
    (problem,) = problems(dyes=[{"use": "dye block", "blocks": "1", "xyzzy": "1"}])
    assert problem.place == "dyes.0.xyzzy"
    assert "Known here" in problem.remedy


def test_an_unknown_material_is_reported_with_the_nearest_known_one() -> None:
    """And only that: its facts are not missed one by one."""
    (problem,) = problems(wax={"use": "soy contaner"})
    assert (problem.place, problem.remedy) == ("wax.use", 'Did you mean "soy container"?')
    (problem,) = problems(vessel={"use": "amphora", "brim": "8 fl oz"})
    assert problem.place == "vessel.use"


def test_a_part_that_is_missing_is_asked_for() -> None:
    """Vessel, fill, wax and wick are needed; the rest is not."""
    with pytest.raises(BadInput) as caught:
        read({"rushlight": 1}, built_in())
    assert [problem.place for problem in caught.value.problems] == [
        "vessel.brim",
        "fill.headspace",
        "wax.use",
        "wick.use",
    ]
    plain = slipway(fragrance={}, dyes=[], additives=[], finishes=[])
    assert (plain.load, plain.oils, plain.dyes) == (None, (), ())


def test_a_wax_is_chosen_before_its_facts_are_missed() -> None:
    """A pour temperature alone is no wax; a wax typed whole needs no name."""
    assert places(wax={"pour": "163 F"}) == ["wax.use"]
    own = {"density_hot": "0.87 g/ml", "density_hot_at": "70 C", "density_set": "0.9 g/ml"}
    own |= {"melt": "80 C", "add": "80 C", "pour": "60-70 C", "stir": "2 min"}
    assert places(wax=own) == ["wax.cure"]
    wax = slipway(wax={**own, "cure": "7 d"}).wax
    assert (wax.name, wax.usual_pour) == ("wax", None)
    assert wax.melt.low < wax.melt.aim < wax.melt.high


def test_a_finish_says_how_much_of_it_a_jar_takes() -> None:
    """By mass or by pieces."""
    assert places(finishes=[{"name": "band"}]) == ["finishes.0.amount"]
    (band,) = slipway(finishes=[{"name": "band", "pieces": "2"}]).finishes
    assert (band.mass, band.pieces) == (None, 2)


def test_spaces_that_do_not_break_are_spaces() -> None:
    """A figure pasted from a web page carries them."""
    wick = {"use": "cotton flat", "trim": "6\u00a0mm"}
    assert slipway(wick=wick).wick.trim == pytest.approx(0.006)


def test_a_load_is_never_without_its_basis() -> None:
    """Of wax or of total, said so."""
    (problem,) = problems(fragrance={"load": "8 %"})
    assert problem.place == "fragrance.basis"
    assert "of total" in problem.remedy
    for basis in ("of wax", "of the wax", "Of Total", "total"):
        load = slipway(fragrance={"load": "8 %", "basis": basis}).load
        assert load is not None
        assert load.basis.value.split()[-1] in basis.casefold()


def test_a_fill_is_said_once() -> None:
    """Nothing and twice are both problems."""
    assert places(fill={}) == ["fill.headspace"]
    assert places(fill={"line": "70 mm", "net": "180 g"}) == ["fill.net"]
    assert places(fill={"line": "70 mm", "state": "lukewarm"}) == ["fill.state"]


def test_water_and_its_temperature_give_the_brim() -> None:
    """236 g at 20 °C over 998.2071 kg/m³ (CRC Handbook)."""
    vessel = slipway(vessel={"water": "236 g", "water_at": "20 C"}).vessel
    assert vessel.brim_volume == pytest.approx(0.236 / 998.2071, rel=1e-5)
    assert places(vessel={"water": "236 g", "water_at": "120 C"}) == ["vessel.water_at"]


def test_a_measured_profile_is_read() -> None:
    """Heights and inner diameters from the base upwards."""
    profile = [["0 mm", "70 mm"], ["85 mm", "74 mm"]]
    vessel = slipway(vessel={"profile": profile}).vessel
    assert [s.diameter for s in vessel.profile.stations] == pytest.approx([0.070, 0.074])
    assert vessel.volume_from is VolumeFrom.PROFILE


@pytest.mark.parametrize(
    ("profile", "place"),
    [
        ("tall", "vessel.profile"),
        ([["0 mm", "70 mm"]], "vessel.profile"),
        ([["0 mm", "70 mm"], ["85 mm"]], "vessel.profile.1"),
        ([["0 mm", "70 mm"], ["4 m", "74 mm"]], "vessel.profile.1"),
        ([["0 mm", "70 mm"], ["0 mm", "74 mm"]], "vessel.profile.1"),
        ([["5 mm", "70 mm"], ["85 mm", "74 mm"]], "vessel.profile.0"),
        ([["0 mm", "70 mm"], [["x"], "74 mm"]], "vessel.profile.1"),
    ],
)
def test_a_profile_that_is_none_is_told_where(profile: Any, place: str) -> None:
    """The place names the pair."""
    assert places(vessel={"profile": profile}) == [place]


def test_shapes_from_measures() -> None:
    """Height and diameter make it straight, a base diameter tapered, a neck shouldered."""
    base = {"height": "90 mm", "diameter": "70 mm"}
    assert len(slipway(vessel=base).vessel.profile.stations) == 2
    tapered = slipway(vessel={**base, "base_diameter": "60 mm"}).vessel.profile
    assert tapered.stations[0].diameter == pytest.approx(0.060)
    neck = {**base, "shoulder_height": "75 mm", "neck_diameter": "50 mm"}
    assert len(slipway(vessel=neck).vessel.profile.stations) == 3
    assert places(vessel={"height": "90 mm"}) == ["vessel.diameter"]
    assert places(vessel={**base, "neck_diameter": "50 mm"}) == ["vessel.shoulder_height"]
    assert places(vessel={**neck, "shoulder_height": "95 mm"}) == ["vessel.shoulder_height"]


def test_a_workshops_material_lies_between_the_document_and_the_kind() -> None:
    """The candle's own figure first, then the material's, then its kind's."""
    candle = read(typed(wax={"use": "our soy", "add": "180 F"}), Shop())
    assert candle.wax.name == "Our soy"
    assert candle.wax.kind == "soy container"
    assert candle.wax.add.aim == pytest.approx(parse.temperature("180 F"))
    assert candle.wax.pour.aim == pytest.approx(parse.temperature("57 C"))
    assert candle.wax.max_load == pytest.approx(0.09)
    assert candle.wax.density_set == 900.0


def test_what_is_typed_above_a_vessel_does_away_with_its_own_answer() -> None:
    """A typed volume beats the jar's; a typed shape does away with the jar's volume."""
    jar = {"use": "harbour jar"}
    assert read(typed(vessel=jar), Shop()).vessel.brim_volume == pytest.approx(300e-6)
    water = read(typed(vessel={**jar, "water": "290 g"}), Shop()).vessel
    assert water.volume_from is VolumeFrom.WATER
    assert water.profile.depth == pytest.approx(0.080)  # measured, so it stays
    taller = read(typed(vessel={**jar, "height": "90 mm"}), Shop()).vessel
    assert taller.volume_from is VolumeFrom.PROFILE
    assert taller.profile.depth == pytest.approx(0.090)
    cone = {**jar, "profile": [["0 mm", "60 mm"], ["70 mm", "80 mm"]]}
    assert read(typed(vessel=cone), Shop()).vessel.profile.depth == pytest.approx(0.070)


def test_a_kinds_shape_gives_way_to_a_stated_volume() -> None:
    """A larger jar of the kind is larger in every direction, and only assumed."""
    vessel = slipway(vessel={"use": "straight tumbler", "brim": "20 fl oz"}).vessel
    assert vessel.profile.depth > 0.088
    assert vessel.shape_known is False


def test_dye_is_told_in_four_ways() -> None:
    """By mass, percentage, drops or blocks, each for a mass of wax."""
    ways = [
        {"amount": "0.5 g", "per": "1 kg"},
        {"percent": "0.05 %"},
        {"drops": "10", "drop_mass": "0.05 g", "per": "1 kg"},
        {"blocks": "0.5", "block_mass": "1 g", "per": "1 kg"},
    ]
    for way in ways:
        assert slipway(dyes=[way]).dyes[0].per_wax == pytest.approx(0.0005)
    assert places(dyes=[{"name": "blue"}]) == ["dyes.0.amount"]
    assert places(dyes=[{**ways[0], "percent": "1 %"}]) == ["dyes.0.percent"]
    assert places(dyes=[{"drops": "3"}]) == ["dyes.0.per", "dyes.0.drop_mass"]


def test_heat_facts_of_the_wax_are_kept_for_the_heat_models() -> None:
    """What she types goes before the kind; what nobody says stays unsaid."""
    said = {
        "use": "soy container",
        "heat_capacity_set": "1950",
        "conductivity": "0.17 W/(m K)",
        "conductivity_set": "0.21 W/(m K)",
        "viscosity": "0.02 Pa s",
        "viscosity_at": "65 C",
    }
    thermal = read(typed(wax=said), built_in()).wax.thermal
    assert thermal.heat_set == pytest.approx(1950.0)
    assert (thermal.conductivity, thermal.conductivity_set) == (0.17, 0.21)
    assert thermal.viscosity == 0.02
    assert thermal.viscosity_at == pytest.approx(273.15 + 65)
    # the kind's own range: 43 to 53 °C, from memory
    assert thermal.solidus == pytest.approx(273.15 + 43)
    assert thermal.liquidus == pytest.approx(273.15 + 53)
    bare = {
        key: fact["value"]
        for key, fact in (built_in().facts("wax", "soy container") or {}).items()
        if key.startswith(("density", "melt_", "melt", "add", "pour", "stir", "cure"))
    }
    del bare["melting_heat"], bare["melts_at"]
    assert read(typed(wax={**bare, "name": "Mine"}), built_in()).wax.thermal == Thermal()


def test_a_melting_point_takes_the_range_known_below_it_along() -> None:
    """A lot that melts at 50 °C, not 52, melts over a range 2 K lower; a range typed stays."""
    lower = {"use": "soy container", "melts_at": "50 C"}
    thermal = read(typed(wax=lower), built_in()).wax.thermal
    assert thermal.solidus == pytest.approx(273.15 + 41)
    assert thermal.liquidus == pytest.approx(273.15 + 51)
    thermal = read(typed(wax=lower | {"liquidus": "54 C"}), built_in()).wax.thermal
    assert thermal.solidus == pytest.approx(273.15 + 41)
    assert thermal.liquidus == pytest.approx(273.15 + 54)


def test_a_solidus_above_the_liquidus_is_told_once_with_what_to_do() -> None:
    """At the end she typed; no other message of the same fault."""
    (problem,) = problems(wax={"use": "soy container", "solidus": "56 C"})
    assert problem.place == "wax.solidus"
    assert "above the liquidus, 53.0 °C" in problem.what
    assert "Type both" in problem.remedy
    assert places(wax={"use": "soy container", "liquidus": "40 C"}) == ["wax.liquidus"]
    assert places(wax={"use": "soy container", "liquidus": "warm"}) == ["wax.liquidus"]
    assert places(wax={"use": "soy container", "conductivity": "0"}) == ["wax.conductivity"]


def test_what_a_wick_burns_is_the_topmost_said_with_its_origin() -> None:
    """A single figure is not widened by a range below it; 3.6 g/h is 1e-6 kg/s."""
    wick = read(typed(wick={"use": "our flat"}), Shop()).wick
    assert wick.burn_rate == pytest.approx((1.0e-6, 2.0e-6))
    assert wick.burn_rate_origin == "measured"
    wick = read(typed(wick={"use": "our flat", "burn_rate": "5.4 g/h"}), Shop()).wick
    assert wick.burn_rate == pytest.approx((1.5e-6, 1.5e-6))
    assert wick.burn_rate_origin == "as typed"
    assert read(typed(wick={"use": "cotton flat"}), built_in()).wick.burn_rate is None
    assert places(wick={"use": "cotton flat", "burn_rate": "9 mm"}) == ["wick.burn_rate"]


def test_another_format_is_refused() -> None:
    """A newer file is not guessed at."""
    assert places(rushlight=2) == ["rushlight"]


def test_a_batch_is_read_over_the_workshops_settings() -> None:
    """The document first, then the settings, then one jar without allowances."""
    batch = read_batch(typed(), {"spill": "3 %", "capacity": "9 kg"})
    assert (batch.jars, batch.spares, batch.spill) == (12, 1, 0.01)
    other = read_batch({}, {"spill": "3 %", "capacity": "9 kg", "readability": "5 g"})
    assert (other.jars, other.spill, other.capacity, other.readability) == (1, 0.03, 9.0, 0.005)
    bare = read_batch({})
    assert (bare.jars, bare.capacity, bare.readability) == (1, None, 0.001)


def test_every_fault_of_a_typed_batch_is_told_at_once() -> None:
    """A million jars, a negative residue, a key that is none."""
    with pytest.raises(BadInput) as caught:
        read_batch({"batch": {"jars": "1000000", "residue": "-3 g", "spil": "1 %"}})
    assert sorted(problem.place for problem in caught.value.problems) == [
        "batch.jars",
        "batch.residue",
        "batch.spil",
    ]
