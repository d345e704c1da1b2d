"""Held lines ended: released, corrected or rejected, each with a name and a reason."""

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from ledger.domain.questions import REASONS
from ledger.errors import Refused, Remedy, WrongUsage
from ledger.sheets.comparing import compare_corrected, read_to_compare
from ledger.sheets.corrected_lines import keep_corrections, stage_so_far
from ledger.sheets.held_lines import read_corrected
from ledger.sheets.judged_lines import judge_lines, release_judged
from ledger.sheets.outcomes import LinesEnded
from ledger.sheets.reversals import ids_of, reason_of, refuse_all
from ledger.sheets.written_lines import stage_written
from ledger.store.batches import Batch
from ledger.store.book import Book
from ledger.tables.layouts import CORRECTED

# What a correction is of when it names no field.
FIELD_OF = {
    "worker_missing": "worker_id",
    "worker_unknown": "worker_id",
    "date_missing": "date",
    "date_unreadable": "date",
    "date_out_of_range": "date",
    "hours_missing": "hours",
    "hours_unreadable": "hours",
    "over_24_hours": "hours",
}


@dataclass(frozen=True)
class Ending:
    """How one held line is to end: rejected, or booked as it reads with `changes` in place."""

    line: str
    why: str
    rejected: bool = False
    changes: Mapping[str, str | None] = field(default_factory=dict)


@dataclass(frozen=True)
class Chosen:
    """Which held lines are to end: those named, or all of a file, or all held for a reason."""

    lines: Sequence[str] = ()
    file: str | None = None
    reason: str | None = None

    def __post_init__(self) -> None:
        by = self.file is not None or self.reason is not None
        if bool(self.lines) == by:
            raise WrongUsage("held_not_chosen")
        if self.reason is not None and self.reason not in REASONS:
            raise WrongUsage("held_reason_unknown", given=self.reason, reasons=tuple(REASONS))


def release_lines(book: Book, batch: Batch, chosen: Chosen, reason: str) -> LinesEnded:
    """Book held lines as they read. Raises: Refused, with every fault."""
    why, lines = reason_of(reason), _lines_of(book, chosen)
    refuse_all(_reissues_in_part(book, lines))
    return _end_named(book, batch, lines, [Ending(each, why) for each in lines])


def reject_lines(book: Book, batch: Batch, chosen: Chosen, reason: str) -> LinesEnded:
    """End held lines without booking them. Raises: Refused, every fault."""
    why, lines = reason_of(reason), _lines_of(book, chosen)
    refuse_all(_reissues_in_part(book, lines))
    return _end_named(book, batch, lines, [Ending(each, why, rejected=True) for each in lines])


def _lines_of(book: Book, chosen: Chosen) -> list[str]:
    if chosen.lines:
        return ids_of(chosen.lines, "line")
    lines = [
        row[0] for row in book.rows("sheets/held_chosen", file=chosen.file, reason=chosen.reason)
    ]
    if not lines:
        refuse_all([_none_held(chosen)])
    return lines


def _none_held(chosen: Chosen) -> Refused:
    counted = Remedy("held_by_file")
    if chosen.file is None:
        return Refused("none_held_for", reason=chosen.reason, remedy=counted)
    if chosen.reason is None:
        return Refused("none_held_of", file=chosen.file, remedy=counted)
    file, reason = chosen.file, chosen.reason
    return Refused("none_held_of_for", file=file, reason=reason, remedy=counted)


def _reissues_in_part(book: Book, lines: Sequence[str]) -> list[Refused]:
    """Return the refusals of re-issues of which only some lines are named."""
    return [
        Refused(
            "reissue_named_in_part",
            line=row["line"],
            lines=row["lines_waiting"],
            reissue=row["reissue"],
            remedy=Remedy("reissues"),
        )
        for row in book.records("sheets/reissues_of_lines", ids=list(lines))
        if row["lines_named"] < row["lines_waiting"]
    ]


def _end_reissues(book: Book, batch: Batch, endings: Sequence[Ending]) -> None:
    """End the re-issues whose lines end one by one, so that none waits for them."""
    why = {each.line: each for each in endings}
    for row in book.records("sheets/reissues_of_lines", ids=list(why)):
        ending = why[row["line"]]
        ended = {
            "reissue_batch": row["reissue_batch"],
            "reissue_row": row["reissue_row"],
            "ended": "refused" if ending.rejected else "released",
            "reason": ending.why,
        }
        batch.append("reissue_end", {name: [value] for name, value in ended.items()})


def correct_line(
    book: Book, batch: Batch, line: str, changes: Sequence[str], reason: str
) -> LinesEnded:
    """Book a held line with fields changed (field=value).

    Raises: Refused when a field is not one of a sheet line, or the line cannot be read even so.
    """
    ending = Ending(line, reason_of(reason), changes=fields_changed(changes))
    refuse_all(_waiting_for_reissues(book, ids_of([line], "line")))
    return _end_named(book, batch, [line], [ending])


def fields_changed(changes: Sequence[str]) -> dict[str, str | None]:
    """Return the values of fields given as field=value. Raises: Refused, naming unknown fields."""
    fields = dict(pair_of(each) for each in changes)
    known = tuple(CORRECTED)
    unknown = [name for name in fields if name not in CORRECTED]
    refuse_all([Refused("field_unknown", field=name, fields=known) for name in unknown])
    return fields


def _waiting_for_reissues(book: Book, lines: Sequence[str]) -> list[Refused]:
    return [
        fault
        for row in lines_named(book, lines).values()
        if (fault := _waits_for_reissue(row)) is not None
    ]


def pair_of(text: str) -> tuple[str, str | None]:
    """Return the field and the value of field=value; a blank value is None."""
    name, _, value = text.partition("=")
    return name.strip().lower(), value.strip() or None


def _end_named(
    book: Book, batch: Batch, ids: Sequence[str], endings: Sequence[Ending]
) -> LinesEnded:
    standing = lines_named(book, ids)
    refuse_all([fault for each in ids if (fault := _not_held(each, standing.get(each)))])
    _end_reissues(book, batch, endings)
    unread = end_lines(book, batch, list({each.line: each for each in endings}.values()))
    refuse_all([_unread(standing[line], message) for line, message in unread.items()])
    return lines_ended(book, [each.line for each in endings])


def lines_named(book: Book, ids: Sequence[str]) -> dict[str, dict[str, Any]]:
    """Return sheet lines by their ids, each with file, line and how it stands."""
    return {row["id"]: row for row in book.records("sheets/held_named", ids=list(ids))}


def _unread(line: Mapping[str, Any], message: str) -> Refused:
    """Return the refusal of a line that cannot be booked as it reads."""
    return Refused(
        "line_unread", file=line["file"], number=line["line"], line=line["id"], message=message
    )


def _not_held(line: str, row: Mapping[str, Any] | None) -> Refused | None:
    """Return why a line cannot be ended as a held line; None when it can."""
    if row is None:
        return Refused("line_unknown", line=line, remedy=Remedy("held"))
    if row["outcome"] == "held":
        return None
    file, number, traced = row["file"], row["line"], Remedy("trace_line", line=line)
    return Refused("line_not_held", file=file, number=number, line=line, remedy=traced)


def is_of_reissue(row: Mapping[str, Any]) -> bool:
    """Return whether a line cannot be corrected as it is part of an open re-issue."""
    return bool(row["reason"] == "re_issue" and row["outcome"] == "held")


def _waits_for_reissue(row: Mapping[str, Any]) -> Refused | None:
    if not is_of_reissue(row):
        return None
    file, number, line = row["file"], row["line"], row["id"]
    ended = Remedy("end_reissue")
    return Refused("line_in_reissue", file=file, number=number, line=line, remedy=ended)


def end_lines(book: Book, batch: Batch, endings: Sequence[Ending]) -> dict[str, str]:
    """End held lines; return the messages, by line, of those that cannot be read even so.

    When it returns any, the batch is to be given up.
    """
    rejected = [each for each in endings if each.rejected]
    booked = [each for each in endings if not each.rejected]
    if booked:
        unread = _book(book, batch, booked)
        if unread:
            return unread
    whys = [each.why for each in rejected]
    ids = [each.line for each in rejected]
    batch.append_query("line_outcome", "sheets/lines_refused", ids=ids, whys=whys)
    return {}


def _book(book: Book, batch: Batch, endings: Sequence[Ending]) -> dict[str, str]:
    ids = [each.line for each in endings]
    read_to_compare(book)
    _stage_corrected(book, batch, endings)
    kept = {each.line for each in endings if not each.changes}
    unread = {
        row["id"]: row["message"]
        for row in book.records("sheets/corrections_unread")
        # A person may release a line that is only too long for a day.
        if not (row["reason"] == "over_24_hours" and row["id"] in kept)
    }
    if unread:
        return unread
    compare_corrected(book)
    inputs = {"ids": ids, "whys": [each.why for each in endings], "batch": batch.sequence}
    last = batch.last_row("entry")
    judge_lines(book, "sheets/corrections_judged", last_entry_row=last, **inputs)
    release_judged(batch)
    return {}


def _stage_corrected(book: Book, batch: Batch, endings: Sequence[Ending]) -> None:
    """Stage the lines as they read with the corrections in place, and record these."""
    stage_written(book, "sheets/held_named", ids=[each.line for each in endings])
    changes = list(_changes(endings))
    if changes:
        ids, fields, values = (list(column) for column in zip(*changes, strict=True))
        stage_so_far(book)
        inputs = {"ids": ids, "fields": fields, "values": values}
        keep_corrections(batch, "sheets/corrections_typed", **inputs)
    read_corrected(book)


def _changes(endings: Sequence[Ending]) -> Iterable[tuple[str, str, str | None]]:
    for each in endings:
        for name, value in each.changes.items():
            yield each.line, name, value


def lines_ended(book: Book, ids: Sequence[str]) -> LinesEnded:
    """Return how many lines ended in which way."""
    counts = Counter(row["reason"] for row in lines_named(book, ids).values())
    return LinesEnded(
        counts["released"],
        counts["corrected"],
        counts["matched"],
        # An ended line is stored as refused.
        counts["refused"],
        counts["re_issue"],
    )
