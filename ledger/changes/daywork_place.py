"""Daywork as its price has it: the estimate by trade and kind, and the percentages agreed."""

from collections import defaultdict
from collections.abc import Iterable, Sequence
from decimal import Decimal
from fractions import Fraction

from ledger.changes.daywork_terms import PERCENT_OF, DayworkTerms
from ledger.changes.priced_lines import addition_of
from ledger.changes.prices import NOTHING
from ledger.changes.rows import KnownPriceLine
from ledger.domain.additions import Base, add
from ledger.domain.daywork import Estimate
from ledger.domain.pricing import PriceLine


def estimate_of(lines: Iterable[PriceLine]) -> Estimate:
    """Return what a price estimates daywork at, by its selling lines; omissions stay apart."""
    hours: dict[str, int] = defaultdict(int)
    labour: dict[str, Decimal] = defaultdict(lambda: NOTHING)
    items: dict[str, Decimal] = defaultdict(lambda: NOTHING)
    omitted = NOTHING
    for line in lines:
        if line.amount < 0 or (line.hours_ms or 0) < 0:
            omitted += line.amount
        elif line.hours_ms is not None:
            hours[line.trade] += line.hours_ms
            labour[line.trade] += line.amount
        else:
            items[line.price_kind] += line.amount
    return Estimate(dict(hours), dict(labour), dict(items), omitted)


def daywork_terms_of_price(rows: Sequence[KnownPriceLine], agreed: DayworkTerms) -> DayworkTerms:
    """Return the percentages on daywork: those that a price adds by lines of its own, else agreed.

    `rows` are the typed lines of the price.
    """
    own = [row for row in rows if row["price_kind"] == "addition"]
    if not own:
        return agreed
    bases = [Base(kind, Fraction(1), Fraction(1)) for kind in PERCENT_OF]
    for addition in filter(None, map(addition_of, own)):
        add(bases, addition)
    multipliers = {base.price_kind: base.with_additions for base in bases if base.has_additions}
    return DayworkTerms(premium=agreed.premium, multipliers=multipliers)
