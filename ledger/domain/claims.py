"""What a progress claim comes to: value to date, retention, advance, and what is due.

Amounts have two places; each is rounded once, half away from zero. Value is gross and without tax.
Source of the order (original, variations, adjusted; value, retention, less certified, due): the
usual account of a building contract (common practice, no source).
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from datetime import date
from decimal import Decimal
from fractions import Fraction

from ledger.domain.pricing import NOTHING, money_of

# What may be claimed: the contract's work, then that of changes, then what is credited.
CLAIM_KINDS = (
    *("base", "stage", "variation", "daywork", "omission"),
    *("provisional", "on_account", "correction"),
)
CERTIFICATES = ("none", "required")
OMISSIONS_CREDITED = ("with_stage", "at_once")
RELEASED_AT = ("delivery", "defects_end")
# How an invoice has retention: deducted with its tax, or not, to be held back when it is paid.
RETENTION_INVOICED = ("deducted", "in_full")
# The kinds of claim that retention may be kept from.
APPLIES_TO = tuple(kind for kind in CLAIM_KINDS if kind != "correction")
WHOLE = Decimal(100)


def percent_of(base: Decimal, percent: Decimal) -> Decimal:
    """Return so many percent of an amount, rounded once."""
    return money_of(Fraction(base) * Fraction(percent) / 100)


@dataclass(frozen=True)
class Stage:
    """A stage payment: part of the contract sum, due when its stage is reached."""

    name: str
    amount: Decimal
    packages: tuple[str, ...] = ()


@dataclass(frozen=True)
class Release:
    """Retention that falls due for payment: a percent of all that is kept, from a day on.

    `day` is None while the day is not known.
    """

    percent: Decimal
    day: date | None


@dataclass(frozen=True)
class Retention:
    """What is kept back of the value to date, at most so many percent of the original sum."""

    percent: Decimal = Decimal(0)
    limit_percent: Decimal | None = None
    applies_to: frozenset[str] = frozenset(APPLIES_TO)
    releases: tuple[Release, ...] = ()
    invoiced: str = RETENTION_INVOICED[0]

    def kept(self, values: Mapping[str, Decimal], original_sum: Decimal) -> Decimal:
        """Return what is kept of values by claim kind, not below 0, before any release."""
        value = sum((v for kind, v in values.items() if kind in self.applies_to), NOTHING)
        kept = max(NOTHING, percent_of(value, self.percent))
        if self.limit_percent is None:
            return kept
        return min(kept, percent_of(original_sum, self.limit_percent))

    def released(self, kept: Decimal, day: date) -> Decimal:
        """Return what of the retention kept is released by a day; all of it at most."""
        reached = (each.percent for each in self.releases if each.day and each.day <= day)
        return percent_of(kept, min(WHOLE, sum(reached, Decimal(0))))


@dataclass(frozen=True)
class Advance:
    """A sum paid before work, recovered as so many percent of the value to date."""

    amount: Decimal = NOTHING
    recovery_percent: Decimal = Decimal(0)

    def recovered(self, value: Decimal) -> Decimal:
        """Return what is recovered of it at a value to date, not below 0 and at most all."""
        return min(self.amount, max(NOTHING, percent_of(value, self.recovery_percent)))


@dataclass(frozen=True)
class ClaimTerms:
    """How a contract is claimed."""

    certificate: str = CERTIFICATES[0]
    omissions_credited: str = OMISSIONS_CREDITED[0]
    stages: tuple[Stage, ...] = ()
    retention: Retention = field(default_factory=Retention)
    advance: Advance = field(default_factory=Advance)


@dataclass(frozen=True)
class ClaimLine:
    """Something that may be claimed: its value to date, what of it was certified, the rest.

    `change` is None of the base and its stages, whose name is the description. `quantity`,
    `unit` and `unit_price` are of the value to date, where it is reckoned by them.
    """

    claim_kind: str
    change: str | None
    description: str
    to_date: Decimal
    certified: Decimal = NOTHING
    quantity: Decimal | None = None
    unit: str = ""
    unit_price: Decimal | None = None

    @property
    def amount(self) -> Decimal:
        """Return what may be claimed now; below 0 it is a credit."""
        return self.to_date - self.certified

    @property
    def item(self) -> str:
        """Return what it is of: a change, a stage payment by its name, or the base."""
        if self.change is not None:
            return self.change
        return self.description if self.claim_kind == "stage" else CLAIM_KINDS[0]


@dataclass(frozen=True)
class ClaimSums:
    """What a claim comes to; `before` is what was certified net of retention and advance."""

    value_to_date: Decimal
    retention_kept: Decimal
    retention_released: Decimal
    advance_recovered: Decimal
    before: Decimal = NOTHING

    @property
    def retention_held(self) -> Decimal:
        """Return what is kept back and not released."""
        return self.retention_kept - self.retention_released

    @property
    def net_to_date(self) -> Decimal:
        """Return the value to date less what is held and what is recovered of the advance."""
        return self.value_to_date - self.retention_held - self.advance_recovered

    @property
    def due(self) -> Decimal:
        """Return what is due, without tax."""
        return self.net_to_date - self.before


def claim_sums(
    terms: ClaimTerms,
    original_sum: Decimal,
    lines: Iterable[ClaimLine],
    day: date,
    before: Decimal = NOTHING,
) -> ClaimSums:
    """Return what lines come to on a day: retention as its terms say, the advance recovered."""
    values: dict[str, Decimal] = {}
    for line in lines:
        values[line.claim_kind] = values.get(line.claim_kind, NOTHING) + line.to_date
    value = sum(values.values(), NOTHING)
    kept = terms.retention.kept(values, original_sum)
    released = terms.retention.released(kept, day)
    return ClaimSums(value, kept, released, terms.advance.recovered(value), before)


def credited_with(omitted: Decimal, claimed: Decimal, whole: Decimal) -> Decimal:
    """Return what of an omission is credited where its stage is claimed in part; at most all.

    `omitted` is not above 0; `claimed` of `whole` is what is claimed of its stage or base.
    """
    if whole <= 0 or claimed >= whole:
        return omitted
    return money_of(Fraction(omitted) * Fraction(max(NOTHING, claimed)) / Fraction(whole))
