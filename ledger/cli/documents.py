"""Commands that issue documents: each kind with what it needs to be made."""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date
from inspect import Parameter, Signature, getdoc, signature
from itertools import chain
from pathlib import Path
from typing import Annotated, TypedDict

import typer

from ledger.cli.change_options import Number, Reserve, Text
from ledger.cli.context import (
    Day,
    Job,
    Options,
    chosen,
    day_given,
    day_of,
    taken,
    to_read,
    to_write,
)
from ledger.cli.corrections import group
from ledger.cli.output import say, say_all
from ledger.cli.pages import Paper, PdfVariant, Templates
from ledger.domain.documents import OF_A_CHANGE
from ledger.errors import WrongUsage

issue = group("Issue a document to the owner, or make a draft of it.")

Out = Annotated[Path | None, typer.Option("--out", help="a copy: a file ending in .pdf or .html")]
Draft = Annotated[
    bool, typer.Option("--draft", help='the page headed "Draft", without a number; writes nothing')
]
PreparedBy = Annotated[
    Text, typer.Option("--prepared-by", help="the name on it; else --actor, unless it is local")
]
Revision = Annotated[
    int | None, typer.Option("--revision", help="of the price; the latest if left out")
]
ValidUntil = Annotated[
    Text, typer.Option("--valid-until", help="the last day of the offer, if it was not sent yet")
]
Days = Annotated[
    int | None,
    typer.Option("--days", min=0, help="days asked for, if the price was not sent yet"),
]
Reserved = Annotated[
    bool, typer.Option("--time-reserved", help="leave the days open, whatever the request says")
]
Words = Annotated[
    list[str] | None, typer.Option("--text", help="a paragraph, as the owner reads it")
]
MARKS = {"agreed": "agreed", "for-record-only": "for_record_only"}
EFFECTS = ("time", "money", "both")


class Facts(TypedDict, total=False):
    """What is wanted of a kind, by the names of `DocumentWanted`."""

    revision: int | None
    valid_until: date | None
    days: int | None
    days_asked: bool
    reply_by: date | None
    aware_on: date | None
    effect: str
    day_from: date | None
    day_to: date | None
    week: date | None
    mark: str
    texts: tuple[str, ...]
    reserve: tuple[str, ...]


@dataclass(frozen=True)
class _Put:
    """The options of every kind: where a document goes, and how it looks."""

    out: Out = None
    draft: Draft = False
    prepared_by: PreparedBy = None
    paper: Paper = ""
    templates: Templates = None
    pdf_variant: PdfVariant = ""

    def make(self, context: typer.Context, kind: str, job: str, change: str, facts: Facts) -> None:
        """Issue a document, or make a draft of it, and say so.

        Raises: WrongUsage for a draft without a file.
        """
        from ledger.cli.wording.documents import COMMANDS, drafted_lines, issued_lines
        from ledger.commands import documents
        from ledger.commands.pages import PageAsked
        from ledger.reports.owner.document_ground import DocumentWanted

        options: Options = context.obj
        by = self.prepared_by or (options.who if options.actor else "")
        wanted = DocumentWanted(kind, job, change, prepared_by=by, **facts)
        look = (self.paper, self.templates, self.pdf_variant, COMMANDS)
        if self.draft and self.out is None:
            raise WrongUsage("options_missing", options=("--out",))
        asked = PageAsked(self.out or documents.USUAL_FILE, *look)
        if self.draft:
            made = documents.draft(to_read(context), wanted, asked, options.instant)
            say_all(drafted_lines(made))
            return
        done = documents.issue(to_write(context), wanted, asked, copy=self.out is not None)
        say_all(issued_lines(done))


def _issuing(name: str) -> Callable[[Callable[..., Facts]], Callable[..., Facts]]:
    """Return what adds a command that issues a kind of document.

    The command has the job, the change if it is of one, the options of the function, which returns
    what they say, and those of `_Put`.
    """
    kind = name.replace("-", "_")

    def add(facts_of: Callable[..., Facts]) -> Callable[..., Facts]:
        def command(context: typer.Context, job: Job, change: Number = "", **typed: object) -> None:
            put = taken(_Put, typed)
            put.make(context, kind, job, change, taken(facts_of, typed))

        context, job, change, _typed = signature(command).parameters.values()
        of = (job, change.replace(default=Parameter.empty)) if kind in OF_A_CHANGE else (job,)
        options = (signature(each).parameters.values() for each in (facts_of, _Put))
        # Typer reads the options of a command from its signature.
        vars(command)["__signature__"] = Signature([context, *of, *chain(*options)])
        issue.command(name, help=getdoc(facts_of))(command)
        return facts_of

    return add


@_issuing("quotation")
def quotation(
    revision: Revision = None,
    valid_until: ValidUntil = None,
    days: Days = None,
    time_reserved: Reserved = False,
) -> Facts:
    """Issue a quotation: price lines, days or time reserved, validity, what the price rests on.

    Days and validity of a price that was sent are those it was sent with.

    Example: fairhours issue quotation --job FERRY CR4 --valid-until 2026-06-30 --out quotation.pdf
    """
    facts = _price_of(revision, days, reserved=time_reserved)
    return facts | {"valid_until": day_of(valid_until, "--valid-until")}


@_issuing("variation-order")
def variation_order(
    revision: Revision = None, days: Days = None, time_reserved: Reserved = False
) -> Facts:
    """Issue a variation order to be signed; it is headed "Proposed" until the change is approved.

    Example: fairhours issue variation-order --job FERRY CR4 --out order.pdf
    """
    return _price_of(revision, days, reserved=time_reserved)


@_issuing("instruction-confirmation")
def instruction_confirmation(text: Words = None) -> Facts:
    """Issue the letter that puts a verbal instruction in writing, best on the same day.

    Example: fairhours issue instruction-confirmation --job FERRY CR5 --out confirmation.pdf
    """
    return {"texts": tuple(text or ())}


@_issuing("decision-request")
def decision_request(
    needed_by: Annotated[
        Text, typer.Option("--needed-by", help="the day; else the one of the request")
    ] = None,
    text: Words = None,
) -> Facts:
    """Issue a request for a decision, with the answers to choose from and a box to sign.

    Example: fairhours issue decision-request --job FERRY CR4 --needed-by 2026-06-12 --out ask.pdf
    """
    return {"reply_by": day_of(needed_by, "--needed-by"), "texts": tuple(text or ())}


@_issuing("notice")
def notice(
    aware_on: Annotated[
        str, typer.Option("--aware-on", help="the day the yard became aware of it")
    ],
    effect: Annotated[str, typer.Option("--effect", help="time, money or both")] = "both",
    text: Words = None,
) -> Facts:
    """Issue a notice of an event that may cost time or money.

    What a notice has to say and by when it must arrive is a matter of the contract. It counts once
    it is recorded as sent: `fairhours record notice`.

    Example: fairhours issue notice --job FERRY CR6 --aware-on 2026-06-01 --out notice.pdf
    """
    return {
        "aware_on": day_given(aware_on, "--aware-on"),
        "effect": chosen("--effect", effect, EFFECTS),
        "texts": tuple(text or ()),
    }


@_issuing("daywork-sheet")
def daywork_sheet(
    first: Annotated[Text, typer.Option("--from", help="its first day")] = None,
    last: Annotated[Text, typer.Option("--to", help="its last day; the first if left out")] = None,
    week: Annotated[Text, typer.Option("--week", metavar="DATE", help="any day of a week")] = None,
    mark: Annotated[
        str, typer.Option("--for", help="what signing says: agreed or for-record-only")
    ] = "agreed",
) -> Facts:
    """Issue a daywork sheet of a day or a week, to be signed as agreed or for record only.

    The signed sheet is recorded by `load daywork-sheets` under this number: it covers what stood
    on it, not what is booked on those days afterwards.

    Example: fairhours issue daywork-sheet --job FERRY CR7 --week 2026-06-01 --out sheet.pdf
    """
    says = MARKS[chosen("--for", mark, tuple(MARKS))]
    return {"mark": says, **_days_of(first, last, week)}


@_issuing("statement")
def statement(status_date: Day = None) -> Facts:
    """Issue the owner's statement with a number; it says what moved since the last one issued.

    Example: fairhours issue statement --job FERRY --status-date 2026-05-31 --out statement.pdf
    """
    return {"day_to": day_of(status_date)}


@_issuing("claim")
def claim(
    to: Annotated[str, typer.Option("--to", help="the last day whose work it counts")],
) -> Facts:
    """Issue the next claim of a job: value to date, retention, less certified before, due.

    What it claims is what `claimable` shows; daywork hours on it count as claimed and stay where
    they are booked.

    Example: fairhours issue claim --job FERRY --to 2026-05-31 --out claim.pdf
    """
    return {"day_to": day_given(to, "--to")}


@_issuing("final-account")
def final_account(
    to: Annotated[Text, typer.Option("--to", help="its last day; today if left out")] = None,
    reserve: Reserve = None,
) -> Facts:
    """Issue the final account of a job to be signed, with what is reserved by name.

    Refused while something is neither settled nor reserved; `agree final-account` records that it
    was signed.

    Example: fairhours issue final-account --job FERRY --to 2026-11-30 --out final.pdf
    """
    return {"day_to": day_of(to, "--to"), "reserve": tuple(reserve or ())}


def _price_of(revision: int | None, days: int | None, *, reserved: bool) -> Facts:
    """Return which price is meant, and the days asked for with it."""
    return {"revision": revision, "days": days, "days_asked": days is not None or reserved}


def _days_of(first: Text, last: Text, week: Text) -> Facts:
    """Return the days of a sheet. Raises: WrongUsage unless it has days, or a week, not both."""
    if (first is None) == (week is None):
        raise WrongUsage("sheet_days_missing")
    if week is not None:
        return {"week": day_given(week, "--week")}
    start = day_given(first or "", "--from")
    end = day_of(last, "--to") or start
    if end < start:
        raise WrongUsage("option_astray", option="--to", why=f"{end} is before --from {start}")
    return {"day_from": start, "day_to": end}


def show_document(context: typer.Context, named: str, out: Path | None, format: str) -> None:
    """Show a document, or write its bytes again as they were issued."""
    from ledger.cli.document_tables import give_documents
    from ledger.commands import documents
    from ledger.domain.counting import counted

    if out is None:
        give_documents(documents.known_document(to_read(context), named), format)
        return
    count = documents.save_document(to_read(context), named, out)
    say(f"{out}: {counted(count, 'byte', 'bytes')}, as issued")


def add_to(app: typer.Typer) -> None:
    """Add these commands to the program."""
    app.add_typer(issue, name="issue")
