"""What is open between owner and yard besides a decision on a price sent."""

from collections.abc import Iterator
from datetime import date

from ledger.changes.daywork import WorkedHours, added_up, unsigned, worked_hours
from ledger.reports.owner.changes import Shown, change_row
from ledger.reports.owner.variations_rows import ChangeRow, OpenMatter
from ledger.store.book import Book

WORKED = {"stopped", "no_price"}  # Valued by the hours worked: no price holds for what was done.


def open_matters(book: Book, job: str, shown: list[Shown]) -> tuple[OpenMatter, ...]:
    """Return what is open on a day, in the order of the changes."""
    if not shown:
        return ()
    known = shown[0].known
    worked = worked_hours(book, job, known)
    return tuple(
        matter
        for each in shown
        for matter in (*_of_price(each, worked), *_unsigned(each, worked[each.change.code]))
    )


def _of_price(shown: Shown, worked: dict[str, WorkedHours]) -> Iterator[OpenMatter]:
    row = change_row(shown)
    if not row.open_matter:
        return
    since = _since(shown, row)
    unpriced = row.open_matter == "confirmation_awaited" and row.price is None
    if row.open_matter not in WORKED and not unpriced:
        yield OpenMatter(row.change, row.title, row.open_matter, since, row.hours_ms, row.price)
        return
    of_change = worked[row.change]
    amount = added_up([of_change.value(trade) for trade in of_change.ms])
    hours_ms = sum(of_change.ms.values())
    matter = row.open_matter
    yield OpenMatter(row.change, row.title, matter, since, hours_ms, amount, indicative=True)


def _since(shown: Shown, row: ChangeRow) -> date | None:
    stopped = dict.fromkeys(("stopped", "stopped_with_price"), shown.state.stopped_on)
    awaiting = shown.state.awaiting
    dates = {
        **stopped,
        "no_price": shown.state.instructed_on,
        "confirmation_awaited": awaiting.day if awaiting else None,
    }
    return dates.get(row.open_matter, row.state_on)


def _unsigned(shown: Shown, worked: WorkedHours) -> Iterator[OpenMatter]:
    """Yield daywork done above its estimate whose value is not agreed."""
    if found := unsigned(shown, worked):
        row, (over_ms, over) = change_row(shown), found
        matter = "daywork_unsigned"
        yield OpenMatter(row.change, row.title, matter, None, over_ms, over, indicative=True)
