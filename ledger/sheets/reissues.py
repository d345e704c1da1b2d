"""Re-issued sheets: their difference shown, and each confirmed or rejected."""

from collections import Counter
from collections.abc import Mapping, Sequence
from typing import Any

from ledger.errors import Refused, Remedy
from ledger.sheets.held_lines import stage_held
from ledger.sheets.judged_lines import judge_lines, release_judged
from ledger.sheets.outcomes import Reissue, ReissueConfirmed, ReissueRejected
from ledger.sheets.reversals import ids_of, reason_of, refuse_all, reverse
from ledger.store.batches import Batch
from ledger.store.book import Book

Steps = Sequence[Mapping[str, Any]]
# How an ended re-issue is stored, and what is said of it.
_WORDS = {"confirmed": "confirmed", "refused": "rejected", "released": "released"}


def open_steps(book: Book) -> list[dict[str, Any]]:
    """Return, line by line, what confirming each open re-issue would do."""
    stage_held(book, "sheets/reissued_lines_waiting")
    return book.records("sheets/reissue_steps")


def confirm_reissues(
    book: Book, batch: Batch, ids: Sequence[str], reason: str
) -> list[ReissueConfirmed]:
    """Let open re-issues count: equal lines stay, others are reversed, new ones booked.

    Raises: Refused, naming every id that is no open re-issue, and those that are two of one sheet;
    then none is confirmed.
    """
    why, reissues = reason_of(reason), _named(book, ids)
    _refuse_two_of_a_sheet(reissues)
    every_step = open_steps(book)
    confirmed = []
    for reissue in reissues:
        text = f"re-issued in {reissue['file']}: {why}"
        steps = [row for row in every_step if row["reissue"] == reissue["reissue"]]
        refuse_all(_ended_otherwise(reissue, steps))
        _confirm(book, batch, steps, text)
        _end(batch, reissue, "confirmed", why)
        counts = Counter(str(row["step"]) for row in steps)
        beside = book.rows("sheets/reissues_beside", id=reissue["reissue"])
        waiting = tuple((other, file) for other, file in beside)
        confirmed.append(ReissueConfirmed(_reissue(reissue), counts, waiting))
    return confirmed


def reject_reissues(
    book: Book, batch: Batch, ids: Sequence[str], reason: str
) -> list[ReissueRejected]:
    """Leave sheets as they were; the lines that a re-issue brought anew end rejected.

    Raises: Refused, naming every id that is no open re-issue; then none is rejected.
    """
    why, reissues = reason_of(reason), _named(book, ids)
    rejected = []
    for reissue in reissues:
        lines = [row[0] for row in book.rows("sheets/reissue_lines_held", id=reissue["reissue"])]
        batch.append_query(
            "line_outcome", "sheets/lines_refused", ids=lines, whys=[why] * len(lines)
        )
        _end(batch, reissue, "refused", why)
        rejected.append(ReissueRejected(_reissue(reissue), len(lines)))
    return rejected


def _reissue(row: Mapping[str, Any]) -> Reissue:
    return Reissue(row["reissue"], row["sheet"], row["file"])


def _named(book: Book, texts: Sequence[str]) -> list[dict[str, Any]]:
    ids = ids_of(texts, "re-issue")
    rows = book.records("sheets/reissues_named", ids=ids)
    by_id = {row["reissue"]: row for row in rows}
    refuse_all([fault for each in ids if (fault := _not_open(each, by_id.get(each)))])
    return rows


def _not_open(reissue: str, row: Mapping[str, Any] | None) -> Refused | None:
    if row is None:
        return Refused("reissue_unknown", reissue=reissue, remedy=Remedy("reissues"))
    if not row["ended"]:
        return None
    return Refused(
        "reissue_ended",
        reissue=row["reissue"],
        sheet=row["sheet"],
        file=row["file"],
        ended=_WORDS[row["ended"]],
    )


def _ended_otherwise(reissue: Mapping[str, Any], steps: Steps) -> list[Refused]:
    """Return the refusals of lines that ended before and have no entry to keep or to book."""
    return [_line_ended(reissue, row) for row in steps if row["step"] in ("matched", "refused")]


def _line_ended(reissue: Mapping[str, Any], row: Mapping[str, Any]) -> Refused:
    named, sheet, file = reissue["reissue"], reissue["sheet"], reissue["file"]
    line = row["place"]
    if row["step"] == "matched":
        return Refused("reissue_line_matched", reissue=named, sheet=sheet, file=file, line=line)
    return Refused("reissue_line_rejected", reissue=named, sheet=sheet, file=file, line=line)


def _refuse_two_of_a_sheet(reissues: Sequence[Mapping[str, Any]]) -> None:
    of_sheet: dict[str, list[Mapping[str, Any]]] = {}
    for each in reissues:
        of_sheet.setdefault(each["sheet_folded"], []).append(each)
    alike = [more for more in of_sheet.values() if len(more) > 1]
    refuse_all(
        [
            Refused(
                "reissues_of_one_sheet",
                reissues=tuple(each["reissue"] for each in more),
                sheet=more[0]["sheet"],
            )
            for more in alike
        ]
    )


def _confirm(book: Book, batch: Batch, steps: Steps, why: str) -> None:
    standing = [row["entry"] for row in steps if row["step"] == "reverse"]
    fallen = [row["reversal"] for row in steps if row["step"] == "restore"]
    if standing or fallen:
        reverse(book, batch, [*standing, *fallen], why, "re_issue")
    lines = [row["line_id"] for row in steps if row["step"] == "book"]
    inputs = {"lines": lines, "why": why, "last_entry_row": batch.last_row("entry")}
    judge_lines(book, "sheets/reissue_booked", **inputs)
    release_judged(batch)
    ended = [row["line_id"] for row in steps if row["step"] == "end"]
    batch.append_query("line_outcome", "sheets/lines_refused", ids=ended, whys=[why] * len(ended))


def _end(batch: Batch, reissue: Mapping[str, Any], ended: str, reason: str) -> None:
    row = {
        "reissue_batch": reissue["reissue_batch"],
        "reissue_row": reissue["reissue_row"],
        "ended": ended,
        "reason": reason,
    }
    batch.append("reissue_end", {name: [value] for name, value in row.items()})
