"""The owner's statement as a page: its words, its figures and its tables in their order."""

from decimal import Decimal

from ledger.domain.allocation import shown_adding_to
from ledger.language import _, ngettext
from ledger.reports import page_parts
from ledger.reports.charts import WaterfallBar, waterfall
from ledger.reports.dates import written
from ledger.reports.figures import number_text, whole_hours
from ledger.reports.owner import change_tables as lists
from ledger.reports.owner import headlines, tables, wording
from ledger.reports.owner.moved_tables import moved_section
from ledger.reports.owner.sheets import sheets
from ledger.reports.owner.variations import OwnerVariations
from ledger.reports.owner.variations_rows import CompletionDates
from ledger.reports.page_parts import LINE_LENGTH
from ledger.reports.tables import Chart, Fact, Page, Section
from ledger.reports.text import NAME_LENGTH, cut, visible_throughout

RUNNING_LENGTH = 60


def owner_page(view: OwnerVariations) -> Page:
    """Return the statement ready to be shown; its digest is that of the view as it was given."""
    statement: OwnerVariations = visible_throughout(view)
    job = statement.job
    code = cut(job.code, NAME_LENGTH)
    return Page(
        title=_(wording.TITLE),
        subject=f"{code} · {cut(job.title, LINE_LENGTH)}",
        letterhead=page_parts.letterhead(statement.yard),
        facts=facts(statement),
        headline=headline(statement),
        figures=figures(statement),
        sections=sections(statement),
        how_to_read=tuple(map(_, statement.how_to_read)),
        caution=_(statement.caution),
        proof=page_parts.proof(statement.known_at, view, statement.remade_by),
        running=(
            f"{code} · {cut(job.title, RUNNING_LENGTH)}",
            _("Status date {day}").format(day=written(statement.status_date)),
        ),
        foot=f"{cut(statement.yard.name, RUNNING_LENGTH)} · {foot_words(statement)}",
        banner=page_parts.banner(rehearsal=statement.rehearsal),
        sheets_title=_(wording.SHEETS_TITLE),
        sheets=sheets(statement),
    )


def facts(view: OwnerVariations) -> tuple[Fact, ...]:
    """Return whose job it is, what day the figures are of, and whether the statement is issued."""
    job = view.job
    contract = {row.step: row.amount for row in view.sums}["contract_sum"]
    issued: tuple[Fact, ...] = ()
    if view.issued_on:
        issued += (Fact(_("Date of issue"), written(view.issued_on)),)
    if view.prepared_by:
        issued += (Fact(_("Prepared by"), cut(view.prepared_by, LINE_LENGTH)),)
    return (
        Fact(_("Owner"), cut(job.owner, LINE_LENGTH)),
        Fact(_("Statement"), number_words(view)),
        Fact(_("Contract sum"), f"{tables.amount(view, contract)}, {contract_words(view)}"),
        Fact(_("Status date"), written(view.status_date)),
        *issued,
    )


def number_words(view: OwnerVariations) -> str:
    """Return the number of an issued statement; of another that it is a draft."""
    if view.number is None:
        return _(wording.DRAFT)
    return _("No. {number}").format(number=cut(view.number, NAME_LENGTH))


def foot_words(view: OwnerVariations) -> str:
    """Return what each page ends with: which statement it is of, and when it was issued."""
    number = number_words(view)
    if view.number is not None:
        number = _("Statement {number}").format(number=number)
    return f"{number}, {written(view.issued_on)}" if view.issued_on else number


def headline(view: OwnerVariations) -> str:
    """Return what the contract sum is now, and what waits for the owner, in one sentence."""
    sums = {row.step: tables.amount(view, row.amount) for row in view.sums}
    waiting = headlines.waiting_words(len(view.awaiting), tables.amount(view, awaiting_sum(view)))
    return headlines.sum_sentence(sums["adjusted_contract_sum"], sums["contract_sum"], waiting)


def hours_lead(view: OwnerVariations) -> str:
    """Return in one sentence how the hours run, in whole hours."""
    assert view.headline is not None
    line = view.headline
    more = whole_hours(line.more_than_estimated_ms)
    split = (line.paid_ms, line.not_charged_ms, line.undecided_ms)
    paid, free, undecided = shown_adding_to(more, split, places=0)
    return headlines.hours_sentence(more, whole_hours(line.asked_for_ms), (paid, free, undecided))


def figures(view: OwnerVariations) -> tuple[Fact, ...]:
    """Return the four figures that a reader in a hurry looks for."""
    sums = {row.step: row.amount for row in view.sums}
    contract, adjusted = sums["contract_sum"], sums["adjusted_contract_sum"]
    final, count = sums["anticipated_final_sum"], len(view.awaiting)
    return (
        Fact(
            _("Adjusted contract sum"),
            tables.amount(view, adjusted),
            _("{sum} on the contract sum").format(sum=signed(adjusted - contract)),
        ),
        Fact(
            _("Anticipated final sum"),
            tables.amount(view, final),
            _("{sum} not agreed yet").format(sum=signed(final - adjusted)),
        ),
        Fact(
            _("Awaiting your decision"),
            tables.amount(view, awaiting_sum(view)),
            ngettext("{count} request", "{count} requests", count).format(count=number_text(count)),
        ),
        completion_figure(view.completion),
    )


def completion_figure(dates: CompletionDates) -> Fact:
    """Return when the contract has to be complete: with the days granted, and as signed."""
    granted = _("{days} granted").format(days=wording.days_words(dates.days_granted))
    if dates.original is None:
        return Fact(_("Days granted"), number_text(dates.days_granted), _(wording.NO_COMPLETION))
    signed_on = _("{day} as signed").format(day=written(dates.original))
    revised = written(dates.revised) if dates.revised else _(wording.BEYOND)
    return Fact(_("Completion"), revised, f"{signed_on}; {granted}")


def signed(value: Decimal) -> str:
    return number_text(value, signed=True)


def contract_words(view: OwnerVariations) -> str:
    """Return since when the contract sum is what it is."""
    amended = view.job.amended_on
    since = written(amended or view.job.contract_date)
    return (_("amended {day}") if amended else _("signed {day}")).format(day=since)


def awaiting_sum(view: OwnerVariations) -> Decimal:
    return sum((row.price for row in view.awaiting), tables.nil(view))


def sections(view: OwnerVariations) -> tuple[Section, ...]:
    waiting = _(wording.SIGN) if view.awaiting else ""
    in_order = [Section(_("Awaiting your decision"), lists.awaiting_table(view), lead=waiting)]
    if view.open_matters:
        in_order.append(Section(_("Open matters"), lists.matters_table(view)))
    if view.moved:
        in_order.append(moved_section(view, view.moved))
    in_order.append(Section(_("The contract"), tables.contract_table(view)))
    in_order.append(Section(_("Variations and requests"), lists.changes_table(view)))
    if view.headline:
        moves = any(row.hours_ms for row in view.hours if row.step not in tables.TOTALS)
        chart = Chart(waterfall(bars(view)), *chart_words(view)) if moves else None
        table = tables.hours_table(view)
        in_order.append(Section(_("Why the hours changed"), table, chart, hours_lead(view)))
        in_order.append(Section(_("Hours not charged"), tables.not_charged_table(view)))
    return tuple(in_order)


def bars(view: OwnerVariations) -> list[WaterfallBar]:
    """Return the steps of the hours as bars, in hundredths of an hour."""
    return [
        WaterfallBar(
            _(wording.HOURS_LABELS[step]), int(amount.scaleb(2)), is_total=step in tables.TOTALS
        )
        for step, amount in tables.shown_hours(view).items()
    ]


def chart_words(view: OwnerVariations) -> tuple[str, str]:
    """Return the chart in words, and its caption."""
    steps = ", ".join(
        f"{_(wording.HOURS_LABELS[step])} {number_text(amount, signed=step not in tables.TOTALS)}"
        for step, amount in tables.shown_hours(view).items()
    )
    return _(wording.CHART_ALTERNATIVE).format(steps=steps), _(wording.CHART)
