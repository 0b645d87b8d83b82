"""EUH210, and the duties and figures of a label in its language."""

import pytest

from rushlight.hazard.classify import classify
from rushlight.hazard.label import Label, label
from rushlight.hazard.law import Law
from rushlight.hazard.mixture import Part, of_parts
from rushlight.hazard.oil import SafetySheet
from rushlight.hazard.paste import read_rows
from rushlight.hazard.statements import Language, duty, percentage, word
from rushlight.quantity.si import Fraction1


def printed(
    rows: str,
    *,
    audience: str = "trade",
    law: Law = Law.EU,
    language: Language = Language.EN,
) -> Label:
    """Return the label of a solid with these percentages."""
    read = read_rows("name,range,classes,limits,ate\n" + rows).check()
    sheet = SafetySheet(name="oil", components=read)
    found = classify(of_parts("mix", [Part(sheet, Fraction1(1.0))]), law)
    return label(found, audience=audience, language=language)


def codes(made: Label) -> list[str]:
    """Return the supplemental codes of a label."""
    return [line.code for line in made.supplemental]


@pytest.mark.parametrize(
    ("row", "called_for"),
    [
        ("a,0.01,Skin Sens. 1A", True),
        ("a,0.009,Skin Sens. 1A", False),
        ("a,0.1,Skin Sens. 1B", True),
        ("a,0.09,Skin Sens. 1B", False),
        ("a,0.1,Carc. 2", True),
        ("a,0.1,Repr. 2", True),
        ("a,0.1,Lact.", True),
        ("a,0.1,ED HH 2", True),
        ("a,1,Skin Irrit. 2", True),
        ("a,0.9,Skin Irrit. 2", False),
        ("a,1,Aquatic Chronic 3", True),
        ("a,5,Flam. Liq. 3", False),
        ("a,50,", False),
    ],
)
def test_a_sheet_on_request_for_the_trade(row: str, *, called_for: bool) -> None:
    """CLP Annex II, 2.10 (legal text): the limits for unclassified mixtures."""
    assert ("EUH210" in codes(printed(row))) is called_for


def test_a_tenth_of_a_specific_limit_calls_for_it_too() -> None:
    """CLP Annex II, 2.10: SCL 0.2 % of a sensitiser, so from 0.02 %."""
    row = "a,{},Skin Sens. 1,Skin Sens. 1: C >= 0.2 %"
    assert "EUH210" in codes(printed(row.format("0.02")))
    assert "EUH210" not in codes(printed(row.format("0.019")))


def test_the_public_never_sees_it_nor_does_a_classified_mixture() -> None:
    """A retail candle is for the general public; a classified mixture has a sheet anyway."""
    assert "EUH210" not in codes(printed("a,0.5,Skin Sens. 1B", audience="public"))
    assert "EUH210" not in codes(printed("a,2,Skin Sens. 1B"))
    assert "EUH210" not in codes(printed("a,0.5,Skin Sens. 1B", law=Law.US))
    reason = printed("a,0.5,Skin Sens. 1B").supplemental[-1].reason
    assert reason == "a: CLP Annex II, 2.10"


@pytest.mark.parametrize("language", Language)
def test_duties_are_said_in_the_language_of_the_label(language: Language) -> None:
    """The same duties, each in its own words, from memory."""
    made = printed("a,2,Skin Sens. 1B", audience="public", language=language)
    assert made.duties == tuple(duty(key, language) for key in ("supplier", "ufi", "sheet"))
    others = set(Language) - {language}
    assert all(
        made.duties != tuple(duty(k, o) for k in ("supplier", "ufi", "sheet")) for o in others
    )


def test_the_unknown_share_has_the_decimal_mark_of_its_language() -> None:
    """1.5 % is 1,5 % in German, French and Spanish."""
    assert percentage(0.015, Language.EN) == "1.5"
    assert {percentage(0.015, lang) for lang in set(Language) - {Language.EN}} == {"1,5"}
    row = "a,1.5,,,oral unknown"
    made = printed(row, audience="public", language=Language.DE)
    assert any("1,5 %" in line.text for line in made.supplemental)


@pytest.mark.parametrize("language", Language)
def test_the_words_of_a_quantity_are_there(language: Language) -> None:
    """Net weight and nominal quantity, in each language."""
    assert word("net", language)
    assert word("quantity", language)
