"""Published and derived worked examples of mixture classification."""

import pytest

from rushlight.hazard import WORKING_AID
from rushlight.hazard.acute import ate_of
from rushlight.hazard.aquatic import m_factor
from rushlight.hazard.basis import from_total, from_wax
from rushlight.hazard.classify import Classification, classify
from rushlight.hazard.component import Route
from rushlight.hazard.law import Law
from rushlight.hazard.mixture import Form, Mixture, Part, of_oil, of_parts
from rushlight.hazard.oil import SafetySheet
from rushlight.hazard.paste import read_rows
from rushlight.quantity.si import Fraction1, Kelvin

HEADS = "name,range,classes,m,limits,ate,ph,additive\n"


def mixture(rows: str, form: Form = Form.SOLID) -> Mixture:
    """Return a mixture of just these percentages."""
    sheet = SafetySheet(name="mixture", components=read_rows(HEADS + rows).check())
    return of_parts("mixture", [Part(sheet, Fraction1(1.0))], form=form)


def candle(load: float, rows: str) -> Mixture:
    """Return a candle with this much oil of the total."""
    sheet = SafetySheet(name="oil", components=read_rows(HEADS + rows).check())
    return of_parts("candle", [Part(sheet, Fraction1(load))])


def eu(rows: str) -> Classification:
    """Return the EU classification of a mixture of these percentages."""
    return classify(mixture(rows), Law.EU)


# --- published --------------------------------------------------------------------------


def test_un_example_3_1d_acute_toxicity_by_two_routes() -> None:
    """UN SCEGHS example 3-1d, ST/SG/AC.10/C.4/2008/23.

    Published: oral 873 mg/kg Cat. 4, vapour 6.6 mg/l Cat. 3, 11 % of unknown inhalation toxicity.
    """
    rows = (
        "a,26,,,,oral 2737; vapour 11\n"
        "b,23,,,,oral 4500; vapour 19\n"
        "c,11,,,,oral > 5000; vapour unknown\n"
        "d,40,,,,oral 400; vapour 4\n"
    )
    found = classify(mixture(rows), Law.UN)
    assert ate_of(found.mixture, Route.ORAL, Law.UN) == pytest.approx(872.5, abs=0.05)
    assert ate_of(found.mixture, Route.VAPOUR, Law.UN) == pytest.approx(6.557, abs=0.0005)
    assert found.statements == {"H302", "H331"}
    told = {f.hazard.h: f.words for f in found.findings}
    assert "872.5 mg/kg (oral)" in told["H302"]
    assert "6.557 mg/l (vapour)" in told["H331"]
    (unknown,) = found.unknown
    assert unknown.route is Route.VAPOUR
    assert unknown.share == pytest.approx(0.11)


def test_un_example_3_1c_a_small_share_of_category_4() -> None:
    """Same paper, example 3-1c: ATE = 1737 × 100/4 = 43 425 mg/kg, not classified."""
    found = eu("a,4,,,,oral 1737\nb,5,,,,oral 5400\nc,5,,,,oral > 5000\nd,86,,,,\n")
    assert ate_of(found.mixture, Route.ORAL, Law.EU) == pytest.approx(43_425)
    assert not found.findings


def test_un_example_3_2_3_3a_extreme_ph_goes_by_the_other_table() -> None:
    """Same paper, example 3-2-3-3a: 4 % Skin 1 of pH 1.8 makes it corrosive by Table 3.2.4."""
    rows = (
        "acid,4,Skin Corr. 1,,,,1.8,\nb,5,Skin Irrit. 2,,,,,\nc,5,Skin Irrit. 3,,,,,\nd,86,,,,,,\n"
    )
    found = classify(mixture(rows), Law.UN)
    assert "Skin Corr. 1" in found.codes
    additive = classify(mixture(rows.replace("1.8", "")), Law.UN)  # 10 × 4 + 5 ≥ 10
    assert "Skin Irrit. 2" in additive.codes


@pytest.mark.parametrize("percent", [0.8, 1.8])
def test_echa_exercises_little_irritant_is_not_classified(percent: float) -> None:
    """ECHA Helpdesk mixture exercises, slides of 3 May 2012: 0.8 % and 1.8 % Skin Irrit. 2."""
    assert not eu(f"a,{percent},Skin Irrit. 2").findings


# --- derived from the tables (arithmetic checked, not published) --------------------------


@pytest.mark.parametrize(
    ("load", "h317"),
    [(0.08, False), (0.085, True), (from_wax(0.08).of_total, False)],
    ids=["8 % of total: 0.96 %", "8.5 %: 1.02 %", "8 % of wax: 0.889 %"],
)
def test_linalool_at_twelve_percent_of_the_oil(load: float, h317: bool) -> None:  # noqa: FBT001
    """CLP Table 3.4.5: 1B from 1.0 %; below it EUH208 from 0.1 %."""
    found = classify(candle(load, "linalool,12,Skin Sens. 1B"), Law.EU)
    assert ("H317" in found.statements) is h317
    assert [(m.ingredient.name, m.mention.value) for m in found.mentioned] == [
        ("linalool", "named" if h317 else "EUH208")
    ]


def test_sensitisers_are_not_added_together() -> None:
    """CLP Annex I 3.4.3.3.1: 0.6 % and 0.7 % of different 1B are two separate matters."""
    found = eu("a,0.6,Skin Sens. 1B\nb,0.7,Skin Sens. 1B")
    assert not found.findings
    assert [m.ingredient.name for m in found.mentioned] == ["a", "b"]


def test_the_same_sensitiser_from_two_oils_is_added_first() -> None:
    """0.6 % and 0.7 % of one CAS number are 1.3 %."""
    one = SafetySheet(name="one", components=read_rows("Linalool,78-70-6,60,H317").check())
    two = SafetySheet(name="two", components=read_rows("LINALOOL L,78-70-6,70,H317").check())
    made = of_parts("c", [Part(one, Fraction1(0.01)), Part(two, Fraction1(0.01))])
    assert len(made.ingredients) == 1
    assert made.ingredients[0].share == pytest.approx(0.013)
    assert "H317" in classify(made, Law.EU).statements


@pytest.mark.parametrize(("percent", "says"), [(0.10, "H317"), (0.05, "EUH208"), (0.009, "")])
def test_a_strong_sensitiser_has_ten_times_lower_limits(percent: float, says: str) -> None:
    """CLP Tables 3.4.5 and 3.4.6: 1A from 0.1 %, mentioned from 0.01 %."""
    found = eu(f"a,{percent},Skin Sens. 1A")
    said = "H317" if found.findings else "EUH208" if found.mentioned else ""
    assert said == says


def test_a_specific_limit_sets_the_elicitation_limit_to_a_tenth() -> None:
    """CLP Annex II 2.10: a tenth of the specific limit; the lower of both is used."""
    assert eu("a,0.02,Skin Sens. 1A,,Skin Sens. 1A: 0.05").mentioned
    assert eu("a,0.005,Skin Sens. 1,,Skin Sens. 1: 0.05").mentioned
    assert not eu("a,0.004,Skin Sens. 1,,Skin Sens. 1: 0.05").mentioned
    assert "H317" in eu("a,0.06,Skin Sens. 1,,Skin Sens. 1: 0.05").statements


def test_m_factor_ten_makes_a_little_chronic_1_count() -> None:
    """CLP Annex I 4.1.3.5.5: 0.3 % × M 10 × 10 = 30 ≥ 25: Chronic 2, H411, GHS09."""
    found = eu("a,0.3,Aquatic Chronic 1,10")
    assert found.codes == {"Aquatic Chronic 2"}
    assert found.findings[0].hazard.pictogram == "GHS09"
    assert found.findings[0].hazard.signal == ""


@pytest.mark.parametrize(
    ("rows", "code"),
    [
        ("a,25,Aquatic Acute 1,1", "Aquatic Acute 1"),
        ("a,25,Aquatic Chronic 1,1", "Aquatic Chronic 1"),
        ("a,25,Aquatic Chronic 2", "Aquatic Chronic 2"),
        ("a,2.5,Aquatic Chronic 2", "Aquatic Chronic 3"),
        ("a,25,Aquatic Chronic 4", "Aquatic Chronic 4"),
        ("a,0.25,Aquatic Chronic 1,1", "Aquatic Chronic 3"),
    ],
)
def test_each_aquatic_sum_begins_at_twenty_five_percent(rows: str, code: str) -> None:
    """CLP Annex I, Tables 4.1.1 and 4.1.2: at the limit yes, a hair below no."""
    assert code in eu(rows).codes
    figure = rows.split(",")[1]
    assert code not in eu(rows.replace(figure, str(float(figure) * 0.9999), 1)).codes


def test_eye_damage_counts_ten_times_towards_irritation() -> None:
    """CLP Table 3.3.3: 1.0 % Eye Dam. 1 × 10 = 10: Eye Irrit. 2; 3 % is Eye Dam. 1."""
    assert eu("a,1.0,Eye Dam. 1").codes == {"Eye Irrit. 2"}
    assert eu("a,3.0,Eye Dam. 1").codes == {"Eye Dam. 1"}
    assert not eu("a,0.99,Eye Dam. 1").codes


def test_a_substance_corrosive_to_skin_and_eye_counts_once() -> None:
    """CLP Table 3.3.3: 2 % that is both is 2 %, not 4 %."""
    assert "Eye Dam. 1" not in eu("a,2,Skin Corr. 1B; Eye Dam. 1").codes


@pytest.mark.parametrize(("percent", "codes"), [(0.30, {"Repr. 1B"}), (0.29, set())])
def test_reproductive_toxicant_from_three_tenths_of_a_percent(
    percent: float, codes: set[str]
) -> None:
    """CLP Table 3.7.2: Repr. 1B from 0.3 %."""
    assert eu(f"a,{percent},Repr. 1B").codes == codes


def test_skin_corrosion_sub_categories_add_downwards() -> None:
    """CLP Table 3.2.3: 3 % 1A and 3 % 1B make 1B; 5 % 1A makes 1A; 1 to 5 % is Irrit. 2."""
    assert "Skin Corr. 1B" in eu("a,3,Skin Corr. 1A\nb,3,Skin Corr. 1B").codes
    assert "Skin Corr. 1A" in eu("a,5,Skin Corr. 1A").codes
    assert "Skin Irrit. 2" in eu("a,1,Skin Corr. 1A").codes
    assert "Skin Irrit. 2" in eu("a,9.9,Skin Irrit. 2,,Skin Irrit. 2: 5").codes


def test_a_specific_limit_of_a_sub_category_leaves_no_generic_one_beside_it() -> None:
    """CLP Art. 10: 1B from 10 % only; 6 % is irritant, not 1C by the generic 5 %."""
    rows = "a,6,Skin Corr. 1B,,Skin Corr. 1B: 10; Skin Irrit. 2: 2 - 10"
    assert "Skin Irrit. 2" in eu(rows).codes
    assert "Skin Corr. 1B" in eu(rows.replace("a,6", "a,10")).codes


def test_not_additive_irritants_have_their_own_limit() -> None:
    """CLP Table 3.2.4: other Irrit. 2 from 3 %."""
    assert "Skin Irrit. 2" in eu("a,3,Skin Irrit. 2,,,,,no").codes
    assert not eu("a,2.9,Skin Irrit. 2,,,,,no").codes


def test_the_ph_of_the_whole_mixture_counts() -> None:
    """CLP Annex I 3.2.3.1.2: pH at or below 2 is corrosive unless shown otherwise."""
    acid = SafetySheet(name="acid", ph=2.0)
    assert {"Skin Corr. 1", "Eye Dam. 1"} <= classify(of_oil(acid), Law.EU).codes
    assert not classify(of_oil(SafetySheet(name="mild", ph=2.1)), Law.EU).codes


def test_organ_toxicity_steps_down_and_narcosis_adds_up() -> None:
    """CLP 3.8: STOT SE 1 at 10 % is Cat. 1, at 1 % Cat. 2; SE 3 effects add up separately."""
    assert eu("a,10,STOT SE 1").codes == {"STOT SE 1"}
    assert eu("a,1,STOT SE 1").codes == {"STOT SE 2"}
    assert eu("a,12,H336\nb,8,H336").codes == {"STOT SE 3 drowsiness"}
    assert not eu("a,12,H336\nb,8,H335").codes


# --- the oil itself, other laws ------------------------------------------------------------


def test_aspiration_is_for_thin_liquids_only() -> None:
    """CLP Annex I 3.10.3.3.1: 10 % and at most 20.5 mm²/s at 40 °C; never a solid."""
    rows = read_rows("a,,10,Asp. Tox. 1").check()
    thin = SafetySheet(name="thin", components=rows, viscosity=20.5e-6)
    thick = SafetySheet(name="thick", components=rows, viscosity=20.6e-6)
    assert "H304" in classify(of_oil(thin), Law.EU).statements
    assert "H304" not in classify(of_oil(thick), Law.EU).statements
    assert "H304" not in classify(of_parts("c", [Part(thin, Fraction1(1.0))]), Law.EU).statements
    unknown = classify(of_oil(SafetySheet(name="u", components=rows)), Law.EU)
    assert "H304" in unknown.statements
    assert any("viscosity" in note for note in unknown.notes)


@pytest.mark.parametrize(
    ("celsius", "eu_code", "us_code"),
    [
        (22.9, "Flam. Liq. 2", "Flam. Liq. 2"),
        (23.0, "Flam. Liq. 3", "Flam. Liq. 3"),
        (60.0, "Flam. Liq. 3", "Flam. Liq. 3"),
        (60.1, None, "Flam. Liq. 4"),
        (93.0, None, "Flam. Liq. 4"),
        (93.1, None, None),
    ],
)
def test_flash_point_decides_flammability_of_an_oil(
    celsius: float, eu_code: str | None, us_code: str | None
) -> None:
    """CLP Table 2.6.1 and 29 CFR 1910.106(a)(19): the fourth category is not the EU's."""
    oil = of_oil(SafetySheet(name="oil", flash_point=Kelvin(celsius + 273.15)))
    assert classify(oil, Law.EU).codes == ({eu_code} if eu_code else set())
    assert classify(oil, Law.US).codes == ({us_code} if us_code else set())


def test_us_rules_differ_where_the_data_say_so() -> None:
    """29 CFR 1910.1200 App. A: Carc. 2 and Repr. from 0.1 %, STOT from 1 %, nothing aquatic."""
    rows = (
        "a,0.1,Carc. 2\nb,0.1,Repr. 2\nc,1,STOT SE 1\nd,30,Aquatic Chronic 1,1\ne,0.2,Skin Sens. 1B"
    )
    us, european = classify(mixture(rows), Law.US), eu(rows)
    assert us.codes == {"Carc. 2", "Repr. 2", "STOT SE 1"}
    assert not us.mentioned
    assert european.codes == {"Aquatic Chronic 1", "STOT SE 2"}
    assert any("FHSA" in note for note in us.notes)


def test_endocrine_disruptors_are_the_eu_s_alone() -> None:
    """Regulation (EU) 2023/707 is no part of GB CLP."""
    assert eu("a,0.1,ED HH 1").statements == {"EUH380"}
    assert not classify(mixture("a,0.1,ED HH 1"), Law.GB).codes


# --- what the result says -----------------------------------------------------------------


def test_a_finding_explains_itself() -> None:
    """Ingredient, its percentage of the finished candle, the limit, the paragraph, the oil."""
    found = classify(candle(0.085, "linalool,12,Skin Sens. 1B"), Law.EU)
    (finding,) = found.findings
    assert "linalool 1.02 % (limit 1 %)" in finding.words
    assert "not added together" in finding.words
    assert "3.4.5" in finding.paragraph
    origin = finding.drivers[0].origins[0]
    assert (origin.sheet, origin.of_mixture, origin.in_sheet) == ("oil", 0.085, 0.12)
    assert found.aid == WORKING_AID


def test_near_misses_are_kept_with_their_reach() -> None:
    """At 0.96 % a 1B sensitiser is at 96 % of the limit."""
    found = classify(candle(0.08, "linalool,12,Skin Sens. 1B"), Law.EU)
    assert not found.findings
    assert found.near[0].reach == pytest.approx(0.96)


def test_what_is_not_listed_or_not_known_is_said() -> None:
    """Unlisted share, upper ends over 100 %, missing M-factors, missing flash point."""
    notes = " ".join(eu("a,30,Aquatic Chronic 1").notes)
    assert "70 % of mixture is not listed" in notes
    assert "No M-factor is given for a" in notes
    over = " ".join(eu("a,30-60,\nb,30-70,").notes)
    assert "add up to 130 %" in over
    assert any("flash point" in n for n in classify(of_oil(SafetySheet(name="o")), Law.EU).notes)


def test_load_bases_are_converted_both_ways() -> None:
    """8 % of the wax is 8/108 = 7.407 % of the total (arithmetic)."""
    basis = from_wax(0.08)
    assert basis.of_total == pytest.approx(0.0740740, abs=1e-7)
    assert from_total(basis.of_total).of_wax == pytest.approx(0.08)
    assert "8 in 108 parts" in basis.words
    assert "7.407 %" in basis.words


@pytest.mark.parametrize(
    ("concentration", "series", "m"),
    [
        (0.5, "acute", 1),
        (0.05, "acute", 10),
        (0.005, "acute", 100),
        (2.0, "acute", None),
        (0.05, "chronic_not_degradable", 1),
        (0.005, "chronic_degradable", 1),
    ],
)
def test_m_factors_follow_from_test_data(concentration: float, series: str, m: int | None) -> None:
    """CLP Table 4.1.3 (from memory)."""
    assert m_factor(concentration, series=series) == m


def test_respiratory_sensitisers_are_not_added_either() -> None:
    """CLP Table 3.4.5: 0.6 % and 0.7 % of two Resp. Sens. 1B stay below 1 %; one 1A needs 0.1 %."""
    assert not eu("a,0.6,Resp. Sens. 1B\nb,0.7,Resp. Sens. 1B").findings
    assert eu("a,1,Resp. Sens. 1B").statements == {"H334"}
    assert eu("a,0.1,Resp. Sens. 1A").statements == {"H334"}


def test_shares_below_the_cut_off_do_not_count() -> None:
    """CLP Annex I Table 1.1: fifteen irritants of 0.9 % are 13.5 %, but each is below 1 %."""
    many = "\n".join(f"s{i},0.9,Skin Irrit. 2" for i in range(15))
    assert not eu(many).findings
    assert "Skin Irrit. 2" in eu(many.replace("0.9", "1.0")).codes
    (finding,) = eu("a,12,Skin Irrit. 2\nb,0.9,Skin Irrit. 2").findings
    assert [driver.name for driver in finding.drivers] == ["a"]


def test_a_trace_of_category_4_is_left_out_of_the_ate() -> None:
    """CLP Annex I Table 1.1: Acute Tox. 4 counts from 1 % on, Cat. 3 from 0.1 %."""
    trace = eu("a,0.9,,,,oral 500\nb,10,,,,oral 400")
    assert ate_of(trace.mixture, Route.ORAL, Law.EU) == pytest.approx(4000.0)
    counted = eu("a,0.9,,,,oral 100\nb,10,,,,oral 400")
    assert ate_of(counted.mixture, Route.ORAL, Law.EU) == pytest.approx(
        1 / (0.009 / 100 + 0.1 / 400)
    )


def test_of_two_roads_to_a_class_the_further_reached_is_told() -> None:
    """4 % of an acid against 1 % is told before 6 % of corrosives against 5 %."""
    found = eu("acid,4,Skin Corr. 1,,,,1.8,\nb,6,Skin Corr. 1")
    (skin,) = [f for f in found.findings if f.hazard.family == "skin"]
    assert skin.reach == pytest.approx(4.0)
    assert "3.2.4" in skin.paragraph


def test_only_a_category_gives_its_converted_estimate() -> None:
    """CLP Table 3.1.2: Acute Tox. 4 oral counts as 500 mg/kg; 25 % of it gives 2000, Cat. 4."""
    found = eu("a,25,Acute Tox. 4 oral")
    assert ate_of(found.mixture, Route.ORAL, Law.EU) == pytest.approx(2000.0)
    assert found.statements == {"H302"}
    assert not eu("a,24.9,Acute Tox. 4 oral").findings


def test_unknowns_alone_never_classify() -> None:
    """CLP Annex I 3.1.3.6.2.3 needs something known: a trace below its cut-off is not."""
    found = eu("a,0.05,,,,oral 50\nb,99.9,,,,oral unknown")
    assert not found.findings
    assert ate_of(found.mixture, Route.ORAL, Law.EU) is None
    assert found.unknown


def test_more_than_the_last_bound_is_not_the_last_category() -> None:
    """An LD50 of > 2000 mg/kg is above Acute Tox. 4 (CLP Table 3.1.1); 2000 itself is in it."""
    assert eu("a,100,,,,oral 2000").statements == {"H302"}
    assert not eu("a,100,,,,oral > 2000 mg/kg").findings


def test_a_driver_of_acute_toxicity_names_the_share_that_alone_would_do() -> None:
    """ATE 400 against the bound 2000 mg/kg: 20 % of it alone makes Cat. 4 (arithmetic)."""
    (finding,) = eu("a,30,,,,oral 400").findings
    assert finding.drivers[0].limit == pytest.approx(0.20)


def test_of_a_family_the_nearest_class_is_the_near_miss() -> None:
    """0.2 % Chronic 1 is at 80 % of Chronic 3, at 8 % of Chronic 2, at 0.8 % of Chronic 1."""
    (near,) = eu("a,0.2,Aquatic Chronic 1,1").near
    assert near.hazard.code == "Aquatic Chronic 3"
    assert near.reach == pytest.approx(0.8)
