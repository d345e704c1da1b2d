"""The tables of a job's page for its owner: a row a thing, each column to be sorted by."""

from collections.abc import Iterator
from dataclasses import replace
from decimal import Decimal

from ledger.language import _
from ledger.reports.dates import written
from ledger.reports.figures import hours
from ledger.reports.owner import change_tables, wording
from ledger.reports.owner import job_wording as own
from ledger.reports.owner.job_view import OwnerJob
from ledger.reports.owner.page import awaiting_sum
from ledger.reports.owner.tables import hours_column, meaning_column, money
from ledger.reports.owner.variations import OwnerVariations
from ledger.reports.owner.variations_rows import ChangeRow
from ledger.reports.tables import Column, Row, Table
from ledger.reports.text import NAME_LENGTH, TEXT_LENGTH, cut

KINDS = {"outstanding": "total", "overdue": "aside", "disputed": "aside"}


def awaiting_table(view: OwnerVariations) -> Table:
    """Return what waits for the owner; days left are negative where the day is past."""
    columns = (
        Column(_("Request"), "code"),
        Column(_("Title"), "text"),
        Column(_("Submitted"), "date"),
        Column(_("Valid until"), "date"),
        Column(_("Needed by"), "date"),
        Column(_("Days left"), "days", "d"),
        hours_column(),
        money(_("Price"), view.job),
        Column(_("Days asked for"), "days", "d"),
    )
    rows = []
    for each in view.awaiting:
        needed = each.decision_needed_by
        left = (needed - view.status_date).days if needed else None
        dates = (each.submitted_on, each.valid_until, needed, left)
        cells = (cut(each.change, NAME_LENGTH), change_tables.awaiting_title(each), *dates)
        rows.append(Row((*cells, hours(each.hours_ms), each.price, each.days)))
    return change_tables.awaiting_of(view, columns, tuple(rows))


def matters_table(view: OwnerVariations) -> Table:
    """Return what is open besides a decision on a price, and what that means."""
    columns = (*change_tables.matter_columns(view), Column(_("What it means"), "text"))
    rows_of = {row.change: row for row in view.changes}
    rows = [
        Row(
            (
                cut(each.change, NAME_LENGTH),
                cut(each.title, TEXT_LENGTH),
                _(wording.MATTER_WORDS[each.matter]),
                each.since,
                None if each.hours_ms is None else hours(each.hours_ms),
                each.amount,
                wording.matter_effect(each, rows_of[each.change]),
            )
        )
        for each in view.open_matters
    ]
    return change_tables.matters_of(view, columns, tuple(rows))


def changes_table(view: OwnerVariations) -> Table:
    """Return every change: where it stands, since when, and what it waits for."""
    columns = (
        Column(_("Change"), "code"),
        Column(_("Title"), "text"),
        Column(_("Status"), "standing"),
        Column(_("Since"), "date"),
        Column(_("Waits for"), "standing", missing=""),
        Column(_("Basis"), "basis"),
        hours_column(),
        money(_("Price"), view.job),
        Column(_("Days"), "days", "d"),
    )
    waits = waits_for(view)
    rows = [
        Row(
            (
                cut(row.change, NAME_LENGTH),
                cut(row.title, TEXT_LENGTH),
                wording.state_words(replace(row, state_on=None)),
                row.state_on,
                _(own.WAITS_FOR[waits[row.change]]) or None,
                wording.basis_words(row),
                worked,
                row.price,
                row.days,
            )
        )
        for row, worked in zip(view.changes, change_tables.change_hours(view), strict=True)
    ]
    return change_tables.changes_of(columns, tuple(rows))


def waits_for(view: OwnerVariations) -> dict[str, str]:
    """Return for each change what it waits for, "" where nothing is open."""
    rough = {each.change: each.rough for each in view.awaiting}
    open_ones = {each.change for each in view.open_matters}
    days_asked = {each.change for each in view.details if each.days_requested}

    def of(row: ChangeRow) -> str:
        if row.change in rough:
            return "firm_price" if rough[row.change] else "decision"
        if row.change in open_ones:
            return "matter"
        if row.state == "requested":
            return "price"
        return "days" if row.days_open and row.change in days_asked else ""

    return {row.change: of(row) for row in view.changes}


def standing_sums(view: OwnerJob) -> dict[str, Decimal]:
    """Return what is agreed, waits, is claimed and certified, without tax."""
    sums = {row.step: row.amount for row in view.statement.sums}
    return {
        "agreed": sums["adjusted_contract_sum"],
        "awaiting": awaiting_sum(view.statement),
        "claimed": view.account.claimed_value,
        "certified": view.account.certified_value,
    }


def standing_table(view: OwnerJob) -> Table:
    """Return what is agreed, waits, is claimed and certified, and what each of it is."""
    meanings = {name: _(text) for name, text in own.STANDING_MEANINGS.items()}
    if view.account.claimed_to:
        day = written(view.account.claimed_to)
        meanings["claimed"] = _(own.CLAIMED_TO).format(day=day)
    rows = [
        Row((_(own.STANDING[name]), amount, meanings[name]))
        for name, amount in standing_sums(view).items()
    ]
    columns = (Column(_("What"), "text"), money(_("Sum"), view.statement.job), meaning_column())
    return Table("Agreed and claimed", _("Sums without tax"), columns, tuple(rows))


def account_table(view: OwnerJob) -> Table:
    """Return what is certified and held, then with tax what is invoiced, paid and owed."""
    rows = [
        Row((_(words), getattr(view.account, name)), KINDS.get(name, "plain"))
        for name, words in own.ACCOUNT.items()
    ]
    columns = (Column(_("What"), "text"), money(_("Sum"), view.statement.job))
    caption = _("Invoices and payments with tax")
    return Table("Account", caption, columns, tuple(rows))


def invoices_table(view: OwnerJob) -> Table:
    job = view.statement.job
    columns = (
        Column(_("Invoice"), "code"),
        Column(_("Issued"), "date"),
        Column(_("Due"), "date"),
        money(_("Amount"), job),
        money(_("Credited"), job),
        money(_("Paid"), job),
        money(_("Deducted"), job),
        money(_("Outstanding"), job),
        Column(_("Days overdue"), "days", "d"),
    )
    rows = tuple(
        Row(
            (
                *(cut(e.document, NAME_LENGTH), e.issued_on, e.due_on, e.invoiced, e.credited),
                *(e.paid, e.deducted, e.outstanding, e.days),
            )
        )
        for e in view.account.invoices
    )
    caption = _("How each invoice stands, with tax")
    return Table("Invoices", caption, columns, rows, _("No invoice was issued yet."))


def completion_table(view: OwnerVariations) -> Table:
    """Return when the contract has to be complete, and what days are granted and asked for."""
    columns = (Column(_("What"), "text"), Column(_("Value"), "text"))
    rows = tuple(Row((_(own.COMPLETION[name]), words)) for name, words in _completion(view))
    return Table("Completion", _("Dates of the contract"), columns, rows)


def _completion(view: OwnerVariations) -> Iterator[tuple[str, str]]:
    dates = view.completion
    signed = written(dates.original) if dates.original else _(wording.NO_COMPLETION)
    yield "original", signed
    yield "granted", wording.days_words(dates.days_granted)
    if dates.original:
        yield "revised", written(dates.revised) if dates.revised else _(wording.BEYOND)
    yield "asked", wording.days_words(sum(each.days or 0 for each in view.awaiting))
