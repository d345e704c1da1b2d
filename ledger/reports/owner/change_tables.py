"""The lists of an owner's statement: what awaits a decision, and every change."""

from collections.abc import Iterator, Sequence
from datetime import date
from decimal import Decimal

from ledger.domain.allocation import shown_adding_to
from ledger.language import _
from ledger.reports.dates import written
from ledger.reports.figures import hours, whole_hours
from ledger.reports.owner import wording
from ledger.reports.owner.tables import hours_column, money, nil, shown_hours
from ledger.reports.owner.variations import OwnerVariations
from ledger.reports.owner.variations_rows import AwaitingRow, ChangeRow
from ledger.reports.tables import Column, Row, Table
from ledger.reports.text import NAME_LENGTH, TEXT_LENGTH, cut

GROUPS = {
    "approved": "Approved variations",
    "instructed": "Requests instructed, price not agreed",
    "awaiting": "Requests awaiting your decision, not instructed",
    "open": "Other open requests, not in any sum",
    "closed": "Requests declined or withdrawn, not in any sum",
}
Columns = tuple[Column, ...]
TOTALS = {
    "approved": "Approved variations, net",
    "instructed": "Instructed requests, as far as priced",
    "awaiting": "Awaiting your decision, not instructed",
}


def awaiting_table(view: OwnerVariations) -> Table:
    columns = (
        Column(_("Request"), "code"),
        Column(_("Title"), "text"),
        Column(_("Submitted"), "date"),
        Column(_("Valid until"), "date"),
        Column(_("Decision needed by"), "due"),
        hours_column(),
        money(_("Price"), view.job),
    )
    rows = (*awaiting_rows(view), *awaiting_totals(view))
    return awaiting_of(view, columns, rows if view.awaiting else ())


def awaiting_of(view: OwnerVariations, columns: Columns, rows: tuple[Row, ...]) -> Table:
    """Return what waits for the owner, as rows are given."""
    caption = _("Prices submitted and not decided on {day}, oldest first").format(
        day=written(view.status_date)
    )
    empty = _("No request awaits your decision.")
    return Table("Awaiting decision", caption, columns, rows, empty)


def awaiting_title(row: AwaitingRow) -> str:
    """Return the title of a request that waits, and whether work on it is instructed."""
    title = cut(row.title, TEXT_LENGTH)
    if row.instructed:
        title = _("{title} (already instructed)").format(title=title)
    return title


def awaiting_rows(view: OwnerVariations) -> Iterator[Row]:
    """Yield the requests that wait; what is rough cannot be approved."""
    links = {row.change: anchor(place) for place, row in enumerate(view.changes)}
    for row, whole in zip(view.awaiting, whole_hours_of(view.awaiting), strict=True):
        dates = (row.submitted_on, row.valid_until, due_words(row, view.status_date))
        cells = (cut(row.change, NAME_LENGTH), awaiting_title(row), *dates, whole, row.price)
        effect = wording.waiting_effect(row, view.status_date)
        kind = "rough" if row.rough else "decision"
        yield Row(cells, kind, remark=effect, link=links[row.change])


def due_words(row: AwaitingRow, on: date) -> str | None:
    """Return by when a decision is needed, and whether that day is past."""
    if row.decision_needed_by is None:
        return None
    needed_by = written(row.decision_needed_by)
    return f"{needed_by}, {_('overdue')}" if row.decision_needed_by < on else needed_by


def awaiting_totals(view: OwnerVariations) -> Iterator[Row]:
    """Yield the total, and how much of it the anticipated final sum holds already."""
    requests = list(zip(view.awaiting, whole_hours_of(view.awaiting), strict=True))
    begun = [each for each in requests if each[0].instructed]
    yield Row((_("Awaiting your decision"), *added(view, requests)), "total", 5)
    if begun:
        label = _("Already instructed, counted in the anticipated final sum")
        yield Row((label, *added(view, begun)), "aside", 5)


def whole_hours_of(rows: Sequence[AwaitingRow]) -> list[Decimal]:
    """Return the hours of requests as the first page has them: whole, adding to their sum."""
    ms = [row.hours_ms for row in rows]
    return shown_adding_to(whole_hours(sum(ms)), ms, places=0)


def added(
    view: OwnerVariations, requests: Sequence[tuple[AwaitingRow, Decimal]]
) -> tuple[Decimal, Decimal]:
    """Return the hours, as shown, and the prices of some requests together."""
    worked = sum((whole for _, whole in requests), Decimal(0))
    return worked, sum((row.price for row, _ in requests), nil(view))


def matters_table(view: OwnerVariations) -> Table:
    """Return what is open besides a decision on a price."""
    return matters_of(view, matter_columns(view), tuple(matter_rows(view)))


def matter_columns(view: OwnerVariations) -> Columns:
    """Return the columns of what is open."""
    return (
        Column(_("Change"), "code"),
        Column(_("Title"), "text"),
        Column(_("Matter"), "standing"),
        Column(_("Since"), "date"),
        hours_column(),
        money(_("Amount"), view.job),
    )


def matters_of(view: OwnerVariations, columns: Columns, rows: tuple[Row, ...]) -> Table:
    """Return what is open besides a decision on a price, as rows are given."""
    day = written(view.status_date)
    caption = _("To be settled besides the prices above, on {day}").format(day=day)
    return Table("Open matters", caption, columns, rows)


def matter_rows(view: OwnerVariations) -> Iterator[Row]:
    places = {row.change: place for place, row in enumerate(view.changes)}
    for matter in view.open_matters:
        place = places[matter.change]
        cells = (
            cut(matter.change, NAME_LENGTH),
            cut(matter.title, TEXT_LENGTH),
            _(wording.MATTER_WORDS[matter.matter]),
            matter.since,
            None if matter.hours_ms is None else whole_hours(matter.hours_ms),
            matter.amount,
        )
        effect = wording.matter_effect(matter, view.changes[place])
        since = _("Since {day}.").format(day=written(matter.since)) if matter.since else ""
        yield Row(cells, remark=f"{since} {effect}".strip(), link=anchor(place))


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
        Column(_("Change"), "code"),
        Column(_("Title"), "text"),
        Column(_("Status"), "standing"),
        Column(_("Basis"), "basis"),
        hours_column(),
        money(_("Price"), view.job),
        Column(_("Days"), "days", "d"),
    )
    return changes_of(columns, tuple(row for group in GROUPS for row in group_rows(view, group)))


def changes_of(columns: Columns, rows: tuple[Row, ...]) -> Table:
    """Return every change, as rows are given."""
    caption = _("All changes; hours, price and days as approved, else as submitted")
    empty = _("No changes have been requested.")
    return Table("Variations and requests", caption, columns, rows, empty)


def group_rows(view: OwnerVariations, group: str) -> Iterator[Row]:
    """Yield a group's head, its changes and its total; nothing for a group without changes."""
    places = [place for place, row in enumerate(view.changes) if group_of(row) == group]
    if not places:
        return
    row_hours = change_hours(view)
    yield Row((_(GROUPS[group]),), "group", 7)
    for place in places:
        yield listed(view.changes[place], row_hours[place], anchor(place))
    if group in TOTALS:
        rows = [view.changes[place] for place in places]
        worked = sum((row_hours[place] or Decimal(0) for place in places), Decimal("0.00"))
        price = sum((row.price for row in rows if row.price is not None), nil(view))
        days = sum(row.days for row in rows if row.days is not None)
        yield Row((_(TOTALS[group]), worked, price, days), "subtotal", 4)


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
