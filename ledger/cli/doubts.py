"""Commands about what looks wrong: doubts shown, settled and opened again, attendance loaded."""

from typing import TYPE_CHECKING, Annotated, Any

import typer

from ledger.cli.colour import marked
from ledger.cli.context import Format, Reason, chosen, to_read, to_write
from ledger.cli.output import FORMATS, as_csv, give, hours_in_format, say, to_json
from ledger.cli.periods import reopen
from ledger.cli.tables import as_table
from ledger.domain.counting import counted

if TYPE_CHECKING:
    from ledger.performance.notes import Note

CAUTION = (
    "doubts are queries to look into, not findings; "
    "local law, the contract and agreements come first"
)
Ids = Annotated[list[str], typer.Argument(help="doubts, as `fairhours doubts` names them")]

settle = typer.Typer(help="Settle doubts.", no_args_is_help=True, rich_markup_mode=None)


def doubts(
    context: typer.Context,
    job: Annotated[str | None, typer.Option("--job", help="booked to this job")] = None,
    worker: Annotated[str | None, typer.Option("--worker", help="of this worker")] = None,
    kind: Annotated[str | None, typer.Option("--kind", help="of this kind")] = None,
    every: Annotated[bool, typer.Option("--all", help="include settled ones")] = False,
    order: Annotated[
        str, typer.Option("--order", help="severity (then newest first), or newest")
    ] = "severity",
    each: Annotated[bool, typer.Option("--each", help="one row for each doubt")] = False,
    format: Format = "table",
) -> None:
    """List entries that look wrong, with file and line, and figures worth a second look.

    On the terminal, doubts of one kind and file share a row; --each, --kind, --worker, --all,
    --order newest, csv and json show each with its id.

    Example: fairhours doubts --job FERRY --kind double_entry
    """
    from ledger.cli.wording.completeness import reason as worded
    from ledger.commands.doubts import DoubtsAsked
    from ledger.commands.doubts import doubts as known
    from ledger.commands.doubts_as_json import doubts_json

    chosen("--format", format, FORMATS)
    chosen("--order", order, ("severity", "newest"))
    newest = order == "newest"
    whole = bool(each or worker or kind or every or newest or format != "table")
    asked = DoubtsAsked(job, worker, kind, settled=every, newest=newest)
    listed = known(to_read(context), asked, by_file=not whole)
    rows = listed.rows
    if format == "json":
        give(to_json(doubts_json(listed, caution=CAUTION, reason=worded)))
        return
    if whole:
        _give_rows(format, [*rows, *(_as_rows(listed.notes) if format == "csv" else ())], every)
    else:
        _give_counted(listed.by_file)
    if listed.notes and format == "table":
        _give_notes(listed.notes, every)
    warned = sum(row["severity"] == "warn" for row in rows)
    line = f"{counted(len(rows), 'doubt', 'doubts')}, {warned} to look at first"
    if listed.notes:
        line += f"; {counted(len(listed.notes), 'plausibility note', 'plausibility notes')}"
    say(marked(line, f"{warned} to look at first") if warned else line)
    say(CAUTION)


def _as_rows(notes: "list[Note]") -> list[dict[str, Any]]:
    """Return notes in the columns of doubts: of no entry, file or line."""
    from ledger.cli.wording.reasons import words_of

    nowhere = {"file": None, "line": None}
    return [{**note.doubt, **nowhere, "message": words_of(note.reason)} for note in notes]


def _give_notes(notes: "list[Note]", every: bool) -> None:
    """Give what of jobs' figures is worth a second look, with rule and source."""
    from ledger.cli.wording.reasons import words_of

    head = ["doubt", "job", "plausibility note", "message", "rule", "source"]
    rows: list[list[object]] = []
    for note in notes:
        doubt = note.doubt
        row = [doubt["doubt"], doubt["jobs"][0], doubt["kind"], words_of(note.reason)]
        settled = [doubt["settled_by"], doubt["reason"]] if every else []
        rows.append([*row, note.rule, note.source, *settled])
    give(as_table([*head, *(["settled_by", "reason"] if every else [])], rows))


def _give_counted(rows: list[dict[str, Any]]) -> None:
    """Give a row for the doubts of one kind and file, with one of their messages."""
    head = ["severity", "kind", "file", "doubts", "hours", "entries", "message"]
    for row in rows:
        row["hours"] = hours_in_format(int(row["ms"]), "table")
        row["entries"] = _entries(row["entries"], row["entries_in_all"])
        if row["doubts"] > 1:
            row["message"] = f"the first: {row['message']}"
    give(as_table(head, [[row[name] for name in head] for row in rows], _grave(head, rows)))
    if rows:
        say("`fairhours doubts --each`, or --kind KIND, shows each with its id")


def _entries(first: list[str], count: int) -> str:
    """Return the first three ids of entries and how many more there are."""
    more = f" and {count - 3} more" if count > 3 else ""
    return f"{' '.join(first[:3])}{more}"


def _give_rows(format: str, rows: list[dict[str, Any]], every: bool) -> None:
    head = ["doubt", "severity", "kind", "message", "entries", "file", "line"]
    if format == "csv":
        head[3:3] = ["worker_id", "day", "jobs"]
    if every:
        head += ["settled_by", "reason"]
    cells = [[_cell(row[name], format) for name in head] for row in rows]
    give(as_csv(head, cells) if format == "csv" else as_table(head, cells, _grave(head, rows)))


def _grave(head: list[str], rows: list[dict[str, Any]]) -> list[tuple[int, int]]:
    """Return the cells that say that a doubt is to be looked at first."""
    column = head.index("severity")
    return [(number, column) for number, row in enumerate(rows) if row["severity"] == "warn"]


def _cell(value: object, format: str) -> object:
    """Return a list as text; in a table only its first three."""
    if not isinstance(value, list):
        return value
    return " ".join(value) if format == "csv" else _entries(value, len(value))


@settle.command("doubt")
def settle_doubt(context: typer.Context, ids: Ids, reason: Reason) -> None:
    """Settle doubts: they return only if the facts they rest on change.

    Example: fairhours settle doubt 3f9c01ab42 --reason "the night shift, asked the foreman"
    """
    from ledger.commands.doubts import settle_doubts

    done = settle_doubts(to_write(context), ids, reason).done
    settled = counted(done.count, "doubt", "doubts")
    say(f"{settled} settled; `fairhours doubts --all` shows by whom and why")


@reopen.command("doubt")
def reopen_doubt(context: typer.Context, ids: Ids, reason: Reason) -> None:
    """Reopen doubts that were settled by mistake.

    Example: fairhours reopen doubt 3f9c01ab42 --reason "it was another night"
    """
    from ledger.commands.doubts import reopen_doubts

    done = reopen_doubts(to_write(context), ids, reason).done
    say(f"{counted(done.count, 'doubt', 'doubts')} reopened; see `fairhours doubts`")


def add_to(app: typer.Typer) -> None:
    """Add these commands to the program."""
    app.command()(doubts)
    app.add_typer(settle, name="settle")
