"""Doubts are sought in sums first: entries are looked at only on days that may raise one."""

import pytest

from ledger.domain.doubts import KINDS
from ledger.store.book import Book
from tests._stage import JOB
from tests.conftest import Yard
from tests.sheets._doubts import doubts, sheets

# 7 March 2026 is a Saturday, a day off of the job.
SATURDAY = "date=2026-03-07"


def staged_by(monkeypatch: pytest.MonkeyPatch, stage: Yard, *lines: str) -> list[str]:
    """Load lines and return the queries that were staged meanwhile."""
    asked: list[str] = []
    stage_as = Book.stage

    def noted(book: Book, name: str, query: str, **inputs: object) -> int:
        asked.append(query)
        return stage_as(book, name, query, **inputs)

    with monkeypatch.context() as patched:
        patched.setattr(Book, "stage", noted)
        sheets(stage, *lines)
    return asked


def off(*kinds: str) -> str:
    """Return settings with these kinds of doubts off."""
    return "[doubts]\n" + "".join(f'{kind} = "off"\n' for kind in kinds)


def test_lines_that_can_raise_no_doubt_are_not_looked_at(
    stage: Yard, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Where the sums of all days are in order, no entry is read for doubts."""
    plain = staged_by(monkeypatch, stage, "hours=8")
    long = staged_by(monkeypatch, stage, "hours=16.25 sheet=S2 date=2026-03-03")

    assert "sheets/doubt_entries" not in plain
    assert "sheets/doubt_entries" in long


def test_kinds_that_are_off_are_not_worked_out(
    stage: Yard, monkeypatch: pytest.MonkeyPatch
) -> None:
    """What only they look at is not read; with all of them off nothing is read for doubts."""
    stage.run("load", "settings", stage.write("own.toml", off("before_opening", "day_off")))
    some = staged_by(monkeypatch, stage, "hours=8")
    stage.run(
        "load", "settings", stage.write("own.toml", off("before_opening", "trade_not_planned"))
    )
    both = staged_by(monkeypatch, stage, "hours=8 sheet=S2")
    stage.run("load", "settings", stage.write("own.toml", off(*KINDS)))
    none = staged_by(monkeypatch, stage, "hours=17 sheet=S3")

    assert "sheets/doubt_job_days" not in some
    assert {"sheets/doubt_planned", "sheets/doubt_days"} <= {*some}
    assert {"sheets/doubt_planned"} & {*both} == set()
    assert [query for query in none if "doubt" in query] == []


def test_a_load_counts_a_day_off_once_and_the_list_has_all_its_entries(stage: Yard) -> None:
    """One entry stands for a day where days are counted; the doubt itself names all of them."""
    said = sheets(stage, f"{SATURDAY} hours=1", f"{SATURDAY} hours=2", f"{SATURDAY} hours=3")
    listed = doubts(stage, "--kind", "day_off")

    assert "doubts: 1 day_off;" in said
    assert [len(each["entries"]) for each in listed] == [3]


@pytest.mark.slow
def test_a_day_off_that_was_settled_is_not_told_of_a_load_that_leaves_it(stage: Yard) -> None:
    """A settled day off stays settled while no entry of it is new, and is told when one is."""
    sheets(stage, f"{SATURDAY} hours=1")
    found = doubts(stage, "--kind", "day_off")[0]["doubt"]
    stage.run("settle", "doubt", str(found), "--reason", "agreed")
    other = sheets(stage, "hours=2", name="other.csv")
    more = sheets(stage, f"{SATURDAY} hours=2 sheet=S9", name="more.csv")

    assert "day_off" not in other
    assert "doubts: 1 day_off;" in more


def test_hours_moved_off_a_job_raise_no_day_off_of_it(stage: Yard) -> None:
    """An entry that a reversal took back stands for no day of the place it was posted to."""
    sheets(stage, f"{SATURDAY} hours=1")
    stage.run("reverse", "file", "week.csv", "--reason", "wrong file")

    assert doubts(stage, "--job", JOB, "--kind", "day_off") == []


def test_a_file_is_far_from_itself_though_another_fills_the_gap(stage: Yard) -> None:
    """Days of one file over 60 apart are doubted where a second file of the load has days between.

    A file without such a gap is not looked at, however long it runs.
    """
    head = "sheet,worker_id,date,hours,booking_code\n"
    days = ["2026-03-03", "2026-04-20", "2026-06-08"]
    first = [f"A,A1,{day},8,DECK\n" for day in (days[0], days[2])]
    apart = stage.write("apart.csv", head + "".join(first))
    between = stage.write("between.csv", f"{head}B,A1,{days[1]},8,DECK\n")
    long = stage.write("long.csv", head + "".join(f"C,B2,{day},8,DECK\n" for day in days))

    both = stage.run("load", "sheets", apart, between).stderr
    one = stage.run("load", "sheets", long).stderr

    assert "1 far_date" in both
    assert "far_date" not in one
    assert {each["file"] for each in doubts(stage, "--kind", "far_date")} == {"apart.csv"}
