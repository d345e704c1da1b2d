"""What may be claimed, for machines: quantities and money of 4 places."""

from collections.abc import Iterable
from decimal import Decimal

from ledger.billing.account import Account
from ledger.commands.as_json import Json, known_at
from ledger.commands.changes_as_json import PLACES, money, sums_named
from ledger.commands.claims import AccountKnown, ClaimableKnown
from ledger.domain.claims import ClaimLine


def claimable_json(known: ClaimableKnown) -> Json:
    """Return what may be claimed of a job, what is left out, and what it comes to."""
    given = known.claimable
    sums = given.sums
    return {
        "job": given.job,
        "to": given.day,
        "currency": given.currency,
        "original_sum": money(given.original_sum),
        "lines": [_line(line) for line in given.lines],
        "left_out": [
            {
                "change": each.item,
                "amount": money(each.amount),
                "reason": each.reason,
                **({"certificate_reason": each.why} if each.why else {}),
            }
            for each in given.left_out
        ],
        "total": money(given.total),
        "value_to_date": money(sums.value_to_date),
        "retention_held": money(sums.retention_held),
        "retention_released": money(sums.retention_released),
        "advance_recovered": money(sums.advance_recovered),
        "net_to_date": money(sums.net_to_date),
        "certified_before": money(sums.before),
        "due": money(sums.due),
        "to_be_credited": money(given.to_be_credited),
        "known_at": known_at(known.stamp),
    }


def _line(line: ClaimLine) -> Json:
    return {
        "claim_kind": line.claim_kind,
        "change": line.change,
        "description": line.description,
        "quantity": _quantity(line.quantity),
        "unit": line.unit,
        "unit_price": money(line.unit_price),
        "to_date": money(line.to_date),
        "certified": money(line.certified),
        "amount": money(line.amount),
    }


def _quantity(quantity: Decimal | None) -> Decimal | None:
    return None if quantity is None else quantity.quantize(PLACES)


AGED = ("outstanding", "disputed")
BALANCE = ("invoiced", "credited", "paid", "accepted", *AGED)
RETENTION = ("value", "kept", "released", "held")

# The sums of the contract that an account states.
OF_CONTRACT = (
    *("original_sum", "approved", "omitted", "daywork_movement", "adjusted_sum"),
    *("time_beyond_estimate", "anticipated_final_sum"),
)


def account_amounts(known: AccountKnown) -> dict[str, Decimal | None]:
    """Return the amounts of an account by their names, in order; with tax from what is invoiced."""
    given, found = known.account, known.account.claimable
    named = sums_named(given.sums.original, given.sums)
    return {
        **{name: named[name] for name in OF_CONTRACT},
        "value_to_date": found.sums.value_to_date,
        "retention_held": found.sums.retention_held,
        "retention_released": found.sums.retention_released,
        "advance_recovered": found.sums.advance_recovered,
        "net_to_date": found.sums.net_to_date,
        "certified_to_date": found.sums.before,
        "to_be_credited": found.to_be_credited,
        "invoiced_to_date": given.invoiced,
        "credited_to_date": given.credited,
        "paid_to_date": given.paid,
        "deductions_accepted": given.deducted,
        "outstanding": given.outstanding,
        "disputed": given.disputed,
    }


def _receivables(given: Account) -> Json:
    """Return how each invoice stands, what is outstanding by its age, and what moved it."""
    return {
        "invoices": [
            {
                "invoice": each.document,
                "issued_on": each.issued_on,
                "due_on": each.due_on,
                "currency": each.currency,
                **_amounts(each, BALANCE),
                "days_overdue": each.days_overdue(given.day),
            }
            for each in given.balances
        ],
        "aged": [{"band": each.band, **_amounts(each, AGED)} for each in given.aged],
        "statement": [
            {
                **{name: getattr(each, name) for name in ("day", "entry", "document")},
                "reference": each.reference or None,
                **_amounts(each, ("amount", "balance")),
            }
            for each in given.statement
        ],
    }


def _agreed(given: Account) -> Json | None:
    agreed = given.agreed
    if agreed is None:
        return None
    return {
        "agreed_on": agreed.day,
        "final_sum": money(agreed.amount),
        "person": agreed.person,
        "reference": agreed.reference,
        "reserved": list(agreed.reserved),
    }


def _amounts(row: object, names: Iterable[str]) -> Json:
    return {name: money(getattr(row, name)) for name in names}


def account_json(known: AccountKnown) -> Json:
    """Return the account of a job, and its claims with what is certified of each."""
    given = known.account
    return {
        "job": given.job,
        "to": given.day,
        "currency": given.claimable.currency,
        **{name: money(amount) for name, amount in account_amounts(known).items()},
        "claims": [
            {
                "claim": each.claim.number,
                "document": each.claim.document,
                "to": each.claim.day,
                "issued_on": each.claim.issued_on,
                "value_to_date": money(each.value),
                "certified": money(each.certified),
            }
            for each in given.claims
        ],
        **_receivables(given),
        "retention": [
            {"claim": each.claim, "to": each.day, **_amounts(each, RETENTION)}
            for each in given.retention
        ],
        "final_account": _agreed(given),
        "disallowed": [
            {"item": each.item, "amount": money(each.amount), "certificate_reason": each.why}
            for each in given.disallowed
        ],
        "known_at": known_at(known.stamp),
        "closed_to": known.closed_to,
    }
