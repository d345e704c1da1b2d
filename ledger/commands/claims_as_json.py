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
    claimable = known.claimable
    sums = claimable.sums
    return {
        "job": claimable.job,
        "to": claimable.day,
        "currency": claimable.currency,
        "original_sum": money(claimable.original_sum),
        "lines": [_line(line) for line in claimable.lines],
        "left_out": [
            {
                "change": each.item,
                "amount": money(each.amount),
                "reason": each.reason,
                **({"certificate_reason": each.why} if each.why else {}),
            }
            for each in claimable.left_out
        ],
        "total": money(claimable.total),
        "value_to_date": money(sums.value_to_date),
        "retention_held": money(sums.retention_held),
        "retention_released": money(sums.retention_released),
        "advance_recovered": money(sums.advance_recovered),
        "net_to_date": money(sums.net_to_date),
        "certified_before": money(sums.before),
        "due": money(sums.due),
        "to_be_credited": money(claimable.to_be_credited),
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
    account, claimable = known.account, known.account.claimable
    named = sums_named(account.sums.original, account.sums)
    return {
        **{name: named[name] for name in OF_CONTRACT},
        "value_to_date": claimable.sums.value_to_date,
        "retention_held": claimable.sums.retention_held,
        "retention_released": claimable.sums.retention_released,
        "advance_recovered": claimable.sums.advance_recovered,
        "net_to_date": claimable.sums.net_to_date,
        "certified_to_date": claimable.sums.before,
        "to_be_credited": claimable.to_be_credited,
        "invoiced_to_date": account.invoiced,
        "credited_to_date": account.credited,
        "paid_to_date": account.paid,
        "deductions_accepted": account.deducted,
        "outstanding": account.outstanding,
        "disputed": account.disputed,
    }


def _receivables(account: Account) -> Json:
    """Return how each invoice stands, what is outstanding by its age, and what moved it."""
    return {
        "invoices": [
            {
                "invoice": each.document,
                "issued_on": each.issued_on,
                "due_on": each.due_on,
                "currency": each.currency,
                **_amounts(each, BALANCE),
                "days_overdue": each.days_overdue(account.day),
            }
            for each in account.balances
        ],
        "aged": [{"band": each.band, **_amounts(each, AGED)} for each in account.aged],
        "statement": [
            {
                **{name: getattr(each, name) for name in ("day", "entry", "document")},
                "reference": each.reference or None,
                **_amounts(each, ("amount", "balance")),
            }
            for each in account.statement
        ],
    }


def _agreed(account: Account) -> Json | None:
    agreed = account.agreed
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
    account = known.account
    return {
        "job": account.job,
        "to": account.day,
        "currency": account.claimable.currency,
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
            for each in account.claims
        ],
        **_receivables(account),
        "retention": [
            {"claim": each.claim, "to": each.day, **_amounts(each, RETENTION)}
            for each in account.retention
        ],
        "final_account": _agreed(account),
        "disallowed": [
            {"item": each.item, "amount": money(each.amount), "certificate_reason": each.why}
            for each in account.disallowed
        ],
        "known_at": known_at(known.stamp),
        "closed_to": known.closed_to,
    }
