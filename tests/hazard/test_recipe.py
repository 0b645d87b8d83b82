import pytest

from rushlight.candle.sheet import JarSheet, Role
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

TIDE = (Role.FRAGRANCE, "Tide")


@pytest.fixture
def jar() -> JarSheet:
    """Weigh a candle of two oils, 2 parts to 1, at 8 % of the wax, with dye and additive."""
    return weigh(slipway())


def test_shares_are_of_everything_poured(jar: JarSheet) -> None:
    """Wax, oils, dye and additive make the whole; jar and wick are no part of it."""
    recipe = from_jar(jar, {TIDE: SafetySheet(name="Tide")})
    assert recipe.load == pytest.approx(jar.load_of_total)
    assert recipe.basis.of_wax == pytest.approx(0.08)
    assert recipe.oils[0].share == pytest.approx(2 / 3)
    assert sum(loads(jar).values()) == pytest.approx(jar.load_of_total)


def test_a_material_without_a_sheet_is_unknown_and_said(jar: JarSheet) -> None:
    """Nothing is silently taken as harmless: each one is named in the notes."""
    recipe = from_jar(jar, {TIDE: SafetySheet(name="Tide")})
    assert "Cedar" in recipe.unsheeted
    notes = classify(recipe.mixture(), Law.EU).notes
    assert any("no safety data sheet for Cedar" in note for note in notes)


def test_a_sensitiser_of_the_blend_counts_by_its_share_of_the_candle(jar: JarSheet) -> None:
    """12 % of two thirds of the load of the total."""
    tide = SafetySheet(name="Tide", components=read_rows("Linalool,78-70-6,12,H317").check())
    (ingredient,) = from_jar(jar, {TIDE: tide}).mixture().ingredients
    assert ingredient.share == pytest.approx(0.12 * jar.load_of_total * 2 / 3)


def test_one_call_reviews_a_weighed_candle(jar: JarSheet) -> None:
    """Load, classes, scale, label, use limit, cautions; the FHSA for the US alone."""
    tide = SafetySheet(
        name="Tide",
        components=read_rows("Linalool,78-70-6,30,Skin Sens. 1B").check(),
        flash_point=Kelvin(358.15),
    )
    held = {TIDE: read_certificate("Tide", {"limit": "10", "category": "12", "amendment": "51"})}
    eu = review(jar, sheets={TIDE: tide}, certificates=held, law=Law.EU)
    assert eu.load.of_wax == pytest.approx(0.08)
    assert [line.code for line in eu.label.hazards] == ["H317"]
    assert eu.scale.marks
    assert eu.use_limit.standing is Standing.UNKNOWN  # Cedar has no certificate
    # 85 °C on the sheet, 93 °C among the candle's own facts: said first
    assert eu.cautions[0].place == "fragrance.oils.0.flash_point"
    assert eu.cautions[-1].place == "fragrance.oils.0"
    assert eu.consumer is None
    us = review(jar, sheets={TIDE: tide}, certificates=held, law=Law.US)
    assert us.consumer is not None
    assert us.consumer.oils == ("Tide, neat: not flammable by the rule.",)  # 85 °C is 185 °F


def test_a_candle_without_fragrance_has_nothing_to_review() -> None:
    """No oil, no load, no marks: an empty label rather than an error."""
    plain = weigh(slipway(fragrance={"load": "0 %", "basis": "of wax"}))
    found = review(plain, sheets={}, certificates={}, law=Law.EU)
    assert found.label.empty
    assert not found.scale.marks
    assert found.use_limit.words == "There is no fragrance oil in it."


def test_an_oil_and_a_dye_of_one_name_keep_their_own_sheets() -> None:
    """Each counts by its own share and its own section 3; so do their certificates."""
    oil, dye = (Role.FRAGRANCE, "Rose"), (Role.DYE, "Rose")
    named = weigh(
        slipway(
            fragrance={"load": "8 %", "basis": "of wax", "oils": [{"name": "Rose", "parts": "1"}]},
            dyes=[{"name": "Rose", "percent": "1 %"}],
            additives=[],
        )
    )
    sheets = {
        oil: SafetySheet(name="Rose", components=read_rows("Linalool,78-70-6,30,H317").check()),
        dye: SafetySheet(name="Rose", components=read_rows("Citral,5392-40-5,50,H317").check()),
    }
    certificates = {
        oil: read_certificate("Rose", {"limit": "10", "category": "12", "amendment": "51"}),
        dye: read_certificate(
            "Rose", {"limit": "not permitted", "category": "12", "amendment": "51"}
        ),
    }
    shares = {line.role: line.of_total for line in named.lines if line.name == "Rose"}
    found = {i.name: i.share for i in from_jar(named, sheets).mixture().ingredients}
    assert found["Linalool"] == pytest.approx(0.30 * shares[Role.FRAGRANCE])
    assert found["Citral"] == pytest.approx(0.50 * shares[Role.DYE])
    made = review(named, sheets=sheets, certificates=certificates, law=Law.EU)
    assert made.use_limit.standing is Standing.NUMBER
    only_dye = from_jar(named, {dye: sheets[dye]})
    assert only_dye.unsheeted == ("Rose",)
    assert not only_dye.oils
