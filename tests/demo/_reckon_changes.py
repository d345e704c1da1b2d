"""The life of each change, read a second time: what stood on a day, and which price."""

from dataclasses import dataclass
from datetime import date
from functools import cached_property

from tests.demo._reckon_files import Fact, Files, Row, a_day, hours_ms

APPROVING = ("approved", "accepted")
PRICED = ("priced", "submitted", "approved", "declined", "disputed", "counter_offer", "accepted")


@dataclass(frozen=True)
class Event:
    """Something that happened to a change, on a day, recorded by a load."""

    change: str
    word: str
    day: date
    revision: str
    load: int
    row: Row


class Changes:
    """The changes of one job."""

    def __init__(self, files: Files, job: str) -> None:
        self.files, self.job = files, job
        self.rows = {row["change"]: row for row in files.rows("changes", job)}

    @cached_property
    def lines(self) -> dict[tuple[str, str], list[Row]]:
        """Return the price lines by change and revision."""
        found: dict[tuple[str, str], list[Row]] = {}
        for row in self.files.rows("change-lines", self.job):
            found.setdefault((row["change"], row["revision"]), []).append(row)
        return found

    @cached_property
    def events(self) -> dict[str, list[Event]]:
        """Return each change's events by day, those of one day as first loaded."""
        ordered: dict[str, list[Event]] = {name: [] for name in self.rows}
        facts = self.files.facts("change-events", self.job)
        for fact in sorted(facts, key=lambda fact: (fact.row["date"], fact.place)):
            own = ordered[fact.row["change"]]
            own.append(self.event(fact, own))
        return ordered

    def event(self, fact: Fact, before: list[Event]) -> Event:
        row = fact.row
        revision = row.get("revision") or self.latest_revision(row, before)
        day = a_day(row["date"])
        return Event(row["change"], row["event"], day, revision, fact.load, row)

    def latest_revision(self, row: Row, before: list[Event]) -> str:
        """Return the revision an event means that names none: the latest told of, else the last."""
        told = [event.revision for event in before if event.word in PRICED and event.revision]
        own = [revision for change, revision in self.lines if change == row["change"]]
        if row["event"] == "priced" or not told:
            return max(own, key=int, default="")
        return max(told, key=int)

    def by(self, change: str, day: date) -> list[Event]:
        return [event for event in self.events[change] if event.day <= day]

    def first(self, change: str, word: str, day: date) -> Event | None:
        return next((event for event in self.by(change, day) if event.word == word), None)

    def approval(self, change: str, day: date) -> Event | None:
        """Return the change's approval by the day, None if it was not approved."""
        return next((event for event in self.by(change, day) if event.word in APPROVING), None)

    def ever_instructed(self, change: str, day: date) -> bool:
        return self.first(change, "instructed", day) is not None

    def stopped(self, change: str, day: date) -> bool:
        """Tell whether work on the change has been stopped and not set going again."""
        words = [e.word for e in self.by(change, day)]
        going = [n for n, word in enumerate(words) if word in ("instructed", *APPROVING)]
        stops = [n for n, word in enumerate(words) if word == "stopped"]
        return bool(stops) and stops[-1] > max(going, default=-1)

    def price_state(self, change: str, day: date) -> str:
        """Return how far the change's price has come by the day."""
        moves = [e for e in self.by(change, day) if e.word in (*PRICED, "withdrawn")]
        if not moves:
            return "requested"
        last = moves[-1]
        until = last.row.get("valid_until", "")
        lapsed = last.word == "submitted" and until and a_day(until) < day
        return "lapsed" if lapsed else last.word

    def latest_price(self, change: str, day: date) -> list[Row]:
        """Return the newest revision priced by the day, or that has no day of pricing."""
        own = [revision for name, revision in self.lines if name == change]
        told = {e.revision: e.day for e in reversed(self.events[change]) if e.word in PRICED}
        known = [revision for revision in own if told.get(revision, day) <= day]
        return self.lines[change, max(known, key=int)] if known else []

    def added_ms(self, change: str, day: date) -> dict[str, int]:
        """Return the hours that the latest price adds, by trade."""
        return added(self.latest_price(change, day))

    def complete(self, change: str, day: date) -> bool:
        return self.first(change, "complete", day) is not None

    def basis(self, change: str) -> str:
        return self.rows[change]["change_basis"]

    def origin(self, change: str) -> str:
        return self.rows[change].get("origin") or "yard"


def added(lines: list[Row]) -> dict[str, int]:
    """Return the labour hours that lines add, by trade."""
    by_trade: dict[str, int] = {}
    for row in labour(lines):
        ms = hours_ms(row["hours"])
        if ms > 0:
            by_trade[row["trade"]] = by_trade.get(row["trade"], 0) + ms
    return by_trade


def labour(lines: list[Row]) -> list[Row]:
    return [row for row in lines if row["price_kind"] == "labour" and row.get("hours")]
