"""The page of a progress claim."""

from decimal import Decimal

from ledger.domain.claims import ClaimLine
from ledger.language import _
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
# What the record itself says in English, where the yard typed nothing of its own.
OF_THE_RECORD = {
    "Progress claim": "Progress claim",
    "Contract work": "Contract work",
    "Above the cap agreed": "Above the cap agreed",
}
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
        title=f"{cut(_said(view.title), NAME_LENGTH)} {view.claim}",
        opening=(_(OPENING).format(day=written(view.day_to)),),
        figures=(
            Fact(_("Due now"), amount(head, sums.due), _("without tax")),
            Fact(_("Value to date"), amount(head, sums.value_to_date)),
            Fact(_("Adjusted contract sum"), amount(head, view.adjusted_sum)),
        ),
        sections=(_contract(view), _work(view), _due(view)),
        terms=(Terms(_("What this is"), (_(NOT_AN_INVOICE),)),),
        facts=(Fact(_("Work up to"), written(view.day_to)),),
    )


def _said(text: str) -> str:
    """Return a text as it was typed, or what the record says by itself in the owner's language."""
    return _(OF_THE_RECORD[text]) if text in OF_THE_RECORD else text


def _money(view: ProgressClaim, head: str) -> Column:
    return Column(head, "money", cut(view.head.currency, NAME_LENGTH))


def _contract(view: ProgressClaim) -> Section:
    signed = _("Original contract sum, as signed")
    if view.amended_on:
        signed = _("Original contract sum, amended on {day}").format(day=written(view.amended_on))
    rows = [Row((signed, view.contract_sum), "plain", 2)]
    rows += [
        Row((_code(each.change), _title(each.title, estimated=each.estimated), each.amount), "step")
        for each in view.variations
    ]
    if view.unspent:
        rows.append(Row((_("Provisional sums not spent"), view.unspent), "step", 2))
    rows.append(Row((_("Adjusted contract sum"), view.adjusted_sum), "total", 2))
    columns = (
        Column(_("Contract sum"), "basis"),
        Column(_("Variation"), "text"),
        _money(view, _("Sum")),
    )
    caption = _("Variations approved by {day}").format(day=written(view.day_to))
    return Section(_("Contract sum"), Table("Contract sum", caption, columns, tuple(rows)))


def _code(change: str) -> str:
    return cut(change, NAME_LENGTH)


def _title(title: str, *, estimated: bool) -> str:
    return f"{cut(title, TEXT_LENGTH)}, {_(ESTIMATED)}" if estimated else cut(title, TEXT_LENGTH)


def _work(view: ProgressClaim) -> Section:
    columns = (
        Column(_("Item"), "text"),
        Column(_("Kind"), "basis"),
        Column(_("Done"), "basis", missing=""),
        _money(view, _("To date")),
        _money(view, _("Before")),
        _money(view, _("Now")),
    )
    rows = [
        Row(
            (
                _item(line),
                _(KINDS[line.claim_kind]),
                _done(line),
                line.to_date,
                line.certified,
                line.amount,
            )
        )
        for line in view.lines
    ]
    totals = [_sum([getattr(line, name) for line in view.lines]) for name in SUMMED]
    rows.append(Row((_("Value of the work"), *totals), "total", 3))
    caption = _("Value to date, what was certified of it before, and the difference")
    return Section(_("Work done"), Table("Work done", caption, columns, tuple(rows)))


SUMMED = ("to_date", "certified", "amount")


def _sum(amounts: list[Decimal]) -> Decimal:
    return sum(amounts, Decimal("0.00"))


def _item(line: ClaimLine) -> str:
    described = cut(_said(line.description), TEXT_LENGTH)
    return f"{cut(line.change, NAME_LENGTH)} · {described}" if line.change else described


def _done(line: ClaimLine) -> str | None:
    """Return a quantity with its rate, or the percentage that is claimed."""
    if line.quantity is None:
        return None
    quantity = number_text(plain(line.quantity, 2 if line.unit == "h" else 0))
    if line.unit_price is None:
        return f"{quantity} {cut(line.unit, NAME_LENGTH) or '%'}"
    rate = number_text(plain(line.unit_price, 2))
    unit = cut(line.unit, NAME_LENGTH)
    return _("{quantity} {unit} at {rate}").format(quantity=quantity, unit=unit, rate=rate)


def _due(view: ProgressClaim) -> Section:
    sums = view.sums
    steps = (
        (_("Less retention"), -sums.retention_kept),
        (_("Retention released"), sums.retention_released),
        (_("Less advance recovered"), -sums.advance_recovered),
    )
    rows = [
        Row((_("Value to date"), sums.value_to_date)),
        *(Row(step, "step") for step in steps if step[1]),
        Row((_("Net to date"), sums.net_to_date), "subtotal"),
        Row((_("Less certified before"), -sums.before), "step"),
        Row((_("Due, without tax"), sums.due), "total"),
    ]
    columns = (Column(_("Amount"), "text"), _money(view, _("Sum")))
    caption = _("As recorded on {day}, without tax").format(day=written(view.head.issued_on))
    return Section(_("Amount due"), Table("Amount due", caption, columns, tuple(rows)))
