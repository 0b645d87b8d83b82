"""What must be said of a candle: classification, use limits, cautions, label, net contents.

Sections: `component`, `oil`, `paste` (what a safety data sheet says), `mixture`, `recipe`
(the finished candle, added up per substance), `classify`, `margin` (what load would change
the result), `label`, `statements`, `uselimit`, `cautions`, `us_consumer`, `netcontents`.

Every result is a working aid (`WORKING_AID`): local law, the supplier's safety data sheet
and licensed practice decide.
"""

from __future__ import annotations

WORKING_AID = (
    "A working aid: local law, the supplier's safety data sheet and licensed practice decide."
)
