"""A proposed layout in words: its first lines as read, and what it leaves open."""

from collections.abc import Sequence
from typing import Any

from ledger.cli.colour import marked
from ledger.cli.output import hours_in_format
from ledger.cli.refusals.worded import worded
from ledger.cli.tables import as_table
from ledger.commands.layouts import TableProposal
from ledger.errors import Refused
from ledger.sheets.guessing import Proposal
from ledger.tables.guessing import Unsure

WORDINGS = {
    "encoding": "encoding: the file is not UTF-8; windows-1252 is the usual other one",
    "delimiter": 'delimiter: "{likeliest}" or "{other}"',
    "table": "table: it may be {others} as well; then guess with --for {first}",
    "columns_unknown": "columns kept as evidence only: {columns}",
    "worker_of_tab": ("{field} has no column or label; taken from the tab (or the file): {tab}"),
    "worker_of_tabs": "{field} has no column or label; taken from the tabs: {tab}",
    "tab": "{field} has no column; taken from the tabs: {tab}",
    "year": 'year: the tab "{tab}" names no year; add year = 2026 or the like',
    "across": "across: the heads {heads} are taken for {field}; correct them under [heads]",
    "titles": "titles: {field} is taken from the rows {texts}",
    "notes": "notes: rows with one filled cell are left out: {texts}",
    "fill_down": "fill_down: blank cells under {heads} take what stands above them",
    "constant": '{field}: no column looks like it; taken as "{text}" for all rows',
    "total": 'total: rows with "{text}" under {column} are checked, not read',
    "words_left_out": (
        "left_out: rows with {texts} under {column} are left out: the others there have numbers"
    ),
    "words_among_numbers": (
        "{texts} under {column}: the others there have numbers; put what is no line into [left_out]"
    ),
    "date_order": (
        'date_order: {day} may have the day or the month first; add date_order = "dmy" or "mdy"'
    ),
    "decimal_mark": "decimal_mark: both {comma} and {point} are there",
    "thousands": "thousands: {text} is taken to have a mark of thousands",
    "thousands_open": (
        'thousands: {text} may be a number of thousands; then add thousands = "{mark}" '
        "and the other mark as decimal_mark"
    ),
    "duration": 'duration: {text} may be hours and minutes; then add duration = "h.mm"',
    "blanks": "blanks: {marks} is taken for no hours",
    "blank_marks": "blanks: {marks} is taken for a blank cell",
    "column_missing": "{field}: no column looks like it; name one of {heads} in [columns]",
}
JOINTS = {"marks": " ", "others": " or "}
TEXTS_SHOWN = 6


def unsure_line(unsure: Unsure) -> str:
    """Return what is not sure."""
    fields = {
        name: value if isinstance(value, str) else _listed(name, value)
        for name, value in unsure.fields.items()
    }
    return WORDINGS[unsure.kind].format(**fields)


def _listed(name: str, texts: Sequence[str]) -> str:
    if name != "texts":
        return JOINTS.get(name, ", ").join(texts)
    more = f" and {len(texts) - TEXTS_SHOWN} more" if len(texts) > TEXTS_SHOWN else ""
    return ", ".join(f'"{text}"' for text in texts[:TEXTS_SHOWN]) + more


def proposal_lines(proposal: Proposal | TableProposal) -> list[str]:
    """Return the first lines as the layout reads them, and what is unclear."""
    refused: Refused | None
    faults: list[str] = []
    if isinstance(proposal, Proposal):
        lines = [as_table(SHEET_HEAD, _sheet_rows(proposal))]
        refused = proposal.refused
    else:
        read = proposal.read
        lines = [f"taken for {proposal.table}; --for names another table"]
        lines += [as_table(read.head, list(read.rows))] if read.rows else []
        refused, faults = read.refused, list(read.faults)
    lines += [f"unclear: {unsure_line(each)}" for each in proposal.unsure]
    lines += [marked(f"unclear: {each}", each) for each in faults]
    return lines + ([_refused(refused)] if refused else [])


SHEET_HEAD = ("line", "worker_id", "day", "hours", "booking_code", "")


def _sheet_rows(proposal: Proposal) -> list[tuple[Any, ...]]:
    return [
        (
            str(each.line),
            each.worker_id,
            each.day,
            hours_in_format(each.ms, "table"),
            each.booking_code,
            each.wrong or "",
        )
        for each in proposal.lines
    ]


def _refused(refused: Refused) -> str:
    why = f"with this layout the file is refused: {worded(refused)}"
    return marked(f"unclear: {why}", why)
