"""The tables of the owner's statement, with hours as they are shown."""

from collections.abc import Iterable
from decimal import Decimal

from ledger.domain.allocation import shown_adding_to
from ledger.domain.contracts import TIME_CHARGE
from ledger.domain.overrun import shown_steps
from ledger.domain.parsing import MS_PER_HOUR
from ledger.language import _
from ledger.reports.dates import written
from ledger.reports.figures import hours, number_text
from ledger.reports.owner import wording
from ledger.reports.owner.variations import OwnerVariations
from ledger.reports.owner.variations_rows import HoursRow, Job
from ledger.reports.owner.words import CHANGE_STEPS, ESTIMATE_STEPS, OVERRUN_STEPS
from ledger.reports.tables import Column, Row, Table
from ledger.reports.text import NAME_LENGTH, cut

TOTALS = ("original_budget", "adjusted_estimate", "anticipated_final")
# Steps of the hours that no sum follows.
HOURS_ALONE = tuple(step for step in OVERRUN_STEPS[:-1] if step != "unapproved_changes")
ROW_KINDS = {
    "adjusted_estimate": "subtotal",
    "adjusted_contract_sum": "subtotal",
    "anticipated_final": "total",
    "anticipated_final_sum": "total",
    "original_budget": "plain",
    "contract_sum": "plain",
    "submitted_not_added": "aside",
}


def hours_column() -> Column:
    return Column(_("Hours"), "hours", "h")


def meaning_column() -> Column:
    return Column(_("Meaning"), "note")


def shown_hours(view: OwnerVariations) -> dict[str, Decimal]:
    """Return the hours of each step as shown: the steps add to both totals, or to their net."""
    if view.headline:
        return shown_steps_of(view.hours)
    ms = {row.step: row.hours_ms for row in view.hours}
    of_changes = [ms[step] for step in CHANGE_STEPS]
    net = shown_adding_to(hours(sum(of_changes)), of_changes)
    return dict(zip(CHANGE_STEPS, net, strict=True))


def shown_steps_of(rows: Iterable[HoursRow]) -> dict[str, Decimal]:
    """Return all steps as shown: they add to both totals."""
    steps = shown_steps({row.step: row.hours_ms for row in rows}, MS_PER_HOUR)
    rounded = {step: steps[step] for step in ESTIMATE_STEPS[:-1]}
    rounded["adjusted_estimate"] = sum(rounded.values(), Decimal("0.00"))
    return rounded | {step: steps[step] for step in OVERRUN_STEPS}


def shown_split(view: OwnerVariations) -> tuple[Decimal, Decimal, Decimal]:
    """Return the hours paid, not charged and undecided as shown: they add to the difference."""
    assert view.headline is not None
    line = view.headline
    steps = shown_hours(view)
    more = steps["anticipated_final"] - steps["original_budget"]
    split = (line.paid_ms, line.not_charged_ms, line.undecided_ms)
    paid, free, undecided = shown_adding_to(more, split)
    return paid, free, undecided


def hours_table(view: OwnerVariations) -> Table:
    """Return the steps of the hours, beside those of the last statement if it is compared with."""
    amounts = shown_hours(view)
    last = shown_steps_of(view.moved.hours) if view.moved and view.moved.hours else {}
    beside = [Column(_("Last statement"), "hours", "h")] if last else []
    rows = [
        Row(
            (
                _(wording.HOURS_LABELS[step]),
                amount,
                *([last[step]] if last else []),
                _(wording.HOURS_MEANINGS[step]),
            ),
            ROW_KINDS.get(step, "step"),
        )
        for step, amount in amounts.items()
    ]
    columns = (Column(_("Step"), "text"), hours_column(), *beside, meaning_column())
    caption = _("From the original estimate to the anticipated final hours")
    return Table("Hours", caption, columns, tuple(rows))


def contract_table(view: OwnerVariations) -> Table:
    """Return the contract's hours and sum beside each other, from original to anticipated."""
    columns = (
        Column(_("Step"), "text"),
        hours_column(),
        money(_("Sum"), view.job),
        meaning_column(),
    )
    step_hours, amounts = contract_hours(view), {row.step: row.amount for row in view.sums}
    by_the_hour = view.job.contract_basis == TIME_CHARGE
    labels = wording.CONTRACT_LABELS | (wording.LABELS_BY_THE_HOUR if by_the_hour else {})
    rows = [
        Row(
            (
                _(labels[step]),
                step_hours.get(step),
                amounts.get(step),
                contract_meaning(step, view),
            ),
            ROW_KINDS.get(step, "step"),
        )
        for step in wording.CONTRACT_LABELS
        if (step in step_hours or step in amounts)
        and (by_the_hour or step != "time_beyond_estimate")
    ]
    caption = _("Hours and sum from the contract to the anticipated final, without tax")
    return Table("Contract", caption, columns, tuple(rows))


def contract_hours(view: OwnerVariations) -> dict[str, Decimal]:
    """Return the hours beside each step of the sum; what changes no sum is one step of its own."""
    steps = shown_hours(view)
    names = {
        "contract_sum": "original_budget",
        "approved_variations": "approved_variations",
        "omissions": "omissions",
        "adjusted_contract_sum": "adjusted_estimate",
        "instructed_at_latest_price": "unapproved_changes",
        "anticipated_final_sum": "anticipated_final",
    }
    by_step = {name: steps[step] for name, step in names.items() if step in steps}
    if view.headline:
        by_step["hours_alone"] = sum((steps[step] for step in HOURS_ALONE), Decimal("0.00"))
    else:
        ordered = [row.hours_ms or 0 for row in view.changes if row.is_ordered]
        by_step["instructed_at_latest_price"] = sum(map(hours, ordered), Decimal("0.00"))
    waiting = [row.hours_ms for row in view.awaiting if not row.instructed]
    by_step["submitted_not_added"] = sum(map(hours, waiting), Decimal("0.00"))
    return by_step


def contract_meaning(step: str, view: OwnerVariations) -> str:
    """Return what the step is, and how many ordered requests it cannot count yet."""
    words = _(wording.CONTRACT_MEANINGS[step])
    if not view.headline:
        words = _(wording.WITHOUT_HOURS.get(step, wording.CONTRACT_MEANINGS[step]))
    if step == "contract_sum" and view.job.amended_on:
        amended = _("The sum is as amended on {day}.").format(day=written(view.job.amended_on))
        return f"{words} {amended}"
    if step == "omissions" and view.unspent:
        amount = f"{number_text(view.unspent)} {cut(view.job.currency, NAME_LENGTH)}"
        unspent = _("Of it {amount} of provisional sums that were not spent, by the final account.")
        return f"{words} {unspent.format(amount=amount.rstrip())}"
    unpriced = sum(1 for row in view.changes if row.is_ordered and row.price is None)
    if step == "instructed_at_latest_price" and unpriced:
        left_out = _("Not priced yet, so not in the sum: {count}.").format(count=unpriced)
        return f"{words} {left_out}"
    return words


def money(head: str, job: Job) -> Column:
    return Column(head, "money", cut(job.currency, NAME_LENGTH))


def nil(view: OwnerVariations) -> Decimal:
    """Return nothing, with as many decimals as the job's amounts have."""
    return view.sums[0].amount * 0


def amount(view: OwnerVariations, value: Decimal) -> str:
    """Return the amount behind its ISO 4217 code."""
    return f"{cut(view.job.currency, NAME_LENGTH)}\N{NO-BREAK SPACE}{number_text(value)}"


def not_charged_table(view: OwnerVariations) -> Table:
    free = shown_split(view)[1]
    amounts = shown_adding_to(free, [row.hours_ms for row in view.not_charged])
    rows = [
        Row(
            (
                _(wording.NOT_CHARGED_LABELS[row.step]),
                amount,
                _(wording.NOT_CHARGED_MEANINGS[row.step]),
            ),
            "step",
        )
        for row, amount in zip(view.not_charged, amounts, strict=True)
    ]
    total = Row((_("Not charged"), free, _("Borne by the yard.")), "total")
    columns = (Column(_("Reason"), "text"), hours_column(), meaning_column())
    with_total = (*rows, total) if rows else ()
    caption = _("Hours above the estimate that you do not pay for, by reason")
    return Table("Not charged", caption, columns, with_total, _("There are no uncharged hours."))
