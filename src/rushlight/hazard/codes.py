"""Reads hazard classes as a safety data sheet prints them."""

from __future__ import annotations

import re
from dataclasses import dataclass

from rushlight.errors import BadInput
from rushlight.hazard.classes import known, outcome

_NAMES = (
    (r"flam\w*\.?\s*liq\w*\.?", "Flam. Liq.", ("1", "2", "3", "4")),
    (r"acute\s*tox\w*\.?", "Acute Tox.", ("1", "2", "3", "4", "5")),
    (r"skin\s*corr\w*\.?", "Skin Corr.", ("1", "1A", "1B", "1C")),
    (r"skin\s*irrit\w*\.?", "Skin Irrit.", ("2", "3")),
    (r"eye\s*dam\w*\.?", "Eye Dam.", ("1",)),
    (r"eye\s*irrit\w*\.?", "Eye Irrit.", ("2", "2A", "2B")),
    (r"resp\w*\.?\s*sens\w*\.?", "Resp. Sens.", ("1", "1A", "1B")),
    (r"skin\s*sens\w*\.?", "Skin Sens.", ("1", "1A", "1B")),
    (r"muta\w*\.?", "Muta.", ("1A", "1B", "2")),
    (r"carc\w*\.?", "Carc.", ("1A", "1B", "2")),
    (r"repr\w*\.?", "Repr.", ("1A", "1B", "2")),
    (r"stot\s*[- ]?\s*se", "STOT SE", ("1", "2", "3")),
    (r"stot\s*[- ]?\s*re", "STOT RE", ("1", "2")),
    (r"asp\w*\.?\s*tox\w*\.?", "Asp. Tox.", ("1",)),
    (r"aquatic\s*acute", "Aquatic Acute", ("1", "2", "3")),
    (r"aquatic\s*chronic", "Aquatic Chronic", ("1", "2", "3", "4")),
    (r"ed\s*hh", "ED HH", ("1", "2")),
    (r"ed\s*env", "ED ENV", ("1", "2")),
)
_BARE = (
    (r"lact\w*\.?", "Lact."),
    (r"pbt", "PBT"),
    (r"vpvb", "vPvB"),
    (r"pmt", "PMT"),
    (r"vpvm", "vPvM"),
)
_QUALIFIERS = {
    "oral": "oral", "h300": "oral", "h301": "oral", "h302": "oral", "h303": "oral",
    "dermal": "dermal", "h310": "dermal", "h311": "dermal", "h312": "dermal", "h313": "dermal",
    "gas": "gas", "gases": "gas", "vapour": "vapour", "vapours": "vapour", "vapor": "vapour",
    "mist": "mist", "dust": "mist", "inhalation": "mist", "inhaled": "mist", "inhal": "mist",
    "h330": "mist", "h331": "mist", "h332": "mist",
    "h335": "irritation", "irritation": "irritation", "respiratory": "irritation",
    "h336": "drowsiness", "drowsiness": "drowsiness", "narcotic": "drowsiness",
}  # fmt: skip
_WORDS = (
    r"(?P<q>\b(?:oral|dermal|gas(?:es)?|vapou?rs?|mist|dust|inhal\w*|respiratory"
    r"|irritation|drowsiness|narcotic)\b)"
)
_CODE = re.compile(
    "|".join(
        [rf"(?P<n{i}>\b{pattern})\s*(?:cat\w*\.?\s*)?(?P<c{i}>\d[A-Ca-c]?)?(?![\w.]*\d)"
         for i, (pattern, _, _) in enumerate(_NAMES)]
        + [rf"(?P<b{i}>\b{pattern})(?!\w)" for i, (pattern, _) in enumerate(_BARE)]
        + [r"(?P<h>\b(?:EUH|H)\s?\d{3}[A-Za-z]{0,2}(?!\w))"]
        + [_WORDS]
    ),
    re.IGNORECASE,
)  # fmt: skip
_NOISE = re.compile(r"[\s,;:/+()\[\]–—.*-]+")


@dataclass(slots=True)
class _Found:
    """A class as found in the text, before its route or effect is settled."""

    text: str
    name: str
    category: str
    qualifiers: list[str]


def read_classes(text: str) -> tuple[str, ...]:
    """Return the class codes in a text such as "Skin Irrit. 2 H315; Skin Sens. 1B, H317".

    An H statement that follows a class settles its route or effect; one that stands alone
    is taken for its class where only one class fits. Inhalation without the form is read
    as dust or mist, the more cautious of the forms. Nothing is skipped: what is not
    understood is a problem.
    """
    found: list[_Found] = []
    loose: list[str] = []
    rest = text
    for match in _CODE.finditer(text):
        rest = rest.replace(match.group(0), " ", 1)
        piece = match.group(0).strip()
        if match["h"]:
            code = match["h"].upper().replace(" ", "")
            if not _settles(found, code):
                loose.append(code)
        elif match["q"]:
            if found:
                found[-1].qualifiers.append(_qualifier(match["q"]))
        else:
            found.append(_named(piece, match))
    codes = [_code(item) for item in found] + [_from_h(code) for code in loose]
    left = _NOISE.sub(" ", rest).strip()
    if left:
        raise BadInput.one(
            f"“{left}” is not a hazard class Rushlight knows.",
            "Write it as in section 3 of the safety data sheet, such as Skin Sens. 1B H317.",
        )
    return tuple(dict.fromkeys(codes))


def _named(piece: str, match: re.Match[str]) -> _Found:
    for i, (_, name, _) in enumerate(_NAMES):
        if match[f"n{i}"]:
            return _Found(piece, name, (match[f"c{i}"] or "").upper(), [])
    bare = next(name for i, (_, name) in enumerate(_BARE) if match[f"b{i}"])
    return _Found(piece, bare, "", [])


def _qualifier(word: str) -> str:
    lowered = word.lower()
    return _QUALIFIERS.get(lowered, "mist" if lowered.startswith("inhal") else lowered)


def _settles(found: list[_Found], h: str) -> bool:
    """Tell whether an H code only repeats (or settles) the class before it."""
    if not found:
        return False
    last = found[-1]
    stem = h[:4] if h.startswith("H") else h
    fits = [c for c in known().values() if c.h == stem and c.code.startswith(last.name)]
    if not fits:
        return False
    qualifier = _QUALIFIERS.get(stem.lower())
    if qualifier and not (qualifier == "mist" and {"gas", "vapour"} & set(last.qualifiers)):
        last.qualifiers.append(qualifier)
    return True


def _code(item: _Found) -> str:
    if item.name in {name for _, name in _BARE}:
        return item.name
    allowed = next(cats for _, name, cats in _NAMES if name == item.name)
    if item.category not in allowed:
        raise BadInput.one(
            f"“{item.text}” is not a category of {item.name.rstrip('.')}.",
            f"Its categories are {', '.join(allowed)}.",
        )
    base = f"{item.name} {item.category}"
    if item.name == "Acute Tox.":
        return f"{base} {_pick(item, ('oral', 'dermal', 'gas', 'vapour', 'mist'))}"
    if base == "STOT SE 3":
        return f"{base} {_pick(item, ('irritation', 'drowsiness'))}"
    return base


def _pick(item: _Found, choices: tuple[str, ...]) -> str:
    said = [q for q in item.qualifiers if q in choices]
    exact = [q for q in said if q != "mist"] or said
    if exact:
        return exact[0]
    raise BadInput.one(
        f"“{item.text}” does not say {' or '.join(choices)}.",
        "Add its H statement, such as H302 or H335, or the word itself.",
    )


def _from_h(h: str) -> str:
    stem = h[:4] if h.startswith("H") else h
    if stem in {"H330", "H331", "H332"}:
        fits = [c for c in known() if known()[c].h == stem and c.endswith("mist")]
    else:
        fits = [c for c in known() if known()[c].h == stem]
    plain = list(dict.fromkeys(outcome(c) for c in fits))
    if len(plain) == 1:
        return plain[0]
    if not plain:
        raise BadInput.one(
            f"“{h}” is not a hazard statement Rushlight knows a class for.",
            "Write the class, such as Skin Sens. 1B, beside or instead of it.",
        )
    raise BadInput.one(
        f"{h} alone fits {' and '.join(plain)}.",
        f"Write the class too, such as “{plain[-1]}”.",
    )
