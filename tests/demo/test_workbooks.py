"""Two weeks of the demo yard come as a workbook too, and are the same hours."""

from pathlib import Path

import openpyxl
import pytest

from tests.conftest import Yard, slow_beyond
from tests.demo import _replay, make_workbooks

WEEKS = ("sheets/week-2026-21.csv", "sheets/week-2026-22.csv")


def test_the_workbook_is_what_is_written() -> None:
    """The workbook kept holds the rows of the generator, cell by cell."""
    book = openpyxl.load_workbook(make_workbooks.PATH)
    actual = {
        sheet.title: [[shown(cell) for cell in row] for row in sheet.iter_rows(2, values_only=True)]
        for sheet in book
    }

    assert actual == {
        tab: [[shown(cell) for cell in row] for row in rows]
        for tab, rows in make_workbooks.tables().items()
    }


def shown(cell: object) -> str:
    return "" if cell is None else str(cell).removesuffix(" 00:00:00").removesuffix(".0")


@pytest.mark.slow
@pytest.mark.parametrize("first", slow_beyond(1, ["csv", "xlsx"]))
def test_the_same_hours_are_booked_once(yard: Yard, first: str) -> None:
    """Whichever of the two comes first, no line of the other is booked or held again."""
    weeks = [str(_replay.SAMPLE / name) for name in WEEKS]
    kinds = {"csv": weeks, "xlsx": [str(make_workbooks.PATH)]}
    yard.run("load", "settings", _replay.SAMPLE / "yard/settings.toml")
    for path in sorted((_replay.SAMPLE / "yard").glob("crew*.csv")):
        yard.run("load", "crew", path)
    loaded = yard.json("load", "sheets", *kinds.pop(first))["files"]
    again = yard.json("load", "sheets", *kinds.popitem()[1])["files"]

    assert totals(loaded, "booked", "held") == totals(again, "already_booked", "already_held")
    assert totals(again, "booked", "held") == (0, 0)
    assert totals(loaded, "booked")[0] > 500


def totals(files: list[dict[str, int]], *names: str) -> tuple[int, ...]:
    return tuple(sum(file[name] for file in files) for name in names)


def test_the_workbook_is_named_nowhere_in_the_schedule() -> None:
    """It is there to be tried; the demo loads the CSV files."""
    schedule = (_replay.SAMPLE / "schedule.csv").read_text(encoding="utf-8")

    assert Path(make_workbooks.PATH).name not in schedule
