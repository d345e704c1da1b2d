"""The page of a progress claim."""

from decimal import Decimal

from ledger.domain.claims import ClaimLine
from ledger.reports.dates import written
from ledger.reports.figures import number_text
from ledger.reports.owner.claim_view import ProgressClaim
from ledger.reports.owner.document_parts import Letter, Terms, amount, plain
from ledger.reports.tables import Column, Fact, Row, Section, Table
from ledger.reports.text import NAME_LENGTH, TEXT_LENGTH, cut

OPENING = (
    "This is our account of the work done to {day}: what it is worth so far, less what was "
    "certified before. All amounts are without tax."
)
NOT_AN_INVOICE = (
    "This is not an invoice. When and how it is answered and paid is a matter of the contract and "
    "of local law."
)
ESTIMATED = "estimated until agreed"
KINDS = {
    "base": "contract work",
    "stage": "stage payment",
    "variation": "variation",
    "daywork": "daywork",
    "omission": "omission",
    "provisional": "provisional sum",
    "on_account": "on account",
    "correction": "correction",
}


def claim_letter(view: ProgressClaim) -> Letter:
    """Return the words and tables of a progress claim."""
    head, sums = view.head, view.sums
    return Letter(
        title=f"{cut(view.title, NAME_LENGTH)} {view.claim}",
        opening=(OPENING.format(day=written(view.day_to)),),
        figures=(
            Fact("Due now", amount(head, sums.due), "without tax"),
            Fact("Value to date", amount(head, sums.value_to_date)),
            Fact("Adjusted contract sum", amount(head, view.adjusted_sum)),
        ),
        sections=(_contract(view), _work(view), _due(view)),
        terms=(Terms("What this is", (NOT_AN_INVOICE,)),),
        facts=(Fact("Work up to", written(view.day_to)),),
    )


def _money(view: ProgressClaim, head: str) -> Column:
    return Column(head, "money", cut(view.head.currency, NAME_LENGTH))


def _contract(view: ProgressClaim) -> Section:
    signed = f"amended on {written(view.amended_on)}" if view.amended_on else "as signed"
    rows = [Row((f"Original contract sum, {signed}", view.contract_sum), "plain", 2)]
    rows += [
        Row((_code(each.change), _title(each.title, estimated=each.estimated), each.amount), "step")
        for each in view.variations
    ]
    rows.append(Row(("Adjusted contract sum", view.adjusted_sum), "total", 2))
    columns = (Column("Contract sum", "text"), Column("Variation", "text"), _money(view, "Sum"))
    caption = f"Variations approved by {written(view.day_to)}"
    return Section("Contract sum", Table("Contract sum", caption, columns, tuple(rows)))


def _code(change: str) -> str:
    return cut(change, NAME_LENGTH)


def _title(title: str, *, estimated: bool) -> str:
    return f"{cut(title, TEXT_LENGTH)}, {ESTIMATED}" if estimated else cut(title, TEXT_LENGTH)


def _work(view: ProgressClaim) -> Section:
    columns = (
        Column("Item", "text"),
        Column("Kind", "basis"),
        Column("Done", "text", missing=""),
        _money(view, "To date"),
        _money(view, "Before"),
        _money(view, "Now"),
    )
    rows = [
        Row(
            (
                _item(line),
                KINDS[line.claim_kind],
                _done(line),
                line.to_date,
                line.certified,
                line.amount,
            )
        )
        for line in view.lines
    ]
    totals = [_sum([getattr(line, name) for line in view.lines]) for name in SUMMED]
    rows.append(Row(("Value of the work", *totals), "total", 3))
    caption = "Value to date, what was certified of it before, and the difference"
    return Section("Work done", Table("Work done", caption, columns, tuple(rows)))


SUMMED = ("to_date", "certified", "amount")


def _sum(amounts: list[Decimal]) -> Decimal:
    return sum(amounts, Decimal("0.00"))


def _item(line: ClaimLine) -> str:
    described = cut(line.description, TEXT_LENGTH)
    return f"{cut(line.change, NAME_LENGTH)} · {described}" if line.change else described


def _done(line: ClaimLine) -> str | None:
    """Return a quantity with its rate, or the percentage that is claimed."""
    if line.quantity is None:
        return None
    quantity = number_text(plain(line.quantity, 2 if line.unit == "h" else 0))
    if line.unit_price is None:
        return f"{quantity} {cut(line.unit, NAME_LENGTH) or '%'}"
    rate = number_text(plain(line.unit_price, 2))
    return f"{quantity} {cut(line.unit, NAME_LENGTH)} at {rate}"


def _due(view: ProgressClaim) -> Section:
    sums = view.sums
    steps = (
        ("Less retention", -sums.retention_kept),
        ("Retention released", sums.retention_released),
        ("Less advance recovered", -sums.advance_recovered),
    )
    rows = [
        Row(("Value to date", sums.value_to_date)),
        *(Row(step, "step") for step in steps if step[1]),
        Row(("Net to date", sums.net_to_date), "subtotal"),
        Row(("Less certified before", -sums.before), "step"),
        Row(("Due, without tax", sums.due), "total"),
    ]
    columns = (Column("Amount", "text"), _money(view, "Sum"))
    caption = f"As recorded on {written(view.head.issued_on)}, without tax"
    return Section("Amount due", Table("Amount due", caption, columns, tuple(rows)))
