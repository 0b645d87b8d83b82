"""Which substances a label names: usually four are enough, sensitisers always."""

from rushlight.hazard.classify import Classification, classify
from rushlight.hazard.law import Law
from rushlight.hazard.mixture import Form, Part, of_parts
from rushlight.hazard.names import USUALLY, names
from rushlight.hazard.oil import SafetySheet
from rushlight.hazard.paste import read_rows
from rushlight.quantity.si import Fraction1


def found(rows: str) -> Classification:
    """Return the classification of a mixture with these percentages."""
    sheet = SafetySheet(name="oil", components=read_rows("name,range,classes\n" + rows).check())
    return classify(of_parts("mix", [Part(sheet, Fraction1(1.0))], form=Form.LIQUID), Law.EU)


def test_four_names_are_usually_enough() -> None:
    """CLP Art. 18(3)(b), from memory: of six behind one hazard four are named, the rest listed."""
    made = names(found("\n".join(f"s{i},5,Acute Tox. 4 (oral)" for i in range(40, 46))))
    assert len(made.printed) == USUALLY
    assert len(made.left) == 2
    assert not set(made.printed) & set(made.left)


def test_sensitisers_are_named_however_many_they_are() -> None:
    """CLP Annex II 2.8: the exception; six sensitisers are six names and nothing is left."""
    made = names(found("\n".join(f"s{i},2,Skin Sens. 1" for i in range(6))))
    assert len(made.printed) == 6
    assert made.left == ()


def test_each_other_hazard_has_its_substance_beside_the_sensitisers() -> None:
    """Five sensitisers use up the four, and a carcinogen is still named: severity asks for it."""
    rows = "\n".join(f"s{i},2,Skin Sens. 1" for i in range(5))
    made = names(found(rows + "\nbad,1,Carc. 1B\nworse,0.5,Carc. 1B"))
    assert made.printed[:5] == tuple(f"s{i}" for i in range(5))
    assert made.printed[5:] == ("bad",)
    assert made.left == ("worse",)


def test_irritants_and_pollutants_are_not_named() -> None:
    """They are not among the hazards of Art. 18(3)(b)."""
    made = names(found("a,30,Skin Irrit. 2\nb,30,Aquatic Chronic 1"))
    assert made.printed == ()
