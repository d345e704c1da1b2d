"""What a job agrees for daywork: percentages on prime cost, and what premium time is paid at."""

import json
from collections.abc import Mapping
from dataclasses import dataclass, field
from decimal import Decimal
from fractions import Fraction

from ledger.domain.allocation import to_places
from ledger.domain.pricing import marked_up, money_of
from ledger.store.book import Book

# The price kinds that prime cost is kept by, each with its percentage in [daywork].
PERCENT_OF = {
    "labour": "labour_percent",
    "material": "material_percent",
    "plant": "plant_percent",
    "subcontract": "subcontract_percent",
}
# What the owner pays for premium time: its hours at the rate with the percentage, what it costs
# the yard without one, or nothing.
PREMIUMS = ("rate", "cost_only", "none")
PERCENT_PLACES = 6


@dataclass(frozen=True)
class DayworkTerms:
    """The percentages on prime cost by price kind; one that is not agreed is left out.

    Without any the contract does not agree prime cost plus percentages: rates are all-in.
    """

    percents: Mapping[str, Decimal] = field(default_factory=dict)
    premium: str = "none"
    # What a price's own additions multiply prime cost by, exact: a margin may have no end.
    multipliers: Mapping[str, Fraction] = field(default_factory=dict)

    @property
    def is_prime_cost_plus(self) -> bool:
        """Whether the contract agrees any percentage, so that owners may see percentages."""
        return bool(self.percents)

    def percent(self, price_kind: str) -> Decimal:
        """Return the percentage on prime cost of a kind, 0 where none is agreed."""
        return self.percents.get(price_kind, Decimal(0))

    def shown_percent(self, price_kind: str) -> Decimal | None:
        """Return the percentage in an amount of a kind; None where it has no end, as 1/3 has."""
        if price_kind not in self.multipliers:
            return self.percent(price_kind)
        exact = (self.multipliers[price_kind] - 1) * 100
        rounded = to_places(exact, PERCENT_PLACES)
        return rounded if Fraction(rounded) == exact else None

    def with_percent(self, price_kind: str, prime_cost: Fraction) -> Fraction:
        """Return prime cost with its percentage, exact."""
        if price_kind in self.multipliers:
            return prime_cost * self.multipliers[price_kind]
        return marked_up(prime_cost, self.percent(price_kind))

    def charged(self, price_kind: str, prime_cost: Fraction) -> Decimal:
        """Return prime cost with its percentage, rounded once to two places."""
        return money_of(self.with_percent(price_kind, prime_cost))


def daywork_terms(text: str | None) -> DayworkTerms:
    """Return the terms that stand in a job's row."""
    kept = json.loads(text or "{}")
    percents = {kind: Decimal(kept[key]) for kind, key in PERCENT_OF.items() if key in kept}
    return DayworkTerms(percents, kept.get("premium", "none"))


def daywork_terms_of(book: Book, job: str) -> DayworkTerms:
    """Return what a job agrees for daywork, as it counts now."""
    rows = book.records("owner/pricing_terms", job=job)
    return daywork_terms(rows[-1]["daywork"] if rows else None)
