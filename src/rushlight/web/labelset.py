"""The labels asked for: which, how many, on which sheet, from which cell on."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any
from urllib.parse import urlencode

from rushlight.errors import BadInput, Problem
from rushlight.hazard.law import Law
from rushlight.hazard.statements import Language
from rushlight.hazard.us_caution import kinds as hazards
from rushlight.press.labels.design import Label, Shape, Words
from rushlight.press.labels.fire import Style, languages
from rushlight.press.labels.fit import check, every
from rushlight.press.labels.sheet import Sheet
from rushlight.press.labels.stock import sheets
from rushlight.press.paper import Paper
from rushlight.quantity import parse
from rushlight.web.declared import declared
from rushlight.web.drawing.cells import cells
from rushlight.web.labelled import LANGUAGES, LAWS
from rushlight.web.labelmakers import KINDS, Jar, around_the_jar, make, ticked
from rushlight.web.labelsheet import OWN, WRAP, Stock, stock_of
from rushlight.web.render import by_place
from rushlight.web.workbench import Blank
from rushlight.workshop import netweights, pours, settings
from rushlight.workshop.stores.views import JarLotLine

MOST = 1000  # labels of one kind
ON_A_STRIP = ("front", "fire", "hazard")
PLACES = {
    "front": ("count", "name", "kind", "maker", "net"),
    "fire": ("count", "language", "style", "trim"),
    "hazard": ("count", "law", "language", "supplier", "quantity", "ufi"),
    "caution": ("count", "hazards", "contains", "maker"),
    "lot": ("count", "number", "date", "name", "code", "gtin"),
    "barcode": ("count", "gtin", "text"),
    "qr": ("count", "qr", "text"),
}
_SAME = {"net weight": "net", "product": "count", "lot": "number", "components": "contains"}
ROOMY = 45.0  # mm; a label this large holds a front with its net weight


@dataclass(frozen=True, slots=True)
class Chosen:
    """One kind of label: how many, the label, or what is wrong with it."""

    kind: str
    name: str
    count: int
    label: Label | None
    problems: tuple[Problem, ...] = ()

    @property
    def words(self) -> str:
        """Everything that stands on it, for a reader by ear."""
        parts = every(self.label.parts) if self.label else ()
        return " ".join(part.text for part in parts if isinstance(part, Words))

    @property
    def round(self) -> bool:
        """Whether its paper is round."""
        return self.label is not None and self.label.outline.shape is Shape.ROUND


@dataclass(frozen=True, slots=True)
class Printing:
    """Everything asked for, and every problem with its field."""

    typed: Blank
    stock: Stock
    chosen: tuple[Chosen, ...]
    problems: tuple[Problem, ...] = ()

    @property
    def sheet(self) -> Sheet | None:
        """The sheet, where it is possible."""
        return self.stock.sheet

    @property
    def labels(self) -> list[Label]:
        """One label for each cell."""
        return [c.label for c in self.chosen if c.label for _ in range(c.count)]

    @property
    def wrong(self) -> Blank:
        """Problems by field."""
        return Blank(by_place(self.problems))


def begun(jar: Jar, made: JarLotLine | None = None) -> Blank:
    """Return the form as it is first shown: what is known already, and of which jars."""
    now = settings.current(jar.shop)
    own = now.labels
    stock = next(
        name
        for name, (sheet, paper) in sheets().items()
        if paper.value == now.paper and min(sheet.outline.width, sheet.outline.height) >= ROOMY
    )
    poured = next((p for p in pours.listing(jar.shop) if p.slug == jar.view.slug), None)
    may = declared(jar.sheet.fill_mass, netweights.tests_asked(jar.shop), None)
    count = str(poured.jars) if poured else "1"
    lot = {"number": str(poured.id), "date": poured.planned_for.isoformat()} if poured else {}
    if made:
        count = str(made.made)
        lot = {"count": count, "number": made.code, "code": made.code}
        lot["date"] = made.poured_on.isoformat()
    return Blank(
        {
            "stock": stock,
            "paper": now.paper,
            "start": "1",
            "front.count": count,
            "front.name": jar.view.name,
            "front.kind": "Scented candle" if jar.sheet.fragrance_mass else "Candle",
            "front.maker": own.supplier or now.name,
            "front.net": may.dual.text if may.dual else may.metric,
            "fire.language": own.language.value,
            "fire.style": Style.BOTH.value,
            "fire.trim": jar.say.length(jar.sheet.candle.wick.trim),
            "hazard.law": own.law.value,
            "hazard.language": own.language.value,
            "hazard.supplier": ", ".join(filter(None, (own.supplier, own.address, own.telephone))),
            "hazard.quantity": may.metric.rstrip(" ℮"),
            "caution.count": count if jar.american and _due(jar) else "",
            "caution.maker": ", ".join(filter(None, (own.supplier, own.address))),
            **{f"lot.{name}": text for name, text in lot.items()},
            "lot.name": jar.view.name,
        }
    )


def _due(jar: Jar) -> bool:
    """Return whether the US caution follows from what is in it, with no hazard chosen."""
    try:
        consumer = jar.review(Law.US, Language.EN).consumer
    except BadInput:
        return False
    return consumer is not None and bool(consumer.sensitizers)


def asked(jar: Jar, typed: Blank) -> Printing:
    """Return what is asked for, every label set and measured."""
    found: list[Problem] = []
    stock = stock_of(typed, jar.sheet.candle.vessel, found)
    counts = {kind: count for kind in jar.kinds if (count := _count(kind, typed, found))}
    if stock.band is not None and counts:
        chosen: tuple[Chosen, ...] = (_strip(jar, typed, stock, counts),)
    else:
        chosen = tuple(_choose(jar, typed, stock, kind, n) for kind, n in counts.items())
    found += [problem for each in chosen for problem in each.problems]
    return Printing(typed, stock, chosen, tuple(found))


def _count(kind: str, typed: Blank, found: list[Problem]) -> int:
    text = typed[f"{kind}.count"]
    if not text:
        return 0
    try:
        count = parse.count(text)
        if not 0 <= count <= MOST:
            raise BadInput.one(f"{text[:20]} labels cannot be printed.", f"Ask for 0 to {MOST}.")
    except BadInput as bad:
        found += bad.at(f"{kind}.count").problems
        return 0
    return count


def _choose(jar: Jar, typed: Blank, stock: Stock, kind: str, count: int) -> Chosen:
    """Set a label and measure it; what is wrong is said of its own fields."""
    if stock.sheet is None:
        return Chosen(kind, KINDS[kind], count, None)
    try:
        made = make(jar, typed, kind, stock.sheet.outline)
        check(made)
    except BadInput as bad:
        problems = tuple(p.at(f"{kind}.{_field(kind, p.place)}") for p in bad.problems)
        return Chosen(kind, KINDS[kind], count, None, problems)
    return Chosen(kind, KINDS[kind], count, made)


def _strip(jar: Jar, typed: Blank, stock: Stock, counts: dict[str, int]) -> Chosen:
    """Set the strip around the jar: the front, and with it whichever of the others is chosen."""
    name, count = "Around the jar", counts.get("front", max(counts.values()))
    try:
        others = [kind for kind in counts if kind not in ON_A_STRIP]
        if others:
            raise BadInput.one(
                f"{KINDS[others[0]]} does not go on the strip around the jar.",
                "Print it on another sheet.",
                others[0],
            )
        if stock.band is None or stock.sheet is None:
            return Chosen(WRAP, name, count, None)
        made = around_the_jar(jar, typed, stock.band, frozenset(counts))
        check(made)
    except BadInput as bad:
        return Chosen(WRAP, name, count, None, tuple(p.at("strip") for p in bad.problems))
    return Chosen(WRAP, name, count, made)


def _field(kind: str, place: str) -> str:
    """Return the field of a kind that a problem is said of; its count where there is none."""
    last = place.rpartition(".")[2]
    last = _SAME.get(last, last)
    return last if last in PLACES[kind] else "count"


def label_of(jar: Jar, typed: Blank, kind: str) -> Label | None:
    """Return one of the labels asked for; None where it is not, or is wrong."""
    return next((c.label for c in asked(jar, typed).chosen if c.kind == kind), None)


def shown(jar: Jar, printing: Printing) -> dict[str, Any]:
    """Return what the page needs."""
    stock, typed = printing.stock, printing.typed
    kinds = [c.kind for c in printing.chosen for _ in range(c.count)]
    named = {language.value: words for language, words in LANGUAGES}
    sheet = stock.sheet
    return {
        "view": jar.view,
        "typed": typed,
        "wrong": printing.wrong,
        "problems": printing.problems,
        "printing": printing,
        "kinds": jar.kinds,
        "american": jar.american,
        "hazards": hazards(),
        "ticked": ticked(typed),
        "places": {kind: [f"{kind}.{name}" for name in names] for kind, names in PLACES.items()},
        "stock": [
            *((name, name) for name in sheets()),
            (WRAP, "a strip around the jar, measured from the vessel"),
            (OWN, "another, by its measures"),
        ],
        "own": typed["stock"] not in sheets() and typed["stock"] != WRAP,
        "wrap": typed["stock"] == WRAP,
        "band": stock.band,
        "papers": [paper.value for paper in Paper],
        "laws": [(law.value, words) for law, words in LAWS],
        "languages": [(code, named.get(code, code)) for code in languages()],
        "styles": [style.value for style in Style],
        "drawn": cells(sheet, stock.paper, kinds) if sheet else "",
        "each": sheet.rows * sheet.columns if sheet else 0,
        "count": len(kinds),
        "sheets": len(sheet.used(len(kinds))) if sheet and kinds else 0,
        "query": urlencode({k: v for k, v in typed.items() if v}),
    }
