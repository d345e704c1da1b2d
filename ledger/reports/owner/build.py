"""The owner's statement made from the book: only owner's queries and totals of hours by step."""

import json
from datetime import date
from decimal import Decimal
from typing import Any

from ledger.changes.completion import completion
from ledger.changes.prices import NOTHING
from ledger.changes.requests import OWNER, changes_of
from ledger.changes.sums import contract_sum_on, contract_sums
from ledger.domain.change_life import ChangeState
from ledger.jobs.jobs import job_unknown
from ledger.performance.overrun import Overrun, overrun
from ledger.performance.report import default_status_date
from ledger.reports.commands_named import NONE, Commands, Remade
from ledger.reports.identity import Yard, stamp_of
from ledger.reports.owner.changes import (
    Shown,
    awaiting,
    change_detail,
    change_row,
    shown_changes,
)
from ledger.reports.owner.matters import open_matters
from ledger.reports.owner.variations import OwnerVariations
from ledger.reports.owner.variations_rows import (
    CompletionDates,
    Headline,
    HoursRow,
    Job,
    NotChargedRow,
    OpenMatter,
    SumRow,
)
from ledger.reports.owner.wording import CAUTION, how_to_read
from ledger.reports.owner.words import (
    CHANGE_STEPS,
    ESTIMATE_STEPS,
    NOT_CHARGED_STEPS,
    OVERRUN_STEPS,
    SUM_STEPS,
)
from ledger.store.book import Book


def build(
    book: Book, job: str, status_date: date | None, commands: Commands = NONE
) -> OwnerVariations:
    """Return the statement of variations and open requests of a job.

    `commands` has the words of the one that makes it again.

    Raises: Refused when there is no such job, no status date or no charge rate.
    """
    found = book.records("owner/job", job=job)
    if not found:
        raise job_unknown(job)
    card = found[0]
    yard: dict[str, str] = dict(book.rows("owner/yard"))
    day = status_date or default_status_date(book, job)
    why = overrun(book, job, day, offered_only=True)
    contract_sum, amended_on = contract_sum_on(book, job, card["contract_sum"], day)
    by_time = card["contract_basis"] == "time_charge"
    changes = changes_of(book, job, OWNER)
    shown = shown_changes(book, job, day, changes, time_charge=by_time)
    matters = open_matters(book, job, shown)
    stamp = stamp_of(book)
    sees = card["owner_sees_overrun"]
    return OwnerVariations(
        yard=_yard(yard),
        job=Job(
            code=job,
            title=card["title"],
            owner=card["owner"],
            currency=yard.get("yard.currency", ""),
            contract_date=card["contract_date"],
            contract_basis=card["contract_basis"],
            amended_on=amended_on,
        ),
        status_date=day,
        known_at=stamp,
        remade_by=commands.again(Remade("variations", stamp.sequence, day, job)),
        rehearsal=yard.get("book.rehearsal") == "yes",
        completion=_completion(book, card, [each.state(day) for each in changes.values()]),
        headline=_headline(why) if sees else None,
        hours=_hours(why, whole=sees),
        sums=_sums(contract_sum, shown, matters),
        changes=tuple(change_row(each) for each in shown),
        details=tuple(change_detail(each) for each in shown),
        awaiting=awaiting(shown),
        open_matters=matters,
        not_charged=_not_charged(why) if sees else (),
        how_to_read=how_to_read(card["contract_basis"], whole=sees),
        caution=CAUTION,
    )


def _completion(book: Book, card: dict[str, Any], states: list[ChangeState]) -> CompletionDates:
    """Return the completion dates: days granted count whatever became of the price."""
    found = completion(book, card["job"], card["completion_date"], card["days"], states)
    return CompletionDates(found.agreed, found.days_granted, found.moved_to)


def _yard(settings: dict[str, str]) -> Yard:
    address = tuple(json.loads(settings.get("yard.address", "[]")))
    return Yard(settings.get("yard.name", ""), address, settings.get("yard.logo", ""))


def _headline(why: Overrun) -> Headline:
    amounts = why.steps.amounts
    more = amounts["anticipated_final"] - amounts["original_budget"]
    paid, free = why.borne_by["owner"], why.borne_by["yard"]
    return Headline(more, why.asked_by_changes["owner"], paid, free, more - paid - free)


def _hours(why: Overrun, *, whole: bool) -> tuple[HoursRow, ...]:
    amounts = dict(why.steps.amounts)
    amounts["adjusted_estimate"] = sum(amounts[step] for step in ESTIMATE_STEPS[:-1])
    steps = ESTIMATE_STEPS + OVERRUN_STEPS if whole else CHANGE_STEPS
    return tuple(HoursRow(step, amounts[step]) for step in steps)


def _sums(
    contract_sum: Decimal, shown: list[Shown], matters: tuple[OpenMatter, ...]
) -> tuple[SumRow, ...]:
    unsigned = (each.amount or NOTHING for each in matters if each.matter == "daywork_unsigned")
    sums = contract_sums(contract_sum, shown, unsigned)
    amounts = {
        "contract_sum": sums.original,
        "approved_variations": sums.approved,
        "omissions": sums.omitted,
        "daywork_against_estimate": sums.daywork_movement,
        "adjusted_contract_sum": sums.adjusted,
        "daywork_unsigned": sums.daywork_unsigned,
        "instructed_at_latest_price": sums.instructed,
        "anticipated_final_sum": sums.anticipated_final,
        "submitted_not_added": sums.submitted,
    }
    return tuple(SumRow(step, amounts[step]) for step in SUM_STEPS)


def _not_charged(why: Overrun) -> tuple[NotChargedRow, ...]:
    return tuple(
        NotChargedRow(reason, why.borne_by_yard[reason])
        for reason in NOT_CHARGED_STEPS
        if why.borne_by_yard.get(reason)
    )
