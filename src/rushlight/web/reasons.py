"""The lines of a hazard label, each with what put it there."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from rushlight.hazard.classify import Classification
from rushlight.hazard.finding import Driver, Finding
from rushlight.hazard.label import Label, Said
from rushlight.hazard.mixture import Origin
from rushlight.hazard.sensitisation import Mention, Mentioned
from rushlight.web.say import Say


@dataclass(frozen=True, slots=True)
class Because:
    """A substance behind a line: its share of the finished candle, the limit, where it is from."""

    name: str
    cas: str
    share: str
    limit: str
    origins: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """One line of the label. part: what it is; sign: name of a drawn sign, or nothing."""

    part: str
    code: str = ""
    text: str
    sign: str = ""
    words: tuple[str, ...] = ()
    rows: tuple[Because, ...] = ()
    written: tuple[str, ...] = ()

    @property
    def key(self) -> str:
        """Anchor of the line."""
        return f"{self.part}-{self.code or self.text}".lower().replace(" ", "-")


def lines(label: Label, found: Classification, say: Say) -> tuple[Line, ...]:
    """Return every line of a label in the order it is printed."""
    return (
        *(_pictogram(sign.code, sign.reason) for sign in label.pictograms),
        *_signal(label, found),
        *(_name(name, found, say) for name in label.names),
        *(_hazard(said, found, say) for said in label.hazards),
        *(_supplemental(said, found, say) for said in label.supplemental),
        *(
            Line(part="precaution", code=said.code, text=said.text, words=(_sentence(said),))
            for said in label.precautions
        ),
    )


def left_out(label: Label) -> tuple[Line, ...]:
    """Return what the rules would have added, were it not left out, and why."""
    return (
        *(_pictogram(sign.code, sign.reason) for sign in label.dropped),
        *(
            Line(part="left out", code=said.code, text=said.text, words=(_sentence(said),))
            for said in label.omitted
        ),
    )


def _sentence(said: Said) -> str:
    return f"{said.reason[0].upper()}{said.reason[1:]}." if said.reason else ""


def _pictogram(code: str, reason: str) -> Line:
    from rushlight.press.labels.symbols import sign

    said = f"{reason[0].upper()}{reason[1:]}."
    return Line(part="pictogram", code=code, text=sign(code).title, sign=code, words=(said,))


def _signal(label: Label, found: Classification) -> Iterable[Line]:
    if not label.signal:
        return
    told = {finding.hazard.signal for finding in found.findings}
    loudest = "Danger" if "Danger" in told else "Warning"
    codes = dict.fromkeys(f.hazard.h for f in found.findings if f.hazard.signal == loudest)
    yield Line(
        part="signal word", text=label.signal, words=(f"The signal word of {', '.join(codes)}.",)
    )


def _name(name: str, found: Classification, say: Say) -> Line:
    rows, words, written = [], [], []
    for finding in found.findings:
        for driver in finding.drivers:
            if driver.name == name:
                rows.append(_driver(driver, say))
                words.append(f"It is behind {finding.hazard.h} ({finding.hazard.code}).")
                written.append(finding.paragraph)
    for mention in found.mentioned:
        if mention.ingredient.name == name and mention.mention is Mention.NAMED:
            rows.append(_mentioned(mention, say))
            words.append("It is a sensitiser at or above the limit from which it must be named.")
            written.append(mention.paragraph)
    return Line(
        part="substance",
        text=name,
        words=tuple(dict.fromkeys(words)),
        rows=tuple(dict.fromkeys(rows)),
        written=tuple(dict.fromkeys(written)),
    )


def _hazard(said: Said, found: Classification, say: Say) -> Line:
    behind = [finding for finding in found.findings if finding.hazard.h == said.code]
    return Line(
        part="hazard",
        code=said.code,
        text=said.text,
        words=tuple(_result(finding) for finding in behind),
        rows=tuple(_driver(driver, say) for finding in behind for driver in finding.drivers),
        written=tuple(dict.fromkeys(f"{f.paragraph} ({f.source})" for f in behind)),
    )


def _result(finding: Finding) -> str:
    return f"{finding.hazard.code}: {finding.words}"


def _supplemental(said: Said, found: Classification, say: Say) -> Line:
    rows = [m for m in found.mentioned if m.mention is Mention.EUH208 and said.code == "EUH208"]
    words = (
        ("These sensitise, though none of them reaches the limit of classification.",)
        if rows
        else ()
    )
    return Line(
        part="supplemental",
        code=said.code,
        text=said.text,
        words=words,
        rows=tuple(_mentioned(m, say) for m in rows),
        written=(said.reason,),
    )


def _driver(driver: Driver, say: Say) -> Because:
    return Because(
        driver.name,
        driver.cas,
        say.fine(driver.share),
        say.fine(driver.limit) if driver.limit <= 1.0 else "—",
        _origins(driver.origins, say),
    )


def _mentioned(mention: Mentioned, say: Say) -> Because:
    ingredient = mention.ingredient
    return Because(
        ingredient.name,
        ingredient.cas,
        say.fine(ingredient.share),
        say.fine(mention.limit),
        _origins(ingredient.origins, say),
    )


def _origins(origins: Iterable[Origin], say: Say) -> str:
    return "; ".join(
        f"{say.fine(o.in_sheet)} of {o.sheet}, which is {say.fine(o.of_mixture)} of the candle"
        for o in origins
    )
