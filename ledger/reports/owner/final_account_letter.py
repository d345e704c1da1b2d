"""The page of a final account, with a box to sign."""

from decimal import Decimal

from ledger.language import _
from ledger.reports.dates import written
from ledger.reports.owner.document_parts import Letter, Signature, Terms, amount
from ledger.reports.owner.final_account_view import FinalAccountLetter, Reserved
from ledger.reports.page_parts import LINE_LENGTH
from ledger.reports.tables import Column, Fact, Row, Section, Table
from ledger.reports.text import NAME_LENGTH, TEXT_LENGTH, cut

OPENING = (
    "This is the final account of the job to {day}: the contract sum, what was added and omitted, "
    "and what it comes to. All amounts are without tax."
)
AGREED = "I agree to this final account at {amount}, without tax."
AGREED_RESERVED = (
    "I agree to this final account at {amount}, without tax. What is reserved above stays open."
)
NOT_AN_INVOICE = (
    "This is not an invoice. What a final account settles, and what stays open after it, is a "
    "matter of the contract and of local law."
)
MATTERS = {
    "open_request": "request not agreed",
    "unsigned_daywork": "daywork not signed",
    "daywork_not_complete": "daywork not complete",
    "open_time": "days not decided",
    "disallowed": "claimed, not certified",
    "base_time": "time worked, against its estimate",
}


def final_letter(view: FinalAccountLetter) -> Letter:
    """Return the words and tables of a final account."""
    head, total = view.head, amount(view.head, view.final_sum)
    agreed = _(AGREED_RESERVED) if view.reserved else _(AGREED)
    says = agreed.format(amount=total)
    return Letter(
        title=_("Final account"),
        opening=(_(OPENING).format(day=written(view.day_to)),),
        figures=(
            Fact(_("Final sum"), total, _("without tax")),
            Fact(_("Contract sum"), amount(head, view.contract_sum)),
        ),
        sections=(_sums(view),),
        terms=(
            Terms(_("Reserved, not settled by this account"), tuple(map(_kept, view.reserved))),
            Terms(_("What this is"), (_(NOT_AN_INVOICE),)),
        ),
        signatures=(
            Signature(_for(head.owner), says),
            Signature(_for(head.yard.name), says),
        ),
        facts=(Fact(_("Account to"), written(view.day_to)),),
    )


def _for(party: str) -> str:
    return _("For {party}").format(party=cut(party, LINE_LENGTH))


def _kept(reserved: Reserved) -> str:
    named = filter(None, (cut(reserved.item, NAME_LENGTH), cut(reserved.title, TEXT_LENGTH)))
    return f"{' · '.join(named)}: {_(MATTERS[reserved.matter])}"


def _sums(view: FinalAccountLetter) -> Section:
    signed = _("Original contract sum, as signed")
    if view.amended_on:
        signed = _("Original contract sum, amended on {day}").format(day=written(view.amended_on))
    rows = [Row((signed, view.contract_sum), "plain", 5)]
    for each in view.unspent:
        named = (cut(each.name, NAME_LENGTH), _("provisional sum not spent"))
        rows.append(Row((*named, None, each.omitted, None, each.omitted), "step"))
    for change in view.changes:
        named = (cut(change.change, NAME_LENGTH), cut(change.title, TEXT_LENGTH))
        moved = (change.added, change.omitted, change.daywork)
        rows.append(Row((*named, *map(_or_blank, moved), change.amount), "step"))
    rows.append(Row((_("Final sum"), view.final_sum), "total", 5))
    currency = cut(view.head.currency, NAME_LENGTH)
    heads = (_("Added"), _("Omitted"), _("Daywork against its estimate"))
    columns = (
        Column(_("Item"), "basis"),
        Column(_("Title"), "text"),
        *(Column(head, "money", currency, missing="") for head in heads),
        Column(_("Net"), "money", currency),
    )
    caption = _("Changes approved by {day}").format(day=written(view.day_to))
    return Section(_("Final account"), Table("Final account", caption, columns, tuple(rows)))


def _or_blank(value: Decimal) -> Decimal | None:
    return value or None
