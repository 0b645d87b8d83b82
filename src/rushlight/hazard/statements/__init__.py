"""The official statements, by language; texts are data beside this file."""

from __future__ import annotations

from collections.abc import Iterable
from enum import StrEnum

from rushlight.hazard.data import texts


class Language(StrEnum):
    """Languages the statements come in."""

    EN = "en"
    DE = "de"
    FR = "fr"
    ES = "es"


def statement(code: str, language: Language, *, names: Iterable[str] = ()) -> str:
    """Return the text of an H, EUH or P statement; names fill the gap of EUH208."""
    text: str = texts(language.value)["text"][code]
    return text.replace("{names}", ", ".join(names))


def word(key: str, language: Language) -> str:
    """Return a signal word ("Danger", "Warning") or "contains" in a language."""
    text: str = texts(language.value)["word"][key]
    return text


def duty(key: str, language: Language) -> str:
    """Return a sentence about what else goes with a classified product, in a language."""
    text: str = texts(language.value)["duty"][key]
    return text


def percentage(share: float, language: Language) -> str:
    """Return a share [1] as a figure in per cent, with the decimal mark of the language."""
    return f"{100 * share:.3g}".replace(".", word("decimal", language))


def source(language: Language) -> str:
    """Return where the texts of a language come from."""
    text: str = texts(language.value)["source"]
    return text
