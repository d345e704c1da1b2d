"""What may be claimed of a job."""

from dataclasses import dataclass
from datetime import date

from ledger.billing.account import Account
from ledger.billing.account import account as accounted
from ledger.billing.claimable import Claimable
from ledger.billing.claimable import claimable as claimable_of
from ledger.billing.days import claims_day, money_day
from ledger.commands.access import ReadAccess
from ledger.domain.codes import code_of
from ledger.outcomes import Outcome
from ledger.store.book import Stamp


@dataclass(frozen=True)
class ClaimableKnown(Outcome):
    """What may be claimed of a job, and the batch it is known at."""

    claimable: Claimable
    stamp: Stamp


def claimable(access: ReadAccess, job: str, to: date | None) -> ClaimableKnown:
    """Return what may be claimed of a job by a day, the usual status date if it is left out.

    Raises: Refused when there is no such job, or an approved change cannot be priced.
    """
    code = code_of(job)
    with access.reading() as book:
        day = claims_day(book, code, to)
        return ClaimableKnown(claimable_of(book, code, day), book.stamp())


@dataclass(frozen=True)
class AccountKnown(Outcome):
    """The account of a job, the batch it is known at, and the end of its period if closed."""

    account: Account
    stamp: Stamp
    closed_to: date | None


def account(access: ReadAccess, job: str, to: date | None) -> AccountKnown:
    """Return the account of a job by a day; left out, by that of `money_day`.

    Raises: Refused when there is no such job, or an approved change cannot be priced.
    """
    code = code_of(job)
    with access.reading() as book:
        day = money_day(book, code, to)
        closed_to = access.as_closed(book, code, day)
        return AccountKnown(accounted(book, code, day), book.stamp(), closed_to)
