"""What was booked to the places of one job, read a second time: sums by place, trade and day."""

from bisect import bisect_right
from collections import defaultdict
from datetime import date
from itertools import accumulate

from tests.demo._reckon_sheets import NON_PRODUCTIVE, UNTAGGED, Entry

LOST = (NON_PRODUCTIVE, UNTAGGED)


def amount_of(entry: Entry, unit: str) -> int:
    """Return an entry's time in ms or its cost, which must be known."""
    if unit == "hours":
        return entry.ms
    assert entry.cost is not None, entry
    return entry.cost


class Booked:
    """The entries of one job."""

    def __init__(self, entries: list[Entry], job: str) -> None:
        self.entries = sorted((e for e in entries if e.job == job), key=lambda e: e.day)
        by_part: dict[tuple[str, str], list[Entry]] = defaultdict(list)
        for entry in self.entries:
            by_part[entry.place, entry.trade].append(entry)
        self.reworked: dict[tuple[str, str], list[Entry]] = defaultdict(list)
        self.by_place: dict[str, list[Entry]] = defaultdict(list)
        for entry in self.entries:
            self.by_place[entry.place].append(entry)
            if entry.rework:
                self.reworked[entry.place, entry.trade].append(entry)
        self.days = {part: [e.day for e in own] for part, own in by_part.items()}
        self.sums = {
            (*part, unit): [0, *accumulate(amount_of(e, unit) for e in own)]
            for part, own in by_part.items()
            for unit in ("hours", "cost")
            if unit == "hours" or all(e.cost is not None for e in own)
        }

    def amount(self, place: str, trade: str, day: date, unit: str) -> int:
        """Return what was booked to a place by workers of a trade, up to a day."""
        days = self.days.get((place, trade))
        return self.sums[place, trade, unit][bisect_right(days, day)] if days else 0

    def trades(self, place: str) -> list[str]:
        return [trade for own, trade in self.days if own == place]

    def at(self, place: str, day: date, unit: str) -> int:
        return sum(self.amount(place, trade, day, unit) for trade in self.trades(place))

    def places(self, day: date) -> list[str]:
        """Return the places that have entries by the day."""
        begun = (place for (place, _), days in self.days.items() if days[0] <= day)
        return list(dict.fromkeys(begun))

    def by_cause(self, place: str, day: date, unit: str, *, rework: bool) -> dict[str, int]:
        """Return a place's amounts by cause: of its rework, or of the place itself."""
        found: dict[str, int] = defaultdict(int)
        for entry in self.by_place[place]:
            if entry.day <= day and (entry.rework or not rework):
                cause = entry.rework if rework else entry.cause
                found[cause] += amount_of(entry, unit)
        return dict(found)

    def rework(self, place: str, trade: str, day: date, unit: str) -> int:
        done = [e for e in self.reworked.get((place, trade), ()) if e.day <= day]
        return sum(amount_of(e, unit) for e in done)

    def newest(self, day: date) -> date | None:
        """Return the day of the newest entry by a day."""
        return max((e.day for e in self.entries if e.day <= day), default=None)

    def all_ms(self, day: date) -> int:
        return sum(e.ms for e in self.entries if e.day <= day)
