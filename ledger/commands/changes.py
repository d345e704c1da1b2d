"""Changes entered and moved on one by one, from a request to a signed variation, and shown."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal
from typing import Any

from ledger.changes.daywork_shown import DayworkShown, daywork_shown
from ledger.changes.in_charge import InCharge, in_charge
from ledger.changes.requests import changes_of
from ledger.changes.standing import ChangeNow, change_now
from ledger.commands.access import ReadAccess, WriteAccess
from ledger.commands.finishing import Finished, finish
from ledger.domain.codes import code_of
from ledger.domain.pricing import YardPriceLine
from ledger.domain.quoting import Margin
from ledger.errors import Refused
from ledger.inputs.change_entry import (
    ChangeInput,
    Entered,
    change_unknown,
    enter_event,
    enter_price,
    enter_request,
    next_number,
)
from ledger.jobs.jobs import job_card
from ledger.outcomes import Outcome, Reason
from ledger.performance.change_list import (
    ChangeList,
    ListedChange,
    ListedChanges,
    changes_day,
    weeks_of,
)
from ledger.performance.instructions import is_unwritten
from ledger.performance.margins import Margins
from ledger.store.book import Book, Stamp

# What each command records of a change.
EVENT_OF = {
    "submit price": "submitted",
    "approve change": "approved",
    "decline change": "declined",
    "dispute price": "disputed",
    "record counter-offer": "counter_offer",
    "accept counter-offer": "accepted",
    "withdraw change": "withdrawn",
    "instruct change": "instructed",
    "confirm instruction": "confirmed",
    "deny instruction": "denied",
    "stop change": "stopped",
    "complete change": "complete",
    "decide time": "time_decided",
    "record notice": "notified",
    "agree value": "value_agreed",
}


@dataclass(frozen=True)
class ChangeEntered(Outcome):
    """A change that was entered or moved on, where it stands now, and what followed.

    `unwritten` says that it is instructed by word alone, and is to be put in writing.
    """

    entered: Entered
    now: ChangeNow
    finished: Finished
    unwritten: bool = False


def request_change(access: WriteAccess, entry: ChangeInput) -> ChangeEntered:
    """Enter a change request; without a number it takes the next one of the job.

    Raises: Refused and Faults, and then nothing is written.
    """
    with access.writing("request change") as (book, batch):
        entered = enter_request(book, batch, entry)
        now = change_now(book, entered.job, entered.change)
        return ChangeEntered(entered, now, finish(book, batch))


def price_change(
    access: WriteAccess, entry: ChangeInput, lines: Sequence[Mapping[str, str]] = ()
) -> ChangeEntered:
    """Price a change by lines under the heads of change-lines, or by those that were loaded.

    Raises: Refused and Faults, and then nothing is written.
    """
    with access.writing("enter price") as (book, batch):
        entered = enter_price(book, batch, entry, lines)
        now = change_now(book, entered.job, entered.change)
        return ChangeEntered(entered, now, finish(book, batch))


def move_change(access: WriteAccess, command: str, entry: ChangeInput) -> ChangeEntered:
    """Record what a command of `EVENT_OF` says of a change.

    Raises: Refused and Faults, and then nothing is written.
    """
    with access.writing(command) as (book, batch):
        event = EVENT_OF[command]
        entered = enter_event(book, batch, entry, event)
        now = change_now(book, entered.job, entered.change)
        unwritten = event == "instructed" and _is_unwritten(book, entered)
        return ChangeEntered(entered, now, finish(book, batch), unwritten)


def _is_unwritten(book: Book, entered: Entered) -> bool:
    change = changes_of(book, entered.job)[entered.change]
    last = max(event.day for event in change.events)
    return is_unwritten(book, entered.job, change, change.state(last))


def number_proposed(access: ReadAccess, job: str) -> str:
    """Return the number that the next change of a job takes.

    Raises: Refused when there is no such job.
    """
    code = code_of(job)
    with access.reading() as book:
        job_card(book, code)
        return next_number(book, code)


@dataclass(frozen=True)
class ChangesKnown(Outcome):
    """The changes of a job, the batch they are known at, and the end of the period if closed.

    `margins` are by change, None where not defined; `no_margin` says why none is.
    """

    listed: ChangeList
    margins: dict[str, Margin | None]
    no_margin: Reason | None
    stamp: Stamp
    closed_to: date | None


@dataclass(frozen=True)
class Revision:
    """One revision of a price: its state, lines and net amount; `unpriced` says why it has none.

    `owner_texts` are what it says to the owner.
    """

    number: int
    state: str
    lines: tuple[YardPriceLine, ...]
    net: Decimal | None
    unpriced: Refused | None = None
    owner_texts: tuple[str, ...] = ()


@dataclass(frozen=True)
class ChangeShown(Outcome):
    """One change: its request, life, prices, time by week and trade, daywork, what is attached."""

    job: str
    status_date: date
    currency: str
    change: ListedChange
    margin: Margin | None
    no_margin: Reason | None
    revisions: tuple[Revision, ...]
    weeks: list[tuple[date, str | None, int]]
    attachments: list[dict[str, Any]]
    daywork: DayworkShown | None
    stamp: Stamp


def changes(access: ReadAccess, job: str, status_date: date | None) -> ChangesKnown:
    """Return every change of a job with its price and hours, and what the job's sum comes to.

    Raises: Refused when there is no such job, or no day to be told.
    """
    code = code_of(job)
    with access.reading() as book:
        day = changes_day(book, code, status_date)
        closed_to = access.as_closed(book, code, day)
        known = ListedChanges(book, code, day)
        margins = Margins(known)
        by_change = {each.change.code: margins.of(each) for each in known.standings}
        why = margins.undefined
        return ChangesKnown(known.result(), by_change, why, book.stamp(), closed_to)


@dataclass(frozen=True)
class ChargeKnown(Outcome):
    """Why the sum of a job changed, the batch it is known at, its period's end if closed."""

    in_charge: InCharge
    stamp: Stamp
    closed_to: date | None


def overrun_in_charge(access: ReadAccess, job: str, status_date: date | None) -> ChargeKnown:
    """Return step by step why a job's sum changed, on the day and as known as `changes` does.

    Raises: Refused as `changes` does, and when a change cannot be priced.
    """
    code = code_of(job)
    with access.reading() as book:
        day = changes_day(book, code, status_date)
        closed_to = access.as_closed(book, code, day)
        return ChargeKnown(in_charge(book, code, day), book.stamp(), closed_to)


def show_change(access: ReadAccess, job: str, change: str, status_date: date | None) -> ChangeShown:
    """Return one change with its life, prices, entries by week and attachments.

    Raises: Refused when there is no such job or change.
    """
    code, named = code_of(job), code_of(change)
    with access.reading() as book:
        day = changes_day(book, code, status_date)
        known = ListedChanges(book, code, day)
        of_change = {each.change.code: each for each in known.standings}
        if named not in of_change:
            raise change_unknown(code, change)
        attached = book.records("changes/attachments_known", job=code)
        margins = Margins(known)
        return ChangeShown(
            code,
            day,
            book.setting("yard.currency", ""),
            known.listed(of_change[named]),
            margins.of(of_change[named]),
            margins.undefined,
            tuple(_revisions(known, named)),
            weeks_of(known, named),
            [row for row in attached if row["change"] == named and row["day"] <= day],
            daywork_shown(book, code, of_change[named]),
            book.stamp(),
        )


def _revisions(known: ListedChanges, named: str) -> Iterator[Revision]:
    """Yield each revision of a change with its lines; one that lacks a rate without amount."""
    standing = next(each for each in known.standings if each.change.code == named)
    state = standing.state
    for number in sorted(standing.change.lines):
        one = replace(standing, revision=number)
        lines: tuple[YardPriceLine, ...] = ()
        net, unpriced = None, None
        try:
            lines, net = one.price_lines, one.price_of(number).net
        except Refused as error:
            unpriced = error
        owner_texts = one.owner_texts
        yield Revision(number, state.price_of(number, known.day), lines, net, unpriced, owner_texts)
