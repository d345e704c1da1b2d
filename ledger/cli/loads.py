"""Loads, and the freeze of the estimate."""

from pathlib import Path
from typing import TYPE_CHECKING, Annotated, TypedDict, Unpack

import typer

from ledger.cli.context import (
    DryRun,
    Files,
    Format,
    Job,
    Layout,
    MoveHours,
    WithClosed,
    chosen,
    day_given,
    to_write,
)
from ledger.cli.output import FORMATS, give, say, say_all
from ledger.cli.wrapping import laid_out
from ledger.errors import WrongUsage

if TYPE_CHECKING:
    from ledger.commands.loads import UnderChange

BaselineChange = Annotated[
    str | None,
    typer.Option(
        "--baseline-change", help="after the freeze: the baseline change that replans the packages"
    ),
]
CalendarChange = Annotated[
    str | None,
    typer.Option(
        "--baseline-change", help="after the freeze: the baseline change of the working days"
    ),
]

load = typer.Typer(help="Load a file into the book.", no_args_is_help=True, rich_markup_mode=None)


class _Asked(TypedDict, total=False):
    """What a load is given besides its files."""

    job: "str | UnderChange | None"
    layout: str | None
    move_hours: bool


def _load(context: typer.Context, kind: str, files: list[Path], **asked: Unpack[_Asked]) -> None:
    """Load files of a kind, and say what came of it."""
    from ledger.cli.wording.loads import load_lines
    from ledger.commands.loads import LoadAsked, load_asked

    say_all(load_lines(load_asked(to_write(context), LoadAsked(kind, files, **asked))))


def _under(job: str | None, change: str | None) -> "str | UnderChange | None":
    """Return the job, with the baseline change if one is named."""
    from ledger.commands.loads import UnderChange

    return job if change is None else UnderChange(job, change)


@load.command()
def settings(
    context: typer.Context,
    file: Annotated[Path, typer.Argument()],
    move_hours: MoveHours = False,
) -> None:
    """Load the yard's settings.

    Example: fairhours load settings settings.toml
    """
    _load(context, "settings", [file], move_hours=move_hours)


@load.command()
def job(
    context: typer.Context,
    file: Annotated[Path, typer.Argument()],
    move_hours: MoveHours = False,
    change: CalendarChange = None,
) -> None:
    """Load a job and its calendar.

    After the freeze a baseline change brings other working days: the plan after its day follows.

    Example: fairhours load job job.toml
    """
    under = None if change is None else _under(None, change)
    _load(context, "job", [file], job=under, move_hours=move_hours)


@load.command()
def crew(
    context: typer.Context,
    files: Files,
    layout: Layout = None,
    move_hours: MoveHours = False,
) -> None:
    """Load workers; lines that waited for them are booked.

    Example: fairhours load crew crew.csv
    """
    _load(context, "crew", files, layout=layout, move_hours=move_hours)


@load.command()
def rates(context: typer.Context, files: Files, layout: Layout = None) -> None:
    """Load cost rates by trade, grade or worker.

    Example: fairhours load rates rates.csv
    """
    _load(context, "rates", files, layout=layout)


@load.command("past-work")
def past_work(context: typer.Context, files: Files, layout: Layout = None) -> None:
    """Load what finished jobs of the past took for each kind of work, for the next estimate.

    Example: fairhours load past-work past-work.csv
    """
    _load(context, "past-work", files, layout=layout)


@load.command()
def rules(
    context: typer.Context,
    files: Files,
    layout: Layout = None,
    with_closed: WithClosed = False,
    reason: Annotated[
        str | None, typer.Option("--reason", help="why entries of closed periods move")
    ] = None,
    dry_run: DryRun = False,
) -> None:
    """Load rules that say where hours belong, and show what moves.

    Entries of closed periods are listed and stay, unless --with-closed moves them.

    Example: fairhours load rules rules.csv --dry-run
    """
    from ledger.cli.wording.loads import rules_lines
    from ledger.commands.loads import load_rules

    if with_closed and reason is None:
        raise WrongUsage("options_missing", options=("--reason",))
    if reason is not None and not with_closed:
        raise WrongUsage("reason_of_nothing")
    access = to_write(context)
    done = load_rules(access, files, late_reason=reason, dry_run=dry_run, layout=layout)
    if dry_run:
        say("dry run, nothing was written; without --dry-run:")
    say_all(rules_lines(done))


@load.command("charge-rates")
def charge_rates(context: typer.Context, job: Job, files: Files, layout: Layout = None) -> None:
    """Load what the owner pays per hour, for one job.

    Example: fairhours load charge-rates --job FERRY charge-rates.csv
    """
    _load(context, "charge-rates", files, job=job, layout=layout)


@load.command()
def estimate(
    context: typer.Context,
    job: Job,
    files: Files,
    layout: Layout = None,
    move_hours: MoveHours = False,
    change: BaselineChange = None,
) -> None:
    """Load the estimate; before the freeze each load is a whole revision.

    After it a baseline change replans the packages in the file; all others stay.

    Example: fairhours load estimate --job FERRY estimate.csv
    """
    under = _under(job, change)
    _load(context, "estimate", files, job=under, layout=layout, move_hours=move_hours)


@load.command()
def milestones(
    context: typer.Context,
    job: Job,
    files: Files,
    layout: Layout = None,
    change: BaselineChange = None,
) -> None:
    """Load milestones with their weights.

    Example: fairhours load milestones --job FERRY milestones.csv
    """
    _load(context, "milestones", files, job=_under(job, change), layout=layout)


@load.command()
def plan(
    context: typer.Context,
    job: Job,
    files: Files,
    layout: Layout = None,
    change: BaselineChange = None,
) -> None:
    """Load a plan by day for packages that no spread fits.

    Example: fairhours load plan --job FERRY plan.csv
    """
    _load(context, "plan", files, job=_under(job, change), layout=layout)


@load.command()
def progress(context: typer.Context, job: Job, files: Files, layout: Layout = None) -> None:
    """Load measurements of progress.

    Example: fairhours load progress --job FERRY progress.csv
    """
    _load(context, "progress", files, job=job, layout=layout)


@load.command("baseline-changes")
def baseline_changes(context: typer.Context, job: Job, files: Files, layout: Layout = None) -> None:
    """Load named baseline changes after the freeze.

    Example: fairhours load baseline-changes --job FERRY baseline-changes.csv
    """
    _load(context, "baseline-changes", files, job=job, layout=layout)


@load.command()
def changes(
    context: typer.Context,
    job: Job,
    files: Files,
    layout: Layout = None,
    move_hours: MoveHours = False,
) -> None:
    """Load change requests.

    Example: fairhours load changes --job FERRY changes.csv
    """
    _load(context, "changes", files, job=job, layout=layout, move_hours=move_hours)


@load.command("change-lines")
def change_lines(context: typer.Context, job: Job, files: Files, layout: Layout = None) -> None:
    """Load the price lines of changes.

    Example: fairhours load change-lines --job FERRY change-lines.csv
    """
    _load(context, "change-lines", files, job=job, layout=layout)


@load.command("change-events")
def change_events(context: typer.Context, job: Job, files: Files, layout: Layout = None) -> None:
    """Load events of changes: priced, submitted, approved, instructed and so on.

    Example: fairhours load change-events --job FERRY change-events.csv
    """
    _load(context, "change-events", files, job=job, layout=layout)


@load.command("daywork-items")
def daywork_items(context: typer.Context, job: Job, files: Files, layout: Layout = None) -> None:
    """Load materials, plant and subcontract used on daywork.

    Example: fairhours load daywork-items --job FERRY daywork-items.csv
    """
    _load(context, "daywork-items", files, job=job, layout=layout)


@load.command("daywork-sheets")
def daywork_sheets(context: typer.Context, job: Job, files: Files, layout: Layout = None) -> None:
    """Load daywork sheets: what is agreed of the hours and items of a change in their days.

    Hours and items recorded after a sheet was loaded are not on it.

    Example: fairhours load daywork-sheets --job FERRY daywork-sheets.csv
    """
    _load(context, "daywork-sheets", files, job=job, layout=layout)


@load.command("job-costs")
def job_costs(context: typer.Context, job: Job, files: Files, layout: Layout = None) -> None:
    """Load what a job costs beside its hours: materials, subcontract, plant, other.

    Example: fairhours load job-costs --job FERRY job-costs.csv
    """
    _load(context, "job-costs", files, job=job, layout=layout)


@load.command("claim-percents")
def claim_percents(context: typer.Context, job: Job, files: Files, layout: Layout = None) -> None:
    """Load what may be claimed to date, of the base, a stage payment or a change.

    Example: fairhours load claim-percents --job FERRY claim-percents.csv
    """
    _load(context, "claim-percents", files, job=job, layout=layout)


@load.command("certified")
def certified(context: typer.Context, job: Job, files: Files, layout: Layout = None) -> None:
    """Load what was certified of a claim, to date by item, with the reason where it is less.

    Example: fairhours load certified --job FERRY certified.csv
    """
    _load(context, "certified", files, job=job, layout=layout)


@load.command("payments")
def payments(context: typer.Context, job: Job, files: Files, layout: Layout = None) -> None:
    """Load what was paid of invoices, and what was deducted: in dispute until it is accepted.

    Example: fairhours load payments --job FERRY payments.csv
    """
    _load(context, "payments", files, job=job, layout=layout)


@load.command()
def layout(context: typer.Context, files: Files) -> None:
    """Keep layouts in the book, each under its file's name.

    Example: fairhours load layout foreman.toml
    """
    from ledger.cli.wording.loads import layout_lines
    from ledger.commands.loads import load_layouts

    say_all(layout_lines(load_layouts(to_write(context), files)))


@load.command()
def attendance(context: typer.Context, files: Files, layout: Layout = None) -> None:
    """Load attendance clock times, to compare with booked hours.

    Example: fairhours load attendance clock-week-14.csv
    """
    _load(context, "attendance", files, layout=layout)


@load.command()
def leave(context: typer.Context, files: Files, layout: Layout = None) -> None:
    """Load leave known ahead: no sheet is expected of a worker who is away.

    Example: fairhours load leave leave.csv
    """
    _load(context, "leave", files, layout=layout)


@load.command()
def payroll(context: typer.Context, files: Files, layout: Layout = None) -> None:
    """Load the hours that payroll paid, by worker, period and pay class.

    Example: fairhours load payroll payroll-march.csv
    """
    _load(context, "payroll", files, layout=layout)


@load.command("supplier-hours")
def supplier_hours(context: typer.Context, files: Files, layout: Layout = None) -> None:
    """Load the hours that agencies and subcontractors charged, by period.

    Example: fairhours load supplier-hours holmwick-march.csv
    """
    _load(context, "supplier-hours", files, layout=layout)


@load.command("payroll-notes")
def payroll_notes(context: typer.Context, files: Files, layout: Layout = None) -> None:
    """Load reasons for differences between hours paid and hours booked.

    Example: fairhours load payroll-notes notes-march.csv
    """
    _load(context, "payroll-notes", files, layout=layout)


@load.command()
def sheets(
    context: typer.Context,
    files: Annotated[list[Path], typer.Argument(help="the files, or folders of files, to load")],
    job: Annotated[str | None, typer.Option("--job", help="job for lines without one")] = None,
    layout: Layout = None,
    format: Format = "table",
) -> None:
    """Load timesheets: every line is booked or held with a reason, and counted.

    Example: fairhours load sheets --job FERRY week-14.csv week-15.csv
    """
    from ledger.cli.wording import sheets as words
    from ledger.commands.sheets import SheetLoadAsked, load_sheets

    chosen("--format", format, FORMATS)
    done = load_sheets(to_write(context), SheetLoadAsked(files, job, layout))
    say_all(map(words.remark, done.loaded.remarks))
    give(words.counts_text(done, format))
    if format != "json":
        say(words.booked_line(done))
    say_all(words.following_lines(done))


@load.command()
def held(context: typer.Context, file: Annotated[Path, typer.Argument()]) -> None:
    """Load corrections of held lines from the workbook that `held --out` made.

    Example: fairhours load held held-lines.xlsx
    """
    from ledger.cli.wording.held_lines import corrections_lines
    from ledger.commands.held_file import load_corrections

    say_all(corrections_lines(load_corrections(to_write(context), file)))


guess = typer.Typer(
    help="Propose a layout for a file.", no_args_is_help=True, rich_markup_mode=None
)


@guess.command("layout")
def guess_layout(
    file: Annotated[Path, typer.Argument(help="a file of sheets or of another table")],
    table: Annotated[
        str | None,
        typer.Option("--for", help="the table it is for: sheets, crew, estimate and so on"),
    ] = None,
) -> None:
    """Propose a layout for a file; show ten lines as read, and what is unclear.

    The layout goes to standard output, to be saved and corrected; the rest to standard error.

    Example: fairhours guess layout week-14.csv
    """
    from ledger.cli.wording.layouts import proposal_lines
    from ledger.commands.layouts import TABLES
    from ledger.commands.layouts import guess_layout as propose

    if table is not None:
        chosen("--for", table, TABLES)
    proposal = propose(file, table)
    give(laid_out(proposal.toml))
    say_all(proposal_lines(proposal))


def freeze(
    context: typer.Context,
    job: Job,
    on: Annotated[str, typer.Option("--on", help="the day of the contract")],
) -> None:
    """Freeze the estimate as the original baseline.

    Example: fairhours freeze --job FERRY --on 2026-01-05
    """
    from ledger.cli.wording.loads import freeze_lines
    from ledger.commands.loads import freeze as freeze_job

    say_all(freeze_lines(freeze_job(to_write(context), job, day_given(on, "--on"))))


def add_to(app: typer.Typer) -> None:
    """Add these commands to the program."""
    app.add_typer(load, name="load")
    app.add_typer(guess, name="guess")
    app.command()(freeze)
