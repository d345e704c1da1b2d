"""Changes as known: their requests, prices by revision and events."""

from collections import defaultdict
from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date
from typing import Any, cast

from ledger.changes.authority import mark_unlisted
from ledger.changes.rows import KnownEvent, KnownPriceLine, KnownRequest
from ledger.domain.change_life import APPROVALS, ChangeState, Event, state_on
from ledger.store.book import Book


@dataclass
class Change:
    """One change request with its lines by revision and its events in order."""

    code: str
    facts: KnownRequest
    lines: dict[int, list[KnownPriceLine]] = field(default_factory=lambda: defaultdict(list))
    events: list[Event] = field(default_factory=list)
    records: list[KnownEvent] = field(default_factory=list)

    def state(self, day: date) -> ChangeState:
        """Return where it stands on a day."""
        return state_on(self.events, day)

    @property
    def is_approved(self) -> bool:
        """Whether any of its revisions was ever approved."""
        return any(event.name in APPROVALS for event in self.events)

    def offered_in(self, revision: int) -> int | None:
        """Return the first batch that submitted or approved a revision, None before that."""
        batches = [
            record["first_batch"]
            for record in self.records
            if record["event"] in {"submitted", *APPROVALS} and record["revision"] == revision
        ]
        return min(batches, default=None)

    @property
    def sent_in(self) -> int | None:
        """Return the first batch that submitted or approved any revision, None before that."""
        offered = (self.offered_in(record["revision"]) for record in self.records)
        return min((batch for batch in offered if batch is not None), default=None)

    def latest_revision(self, day: date) -> int | None:
        """Return the latest revision of which a price was known by `day`, None without one."""
        dated: dict[int, date] = {}
        for event in self.events:
            if event.name in {"priced", "submitted", *APPROVALS}:
                dated.setdefault(event.revision, event.day)
        drafts = [each for each in self.lines if each not in dated and not dated]
        known = [each for each in self.lines if each in dated and dated[each] <= day]
        known += drafts if self.facts["requested_on"] <= day else []
        return max(known, default=None)

    def added_ms(self, revision: int | None) -> dict[str, int]:
        """Return the hours that a revision adds, by trade, in ms; omissions left out."""
        added: dict[str, int] = defaultdict(int)
        for line in self.lines.get(revision or 0, []):
            ms = line["ms"] or 0
            if line["price_kind"] == "labour" and ms > 0:
                assert line["trade"] is not None
                added[line["trade"]] += ms
        return dict(added)

    def lacks_lines(self, event: Event) -> bool:
        """Return whether an event needs lines of its revision, and there are none."""
        return (
            event.name in {"priced", "submitted", *APPROVALS}
            and event.revision not in self.lines
            and (self.facts["change_basis"] == "fixed_price" or bool(self.lines))
        )

    @property
    def technique(self) -> str:
        """Return how its work is measured: as approved, else as its newest lines say."""
        approved = [event.revision for event in self.events if event.name in APPROVALS]
        for revision in approved or sorted(self.lines, reverse=True):
            for line in self.lines[revision]:
                if line["technique"]:
                    return str(line["technique"])
        return "percent_complete"


YARD = ("changes/changes_known", "changes/change_lines_known", "changes/change_events_known")
OWNER = ("owner/changes", "owner/change_lines", "owner/change_events")


def changes_of(book: Book, job: str, asked: tuple[str, str, str] = YARD) -> dict[str, Change]:
    """Return the job's changes by code, in the order they were requested.

    `asked` are the queries: the yard's own, or those that an owner's page may use.
    """
    requests, lines, events = asked
    rows = cast(list[KnownRequest], book.records(requests, job=job))
    changes = {row["change"]: Change(row["change"], row) for row in rows}
    if not changes:
        return changes
    for line in cast(list[KnownPriceLine], book.records(lines, job=job)):
        if line["change"] in changes:
            changes[line["change"]].lines[line["revision"]].append(line)
    for event in cast(list[KnownEvent], book.records(events, job=job)):
        if event["change"] in changes:
            changes[event["change"]].records.append(event)
            changes[event["change"]].events.append(event_of(event))
    mark_unlisted(book, job, changes.values())
    return changes


def event_of(row: Mapping[str, Any]) -> Event:
    """Return a recorded event as the rules see it."""
    return Event(
        row["event"],
        row["day"],
        row["revision"] or 1,
        row["valid_until"],
        bool(row["rough"]),
        bool(row["not_to_exceed"]),
        row["days_granted"],
        row["agreed_value"],
        row["agreed_ms"],
        row["days_requested"],
        row["person"],
        row["reference"],
    )
