"""The owner's statement as a page: its words, its figures and its tables in their order."""

from decimal import Decimal

from ledger.reports import page_parts
from ledger.reports.canonical import digest
from ledger.reports.charts import Bar, waterfall
from ledger.reports.figures import hours, number_text
from ledger.reports.owner import change_tables as lists
from ledger.reports.owner import tables, wording
from ledger.reports.owner.sheets import sheets
from ledger.reports.owner.variations import OwnerVariations
from ledger.reports.page_parts import LINE_LENGTH
from ledger.reports.tables import Chart, Fact, Page, Section
from ledger.reports.text import NAME_LENGTH, cut, visible_throughout

RUNNING_LENGTH = 60


def owner_page(view: OwnerVariations) -> Page:
    """Return the statement ready to be shown; the digest is that of the view as it was given."""
    seal = digest(view)
    shown: OwnerVariations = visible_throughout(view)
    job = shown.job
    code = cut(job.code, NAME_LENGTH)
    return Page(
        title=wording.TITLE,
        subject=f"{code} · {cut(job.title, LINE_LENGTH)}",
        letterhead=page_parts.letterhead(shown.yard),
        facts=facts(shown),
        headline=headline(shown),
        figures=figures(shown),
        sections=sections(shown),
        how_to_read=shown.how_to_read,
        caution=shown.caution,
        proof=page_parts.proof(shown.known_at, view, shown.remade_by),
        running=(
            f"{code} · {cut(job.title, RUNNING_LENGTH)}",
            f"Status date {shown.status_date}",
        ),
        foot=page_parts.foot(shown.known_at, seal),
        banner=page_parts.banner(rehearsal=shown.rehearsal),
        sheets_title=wording.SHEETS_TITLE,
        sheets=sheets(shown),
    )


def facts(view: OwnerVariations) -> tuple[Fact, ...]:
    """Return whose job it is and what day the figures are of."""
    job, completion = view.job, view.completion
    dates: tuple[Fact, ...] = ()
    if completion.original:
        revised = completion.revised.isoformat() if completion.revised else wording.BEYOND
        dates = (
            Fact("Completion", completion.original.isoformat()),
            Fact("Revised completion", f"{revised}, {days_words(completion.days_granted)}"),
        )
    return (
        Fact("Owner", cut(job.owner, LINE_LENGTH)),
        Fact("Status date", view.status_date.isoformat()),
        Fact("Contract date", job.contract_date.isoformat()),
        Fact("As recorded by", f"record stamp {view.known_at.sequence}"),
        *dates,
    )


def headline(view: OwnerVariations) -> str:
    """Return the statement in one sentence."""
    if view.headline:
        split = tables.shown_split(view)
        asked = hours(view.headline.asked_for_ms)
        return wording.hours_sentence(sum(split, Decimal("0.00")), asked, split)
    sums = {row.step: tables.amount(view, row.amount) for row in view.sums}
    waiting = wording.waiting_words(len(view.awaiting), tables.amount(view, awaiting_sum(view)))
    return wording.sum_sentence(sums["adjusted_contract_sum"], sums["contract_sum"], waiting)


def figures(view: OwnerVariations) -> tuple[Fact, ...]:
    """Return the four figures that a reader in a hurry looks for."""
    sums = {row.step: row.amount for row in view.sums}
    contract, adjusted = sums["contract_sum"], sums["adjusted_contract_sum"]
    final, count = sums["anticipated_final_sum"], len(view.awaiting)
    granted = days_words(view.completion.days_granted)
    return (
        Fact("Contract sum", tables.amount(view, contract), contract_words(view)),
        Fact(
            "Adjusted contract sum",
            tables.amount(view, adjusted),
            f"{number_text(adjusted - contract, signed=True)}; {granted}",
        ),
        Fact(
            "Anticipated final sum",
            tables.amount(view, final),
            f"{number_text(final - adjusted, signed=True)} not agreed yet",
        ),
        Fact(
            "Awaiting your decision",
            tables.amount(view, awaiting_sum(view)),
            f"{count} request" if count == 1 else f"{count} requests",
        ),
    )


def contract_words(view: OwnerVariations) -> str:
    """Return since when the contract sum is what it is."""
    amended = view.job.amended_on
    return f"amended {amended}" if amended else f"signed {view.job.contract_date}"


def days_words(granted: int) -> str:
    return (
        f"{number_text(granted)} day granted"
        if granted == 1
        else (f"{number_text(granted)} days granted")
    )


def awaiting_sum(view: OwnerVariations) -> Decimal:
    return sum((row.price for row in view.awaiting), tables.nil(view))


def sections(view: OwnerVariations) -> tuple[Section, ...]:
    shown = [Section("Awaiting your decision", lists.awaiting_table(view))]
    if view.open_matters:
        shown.append(Section("Open matters", lists.matters_table(view)))
    shown.append(Section("The contract", tables.contract_table(view)))
    if view.headline:
        chart = Chart(waterfall(bars(view)), *chart_words(view))
        shown.append(Section("Why the hours changed", tables.hours_table(view), chart))
    shown.append(Section("Variations and requests", lists.changes_table(view)))
    if view.headline:
        shown.append(Section("Hours not charged", tables.not_charged_table(view)))
    return tuple(shown)


def bars(view: OwnerVariations) -> list[Bar]:
    """Return the steps of the hours as bars, in hundredths of an hour."""
    return [
        Bar(wording.HOURS_LABELS[step], int(amount.scaleb(2)), is_total=step in tables.TOTALS)
        for step, amount in tables.shown_hours(view).items()
    ]


def chart_words(view: OwnerVariations) -> tuple[str, str]:
    """Return the chart in words, and its caption."""
    steps = ", ".join(
        f"{wording.HOURS_LABELS[step]} {number_text(amount, signed=step not in tables.TOTALS)}"
        for step, amount in tables.shown_hours(view).items()
    )
    return f"Hours step by step: {steps}. The table below has the same figures.", wording.CHART
