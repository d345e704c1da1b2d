"""What may be claimed, for machines: quantities and money of 4 places."""

from decimal import Decimal

from ledger.commands.as_json import Json, known_at
from ledger.commands.changes_as_json import PLACES, money
from ledger.commands.claims import ClaimableKnown
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
