"""Documents for an owner as the tests make them: short, long, empty, in other scripts."""

from collections.abc import Mapping
from dataclasses import replace
from datetime import date
from decimal import Decimal
from typing import Any

from ledger.documents.invoices import InvoicedLine
from ledger.documents.issuing import About
from ledger.domain.claims import ClaimLine, ClaimSums
from ledger.domain.invoices import Exemption
from ledger.domain.pricing import PriceLine
from ledger.reports.designs import DESIGNS
from ledger.reports.identity import StampShown, Yard
from ledger.reports.owner import document_views as views
from ledger.reports.owner.claim_view import ProgressClaim, VariationRow
from ledger.reports.owner.final_account_view import (
    ChangeSettled,
    FinalAccountLetter,
    Reserved,
    SumUnspent,
)
from ledger.reports.owner.invoice_view import AccountToDate, JobCreditNote, JobInvoice
from ledger.reports.pages import html
from ledger.reports.tables import Print
from ledger.reports.templates import gather
from tests.reports._landing import HOUR, RECORDED_AT
from tests.reports.invoices._yard import KINDS

DAY = date(2026, 10, 2)
HEAD = views.Head(
    kind="quotation",
    number="LANDING-Q-004",
    issued_on=DAY,
    prepared_by="Inês Ørsted",
    yard=Yard("Osterby Timber and Boat Works", ("Slipway Road 4", "Osterby")),
    job="LANDING",
    job_title="Timber landing for the Osterby ferry",
    owner="Société du Bac d'Özbeğ",
    currency="EUR",
    contract_date=date(2026, 1, 5),
    known_at=StampShown(57, "9f2d41c0" * 8),
    rehearsal=False,
)
CHANGE = views.ChangeHead(
    "CR4", "Bench along the shore side", "A bench on four brackets.", "fixed_price", "owner"
)


def line(number: int, amount: str = "120.00") -> PriceLine:
    """Return a line of labour, negative where it takes work out."""
    value = Decimal(amount)
    ms = int(value / 60 * HOUR)
    text = f"Fit bracket {number} with its backing block and four through bolts"
    return PriceLine("labour", text, "carpenter", ms, None, "", Decimal("60.0000"), value)


def offer(*lines: PriceLine, **facts: Any) -> views.Offer:
    """Return an offer of some lines."""
    given: dict[str, Any] = {
        "revision": 2,
        "lines": lines,
        "price": sum((each.amount for each in lines), Decimal("0.00")),
        "days": 3,
        "estimated": False,
        "rough": False,
        "owner_texts": ("The brackets come from the club.", "Painting is left out."),
        "planned_start": DAY,
        "planned_finish": date(2026, 10, 16),
    }
    return views.Offer(**(given | facts))


def order(made: views.Offer, **facts: Any) -> views.VariationOrder:
    before = Decimal("1480000.00")
    given: dict[str, Any] = {
        "head": replace(HEAD, kind="variation_order", number="LANDING-VO-002"),
        "change": CHANGE,
        "offer": made,
        "approval": None,
        "sums": views.SumsMoved(before, before + made.price),
        "completion": views.CompletionMoved(DAY, 5, date(2026, 10, 9), date(2026, 10, 14)),
    }
    return views.VariationOrder(**(given | facts))


OFFER = offer(line(1), line(2, "-60.00"))
LONG = offer(*(line(n) for n in range(1, 41)), line(41, "-240.00"))
RESERVED = offer(line(1), days=None, owner_texts=(), planned_start=None, planned_finish=None)
WORKED = tuple(
    views.WorkedRow(date(2026, 9, 21 + n // 4), n % 4 + 1, "carpenter", HOUR * 7 + HOUR // 3)
    for n in range(20)
)
USED = (views.UsedRow(DAY, "material", "Oak, planed", Decimal("2.500000"), "m", "note 12"),)
# One of each kind as it mostly is.
LINES = (
    ClaimLine("base", None, "Contract work", Decimal("60000.00"), Decimal("40000.00"), Decimal(60)),
    ClaimLine(
        *("daywork", "DW1", "Rail", Decimal("725.00")),
        quantity=Decimal("14.50"),
        unit="h",
        unit_price=Decimal("50.0000"),
    ),
    ClaimLine("daywork", "DW1", "Above the cap agreed", Decimal("-25.00")),
    ClaimLine("omission", "CR2", "Bench", Decimal("-200.00")),
)
CLAIM = ProgressClaim(
    head=HEAD,
    title="Progress claim",
    claim=3,
    day_to=date(2026, 9, 27),
    contract_sum=Decimal("100000.00"),
    amended_on=None,
    variations=(
        VariationRow("CR2", "Bench", Decimal("-200.00"), estimated=False),
        VariationRow("DW1", "Rail", Decimal("800.00"), estimated=True),
    ),
    adjusted_sum=Decimal("100600.00"),
    lines=LINES,
    sums=ClaimSums(
        *(Decimal("60500.00"), Decimal("3025.00"), Decimal("500.00"), Decimal("1000.00")),
        before=Decimal("38000.00"),
    ),
)
INVOICE = JobInvoice(
    head=replace(HEAD, kind="invoice", number="INV-0007"),
    invoice=replace(
        KINDS["reverse charge"], number="INV-0007", exemptions=(Exemption("AE", "By article 12"),)
    ),
    lines=(
        InvoicedLine(
            *("daywork", "DW1", "DW1", "carpenter", Decimal(2), "h", Decimal("50.00")),
            *(Decimal("725.00"), Decimal("625.00"), "S", Decimal(21)),
        ),
    ),
    about=About("invoice", "LANDING", claim=3, due_on=date(2026, 7, 15), currency="EUR"),
    claim=3,
    account=AccountToDate(
        date(2026, 9, 27),
        *(Decimal("100000.00"), DAY, Decimal("600.00"), Decimal("100600.00")),
        *(Decimal("60500.00"), Decimal("2525.00"), Decimal("1000.00")),
        *(Decimal("38000.00"), Decimal("18975.00")),
    ),
)
CREDIT_NOTE = JobCreditNote(
    head=replace(HEAD, kind="credit_note", number="CN-0002"),
    invoice=replace(KINDS["credit note"], number="CN-0002"),
    lines=INVOICE.lines,
    about=About("credit_note", "LANDING", credits="INV-0007", currency="EUR"),
)
FINAL = FinalAccountLetter(
    head=replace(HEAD, kind="final_account", number="LANDING-FA-001"),
    day_to=date(2026, 9, 27),
    contract_sum=Decimal("100000.00"),
    amended_on=None,
    unspent=(SumUnspent("Lights", Decimal("900.00"), Decimal("-550.00")),),
    changes=(
        ChangeSettled("CR2", "Bench", *(Decimal(x) for x in ("730.00", "-485.00", "0.00"))),
        ChangeSettled("DW1", "Rail", *(Decimal(x) for x in ("800.00", "0.00", "-75.00"))),
    ),
    final_sum=Decimal("100420.00"),
    reserved=(
        Reserved("CR9", "Second bench", "open_request"),
        Reserved("base", "", "disallowed"),
    ),
)
LETTERS: Mapping[str, Any] = {
    "quotation": views.Quotation(HEAD, CHANGE, OFFER, date(2026, 10, 30)),
    "variation_order": order(OFFER),
    "instruction_confirmation": views.InstructionConfirmation(
        HEAD, CHANGE, "Jo Lind", DAY, "call at noon", False, date(2026, 10, 9), None, ()
    ),
    "decision_request": views.DecisionRequest(
        HEAD, CHANGE, date(2026, 10, 12), False, OFFER, date(2026, 10, 30), ("Please choose.",)
    ),
    "notice": views.NoticeShown(HEAD, CHANGE, DAY, "both", None, ("A boulder lies there.",)),
    "daywork_sheet": views.DayworkSheet(
        HEAD, CHANGE, date(2026, 9, 21), date(2026, 9, 27), "agreed", WORKED, USED
    ),
    "claim": CLAIM,
    "final_account": FINAL,
    "invoice": INVOICE,
    "credit_note": CREDIT_NOTE,
}
# What is long, empty, a draft, or in another script.
ODD: Mapping[str, Any] = {
    "forty lines": views.Quotation(HEAD, CHANGE, LONG, None),
    "right to left": order(OFFER, head=replace(HEAD, owner="نادي الإبحار في أوستربي", number="")),
    "reserved": views.Quotation(replace(HEAD, rehearsal=True), CHANGE, RESERVED, None),
    "nothing priced": views.DecisionRequest(
        replace(HEAD, prepared_by=""), replace(CHANGE, description=""), None, True, None, None, ()
    ),
    "for record": replace(LETTERS["daywork_sheet"], mark="for_record_only", used=()),
    "approved": order(OFFER, approval=views.Approval(DAY, "letter of 2 October")),
}


def html_of(view: Any, medium: str = "screen") -> str:
    """Return a document as an HTML page."""
    design = DESIGNS[type(view)]
    out = Print("A4", RECORDED_AT, medium=medium)
    return html(design.page(view), gather(design.template), out)
