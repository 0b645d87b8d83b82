from __future__ import annotations

from decimal import Decimal

import pytest
from hypothesis import HealthCheck, given
from hypothesis import settings as how
from hypothesis import strategies as st

from rushlight.errors import BadInput
from rushlight.workshop import Workshop, settings, undo


def test_an_empty_workshop_has_usable_settings(empty: Workshop) -> None:
    """Every default parses, and nothing says that the data is invented."""
    found = settings.current(empty)
    assert not found.demo
    assert found.preference.currency == "GBP"
    assert {field.key for field in settings.fields()} == set(found.typed)
    assert {step.per for step in found.labour} == {"batch", "jar"}


def test_what_is_typed_is_kept_as_typed_and_used_in_si(empty: Workshop) -> None:
    """Ounces stay ounces on the form: 8 oz is 0.2267961850 kg (exact, NIST Handbook 44 App. C)."""
    found = settings.change(empty, {"melter_capacity": " 8 oz ", "labour_rate": "14.25"})
    assert found.typed["melter_capacity"] == "8 oz"
    assert found.melter_capacity == pytest.approx(0.226796185, rel=1e-12)
    assert found.labour_rate == Decimal("14.25")


def test_every_problem_is_said_at_its_field_and_nothing_is_kept(empty: Workshop) -> None:
    """Three slips at once are three problems; the good field beside them waits."""
    with pytest.raises(BadInput) as caught:
        settings.change(
            empty, {"room": "190 C", "paper": "A3", "spill": "8", "name": "Kept for later"}
        )
    assert {problem.place for problem in caught.value.problems} == {"room", "paper", "spill"}
    assert settings.current(empty).name != "Kept for later"


def test_an_unknown_setting_is_a_problem(empty: Workshop) -> None:
    """No form may mark a workshop as a demonstration, or invent a setting."""
    with pytest.raises(BadInput, match="not a field"):
        settings.change(empty, {"demo": "yes"})


def test_a_change_can_be_undone(empty: Workshop) -> None:
    """The settings are as before, defaults included."""
    before = settings.current(empty)
    settings.change(empty, {"currency": "EUR", "decimal": ","})
    done = undo.latest(empty, "settings")
    assert done is not None
    assert "Currency" in done.said
    undo.undo(empty, done.id)
    assert settings.current(empty) == before


def test_the_same_form_sent_twice_changes_once(empty: Workshop) -> None:
    """The key of the first time decides, not what stands in the second form."""
    settings.change(empty, {"name": "One"}, key="k")
    assert settings.change(empty, {"name": "Two"}, key="k").name == "One"


@how(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(
    st.dictionaries(
        st.sampled_from([field.key for field in settings.fields()]), st.text(max_size=30)
    )
)
def test_whatever_is_typed_is_taken_or_explained(empty: Workshop, typed: dict[str, str]) -> None:
    """Any text in any field: either it is kept and parses again, or problems name its fields."""
    bad = _change(empty, typed)
    if bad is None:
        settings.current(empty)
        return
    assert bad.problems
    places = {problem.place.rsplit(".", 1)[0] for problem in bad.problems}
    assert places <= {key.rsplit(".", 1)[0] for key in typed}


def _change(shop: Workshop, typed: dict[str, str]) -> BadInput | None:
    try:
        settings.change(shop, typed)
    except BadInput as bad:
        return bad
    return None
