"""Commands that make pages: report and demo."""

from pathlib import Path
from typing import Annotated, Any

import typer

from ledger.cli.context import Day, Job, as_closed, day_of, reading
from ledger.cli.output import give, say
from ledger.domain.codes import code_of, word_of

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
        help="the standard a .pdf keeps to: pdf/ua-1 (read aloud), pdf/a-3a (kept for long), "
        "pdf/ua-2, pdf/a-2a, -2b, -2u, -3b, -3u; else pdf/ua-1",
    ),
]


def _how(book: Any, paper: str, templates: Path | None, pdf_variant: str) -> tuple[Any, Any]:
    """Return the instant that dates a page, and how it is put out."""
    from ledger.reports.page_parts import logo_address
    from ledger.reports.rendering import Choices

    usual_paper, logo = book.setting("yard.paper", "A4"), logo_address(book)
    return book.stamp().recorded_at, Choices(paper, usual_paper, templates, pdf_variant, logo)


def _put_out(view: Any, out: Path, how: tuple[Any, Any]) -> None:
    """Write the page once the book is closed."""
    from ledger.reports.rendering import write

    recorded_at, choices = how
    write(view, out, recorded_at=recorded_at, choices=choices)


@report.command()
def variations(
    context: typer.Context,
    job: Job,
    out: Out,
    status_date: Day = None,
    paper: Paper = "",
    templates: Templates = None,
    pdf_variant: PdfVariant = "",
) -> None:
    """Make the owner's statement of variations and open requests.

    Example: fairhours report variations --job FERRY --status-date 2026-05-31 --out variations.pdf
    """
    from ledger.performance.report import status_date_of
    from ledger.reports.owner.build import build

    code, day, closed_to = code_of(job), day_of(status_date), None
    with reading(context) as book:
        if book.rows("owner/job", job=code):
            day = status_date_of(book, code, day)
            closed_to = as_closed(context, book, code, day)
        view = build(book, code, day)
        how = _how(book, paper, templates, pdf_variant)
    _put_out(view, out, how)
    closed = f", as closed to {closed_to}" if closed_to else ""
    say(
        f"{out}: {view.job.code} on {view.status_date}, record stamp {view.known_at.sequence}"
        f"{closed}"
    )


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
    """Make the list of a job's booking codes for the wall: hours left, changes, what is closed.

    Example: fairhours report codes --job FERRY --status-date 2026-05-31 --out codes.pdf
    """
    from ledger.reports.foremen.code_list_build import build_codes

    with reading(context) as book:
        view = build_codes(book, code_of(job), day_of(status_date))
        how = _how(book, paper, templates, pdf_variant)
    _put_out(view, out, how)
    say(f"{out}: {view.job} on {view.status_date}, record stamp {view.known_at.sequence}")


@report.command()
def sheet(
    context: typer.Context,
    week: Annotated[str, typer.Option("--week", metavar="DATE", help="any day of the week")],
    out: Annotated[Path, typer.Option("--out", help="a file ending in .pdf, .xlsx or .json")],
    job: Annotated[str, typer.Option("--job", help="one job alone; else all that go on")] = "",
    worker: Annotated[str, typer.Option("--worker", metavar="W", help="one worker; else all")] = (
        "all"
    ),
    paper: Paper = "",
    templates: Templates = None,
    pdf_variant: PdfVariant = "",
) -> None:
    """Make the sheets of a week to be filled in, one for each worker, with his codes on it.

    Example: fairhours report sheet --week 2026-06-01 --worker all --out sheets.pdf
    """
    from ledger.reports.foremen.week_sheets_build import ALL, build_sheets

    day = day_of(week, "--week")
    assert day is not None
    asked = ALL if word_of(worker) == ALL else code_of(worker)
    with reading(context) as book:
        view = build_sheets(book, day, code_of(job), asked)
        how = _how(book, paper, templates, pdf_variant)
    _put_out(view, out, how)
    count = len(view.sheets)
    sheets = "1 sheet" if count == 1 else f"{count} sheets"
    say(f"{out}: {sheets} from {view.days[0].day}, record stamp {view.known_at.sequence}")


def demo(
    context: typer.Context,
    folder: Annotated[Path, typer.Argument(metavar="DIR")] = Path("demo"),
) -> None:
    """Build an invented yard's book from its 42 weeks of files, and the owner's report of it.

    Example: fairhours demo
    """
    from ledger.cli.demonstration import bar, demonstrate

    for line in demonstrate(folder, bar):
        give(line or " ")


def add_to(app: typer.Typer) -> None:
    """Add these commands to the program."""
    app.add_typer(report, name="report")
    app.command()(demo)
