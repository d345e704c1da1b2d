"""How doubts are shown: for people one row of a kind and file, for machines each of them."""

import re

import pytest

from tests._stage import JOB
from tests.conftest import Yard
from tests.sheets.test_doubts import doubts, sheets


def test_the_table_and_csv_show_where_to_look(stage: Yard) -> None:
    """Entries, file and line are there, and the caution is said aside."""
    sheets(stage, "hours=17")
    row = stage.rows(stage.run("doubts", "--format", "csv").stdout)[0]
    shown = stage.run("doubts")

    assert (row["worker_id"], row["day"], row["jobs"]) == ("A1", "2026-03-02", JOB)
    assert (row["file"], row["line"]) == ("week.csv", "2")
    assert row["entries"] in shown.stdout
    assert shown.stderr == (
        "`fairhours doubts --each`, or --kind KIND, shows each with its id\n"
        "1 doubt, 1 to look at first\n"
        "doubts are queries to look into, not findings; "
        "local law, the contract and agreements come first\n"
    )


@pytest.mark.slow
def test_doubts_of_one_kind_and_file_are_one_row_on_the_terminal(stage: Yard) -> None:
    """A row has their number, hours, entries and a message; csv and --each have every doubt."""
    days = [f"date=2026-03-0{day} hours=17" for day in (2, 3, 4, 5)]
    sheets(stage, *days, "date=2026-03-06 hours=0")
    rows = [re.split(" {2,}", row) for row in stage.run("doubts").stdout.splitlines()]
    lines = {
        words: len(stage.run("doubts", *words).stdout.splitlines()) - 1
        for words in ((), ("--each",), ("--kind", "daily_limit"), ("--format", "csv"))
    }
    batch = doubts(stage)[0]["entries"][0].partition(".")[0]

    # 4 days of 17 h, of four entries; one of 0 h.
    assert rows == [
        ["severity", "kind", "file", "doubts", "hours", "entries", "message"],
        [
            "warn",
            "daily_limit",
            "week.csv",
            "4",
            "68.00",
            f"{batch}.1 {batch}.2 {batch}.3 and 1 more",
            "the first: worker A1 has 17.00 h on 2026-03-02 in 1 entry; "
            "the yard's limit is 16.00 h",
        ],
        ["note", "no_time", "week.csv", "1", "0.00", f"{batch}.5", rows[2][-1]],
    ]
    assert list(lines.values()) == [2, 5, 4, 5]
