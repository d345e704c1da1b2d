"""What is recorded of an invoice or a credit note when it is issued: its lines."""

from collections.abc import Sequence

from ledger.documents.invoices import InvoicedLine
from ledger.store.batches import Batch


def record_lines(batch: Batch, document: str, lines: Sequence[InvoicedLine]) -> None:
    """Add the lines of an invoice or a credit note."""
    rows = [
        {
            "document": document,
            "position": position,
            "claim_kind": line.claim_kind,
            "item": line.item,
            "change": line.change,
            "description": line.description or None,
            "quantity": line.quantity,
            "unit": line.unit or None,
            "unit_price": line.unit_price,
            "to_date": line.to_date,
            "before": line.before,
            "amount": line.amount,
            "tax_category": line.tax_category,
            "tax_rate": line.tax_rate,
        }
        for position, line in enumerate(lines, start=1)
    ]
    batch.append("document_line", {name: [row[name] for row in rows] for name in rows[0]})
