"""Facts that were typed or loaded wrongly, withdrawn."""

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from ledger.commands.access import WriteAccess
from ledger.commands.finishing import Finished, finish
from ledger.inputs import withdrawing
from ledger.inputs.withdrawal_files import RightFile
from ledger.inputs.withdrawing import FactsWithdrawn
from ledger.outcomes import Outcome
from ledger.sheets.attendance import load_attendance


@dataclass(frozen=True)
class Withdrawn(Outcome):
    """Facts withdrawn, and what followed."""

    done: FactsWithdrawn
    finished: Finished


def withdraw_facts(
    access: WriteAccess,
    facts: Sequence[str],
    reason: str,
    *,
    right: Path | None = None,
    move_hours: bool = False,
) -> Withdrawn:
    """Withdraw facts by their ids; a file with the right fact gives it the place of the wrong one.

    Raises: Refused, naming what stands in the way.
    """
    file = RightFile(right, {"attendance": load_attendance}) if right else None
    with access.writing("withdraw fact") as (book, batch):
        done = withdrawing.withdraw_facts(book, batch, facts, reason, file)
        return Withdrawn(done, finish(book, batch, move_hours=move_hours))
