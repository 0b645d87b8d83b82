"""How many jars the reference test weighs, and how many may lie below T1."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from rushlight.errors import BadInput
from rushlight.hazard.data import net_table

ALL_BELOW = 100  # smaller batches are weighed whole: SI 2006/659, Schedule 2, paragraph 4


class BelowT1(StrEnum):
    """Share of a batch weighed whole that may lie below T1: whose figure is taken."""

    GUIDE = "2.5 %"  # packers' guide (secondary source)
    GERMANY = "2 %"  # FPackV (legal text)

    @property
    def percent(self) -> float:
        """The figure in per cent."""
        key = "below_t1_percent_de" if self is BelowT1.GERMANY else "below_t1_percent"
        return float(net_table("eu")["packer"][key])


@dataclass(frozen=True, slots=True, kw_only=True)
class Stage:
    """Jars weighed so far in all, accepted with at most, rejected from so many below T1."""

    sample: int
    accept: int
    reject: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Plan:
    """The plan of one batch; second: where the first stage may leave it open."""

    first: Stage
    second: Stage | None
    whole: bool


def plan(batch: int, *, below_t1: BelowT1 = BelowT1.GUIDE, destructive: bool = False) -> Plan:
    """Return the plan for a batch of so many jars.

    Under 100 all are weighed; above, by the double sampling of 76/211/EEC, Annex II, 2.2 (from
    memory), or 20 jars where emptying them destroys them.
    """
    if batch < ALL_BELOW:
        if destructive:
            raise BadInput.one(
                f"A batch of {batch} is too small to open jars for it.",
                "Weigh all of them, unopened, with a tare from empty jars.",
                "batch",
            )
        allowed = int(batch * below_t1.percent / 100.0)
        only = Stage(sample=batch, accept=allowed, reject=allowed + 1)
        return Plan(first=only, second=None, whole=True)
    data = net_table("eu")["single"]
    for row in data["row"]:
        if batch <= row["batch_to"]:
            if destructive:
                return Plan(first=Stage(**data["destructive"]), second=None, whole=False)
            return Plan(first=Stage(**row["first"]), second=Stage(**row["both"]), whole=False)
    raise BadInput.one(
        f"A batch of {batch} is beyond the sampling table (10 000).", "Split it.", "batch"
    )


class Singles(StrEnum):
    """What the single jars say."""

    HOLD = "hold"
    FAIL = "fail"
    OPEN = "open"  # a second sample decides


def singles(plan: Plan, below_t1: tuple[int, ...], weighed: int) -> Singles:
    """Judge single jars: positions below T1 of so many weighed, in the order weighed.

    All that were weighed count; a first sample that fails by itself is not saved by a second.
    """
    first, second = plan.first, plan.second
    among_first = sum(1 for at in below_t1 if at < first.sample)
    if among_first >= first.reject:
        return Singles.FAIL
    if second is not None and weighed >= second.sample:
        return Singles.HOLD if len(below_t1) <= second.accept else Singles.FAIL
    if len(below_t1) <= first.accept:
        return Singles.HOLD
    return Singles.OPEN if second is not None else Singles.FAIL
