"""The owner's statement made from the book: only owner's queries and totals of hours by step."""

import json
from dataclasses import dataclass, replace
from datetime import date
from typing import Any

from ledger.changes.base_time import time_beyond
from ledger.changes.completion import completion
from ledger.changes.requests import OWNER, changes_of
from ledger.changes.sums import ContractSums, contract_sum_on, contract_sums, sums_unspent
from ledger.domain.change_life import ChangeState
from ledger.domain.contracts import TIME_CHARGE
from ledger.errors import Refused
from ledger.jobs.jobs import currency_of, job_unknown
from ledger.performance.overrun import Overrun, overrun
from ledger.performance.status_dates import default_status_date
from ledger.reports.commands_named import NONE, Commands, Remade
from ledger.reports.identity import StampShown, Yard, stamp_of
from ledger.reports.owner.changes import (
    awaiting,
    change_detail,
    change_row,
    shown_changes,
)
from ledger.reports.owner.matters import open_matters
from ledger.reports.owner.moved import moved_since
from ledger.reports.owner.variations import OwnerVariations
from ledger.reports.owner.variations_rows import (
    CompletionDates,
    Headline,
    HoursRow,
    Job,
    NotChargedRow,
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


@dataclass(frozen=True)
class LastStatement:
    """The statement that this one is compared with: its status date, and the batch of its stamp."""

    status_date: date
    known_at: int


def build(
    book: Book,
    job: str,
    status_date: date | None,
    commands: Commands = NONE,
    last: LastStatement | None = None,
) -> OwnerVariations:
    """Return the statement of variations and open requests of a job.

    `commands` has the words of the one that makes it again. With `last` it says what moved since.

    Raises: Refused when there is no such job, no status date or no charge rate, or when the last
    statement is not from before.
    """
    now = _build(book, job, status_date, commands, last)
    if last is None:
        return now
    if last.status_date > now.status_date:
        raise Refused("last_statement_later", last=last.status_date, day=now.status_date)
    before = _build(book.known_by(last.known_at), job, last.status_date, NONE, None)
    return replace(now, moved=moved_since(before, now))


def _build(
    book: Book,
    job: str,
    status_date: date | None,
    commands: Commands,
    last: LastStatement | None,
) -> OwnerVariations:
    """Return the statement of a day as it is, without what moved."""
    cards = book.records("owner/job", job=job)
    if not cards:
        raise job_unknown(job)
    card = cards[0]
    yard: dict[str, str] = dict(book.rows("owner/yard"))
    day = status_date or default_status_date(book, job)
    why = overrun(book, job, day, offered_only=True)
    contract_sum, amended_on = contract_sum_on(book, job, card["contract_sum"], day)
    by_time = card["contract_basis"] == TIME_CHARGE
    changes = changes_of(book, job, OWNER)
    standings = shown_changes(book, job, day, changes, time_charge=by_time)
    beyond = time_beyond(book, job, day, contract_sum, standings)
    sums = contract_sums(contract_sum, standings, sums_unspent(book, job, day, standings), beyond)
    stamp = stamp_of(book)
    return OwnerVariations(
        yard=_yard(yard),
        job=Job(
            code=job,
            title=card["title"],
            owner=card["owner"],
            currency=currency_of(card, yard),
            contract_date=card["contract_date"],
            contract_basis=card["contract_basis"],
            amended_on=amended_on,
        ),
        status_date=day,
        known_at=stamp,
        remade_by=commands.makes(_remade(job, day, stamp, last)),
        rehearsal=yard.get("book.rehearsal") == "yes",
        completion=_completion(book, card, [each.state(day) for each in changes.values()]),
        headline=_headline(why) if card["owner_sees_overrun"] else None,
        hours=_hours(why, whole=card["owner_sees_overrun"]),
        sums=_sums(sums),
        changes=tuple(change_row(each) for each in standings),
        details=tuple(change_detail(each) for each in standings),
        awaiting=awaiting(standings),
        open_matters=open_matters(standings),
        not_charged=_not_charged(why) if card["owner_sees_overrun"] else (),
        how_to_read=how_to_read(card["contract_basis"], whole=card["owner_sees_overrun"]),
        caution=CAUTION,
        unspent=sums.unspent,
    )


def _remade(job: str, day: date, stamp: StampShown, last: LastStatement | None) -> Remade:
    """Return what makes the statement again, by what it is compared with too."""
    same = Remade("variations", stamp.sequence, day, job)
    if last is None:
        return same
    return replace(same, since=last.status_date, since_known_at=last.known_at)


def _completion(book: Book, card: dict[str, Any], states: list[ChangeState]) -> CompletionDates:
    """Return the completion dates: days granted count whatever became of the price."""
    dates = completion(book, card["job"], card["completion_date"], card["days"], states)
    return CompletionDates(dates.agreed, dates.days_granted, dates.moved_to)


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


def _sums(sums: ContractSums) -> tuple[SumRow, ...]:
    amounts = {
        "contract_sum": sums.original,
        "approved_variations": sums.approved,
        "omissions": sums.omitted,
        "daywork_against_estimate": sums.daywork_movement,
        "adjusted_contract_sum": sums.adjusted,
        "daywork_unsigned": sums.daywork_unsigned,
        "time_beyond_estimate": sums.time_beyond,
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
