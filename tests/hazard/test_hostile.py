"""Whatever is typed or pasted, the answer is a result or a problem, never a crash."""

from contextlib import suppress
from math import isfinite

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rushlight.errors import BadInput
from rushlight.hazard.cas import read_cas
from rushlight.hazard.cells import read_ates, read_limits, read_m
from rushlight.hazard.certificate import read_certificate
from rushlight.hazard.codes import read_classes
from rushlight.hazard.netcontents.weights import read_weights
from rushlight.hazard.paste import read_rows
from rushlight.hazard.ranges import read_limit, read_range
from rushlight.hazard.typed import read_sheet

SCRAPS = st.sampled_from(
    ["name", "CAS", "range", ",", ";", "\t", "\n", '"', "%", "-", "–", "<", "≥", "5", "120", "0.1",
     "78-70-6", "H317", "Skin Sens. 1B", "Acute Tox.", "STOT SE 3", "M=10", "oral", "unknown",
     "9" * 400, "nan", "1e999", "\x00", "²", "٣", "\r", "\u2028", "C"]
)  # fmt: skip
TEXT = st.one_of(st.text(max_size=60), st.lists(SCRAPS, max_size=30).map("".join))


@given(TEXT)
def test_pasted_text_is_read_or_refused_in_place(text: str) -> None:
    """Either components come out, or problems that each have a place and a remedy."""
    pasted = read_rows(text)
    assert pasted.text == text
    assert pasted.problems or pasted.components
    for problem in pasted.problems:
        assert problem.place.startswith("rows")
        assert problem.remedy
    for component in pasted.components:
        assert 0.0 <= component.low <= component.high <= 1.0


@given(TEXT)
def test_single_cells_are_read_or_refused(text: str) -> None:
    """Only BadInput ever comes out of a reader."""
    for reader in (read_cas, read_classes, read_range, read_limit, read_m, read_ates, read_limits):
        with suppress(BadInput):
            reader(text)
    with suppress(BadInput):
        read_certificate("oil", {"limit": text, "category": text, "amendment": text})
    with suppress(BadInput):
        read_sheet("oil", {"rows": "A,,5", "flash_point": text, "viscosity": text, "ph": text})


@given(TEXT)
def test_weights_are_finite_or_refused(text: str) -> None:
    """A pasted column never yields infinities."""
    assert all(isfinite(mass) for mass in read_weights(text).masses)


@pytest.mark.parametrize("typed", ["nan", "inf", "1e999", "-1", "9" * 400])
def test_numbers_that_are_none_are_refused(typed: str) -> None:
    """PH and viscosity take plain figures only."""
    with pytest.raises(BadInput):
        read_sheet("oil", {"rows": "A,,5", "ph": typed})
    with pytest.raises(BadInput):
        read_sheet("oil", {"rows": "A,,5", "viscosity": f"{typed} mm2/s"})


def test_a_flash_point_below_something_is_no_figure() -> None:
    """Less than 60 °C could be anything down to room temperature."""
    with pytest.raises(BadInput, match="how low"):
        read_sheet("oil", {"rows": "A,,5", "flash_point": "< 60 C"})
