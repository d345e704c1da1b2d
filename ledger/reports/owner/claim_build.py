"""The progress claim of a job, made from what may be claimed and what was certified."""

from dataclasses import replace

from ledger.billing.claimable import Claimable, claimable
from ledger.changes.sums import contract_sum_on, contract_sums, sums_unspent
from ledger.documents.issued_claims import claims_of
from ledger.domain.claims import ClaimLine
from ledger.domain.contracts import TIME_CHARGE
from ledger.domain.pricing import NOTHING
from ledger.errors import Refused, Remedy
from ledger.reports.owner.changes import OwnerChange, shown_changes
from ledger.reports.owner.claim_view import ProgressClaim, VariationRow
from ledger.reports.owner.document_ground import JobGround

# Lines that are called as their change is.
BY_TITLE = frozenset({"variation", "omission", "provisional", "on_account"})


def progress_claim(ground: JobGround) -> ProgressClaim:
    """Return the next claim of a job, to the day asked for.

    Raises: Refused when nothing may be claimed, for a day to come, or one before the last claim's.
    """
    book, job, day = ground.book, ground.job, ground.wanted.day_to
    assert day is not None
    claims = claims_of(book, job)
    if day > ground.wanted.on:
        raise Refused("claim_to_come", job=job, to=day, on=ground.wanted.on)
    if claims and day < claims[-1].day:
        last = claims[-1]
        raise Refused("claim_before_last", job=job, to=day, claim=last.number, last=last.day)
    draft = claimable(book, job, day)
    if not any(line.amount for line in draft.lines) and not draft.sums.due:
        raise Refused("claim_empty", job=job, to=day, remedy=Remedy("claimable", job=job))
    time_charge = ground.card["contract_basis"] == TIME_CHARGE
    standings = shown_changes(book, job, day, ground.changes, time_charge=time_charge)
    contract_sum, amended_on = contract_sum_on(book, job, ground.card["contract_sum"], day)
    sums = contract_sums(contract_sum, standings, sums_unspent(book, job, day, standings))
    return ProgressClaim(
        head=ground.head,
        title=ground.settings.get("yard.claim_title") or "Progress claim",
        claim=len(claims) + 1,
        day_to=day,
        contract_sum=sums.original,
        amended_on=amended_on,
        variations=_variations(standings),
        adjusted_sum=sums.adjusted,
        lines=_lines(draft, standings),
        sums=draft.sums,
        unspent=sums.unspent,
    )


def _variations(standings: list[OwnerChange]) -> tuple[VariationRow, ...]:
    """Return the approved changes by number, each with its place in the adjusted sum."""
    approved = sorted(
        (each for each in standings if each.approved), key=lambda each: each.change.code
    )
    return tuple(
        VariationRow(
            each.change.code,
            each.change.facts["title"] or "",
            each.amount or NOTHING,
            each.estimated,
        )
        for each in approved
    )


def _lines(draft: Claimable, standings: list[OwnerChange]) -> tuple[ClaimLine, ...]:
    """Return the lines, changes called as the owner was sent them."""
    titles = {each.change.code: each.change.facts["title"] or "" for each in standings}
    return tuple(
        replace(line, description=titles.get(line.change or "", line.description))
        if line.claim_kind in BY_TITLE
        else line
        for line in draft.lines
    )
