"""Layouts proposed for a file: of timesheets, or of the table that it looks like."""

from dataclasses import dataclass
from pathlib import Path

from ledger.errors import Refused
from ledger.inputs.columns import FIELDS_BY_TABLE, LAID_OUT
from ledger.inputs.guessing import TableRead, likeliest, propose, read_beginning
from ledger.outcomes import Outcome
from ledger.sheets.guessing import Proposal, sheet_score
from ledger.sheets.guessing import guess_layout as propose_for_sheets
from ledger.sheets.staging import scratch_book
from ledger.tables.guessing import Guess, Unsure, sample
from ledger.tables.layout_keys import SHEETS

# What a layout can be for.
TABLES = tuple(FIELDS_BY_TABLE)


@dataclass(frozen=True)
class TableProposal(Outcome):
    """A layout for a file of a small table, its first rows as read by it, and what it leaves open.

    `table` is what the file was taken for.
    """

    table: str
    toml: str
    read: TableRead
    unsure: tuple[Unsure, ...]


def guess_layout(path: Path, table: str | None = None) -> Proposal | TableProposal:
    """Propose a layout for a file of one of `TABLES`; without one, for what the file looks like.

    Raises: Refused when the file cannot be read, or has no row that could be a head.
    """
    if table == SHEETS:
        return propose_for_sheets(path)
    guess = Guess()
    samples = sample(path, guess)
    candidates = likeliest(samples, [table] if table else list(LAID_OUT))
    if table is None and (not candidates or sheet_score(samples) >= candidates[0].score):
        return propose_for_sheets(path)
    if not candidates:
        raise Refused("head_not_guessed", file=path.name)
    others = [each for each in candidates[1:] if each.fit == candidates[0].fit]
    if others:
        guess.unsure.append(Unsure("table", likeliest=candidates[0].table, other=others[0].table))
    propose(guess, candidates[0], samples)
    with scratch_book() as book:
        read = read_beginning(book, path, guess)
    return TableProposal(candidates[0].table, guess.toml, read, tuple(guess.unsure))
