"""Who invoices whom, how it is taxed and paid: of settings, job, and what is typed with it."""

import json
from collections.abc import Iterable
from dataclasses import dataclass, field
from datetime import date, timedelta
from decimal import Decimal
from typing import Any

from ledger.billing.invoicing import Tax
from ledger.domain.invoices import (
    Accounting,
    Address,
    ElectronicAddress,
    Exemption,
    Party,
    PaymentTerms,
    References,
)
from ledger.domain.tax_categories import CATEGORIES
from ledger.errors import Refused, Remedy
from ledger.jobs.jobs import currency_of
from ledger.language import _
from ledger.reports.dates import written

STANDARD, NOT_SUBJECT = "S", "O"
PAYMENT_DAYS = 30
OF_COLUMNS = ("claim", "credits", "mark", "dated")
USUAL_REASONS = {code: each.usual_reason for code, each in CATEGORIES.items()}
NO_TAX = Decimal(0)


@dataclass(frozen=True)
class InvoiceAsked:
    """What an invoice is asked for with; what is left out is as the job or the settings say.

    `claim` is None of an advance; `credits` is the invoice that a credit note credits, and `reason`
    why.
    """

    claim: int | None = None
    dated: date | None = None
    mark: str = ""
    credits: str = ""
    reason: str = ""
    tax_category: str = ""
    tax_rate: str = ""
    tax_reason: str = ""
    tax_reason_code: str = ""
    delivered_on: date | None = None
    delivered_from: date | None = None
    delivered_to: date | None = None
    deliver_to_country: str = ""
    exchange_rate: str = ""
    exchange_source: str = ""
    payment_days: int | None = None
    purchase_order: str = ""
    notes: tuple[str, ...] = ()

    @property
    def particulars(self) -> str | None:
        """Return what was typed, as it is kept; what a column of the document holds is left out."""
        kept = {
            name: value.isoformat() if isinstance(value, date) else value
            for name, value in vars(self).items()
            if value not in (None, "", ()) and name not in OF_COLUMNS
        }
        return json.dumps(kept, ensure_ascii=False) if kept else None


NOTHING_ASKED = InvoiceAsked()


@dataclass(frozen=True)
class InvoiceTerms:
    """The terms of invoices of a job, as its card and the settings have them."""

    card: dict[str, Any]
    settings: dict[str, str]
    asked: InvoiceAsked
    own: dict[str, Any] = field(init=False)

    def __post_init__(self) -> None:
        object.__setattr__(self, "own", json.loads(self.card["invoice"] or "{}"))

    def term(self, name: str) -> str:
        """Return what was typed, else what the job says."""
        return str(getattr(self.asked, name, "") or self.own.get(name) or "")

    @property
    def currency(self) -> str:
        return currency_of(self.card, self.settings)

    # -- tax -------------------------------------------------------------------------------------

    def tax(self, day: date) -> Tax:
        """Return category and rate of work of a day. Raises: Refused when the rate is not known."""
        category = self.term("tax_category") or STANDARD
        if category not in CATEGORIES or not CATEGORIES[category].taxed:
            return Tax(category, NO_TAX)
        typed = self.term("tax_rate") or self._by_day(f"tax_categories.{category}", day)
        if not typed:
            load = Remedy("load", what="settings")
            raise Refused("tax_rate_unknown", category=category, day=day, remedy=load)
        return Tax(category, Decimal(typed))

    def exemptions(self, categories: Iterable[str]) -> tuple[Exemption, ...]:
        """Return why categories bear no tax, in the language spoken unless it was typed."""
        used = dict.fromkeys(categories)
        return tuple(self._exemption(each) for each in used if CATEGORIES[each].gives_reason)

    def _exemption(self, category: str) -> Exemption:
        of = f"tax_categories.{category}"
        reason = self.term("tax_reason") or self.settings.get(f"{of}.reason", "")
        code = self.term("tax_reason_code") or self.settings.get(f"{of}.code", "")
        return Exemption(category, reason or _(USUAL_REASONS[category]), code)

    def _by_day(self, table: str, day: date) -> str:
        """Return the figure of a table that holds on a day, empty where none does yet."""
        named = {
            name.removeprefix(f"{table}."): value
            for name, value in self.settings.items()
            if name.startswith(f"{table}.")
        }
        days = [each for each in named if each[:1].isdigit() and each <= day.isoformat()]
        return named[max(days)] if days else ""

    # -- parties and payment ---------------------------------------------------------------------

    def seller(self, used: Tax) -> Party:
        of = self.settings
        lines = tuple(json.loads(of.get("yard.address", "[]")))
        where = (of.get("yard.postcode", ""), of.get("yard.city", ""))
        return Party(
            of.get("yard.name", ""),
            Address(of.get("yard.country", ""), lines, *where),
            _number(used, of.get("yard.tax_number", "")),
            of.get("yard.tax_registration", ""),
            of.get("yard.registration", ""),
            _electronic(of.get("yard.electronic_address", "")),
        )

    def buyer(self, used: Tax) -> Party:
        of = json.loads(self.card["owner_party"] or "{}")
        where = (of.get("postcode", ""), of.get("city", ""), of.get("region", ""))
        return Party(
            of.get("legal_name") or self.card["owner"] or "",
            Address(of.get("country", ""), tuple(of.get("address", ())), *where),
            _number(used, of.get("tax_number", "")),
            registration=of.get("registration", ""),
            electronic=_electronic(of.get("electronic_address", "")),
        )

    def payment(self, reference: str) -> PaymentTerms:
        of = self.settings
        name = of.get("bank_account.name") or of.get("yard.name", "")
        account = of.get("bank_account.account", "")
        return PaymentTerms(
            account=account,
            account_name=name if account else "",
            bank=of.get("bank_account.bank", ""),
            reference=reference,
        )

    def due_on(self, day: date) -> date:
        days = self.asked.payment_days
        if days is None:
            days = self.own.get("payment_days", PAYMENT_DAYS)
        return day + timedelta(days=days)

    @property
    def references(self) -> References:
        return References(
            self.term("purchase_order"),
            self.own.get("buyer_reference", ""),
            self.own.get("contract_reference", ""),
        )

    def accounting(self, day: date) -> Accounting | None:
        """Return the yard's own currency where the invoice is in another, with a rate as typed."""
        own, currency = self.settings.get("yard.currency", ""), self.currency
        if currency == own:
            return None
        typed, of = self.asked.exchange_rate, f"exchange_rates.{currency}"
        rate = typed or self._by_day(of, day)
        source = self.asked.exchange_source or ("" if typed else self._source(of, day))
        return Accounting(own, Decimal(rate) if rate else None, source)

    def _source(self, of: str, day: date) -> str:
        """Return whose rate of which day it is."""
        dated = (n.removeprefix(f"{of}.") for n in self.settings if n.startswith(f"{of}.2"))
        since = max((each for each in dated if each <= day.isoformat()), default="")
        of_day = written(date.fromisoformat(since)) if since else ""
        return ", ".join(filter(None, (self.settings.get(f"{of}.source", ""), of_day)))


def _number(used: Tax, number: str) -> str:
    """Return a tax number, none where the category bears none (BR-O-02)."""
    return "" if used.category == NOT_SUBJECT else number


def _electronic(written: str) -> ElectronicAddress | None:
    scheme, colon, identifier = written.partition(":")
    return ElectronicAddress(scheme, identifier) if colon else None
