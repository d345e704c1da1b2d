"""A job on one page for its owner: what waits for them first, then sums, account and dates."""

from collections.abc import Iterator
from decimal import Decimal

from ledger.language import _
from ledger.reports import page_parts
from ledger.reports.canonical import digest
from ledger.reports.chart_values import of_rows, told_chart
from ledger.reports.charts import WaterfallBar, side_by_side, waterfall
from ledger.reports.dates import written
from ledger.reports.figures import number_text
from ledger.reports.owner import job_tables as lists
from ledger.reports.owner import job_wording as own
from ledger.reports.owner import page, tables, wording
from ledger.reports.owner.job_view import OwnerJob
from ledger.reports.tables import Chart, Fact, Page, Section
from ledger.reports.text import NAME_LENGTH, cut, visible_throughout

SUM_TOTALS = ("contract_sum", "adjusted_contract_sum", "anticipated_final_sum")
NOT_DRAWN = ("submitted_not_added",)  # It is in no sum.


def job_page(view: OwnerJob) -> Page:
    """Return the page ready to be shown; the digest is that of the view as it was given."""
    seal = digest(view)
    owner_job: OwnerJob = visible_throughout(view)
    statement = owner_job.statement
    code = cut(statement.job.code, NAME_LENGTH)
    return Page(
        title=_(own.TITLE),
        subject=f"{code} · {cut(statement.job.title, page_parts.LINE_LENGTH)}",
        letterhead=page_parts.letterhead(statement.yard),
        facts=_facts(owner_job),
        headline=page.headline(statement),
        figures=(*page.figures(statement), _outstanding(owner_job)),
        sections=tuple(_sections(owner_job)),
        how_to_read=tuple(map(_, statement.how_to_read)),
        caution=_(statement.caution),
        proof=page_parts.proof(owner_job.known_at, view, owner_job.remade_by),
        running=(
            f"{code} · {cut(statement.job.title, page.RUNNING_LENGTH)}",
            _("Status date {day}").format(day=written(statement.status_date)),
        ),
        foot=page_parts.foot(owner_job.known_at, seal),
        banner=page_parts.banner(rehearsal=statement.rehearsal),
        cover="Overview",
    )


def _facts(view: OwnerJob) -> tuple[Fact, ...]:
    """Return whose job it is, and what day the figures are of."""
    statement = view.statement
    contract = {row.step: row.amount for row in statement.sums}["contract_sum"]
    sums = f"{tables.amount(statement, contract)}, {page.contract_words(statement)}"
    return (
        Fact(_("Owner"), cut(statement.job.owner, page_parts.LINE_LENGTH)),
        Fact(_("Contract sum"), sums),
        Fact(_("Status date"), written(statement.status_date)),
    )


def _outstanding(view: OwnerJob) -> Fact:
    overdue = _("{sum} of it overdue").format(sum=number_text(view.account.overdue))
    owed = tables.amount(view.statement, view.account.outstanding)
    return Fact(_("Outstanding, tax included"), owed, overdue)


def _sections(view: OwnerJob) -> Iterator[Section]:
    statement = view.statement
    waiting = lists.awaiting_table(statement)
    yield Section(_("Awaiting your decision"), waiting, is_sortable=True)
    if statement.open_matters:
        yield Section(_("Open matters"), lists.matters_table(statement), is_sortable=True)
    changes = lists.changes_table(statement)
    yield Section(_("Variations and requests"), changes, is_sortable=True)
    yield Section(_("The contract"), tables.contract_table(statement), _sum_chart(view))
    yield Section(_("Agreed and claimed"), lists.standing_table(view), _standing_chart(view))
    yield Section(_("The account"), lists.account_table(view))
    invoices = lists.invoices_table(view)
    yield Section(_("Invoices"), invoices, level=3, is_sortable=True)
    yield Section(_("Completion"), lists.completion_table(statement))
    if statement.headline:
        hours, lead = tables.hours_table(statement), page.hours_lead(statement)
        yield Section(_("Why the hours changed"), hours, _hours_chart(view), lead)
        yield Section(_("Hours not charged"), tables.not_charged_table(statement), level=3)


def _sum_chart(view: OwnerJob) -> Chart:
    """Return the steps of the sum; bars lie against the contract sum."""
    steps = [row for row in view.statement.sums if row.step not in NOT_DRAWN]
    labels = [_(wording.CONTRACT_LABELS[row.step]) for row in steps]
    bars = [
        WaterfallBar(label, _cents(row.amount), row.step in SUM_TOTALS)
        for label, row in zip(labels, steps, strict=True)
    ]
    words = [
        f"{label}: {_money(view, row.amount, signed=row.step not in SUM_TOTALS)}"
        for label, row in zip(labels, steps, strict=True)
    ]
    drawn = waterfall(bars, _(own.SUM_AXIS).format(currency=_currency(view)))
    return told_chart(drawn, of_rows(words), _(own.SUM_CHART))


def _standing_chart(view: OwnerJob) -> Chart:
    """Return what is agreed, waits, is claimed and certified beside each other."""
    amounts = {_(own.STANDING[name]): sum_ for name, sum_ in lists.standing_sums(view).items()}
    agreed = _(own.STANDING["agreed"])
    bars = [
        WaterfallBar(label, _cents(amount), label == agreed) for label, amount in amounts.items()
    ]
    words = [f"{label}: {_money(view, amount)}" for label, amount in amounts.items()]
    drawn = side_by_side(bars, _(own.STANDING_AXIS).format(currency=_currency(view)))
    return told_chart(drawn, of_rows(words), _(own.STANDING_CHART))


def _hours_chart(view: OwnerJob) -> Chart | None:
    """Return the steps of the hours; None where nothing moved them."""
    statement = view.statement
    if not any(row.hours_ms for row in statement.hours if row.step not in tables.TOTALS):
        return None
    words = [
        f"{_(wording.HOURS_LABELS[step])}: "
        f"{number_text(amount, signed=step not in tables.TOTALS)} h"
        for step, amount in tables.shown_hours(statement).items()
    ]
    drawn = waterfall(page.bars(statement))
    return told_chart(drawn, of_rows(words), _(own.HOURS_CHART))


def _money(view: OwnerJob, amount: Decimal, *, signed: bool = False) -> str:
    return f"{number_text(amount, signed=signed)} {_currency(view)}".rstrip()


def _currency(view: OwnerJob) -> str:
    return cut(view.statement.job.currency, NAME_LENGTH)


def _cents(amount: Decimal) -> int:
    return int(amount.scaleb(2))
