"""Lines of the record as an invoice prints them: what each is called, and by which quantity."""

from collections.abc import Iterable, Mapping
from decimal import Decimal

from ledger.documents.invoices import InvoicedLine
from ledger.domain.invoices import InvoiceLine
from ledger.language import _
from ledger.reports.figures import number_text
from ledger.reports.text import NAME_LENGTH, TEXT_LENGTH, cut

# Lines that are called as their change is, and what is said of some of them.
BY_TITLE = frozenset({"variation", "omission", "provisional", "on_account"})
SAID = {
    "omission": "omitted",
    "provisional": "from a provisional sum",
    "on_account": "on account",
    "correction": "invoiced before, no longer due",
    "rounding": "Rounding of quantities",
}
# What a claim says by itself in English, where the yard typed nothing of its own.
OF_THE_RECORD = {
    "Contract work": "Contract work",
    "Above the cap agreed": "Above the cap agreed",
    "Certified before, no longer due": "invoiced before, no longer due",
}
RETENTION = "Retention held, by the contract"
RETENTION_RELEASED = "Retention released"
ADVANCE = "Advance payment, by the contract"
ADVANCE_RECOVERED = "Advance recovered"
TO_DATE = "{to_date} to date, {before} invoiced before"


def printed_lines(
    lines: Iterable[InvoicedLine], titles: Mapping[str, str]
) -> tuple[InvoiceLine, ...]:
    """Return lines of the record as they are printed, in the language spoken.

    `titles` are those of changes, as the owner was sent them.
    """
    return tuple(_printed(line, titles) for line in lines)


def _printed(line: InvoicedLine, titles: Mapping[str, str]) -> InvoiceLine:
    quantity, unit, price = line.charged
    return InvoiceLine(
        _described(line, titles),
        _plain(quantity),
        unit,
        _plain(price),
        line.tax_category,
        _plain(line.tax_rate),
        _detail(line) if line.before else "",
    )


def _plain(figure: Decimal) -> Decimal:
    """Return a figure without the zeros that a column adds to it, two decimals at the least."""
    places = max(2, -int(figure.normalize().as_tuple().exponent))
    return figure.quantize(Decimal(1).scaleb(-places))


def _described(line: InvoicedLine, titles: Mapping[str, str]) -> str:
    if line.claim_kind == "retention":
        return _(RETENTION) if line.amount < 0 else _(RETENTION_RELEASED)
    if line.claim_kind == "advance":
        return _(ADVANCE) if line.to_date > 0 else _(ADVANCE_RECOVERED)
    if line.claim_kind == "rounding":
        return _(SAID["rounding"])
    return " · ".join(filter(None, (cut(line.change or "", NAME_LENGTH), _item(line, titles))))


def _item(line: InvoicedLine, titles: Mapping[str, str]) -> str:
    title = cut(titles.get(line.change or "", ""), TEXT_LENGTH)
    described = cut(line.description, TEXT_LENGTH)
    described = _(OF_THE_RECORD[described]) if described in OF_THE_RECORD else described
    if line.claim_kind in BY_TITLE:
        described = title or described
        suffix = SAID.get(line.claim_kind)
        return f"{described}, {_(suffix)}" if suffix else described
    named = title if title and title != described else ""
    return ": ".join(filter(None, (named, described)))


def _detail(line: InvoicedLine) -> str:
    """Return what the increment comes from."""
    to_date, before = number_text(line.to_date), number_text(line.before)
    return _(TO_DATE).format(to_date=to_date, before=before)
