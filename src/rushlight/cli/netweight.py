"""`rushlight netweight`: weighed jars against what the label says."""

from __future__ import annotations

import sys
from dataclasses import dataclass
from pathlib import Path

from rushlight.cli.say import say_json
from rushlight.errors import BadInput, Problems
from rushlight.hazard.netcontents.lot import LotVerdict, judge, read_label
from rushlight.hazard.netcontents.plan import BelowT1
from rushlight.hazard.netcontents.target import Test
from rushlight.hazard.netcontents.weights import read_weights
from rushlight.quantity import parse
from rushlight.quantity.si import Fraction1, Kilogram

_TESTS = {"hb133": (Test.CATEGORY_A,), "eu": (Test.DIRECTIVE,), "both": tuple(Test)}
_LARGEST = 50_000
"""Characters of a column of weights; five thousand jars."""
_MOST_JARS = 1_000_000
_LEAST_PASSING, _MOST_PASSING = 0.5, 0.9999


@dataclass(frozen=True, slots=True, kw_only=True)
class Wanted:
    """What was asked for; texts as typed."""

    weights: tuple[str, ...]
    file: Path | None
    label: str
    lot: str
    tare: str
    rule: str
    opened: bool
    germany: bool
    passing: str


def run_netweight(wanted: Wanted, *, as_json: bool) -> None:
    """Judge the weights and write the verdicts."""
    found = read(wanted)
    if as_json:
        from rushlight.cli.netweight_json import shaped

        say_json(shaped(found))
        return
    from rushlight.cli.netweight_table import show_verdict

    show_verdict(found)


def read(wanted: Wanted) -> LotVerdict:
    """Return the verdicts; BadInput with everything that is wrong or missing."""
    problems = Problems()
    label = _label(wanted.label, problems)
    tare = _mass(wanted.tare, problems)
    lot = _count(wanted.lot, problems)
    passing = _passing(wanted.passing, problems)
    try:
        column = _column(wanted)
    except BadInput as bad:
        problems.extend(bad.problems)
        problems.check()
        raise
    weights = read_weights(column, tare=tare)
    problems.extend(weights.problems)
    size = lot or len(weights.masses)
    if size < len(weights.masses):
        problems.add(
            "--lot",
            f"{len(weights.masses)} weights cannot come from a lot of {size}.",
            "Check how many jars the lot has.",
        )
    problems.check()
    return judge(
        weights,
        label=label,
        lot=size,
        tests=_TESTS[wanted.rule],
        passing=passing,
        below_t1=BelowT1.GERMANY if wanted.germany else BelowT1.GUIDE,
        destructive=wanted.opened,
    )


def _column(wanted: Wanted) -> str:
    """Return the weights as typed: of the arguments, a file, or whatever is piped in."""
    if wanted.weights and wanted.file is not None:
        raise BadInput.one("Weights are given twice.", "Type them, or name a file.", "--file")
    if wanted.weights:
        return " ".join(wanted.weights)
    if wanted.file is not None and str(wanted.file) != "-":
        return _file(wanted.file)
    if wanted.file is None and sys.stdin.isatty():
        raise BadInput.one(
            "No weight was typed.", "Type one weight a jar, in grams, or pipe them in.", "WEIGHT"
        )
    return _held(sys.stdin.read(_LARGEST + 1), "stdin")


def _file(path: Path) -> str:
    try:
        with path.open(encoding="utf-8-sig") as file:
            return _held(file.read(_LARGEST + 1), str(path))
    except UnicodeDecodeError as error:
        raise BadInput.one(
            "This file is not text in UTF-8.", "Save the weights as plain text.", str(path)
        ) from error
    except (OSError, ValueError) as error:  # ValueError: a null character in the name
        reason = getattr(error, "strerror", None) or str(error)
        raise BadInput.one(
            f"This file cannot be read ({reason}).", "Check its name.", str(path)
        ) from error


def _held(text: str, place: str) -> str:
    if len(text) > _LARGEST:
        raise BadInput.one(
            f"There are more than {_LARGEST:,} characters.", "Give the weights of one lot.", place
        )
    return text


def _label(text: str, problems: Problems) -> Kilogram:
    if not text.strip():
        problems.add(
            "--label", "The label's quantity is missing.", "Type it, such as --label “226 g”."
        )
        return Kilogram(1.0)
    try:
        return read_label(text)
    except BadInput as bad:
        problems.extend(bad.at("--label").problems)
        return Kilogram(1.0)


def _mass(text: str, problems: Problems) -> Kilogram:
    try:
        return parse.mass(text) if text.strip() else Kilogram(0.0)
    except BadInput as bad:
        problems.extend(bad.at("--tare").problems)
        return Kilogram(0.0)


def _count(text: str, problems: Problems) -> int:
    try:
        found = parse.count(text) if text.strip() else 0
    except BadInput as bad:
        problems.extend(bad.at("--lot").problems)
        return 0
    if text.strip() and not 1 <= found <= _MOST_JARS:
        problems.add("--lot", f"{found} jars are no lot.", "Type from 1 to 1,000,000.")
    return found


def _passing(text: str, problems: Problems) -> Fraction1:
    try:
        found = parse.fraction(text)
    except BadInput as bad:
        problems.extend(bad.at("--passing").problems)
        return Fraction1(_MOST_PASSING)
    if not _LEAST_PASSING <= found <= _MOST_PASSING:
        problems.add("--passing", f"“{text}” is out of range.", "Type from 50 % to 99.99 %.")
    return found
