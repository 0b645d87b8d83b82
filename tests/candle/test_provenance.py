"""Where the figures of a candle come from."""

from rushlight.candle.facts import TYPED, TYPICAL
from rushlight.candle.kinds import built_in
from rushlight.candle.provenance import provenance
from tests.candle.support import typed


def test_each_fact_is_told_once_with_its_origin() -> None:
    """What was typed hides what the kind says."""
    known = provenance(typed(), built_in())
    by_place = {fact.place: fact for fact in known}
    assert len(by_place) == len(known)
    assert (by_place["wax.pour"].value, by_place["wax.pour"].origin) == ("163 F", TYPED)
    density = by_place["wax.density_set"]
    assert (density.value, density.origin, density.source) == ("900 kg/m3", TYPICAL, "from memory")
    assert by_place["fragrance.oils.0.flash_point"].origin == TYPED
    assert by_place["dyes.0.drop_mass"].origin == TYPICAL
    assert "vessel.use" not in by_place


def test_a_profile_is_said_to_be_measured() -> None:
    """A table of numbers is no line of text."""
    doc = typed(vessel={"profile": [["0 mm", "70 mm"], ["85 mm", "74 mm"]]})
    (profile,) = [fact for fact in provenance(doc, built_in()) if fact.place == "vessel.profile"]
    assert profile.value == "measured"
