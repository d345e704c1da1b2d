"""Names that a person confirms to be a worker's."""

from collections.abc import Sequence
from dataclasses import dataclass

from ledger.commands.access import WriteAccess
from ledger.commands.finishing import Finished, finish
from ledger.outcomes import Outcome
from ledger.sheets import worker_aliases
from ledger.sheets.outcomes import AliasesConfirmed


@dataclass(frozen=True)
class AliasesKept(Outcome):
    """Aliases of a worker, and the held lines that followed."""

    done: AliasesConfirmed
    finished: Finished


def confirm_aliases(
    access: WriteAccess, aliases: Sequence[str], worker: str, reason: str
) -> AliasesKept:
    """Let names stand for a worker of the crew; lines held for them are booked."""
    with access.writing("confirm alias") as (book, batch):
        done = worker_aliases.confirm_aliases(book, batch, aliases, worker, reason)
        return AliasesKept(done, finish(book, batch))
