"""The tables of the owner's statement, with hours as they are shown."""

from collections.abc import Iterator, Sequence
from decimal import Decimal

from ledger.reports import owner_wording as wording
from ledger.reports.figures import hours, hours_adding_to
from ledger.reports.owner_variations import AwaitingRow, ChangeRow, Job, OwnerVariations
from ledger.reports.owner_words import ESTIMATE_STEPS, OVERRUN_STEPS
from ledger.reports.tables import Cell, Column, Row, Table
from ledger.reports.text import NAME_LENGTH, TEXT_LENGTH, cut

HOURS = Column("Hours", "hours", "h")
MEANING = Column("What it is", "note")
ROW_KINDS = {
    "adjusted_estimate": "subtotal",
    "adjusted_contract_sum": "subtotal",
    "anticipated_final": "total",
    "anticipated_final_sum": "total",
    "original_budget": "plain",
    "contract_sum": "plain",
    "submitted_not_added": "aside",
}
GROUPS = {
    "approved": "Approved variations",
    "instructed": "Requests instructed, price not agreed",
    "awaiting": "Requests awaiting your decision, not instructed",
    "open": "Other open requests, not counted",
    "closed": "Requests declined or withdrawn, not counted",
}
TOTALS = {
    "approved": "Approved variations, net",
    "instructed": "Instructed requests, as far as priced",
    "awaiting": "Awaiting your decision, not instructed",
}


def shown_hours(view: OwnerVariations) -> dict[str, Decimal]:
    """Return the hours of each step as shown: the steps add to both totals."""
    ms = {row.step: row.hours_ms for row in view.hours}
    adjusted = hours(ms["adjusted_estimate"])
    parts = ESTIMATE_STEPS[:-1]
    agreed = hours_adding_to(adjusted, [ms[step] for step in parts])
    shown = dict(zip(parts, agreed, strict=True))
    shown["adjusted_estimate"] = adjusted
    if view.headline:
        final = hours(ms["anticipated_final"])
        steps = OVERRUN_STEPS[:-1]
        rest = hours_adding_to(final - adjusted, [ms[step] for step in steps])
        shown |= dict(zip(steps, rest, strict=True))
        shown["anticipated_final"] = final
    return shown


def shown_split(view: OwnerVariations) -> tuple[Decimal, Decimal, Decimal]:
    """Return the hours paid, not charged and undecided as shown: they add to the difference."""
    assert view.headline is not None
    line = view.headline
    steps = shown_hours(view)
    more = steps["anticipated_final"] - steps["original_budget"]
    split = (line.paid_ms, line.not_charged_ms, line.undecided_ms)
    paid, free, undecided = hours_adding_to(more, split)
    return paid, free, undecided


def hours_table(view: OwnerVariations) -> Table:
    shown = shown_hours(view)
    rows = [
        Row(
            (wording.HOURS_LABELS[step], amount, wording.HOURS_MEANINGS[step]),
            ROW_KINDS.get(step, "step"),
        )
        for step, amount in shown.items()
    ]
    end = "anticipated final hours" if view.headline else "adjusted estimate"
    caption = f"From the original estimate to the {end}"
    return Table("Hours", caption, (Column("Step", "text"), HOURS, MEANING), tuple(rows))


def sum_table(view: OwnerVariations) -> Table:
    columns = (Column("Step", "text"), money("Amount", view.job), MEANING)
    rows = [
        Row(
            (wording.SUM_LABELS[row.step], row.amount, sum_meaning(row.step, view)),
            ROW_KINDS.get(row.step, "step"),
        )
        for row in view.sums
    ]
    caption = "From the contract sum to the anticipated final sum"
    return Table("Contract sum", caption, columns, tuple(rows))


def sum_meaning(step: str, view: OwnerVariations) -> str:
    """Return what the step is, and how many instructed requests it cannot count yet."""
    words = wording.SUM_MEANINGS[step]
    unpriced = sum(
        1
        for row in view.changes
        if group_of(row) == "instructed" and row.instruction == "instructed" and row.price is None
    )
    if step == "instructed_at_latest_price" and unpriced:
        return f"{words} Not priced yet, not counted: {unpriced}."
    return words


def money(head: str, job: Job) -> Column:
    return Column(head, "money", cut(job.currency, NAME_LENGTH))


def awaiting_table(view: OwnerVariations) -> Table:
    columns = (
        Column("Request", "code"),
        Column("Title", "text"),
        Column("Submitted", "date"),
        Column("Valid until", "date"),
        Column("Decision needed by", "date"),
        HOURS,
        money("Price", view.job),
    )
    caption = f"Prices submitted and not decided on {view.status_date}, oldest first"
    rows = (*awaiting_rows(view), *awaiting_totals(view))
    empty = "No request awaits your decision."
    return Table("Awaiting decision", caption, columns, rows if view.awaiting else (), empty)


def awaiting_rows(view: OwnerVariations) -> Iterator[Row]:
    for row in view.awaiting:
        title = cut(row.title, TEXT_LENGTH) + (" (already instructed)" if row.instructed else "")
        due: Cell = row.decision_needed_by
        if row.decision_needed_by and row.decision_needed_by < view.status_date:
            due = f"{row.decision_needed_by.isoformat()} overdue"
        dates = (row.submitted_on, row.valid_until, due)
        yield Row((cut(row.change, NAME_LENGTH), title, *dates, hours(row.hours_ms), row.price))


def awaiting_totals(view: OwnerVariations) -> Iterator[Row]:
    """Yield the total, and how much of it the anticipated final sum holds already."""
    begun = [row for row in view.awaiting if row.instructed]
    yield Row(("Awaiting your decision", *added(view, view.awaiting)), "total", 5)
    if begun:
        label = "of which already instructed, counted in the anticipated final sum"
        yield Row((label, *added(view, begun)), "aside", 5)


def added(view: OwnerVariations, rows: Sequence[AwaitingRow]) -> tuple[Decimal, Decimal]:
    """Return the hours, as shown, and the prices of some requests together."""
    worked = sum((hours(row.hours_ms) for row in rows), Decimal("0.00"))
    return worked, sum((row.price for row in rows), nil(view))


def nil(view: OwnerVariations) -> Decimal:
    """Return nothing, with as many decimals as the job's amounts have."""
    return view.sums[0].amount * 0


def group_of(row: ChangeRow) -> str:
    if row.state == "approved":
        return "approved"
    if row.instruction != "none":
        return "instructed"
    groups = {"submitted": "awaiting", "declined": "closed", "withdrawn": "closed"}
    return groups.get(row.state, "open")


def changes_table(view: OwnerVariations) -> Table:
    columns = (
        Column("Change", "code"),
        Column("Title", "text"),
        Column("Standing", "standing"),
        Column("Basis", "basis"),
        HOURS,
        money("Price", view.job),
        Column("Days", "days", "d"),
    )
    rows = [row for group in GROUPS for row in group_rows(view, group)]
    caption = "Every change asked for; hours, price and days as approved, else as submitted"
    empty = "No change has been asked for."
    return Table("Variations and requests", caption, columns, tuple(rows), empty)


def group_rows(view: OwnerVariations, group: str) -> Iterator[Row]:
    """Yield a group's head, its changes and its total; nothing for a group without changes."""
    found = [row for row in view.changes if group_of(row) == group]
    if not found:
        return
    shown = group_hours(view, group, found)
    yield Row((GROUPS[group],), "group", 7)
    for row, amount in zip(found, shown, strict=True):
        yield change_row(row, amount)
    if group in TOTALS:
        worked = sum((amount for amount in shown if amount is not None), Decimal("0.00"))
        price = sum((row.price for row in found if row.price is not None), nil(view))
        days = sum(row.days for row in found if row.days is not None)
        yield Row((TOTALS[group], worked, price, days), "subtotal", 4)


def group_hours(
    view: OwnerVariations, group: str, found: Sequence[ChangeRow]
) -> list[Decimal | None]:
    """Return the hours of a group's changes as shown; approved ones add to the two steps."""
    if group != "approved":
        return [None if row.hours_ms is None else hours(row.hours_ms) for row in found]
    steps = shown_hours(view)
    net = steps["approved_variations"] + steps["omissions"]
    return list(hours_adding_to(net, [row.hours_ms or 0 for row in found]))


def change_row(row: ChangeRow, amount: Decimal | None) -> Row:
    words = (wording.state_words(row), wording.basis_words(row))
    title = cut(row.title, TEXT_LENGTH)
    return Row((cut(row.change, NAME_LENGTH), title, *words, amount, row.price, row.days))


def not_charged_table(view: OwnerVariations) -> Table:
    _, free, _ = shown_split(view)
    amounts = hours_adding_to(free, [row.hours_ms for row in view.not_charged])
    rows = [
        Row(
            (
                wording.NOT_CHARGED_LABELS[row.step],
                amount,
                wording.NOT_CHARGED_MEANINGS[row.step],
            ),
            "step",
        )
        for row, amount in zip(view.not_charged, amounts, strict=True)
    ]
    total = Row(("Not charged", free, "Borne by the yard."), "total")
    columns = (Column("Reason", "text"), HOURS, MEANING)
    shown = (*rows, total) if rows else ()
    caption = "Hours above the estimate that you do not pay for, by reason"
    return Table("Not charged", caption, columns, shown, "No hours go uncharged.")
