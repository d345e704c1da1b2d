"""What moved since the last statement, as a section of this one."""

from decimal import Decimal

from ledger.language import _
from ledger.reports.dates import written
from ledger.reports.figures import number_text
from ledger.reports.owner import wording
from ledger.reports.owner.change_tables import anchor
from ledger.reports.owner.tables import money, nil
from ledger.reports.owner.variations import OwnerVariations
from ledger.reports.owner.variations_rows import ChangeRow, MovedChange, MovedSince
from ledger.reports.tables import Column, Row, Section, Table
from ledger.reports.text import NAME_LENGTH, TEXT_LENGTH, cut


def moved_section(view: OwnerVariations, moved: MovedSince) -> Section:
    """Return what moved in figures, then change by change."""
    columns = (
        Column(_("Change"), "code"),
        Column(_("Title"), "text"),
        Column(_("Last statement"), "standing"),
        Column(_("This statement"), "standing"),
        money(_("Price moved by"), view.job),
    )
    places = {row.change: place for place, row in enumerate(view.changes)}
    rows = [
        *(moved_row(view, each, anchor(places[each.now.change])) for each in moved.changes),
        *(
            Row((cut(code, NAME_LENGTH), _(wording.GONE), *[None] * 3))
            for code in moved.no_longer_listed
        ),
    ]
    day = written(moved.status_date)
    caption = _("Changes that are new or have a new status since {day}").format(day=day)
    table = Table("Moved", caption, columns, tuple(rows), _(wording.NOTHING_MOVED))
    return Section(_("Since the last statement"), table, lead=lead(view, moved))


def moved_row(view: OwnerVariations, each: MovedChange, link: str) -> Row:
    """Return how a change stood, how it stands, and by how much its price moved."""
    before, now = each.before, each.now
    stood = _(wording.NEW) if before is None else standing_words(before)
    stood_at = before.price if before else None
    known = [price for price in (stood_at, now.price) if price is not None]
    moved = (now.price or nil(view)) - (stood_at or nil(view)) if known else None
    title = cut(now.title, TEXT_LENGTH)
    return Row((cut(now.change, NAME_LENGTH), title, stood, standing_words(now), moved), link=link)


def standing_words(row: ChangeRow) -> str:
    """Return where a change stands, and the days it has."""
    days = f", {wording.days_words(row.days)}" if row.days else ""
    return f"{wording.state_words(row)}{days}"


def lead(view: OwnerVariations, moved: MovedSince) -> str:
    """Return by how much the sums and the days moved, in one sentence."""
    sums = {row.step: row.amount for row in view.sums}
    waiting = sum((row.price for row in view.awaiting), nil(view))
    days = view.completion.days_granted - moved.days_granted
    return _(wording.MOVED).format(
        day=written(moved.status_date),
        adjusted=by(sums["adjusted_contract_sum"] - moved.adjusted_contract_sum),
        final=by(sums["anticipated_final_sum"] - moved.anticipated_final_sum),
        waiting=by(waiting - moved.awaiting),
        days=by(days),
    )


def by(difference: Decimal | int) -> str:
    return number_text(difference, signed=True) if difference else _("unchanged")
