"""The pages and the small JSON interface, composed round one open workshop."""

from __future__ import annotations

from pathlib import Path

from fastapi import FastAPI
from starlette.routing import Mount
from starlette.staticfiles import StaticFiles

from rushlight.web import api, trouble
from rushlight.web.guard import Guard
from rushlight.web.render import environment
from rushlight.web.routes import candles, day, pours, prices, shop, stores
from rushlight.workshop import Workshop

STATIC = Path(__file__).parent / "static"


def create_app(workshop: Workshop) -> FastAPI:
    """Return the application for a workshop; it holds no other state."""
    app = FastAPI(
        title="Rushlight",
        docs_url=None,
        redoc_url=None,
        openapi_url="/api/openapi.json",
        description="What to weigh, when to pour and what to charge, as JSON.",
    )
    app.state.shop = workshop
    app.state.templates = environment()
    app.state.outlines = {}
    for module in (day, candles, prices, pours, stores, shop, api):
        app.include_router(module.router)
    app.router.routes.append(Mount("/static", StaticFiles(directory=STATIC), name="static"))
    trouble.attend(app)
    app.add_middleware(Guard)
    return app
