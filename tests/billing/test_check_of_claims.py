"""`check` finds claims that no command would record."""

from collections.abc import Callable
from typing import Any

import pytest

from ledger.store.batches import Batch, Writing, batch
from ledger.store.book import open_book
from ledger.store.locking import Holder
from tests.billing._job import JOB, ClaimedJob
from tests.billing.test_claimed_hours import HOUR, daywork_claimed
from tests.conftest import Yard, book_made_by, slow_beyond

# The first claim of the job took up all 8 h of this entry, in its only line.
FIRST = "CLAIM-C-001"


@pytest.fixture
def job(yard: Yard) -> ClaimedJob:
    """A job whose daywork of two entries is claimed."""
    yard.book.write_bytes(book_made_by(daywork_claimed))
    return ClaimedJob(yard)


def append(to: Batch, table: str, **row: object) -> None:
    to.append(table, {name: [value] for name, value in row.items()})


def issue(to: Batch, document: str, day: str) -> None:
    """Append a second claim, without lines."""
    about = {"kind": "claim", "job": JOB, "day_to": day, "issued_on": day}
    named = {"series": FIRST[:-3], "number": 2, "document": document}
    append(to, "document", **about, **named, known_at=to.sequence - 1)


def line(to: Batch, document: str, position: int = 1, amount: int = 5) -> None:
    """Append a line of 9, of which 4 were certified before."""
    what = {"claim_kind": "daywork", "item": "D1", "change": "D1"}
    sums = {"to_date": 9, "before": 4, "amount": amount}
    append(to, "document_line", document=document, position=position, **what, **sums)


def take(to: Batch, document: str, entry: tuple[int, int], ms: int, position: int | None) -> None:
    """Append time that a claim takes up of an entry."""
    of = {"entry_batch": entry[0], "entry_row": entry[1], "job": JOB, "booked_to": "D1"}
    append(to, "claim_posting", **of, document=document, position=position, ms=ms)


def claimed_twice(to: Batch, entry: tuple[int, int]) -> None:
    issue(to, "CLAIM-C-002", "2026-03-20")
    line(to, "CLAIM-C-002")
    take(to, "CLAIM-C-002", entry, 1, 1)


def given_back_twice(to: Batch, entry: tuple[int, int]) -> None:
    issue(to, "CLAIM-C-002", "2026-03-20")
    line(to, "CLAIM-C-002")
    take(to, "CLAIM-C-002", entry, -8 * HOUR - 1, None)


def added_to_an_issued_claim(to: Batch, _: tuple[int, int]) -> None:
    line(to, FIRST, 2)


def not_adding_up(to: Batch, _: tuple[int, int]) -> None:
    issue(to, "CLAIM-C-002", "2026-03-20")
    line(to, "CLAIM-C-002", amount=6)


def with_a_gap(to: Batch, _: tuple[int, int]) -> None:
    issue(to, "CLAIM-C-002", "2026-03-20")
    line(to, "CLAIM-C-002", 2)


def given_back_by_no_claim(to: Batch, entry: tuple[int, int]) -> None:
    take(to, FIRST, entry, -1, None)


def given_back_by_a_line(to: Batch, entry: tuple[int, int]) -> None:
    issue(to, "CLAIM-C-002", "2026-03-20")
    line(to, "CLAIM-C-002")
    take(to, "CLAIM-C-002", entry, -1, 1)


def taken_by_no_line(to: Batch, entry: tuple[int, int]) -> None:
    issue(to, "CLAIM-C-002", "2026-03-20")
    line(to, "CLAIM-C-002")
    take(to, "CLAIM-C-002", entry, -2, None)
    take(to, "CLAIM-C-002", entry, 1, 2)


def certified_without_a_claim(to: Batch, _: tuple[int, int]) -> None:
    append(to, "certified", job=JOB, claim=2, day="2026-03-20", item="D1", amount=1)


def certified_of_another_item(to: Batch, _: tuple[int, int]) -> None:
    append(to, "certified", job=JOB, claim=1, day="2026-03-20", item="base", amount=1)


BEYOND = (
    "claim_posting: entry {entry}: CLAIM-C-002 claims more of it than is booked, or less than none"
)
ASTRAY = "{table}: batch {now} row {row} does not fit its claim"
BROKEN = [
    (claimed_twice, BEYOND, "", 1),
    (taken_by_no_line, ASTRAY, "claim_posting", 2),
    (added_to_an_issued_claim, ASTRAY, "document_line", 1),
    (certified_without_a_claim, ASTRAY, "certified", 1),
    (given_back_twice, BEYOND, "", 1),
    (given_back_by_no_claim, ASTRAY, "claim_posting", 1),
    (given_back_by_a_line, ASTRAY, "claim_posting", 1),
    (not_adding_up, ASTRAY, "document_line", 1),
    (with_a_gap, ASTRAY, "document_line", 1),
    (certified_of_another_item, ASTRAY, "certified", 1),
]


@pytest.mark.parametrize(("breaking", "message", "table", "row"), slow_beyond(2, BROKEN))
def test_a_claim_that_does_not_fit_is_found(
    job: ClaimedJob, breaking: Callable[..., Any], message: str, table: str, row: int
) -> None:
    """Sealed as any other batch, and yet no command would have written it: check names it."""
    first = job.shown("claim_posting")[0]
    entry = int(first["entry_batch"]), int(first["entry_row"])
    with (
        open_book(job.yard.book, writer=Holder("Tester", "test")) as book,
        batch(book, Writing("Tester", "test")) as to,
    ):
        breaking(to, entry)
        now = to.sequence
    outcome = job.yard.run("check", ok=False)
    named = f"{entry[0]}.{entry[1]}"

    assert first["ms"] == str(8 * HOUR)
    assert outcome.stderr == message.format(entry=named, table=table, now=now, row=row) + "\n"
