"""From a batch to the words and figures of its pour sheet."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Callable
from decimal import Decimal

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from rushlight.candle.sheet import BatchSheet
from rushlight.press.pour_sheet import PourSheetData
from rushlight.press.pour_sheet_from import from_batch, shown_weighings
from rushlight.quantity.show import METRIC, US, Preference

DAY = dt.date(2026, 5, 2)


def figure(text: str) -> Decimal:
    """Return a shown mass as a number in its smallest unit: g, or oz with lb as 16."""
    pounds = re.search(r"([\d\u00a0]+) lb", text)
    last = re.search(r"([\d\u00a0,.]+) (?:g|oz)$", text)
    assert last, text
    number = Decimal(last.group(1).replace("\u00a0", "").replace(",", "."))
    return number + 16 * Decimal(pounds.group(1) if pounds else 0)


def weights(sheet: BatchSheet, pref: Preference) -> tuple[list[str], list[str], str, str]:
    """Return the shown weights of a pot and of all pots, and their shown totals."""
    weighings, pot_total, total = shown_weighings(sheet, pref)
    each = [w.target if w.target.endswith((" g", " oz")) else w.beside for w in weighings]
    shown = [(w, t) for w, t in zip(each, [w.total for w in weighings], strict=True) if t != "–"]
    return [w for w, _ in shown], [t for _, t in shown], pot_total, total


@settings(suppress_health_check=[HealthCheck.function_scoped_fixture], deadline=None)
@given(
    jars=st.integers(min_value=1, max_value=400),
    capacity=st.sampled_from(["800 g", "2 kg", "5 lb", "20 kg"]),
    readability=st.sampled_from(["0.01 g", "0.1 g", "1 g", "5 g", "0.1 oz", "1/8 oz"]),
    pref=st.sampled_from([METRIC, US, Preference(decimal=",")]),
)
def test_what_stands_on_the_paper_adds_up(
    sheet: Callable[..., BatchSheet], jars: int, capacity: str, readability: str, pref: Preference
) -> None:
    """Down to the total of a pot, across to all pots, in grams and in ounces alike."""
    made = sheet(batch={"jars": jars, "capacity": capacity, "readability": readability})
    each, every, pot_total, total = weights(made, pref)
    assert sum(map(figure, each)) == figure(pot_total)
    assert sum(map(figure, every)) == figure(total)
    assert figure(pot_total) * made.pots == figure(total)
    assert all(figure(e) * made.pots == figure(t) for e, t in zip(each, every, strict=True))


def test_the_sheet_carries_what_identifies_it(data: Callable[..., PourSheetData]) -> None:
    """Candle, revision, date, pour; and the day on which a week's cure is over."""
    made = data()
    assert made.title == "Slipway"
    assert {fact.name: fact.value for fact in made.meta} == {
        "Revision": "3",
        "Date": "Saturday 2 May 2026",
        "Pour": "17",
    }
    # soy cures about a week (common practice)
    assert next(s for s in made.heat.steps if s.name == "Cure until").aim == "9 May 2026"


def test_what_is_not_known_is_left_out(sheet: Callable[..., BatchSheet]) -> None:
    """A sheet from a candle file has no revision and no pour number."""
    made = from_batch(sheet(), METRIC, created=DAY)
    assert [fact.name for fact in made.meta] == ["Date"]


def test_a_dye_counted_in_drops_is_told_in_drops(data: Callable[..., PourSheetData]) -> None:
    """The count is what she does; the weight stands beside it."""
    dye = next(w for w in data().weighings if w.role == "dye")
    assert dye.target.endswith(" drops")
    assert dye.beside.endswith(" g")


def test_too_little_for_the_scale_is_said_and_not_shown_as_nothing(
    sheet: Callable[..., BatchSheet],
) -> None:
    """0.2 g on a scale of 1 g would read 0 g."""
    made = sheet(dyes=[{"name": "Slate blue", "amount": "0.1 g", "per": "1 kg"}])
    dye = next(w for w in shown_weighings(made, METRIC)[0] if w.role == "dye")
    assert dye.target == "under 1 g"
    assert re.fullmatch(r"0\.\d+ g, for a finer scale", dye.beside)


def test_cautions_come_with_their_source_the_weightiest_first(
    data: Callable[..., PourSheetData],
) -> None:
    """The flash points are within 30 °F of 85 °C (29 CFR 1910.106(a)(19))."""
    cautions = data().cautions
    order = ["stop", "caution", "note"]
    places = [order.index(care.weight) for care in cautions]
    assert places == sorted(places)
    assert all(care.source for care in cautions)
    assert any("29 CFR 1910.106(a)(19)" in care.source for care in cautions)
    assert any("efrigerator" in care.what for care in cautions)
    assert any("Hot wax" in care.what for care in cautions)


def test_the_load_is_told_on_both_bases(data: Callable[..., PourSheetData]) -> None:
    """8 % of wax is 7.4 % of total: 8/108, less the dye's trace."""
    fragrance = next(f for f in data().facts if f.name == "Fragrance")
    assert fragrance.value == "8 % of wax, which is 7.4 % of total"


def test_what_goes_outside_the_jar_is_to_be_had_ready(data: Callable[..., PourSheetData]) -> None:
    """22 jars at 4 g each are 88 g; vessels and wicks are counted."""
    ready = [fact.value for fact in data().ready]
    assert "88 g Lime wash, outside the jars" in ready
    assert "22 × straight tumbler" in ready
    assert "22 × cotton flat" in ready


def test_the_vessel_of_a_known_volume_alone_is_drawn_with_a_warning(
    sheet: Callable[..., BatchSheet],
) -> None:
    """Its heights are not to be trusted, and the sheet says so."""
    made = sheet(vessel={"name": "a jar", "brim": "8 fl oz", "material": "glass"})
    drawing = from_batch(made, METRIC, created=DAY).section
    assert made.jar.candle.vessel.shape_known is False
    assert "Only the volume is known" in drawing.note


def test_a_candle_without_fragrance_has_no_step_to_add_it(
    sheet: Callable[..., BatchSheet],
) -> None:
    """Nor a load, nor a flash point."""
    made = from_batch(sheet(fragrance={}), METRIC, created=DAY)
    steps = [step.name for step in made.heat.steps]
    assert steps == ["Melt and hold", "Stir", "Pour", "Cure until"]
    assert not {"Fragrance", "Flash point"} & {fact.name for fact in made.facts}


def test_several_wicks_are_said_where_one_is_drawn(sheet: Callable[..., BatchSheet]) -> None:
    """A half-section shows one."""
    made = from_batch(sheet(wick={"use": "cotton flat", "count": "3"}), METRIC, created=DAY)
    assert "One of 3 wicks is drawn." in made.section.note
    assert "66 × cotton flat, 3 to a jar" in [fact.value for fact in made.ready]


@pytest.mark.parametrize("day", [dt.date.max, dt.date.min])
def test_a_cure_beyond_the_calendar_is_told_as_a_time(
    sheet: Callable[..., BatchSheet], day: dt.date
) -> None:
    """A date typed as 9999-12-31 is odd, not a crash."""
    made = from_batch(sheet(), METRIC, created=day)
    cure = next(s for s in made.heat.steps if s.name == "Cure until")
    assert cure.aim == ("7 days" if day == dt.date.max else "8 Jan 1")
