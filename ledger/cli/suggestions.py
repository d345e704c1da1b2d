"""Commands that suggest; a person decides."""

from typing import Annotated

import typer

from ledger.cli.context import Format, chosen, to_read
from ledger.cli.corrections import group
from ledger.cli.output import FORMATS, give, give_rows, hours_in_format, to_json

suggest = group("Suggest what a person may decide.")
HEAD = (
    *("why", "code", "job", "worker_id", "from_day", "note", "hours", "entries"),
    *("rank", "place", "score", "reason"),
)


@suggest.command("tags")
def suggest_tags(
    context: typer.Context,
    job: Annotated[str | None, typer.Option("--job", help="booked to this job; else all")] = None,
    worker: Annotated[str | None, typer.Option("--worker", help="of this worker")] = None,
    code: Annotated[
        str | None, typer.Option("--code", help='with this booking code; "" for none')
    ] = None,
    by: Annotated[str, typer.Option("--by", help="week or day of a worker")] = "week",
    format: Format = "table",
) -> None:
    """Suggest up to three places for hours left to tag, each with a score of 100 and why.

    It writes nothing: `tag entries` books what a person accepts.

    Example: fairhours suggest tags --job FERRY
    """
    from ledger.cli.wording.suggestions import reason_of
    from ledger.commands.suggestions import LeftFilter
    from ledger.commands.suggestions import suggest_tags as likely
    from ledger.commands.suggestions_as_json import suggested_json
    from ledger.sheets.suggestions import place_of

    chosen("--format", format, FORMATS)
    chosen("--by", by, ("week", "day"))
    known = likely(to_read(context), LeftFilter(job, worker, code), by)
    if format == "json":
        give(to_json(suggested_json(known, reason_of)))
        return
    rows = [
        {
            **row,
            "hours": hours_in_format(int(row["ms"]), format),
            "place": place_of(row),
            "reason": reason_of(row),
        }
        for row in known.rows
    ]
    give_rows(format, HEAD, rows, ("why",))


def add_to(app: typer.Typer) -> None:
    """Add these commands to the program."""
    app.add_typer(suggest, name="suggest")
