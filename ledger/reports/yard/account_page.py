"""The account of a job as a page: its sums, its invoices, what is overdue, and every move."""

from decimal import Decimal

from ledger.domain.receivables import overdue
from ledger.reports import page_parts
from ledger.reports.canonical import digest
from ledger.reports.dates import written
from ledger.reports.figures import number_text
from ledger.reports.tables import Column, Fact, Page, Row, Section, Table
from ledger.reports.text import NAME_LENGTH, TEXT_LENGTH, cut, visible_throughout
from ledger.reports.yard.account import AccountPage, Named

TITLE = "Statement of account"
WORDS = {
    "original_sum": "Contract sum",
    "approved": "Approved variations",
    "omissions": "Omissions",
    "daywork_movement": "Daywork against its estimate",
    "adjusted_sum": "Adjusted contract sum",
    "value_to_date": "Value to date",
    "retention_held": "Less retention held",
    "advance_recovered": "Less advance recovered",
    "net_to_date": "Net to date",
    "certified_to_date": "Certified to date",
    "to_be_credited": "To be credited",
    "invoiced_to_date": "Invoiced",
    "credited_to_date": "Credited",
    "paid_to_date": "Paid",
    "deductions_accepted": "Deductions accepted",
    "outstanding": "Outstanding",
    # What moves the balance.
    "invoice": "Invoice",
    "credit_note": "Credit note",
    "payment": "Payment",
    "set_off": "Set-off accepted",
    "delay_damages": "Delay damages accepted",
    "bank_charge": "Bank charge",
    "tax_withheld": "Tax withheld",
    "discount": "Discount",
}
BANDS = {
    "not_due": "Not due",
    "1_30": "1 to 30 days",
    "31_60": "31 to 60 days",
    "61_90": "61 to 90 days",
    "over_90": "Over 90 days",
    "retention": "Held as retention",
}
LESS = frozenset({"retention_held", "advance_recovered"})
SUBTOTALS = frozenset({"adjusted_sum", "net_to_date"})
HOW_TO_READ = (
    "Amounts of the contract are without tax; what is invoiced, paid and outstanding is with tax.",
    "What was deducted and not accepted stays outstanding, and is shown as disputed.",
    "What is due, and when, is a matter of the contract and local law.",
)


def account_page(view: AccountPage) -> Page:
    """Return the account ready to be shown; the digest is that of the view as it was given."""
    seal = digest(view)
    account: AccountPage = visible_throughout(view)
    code = cut(account.job, NAME_LENGTH)
    title = cut(account.title, page_parts.LINE_LENGTH)
    return Page(
        title=TITLE,
        subject=f"{code} · {title}",
        letterhead=page_parts.letterhead(account.yard),
        facts=(
            Fact("Owner", cut(account.owner, TEXT_LENGTH)),
            Fact("Account to", written(account.day)),
        ),
        headline=f"{_amount(account, account.outstanding)} outstanding, with tax",
        figures=_figures(account),
        sections=_sections(account),
        how_to_read=HOW_TO_READ,
        caution="",
        proof=page_parts.proof(account.known_at, view, account.remade_by),
        running=(f"{TITLE} · {code} · {cut(account.title, 60)}", f"Account to {account.day}"),
        foot=page_parts.foot(account.known_at, seal),
        banner=page_parts.banner(rehearsal=account.rehearsal),
        cover="About",
    )


def _amount(view: AccountPage, amount: Decimal) -> str:
    return f"{number_text(amount)} {view.currency}".rstrip()


def _figures(view: AccountPage) -> tuple[Fact, ...]:
    """Return the figures that are looked for first."""
    disputed = sum((e.disputed for e in view.aged), Decimal("0.00"))
    named = {each.name: each.amount for each in (*view.net, *view.taxed)}
    return (
        Fact("Overdue", _amount(view, overdue(view.aged)), "with tax"),
        Fact("Of it disputed", _amount(view, disputed), "deducted, not accepted"),
        Fact("Retention held", _amount(view, named["retention_held"]), "without tax"),
    )


def _money(view: AccountPage, head: str) -> Column:
    return Column(head, "money", cut(view.currency, NAME_LENGTH))


def _sections(view: AccountPage) -> tuple[Section, ...]:
    sections = [
        Section("The contract, without tax", _sums(view, "Contract", view.net)),
        Section("Invoices, with tax", _invoices(view)),
        Section("Outstanding by age", _aged(view)),
        Section("Every move", _moves(view)),
    ]
    if any(each.kept for each in view.retention):
        sections.append(Section("Retention by claim", _retention(view)))
    if view.disallowed:
        sections.append(Section("Claimed and not certified", _disallowed(view)))
    return tuple(sections)


def _sums(view: AccountPage, name: str, sums: tuple[Named, ...]) -> Table:
    rows = [
        Row(
            (WORDS[each.name], -each.amount if each.name in LESS else each.amount),
            "subtotal" if each.name in SUBTOTALS else "plain",
        )
        for each in sums
    ]
    return Table(name, "As it stands", (Column("Amount", "text"), _money(view, "Sum")), tuple(rows))


def _invoices(view: AccountPage) -> Table:
    rows = [
        Row(
            (
                *(cut(e.document, NAME_LENGTH), e.issued_on, e.due_on, e.invoiced),
                *(e.credited, e.paid, e.deducted, e.outstanding),
            )
        )
        for e in view.invoices
    ]
    if rows:
        taxed = {each.name: each.amount for each in view.taxed}
        rows.append(Row(("All", *(taxed[name] for name in TOTALS)), "total", 3))
    columns = (
        *(Column("Invoice", "code"), Column("Issued", "date"), Column("Due", "date", missing="")),
        *(_money(view, head) for head in ("Amount", "Credited", "Paid", "Deducted", "Outstanding")),
    )
    return Table("Invoices", "How each stands", columns, tuple(rows), "No invoice was issued yet.")


TOTALS = (
    *("invoiced_to_date", "credited_to_date", "paid_to_date", "deductions_accepted"),
    "outstanding",
)


def _aged(view: AccountPage) -> Table:
    rows = [Row((BANDS[e.band], e.outstanding, e.disputed)) for e in view.aged]
    disputed = sum((e.disputed for e in view.aged), Decimal("0.00"))
    rows.append(Row(("Outstanding", view.outstanding, disputed), "total"))
    columns = (
        Column("Overdue", "text"),
        _money(view, "Outstanding"),
        _money(view, "Of it disputed"),
    )
    return Table("Age", "By days since it was due", columns, tuple(rows))


def _moves(view: AccountPage) -> Table:
    rows = [
        Row(
            (
                *(e.day, WORDS[e.entry], cut(e.document, NAME_LENGTH)),
                *(cut(e.reference, NAME_LENGTH), e.amount, e.balance),
            )
        )
        for e in view.moves
    ]
    columns = (
        *(Column("Date", "date"), Column("Entry", "text"), Column("Document", "code")),
        *(Column("Reference", "text"), _money(view, "Amount"), _money(view, "Balance")),
    )
    return Table("Moves", "What moved the balance", columns, tuple(rows), "Nothing moved yet.")


def _retention(view: AccountPage) -> Table:
    rows = [Row((str(e.claim), e.day, e.value, e.kept, e.released, e.held)) for e in view.retention]
    columns = (
        *(Column("Claim", "code"), Column("Work to", "date")),
        *(_money(view, head) for head in ("Certified", "Kept", "Released", "Held")),
    )
    return Table("Retention", "Without tax, to the day of each claim", columns, tuple(rows))


def _disallowed(view: AccountPage) -> Table:
    rows = [
        Row((cut(e.item, NAME_LENGTH), cut(e.why, TEXT_LENGTH), e.amount)) for e in view.disallowed
    ]
    columns = (Column("Item", "code"), Column("Reason", "text"), _money(view, "Sum"))
    return Table("Disallowed", "Until it is settled, without tax", columns, tuple(rows))
