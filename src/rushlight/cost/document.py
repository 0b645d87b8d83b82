"""The `[price]` table of a candle file: what she pays, works and asks.

```toml
[price]
margin = "55 %"             # what to aim for: margin, markup, profit (money a jar) or price
jars = "12"                 # of a batch; else that of the batch table
scrap = "4 %"               # jars poured that cannot be sold
rate = "15.00"              # pay per hour
overhead = "120.00"         # per month …
jars_per_month = "200"      # … shared by these; or, or as well:
overhead_per_jar = "0.10"

[[price.materials]]
of = "wax"                  # a material of the candle by its name, or by what it is there for
pack = "10 kg"              # a mass, a volume, or a bare number of pieces
price = "62.00"             # of one pack
delivery = "4.00"           # freight and duty that came to each pack (optional)
packs = "2"                 # how many are bought together (optional)
amount = "170 g"            # per jar; without it the amount of the candle's sheet
[[price.materials.tiers]]   # cheaper from so many packs on (optional)
packs = "5"
price = "57.00"

[[price.packaging]]
of = "box"                  # any name; the same fields, amount "1" unless said otherwise
pack = "50"
price = "21.00"

[[price.labour]]
step = "melt and pour"
time = "40 min"             # a bare number is minutes
per = "batch"               # or "jar"

[[price.channels]]          # without any: direct
kind = "market stall"       # day, jars_a_day, percent, fixed
name = "quay market"
day = "45.00"
jars_a_day = "25"
margin = "50 %"             # any channel may have an aim of its own
# kind = "direct"
# kind = "own web shop"     # percent, fixed (per order), jars_an_order
# kind = "marketplace"      # listing, percent, fixed
# kind = "wholesale"        # of_retail ("50 %"), minimum_order
# kind = "consignment"      # percent
```

Every value is text as she would say it; money may carry its sign. Problems
are collected, each at its dotted place ("price.materials.0.pack").
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from rushlight.candle.document_table import rows
from rushlight.cost.aim import AIMS, SHARES, USUAL_AIM, Aim
from rushlight.cost.amounts import Amount
from rushlight.cost.channel import Channel, direct
from rushlight.cost.document_channel import CHANNEL_KEYS, read_aim, read_channel
from rushlight.cost.document_fields import Fields
from rushlight.cost.document_use import USE_KEYS, read_use
from rushlight.cost.exact import note_share
from rushlight.cost.jar import Costing, JarCost, Use, jar_cost
from rushlight.cost.labour import Per, Step
from rushlight.cost.labour import note_problems as note_labour
from rushlight.cost.overhead import Overhead
from rushlight.cost.overhead import note_problems as note_overhead
from rushlight.cost.price import Priced
from rushlight.errors import BadInput, Problems


@dataclass(frozen=True, slots=True, kw_only=True)
class Pricing:
    """A price document, read. unpriced: materials of the candle that no line gives a price for."""

    costing: Costing
    channels: tuple[tuple[Channel, Aim], ...]
    unpriced: tuple[str, ...]


_KEYS = (
    *AIMS,
    *("jars", "scrap", "rate", "overhead", "jars_per_month", "overhead_per_jar"),
    *("materials", "packaging", "labour", "channels"),
)


def read(
    table: Any,
    *,
    amounts: Mapping[str, Amount] | None = None,
    jars: int = 1,
    currency: str | None = None,
    place: str = "price",
) -> Pricing:
    """Return what a `[price]` table says.

    amounts: of one jar, as `rushlight.cost.amounts.amounts` gives them; jars:
    of a batch, where the table does not say; currency: the code expected.
    Raises BadInput with every problem.
    """
    problems = Problems()
    fields = Fields(table, place=place, known=_KEYS, currency=currency, problems=problems)
    known = amounts or {}
    materials = _uses(fields, "materials", known)
    packaging = _uses(fields, "packaging", {})
    costing = Costing(
        materials=tuple(use for _, use in materials),
        packaging=tuple(use for _, use in packaging),
        scrap=fields.share("scrap"),
        steps=_steps(fields),
        rate=fields.money("rate"),
        jars=fields.count("jars", jars),
        overhead=Overhead(
            per_month=fields.money("overhead"),
            jars_per_month=fields.number("jars_per_month"),
            per_jar=fields.money("overhead_per_jar"),
        ),
    )
    channels = _channels(fields)
    whole = Problems()
    note_share(costing.scrap, "scrap", "The scrap", whole)
    note_labour((), costing.rate, costing.jars, whole)
    note_overhead(costing.overhead, whole)
    fields.add_unsaid(whole)
    problems.check()
    named = [known[name] for name, _ in materials if name in known]
    by_amount = {id(amount): name for name, amount in known.items()}
    unpriced = [name for key, name in by_amount.items() if key not in map(id, named)]
    return Pricing(costing=costing, channels=channels, unpriced=tuple(unpriced))


def prices(pricing: Pricing, *, place: str = "price") -> tuple[JarCost, tuple[Priced, ...]]:
    """Return the cost of a jar and its price through every channel.

    Raises BadInput where fees and aim leave no price, at the channel.
    """
    cost = jar_cost(pricing.costing)
    problems, priced = Problems(), []
    if cost.total == 0 and any(aim.at in SHARES for _, aim in pricing.channels):
        problems.add(
            place,
            "Nothing in this jar costs anything yet.",
            "Give its materials, labour or overhead, or set the price itself.",
        )
        problems.check()
    for i, (channel, aim) in enumerate(pricing.channels):
        try:
            priced.append(aim.price(cost.total, channel))
        except BadInput as bad:
            problems.extend(bad.at(f"{place}.channels.{i}").problems)
    problems.check()
    return cost, tuple(priced)


def _list(fields: Fields, key: str) -> Iterator[tuple[str, Any]]:
    return rows(fields.raw.get(key), f"{fields.place}.{key}", fields.problems)


def _uses(fields: Fields, key: str, known: Mapping[str, Amount]) -> list[tuple[str, Use]]:
    return [read_use(fields.inner(row, at, USE_KEYS), known) for at, row in _list(fields, key)]


def _steps(fields: Fields) -> tuple[Step, ...]:
    steps = []
    for at, row in _list(fields, "labour"):
        step = fields.inner(row, at, ("step", "time", "per"))
        step.needed("time", "The time of the step", "20 min")
        per = step.text("per", Per.JAR)
        if per not in tuple(Per):
            step.note("per", f"“{per}” is not what a step is for.", 'Type "batch" or "jar".')
            per = Per.JAR
        steps.append(Step(step.text("step", "work"), step.minutes("time"), Per(per)))
    return tuple(steps)


def _channels(fields: Fields) -> tuple[tuple[Channel, Aim], ...]:
    usual = read_aim(fields, USUAL_AIM)
    channels = []
    for at, row in _list(fields, "channels"):
        inner = fields.inner(row, at, (*CHANNEL_KEYS, *AIMS))
        channel, aim = read_channel(inner), read_aim(inner, usual)
        if channel is not None:
            channels.append((channel, aim))
    return tuple(channels) or ((direct(), usual),)
