"""Hours a unit achieved, for machines."""

from fractions import Fraction

from ledger.commands.as_json import Json, known_at
from ledger.commands.estimates import AchievedKnown
from ledger.domain.allocation import hours_of, to_places
from ledger.domain.parsing import MS_PER_HOUR


def achieved_json(known: AchievedKnown) -> Json:
    """Return hours a unit, 4 places each, with the range over packages."""
    rows = [
        {
            **dict(zip(("work_kind", "unit", "trade"), each.kind, strict=True)),
            "packages": each.packages,
            "jobs": list(each.jobs),
            "quantity": to_places(Fraction(each.quantity), 4),
            "hours": hours_of(each.ms, 4),
            "hours_per_unit": to_places(each.ms_per_unit, 4, MS_PER_HOUR),
            "least": to_places(each.least, 4, MS_PER_HOUR),
            "most": to_places(each.most, 4, MS_PER_HOUR),
        }
        for each in known.rows
    ]
    return {"to": known.day, "rows": rows, "known_at": known_at(known.stamp)}
