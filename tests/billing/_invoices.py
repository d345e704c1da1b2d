"""Invoices and credit notes put into a book as they are kept, without their pages."""

from datetime import date, timedelta
from decimal import Decimal
from typing import Any

from ledger.commands.access import WriteAccess
from tests.conftest import Yard

HEAD = "invoice,date,amount,reference,deducted,deduction_kind,accepted,reason\n"


def put_invoice(yard: Yard, number: str, amount: str, issued_on: str, **more: Any) -> None:
    """Keep an invoice of one line without tax, or what `more` says of it; due after 30 days."""
    on = date.fromisoformat(issued_on)
    kind, rate = more.pop("kind", "invoice"), Decimal(more.pop("tax_rate", 0))
    facts = {"job": "CLAIM", "series": "R-", "number": int(number[2:]), "document": number}
    due = on + timedelta(days=30) if kind == "invoice" else None
    facts |= {"kind": kind, "issued_on": on, "due_on": due, "currency": "EUR", "known_at": 1}
    facts |= {"retain_until": on + timedelta(days=3650), **more}
    line = {"document": number, "position": 1, "claim_kind": "base", "item": "base"}
    line |= {"description": "Contract work", "quantity": Decimal(1), "unit": "C62"}
    line |= {"unit_price": Decimal(amount), "to_date": Decimal(amount), "before": Decimal(0)}
    line |= {"amount": Decimal(amount), "tax_category": "S", "tax_rate": rate}
    with WriteAccess(yard.book, "Tester").writing("issue invoice") as (_, batch):
        batch.append_row("document", facts)
        batch.append_row("document_line", line)


def pay(yard: Yard, *rows: str, ok: bool = True) -> str:
    """Load payments: invoice, date, amount, and maybe reference and what was deducted."""
    text = HEAD + "".join(f"{row}{',' * (7 - row.count(','))}\n" for row in rows)
    path = yard.write("payments.csv", text)
    return yard.run("load", "payments", "--job", "CLAIM", path, ok=ok).stderr
