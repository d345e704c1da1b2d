"""The commands of a job's final account: shown, and agreed."""

from typing import TYPE_CHECKING

import typer

from ledger.cli.change_answers import agree
from ledger.cli.change_options import On, Person, Reference, Reserve
from ledger.cli.claims import To
from ledger.cli.context import Format, Job, chosen, day_of, to_read, to_write
from ledger.cli.output import FORMATS, as_csv, give, say, to_json
from ledger.domain.counting import grouped

if TYPE_CHECKING:
    from ledger.commands.final_account import FinalAccountKnown

CAUTION = (
    "Without tax. What a final account settles and what stays open after it is a matter of the "
    "contract and local law; take advice where it counts."
)
MATTERS = {
    "open_request": "request not agreed",
    "unsigned_daywork": "daywork not signed",
    "daywork_not_complete": "daywork not complete",
    "open_time": "days not decided",
    "disallowed": "claimed, not certified",
    "base_time": "time worked, against its estimate",
}


def final_account(
    context: typer.Context,
    job: Job,
    to: To = None,
    reserve: Reserve = None,
    format: Format = "table",
) -> None:
    """Show the final account of a job: its sum by change, and what is open still.

    What no change spent of provisional sums is omitted. What is reserved is not settled by it.

    Example: fairhours final-account --job FERRY --to 2026-11-30 --reserve CR9
    """
    from ledger.commands.final_account import final_account as known_account
    from ledger.commands.final_account import final_account_json

    chosen("--format", format, FORMATS)
    known = known_account(to_read(context), job, day_of(to, "--to"), reserve or ())
    if format == "json":
        give(to_json(final_account_json(known)))
    else:
        _give_table(known, format)


def _give_table(known: "FinalAccountKnown", format: str) -> None:
    from ledger.cli.tables import as_table

    account = known.account
    rows: list[list[object]] = [["contract sum", "", account.contract_sum]]
    rows += [["provisional sum", e.name, -e.left] for e in account.provisional_sums if e.left]
    for each in account.lines:
        sums = each.sums
        amounts = (sums.approved, sums.omitted, sums.daywork_movement)
        entries = zip(("addition", "omission", "daywork"), amounts, strict=True)
        rows += [[what, f"{each.change} {each.title}".strip(), v] for what, v in entries if v]
    rows.append(["final sum", "", account.total])
    if format == "csv":
        give(as_csv(("entry", "item", "amount"), rows))
        return
    say(f"{account.job} on {account.day}, {account.currency}".rstrip(" ,"))
    give(as_table(("", "item", "amount"), rows))
    for title, matters in (("open", account.open_matters), ("reserved", account.reserved)):
        if matters:
            give(f"\n{title}")
            cells = [[e.item, MATTERS[e.kind], e.amount] for e in matters]
            give(as_table(("item", "matter", "amount"), cells))
    give(f"\n{CAUTION}")


@agree.command("final-account")
def agree_final_account(
    context: typer.Context,
    job: Job,
    person: Person = None,
    reference: Reference = None,
    on: On = None,
    reserve: Reserve = None,
) -> None:
    """Record that the final account of a job is agreed; its sum is fixed by that.

    Refused until open requests, unsigned daywork, open time and what was disallowed are settled or
    reserved by name. Afterwards nothing is recorded that would move the sum.

    Example: fairhours agree final-account --job FERRY --person Jo --reference "letter of 5 June"
    """
    from ledger.commands.final_account import Agreement
    from ledger.commands.final_account import agree_final_account as agreed

    agreement = Agreement(person or "", reference or "", day_of(on, "--date"), tuple(reserve or ()))
    done = agreed(to_write(context), job, agreement)
    reserved = ", ".join(dict.fromkeys(each.item for each in done.account.reserved))
    left = f"; reserved: {reserved}" if reserved else ""
    total = grouped(done.account.total)
    say(f"{done.account.job}: final account agreed on {done.day} at {total}{left}")


def add_to(app: typer.Typer) -> None:
    """Add the command that shows it to the program; the other stands with what is agreed."""
    app.command("final-account")(final_account)
