"""Layouts proposed for a file: of timesheets, or of the table that it looks like."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from ledger.errors import Refused
from ledger.inputs.columns import FIELDS_BY_TABLE, LAID_OUT
from ledger.inputs.guessing import TableRead, likeliest, propose, read_beginning
from ledger.outcomes import Outcome
from ledger.sheets.guessing import Proposal, sheet_score
from ledger.sheets.guessing import guess_layout as propose_for_sheets
from ledger.sheets.staging import scratch_book
from ledger.tables.guessing import Guess, Unsure, sample
from ledger.tables.layouts import SHEETS

# What a layout can be for.
TABLES = tuple(FIELDS_BY_TABLE)
# A column more or less may be the yard's own: a table that fits so much worse may be meant too.
CLOSE = 1


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
    of_sheets = 0 if table else sheet_score(samples)
    if table is None and (not candidates or of_sheets >= candidates[0].score):
        proposal = propose_for_sheets(path)
        # A worker's column is of no plan: only a table that fits as well is named.
        near = _near(of_sheets, [(each.table, each.score) for each in candidates[:1]], close=0)
        return replace(proposal, unsure=[*near, *proposal.unsure])
    if not candidates:
        raise Refused("head_not_guessed", file=path.name)
    others = [*((each.table, each.score) for each in candidates[1:2]), (SHEETS, of_sheets)]
    guess.unsure += _near(candidates[0].score, others)
    propose(guess, candidates[0], samples)
    with scratch_book() as book:
        read = read_beginning(book, path, guess)
    return TableProposal(candidates[0].table, guess.toml, read, tuple(guess.unsure))


def _near(score: float, others: Sequence[tuple[str, float]], close: float = CLOSE) -> list[Unsure]:
    """Return what to say of tables that fit nearly as well as the one chosen; empty for none."""
    near = [table for table, fit in others if fit > 0 and fit >= score - close]
    return [Unsure("table", others=near, first=near[0])] if near else []
