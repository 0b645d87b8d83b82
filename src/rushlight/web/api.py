"""The small JSON interface: the same verbs as the pages, for scripts on this machine.

Keys are stable and carry their SI unit. Every error has one shape:
``{"problems": [{"place", "what", "remedy"}]}``.
"""

from __future__ import annotations

from datetime import timedelta
from typing import Annotated, Any

from fastapi import APIRouter, Path
from pydantic import BaseModel, ConfigDict, Field

from rushlight.press.sheet_json import shaped
from rushlight.web.asked import Shop
from rushlight.workshop import candles, pours

Slug = Annotated[str, Path(min_length=1, max_length=80)]
Number = Annotated[int, Path(ge=1, le=2**62)]


class Strict(BaseModel):
    """Unknown keys are refused rather than silently ignored."""

    model_config = ConfigDict(extra="forbid", strict=True)


class OneProblem(Strict):
    """One thing to mend."""

    place: str
    what: str
    remedy: str


class Trouble(Strict):
    """What every error answers."""

    problems: list[OneProblem]


class SheetAsked(Strict):
    """A candle document, as a candle file holds it, and how many jars of it."""

    document: dict[str, Any] = Field(max_length=40)
    batch: dict[str, str] = Field(default_factory=dict, max_length=12)


class CandleSaid(Strict):
    """A candle of the workshop."""

    slug: str
    name: str
    revision: int
    frozen: bool
    document: dict[str, Any]


class CandlesSaid(Strict):
    """The candles of the workshop."""

    candles: list[str]


class WindowSaid(Strict):
    """When a pot may be poured; ISO 8601 with the zone of the bench; null when not reached."""

    pour: int
    pot: int
    opens: str | None
    closes: str | None
    spread_opens_s: float | None
    spread_closes_s: float | None


router = APIRouter(
    prefix="/api",
    tags=["bench"],
    responses={n: {"model": Trouble} for n in (403, 404, 409, 413, 421, 422, 503)},
)


@router.get("/candles")
def all_candles(shop: Shop) -> CandlesSaid:
    """List the candles by their short names."""
    return CandlesSaid(candles=[line.slug for line in candles.listing(shop)])


@router.get("/candles/{slug}")
def one_candle(shop: Shop, slug: Slug) -> CandleSaid:
    """Return a candle's latest revision, as typed."""
    view = candles.get(shop, slug)
    return CandleSaid(
        slug=view.slug,
        name=view.name,
        revision=view.revision,
        frozen=view.frozen,
        document=view.document,
    )


@router.post("/sheet")
def sheet(shop: Shop, asked: SheetAsked) -> dict[str, Any]:
    """Work out what to weigh; nothing is written."""
    sheets = candles.sheet(shop, asked.document, asked.batch or None)
    return shaped(sheets.batch, sheets.supplies)


def _seconds(span: timedelta | None) -> float | None:
    return None if span is None else span.total_seconds()


@router.get("/pours/{pour}/pots/{pot}/window")
def pour_window(shop: Shop, pour: Number, pot: Number) -> WindowSaid:
    """Say when the pour window of a pot opens and closes, from the readings taken."""
    clock = pours.forecast(shop, pour, pot)
    return WindowSaid(
        pour=pour,
        pot=pot,
        opens=clock.opens.isoformat() if clock and clock.opens else None,
        closes=clock.closes.isoformat() if clock and clock.closes else None,
        spread_opens_s=_seconds(clock.spread_opens if clock else None),
        spread_closes_s=_seconds(clock.spread_closes if clock else None),
    )
