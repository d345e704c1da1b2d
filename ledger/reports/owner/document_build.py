"""The documents for the owner, each made from the ground it stands on."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from datetime import date, timedelta
from typing import Any

from ledger.documents.issuing import About
from ledger.documents.stated import Stated
from ledger.domain.calendar import WorkCalendar
from ledger.errors import Refused, Remedy
from ledger.jobs.jobs import week_start
from ledger.reports.commands_named import NONE, Commands
from ledger.reports.owner import document_views as views
from ledger.reports.owner.claim_build import progress_claim
from ledger.reports.owner.claim_view import ProgressClaim
from ledger.reports.owner.document_ground import DocumentWanted, Ground, JobGround
from ledger.reports.owner.final_account_build import final_account_letter
from ledger.reports.owner.final_account_view import FinalAccountLetter
from ledger.reports.owner.invoice_build import credit_note, invoice
from ledger.reports.owner.invoice_view import JobCreditNote, JobInvoice
from ledger.reports.owner.issued_statement import KIND as STATEMENT
from ledger.reports.owner.issued_statement import issued_statement
from ledger.store.book import Book

View = Any


def quotation(ground: Ground) -> views.Quotation:
    """Return the offer of a price that is not approved.

    Raises: Refused for a change that is approved or withdrawn, or a price not valid any more.
    """
    _refuse_ended(ground)
    if ground.state.approved:
        raise Refused("quotation_of_approved", job=ground.job, change=ground.change.code)
    offer = ground.offer(ground.latest)
    sent = ground.state.valid_until.get(offer.revision)
    until = sent or ground.wanted.valid_until
    _refuse_past(ground, until)
    return views.Quotation(ground.head, ground.change_head, offer, until)


def variation_order(ground: Ground) -> views.VariationOrder:
    """Return the change as it alters the contract: at the price approved, else sent, else priced.

    Raises: Refused for a change that is withdrawn, or without a price.
    """
    state = ground.state
    if not state.approved:
        _refuse_ended(ground)
    sent = state.approved_revision or ground.wanted.revision or state.submitted_revision
    offer = ground.offer(sent or ground.latest)
    return views.VariationOrder(
        ground.head,
        ground.change_head,
        offer,
        _approval(ground) if state.approved else None,
        ground.sums_moved(offer),
        ground.completion_moved(offer),
    )


def _approval(ground: Ground) -> views.Approval:
    approval = [
        record
        for record in ground.change.records
        if record["event"] in {"approved", "accepted"} and record["day"] <= ground.wanted.on
    ][-1]
    return views.Approval(approval["day"], approval["reference"] or "")


def instruction_confirmation(ground: Ground) -> views.InstructionConfirmation:
    """Return the letter that confirms the last instruction.

    Raises: Refused when none is recorded, or it was denied or stopped.
    """
    event = ground.state.ordered_by
    if event is None or ground.state.last_instruction not in {"instructed", "confirmed"}:
        job, code = ground.job, ground.change.code
        instruct = Remedy("instruct", job=job, change=code)
        raise Refused("instruction_missing", job=job, change=code, remedy=instruct)
    return views.InstructionConfirmation(
        head=ground.head,
        change=ground.change_head,
        given_by=event.person or "",
        given_on=event.day,
        reference=event.reference or "",
        is_listed=event.listed,
        counts_from=None if event.listed else event.silent_from,
        offer=ground.offered,
        texts=ground.wanted.texts,
    )


def decision_request(ground: Ground) -> views.DecisionRequest:
    """Return the request that the owner decides: on the price sent, else on how to go on.

    Raises: Refused for a change that is approved or withdrawn.
    """
    _refuse_ended(ground)
    if ground.state.approved:
        raise Refused("decision_on_approved", job=ground.job, change=ground.change.code)
    needed_by = ground.wanted.reply_by or ground.change.facts["decision_needed_by"]
    offer = ground.offered
    until = ground.state.valid_until.get(offer.revision) if offer else None
    _refuse_past(ground, until)
    return views.DecisionRequest(
        head=ground.head,
        change=ground.change_head,
        needed_by=needed_by,
        instructed=ground.state.instruction == "instructed",
        offer=offer,
        valid_until=until,
        texts=ground.wanted.texts,
    )


def notice(ground: Ground) -> views.NoticeShown:
    """Return the notice of an event that may cost time or money.

    Raises: Refused when it was to be known later than it is written.
    """
    wanted = ground.wanted
    assert wanted.aware_on is not None
    if wanted.aware_on > wanted.on:
        raise Refused("aware_later", aware_on=wanted.aware_on, on=wanted.on)
    return views.NoticeShown(
        head=ground.head,
        change=ground.change_head,
        aware_on=wanted.aware_on,
        effect=wanted.effect,
        offer=ground.offered,
        texts=wanted.texts,
    )


def daywork_sheet(ground: Ground) -> views.DayworkSheet:
    """Return what was worked and used on daywork in some days.

    Raises: Refused when the change is not daywork, or nothing is booked on it in these days.
    """
    wanted = ground.wanted
    assert wanted.day_from is not None
    assert wanted.day_to is not None
    if ground.change.facts["change_basis"] != "daywork":
        basis, code = ground.change.facts["change_basis"], ground.change.code
        raise Refused("sheet_of_no_daywork", job=ground.job, change=code, basis=basis)
    worked = _worked(ground.book, wanted, wanted.day_from, wanted.day_to)
    used = tuple(
        views.UsedRow(
            row["day"],
            row["cost_kind"],
            row["description"],
            row["quantity"],
            row["unit"],
            row["reference"] or "",
        )
        for row in ground.book.records(
            "owner/daywork_items", job=wanted.job, status_date=wanted.day_to
        )
        if row["change"] == wanted.change and row["day"] >= wanted.day_from
    )
    if not worked and not used:
        raise Refused(
            "sheet_empty",
            job=ground.job,
            change=ground.change.code,
            day_from=wanted.day_from,
            day_to=wanted.day_to,
        )
    return views.DayworkSheet(
        head=ground.head,
        change=ground.change_head,
        day_from=wanted.day_from,
        day_to=wanted.day_to,
        mark=wanted.mark,
        worked=worked,
        used=used,
    )


def _worked(
    book: Book, wanted: DocumentWanted, start: date, end: date
) -> tuple[views.WorkedRow, ...]:
    """Return the hours by day and worker, workers numbered from 1 on this sheet."""
    named = {"job": wanted.job, "change": wanted.change, "day_from": start, "day_to": end}
    rows = book.records("owner/daywork_done", **named)
    workers = {worker: n for n, worker in enumerate(sorted({r["worker"] for r in rows}), start=1)}
    return tuple(
        views.WorkedRow(row["day"], workers[row["worker"]], row["trade"] or "", int(row["ms"]))
        for row in rows
    )


def _refuse_ended(ground: Ground) -> None:
    if ground.state.withdrawn:
        raise Refused("document_of_withdrawn", job=ground.job, change=ground.change.code)


def _refuse_past(ground: Ground, until: date | None) -> None:
    if until is not None and until < ground.wanted.on:
        on, code = ground.wanted.on, ground.change.code
        raise Refused("validity_past", job=ground.job, change=code, until=until, on=on)


@dataclass(frozen=True)
class OwnerDocument:
    """A kind of document: its view model and what makes it; not all are of a change."""

    view: type
    make: Callable[[Any], View]
    of_change: bool = True
    is_invoice: bool = False


# Every kind that can be issued of a change; what is not here cannot be.
OWNER_DOCUMENTS: Mapping[str, OwnerDocument] = {
    "quotation": OwnerDocument(views.Quotation, quotation),
    "variation_order": OwnerDocument(views.VariationOrder, variation_order),
    "instruction_confirmation": OwnerDocument(
        views.InstructionConfirmation, instruction_confirmation
    ),
    "decision_request": OwnerDocument(views.DecisionRequest, decision_request),
    "notice": OwnerDocument(views.NoticeShown, notice),
    "daywork_sheet": OwnerDocument(views.DayworkSheet, daywork_sheet),
    "claim": OwnerDocument(ProgressClaim, progress_claim, of_change=False),
    "final_account": OwnerDocument(FinalAccountLetter, final_account_letter, of_change=False),
    "invoice": OwnerDocument(JobInvoice, invoice, of_change=False, is_invoice=True),
    "credit_note": OwnerDocument(JobCreditNote, credit_note, of_change=False, is_invoice=True),
}


def build_document(
    book: Book, wanted: DocumentWanted, commands: Commands = NONE
) -> tuple[View, About]:
    """Return a document's view model, and what is recorded of it once it is issued.

    `commands` has the words of the one that makes a report again. Raises: Refused when it cannot be
    made of that change or job.
    """
    if wanted.kind == STATEMENT:
        statement = issued_statement(book, wanted, commands)
        return statement, replace(wanted.about, day_to=statement.status_date)
    kind = OWNER_DOCUMENTS[wanted.kind]
    if kind.is_invoice:
        made = kind.make(JobGround(book, wanted))
        return made, made.about
    if not kind.of_change:
        view = kind.make(JobGround(book, wanted))
        return view, About(wanted.kind, wanted.job, day_to=view.day_to)
    if wanted.week is not None:
        start = WorkCalendar((), week_start(book)).week_of(wanted.week)
        wanted = replace(wanted, day_from=start, day_to=start + timedelta(days=6))
    view = kind.make(Ground(book, wanted))
    return view, _about(view, wanted.about)


def _about(view: View, about: About) -> About:
    """Return what is recorded of a document of a change: what is entered after it rests on that."""
    offer = getattr(view, "offer", None)
    about = replace(about, revision=offer.revision if offer else None)
    if isinstance(view, views.Quotation):
        stated = Stated(valid_until=view.valid_until, days=view.offer.days)
        return replace(about, particulars=stated.particulars)
    if isinstance(view, views.NoticeShown):
        return replace(about, particulars=Stated(aware_on=view.aware_on).particulars)
    if isinstance(view, views.DecisionRequest):
        return replace(about, due_on=view.needed_by)
    return about
