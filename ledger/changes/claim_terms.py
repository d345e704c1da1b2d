"""How a job is claimed, and of which sums: its base or stage payments, retention, advance."""

import json
from dataclasses import dataclass, field
from datetime import date
from decimal import ROUND_HALF_UP, Decimal
from typing import Any

from ledger.changes.provisional_sums import provisional_sums
from ledger.changes.sums import contract_sum_on
from ledger.domain.claims import (
    APPLIES_TO,
    CERTIFICATES,
    OMISSIONS_CREDITED,
    RETENTION_INVOICED,
    Advance,
    ClaimTerms,
    Release,
    Retention,
    Stage,
    percent_of,
)
from ledger.domain.codes import name_of
from ledger.domain.contracts import TIME_CHARGE
from ledger.domain.pricing import NOTHING
from ledger.store.book import Book

# What stands for the contract work where no stage payments are agreed.
BASE = "base"


@dataclass(frozen=True)
class ClaimBase:
    """The contract sum as it is claimed: as in force, and less provisional sums."""

    original_sum: Decimal
    provisional: Decimal
    by_the_hour: bool = False
    terms: ClaimTerms = field(default_factory=ClaimTerms)

    @property
    def base_sum(self) -> Decimal:
        """Return what a percentage of the base is of."""
        return self.original_sum - self.provisional

    def stage(self, item: str) -> Stage | None:
        """Return the stage payment of a name, case and blanks aside."""
        named = (each for each in self.terms.stages if name_of(each.name) == name_of(item))
        return next(named, None)


def claim_base(book: Book, job: str, day: date) -> ClaimBase:
    """Return how a job is claimed, as known, at the contract sum in force on a day."""
    row = book.records("changes/claim_terms", job=job)[0]
    in_force, _ = contract_sum_on(book, job, row["contract_sum"], day)
    original = _money(in_force)
    sums = provisional_sums(row["provisional_sums"]).values()
    provisional = sum((each.amount for each in sums), NOTHING)
    return ClaimBase(
        original,
        provisional,
        row["contract_basis"] == TIME_CHARGE,
        _terms(row, original - provisional),
    )


def needs_no_certificate(book: Book, job: str, known_at: int) -> bool:
    """Whether its invoice certifies a claim in full, by the terms that the claim was made on."""
    row = book.known_by(known_at).records("changes/claim_terms", job=job)[0]
    return (row["certificate"] or CERTIFICATES[0]) == "none"


def billed_currency(book: Book, job: str) -> str:
    """Return the currency that a job is claimed and invoiced in: its own, else the yard's."""
    row = book.records("changes/claim_terms", job=job)[0]
    own: str = json.loads(row["invoice"] or "{}").get("currency", "")
    return own or book.setting("yard.currency", "")


def _terms(row: dict[str, Any], base_sum: Decimal) -> ClaimTerms:
    advance = json.loads(row["advance"] or "{}")
    return ClaimTerms(
        row["certificate"] or CERTIFICATES[0],
        row["omissions_credited"] or OMISSIONS_CREDITED[0],
        tuple(_stage(each, base_sum) for each in json.loads(row["stage_payments"] or "[]")),
        _retention(json.loads(row["retention"] or "{}"), row),
        Advance(_money(advance.get("amount", 0)), Decimal(advance.get("recovery_percent", 0))),
    )


def _money(amount: Decimal | str | int) -> Decimal:
    return Decimal(amount).quantize(NOTHING, ROUND_HALF_UP)


def _stage(kept: dict[str, Any], base_sum: Decimal) -> Stage:
    amount = kept.get("amount")
    worth = _money(amount) if amount else percent_of(base_sum, Decimal(kept["percent"]))
    return Stage(kept["name"], worth, tuple(kept.get("packages", ())))


def _retention(kept: dict[str, Any], row: dict[str, Any]) -> Retention:
    limit = kept.get("limit_percent")
    days = {"delivery": row["delivered_on"], "defects_end": row["defects_end_on"]}
    return Retention(
        Decimal(kept.get("percent", 0)),
        None if limit is None else Decimal(limit),
        frozenset(kept.get("applies_to", APPLIES_TO)),
        tuple(
            Release(Decimal(each["percent"]), _release_day(each["at"], days))
            for each in kept.get("release", ())
        ),
        kept.get("invoiced", RETENTION_INVOICED[0]),
    )


def _release_day(at: str, days: dict[str, date | None]) -> date | None:
    return days[at] if at in days else date.fromisoformat(at)


@dataclass(frozen=True)
class ClaimedToDate:
    """What may be claimed of an item to date: a percentage of its sum, or an amount typed."""

    day: date
    percent: Decimal | None
    amount: Decimal | None
    on_account: bool

    def of(self, whole: Decimal) -> Decimal:
        """Return what it is of a sum, two places."""
        if self.percent is not None:
            return percent_of(whole, self.percent)
        return _money(self.amount or NOTHING)

    def at_most(self, whole: Decimal) -> Decimal:
        """Return what it is of a sum, which may have become less since it was typed."""
        return min(self.of(whole), whole)


def claimed_to_date(book: Book, job: str, day: date) -> dict[str, ClaimedToDate]:
    """Return by item what may be claimed of it by a day, as typed last."""
    rows = book.records("changes/claim_percents", job=job, status_date=day)
    return {
        row["item"]: ClaimedToDate(row["day"], row["percent"], row["amount"], row["on_account"])
        for row in rows
    }
