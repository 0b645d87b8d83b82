import pytest

from rushlight.hazard import WORKING_AID
from rushlight.hazard.classes import hazard_class, known
from rushlight.hazard.classify import classify
from rushlight.hazard.data import table
from rushlight.hazard.label import Label, label
from rushlight.hazard.law import Law
from rushlight.hazard.mixture import Part, of_parts
from rushlight.hazard.oil import SafetySheet
from rushlight.hazard.paste import read_rows
from rushlight.hazard.pictograms import signal_word, signs
from rushlight.hazard.precautions import choose
from rushlight.hazard.sizes import pictogram_side, sizes
from rushlight.hazard.statements import Language, source, statement, word
from rushlight.quantity.si import CubicMetre, Fraction1, Metre

JAR_ML = 240.0


def printed(rows: str, *, ml: float = JAR_ML, law: Law = Law.EU, audience: str = "public") -> Label:
    """Return the label of a solid with these percentages."""
    sheet = SafetySheet(name="oil", components=read_rows("name,range,classes\n" + rows).check())
    found = classify(of_parts("candle", [Part(sheet, Fraction1(1.0))]), law)
    return label(found, capacity=CubicMetre(ml * 1e-6), audience=audience)


def shown(*codes: str) -> set[str]:
    """Return the pictograms that remain for these classes."""
    return {sign.code for sign in signs([hazard_class(code) for code in codes])[0]}


def test_sensitising_and_harmful_to_water() -> None:
    """Derived from the label tables: H317 and H412 give GHS07, Warning and both statements."""
    made = printed("linalool,2,Skin Sens. 1B\nb,3,Aquatic Chronic 2")
    assert [sign.code for sign in made.pictograms] == ["GHS07"]
    assert made.signal == "Warning"
    assert [line.code for line in made.hazards] == ["H317", "H412"]
    assert made.names == ("linalool",)
    assert made.aid == WORKING_AID


def test_unclassified_candle_with_a_sensitiser_says_euh208_alone() -> None:
    """CLP Annex II 2.8: no pictogram, no signal word, the name in the sentence."""
    made = printed("linalool,0.96,Skin Sens. 1B\ncitral,0.2,Skin Sens. 1")
    assert (made.pictograms, made.signal, made.hazards, made.precautions) == ((), "", (), ())
    assert made.supplemental[0].text == (
        "Contains citral, linalool. May produce an allergic reaction."
    )
    assert not made.empty


def test_other_sensitisers_are_named_once_one_classifies() -> None:
    """CLP Annex II 2.8: every other sensitiser at its elicitation limit is named, no EUH208."""
    made = printed("linalool,2,Skin Sens. 1B\ncitral,0.2,Skin Sens. 1\ntrace,0.05,Skin Sens. 1B")
    assert made.names == ("linalool", "citral")
    assert not made.supplemental


def test_nothing_found_gives_an_empty_label() -> None:
    """A candle without a listed hazard has no hazard label."""
    assert printed("a,50,").empty


def test_precedence_of_pictograms() -> None:
    """CLP Art. 26(1)(b) to (d), legal text."""
    assert shown("Acute Tox. 3 oral", "Skin Sens. 1") == {"GHS06"}
    assert shown("Eye Dam. 1", "Skin Irrit. 2") == {"GHS05"}
    assert shown("Eye Dam. 1", "Skin Sens. 1") == {"GHS05", "GHS07"}
    assert shown("Resp. Sens. 1", "Skin Sens. 1", "Eye Irrit. 2") == {"GHS08"}
    assert shown("Resp. Sens. 1", "Acute Tox. 4 oral") == {"GHS07", "GHS08"}
    assert shown("Carc. 2", "Skin Sens. 1") == {"GHS07", "GHS08"}


def test_dropped_pictograms_say_why() -> None:
    """The reason names the paragraph."""
    _, dropped = signs([hazard_class("Eye Dam. 1"), hazard_class("Skin Irrit. 2")])
    assert [(sign.code, "26(1)(c)" in sign.reason) for sign in dropped] == [("GHS07", True)]


def test_danger_drives_out_warning() -> None:
    """CLP Art. 20(3) (from memory)."""
    both = [hazard_class("Eye Dam. 1"), hazard_class("Skin Sens. 1")]
    assert signal_word(both) == "Danger"
    assert signal_word([hazard_class("Aquatic Chronic 2")]) == ""


def test_plain_duplicates_are_left_out() -> None:
    """CLP Art. 27 and Annex III (from memory): H410 says H400, H314 says H318."""
    made = printed("a,30,Aquatic Acute 1; Aquatic Chronic 1\nb,6,Skin Corr. 1B; Eye Dam. 1")
    assert [line.code for line in made.hazards] == ["H314", "H410"]
    assert {"H400", "H318"} <= {line.code for line in made.omitted}


def test_small_packages_keep_the_sensitiser_in_full() -> None:
    """CLP Annex I 1.5.2: up to 125 ml H315 and H411 may go, H317 stays; H412 keeps its H."""
    rows = "a,2,Skin Sens. 1B\nb,20,Skin Irrit. 2\nc,30,Aquatic Chronic 2"
    small, large = printed(rows, ml=125.0), printed(rows, ml=125.1)
    assert [line.code for line in small.hazards] == ["H317"]
    assert {line.code for line in large.hazards} == {"H315", "H317", "H411"}
    assert small.pictograms == large.pictograms
    assert "P273" not in {line.code for line in small.precautions}
    chronic3 = printed("c,3,Aquatic Chronic 2", ml=100.0)
    assert [line.code for line in chronic3.hazards] == ["H412"]
    assert chronic3.precautions == ()


def test_some_relief_is_not_for_the_public() -> None:
    """CLP Annex I 1.5.2.1.1: harmful if swallowed keeps its words on retail packs."""
    assert printed("a,30,H336", ml=100.0).hazards
    assert not printed("a,30,H336", ml=100.0, audience="trade").hazards


def test_at_most_six_precautions_whatever_the_hazards() -> None:
    """CLP Art. 28(3): normally no more than six; the rest is listed with its reason."""
    every = [row for row in known().values() if row.h in table("precautions")["for"]]
    chosen = choose(every)
    codes = [choice.code for choice in chosen.taken]
    assert len(codes) == 6
    assert (codes[0], codes[-1]) == ("P102", "P501")
    assert chosen.left
    assert all(choice.reason for choice in (*chosen.taken, *chosen.left))
    assert choose([]).taken == ()


def test_the_usual_set_of_a_sensitising_candle() -> None:
    """Written rules: children first, then skin contact, rash and air, the label, disposal."""
    codes = [choice.code for choice in choose([hazard_class("Skin Sens. 1")]).taken]
    assert codes == ["P102", "P302+P352", "P333+P313", "P261", "P362+P364", "P501"]


def test_a_statement_another_covers_is_left_out() -> None:
    """A call to the poison centre at once covers the milder call."""
    chosen = choose([hazard_class("Acute Tox. 3 oral"), hazard_class("Acute Tox. 4 oral")])
    assert "P301+P312" not in {choice.code for choice in chosen.taken}
    assert any("says it already" in choice.reason for choice in chosen.left)


@pytest.mark.parametrize("language", list(Language))
def test_every_statement_exists_in_every_language(language: Language) -> None:
    """Each class, each proposed precaution, EUH208 with its gap, both signal words."""
    codes = {row.h for row in known().values()}
    for proposed in table("precautions")["for"].values():
        codes |= set(proposed)
    codes |= {*table("precautions")["always"]["codes"], "P501", "P103"}
    for code in codes:
        text = statement(code, language)
        assert text.endswith(".")
        assert "{" not in text
    assert "X, Y" in statement("EUH208", language, names=["X", "Y"])
    assert word("Danger", language)
    assert word("Warning", language)
    assert source(language) == "from memory"


def test_official_wording_is_the_current_one() -> None:
    """CLP Annexes III and IV as amended: P103, P210 and P302+P352 changed."""
    assert statement("P103", Language.EN) == "Read carefully and follow all instructions."
    assert statement("P302+P352", Language.EN) == "IF ON SKIN: Wash with plenty of water."
    assert "hot surfaces" in statement("P210", Language.EN)
    assert statement("H317", Language.DE) == "Kann allergische Hautreaktionen verursachen."
    assert statement("H317", Language.FR) == "Peut provoquer une allergie cutanée."
    assert statement("H317", Language.ES) == "Puede provocar una reacción alérgica en la piel."


@pytest.mark.parametrize(
    ("litres", "pictogram", "x_height"),
    [(0.125, 10, 1.2), (0.5, 10, 1.2), (0.51, 10, 1.4), (4.0, 23, 1.8), (100.0, 32, 2.0)],
)
def test_sizes_follow_the_capacity(litres: float, pictogram: float, x_height: float) -> None:
    """CLP Annex I 1.2.1.4, Table 1.3 (legal text); letters (EU) 2024/2865 (secondary)."""
    found = sizes(CubicMetre(litres * 1e-3), Law.EU)
    assert found.pictogram == pytest.approx(pictogram * 1e-3)
    assert found.x_height == pytest.approx(x_height * 1e-3)
    assert sizes(CubicMetre(litres * 1e-3), Law.GB).x_height is None


def test_a_pictogram_covers_a_fifteenth_of_the_label() -> None:
    """CLP Annex I 1.2.1.3: 52 × 74 mm / 15 = 256.5 mm², a side of 16.02 mm (arithmetic)."""
    assert pictogram_side((Metre(0.052), Metre(0.074))) == pytest.approx(0.01602, abs=5e-6)
    assert pictogram_side((Metre(0.02), Metre(0.02))) == pytest.approx(0.01)


@pytest.mark.parametrize(
    ("language", "words"),
    [(Language.EN, "5 % of the mixture"), (Language.DE, "5 % des Gemisches")],
)
def test_unknown_toxicity_is_said_in_the_label_s_language(language: Language, words: str) -> None:
    """CLP Annex I 3.1.3.6.2.2: from 1 % of unknown acute toxicity on (from memory)."""
    rows = "name,range,ate\na,5,oral unknown"
    sheet = SafetySheet(name="oil", components=read_rows(rows).check())
    found = classify(of_parts("candle", [Part(sheet, Fraction1(1.0))]), Law.EU)
    assert words in label(found, language=language).supplemental[0].text


def test_label_sizes_are_for_clp_alone() -> None:
    """OSHA and the UN model set none."""
    assert printed("a,2,Skin Sens. 1B").sizes
    assert printed("a,2,Skin Sens. 1B", law=Law.US).sizes is None


def test_duties_name_ufi_only_in_the_eu() -> None:
    """Art. 45 and Annex VIII: not in GB, and not for water hazards alone (from memory)."""
    rows = "a,2,Skin Sens. 1B"
    assert any("UFI" in duty for duty in printed(rows).duties)
    assert not any("UFI" in duty for duty in printed(rows, law=Law.GB).duties)
    assert not any("UFI" in duty for duty in printed("a,30,Aquatic Chronic 2").duties)
    assert not any("tactile" in duty for duty in printed(rows).duties)
    assert any("tactile" in duty for duty in printed("a,0.3,Repr. 2\nb,3,Repr. 2").duties)
