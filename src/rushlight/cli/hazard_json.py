"""A review as JSON: percentages in `_percent`, lengths in `_mm`."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from rushlight.candle.sheet import Caution
from rushlight.hazard.finding import Finding
from rushlight.hazard.label import Label, Said
from rushlight.hazard.margin import Mark
from rushlight.hazard.review import Review
from rushlight.hazard.sizes import Sizes
from rushlight.hazard.us_consumer import UsConsumer
from rushlight.hazard.uselimit import UseLimit

_DIGITS = 9
Json = Mapping[str, Any]


def shaped(candle: str, found: Review, *, pictograms: bool) -> Json:
    """Return a review as JSON; pictograms: whether they are shown at all."""
    classification = found.classification
    return {
        "candle": candle,
        "law": found.law.value,
        "without_sheet": [{"role": role.value, "name": name} for role, name in found.unsheeted],
        "rules": found.law.rules,
        "load_of_wax_percent": _percent(found.load.of_wax),
        "load_of_total_percent": _percent(found.load.of_total),
        "classes": [_finding(f) for f in classification.findings],
        "near": [_finding(f) for f in classification.near],
        "label": _label(found.label, pictograms=pictograms),
        "scale": [_mark(mark) for mark in found.scale.marks],
        "use_limit": _use_limit(found.use_limit),
        "cautions": [_caution(caution) for caution in found.cautions],
        "consumer": None if found.consumer is None else _consumer(found.consumer),
        "notes": list(classification.notes),
        "aid": found.aid,
    }


def _finding(found: Finding) -> Json:
    return {
        "class": found.hazard.code,
        "statement": found.hazard.h,
        "of_limit_percent": _percent(found.reach),
        "adds_up": found.adds_up,
        "words": found.words,
        "paragraph": found.paragraph,
        "source": found.source,
        "ingredients": [
            {
                "name": driver.name,
                "cas": driver.cas,
                "share_percent": _percent(driver.share),
                "limit_percent": _percent(driver.limit),
                "from": [
                    {
                        "sheet": origin.sheet,
                        "of_candle_percent": _percent(origin.of_mixture),
                        "in_sheet_percent": _percent(origin.in_sheet),
                    }
                    for origin in driver.origins
                ],
            }
            for driver in found.drivers
        ],
    }


def _label(label: Label, *, pictograms: bool) -> Json:
    return {
        "language": label.language.value,
        "empty": label.empty,
        "pictograms": [
            {"code": sign.code, "reason": sign.reason}
            for sign in (label.pictograms if pictograms else ())
        ],
        "pictograms_shown": pictograms,
        "signal": label.signal,
        "names": list(label.names),
        "unnamed": list(label.unnamed),
        "hazards": _said(label.hazards),
        "supplemental": _said(label.supplemental),
        "precautions": _said(label.precautions),
        "omitted": _said(label.omitted),
        "duties": list(label.duties),
        "sizes": None if label.sizes is None else _sizes(label.sizes),
    }


def _said(lines: Sequence[Said]) -> list[Json]:
    return [{"code": s.code, "text": s.text, "reason": s.reason} for s in lines]


def _sizes(sizes: Sizes) -> Json:
    return {
        "width_mm": _mm(sizes.label[0]),
        "height_mm": _mm(sizes.label[1]),
        "if_possible": sizes.if_possible,
        "pictogram_mm": _mm(sizes.pictogram),
        "pictogram_wished_mm": _mm(sizes.pictogram_wished),
        "x_height_mm": None if sizes.x_height is None else _mm(sizes.x_height),
        "paragraph": sizes.paragraph,
        "source": sizes.source,
    }


def _mark(mark: Mark) -> Json:
    return {
        "load_of_wax_percent": _percent(mark.at.of_wax),
        "load_of_total_percent": _percent(mark.at.of_total),
        "says": mark.says,
        "words": mark.text,
        "because": list(mark.because),
        "paragraph": mark.paragraph,
    }


def _use_limit(limit: UseLimit) -> Json:
    return {
        "standing": limit.standing.value,
        "used_percent": _percent(limit.used),
        "over": limit.over,
        "largest_load_of_total_percent": _or_none(limit.largest),
        "words": limit.words,
        "oils": [
            {
                "name": oil.oil,
                "load_of_total_percent": _percent(oil.load),
                "standing": oil.certificate.standing.value,
                "limit_percent": _or_none(oil.certificate.limit),
                "category": oil.certificate.category,
                "amendment": oil.certificate.amendment,
                "issued": oil.certificate.issued,
                "used_percent": _or_none(oil.used),
            }
            for oil in limit.oils
        ],
    }


def _caution(caution: Caution) -> Json:
    return {
        "place": caution.place,
        "weight": caution.weight.value,
        "what": caution.what,
        "remedy": caution.remedy,
        "source": caution.source,
    }


def _consumer(consumer: UsConsumer) -> Json:
    return {
        "plain": list(consumer.plain),
        "elements": list(consumer.elements),
        "oils": list(consumer.oils),
        "sensitizers": [
            {
                "name": s.name,
                "share_percent": _percent(s.share),
                "limit_percent": _percent(s.limit),
                "paragraph": s.paragraph,
            }
            for s in consumer.sensitizers
        ],
        "source": consumer.source,
    }


def _percent(share: float) -> float:
    return round(100.0 * share, _DIGITS)


def _or_none(share: float | None) -> float | None:
    return None if share is None else _percent(share)


def _mm(metres: float) -> float:
    return round(1000.0 * metres, _DIGITS)
