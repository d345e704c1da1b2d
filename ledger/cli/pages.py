"""Commands that make pages: report and demo."""

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from ledger.cli.claims import To
from ledger.cli.context import Day, Job, chosen, day_given, day_of, to_read
from ledger.cli.labour import HOW
from ledger.cli.output import give, say
from ledger.domain.counting import counted
from ledger.errors import WrongUsage

if TYPE_CHECKING:
    from ledger.commands.pages import PageMade, Since
    from ledger.performance.measured_mile import PackageDays

report = typer.Typer(help="Make a report.", no_args_is_help=True, rich_markup_mode=None)
Out = Annotated[Path, typer.Option("--out", help="a file ending in .pdf, .html, .xlsx or .json")]
Paper = Annotated[str, typer.Option("--paper", help="A4 or Letter; else the yard's own")]
Templates = Annotated[
    Path | None,
    typer.Option(
        "--templates",
        metavar="DIR",
        envvar="FAIRHOURS_TEMPLATES",
        help="a folder of your own templates for .pdf and .html",
    ),
]
PdfVariant = Annotated[
    str,
    typer.Option(
        "--pdf-variant",
        metavar="NAME",
        help="the standard of a .pdf: pdf/ua-1 (screen readers), pdf/a-3a (archives), "
        "pdf/ua-2, pdf/a-2a, -2b, -2u, -3b, -3u; else pdf/ua-1",
    ),
]

LastDay = Annotated[
    str | None, typer.Option("--since", metavar="DATE", help="status date of the last statement")
]
LastStamp = Annotated[
    str | None,
    typer.Option("--since-known-at", metavar="STAMP", help="record stamp of the last one"),
]


def last_statement(since: str | None, since_known_at: str | None) -> "Since | None":
    """Return the statement to compare with, if one is named. Raises: WrongUsage for half of it."""
    from ledger.commands.pages import Since

    if since_known_at and not since:
        raise WrongUsage("since_missing")
    return Since(day_given(since, "--since"), since_known_at) if since else None


def say_made(made: "PageMade", of: str) -> None:
    """Say where a page is, what it is of, its record stamp, and to when its period is closed."""
    closed = f", as closed to {made.closed_to}" if made.closed_to else ""
    say(f"{made.out}: {of}, record stamp {made.sequence}{closed}")


@report.command()
def variations(
    context: typer.Context,
    job: Job,
    out: Out,
    status_date: Day = None,
    since: LastDay = None,
    since_known_at: LastStamp = None,
    paper: Paper = "",
    templates: Templates = None,
    pdf_variant: PdfVariant = "",
) -> None:
    """Make the owner's statement of variations and open requests; with --since, what moved.

    Example: fairhours report variations --job FERRY --status-date 2026-05-31 --out variations.pdf
    """
    from ledger.cli.wording.pages import COMMANDS
    from ledger.commands.pages import PageAsked
    from ledger.commands.pages import variations as make

    page = PageAsked(out, paper, templates, pdf_variant, COMMANDS)
    last = last_statement(since, since_known_at)
    made = make(to_read(context), job, day_of(status_date), page, last)
    say_made(made, f"{made.job} on {made.status_date}")


@report.command("job")
def report_job(
    context: typer.Context,
    job: Job,
    out: Annotated[Path, typer.Option("--out", help="a file ending in .html, .xlsx or .json")],
    status_date: Day = None,
    paper: Paper = "",
    templates: Templates = None,
) -> None:
    """Make one file of a job for its owner to read: decisions, changes, sums, account, dates.

    The .html needs nothing beside it: its tables sort, its charts tell their values. It holds
    what the statement holds, and the invoices; it is not numbered and replaces no statement.

    Example: fairhours report job --job FERRY --status-date 2026-05-31 --out ferry.html
    """
    from ledger.cli.wording.pages import COMMANDS
    from ledger.commands.pages import PageAsked, job_page

    page = PageAsked(out, paper, templates, commands=COMMANDS)
    made = job_page(to_read(context), job, day_of(status_date), page)
    say_made(made, f"{made.job} on {made.status_date}")


@report.command("overrun")
def report_overrun(
    context: typer.Context,
    job: Job,
    out: Out,
    status_date: Day = None,
    since: Annotated[
        str | None,
        typer.Option("--since", metavar="DATE", help="compare with this day; else four weeks ago"),
    ] = None,
    paper: Paper = "",
    templates: Templates = None,
    pdf_variant: PdfVariant = "",
) -> None:
    """Make the yard's report of why the hours changed: steps, contributors, weeks, changes.

    It holds the yard's own figures and is not meant for the owner.

    Example: fairhours report overrun --job FERRY --status-date 2026-05-31 --out overrun.pdf
    """
    from ledger.cli.wording.pages import COMMANDS
    from ledger.commands.pages import PageAsked
    from ledger.commands.pages import overrun as make

    page = PageAsked(out, paper, templates, pdf_variant, COMMANDS)
    last = day_given(since, "--since") if since else None
    made = make(to_read(context), job, day_of(status_date), page, last)
    say_made(made, f"{made.job} on {made.status_date}")


@report.command()
def performance(
    context: typer.Context,
    job: Job,
    out: Out,
    status_date: Day = None,
    paper: Paper = "",
    templates: Templates = None,
    pdf_variant: PdfVariant = "",
) -> None:
    """Make the yard's report of labour performance: curves, forecast with its range, key dates.

    Labour hours alone, for the yard: it is not made for owners. The .xlsx has every week, by
    control account too, and what each column is.

    Example: fairhours report performance --job FERRY --status-date 2026-05-31 --out performance.pdf
    """
    from ledger.cli.wording.completeness import reason
    from ledger.cli.wording.pages import COMMANDS
    from ledger.commands.pages import PageAsked
    from ledger.commands.pages import performance as make

    page = PageAsked(out, paper, templates, pdf_variant, COMMANDS)
    made = make(to_read(context), job, day_of(status_date), page, reason)
    say_made(made, f"{made.job} on {made.status_date}")


@report.command("week")
def report_week(
    context: typer.Context,
    out: Out,
    job: Annotated[str | None, typer.Option("--job", help="one job; else all with hours")] = None,
    to: Annotated[
        str | None, typer.Option("--to", metavar="DATE", help="any day of the week")
    ] = None,
    paper: Paper = "",
    templates: Templates = None,
    pdf_variant: PdfVariant = "",
) -> None:
    """Make the page of a week, of a job or of the yard: one line a figure, and what opens it.

    Example: fairhours report week --job FERRY --to 2026-05-31 --out week.pdf
    """
    from ledger.cli.wording.pages import COMMANDS
    from ledger.commands.pages import PageAsked, week_page

    page = PageAsked(out, paper, templates, pdf_variant, COMMANDS)
    made = week_page(to_read(context), job, day_of(to, "--to"), page)
    say_made(made, f"week to {made.status_date}")


@report.command()
def overview(
    context: typer.Context,
    out: Annotated[Path, typer.Option("--out", help="a file ending in .html, .xlsx or .json")],
    to: Annotated[
        str | None, typer.Option("--to", metavar="DATE", help="any day of the week")
    ] = None,
    paper: Paper = "",
    templates: Templates = None,
) -> None:
    """Make one file of all jobs to read and to mail: hours, dates, changes, money, charts.

    The .html needs nothing beside it: its tables sort, its charts tell their values. It holds the
    yard's own figures and is not meant for owners.

    Example: fairhours report overview --to 2026-05-31 --out overview.html
    """
    from ledger.cli.wording.pages import COMMANDS
    from ledger.commands.pages import PageAsked
    from ledger.commands.pages import overview as make

    page = PageAsked(out, paper, templates, commands=COMMANDS)
    made = make(to_read(context), day_of(to, "--to"), page)
    say_made(made, f"week to {made.status_date}")


@report.command()
def codes(
    context: typer.Context,
    job: Job,
    out: Out,
    status_date: Day = None,
    paper: Paper = "",
    templates: Templates = None,
    pdf_variant: PdfVariant = "",
) -> None:
    """Make the list of a job's booking codes for the wall: hours left, changes, closed codes.

    Example: fairhours report codes --job FERRY --status-date 2026-05-31 --out codes.pdf
    """
    from ledger.cli.wording.pages import COMMANDS
    from ledger.commands.pages import PageAsked
    from ledger.commands.pages import codes as make

    page = PageAsked(out, paper, templates, pdf_variant, COMMANDS)
    made = make(to_read(context), job, day_of(status_date), page)
    say(f"{out}: {made.job} on {made.status_date}, record stamp {made.sequence}")


@report.command("progress-form")
def progress_form(
    context: typer.Context,
    job: Job,
    out: Annotated[Path, typer.Option("--out", help="a file ending in .pdf, .xlsx or .json")],
    status_date: Day = None,
    paper: Paper = "",
    templates: Templates = None,
    pdf_variant: PdfVariant = "",
) -> None:
    """Make the form for the foremen's round: what is open, its last progress, cells to fill in.

    Without --status-date: the end of the week of the newest entry. It shows no hours. Filled in,
    the .xlsx is loaded by `load progress`.

    Example: fairhours report progress-form --job FERRY --out progress.xlsx
    """
    from ledger.cli.wording.pages import COMMANDS
    from ledger.commands.pages import PageAsked
    from ledger.commands.pages import progress_form as make

    page = PageAsked(out, paper, templates, pdf_variant, COMMANDS)
    made = make(to_read(context), job, day_of(status_date), page)
    say(f"{out}: {made.job} on {made.status_date}, record stamp {made.sequence}")


@report.command()
def sheet(
    context: typer.Context,
    week: Annotated[str, typer.Option("--week", metavar="DATE", help="any day of the week")],
    out: Annotated[Path, typer.Option("--out", help="a file ending in .pdf, .xlsx or .json")],
    job: Annotated[str, typer.Option("--job", help="one job only; else all under way")] = "",
    worker: Annotated[str, typer.Option("--worker", metavar="W", help="one worker; else all")] = (
        "all"
    ),
    paper: Paper = "",
    templates: Templates = None,
    pdf_variant: PdfVariant = "",
) -> None:
    """Make a week's sheets to fill in, one for each worker, with their codes on it.

    Example: fairhours report sheet --week 2026-06-01 --worker all --out sheets.pdf
    """
    from ledger.cli.wording.pages import COMMANDS
    from ledger.commands.pages import PageAsked, SheetsAsked, sheets

    wanted = SheetsAsked(day_given(week, "--week"), job, worker)
    made = sheets(to_read(context), wanted, PageAsked(out, paper, templates, pdf_variant, COMMANDS))
    count = counted(made.count, "sheet", "sheets")
    say(f"{out}: {count} from {made.first_day}, record stamp {made.sequence}")


@report.command()
def account(
    context: typer.Context,
    job: Job,
    out: Out,
    to: To = None,
    paper: Paper = "",
    templates: Templates = None,
    pdf_variant: PdfVariant = "",
) -> None:
    """Make the statement of account of a job: invoices, what is overdue, every move, retention.

    Example: fairhours report account --job FERRY --to 2026-05-31 --out account.pdf
    """
    from ledger.cli.wording.pages import COMMANDS
    from ledger.commands.pages import PageAsked
    from ledger.commands.pages import account as make

    page = PageAsked(out, paper, templates, pdf_variant, COMMANDS)
    made = make(to_read(context), job, day_of(to, "--to"), page)
    say(f"{out}: {made.job} to {made.status_date}, record stamp {made.sequence}")


@report.command()
def daywork(
    context: typer.Context,
    job: Job,
    claim: Annotated[str, typer.Option("--claim", metavar="N", help="1, or as it is printed")],
    out: Annotated[Path, typer.Option("--out", help="a file ending in .pdf, .csv, .html or .json")],
    paper: Paper = "",
    pdf_variant: PdfVariant = "",
) -> None:
    """Make the appendix of a claim: the hours behind its daywork, line by line.

    Date, worker's number on the daywork sheet, trade, hours and sheet; no names, rates or notes.

    Example: fairhours report daywork --job FERRY --claim 3 --out daywork.pdf
    """
    from ledger.cli.wording.pages import COMMANDS
    from ledger.commands.pages import PageAsked
    from ledger.commands.pages import daywork as make

    asked = PageAsked(out, paper, pdf_variant=pdf_variant, commands=COMMANDS)
    made = make(to_read(context), job, claim, asked)
    lines = counted(made.lines, "line", "lines")
    say(f"{out}: {lines} behind {made.document}, record stamp {made.sequence}")


@report.command()
def evidence(
    context: typer.Context,
    job: Job,
    change: Annotated[str, typer.Argument(help="the change's number")],
    out: Annotated[Path, typer.Option("--out", help="a file ending in .zip, .pdf or .html")],
    columns: Annotated[
        str, typer.Option("--columns", help="of the entries, with commas: entry,day,worker,hours")
    ] = "",
    for_: Annotated[
        str, typer.Option("--for", help="adjudicator: also the sealed rows of every entry")
    ] = "",
    whole_files: Annotated[
        bool,
        typer.Option("--whole-files", help="also the timesheet files, with everybody's lines"),
    ] = False,
    least_affected: Annotated[
        str,
        typer.Option("--least-affected", metavar="STRETCH", help=f"compare hours a unit: {HOW}"),
    ] = "",
    affected: Annotated[
        str, typer.Option("--affected", metavar="STRETCH", help="with the stretch affected")
    ] = "",
    paper: Paper = "",
    pdf_variant: PdfVariant = "",
) -> None:
    """Make the evidence of one change: its life, documents, attachments and entries.

    A .zip also has the files, and a script that checks all of it without fairhours. People and
    notes are named only if you ask for these columns, and other lines are in it only with
    --whole-files: who reads it may have no right to them. Two stretches of like work are compared
    as a measured mile.

    Example: fairhours report evidence --job FERRY CR4 --out CR4.zip --columns day,worker,hours
    """
    from ledger.cli.wording.pages import COMMANDS
    from ledger.commands.evidence import collect_evidence
    from ledger.commands.pages import PageAsked
    from ledger.reports.evidence.asked import ADJUDICATOR, COLUMNS, EvidenceAsked

    names = tuple(chosen("--columns", n.strip(), COLUMNS) for n in columns.split(",") if columns)
    reader = chosen("--for", for_, (ADJUDICATOR,)) if for_ else ""
    stretches = _stretches(least_affected, affected)
    asked = EvidenceAsked(job, change, names, bool(reader), whole_files, stretches)
    page = PageAsked(out, paper, None, pdf_variant, COMMANDS)
    made = collect_evidence(to_read(context), asked, page)
    entries = counted(made.entries, "entry", "entries")
    kept = counted(made.files, "file", "files")
    proved = counted(made.sealed_rows, "sealed row", "sealed rows")
    say(f"{out}: {made.change}, {entries}, {kept}, {proved}, record stamp {made.sequence}")


def _stretches(least_affected: str, affected: str) -> "tuple[PackageDays, PackageDays] | None":
    """Return both stretches of work, or neither. Raises: WrongUsage for one of them alone."""
    from ledger.commands.labour import span_of

    if not least_affected and not affected:
        return None
    if not least_affected or not affected:
        missing = "--affected" if least_affected else "--least-affected"
        raise WrongUsage("options_missing", options=(missing,))
    return span_of(least_affected), span_of(affected)


def demo(
    context: typer.Context,
    folder: Annotated[Path, typer.Argument(metavar="DIR")] = Path("demo"),
) -> None:
    """Build an invented yard's book from 42 weeks of its files, and the owner's statement.

    Example: fairhours demo
    """
    from ledger.cli.demonstration import demonstrate

    for line in demonstrate(folder):
        give(line or " ")


def add_to(app: typer.Typer) -> None:
    """Add these commands to the program."""
    app.add_typer(report, name="report")
    app.command()(demo)
