"""Safety data sheets, certificates and their files, and what a candle must say for them."""

from __future__ import annotations

import time

import pytest
from sqlalchemy.exc import IntegrityError

from rushlight.candle.sheet import Role
from rushlight.errors import BadInput, NotFound, Refused
from rushlight.hazard.certificate import Standing
from rushlight.hazard.law import Law
from rushlight.hazard.statements import Language
from rushlight.workshop import Workshop, candles, hazards, materials, settings, undo

ROWS = (
    "name;cas;range;classes\n"
    "Linalool;78-70-6;20 - 30 %;Skin Sens. 1B\n"
    "d-Limonene;5989-27-5;1 - 2 %;Skin Sens. 1B"
)
PDF = b"%PDF-1.7\n1 0 obj"
PNG = b"\x89PNG\r\n\x1a\n" + b"\0" * 20
JPEG = b"\xff\xd8\xff\xe0" + b"\0" * 20
NUMBER = {"limit": "12 %", "category": "12", "amendment": "51"}
OIL = "elderflower"  # in the demonstration it has neither sheet nor certificate


def places(bad: pytest.ExceptionInfo[BadInput]) -> list[str]:
    """Return where the problems are."""
    return [problem.place for problem in bad.value.problems]


def test_a_sheet_is_kept_as_typed_and_as_read(shop: Workshop) -> None:
    """What was pasted comes back word for word, beside what was understood of it."""
    typed = {"rows": ROWS, "flash_point": "93 C", "dated": "2026-01-02", "supplier": "Nobody"}
    view = hazards.save_sheet(shop, OIL, typed)
    assert view.typed == typed
    assert view.sheet is not None
    assert [c.cas for c in view.sheet.components] == ["78-70-6", "5989-27-5"]
    assert view.sheet.flash_point == pytest.approx(366.15)
    assert view.saved_at == shop.now()
    assert hazards.sheet(shop, OIL) == view


def test_a_newer_sheet_counts_and_undo_brings_the_older_back(shop: Workshop) -> None:
    """Every version stays in the record; undoing one is a compensating entry."""
    hazards.save_sheet(shop, OIL, {"rows": ROWS, "dated": "one"})
    hazards.save_sheet(shop, OIL, {"rows": ROWS, "dated": "two"})
    last = undo.latest(shop, f"sheet:{OIL}")
    assert last is not None
    undone = undo.undo(shop, last.id)
    assert hazards.sheet(shop, OIL).typed["dated"] == "one"
    undo.undo(shop, undone.id)
    assert hazards.sheet(shop, OIL).typed["dated"] == "two"


def test_a_sheet_can_be_taken_away_and_that_can_be_undone(shop: Workshop) -> None:
    """Then the oil's hazards are unknown again, not those of an older sheet."""
    hazards.save_sheet(shop, OIL, {"rows": ROWS, "dated": "one"})
    hazards.save_sheet(shop, OIL, {"rows": ROWS, "dated": "two"})
    gone = hazards.clear_sheet(shop, OIL)
    assert (gone.sheet, gone.typed, gone.saved_at) == (None, {}, None)
    last = undo.latest(shop, f"sheet:{OIL}")
    assert last is not None
    undo.undo(shop, last.id)
    assert hazards.sheet(shop, OIL).typed["dated"] == "two"


def test_the_same_sheet_twice_is_one_entry(shop: Workshop) -> None:
    """Saving a form unchanged leaves no deed behind."""
    hazards.save_sheet(shop, OIL, {"rows": ROWS})
    before = undo.listing(shop, limit=1)[0]
    hazards.save_sheet(shop, OIL, {"rows": ROWS})
    assert undo.listing(shop, limit=1)[0] == before


def test_a_key_used_twice_saves_once(shop: Workshop) -> None:
    """A form sent again by a shaky connection changes nothing."""
    hazards.save_sheet(shop, OIL, {"rows": ROWS, "dated": "one"}, key="k")
    hazards.save_sheet(shop, OIL, {"rows": ROWS, "dated": "two"}, key="k")
    assert hazards.sheet(shop, OIL).typed["dated"] == "one"


def test_every_problem_of_a_sheet_is_said_in_its_place(shop: Workshop) -> None:
    """Wrong CAS digits, a reversed range, an unknown class, a flash point without a unit."""
    rows = "Linalool;78-70-7;30 - 20 %;Skin Sens. 9"
    with pytest.raises(BadInput) as bad:
        hazards.save_sheet(shop, OIL, {"rows": rows, "flash_point": "93"})
    assert {"rows.0.cas", "rows.0.range", "rows.0.classes", "flash_point"} <= set(places(bad))
    assert hazards.sheet(shop, OIL).sheet is None


@pytest.mark.parametrize(
    ("typed", "place"),
    [
        ({"rows": "x" * 300_000}, "rows"),
        ({"rows": ROWS, "supplier": "x" * 300}, "supplier"),
        ({"rows": ROWS, "supplier": "a\x00b"}, "supplier"),
        ({"rows": ROWS, "colour": "red"}, "colour"),
        ({"rows": ROWS, "dated": ["2026"]}, "dated"),
        ({"supplier": "Nobody"}, "rows"),
    ],
)
def test_what_cannot_be_a_sheet_is_refused_in_place(
    shop: Workshop, typed: dict[str, object], place: str
) -> None:
    """A huge paste, an unknown field, a null character, a list: nothing of it is kept."""
    with pytest.raises(BadInput) as bad:
        hazards.save_sheet(shop, OIL, typed)
    assert place in places(bad)
    assert hazards.sheet(shop, OIL).typed == {}


def test_an_empty_form_takes_the_sheet_away(shop: Workshop) -> None:
    """Every field blank: as if it were cleared."""
    hazards.save_sheet(shop, OIL, {"rows": ROWS})
    assert hazards.save_sheet(shop, OIL, {"rows": " ", "dated": ""}).sheet is None


def test_formula_text_is_only_text(shop: Workshop) -> None:
    """A name that a spreadsheet would run is kept, letter for letter, and nothing happens."""
    name = "=cmd|' /C calc'!A0"
    view = hazards.save_sheet(shop, OIL, {"rows": f"{name};;5 %;Skin Sens. 1"})
    assert view.sheet is not None
    assert view.sheet.components[0].name == name


def test_a_huge_paste_is_looked_at_without_being_read() -> None:
    """The preview says how long it is, quickly."""
    began = time.perf_counter()
    found = hazards.preview("x;" * 2_000_000)
    assert time.perf_counter() - began < 0.5
    assert [problem.place for problem in found.problems] == ["rows"]


def test_only_what_goes_into_the_candle_takes_a_sheet(shop: Workshop) -> None:
    """A vessel has no section 3."""
    with pytest.raises(BadInput):
        hazards.save_sheet(shop, "harbour-tumbler", {"rows": ROWS})
    with pytest.raises(NotFound):
        hazards.save_sheet(shop, "no-such-oil", {"rows": ROWS})


@pytest.mark.parametrize(
    ("limit", "standing", "number"),
    [
        ("12 %", Standing.NUMBER, 0.12),
        ("no restriction", Standing.NO_RESTRICTION, None),
        ("not permitted", Standing.NOT_PERMITTED, None),
        ("unknown", Standing.UNKNOWN, None),
    ],
)
def test_a_certificate_has_four_states(
    shop: Workshop, limit: str, standing: Standing, number: float | None
) -> None:
    """Each is kept, and read back, as what it is."""
    typed = {"limit": limit, "category": "12", "amendment": "51", "issued": "2026-01-14"}
    view = hazards.save_certificate(shop, OIL, typed)
    assert (view.certificate.standing, view.certificate.limit) == (standing, number)
    assert view.certificate_typed == typed
    line = next(line for line in hazards.listing(shop) if line.material == OIL)
    assert line.standing is standing


def test_a_certificate_needs_its_category(shop: Workshop) -> None:
    """A limit without its category says nothing of candles."""
    with pytest.raises(BadInput) as bad:
        hazards.save_certificate(shop, OIL, {"limit": "12 %", "amendment": "51"})
    assert places(bad) == ["category"]
    assert hazards.clear_certificate(shop, OIL).certificate.standing is Standing.UNKNOWN


@pytest.mark.parametrize(
    ("content", "media", "name"),
    [
        (PDF, "application/pdf", "sheet.pdf"),
        (PNG, "image/png", "sheet.png"),
        (JPEG, "image/jpeg", "sheet.jpg"),
    ],
)
def test_the_sheet_itself_is_kept_by_what_its_bytes_say(
    shop: Workshop, content: bytes, media: str, name: str
) -> None:
    """The name's ending is set to what the file is, and no path stays in it."""
    line = hazards.attach(shop, OIL, "../../C:\\temp\\sheet", content)
    assert (line.media, line.name, line.size) == (media, name, len(content))
    kept = hazards.attachment(shop, line.id)
    assert kept.content == content
    assert kept.line == line
    assert hazards.sheet(shop, OIL).attachments == (line,)


@pytest.mark.parametrize(
    "content",
    [
        b"",
        b"<html><script>alert(1)</script>",
        b"\x00%PDF-1.7",
        b"MZ\x90\x00",
        b"GIF89a",
        b"<svg xmlns='http://www.w3.org/2000/svg'/>",
    ],
)
def test_what_is_no_pdf_or_picture_is_refused(shop: Workshop, content: bytes) -> None:
    """Whatever its name says; nothing that could act is ever kept."""
    with pytest.raises(BadInput) as bad:
        hazards.attach(shop, OIL, "sheet.pdf", content)
    assert places(bad) == ["file"]


def test_fifty_megabytes_are_refused_with_the_limit(shop: Workshop) -> None:
    """The workshop is one file that she backs up: sheets in it stay small."""
    with pytest.raises(BadInput, match="10 MB") as bad:
        hazards.attach(shop, OIL, "sheet.pdf", PDF + b"\0" * 50_000_000)
    assert places(bad) == ["file"]


def test_one_file_is_kept_once_and_can_be_taken_away(shop: Workshop) -> None:
    """The same bytes again give the same entry; taking away can be undone."""
    first = hazards.attach(shop, OIL, "a.pdf", PDF)
    assert hazards.attach(shop, OIL, "b.pdf", PDF) == first
    hazards.detach(shop, first.id)
    with pytest.raises(NotFound):
        hazards.attachment(shop, first.id)
    last = undo.latest(shop, f"attachment:{first.id}")
    assert last is not None
    undo.undo(shop, last.id)
    assert hazards.attachment(shop, first.id).content == PDF
    with pytest.raises(NotFound):
        hazards.attachment(shop, 10**30)


def test_a_hostile_name_is_made_plain(shop: Workshop) -> None:
    """No markup, no control characters, no endless name."""
    name = '"><script>\n\x1b[31m' + "x" * 500 + ".html"
    line = hazards.attach(shop, OIL, name, PDF)
    assert not set('<>"/\\\n\x1b') & set(line.name)
    assert line.name.endswith(".pdf")
    assert len(line.name) < 120


def test_the_review_of_a_candle_joins_all_it_is_made_of(shop: Workshop) -> None:
    """By slug or as a document; by the workshop's law and language unless told otherwise."""
    found = hazards.review(shop, "slipway")
    assert found.law is Law.GB
    assert [line.code for line in found.label.hazards][:1] == ["H317"]
    assert found.use_limit.standing is Standing.NUMBER
    document = candles.get(shop, "slipway").document
    german = hazards.review(shop, document, Law.EU, language=Language.DE)
    assert (german.law, german.label.signal) == (Law.EU, "Achtung")
    jar = candles.sheet(shop, document).jar
    assert hazards.review_jar(shop, document, jar) == found


def test_what_has_no_sheet_is_said_to_be_unknown(shop: Workshop) -> None:
    """An unlabelled allergen is never passed over in silence."""
    found = hazards.review(shop, "strawberry-bank")
    assert any("Elderflower" in note for note in found.classification.notes)
    assert found.use_limit.standing is Standing.UNKNOWN
    hazards.save_sheet(shop, OIL, {"rows": ROWS})
    again = hazards.review(shop, "strawberry-bank")
    assert not any("no safety data sheet" in note for note in again.classification.notes)


def test_a_document_may_carry_its_own_sheet(shop: Workshop) -> None:
    """It goes before what is kept with the material, and its problems have their place."""
    document = candles.get(shop, "slipway").document
    oils = [dict(oil) for oil in document["fragrance"]["oils"]]
    oils[0]["sheet"] = {"rows": "Citral;5392-40-5;90 %;Skin Sens. 1A"}
    changed = {**document, "fragrance": {**document["fragrance"], "oils": oils}}
    assert "Citral" in hazards.review(shop, changed).label.names
    oils[0]["sheet"] = {"rows": "Citral;5392-40-6;90 %;Skin Sens. 1A"}
    with pytest.raises(BadInput) as bad:
        hazards.review(shop, changed)
    assert places(bad) == ["fragrance.oils.0.sheet.rows.0.cas"]
    oils[0]["sheet"] = "rows.csv"
    with pytest.raises(BadInput) as bad:
        hazards.review(shop, changed)
    assert places(bad) == ["fragrance.oils.0.sheet"]


def test_a_material_by_another_name_in_the_candle_keeps_its_sheet(shop: Workshop) -> None:
    """`use` names the material; `name` is only what this candle calls it."""
    document = candles.get(shop, "slipway").document
    oils = [dict(oil) for oil in document["fragrance"]["oils"]]
    oils[0]["name"] = "The salty one"
    changed = {**document, "fragrance": {**document["fragrance"], "oils": oils}}
    found = hazards.review(shop, changed)
    assert found.classification.codes == hazards.review(shop, "slipway").classification.codes
    assert not any("The salty one" in n for n in found.classification.notes if "no safety" in n)


def test_an_oil_and_a_dye_of_one_name_keep_their_own_sheets(shop: Workshop) -> None:
    """What is kept of the one is never taken for the other's."""
    rows = {
        "fragrance": "Linalool;78-70-6;90 %;Skin Sens. 1B",
        "dye": "Citral;5392-40-5;90 %;Skin Sens. 1B",
    }
    for role, said in rows.items():
        made = materials.save(shop, None, {"role": role, "name": "Dog rose"})
        hazards.save_sheet(shop, made.slug, {"rows": said})
        if role == "dye":
            hazards.save_certificate(shop, made.slug, {**NUMBER, "limit": "not permitted"})
        else:
            hazards.save_certificate(shop, made.slug, NUMBER)
    document = {
        **candles.get(shop, "slipway").document,
        "fragrance": {
            "load": "8 %",
            "basis": "of wax",
            "oils": [{"use": "Dog rose", "density": "0.95 g/ml", "parts": "1"}],
        },
        "dyes": [{"use": "Dog rose", "percent": "0.2 %"}],
    }
    found = hazards.review(shop, document)
    shares = {i.name: i.share for i in found.classification.mixture.ingredients}
    of_all = {line.role: line.of_total for line in candles.sheet(shop, document).jar.lines}
    assert shares["Linalool"] == pytest.approx(0.9 * of_all[Role.FRAGRANCE])
    assert shares["Citral"] == pytest.approx(0.9 * of_all[Role.DYE])
    assert found.use_limit.standing is Standing.NUMBER


def test_the_review_is_quick_enough_to_be_live(shop: Workshop) -> None:
    """Under 30 ms on the candle's sheet, at its best of a few."""
    document = candles.get(shop, "slipway").document
    jar = candles.sheet(shop, document).jar
    hazards.review_jar(shop, document, jar)
    times = []
    for _ in range(15):
        began = time.perf_counter()
        hazards.review_jar(shop, document, jar)
        times.append(time.perf_counter() - began)
    assert min(times) < 0.030


def test_a_us_maker_is_not_shown_pictograms_unless_she_asks(shop: Workshop) -> None:
    """The setting decides; elsewhere they are always shown."""
    assert settings.current(shop).labels.pictograms
    assert not settings.change(shop, {"law": "US"}).labels.pictograms
    assert settings.change(shop, {"pictograms": "yes"}).labels.pictograms
    assert hazards.review(shop, "slipway").consumer is not None


def test_label_settings_are_refused_when_they_are_not_a_choice(shop: Workshop) -> None:
    """A law, a language, a system there is not."""
    wrong = {"law": "MARS", "label_language": "xx", "net_quantity": "stones", "below_t1": "9 %"}
    with pytest.raises(BadInput) as bad:
        settings.change(shop, wrong)
    assert set(places(bad)) == set(wrong)


@pytest.mark.parametrize(
    "statement",
    [
        "UPDATE datasheet SET typed = '{}'",
        "DELETE FROM datasheet",
        "UPDATE certificate SET typed = '{}'",
        "UPDATE attachment SET content = content",
        "DELETE FROM attachment",
    ],
)
def test_the_store_itself_refuses_to_rewrite_a_sheet(shop: Workshop, statement: str) -> None:
    """By hand, with SQL: what was once typed, and what was attached, stays."""
    hazards.attach(shop, OIL, "a.pdf", PDF)
    with (
        pytest.raises(IntegrityError, match="never changes"),
        shop.store.unit_of_work() as connection,
    ):
        connection.exec_driver_sql(statement)


def test_a_deed_under_a_later_one_is_not_undone(shop: Workshop) -> None:
    """Undoing the first of two sheets would leave the second standing on nothing said."""
    hazards.save_sheet(shop, OIL, {"rows": ROWS, "dated": "one"})
    first = undo.latest(shop, f"sheet:{OIL}")
    hazards.save_sheet(shop, OIL, {"rows": ROWS, "dated": "two"})
    assert first is not None
    with pytest.raises(Refused, match="later"):
        undo.undo(shop, first.id)
