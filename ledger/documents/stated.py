"""What a document states besides its lines, as it is kept with it: for what is entered after it."""

import json
from dataclasses import dataclass
from datetime import date


@dataclass(frozen=True)
class Stated:
    """What a quotation or a notice states: the last day of an offer and the days with it, or the
    day the yard became aware of an event.

    `days` is None where they are left open, `valid_until` where no day is named.
    """

    valid_until: date | None = None
    days: int | None = None
    aware_on: date | None = None

    @property
    def particulars(self) -> str:
        """Return it as the document keeps it."""
        known = {name: value for name, value in vars(self).items() if value is not None}
        return json.dumps(known, default=date.isoformat)


def stated(particulars: str | None) -> Stated | None:
    """Return what a document states; None where it keeps nothing, or that was erased."""
    if particulars is None:
        return None
    kept = json.loads(particulars)
    days = {name: kept.get(name) for name in ("valid_until", "aware_on")}
    read = {name: date.fromisoformat(text) if text else None for name, text in days.items()}
    return Stated(days=kept.get("days"), **read)
