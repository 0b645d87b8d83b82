"""What a US household label says: the elements of 15 USC 1261(p), from memory."""

import pytest

from rushlight.errors import BadInput
from rushlight.hazard.mixture import Part, of_parts
from rushlight.hazard.oil import SafetySheet
from rushlight.hazard.paste import read_rows
from rushlight.hazard.us_caution import caution, kinds
from rushlight.hazard.us_consumer import UsConsumer, us_consumer
from rushlight.quantity.si import Fraction1


def consumer(rows: str = "", load: float = 0.08) -> UsConsumer:
    """Return the FHSA view of a candle of one oil."""
    sheet = SafetySheet(name="o", components=read_rows(rows).check() if rows else ())
    return us_consumer(of_parts("c", [Part(sheet, Fraction1(load))]))


def test_a_listed_sensitizer_is_named_without_being_asked() -> None:
    """Oil of bergamot from 2 % of the product on (16 CFR 1500.13, from memory)."""
    said = caution(consumer("Bergamot oil,8007-75-8,25,H317"))
    assert said.signal == "WARNING"
    assert said.hazards == ("MAY CAUSE ALLERGIC SKIN REACTION",)
    assert said.contains == "Contains: oil of bergamot."
    assert "Avoid contact with skin." in said.precautions[0]
    assert said.first_aid.startswith("FIRST AID: If on skin")
    assert said.children == "KEEP OUT OF REACH OF CHILDREN."
    assert "licensed practice decide" in said.aid


@pytest.mark.parametrize(
    ("chosen", "signal"),
    [
        (("skin irritant",), "CAUTION"),
        (("skin irritant", "flammable"), "WARNING"),
        (("flammable", "extremely flammable", "eye irritant"), "DANGER"),
    ],
)
def test_the_gravest_signal_word_of_all_is_printed(chosen: tuple[str, ...], signal: str) -> None:
    """DANGER for extremely flammable (a state copy of the Act); never two words."""
    said = caution(consumer(), chosen=chosen, components=("linalool",))
    assert said.signal == signal
    assert len(said.hazards) == len(chosen)


def test_what_two_hazards_share_is_said_once() -> None:
    """The same precaution twice would only make the letters smaller."""
    said = caution(consumer(), chosen=("sensitizer", "skin irritant"), components=("x", "x"))
    assert len(said.precautions) == 1
    assert said.contains == "Contains: x."


def test_every_kind_has_its_statements() -> None:
    """A hazard in capitals, a precaution, a signal word of the three."""
    for kind in kinds():
        said = caution(consumer(), chosen=(kind,), components=("x",))
        assert said.hazards[0].isupper()
        assert said.precautions[0].endswith(".")
        assert said.signal in {"DANGER", "WARNING", "CAUTION"}


def test_a_hazard_is_never_made_up() -> None:
    """Adding up ingredients settles nothing under the FHSA; all that is missing is said."""
    with pytest.raises(BadInput) as bad:
        caution(consumer("Linalool,78-70-6,80,H317"))
    assert [problem.place for problem in bad.value.problems] == ["hazards", "components"]
    with pytest.raises(BadInput, match="no statement for “gnomes”"):
        caution(consumer(), chosen=("gnomes",), components=("x",))
