"""`check` finds corrections, reversals and re-issues that no command would record."""

from collections.abc import Callable
from typing import Any

import pytest

from ledger.store.batches import Batch, Writing, batch
from ledger.store.book import open_book
from ledger.store.locking import Holder
from tests._stage import load_sheets, table
from tests.conftest import Yard, slow_beyond

HEAD = "sheet,worker_id,date,hours,booking_code\n"
LINES = HEAD + "S1,A1,2026-03-02,8,FRAME\nS1,A1,2026-03-03,6,DECK\nS1,A1,2026-03-04,x,DECK\n"


def append(to: Batch, table_name: str, **row: object) -> None:
    to.append(table_name, {name: [value] for name, value in row.items()})


def entered(
    to: Batch, entry: dict[str, str], ms: int, place: str, *, reverses: bool, scope: str = "entry"
) -> None:
    """Append an entry of the line of another, with its posting, and a reason if it reverses it."""
    same = {"worker_id": entry["worker_id"], "day": entry["day"]}
    lines = {name: int(entry[name]) for name in ("line_batch", "line_row")}
    target = {f"reverses_{name}": int(entry[name]) for name in ("batch", "row")} if reverses else {}
    append(to, "entry", **same, **lines, **target, ms=ms)
    me = {"entry_batch": to.sequence, "entry_row": to.last_row("entry")}
    append(to, "posting", **me, **same, job="STAGE", booked_to=place, ms=ms)
    if reverses:
        append(to, "reversal", **me, scope=scope, reason="seen on the paper")


def reversed_twice(to: Batch, entry: dict[str, str]) -> None:
    for _ in range(2):
        entered(to, entry, -int(entry["ms"]), "FRAME", reverses=True)


def reversed_in_part(to: Batch, entry: dict[str, str]) -> None:
    entered(to, entry, 1 - int(entry["ms"]), "FRAME", reverses=True)


def reversed_elsewhere(to: Batch, entry: dict[str, str]) -> None:
    entered(to, entry, -int(entry["ms"]), "DECK", reverses=True)


def without_a_reason(to: Batch, entry: dict[str, str]) -> None:
    entered(to, entry, -int(entry["ms"]), "FRAME", reverses=True)
    to.counts.pop("reversal")
    to.book.execute("DROP TRIGGER reversal_refuses_delete ON reversal")
    to.book.execute("DELETE FROM reversal")
    to.book.execute(
        "CREATE TRIGGER reversal_refuses_delete AFTER DELETE ON reversal FOR EACH STATEMENT INSERT"
        " INTO refusal SELECT error('reversal: facts are only added; reverse it and add a new one')"
    )


def booked_twice(to: Batch, entry: dict[str, str]) -> None:
    entered(to, entry, int(entry["ms"]), "FRAME", reverses=False)


def of_no_scope(to: Batch, entry: dict[str, str]) -> None:
    entered(to, entry, -int(entry["ms"]), "FRAME", reverses=True, scope="")


def corrected_away(to: Batch, entry: dict[str, str]) -> None:
    entered(to, entry, -int(entry["ms"]), "FRAME", reverses=True, scope="correction")


def booked_anew_uncorrected(to: Batch, entry: dict[str, str]) -> None:
    entered(to, entry, -int(entry["ms"]), "FRAME", reverses=True)
    entered(to, entry, int(entry["ms"]), "FRAME", reverses=False)


def undone_with_its_file(to: Batch, entry: dict[str, str]) -> None:
    ms = int(entry["ms"])
    entered(to, entry, -ms, "FRAME", reverses=True, scope="file")
    reversal = {**entry, "batch": str(to.sequence), "row": "1"}
    entered(to, reversal, ms, "FRAME", reverses=True, scope="undo")


def refused_and_booked(to: Batch, entry: dict[str, str]) -> None:
    line = {name: int(entry[name]) for name in ("line_batch", "line_row")}
    append(to, "line_outcome", **line, outcome="refused", reason="refused", message="no")


def ended_without_entry(to: Batch, entry: dict[str, str]) -> None:
    append(to, "line_outcome", line_batch=int(entry["line_batch"]), line_row=3, outcome="booked")


def correction_alone(to: Batch, entry: dict[str, str]) -> None:
    line = {"line_batch": int(entry["line_batch"]), "line_row": 3}
    append(to, "line_correction", **line, field="hours", was="x", now="8")


def end_of_no_reissue(to: Batch, entry: dict[str, str]) -> None:
    append(to, "reissue_end", reissue_batch=1, reissue_row=1, ended="refused", reason="no")


def held_for_no_reissue(to: Batch, entry: dict[str, str]) -> None:
    line = {"line_batch": int(entry["line_batch"]), "line_row": 3}
    append(to, "line_outcome", **line, outcome="held", reason="re_issue", message="no")


BROKEN = [
    (reversed_twice, "entry: batch {now} row 1 is not a valid reversal"),
    (reversed_in_part, "entry: batch {now} row 1 is not a valid reversal"),
    (without_a_reason, "entry: batch {now} row 1 is not a valid reversal"),
    (of_no_scope, "entry: batch {now} row 1 is not a valid reversal"),
    (undone_with_its_file, "entry: batch {now} row 2 is not a valid reversal"),
    (corrected_away, "entry: sheet line {line} is not corrected and booked together"),
    (booked_anew_uncorrected, "entry: sheet line {line} is not corrected and booked together"),
    (reversed_elsewhere, "posting: reversal {now}.1 does not cancel what it reverses"),
    (booked_twice, "entry: sheet line {line} is booked twice, or not to be booked"),
    (refused_and_booked, "entry: sheet line {line} is booked twice, or not to be booked"),
    (ended_without_entry, "line_outcome: sheet line {third} is neither held, ended nor booked"),
    (correction_alone, "line_correction: batch {now} corrects line {third} without ending it"),
    (end_of_no_reissue, "reissue_end: 1.1 ends a re-issue twice or none"),
    (held_for_no_reissue, "reissue_end: {third} ends a re-issue twice or none"),
]


@pytest.mark.parametrize(("breaking", "message"), slow_beyond(5, BROKEN))
def test_what_does_not_fit_together_is_found(
    stage: Yard, breaking: Callable[..., Any], message: str
) -> None:
    """Sealed as any other batch, and yet no command would have written it: check names it."""
    load_sheets(stage, LINES)
    entry = next(row for row in table(stage, "entry") if row["ms"] == "28800000")
    with (
        open_book(stage.book, writer=Holder("Tester", "test")) as book,
        batch(book, Writing("Tester", "test")) as to,
    ):
        breaking(to, entry)
        now = to.sequence
    outcome = stage.run("check", ok=False)
    first = entry["line_batch"]
    expected = message.format(now=now, line=f"{first}.{entry['line_row']}", third=f"{first}.3")

    assert outcome.stderr == f"{expected}\n"
