"""The pages and the small JSON interface, composed round one open workshop."""

from __future__ import annotations

from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from pathlib import Path

from fastapi import FastAPI
from starlette.routing import Mount
from starlette.staticfiles import StaticFiles

from rushlight.web import api, trouble
from rushlight.web.guard import Guard
from rushlight.web.render import environment
from rushlight.web.routes import (
    candles,
    day,
    exchange,
    hazards,
    heats,
    jars,
    labels,
    lots,
    netweight,
    orders,
    pours,
    prices,
    receiving,
    shop,
    stocktakes,
    stores,
    sweeps,
    traces,
    worth,
)
from rushlight.web.trays import Trays
from rushlight.workshop import Workshop
from rushlight.workshop.stove import Stove

STATIC = Path(__file__).parent / "static"
ALL = (
    *(day, candles, hazards, heats, sweeps, labels, netweight),
    *(prices, pours, receiving, lots, jars, orders, stocktakes, traces, worth),
    *(stores, exchange, shop, api),
)


def _warm() -> None:
    from rushlight.heat.warm import warm

    warm()


@asynccontextmanager
async def _open(app: FastAPI) -> AsyncIterator[None]:
    """Warm the heat kernels beside the first pages; at the end let go of whatever runs."""
    stove: Stove = app.state.stove
    stove.warm_soon()
    yield
    stove.close()
    app.state.trays.close()


def create_app(workshop: Workshop) -> FastAPI:
    """Return the application for a workshop; it holds no other state."""
    app = FastAPI(
        title="Rushlight",
        docs_url=None,
        redoc_url=None,
        openapi_url="/api/openapi.json",
        description="What to weigh, when to pour and what to charge, as JSON.",
        lifespan=_open,
    )
    app.state.shop = workshop
    app.state.templates = environment()
    app.state.outlines = {}
    app.state.stove = Stove(warm=_warm)
    app.state.trays = Trays()
    for module in ALL:
        app.include_router(module.router)
    app.router.routes.append(Mount("/static", StaticFiles(directory=STATIC), name="static"))
    trouble.attend(app)
    app.add_middleware(Guard)
    return app
