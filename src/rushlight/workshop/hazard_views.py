"""What is kept of a material's safety: its sheet, its certificate, the files themselves."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import datetime

from rushlight.errors import Problem
from rushlight.hazard.certificate import Certificate, Standing
from rushlight.hazard.oil import SafetySheet


@dataclass(frozen=True, slots=True, kw_only=True)
class AttachmentLine:
    """A file kept with a material; media is what its first bytes say it is."""

    id: int
    name: str
    media: str  # "application/pdf", "image/png" or "image/jpeg"
    size: int  # bytes
    attached_at: datetime


@dataclass(frozen=True, slots=True, kw_only=True)
class Attachment:
    """A file with its content, to be handed out as a download of its media type only."""

    line: AttachmentLine
    content: bytes = field(repr=False)


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetLine:
    """A material in the list of sheets: what is kept and what is missing."""

    material: str  # slug
    name: str
    role: str
    components: int | None  # None: there is no sheet
    dated: str
    standing: Standing
    attachments: int


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetView:
    """A material's safety data sheet and use-limit certificate, as typed and as read.

    sheet: None where none is kept, or where what is kept cannot be read (`problems` says why).
    typed, certificate_typed: the texts, to fill a form again; empty where nothing is kept.
    """

    material: str  # slug
    name: str
    role: str
    typed: Mapping[str, str]
    sheet: SafetySheet | None
    saved_at: datetime | None
    certificate: Certificate
    certificate_typed: Mapping[str, str]
    certificate_saved_at: datetime | None
    attachments: tuple[AttachmentLine, ...]
    problems: tuple[Problem, ...]
