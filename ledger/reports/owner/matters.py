"""What is open between owner and yard besides a decision on a price sent."""

from collections.abc import Iterator
from datetime import date
from decimal import Decimal

from ledger.changes.daywork_lines import WorkedHours, added_up
from ledger.reports.owner.changes import OwnerChange, change_row
from ledger.reports.owner.variations_rows import ChangeRow, OpenMatter

WORKED = {"stopped", "no_price"}  # Valued by the hours worked: no price holds for what was done.


def open_matters(standings: list[OwnerChange]) -> tuple[OpenMatter, ...]:
    """Return what is open on a day, in the order of the changes."""
    return tuple(matter for each in standings for matter in (*_of_price(each), *_unsigned(each)))


def _of_price(standing: OwnerChange) -> Iterator[OpenMatter]:
    row = change_row(standing)
    if not row.open_matter:
        return
    since = _since(standing, row)
    unpriced = row.open_matter == "confirmation_awaited" and row.price is None
    if row.open_matter not in WORKED and not unpriced:
        yield OpenMatter(row.change, row.title, row.open_matter, since, row.hours_ms, row.price)
        return
    of_change = standing.known.daywork.worked[row.change]
    amount = added_up([_at_rates(standing, of_change, trade) for trade in of_change.ms])
    hours_ms = sum(of_change.ms.values())
    matter = row.open_matter
    yield OpenMatter(row.change, row.title, matter, since, hours_ms, amount, indicative=True)


def _since(standing: OwnerChange, row: ChangeRow) -> date | None:
    stopped = dict.fromkeys(("stopped", "stopped_with_price"), standing.state.stopped_on)
    awaiting = standing.state.awaiting
    dates = {
        **stopped,
        "no_price": standing.state.instructed_on,
        "confirmation_awaited": awaiting.day if awaiting else None,
    }
    return dates.get(row.open_matter, row.state_on)


def _at_rates(standing: OwnerChange, worked: WorkedHours, trade: str) -> Decimal | None:
    """Return what a trade's hours come to at contract rates, of daywork with its percentage."""
    if standing.basis == "daywork":
        return worked.daywork_value(trade, standing.daywork_terms)
    return worked.value(trade)


def _unsigned(standing: OwnerChange) -> Iterator[OpenMatter]:
    """Yield daywork done beyond its estimate that no sheet agrees."""
    value = standing.daywork
    if value and value.is_beyond:
        row, matter = change_row(standing), "daywork_unsigned"
        over_ms, over = value.beyond_ms, value.beyond
        yield OpenMatter(row.change, row.title, matter, None, over_ms, over, indicative=True)
