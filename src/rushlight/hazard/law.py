"""The bodies of rules a mixture can be classified under."""

from __future__ import annotations

from enum import StrEnum


class Law(StrEnum):
    """Whose rules: differences between them are data in ``tables/*.toml``."""

    EU = "EU"
    GB = "GB"
    UN = "UN"
    US = "US"

    @property
    def rules(self) -> str:
        """The rules by name."""
        return _TITLES[self]


_TITLES = {
    Law.EU: "EU CLP, Regulation (EC) No 1272/2008",
    Law.GB: "GB CLP, the assimilated Regulation (EC) No 1272/2008",
    Law.UN: "UN GHS",
    Law.US: "US Hazard Communication Standard, 29 CFR 1910.1200 (workplaces)",
}
