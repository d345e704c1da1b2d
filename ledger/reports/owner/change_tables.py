"""The lists of an owner's statement: what awaits a decision, and every change."""

from collections.abc import Iterator, Sequence
from decimal import Decimal

from ledger.domain.allocation import shown_adding_to
from ledger.reports.figures import hours
from ledger.reports.owner import wording
from ledger.reports.owner.tables import HOURS, money, nil, shown_hours
from ledger.reports.owner.variations import OwnerVariations
from ledger.reports.owner.variations_rows import AwaitingRow, ChangeRow
from ledger.reports.tables import Cell, Column, Row, Table
from ledger.reports.text import NAME_LENGTH, TEXT_LENGTH, cut

GROUPS = {
    "approved": "Approved variations",
    "instructed": "Requests instructed, price not agreed",
    "awaiting": "Requests awaiting your decision, not instructed",
    "open": "Other open requests, not in any sum",
    "closed": "Requests declined or withdrawn, not in any sum",
}
TOTALS = {
    "approved": "Approved variations, net",
    "instructed": "Instructed requests, as far as priced",
    "awaiting": "Awaiting your decision, not instructed",
}


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
    links = {row.change: anchor(place) for place, row in enumerate(view.changes)}
    for row in view.awaiting:
        title = cut(row.title, TEXT_LENGTH) + (" (already instructed)" if row.instructed else "")
        due: Cell = row.decision_needed_by
        if row.decision_needed_by and row.decision_needed_by < view.status_date:
            due = f"{row.decision_needed_by.isoformat()} overdue"
        dates = (row.submitted_on, row.valid_until, due)
        cells = (cut(row.change, NAME_LENGTH), title, *dates, hours(row.hours_ms), row.price)
        effect = wording.waiting_effect(row, view.status_date)
        yield Row(cells, remark=effect, link=links[row.change])


def awaiting_totals(view: OwnerVariations) -> Iterator[Row]:
    """Yield the total, and how much of it the anticipated final sum holds already."""
    begun = [row for row in view.awaiting if row.instructed]
    yield Row(("Awaiting your decision", *added(view, view.awaiting)), "total", 5)
    if begun:
        label = "Already instructed, counted in the anticipated final sum"
        yield Row((label, *added(view, begun)), "aside", 5)


def added(view: OwnerVariations, rows: Sequence[AwaitingRow]) -> tuple[Decimal, Decimal]:
    """Return the hours, as shown, and the prices of some requests together."""
    worked = sum((hours(row.hours_ms) for row in rows), Decimal("0.00"))
    return worked, sum((row.price for row in rows), nil(view))


def matters_table(view: OwnerVariations) -> Table:
    """Return what is open besides a decision on a price."""
    columns = (
        Column("Change", "code"),
        Column("Title", "text"),
        Column("Matter", "standing"),
        Column("Since", "date"),
        HOURS,
        money("Amount", view.job),
    )
    caption = f"To be settled besides the prices above, on {view.status_date}"
    return Table("Open matters", caption, columns, tuple(matter_rows(view)))


def matter_rows(view: OwnerVariations) -> Iterator[Row]:
    places = {row.change: place for place, row in enumerate(view.changes)}
    for matter in view.open_matters:
        place = places[matter.change]
        cells = (
            cut(matter.change, NAME_LENGTH),
            cut(matter.title, TEXT_LENGTH),
            wording.MATTER_WORDS[matter.matter],
            matter.since,
            None if matter.hours_ms is None else hours(matter.hours_ms),
            matter.amount,
        )
        effect = wording.matter_effect(matter, view.changes[place])
        yield Row(cells, remark=effect, link=anchor(place))


def anchor(place: int) -> str:
    """Return the name by which the lists point to the page of a change."""
    return f"change-{place + 1}"


def group_of(row: ChangeRow) -> str:
    if row.state == "approved":
        return "approved"
    if row.is_ordered:
        return "instructed"
    groups = {"submitted": "awaiting", "declined": "closed", "withdrawn": "closed"}
    return groups.get(row.state, "open")


def changes_table(view: OwnerVariations) -> Table:
    columns = (
        Column("Change", "code"),
        Column("Title", "text"),
        Column("Status", "standing"),
        Column("Basis", "basis"),
        HOURS,
        money("Price", view.job),
        Column("Days", "days", "d"),
    )
    rows = [row for group in GROUPS for row in group_rows(view, group)]
    caption = "All changes; hours, price and days as approved, else as submitted"
    empty = "No changes have been requested."
    return Table("Variations and requests", caption, columns, tuple(rows), empty)


def group_rows(view: OwnerVariations, group: str) -> Iterator[Row]:
    """Yield a group's head, its changes and its total; nothing for a group without changes."""
    places = [place for place, row in enumerate(view.changes) if group_of(row) == group]
    if not places:
        return
    shown = change_hours(view)
    yield Row((GROUPS[group],), "group", 7)
    for place in places:
        yield listed(view.changes[place], shown[place], anchor(place))
    if group in TOTALS:
        found = [view.changes[place] for place in places]
        worked = sum((shown[place] or Decimal(0) for place in places), Decimal("0.00"))
        price = sum((row.price for row in found if row.price is not None), nil(view))
        days = sum(row.days for row in found if row.days is not None)
        yield Row((TOTALS[group], worked, price, days), "subtotal", 4)


def in_listed_order(view: OwnerVariations) -> list[int]:
    """Return the places of the changes in the order of the list."""
    return [
        place
        for group in GROUPS
        for place, row in enumerate(view.changes)
        if group_of(row) == group
    ]


def change_hours(view: OwnerVariations) -> list[Decimal | None]:
    """Return the hours of each change as shown; those of approved ones add to their two steps."""
    steps = shown_hours(view)
    net = steps["approved_variations"] + steps["omissions"]
    approved = [row.hours_ms or 0 for row in view.changes if row.state == "approved"]
    agreed = iter(shown_adding_to(net, approved))
    return [
        next(agreed)
        if row.state == "approved"
        else None
        if row.hours_ms is None
        else hours(row.hours_ms)
        for row in view.changes
    ]


def listed(row: ChangeRow, amount: Decimal | None, link: str) -> Row:
    words = (wording.state_words(row), wording.basis_words(row))
    title = cut(row.title, TEXT_LENGTH)
    cells = (cut(row.change, NAME_LENGTH), title, *words, amount, row.price, row.days)
    return Row(cells, link=link)
