import pytest

from rushlight.candle.sheet import JarSheet
from rushlight.candle.weigh import weigh
from rushlight.hazard.certificate import Standing, read_certificate
from rushlight.hazard.classify import classify
from rushlight.hazard.law import Law
from rushlight.hazard.oil import SafetySheet
from rushlight.hazard.paste import read_rows
from rushlight.hazard.recipe import from_jar
from rushlight.hazard.review import review
from rushlight.hazard.uselimit import loads
from rushlight.quantity.si import Kelvin
from tests.candle.support import slipway


@pytest.fixture
def jar() -> JarSheet:
    """Weigh a candle of two oils, 2 parts to 1, at 8 % of the wax, with dye and additive."""
    return weigh(slipway())


def test_shares_are_of_everything_poured(jar: JarSheet) -> None:
    """Wax, oils, dye and additive make the whole; jar and wick are no part of it."""
    recipe = from_jar(jar, {"Tide": SafetySheet(name="Tide")})
    assert recipe.load == pytest.approx(jar.load_of_total)
    assert recipe.basis.of_wax == pytest.approx(0.08)
    assert recipe.oils[0].share == pytest.approx(2 / 3)
    assert sum(loads(jar).values()) == pytest.approx(jar.load_of_total)


def test_a_material_without_a_sheet_is_unknown_and_said(jar: JarSheet) -> None:
    """Nothing is silently taken as harmless: each one is named in the notes."""
    recipe = from_jar(jar, {"Tide": SafetySheet(name="Tide")})
    assert "Cedar" in recipe.unsheeted
    notes = classify(recipe.mixture(), Law.EU).notes
    assert any("no safety data sheet for Cedar" in note for note in notes)


def test_a_sensitiser_of_the_blend_counts_by_its_share_of_the_candle(jar: JarSheet) -> None:
    """12 % of two thirds of the load of the total."""
    tide = SafetySheet(name="Tide", components=read_rows("Linalool,78-70-6,12,H317").check())
    (ingredient,) = from_jar(jar, {"Tide": tide}).mixture().ingredients
    assert ingredient.share == pytest.approx(0.12 * jar.load_of_total * 2 / 3)


def test_one_call_reviews_a_weighed_candle(jar: JarSheet) -> None:
    """Load, classes, scale, label, use limit, cautions; the FHSA for the US alone."""
    tide = SafetySheet(
        name="Tide",
        components=read_rows("Linalool,78-70-6,30,Skin Sens. 1B").check(),
        flash_point=Kelvin(358.15),
    )
    held = {"Tide": read_certificate("Tide", {"limit": "10", "category": "12", "amendment": "51"})}
    eu = review(jar, sheets={"Tide": tide}, certificates=held, law=Law.EU)
    assert eu.load.of_wax == pytest.approx(0.08)
    assert [line.code for line in eu.label.hazards] == ["H317"]
    assert eu.scale.marks
    assert eu.use_limit.standing is Standing.UNKNOWN  # Cedar has no certificate
    assert eu.cautions[0].place == "fragrance.oils.0"
    assert eu.consumer is None
    us = review(jar, sheets={"Tide": tide}, certificates=held, law=Law.US)
    assert us.consumer is not None
    assert us.consumer.oils == ("Tide, neat: not flammable by the rule.",)  # 85 °C is 185 °F


def test_a_candle_without_fragrance_has_nothing_to_review() -> None:
    """No oil, no load, no marks: an empty label rather than an error."""
    plain = weigh(slipway(fragrance={"load": "0 %", "basis": "of wax"}))
    found = review(plain, sheets={}, certificates={}, law=Law.EU)
    assert found.label.empty
    assert not found.scale.marks
    assert found.use_limit.words == "There is no fragrance oil in it."
