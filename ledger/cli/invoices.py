"""Commands that issue invoices and credit notes."""

from collections.abc import Callable
from dataclasses import dataclass
from decimal import Decimal
from inspect import Signature, signature
from itertools import chain
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from ledger.cli.change_options import Text
from ledger.cli.context import Job, Options, chosen, day_of, taken, to_read, to_write
from ledger.cli.corrections import group
from ledger.cli.documents import Draft, PreparedBy, issue
from ledger.cli.output import say_all
from ledger.cli.pages import Paper, Templates
from ledger.domain.parsing import parse_decimal
from ledger.domain.tax_categories import CATEGORIES
from ledger.errors import WrongUsage

if TYPE_CHECKING:
    from ledger.reports.owner.invoice_terms import InvoiceAsked

credit = group("Credit an invoice.")

# What an invoice can be made as, in the words of the standards, and the ending of its file.
AS = {"pdf": ".pdf", "html": ".html", "ubl": ".xml", "cii": ".xml", "factur-x": ".pdf"}
ELECTRONIC = ("ubl", "cii", "factur-x")
CHOSEN = tuple(CATEGORIES)
WHOLE = Decimal(100)
Claim = Annotated[
    int | None, typer.Option("--claim", min=1, help="the number of the claim that it bills")
]
Advance = Annotated[bool, typer.Option("--advance", help="in place of a claim: the advance")]
Final = Annotated[
    bool, typer.Option("--final", help="the last one; refused while an advance is left")
]
On = Annotated[Text, typer.Option("--on", help="its date; today if left out")]
Out = Annotated[
    Path | None, typer.Option("--out", help="a copy: a file ending in .pdf, .html or .xml")
]
As = Annotated[
    str,
    typer.Option(
        "--as", help="pdf, html, ubl, cii or factur-x; by the ending of --out if left out"
    ),
]
Category = Annotated[
    str, typer.Option("--tax-category", help="S, Z, E, AE, K, G or O; else the job's, else S")
]
Rate = Annotated[str, typer.Option("--tax-rate", help="in percent; else by the settings")]
Why = Annotated[str, typer.Option("--tax-reason", help="why no tax is due, in words")]
WhyCode = Annotated[str, typer.Option("--tax-reason-code", help="why, by a code of VATEX")]
DeliveredOn = Annotated[Text, typer.Option("--delivered-on", help="the day of delivery")]
From = Annotated[Text, typer.Option("--from", help="first day of the period of delivery")]
To = Annotated[Text, typer.Option("--to", help="last day of the period of delivery")]
Country = Annotated[
    str, typer.Option("--deliver-to-country", help="two capitals of ISO 3166, as NL")
]
Exchange = Annotated[
    str, typer.Option("--exchange-rate", help="one unit of its currency in the yard's own")
]
Source = Annotated[str, typer.Option("--exchange-source", help="whose rate, and of which day")]
Days = Annotated[int | None, typer.Option("--payment-days", min=0, help="days to pay")]
Order = Annotated[str, typer.Option("--purchase-order", help="the owner's; else the job's")]
Words = Annotated[list[str] | None, typer.Option("--text", help="a note, as the owner reads it")]


@dataclass(frozen=True)
class _Of:
    """The options that say what an invoice is of."""

    claim: Claim = None
    advance: Advance = False
    final: Final = False

    @property
    def mark(self) -> str:
        """Return what it is marked as. Raises: WrongUsage unless it is of a claim or an advance."""
        if (self.claim is None) != self.advance or (self.advance and self.final):
            raise WrongUsage("invoice_of_one", options=("--claim", "--advance"))
        return "advance" if self.advance else "final" if self.final else ""


@dataclass(frozen=True)
class _InvoiceOptions:
    """The options of invoices and credit notes: where one goes, as what, and how it looks."""

    on: On = None
    out: Out = None
    made_as: As = ""
    draft: Draft = False
    prepared_by: PreparedBy = None
    paper: Paper = ""
    templates: Templates = None

    def make(self, context: typer.Context, kind: str, job: str, asked: "InvoiceAsked") -> None:
        """Issue it, or make a draft, and say so.

        Raises: WrongUsage for a file of another ending, or a draft that is no page.
        """
        from ledger.cli.wording.documents import COMMANDS, drafted_lines, issued_lines
        from ledger.commands import invoices
        from ledger.commands.pages import PageAsked
        from ledger.reports.owner.document_ground import DocumentWanted

        options: Options = context.obj
        by = self.prepared_by or (options.who if options.actor else "")
        made_as = self._kind()
        file = made_as if made_as in ELECTRONIC else ""
        wanted = DocumentWanted(kind, job, prepared_by=by, invoice=asked, file_kind=file)
        out = self.out or Path(f"document{AS[made_as]}")
        page = PageAsked(out, self.paper, self.templates, commands=COMMANDS)
        if self.draft:
            made = invoices.draft(to_read(context), wanted, page, options.instant)
            say_all(drafted_lines(made))
            return
        copy = self.out is not None
        say_all(issued_lines(invoices.issue(to_write(context), wanted, page, copy=copy)))

    def _kind(self) -> str:
        """Return what it is made as: as typed, else as the ending of the file says, else PDF."""
        ending = self.out.suffix.lower() if self.out else ""
        made_as = chosen("--as", self.made_as, tuple(AS)) if self.made_as else ""
        if not made_as:
            by_ending = {end: kind for kind, end in AS.items() if kind not in ELECTRONIC}
            made_as = by_ending.get(ending or ".pdf", "")
            if not made_as:
                raise WrongUsage("invoice_kind_missing", file=self.out, kinds=tuple(AS))
        if ending and ending != AS[made_as]:
            raise WrongUsage("invoice_of_other_ending", kind=made_as, ending=AS[made_as])
        if self.draft and (not self.out or made_as in ELECTRONIC):
            raise WrongUsage("draft_is_a_page", endings=(".pdf", ".html"))
        return made_as


@dataclass(frozen=True)
class _Terms:
    """The options of an invoice: how it is taxed, delivered and paid."""

    tax_category: Category = ""
    tax_rate: Rate = ""
    tax_reason: Why = ""
    tax_reason_code: WhyCode = ""
    delivered_on: DeliveredOn = None
    first: From = None
    last: To = None
    deliver_to_country: Country = ""
    exchange_rate: Exchange = ""
    exchange_source: Source = ""
    payment_days: Days = None
    purchase_order: Order = ""
    text: Words = None

    def asked(self, claim: int | None, mark: str, on: str | None) -> "InvoiceAsked":
        """Return what is asked for. Raises: WrongUsage for what is no day, figure or category."""
        from ledger.reports.owner.invoice_terms import InvoiceAsked

        category = self.tax_category
        return InvoiceAsked(
            claim=claim,
            dated=day_of(on, "--on"),
            mark=mark,
            tax_category=chosen("--tax-category", category, CHOSEN) if category else "",
            tax_rate=_figure("--tax-rate", self.tax_rate, most=WHOLE),
            tax_reason=self.tax_reason,
            tax_reason_code=self.tax_reason_code,
            delivered_on=day_of(self.delivered_on, "--delivered-on"),
            delivered_from=day_of(self.first, "--from"),
            delivered_to=day_of(self.last, "--to"),
            deliver_to_country=self.deliver_to_country,
            exchange_rate=_figure("--exchange-rate", self.exchange_rate),
            exchange_source=self.exchange_source,
            payment_days=self.payment_days,
            purchase_order=self.purchase_order,
            notes=tuple(self.text or ()),
        )


def _with_options(*groups: type) -> Callable[[Callable[..., None]], Callable[..., None]]:
    """Return what gives a command the options of groups besides its own.

    The command is called with what was typed of each group, in their order, after its own.
    """

    def add(own: Callable[..., None]) -> Callable[..., None]:
        def command(**typed: object) -> None:
            made = [taken(group, typed) for group in groups]
            own(*typed.values(), *made)

        of_own = list(signature(own).parameters.values())[: -len(groups)]
        options = chain(*(signature(group).parameters.values() for group in groups))
        # Typer reads the options of a command from its signature.
        vars(command)["__signature__"] = Signature([*of_own, *options])
        command.__doc__ = own.__doc__
        return command

    return add


@issue.command("invoice")
@_with_options(_Of, _InvoiceOptions, _Terms)
def invoice(context: typer.Context, job: Job, of: _Of, put: _InvoiceOptions, terms: _Terms) -> None:
    """Issue the invoice of a claim: what is certified to date less what is invoiced, with tax.

    Where the contract asks for no certificate it certifies its claim in full. Tax category, rate
    and what must stand on an invoice are decided by local tax law.

    Example: fairhours issue invoice --job FERRY --claim 1 --on 2026-06-03 --out invoice.pdf
    """
    put.make(context, "invoice", job, terms.asked(of.claim, of.mark, put.on))


@credit.command("invoice")
@_with_options(_InvoiceOptions)
def credit_invoice(
    context: typer.Context,
    named: Annotated[str, typer.Argument(metavar="NUMBER", help="the number of the invoice")],
    reason: Annotated[str, typer.Option("--reason", help="why, as the owner reads it")],
    put: _InvoiceOptions,
) -> None:
    """Credit a whole invoice: its claim stays certified and can be billed again.

    Example: fairhours credit invoice INV-0001 --reason "wrong address" --out credit.pdf
    """
    from ledger.reports.owner.invoice_terms import InvoiceAsked

    asked = InvoiceAsked(dated=day_of(put.on, "--on"), credits=named, reason=reason)
    put.make(context, "credit_note", "", asked)


def _figure(option: str, typed: str, most: Decimal | None = None) -> str:
    """Return a figure above 0 as it was typed. Raises: WrongUsage when it is none."""
    if not typed:
        return ""
    try:
        figure = parse_decimal(typed.removesuffix("%").rstrip())
    except ValueError as error:
        raise WrongUsage("option_astray", option=option, why=str(error)) from None
    if figure <= 0 or (most is not None and figure > most):
        why = f"{typed} is not above 0" + (f" and up to {most}" if most is not None else "")
        raise WrongUsage("option_astray", option=option, why=why)
    return f"{figure:f}"


def add_to(app: typer.Typer) -> None:
    """Add these commands to the program; `issue` is added where its group is."""
    app.add_typer(credit, name="credit")
