import pytest

from rushlight.errors import BadInput
from rushlight.hazard.certificate import Certificate, Standing, read_certificate
from rushlight.hazard.uselimit import use_limit
from rushlight.quantity.si import Fraction1


def certificate(limit: str, oil: str = "oil") -> Certificate:
    """Return a current certificate for candles."""
    return read_certificate(oil, {"limit": limit, "category": "12", "amendment": "51st"})


@pytest.mark.parametrize(
    ("typed", "standing"),
    [
        ("7.5 %", Standing.NUMBER),
        ("100 %", Standing.NO_RESTRICTION),
        ("no restriction", Standing.NO_RESTRICTION),
        ("not permitted", Standing.NOT_PERMITTED),
        ("", Standing.UNKNOWN),
    ],
)
def test_four_states_stay_distinct(typed: str, standing: Standing) -> None:
    """A number, no restriction, not permitted and unknown are four different answers."""
    assert certificate(typed).standing is standing


def test_a_certificate_without_its_category_is_a_problem() -> None:
    """A limit means nothing without the category it was given for."""
    with pytest.raises(BadInput) as bad:
        read_certificate("oil", {"limit": "7.5 %"})
    assert [problem.place for problem in bad.value.problems] == ["category", "amendment"]


@pytest.mark.parametrize(
    ("typed", "place"),
    [
        ({"limit": "5", "category": "11", "amendment": "48"}, "amendment"),
        ({"limit": "5", "category": "4", "amendment": "51"}, "category"),
        ({"limit": "lots", "category": "12", "amendment": "51"}, "limit"),
        ({"limit": "5", "category": "12", "amendment": "new"}, "amendment"),
        ({"limit": "120 %", "category": "12", "amendment": "51"}, "limit"),
    ],
)
def test_what_cannot_be_compared_is_refused(typed: dict[str, str], place: str) -> None:
    """Categories before the 49th amendment were numbered otherwise; others are not candles."""
    with pytest.raises(BadInput) as bad:
        read_certificate("oil", typed)
    assert place in {problem.place for problem in bad.value.problems}


def test_two_oils_share_one_limit_by_the_sum_rule() -> None:
    """5 % of a 10 % limit and 3 % of a 6 % limit use all of it: Σ load/limit = 1 (arithmetic)."""
    held = {"a": certificate("10 %", "a"), "b": certificate("6 %", "b")}
    full = use_limit({"a": Fraction1(0.05), "b": Fraction1(0.03)}, held)
    assert full.used == pytest.approx(1.0)
    assert not full.over
    assert full.largest == pytest.approx(0.08)
    assert use_limit({"a": Fraction1(0.05), "b": Fraction1(0.031)}, held).over


def test_the_worst_standing_speaks_for_the_blend() -> None:
    """One oil not permitted or unknown leaves nothing to add up."""
    shares = {"a": Fraction1(0.01), "b": Fraction1(0.01)}
    banned = use_limit(shares, {"a": certificate("5"), "b": certificate("0", "b")})
    assert (banned.standing, banned.over) == (Standing.NOT_PERMITTED, True)
    unknown = use_limit(shares, {"a": certificate("5")})
    assert (unknown.standing, unknown.over, unknown.largest) == (Standing.UNKNOWN, False, None)
    assert "ask the supplier" in unknown.words
    free = use_limit(shares, {"a": certificate("100 %"), "b": certificate("100 %", "b")})
    assert "nothing of classification" in free.words
    assert use_limit({}, {}).used == 0.0


def test_no_verdict_promises_too_much() -> None:
    """Never "complies" or "safe"."""
    words = use_limit({"a": Fraction1(0.05)}, {"a": certificate("10 %")}).words.lower()
    assert "50 %" in words
    assert "compl" not in words
    assert "safe" not in words
