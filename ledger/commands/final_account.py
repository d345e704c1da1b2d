"""The final account of a job: shown, agreed, and then fixed."""

import json
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from ledger.billing.days import claims_day
from ledger.billing.final_account import (
    FinalAccount,
    agreed_final_account,
    refuse_open,
)
from ledger.billing.final_account import final_account as final_account_of
from ledger.changes.authority import authority_of
from ledger.commands.access import ReadAccess, WriteAccess
from ledger.commands.as_json import Json, known_at
from ledger.commands.changes_as_json import money
from ledger.commands.finishing import Finished, finish
from ledger.domain.codes import code_of
from ledger.errors import Refused, Remedy
from ledger.inputs.change_entry import today
from ledger.outcomes import Outcome
from ledger.store.book import Book, Stamp


@dataclass(frozen=True)
class FinalAccountKnown(Outcome):
    """The final account of a job, and the batch it is known at."""

    account: FinalAccount
    stamp: Stamp


@dataclass(frozen=True)
class FinalAccountAgreed(Outcome):
    """A final account that was agreed, its day, and what followed."""

    account: FinalAccount
    day: date
    finished: Finished


def final_account(
    access: ReadAccess, job: str, to: date | None, reserve: Sequence[str] = ()
) -> FinalAccountKnown:
    """Return the final account of a job on a day, the usual status date if it is left out.

    Raises: Refused when there is no such job, a change cannot be priced, or nothing is open of a
    name that is reserved.
    """
    code = code_of(job)
    with access.reading() as book:
        day = claims_day(book, code, to)
        return FinalAccountKnown(final_account_of(book, code, day, reserve), book.stamp())


@dataclass(frozen=True)
class Agreement:
    """Who agreed a final account, by which letter, on which day, and what was reserved."""

    person: str
    reference: str
    day: date | None = None
    reserve: tuple[str, ...] = ()


def agree_final_account(access: WriteAccess, job: str, agreement: Agreement) -> FinalAccountAgreed:
    """Record that the final account of a job is agreed, at what it comes to on the day.

    Raises: Refused while something is neither settled nor reserved, without person and reference,
    from somebody not listed, and when one is agreed already.
    """
    code = code_of(job)
    with access.writing("agree final-account") as (book, batch):
        day = agreement.day or today(book, batch)
        account = final_account_of(book, code, day, agreement.reserve)
        _refuse(book, code, agreement)
        refuse_open(account)
        reserved = list(dict.fromkeys(each.item for each in account.reserved))
        row = {"job": code, "day": day, "amount": account.total, "person": agreement.person.strip()}
        row |= {"reference": agreement.reference.strip(), "reserved": json.dumps(reserved)}
        batch.append_row("final_account", row)
        return FinalAccountAgreed(account, day, finish(book, batch))


def _refuse(book: Book, job: str, agreement: Agreement) -> None:
    agreed = agreed_final_account(book, job)
    if agreed:
        listed = Remedy("show", what="final_account")
        raise Refused("final_account_agreed", job=job, day=agreed.day, remedy=listed)
    if not agreement.person.strip() or not agreement.reference.strip():
        raise Refused("final_account_unsigned", job=job)
    authority = authority_of(book.records("jobs/job_card", job=job)[0])
    if not authority.lists(agreement.person.strip(), "approve"):
        names = authority.names("approve") or ("nobody",)
        raise Refused("final_account_not_listed", job=job, person=agreement.person, listed=names)


def final_account_json(known: FinalAccountKnown) -> Json:
    """Return a final account for machines: money of 4 places."""
    account = known.account
    return {
        "job": account.job,
        "to": account.day,
        "currency": account.currency,
        "original_sum": money(account.contract_sum),
        "provisional_sums": [
            {
                "name": e.name,
                "amount": money(e.amount),
                "omitted": money(e.omitted),
                "unspent": money(e.left),
            }
            for e in account.provisional_sums
        ],
        "changes": [
            {
                "change": each.change,
                "title": each.title,
                "approved": money(each.sums.approved),
                "omitted": money(-each.sums.omitted),
                "daywork_movement": money(each.sums.daywork_movement),
                "amount": money(each.amount),
            }
            for each in account.lines
        ],
        "final_sum": money(account.total),
        "open": [_matter(each.kind, each.item, each.amount) for each in account.open_matters],
        "reserved": [_matter(each.kind, each.item, each.amount) for each in account.reserved],
        "known_at": known_at(known.stamp),
    }


def _matter(kind: str, item: str, amount: Decimal | None) -> Json:
    return {"matter": kind, "item": item, "amount": money(amount)}
