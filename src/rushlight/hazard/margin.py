"""What load would change the result: the smallest load at which each hazard begins.

A substance's share is a straight line in the load of the total x: base + x·slope. So each
criterion is a broken line in x that jumps where a substance passes its cut-off; the first
crossing of 1 is found exactly, segment by segment, without iteration.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from rushlight.hazard import WORKING_AID, sensitisation
from rushlight.hazard.basis import Basis, from_total
from rushlight.hazard.classes import hazard_class
from rushlight.hazard.classify import conditions
from rushlight.hazard.criterion import TOLERANCE, Criterion, Gate, Term
from rushlight.hazard.law import Law
from rushlight.hazard.mixture import Mixture
from rushlight.hazard.recipe import Recipe

PROBE = 0.5  # any load strictly inside (0, 1) at which every substance is present


@dataclass(frozen=True, slots=True)
class Track:
    """A term as the load moves: share = base + slope·x; it counts from its cut-off on."""

    base: float
    slope: float
    limit: float
    cutoff: float

    def share(self, x: float) -> float:
        """Share [1] of the mixture at a load x of the total [1]."""
        return self.base + self.slope * x


@dataclass(frozen=True, slots=True)
class Mark:
    """A load at which the label changes: from `at` upwards it says `says`."""

    at: Basis
    says: str
    text: str
    because: tuple[str, ...]
    paragraph: str


@dataclass(frozen=True, slots=True)
class Scale:
    """Every load that changes the result, in order, and where the candle is now.

    top: where a drawing of the scale may end [1 of total].
    """

    now: Basis
    marks: tuple[Mark, ...]
    top: float
    aid: str = WORKING_AID

    @property
    def next(self) -> Mark | None:
        """The first mark above the present load."""
        present = self.now.of_total * (1.0 + TOLERANCE)
        return next((mark for mark in self.marks if mark.at.of_total > present), None)


def scale(recipe: Recipe, law: Law) -> Scale:
    """Return the loads at which each hazard, and each mention of a sensitiser, begins.

    Below a mark the hazard is not found; at it and above it is (rest of the recipe in
    unchanged proportion; range 0 to 1 of total).
    """
    bare, pure = _shares(recipe.mixture(0.0)), _shares(recipe.mixture(1.0))
    probe = recipe.mixture(PROBE)
    first: dict[str, Mark] = {}
    for criterion in conditions(probe, law):
        x = first_load(criterion, bare, pure)
        if x is None or x >= 1.0:
            continue  # not even the neat oil would
        held = first.get(criterion.code)
        if held is None or x < held.at.of_total:
            first[criterion.code] = _mark(recipe, x, criterion, bare, pure)
    marks = [*_changing(first), *_mentions(recipe, probe, law, bare, pure)]
    marks.sort(key=lambda mark: (mark.at.of_total, mark.says))
    inside = [mark.at.of_total for mark in marks if mark.at.of_total < PROBE]
    top = min(1.0, 1.25 * max([recipe.load, 0.12, *inside]))
    return Scale(recipe.basis, tuple(marks), top)


def _changing(first: Mapping[str, Mark]) -> Iterable[Mark]:
    """Drop what changes nothing: a class that begins where a worse one of its family holds."""
    for code, mark in first.items():
        hazard = hazard_class(code)
        rivals = (
            other.at.of_total <= mark.at.of_total
            and hazard_class(name).family == hazard.family
            and hazard_class(name).rank < hazard.rank
            for name, other in first.items()
        )
        if not any(rivals):
            yield mark


def first_load(
    criterion: Criterion, bare: Mapping[str, float], pure: Mapping[str, float]
) -> float | None:
    """Return the smallest load of the total [1] that meets a criterion; None if none does."""
    tracks = [_track(term, bare, pure, criterion.times) for term in criterion.terms]
    if not criterion.adds_up:
        found = [x for track in tracks if (x := _crossing([track], 0.0)) is not None]
        return min(found, default=None)
    start = 0.0
    if criterion.gate is not None:
        opened = _gate_opens(criterion.gate, bare, pure)
        if opened is None:
            return None
        start = opened
    return _crossing(tracks, start)


def _crossing(tracks: Sequence[Track], start: float) -> float | None:
    """First x ≥ start at which Σ share/limit of the counting tracks reaches 1."""
    edges = sorted({start, 1.0, *(x for x in map(_edge, tracks) if start < x < 1.0)})
    for left, right in zip(edges, [*edges[1:], 1.0], strict=True):
        middle = 0.5 * (left + right)
        counting = [t for t in tracks if t.share(middle) >= t.cutoff * (1.0 - TOLERANCE)]
        at_left = sum(t.share(left) / t.limit for t in counting)
        if at_left >= 1.0:
            return left
        slope = sum(t.slope / t.limit for t in counting)
        if at_left + slope * (right - left) >= 1.0 and slope > 0.0:
            return min(right, left + (1.0 - at_left) / slope)
    return None


def _edge(track: Track) -> float:
    """Load at which a track passes its cut-off; outside [0, 1] where it never does."""
    return -1.0 if track.slope == 0.0 else (track.cutoff - track.base) / track.slope


def _gate_opens(gate: Gate, bare: Mapping[str, float], pure: Mapping[str, float]) -> float | None:
    above = gate.above * (1.0 + 3.0 * TOLERANCE)  # strictly more, with room for rounding
    tracks = [_track(Term(t.ingredient, above, t.cutoff), bare, pure) for t in gate.terms]
    passes = _crossing(tracks, 0.0)
    counting = [
        x
        for t in gate.known
        if (x := _crossing([_track(Term(t.ingredient, t.cutoff), bare, pure)], 0.0)) is not None
    ]
    return None if passes is None or not counting else max(passes, min(counting))


def _mentions(
    recipe: Recipe,
    probe: Mixture,
    law: Law,
    bare: Mapping[str, float],
    pure: Mapping[str, float],
) -> Iterable[Mark]:
    """Where each sensitiser has to be mentioned (EU and GB)."""
    for m in sensitisation.mentions(recipe.mixture(1.0), law, classified=False):
        ingredient = next(i for i in probe.ingredients if i.key == m.ingredient.key)
        x = _crossing([_track(Term(ingredient, m.limit), bare, pure)], 0.0)
        if x is not None and x < 1.0:
            yield Mark(
                from_total(x, wax=recipe.wax),
                "EUH208",
                f"{ingredient.name} must be mentioned on the label.",
                (ingredient.name,),
                m.paragraph,
            )


def _mark(
    recipe: Recipe,
    x: float,
    criterion: Criterion,
    bare: Mapping[str, float],
    pure: Mapping[str, float],
) -> Mark:
    hazard = hazard_class(criterion.code)

    def reach(term: Term) -> float:
        track = _track(term, bare, pure)
        return track.share(x) / track.limit if track.share(x) >= track.cutoff else 0.0

    terms = sorted(criterion.terms, key=reach, reverse=True)
    names = [t.ingredient.name for t in terms if reach(t) > 0.0]
    because = names if criterion.adds_up else names[:1]
    return Mark(
        from_total(x, wax=recipe.wax),
        hazard.code,
        f"{hazard.h} ({hazard.code}) begins.",
        tuple(because),
        criterion.paragraph,
    )


def _shares(mixture: Mixture) -> Mapping[str, float]:
    return {i.key: i.share for i in mixture.ingredients}


def _track(
    term: Term, bare: Mapping[str, float], pure: Mapping[str, float], times: float = 1.0
) -> Track:
    base = bare.get(term.ingredient.key, 0.0)
    slope = pure.get(term.ingredient.key, 0.0) - base
    return Track(base, slope, term.limit / times, term.cutoff)
