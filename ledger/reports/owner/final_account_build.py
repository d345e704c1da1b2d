"""The final account of a job for the owner to sign, from the ground it stands on."""

from collections.abc import Iterator

from ledger.billing.final_account import (
    FinalAccount,
    agreed_final_account,
    final_account,
    refuse_open,
)
from ledger.changes.sums import contract_sum_on, provisional_sums_spent, sums_of
from ledger.domain.contracts import TIME_CHARGE
from ledger.domain.pricing import NOTHING
from ledger.errors import Refused, Remedy
from ledger.reports.owner.changes import OwnerChange, shown_changes
from ledger.reports.owner.document_ground import JobGround
from ledger.reports.owner.final_account_view import (
    ChangeSettled,
    FinalAccountLetter,
    Reserved,
    SumUnspent,
)


def final_account_letter(ground: JobGround) -> FinalAccountLetter:
    """Return the final account of a job to the day asked for, with what of it is reserved.

    Raises: Refused while something is neither settled nor reserved, for a day to come, and once one
    is agreed.
    """
    book, job, day = ground.book, ground.job, ground.wanted.day_to or ground.wanted.on
    if day > ground.wanted.on:
        raise Refused("final_account_to_come", job=job, to=day, on=ground.wanted.on)
    agreed = agreed_final_account(book, job)
    if agreed:
        listed = Remedy("show", what="final_account")
        raise Refused("final_account_agreed", job=job, day=agreed.day, remedy=listed)
    account = final_account(book, job, day, ground.wanted.reserve)
    refuse_open(account)
    time_charge = ground.card["contract_basis"] == TIME_CHARGE
    standings = shown_changes(book, job, day, ground.changes, time_charge=time_charge)
    contract_sum, amended_on = contract_sum_on(book, job, ground.card["contract_sum"], day)
    return FinalAccountLetter(
        head=ground.head,
        day_to=day,
        contract_sum=contract_sum.quantize(NOTHING),
        amended_on=amended_on,
        unspent=tuple(
            SumUnspent(each.name, each.amount, -each.left)
            for each in provisional_sums_spent(book, job, standings)
            if each.left
        ),
        changes=tuple(_settled(each) for each in standings if each.approved),
        final_sum=account.total,
        reserved=tuple(_reserved(account, standings)),
    )


def _settled(standing: OwnerChange) -> ChangeSettled:
    sums, title = sums_of(standing), standing.change.facts["title"] or ""
    moved = (sums.approved, sums.omitted, sums.daywork_movement)
    return ChangeSettled(standing.change.code, title, *moved)


def _reserved(account: FinalAccount, standings: list[OwnerChange]) -> Iterator[Reserved]:
    """Yield what is reserved, but for requests that have not come to the owner."""
    titles = {each.change.code: each.change.facts["title"] or "" for each in standings}
    for matter in account.reserved:
        if matter.item in titles or matter.kind in {"disallowed", "base_time"}:
            yield Reserved(matter.item, titles.get(matter.item, ""), matter.kind)
