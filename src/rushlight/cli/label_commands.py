"""The commands of what must be said of a candle: hazard and netweight."""

from __future__ import annotations

from enum import StrEnum
from pathlib import Path
from typing import Annotated

import typer

from rushlight.cli.commands import AsJson, CandleGiven, InWorkshop, Text


class LawChoice(StrEnum):
    """Whose rules."""

    EU = "eu"
    GB = "gb"
    US = "us"
    UN = "un"


class LanguageChoice(StrEnum):
    """Language of the label."""

    EN = "en"
    DE = "de"
    FR = "fr"
    ES = "es"


class RuleChoice(StrEnum):
    """Which lot test."""

    HB133 = "hb133"
    EU = "eu"
    BOTH = "both"


LawGiven = Annotated[
    LawChoice | None, typer.Option(help="Whose rules; of the workshop, else gb, if left out.")
]
WithPictograms = Annotated[
    bool, typer.Option("--pictograms", help="Show hazard pictograms also for the US.")
]
LanguageGiven = Annotated[
    LanguageChoice | None, typer.Option(help="Language; of the workshop, else en, if left out.")
]


def hazard(  # noqa: PLR0913  each is an option of the command
    candle: CandleGiven,
    *,
    workshop: InWorkshop = None,
    law: LawGiven = None,
    language: LanguageGiven = None,
    pictograms: WithPictograms = False,
    json: AsJson = False,
) -> None:
    """Say what a candle must say on its label, and at what load that would change."""
    from rushlight.cli.hazard import run_hazard
    from rushlight.cli.hazard_found import Wanted

    run_hazard(
        Wanted(
            candle=candle,
            workshop=workshop,
            law=law.value if law else None,
            language=language.value if language else None,
            pictograms=pictograms,
        ),
        as_json=json,
    )


def netweight(  # noqa: PLR0913  each is an option of the command
    weights: Annotated[
        list[str] | None,
        typer.Argument(metavar="[WEIGHT]...", help="Weighed jars in grams; none: read from stdin."),
    ] = None,
    *,
    label: Annotated[
        str, typer.Option(metavar="QUANTITY", help="What the label says, as “8 oz (226 g)”.")
    ] = "",
    file: Annotated[
        Path | None, typer.Option(metavar="FILE", help="Weights from a text file; - is stdin.")
    ] = None,
    lot: Annotated[
        Text, typer.Option(metavar="COUNT", help="Jars in the lot; those weighed if left out.")
    ] = None,
    tare: Annotated[
        Text, typer.Option(metavar="MASS", help="Jar, lid and wick holder; then weights are gross.")
    ] = None,
    rule: Annotated[RuleChoice, typer.Option(help="Which test.")] = RuleChoice.BOTH,
    opened: Annotated[
        bool, typer.Option("--opened", help="The jars were opened for it (EU test).")
    ] = False,
    germany: Annotated[
        bool, typer.Option("--germany", help="Germany's 2 % below T1 in place of 2.5 %.")
    ] = False,
    passing: Annotated[
        str, typer.Option(metavar="SHARE", help="Lots that shall pass at the suggested fill.")
    ] = "99 %",
    json: AsJson = False,
) -> None:
    """Test weighed jars against the label's net weight, and say where to aim the fill."""
    from rushlight.cli.netweight import Wanted, run_netweight

    run_netweight(
        Wanted(
            weights=tuple(weights or ()),
            file=file,
            label=label,
            lot=lot or "",
            tare=tare or "",
            rule=rule.value,
            opened=opened,
            germany=germany,
            passing=passing,
        ),
        as_json=json,
    )


ALL = (hazard, netweight)
