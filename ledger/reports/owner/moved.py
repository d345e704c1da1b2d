"""What moved between two statements of a job."""

from decimal import Decimal

from ledger.reports.owner.variations import OwnerVariations
from ledger.reports.owner.variations_rows import ChangeRow, MovedChange, MovedSince


def moved_since(before: OwnerVariations, now: OwnerVariations) -> MovedSince:
    """Return the figures of the last statement, and which changes stand otherwise in this one."""
    sums = {row.step: row.amount for row in before.sums}
    listed = {row.change: row for row in before.changes}
    still_listed = {row.change for row in now.changes}
    return MovedSince(
        status_date=before.status_date,
        adjusted_contract_sum=sums["adjusted_contract_sum"],
        anticipated_final_sum=sums["anticipated_final_sum"],
        awaiting=sum((row.price for row in before.awaiting), Decimal("0.00")),
        days_granted=before.completion.days_granted,
        changes=tuple(
            MovedChange(listed.get(row.change), row)
            for row in now.changes
            if _differs(listed.get(row.change), row)
        ),
        no_longer_listed=tuple(code for code in listed if code not in still_listed),
        hours=before.hours if before.headline and now.headline else (),
    )


def _differs(before: ChangeRow | None, now: ChangeRow) -> bool:
    """Whether a change is new, or is listed with anything else than before; its title aside."""
    if before is None:
        return True
    return [value for name, value in vars(before).items() if name != "title"] != [
        value for name, value in vars(now).items() if name != "title"
    ]
