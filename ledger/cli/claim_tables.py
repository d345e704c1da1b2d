"""What may be claimed, as tables for people and as CSV."""

from decimal import Decimal
from typing import TYPE_CHECKING

from ledger.cli.output import as_csv, give, say
from ledger.cli.tables import as_table
from ledger.domain.claims import ClaimLine
from ledger.domain.counting import grouped

BANDS = {
    "not_due": "not due",
    "1_30": "1-30",
    "31_60": "31-60",
    "61_90": "61-90",
    "over_90": "over 90",
    "retention": "held as retention",
}

if TYPE_CHECKING:
    from ledger.billing.account import Account
    from ledger.billing.claimable import Claimable, NotClaimed
    from ledger.commands.claims import AccountKnown
    from ledger.domain.receivables import InvoiceBalance

CAUTION = (
    "Without tax. What is due, and when, is a matter of the contract and local law; take advice "
    "where it counts."
)
ACCOUNT_CAUTION = (
    "Up to certified to date without tax, from invoiced to date with tax. What is due, and when, "
    "is a matter of the contract and local law; take advice where it counts."
)
HEAD = (
    *("claim_kind", "change", "description", "quantity", "unit", "unit_price"),
    *("to_date", "certified", "amount"),
)
WHY = {
    "not_reached": "stage not reached: no claim percent",
    "no_claim_percent": "no claim percent; at the share measured",
    "unsigned_daywork": "worked, on no agreed sheet",
    "over_cap": "agreed on sheets, above the cap",
    "no_charge_rate": "no charge rate for a trade",
    "not_approved": "not approved",
    "instructed_price_open": "instructed, price open",
    "lapsed": "price lapsed",
    "disputed": "price disputed",
    "counter_offer": "counter-offer open",
    "disallowed": "claimed, not certified",
}


def claimable_table(claimable: "Claimable", format: str) -> None:
    """Give the lines of a claim, what they come to, and what is left out."""
    if format == "csv":
        give(as_csv(HEAD, [_row(line) for line in claimable.lines]))
        return
    say(f"{claimable.job} to {claimable.day}, {claimable.currency}".rstrip(" ,"))
    if claimable.lines:
        rows = [_shown(line) for line in claimable.lines]
        give(as_table(("kind", "change", "description", "quantity", "to date", "now"), rows))
    else:
        give("nothing may be claimed yet")
    give("")
    give(as_table(("", "amount"), _sums(claimable)))
    if claimable.left_out:
        give("\nleft out")
        give(as_table(("item", "why", "amount"), [_left(each) for each in claimable.left_out]))
    give(f"\n{CAUTION}")


def _row(line: ClaimLine) -> list[object]:
    return [getattr(line, name) for name in HEAD]


def _shown(line: ClaimLine) -> list[object]:
    return [
        line.claim_kind.replace("_", " "),
        line.change or "",
        line.description,
        _quantity(line),
        line.to_date,
        line.amount,
    ]


def _quantity(line: ClaimLine) -> str:
    """Return hours or units with their price, or the percentage that is claimed."""
    if line.quantity is None:
        return ""
    quantity = _number(line.quantity, 2 if line.unit == "h" else 0)
    if line.unit_price is None:
        return f"{quantity} {line.unit or '%'}"
    return f"{quantity} {line.unit} x {_number(line.unit_price, 2)}"


def _number(value: Decimal, places: int) -> str:
    """Return a number with so many places, or with as many as it has."""
    short = value.normalize()
    return grouped(short if short != round(short, places) else round(value, places))


def _sums(claimable: "Claimable") -> list[list[object]]:
    sums = claimable.sums
    rows: list[list[object]] = [["value to date", sums.value_to_date]]
    if sums.retention_kept:
        rows.append(["less retention", -sums.retention_kept])
    if sums.retention_released:
        rows.append(["retention released", sums.retention_released])
    if sums.advance_recovered:
        rows.append(["less advance recovered", -sums.advance_recovered])
    return [
        *rows,
        ["net to date", sums.net_to_date],
        ["less certified before", -sums.before],
        ["due, without tax", sums.due],
    ]


def _left(each: "NotClaimed") -> list[object]:
    why = f"{WHY[each.reason]}: {each.why}" if each.why else WHY[each.reason]
    return [each.item, why, "" if each.amount is None else each.amount]


def account_table(known: "AccountKnown", format: str) -> None:
    """Give the amounts of an account, and the claims with what is certified of each."""
    from ledger.commands.claims_as_json import account_amounts

    account, amounts = known.account, account_amounts(known)
    if format == "csv":
        give(as_csv(("name", "amount"), [list(each) for each in amounts.items()]))
        return
    say(f"{account.job} to {account.day}, {account.claimable.currency}".rstrip(" ,"))
    rows: list[list[object]] = [[n.replace("_", " "), v] for n, v in amounts.items()]
    give(as_table(("", "amount"), rows))
    if account.agreed:
        give(f"\nfinal account agreed on {account.agreed.day} at {grouped(account.agreed.amount)}")
    if account.claims:
        claims: list[list[object]] = [
            [e.claim.number, e.claim.document, e.claim.day, e.value, _certified(e.certified)]
            for e in account.claims
        ]
        give("\nclaims")
        give(as_table(("claim", "document", "work to", "value to date", "certified"), claims))
    _give_receivables(account)
    _give_kept(account)
    give(f"\n{ACCOUNT_CAUTION}")


def _give_receivables(account: "Account") -> None:
    """Give how each invoice stands, what is outstanding by its age, and what moved it."""
    if not account.balances:
        return
    give("\ninvoices, with tax")
    head = ("invoice", "issued", "due", "amount", "credited", "paid", "deducted", "outstanding")
    give(as_table(head, [_invoice(each) for each in account.balances]))
    give("\noutstanding, by days overdue")
    bands = [[BANDS[each.band], each.outstanding, each.disputed] for each in account.aged]
    give(as_table(("days", "outstanding", "of it disputed"), bands))
    give("\nstatement of account")
    rows = [
        [e.day, e.entry.replace("_", " "), e.document, e.reference, e.amount, e.balance]
        for e in account.statement
    ]
    give(as_table(("date", "entry", "document", "reference", "amount", "balance"), rows))


def _invoice(each: "InvoiceBalance") -> list[object]:
    amounts = (each.invoiced, each.credited, each.paid, each.accepted, each.outstanding)
    return [each.document, each.issued_on, each.due_on, *amounts]


def _give_kept(account: "Account") -> None:
    """Give what is retained by claim, and what of claims was disallowed."""
    if any(each.kept for each in account.retention):
        rows = [[e.claim, e.day, e.value, e.kept, e.released, e.held] for e in account.retention]
        give("\nretention, by claim")
        give(as_table(("claim", "work to", "certified", "kept", "released", "held"), rows))
    if account.disallowed:
        give("\nclaimed, not certified")
        disallowed = [[each.item, each.why, each.amount or ""] for each in account.disallowed]
        give(as_table(("item", "reason", "amount"), disallowed))


def _certified(value: Decimal | None) -> object:
    return "not yet" if value is None else value
