"""Loads, and the freeze of the estimate."""

from collections.abc import Callable
from pathlib import Path
from typing import Annotated, Any

import typer

from ledger.cli.context import Files, Format, Job, MoveHours, chosen, day_of, write
from ledger.cli.output import FORMATS, as_csv, as_table, give, hours_shown, known_at, say, to_json
from ledger.cli.wordings.refusals import worded
from ledger.domain.allocation import hours_of, to_places
from ledger.domain.codes import code_of

load = typer.Typer(help="Load a file into the book.", no_args_is_help=True, rich_markup_mode=None)
Loader = Callable[..., list[str]]


def _load(
    context: typer.Context,
    what: str,
    loader: Loader,
    files: list[Path],
    *,
    move_hours: bool = False,
) -> None:
    """Load files as one batch, look again at what it can touch, and say what came of it."""
    from ledger.inputs.files import record_file
    from ledger.sheets.doubts import told_of_batch
    from ledger.sheets.placing import look_again
    from ledger.tables.raw_files import version_of

    def work(book: Any, batch: Any) -> list[str]:
        said = []
        for path in files:
            before, read = sum(batch.counts.values()), version_of(path)
            said += loader(book, batch, path)
            if sum(batch.counts.values()) > before:
                record_file(batch, path, what, read)
        said += look_again(book, batch, move_hours=move_hours)
        return said + told_of_batch(book, batch)

    for line in write(context, f"load {what}", work):
        say(line)


def _for_job(loader: Loader, job: str) -> Loader:
    """Return a loader of files that all belong to one job of the book."""
    from ledger.jobs.jobs import job_card

    def checked(book: Any, batch: Any, path: Path) -> list[str]:
        code = code_of(job)
        job_card(book, code)
        return loader(book, batch, path, code)

    return checked


@load.command()
def settings(
    context: typer.Context,
    file: Annotated[Path, typer.Argument()],
    move_hours: MoveHours = False,
) -> None:
    """Load the yard's settings.

    Example: fairhours load settings settings.toml
    """
    from ledger.inputs.toml_files import load_settings

    _load(context, "settings", load_settings, [file], move_hours=move_hours)


@load.command()
def job(
    context: typer.Context,
    file: Annotated[Path, typer.Argument()],
    move_hours: MoveHours = False,
) -> None:
    """Load a job and its calendar.

    Example: fairhours load job job.toml
    """
    from ledger.inputs.toml_files import load_job

    _load(context, "job", load_job, [file], move_hours=move_hours)


@load.command()
def crew(context: typer.Context, files: Files, move_hours: MoveHours = False) -> None:
    """Load workers; lines that waited for them are booked.

    Example: fairhours load crew crew.csv
    """
    from ledger.inputs.yard_files import load_crew

    _load(context, "crew", load_crew, files, move_hours=move_hours)


@load.command()
def rates(context: typer.Context, files: Files) -> None:
    """Load cost rates by trade, grade or worker.

    Example: fairhours load rates rates.csv
    """
    from ledger.inputs.yard_files import load_rates

    _load(context, "rates", load_rates, files)


@load.command()
def rules(context: typer.Context, files: Files) -> None:
    """Load rules that say where hours belong.

    Example: fairhours load rules rules.csv
    """
    from ledger.inputs.yard_files import load_rules

    _load(context, "rules", load_rules, files)


@load.command("charge-rates")
def charge_rates(context: typer.Context, job: Job, files: Files) -> None:
    """Load what the owner pays an hour, for one job.

    Example: fairhours load charge-rates --job FERRY charge-rates.csv
    """
    from ledger.inputs.yard_files import load_charge_rates

    _load(context, "charge-rates", _for_job(load_charge_rates, job), files)


@load.command()
def estimate(context: typer.Context, job: Job, files: Files, move_hours: MoveHours = False) -> None:
    """Load the estimate; before the freeze each load is a whole revision.

    Example: fairhours load estimate --job FERRY estimate.csv
    """
    from ledger.inputs.job_files import load_estimate

    _load(context, "estimate", _for_job(load_estimate, job), files, move_hours=move_hours)


@load.command()
def milestones(context: typer.Context, job: Job, files: Files) -> None:
    """Load milestones with their weights.

    Example: fairhours load milestones --job FERRY milestones.csv
    """
    from ledger.inputs.job_files import load_milestones

    _load(context, "milestones", _for_job(load_milestones, job), files)


@load.command()
def plan(context: typer.Context, job: Job, files: Files) -> None:
    """Load a plan by day for packages that no rule spreads.

    Example: fairhours load plan --job FERRY plan.csv
    """
    from ledger.inputs.job_files import load_plan

    _load(context, "plan", _for_job(load_plan, job), files)


@load.command()
def progress(context: typer.Context, job: Job, files: Files) -> None:
    """Load measurements of progress.

    Example: fairhours load progress --job FERRY progress.csv
    """
    from ledger.inputs.job_files import load_progress

    _load(context, "progress", _for_job(load_progress, job), files)


@load.command("baseline-changes")
def baseline_changes(context: typer.Context, job: Job, files: Files) -> None:
    """Load named changes of the baseline after the freeze.

    Example: fairhours load baseline-changes --job FERRY baseline-changes.csv
    """
    from ledger.inputs.job_files import load_baseline_changes

    _load(context, "baseline-changes", _for_job(load_baseline_changes, job), files)


@load.command()
def changes(context: typer.Context, job: Job, files: Files, move_hours: MoveHours = False) -> None:
    """Load change requests.

    Example: fairhours load changes --job FERRY changes.csv
    """
    from ledger.inputs.change_files import load_changes

    _load(context, "changes", _for_job(load_changes, job), files, move_hours=move_hours)


@load.command("change-lines")
def change_lines(context: typer.Context, job: Job, files: Files) -> None:
    """Load the price lines of changes.

    Example: fairhours load change-lines --job FERRY change-lines.csv
    """
    from ledger.inputs.change_files import load_change_lines

    _load(context, "change-lines", _for_job(load_change_lines, job), files)


@load.command("change-events")
def change_events(context: typer.Context, job: Job, files: Files) -> None:
    """Load events of changes: priced, submitted, approved, instructed and so on.

    Example: fairhours load change-events --job FERRY change-events.csv
    """
    from ledger.inputs.change_files import load_change_events

    _load(context, "change-events", _for_job(load_change_events, job), files)


@load.command()
def layout(context: typer.Context, files: Files) -> None:
    """Keep layouts in the book, each under its file's name.

    Example: fairhours load layout foreman.toml
    """
    from ledger.tables.layouts import load_layout

    def work(book: Any, batch: Any) -> list[str]:
        return [line for path in files for line in load_layout(book, batch, path)]

    for line in write(context, "load layout", work):
        say(line)


@load.command()
def sheets(
    context: typer.Context,
    files: Annotated[list[Path], typer.Argument(help="the files, or folders of files, to load")],
    job: Annotated[
        str | None, typer.Option("--job", help="the job of lines that name none")
    ] = None,
    layout: Annotated[
        str | None,
        typer.Option("--layout", help="a TOML file, or the name of a layout that is kept"),
    ] = None,
    format: Format = "table",
) -> None:
    """Load timesheets: every line is booked or held with a reason, and counted.

    Example: fairhours load sheets --job FERRY week-14.csv week-15.csv
    """
    from ledger.sheets.doubts import told_of_batch
    from ledger.sheets.loading import SheetLoad, load_sheets
    from ledger.sheets.placing import post_new
    from ledger.sheets.untagged import untagged_of_batch, untagged_text
    from ledger.tables.layouts import PLAIN, find_layout

    chosen("--format", format, FORMATS)

    def work(book: Any, batch: Any) -> Any:
        default = code_of(job) if job else None
        read = find_layout(book, layout) if layout not in {None, "long"} else PLAIN
        load = SheetLoad(files, default, read, _progress(len(files)))
        loaded = load_sheets(book, batch, load)
        post_new(book, batch)
        return loaded, untagged_of_batch(book, batch), told_of_batch(book, batch)

    def told(book: Any, done: Any) -> Any:
        return *done, book.stamp(), book.rows("sheets/booked_by_kind")

    loaded, untagged, doubts, stamp, kinds = write(context, "load sheets", work, after=told)
    _give_loaded(loaded, untagged, format, stamp)
    if untagged:
        say(untagged_text(untagged))
    for line in doubts:
        say(line)
    amounts = [f"{name} {hours_of(int(ms))} h" for name, ms in kinds]
    say(f"the whole book: {', '.join(amounts)}")


@load.command()
def held(context: typer.Context, file: Annotated[Path, typer.Argument()]) -> None:
    """Load the corrections of held lines, as written into the file of `held --out`.

    Example: fairhours load held held-lines.xlsx
    """
    from ledger.sheets.doubts import told_of_batch
    from ledger.sheets.held_file import load_held
    from ledger.sheets.placing import post_places

    def work(book: Any, batch: Any) -> list[str]:
        said = load_held(book, batch, file)
        post_places(book, batch)
        return said + told_of_batch(book, batch)

    for line in write(context, "load held", work):
        say(line)


guess = typer.Typer(help="Propose what a file may be.", no_args_is_help=True, rich_markup_mode=None)


@guess.command("layout")
def guess_layout(file: Annotated[Path, typer.Argument(help="a file of sheets")]) -> None:
    """Propose a layout for a file, show ten lines as they would be read, and what is not sure.

    The layout goes to the standard output, to be kept and put right: the rest is said beside it.

    Example: fairhours guess layout week-14.csv
    """
    from ledger.sheets.guessing import guess_layout as propose

    proposal = propose(file)
    give(proposal.toml)
    head = ("line", "worker_id", "day", "hours", "booking_code", "")
    rows = [
        (
            str(each.line),
            each.worker_id,
            each.day,
            hours_shown(each.ms, "table"),
            each.booking_code,
            each.wrong or "",
        )
        for each in proposal.lines
    ]
    say(as_table(head, rows))
    for doubt in proposal.unsure:
        say(f"not sure: {doubt}")
    if proposal.refused:
        say(f"not sure: as it stands the file is refused: {worded(proposal.refused)}")


def _progress(count: int) -> Callable[[str], None]:
    import sys

    if count < 2 or not sys.stderr.isatty():
        return lambda _: None
    done = 0

    def tell(name: str) -> None:
        nonlocal done
        done += 1
        typer.echo(f"\r\033[K{done}/{count} {name}", err=True, nl=done == count)

    return tell


def _give_loaded(loaded: Any, untagged: Any, format: str, stamp: Any) -> None:
    from dataclasses import asdict

    for line in loaded.remarks:
        say(line)
    files = [asdict(each) for each in loaded.files]
    if format == "json":
        hours = to_places(loaded.booked_hours, 4)
        codes = [{"code": each.code, "hours": hours_of(each.ms, 4)} for each in untagged]
        told = {"files": files, "booked_hours": hours, "untagged": codes}
        give(to_json({**told, "known_at": known_at(stamp)}))
        return
    head = [name for name in files[0] if name != "sha256"]
    rows = [[row[name] for name in head] for row in files]
    give((as_csv if format == "csv" else as_table)(head, rows))
    total = f"{to_places(loaded.booked_hours, 2)} h booked"
    held, before = (
        sum(getattr(each, name) for each in loaded.files) for name in ("held", "already_held")
    )
    lines = "1 line is" if held == 1 else f"{held} lines are"
    waiting = f"; {lines} held, see `fairhours held`" if held else ""
    lines = "1 line was" if before == 1 else f"{before} lines were"
    known = f"; {lines} held or rejected before" if before else ""
    say(f"{total}{waiting}{known}")


def freeze(
    context: typer.Context,
    job: Job,
    on: Annotated[str, typer.Option("--on", help="the day of the contract")],
) -> None:
    """Freeze the estimate as the original baseline.

    Example: fairhours freeze --job FERRY --on 2026-01-05
    """
    from ledger.baseline.freeze import freeze as freeze_job
    from ledger.errors import WrongUsage

    day = day_of(on, "--on")
    if day is None:
        raise WrongUsage("date_missing", option="--on")
    say(write(context, "freeze", lambda b, batch: freeze_job(b, batch, code_of(job), day)))


def add_to(app: typer.Typer) -> None:
    """Add these commands to the program."""
    app.add_typer(load, name="load")
    app.add_typer(guess, name="guess")
    app.command()(freeze)
