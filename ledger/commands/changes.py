"""Changes entered and moved on one by one, from a request to a signed variation."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from ledger.changes.standing import ChangeNow, change_now
from ledger.commands.access import ReadAccess, WriteAccess
from ledger.commands.finishing import Finished, finish
from ledger.domain.codes import code_of
from ledger.inputs.change_entry import (
    Entered,
    Given,
    enter_event,
    enter_price,
    enter_request,
    next_number,
)
from ledger.jobs.jobs import job_card
from ledger.outcomes import Outcome

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
    """A change that was entered or moved on, where it stands now, and what followed."""

    entered: Entered
    now: ChangeNow
    finished: Finished


def request_change(access: WriteAccess, given: Given) -> ChangeEntered:
    """Enter a change request; without a number it takes the next one of the job.

    Raises: Refused and Faults, and then nothing is written.
    """
    with access.writing("request change") as (book, batch):
        entered = enter_request(book, batch, given)
        now = change_now(book, entered.job, entered.change)
        return ChangeEntered(entered, now, finish(book, batch))


def price_change(
    access: WriteAccess, given: Given, lines: Sequence[Mapping[str, str]] = ()
) -> ChangeEntered:
    """Price a change by lines under the heads of change-lines, or by those that were loaded.

    Raises: Refused and Faults, and then nothing is written.
    """
    with access.writing("enter price") as (book, batch):
        entered = enter_price(book, batch, given, lines)
        now = change_now(book, entered.job, entered.change)
        return ChangeEntered(entered, now, finish(book, batch))


def move_change(access: WriteAccess, command: str, given: Given) -> ChangeEntered:
    """Record what a command of `EVENT_OF` says of a change.

    Raises: Refused and Faults, and then nothing is written.
    """
    with access.writing(command) as (book, batch):
        entered = enter_event(book, batch, given, EVENT_OF[command])
        now = change_now(book, entered.job, entered.change)
        return ChangeEntered(entered, now, finish(book, batch))


def number_proposed(access: ReadAccess, job: str) -> str:
    """Return the number that the next change of a job takes.

    Raises: Refused when there is no such job.
    """
    code = code_of(job)
    with access.reading() as book:
        job_card(book, code)
        return next_number(book, code)
