"""Sheets and certificates as kept, read once: a live page asks for the same ones all the time."""

from __future__ import annotations

import json
from functools import lru_cache

from rushlight.hazard.certificate import Certificate, read_certificate
from rushlight.hazard.oil import SafetySheet
from rushlight.hazard.typed import read_sheet


@lru_cache(maxsize=256)
def kept_sheet(name: str, typed: str) -> SafetySheet | None:
    """Return a sheet from its fields as JSON; None where it was taken away. BadInput."""
    fields = json.loads(typed)
    return read_sheet(name, fields) if fields else None


@lru_cache(maxsize=256)
def kept_certificate(name: str, typed: str) -> Certificate:
    """Return a certificate from its fields as JSON; unknown where it was taken away. BadInput."""
    return read_certificate(name, json.loads(typed))
