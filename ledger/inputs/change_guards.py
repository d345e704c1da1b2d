"""What stands beside the moves of a change: who may say so, and what an event may carry."""

from collections.abc import Iterator, Sequence

from ledger.changes.authority import (
    ABOVE_LIMIT,
    NOT_LISTED,
    WITHOUT_REFERENCE,
    amount_at_stake,
    approval_doubts,
    authority_of,
    owners_yes,
)
from ledger.changes.prices import PriceList
from ledger.changes.requests import Change
from ledger.domain.change_life import APPROVALS, ChangeState, Event
from ledger.errors import Refused, Remedy
from ledger.inputs.outcomes import ApprovalInDoubt, InstructionAwaits
from ledger.outcomes import Outcome
from ledger.store.book import Book
from ledger.tables.small_tables import FileRow

# What belongs to some events alone; with any other it is refused, so that nothing is ignored.
BELONGS_TO = {
    "days_requested": ("submitted",),
    "days_granted": (*sorted(APPROVALS), "counter_offer", "time_decided"),
    "aware_on": ("notified",),
    "received_on": ("notified",),
    "document": ("notified",),
}


def strangers(line: FileRow) -> Iterator[str]:
    """Yield what a row says that belongs to other events."""
    for name, events in BELONGS_TO.items():
        if line[name] is not None and line["event"] not in events:
            belongs = f"{name} belongs to {' or '.join(events)}"
            yield f"{belongs}, not to {line['event']}; leave it blank"


def fault_of(change: Change, event: Event, before: ChangeState) -> str | None:
    """Return why a confirmation or a denial cannot be taken, None when it can."""
    if event.name not in {"confirmed", "denied"}:
        return None
    if before.awaiting is None:
        return f"no instruction awaits confirmation on {event.day}; it counts already"
    authority = authority_of(change.facts)
    if not authority.lists(event.person, "instruct"):
        may = " or ".join(authority.names("instruct")) or "nobody"
        return f'"{event.person}" may not instruct; only {may} may'
    marked = next(each for each in change.events if each == event)
    if not marked.listed:
        return f'above the limit of "{event.person}"; a person with a higher limit has to decide'
    return None


def remarks(book: Book, job: str, change: Change, event: Event) -> list[Outcome]:
    """Return what is to be said of an event: what its approval lacks, what awaits confirmation."""
    outcomes: list[Outcome] = []
    if lacks := _lacking(book, job, change, event):
        outcomes.append(ApprovalInDoubt(change.code, lacks))
    awaiting = change.state(event.day).awaiting
    if event.name == "instructed" and awaiting:
        may = authority_of(change.facts).names("instruct")
        outcomes.append(InstructionAwaits(change.code, awaiting.person, may, awaiting.silent_from))
    return outcomes


def _lacking(book: Book, job: str, change: Change, event: Event) -> tuple[Refused, ...]:
    """Return what an approval lacks; nothing of another event."""
    doubts = approval_doubts(book, job, change, event)
    if not doubts:
        return ()
    yes, authority = owners_yes(change, event), authority_of(change.facts)
    person = yes.person or ""
    lacks = []
    if NOT_LISTED in doubts:
        listed = authority.names("approve") or ("nobody",)
        lacks.append(
            Refused("approval_not_listed", change=change.code, person=person, listed=listed)
        )
    if ABOVE_LIMIT in doubts:
        amount = amount_at_stake(change, yes, PriceList(book, job))
        limit = authority.limit(person, "approve")
        lacks.append(
            Refused(
                "approval_above_limit",
                change=change.code,
                person=person,
                amount=amount,
                limit=limit,
            )
        )
    if WITHOUT_REFERENCE in doubts:
        remedy = Remedy("reference")
        lacks.append(Refused("approval_without_reference", change=change.code, remedy=remedy))
    return tuple(lacks)


def refuse(outcomes: Sequence[Outcome]) -> None:
    """Raises: Refused, naming each thing that an approval entered here lacks."""
    for each in outcomes:
        if isinstance(each, ApprovalInDoubt):
            raise Refused("approval_lacking", because=each.lacks)
