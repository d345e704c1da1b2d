"""What a text of a sheet means is said once: the book's rules and the domain's agree."""

from collections.abc import Callable, Iterator
from typing import Any

import duckdb
import pytest

from ledger.domain.parsing import parse_date, parse_hours, parse_time_of_day
from ledger.sheets.staging import scratch_book
from ledger.store.definitions import SCALARS
from ledger.store.queries import text
from ledger.tables.layouts import FIELDS
from tests._stage import JOB
from tests.conftest import Yard
from tests.sheets._doubts import sheets

DURATIONS = [
    "7.5",
    "0",
    "07.50000",
    "7.123456",
    "7,5",
    "7:30",
    "7:30:15",
    "7:60",
    "1:2",
    "٣",
    "1e3",
    "",
]
DATES = [
    "2026-02-28",
    "2026-02-30",
    "2026-2-28",
    "2026-02-28 00:00:00",
    "2026-02-28T01:00",
    "26-02-28",
]
TIMES = ["7:30", "07:30", "23:59", "24:00", "24:30", "7:5", "25:00", "7.30", "-1:00"]


@pytest.fixture(scope="module")
def rules() -> Iterator[duckdb.DuckDBPyConnection]:
    """The rules of texts in a database of their own."""
    with duckdb.connect() as connection:
        for name in SCALARS:
            connection.execute(text(f"macros/{name}"))
        yield connection


def by_book(rules: duckdb.DuckDBPyConnection, rule: str, given: str) -> Any:
    found = rules.execute(f"SELECT {rule}($given)", {"given": given}).fetchone()
    return found and found[0]


def by_domain(parse: Callable[[str], object], given: str) -> object:
    try:
        return parse(given)
    except ValueError:
        return None


@pytest.mark.parametrize("given", DURATIONS)
def test_a_duration_is_the_same_in_the_book_and_in_the_domain(
    rules: duckdb.DuckDBPyConnection, given: str
) -> None:
    """Decimal hours of up to five places, h:mm and h:mm:ss, in ASCII digits."""
    assert by_book(rules, "duration_ms", given) == by_domain(parse_hours, given)


@pytest.mark.parametrize("given", DATES)
def test_a_date_is_the_same_in_the_book_and_in_the_domain(
    rules: duckdb.DuckDBPyConnection, given: str
) -> None:
    """An ISO 8601 date of the calendar, or its midnight."""
    assert by_book(rules, "day_of", given) == by_domain(parse_date, given)


@pytest.mark.parametrize("given", TIMES)
def test_a_time_of_day_is_the_same_in_the_book_and_in_the_domain(
    rules: duckdb.DuckDBPyConnection, given: str
) -> None:
    """h:mm from midnight to 24:00, which ends a day."""
    minute = by_book(rules, "minute_of_day", given)
    shown = None if minute is None else f"{minute // 60:02}:{minute % 60:02}"

    assert shown == by_domain(parse_time_of_day, given)


def test_white_space_of_any_kind_is_none(rules: duckdb.DuckDBPyConnection) -> None:
    """A text loses what Unicode calls white space at both ends; null when nothing is left."""
    assert by_book(rules, "bare", "\u2003\u00a0\t7.5 \u3000") == "7.5"
    assert by_book(rules, "bare", "\u2003 \u00a0") is None
    assert by_book(rules, "bare", "\u00e4 b\u00df") == "\u00e4 b\u00df"


def test_no_time_of_day_is_after_midnight(stage: Yard) -> None:
    """24:00 ends a day; 24:30 is held."""
    sheets(stage, "start=20:00 finish=24:00", "sheet=S2 start=20:00 finish=24:30")
    held = stage.json("held")

    assert [each["message"] for each in held] == [
        'finish "24:30" is not a valid time of day; write it as 16:00'
    ]


def test_a_held_line_is_read_again_without_white_space_of_any_kind(stage: Yard) -> None:
    """A worker with a wide blank beside the name is found in the crew, when loaded and later."""
    text = "worker_id,date,hours,booking_code\n\u2003A1\u2003,2026-03-02,x,DECK\n"
    said = stage.run("load", "sheets", "--job", JOB, stage.write("wide.csv", text)).stderr
    line = stage.json("held")[0]["held_line"]
    stage.run("correct", "line", line, "hours=8", "--reason", "asked the foreman")

    assert "1 line held" in said
    assert stage.json("held") == []


# Texts that any cell may hold: of each kind, with blanks about them, not in NFC, in other digits.
CELLS = [
    *(None, "", " ", "\u00a0", " 7:30\u3000", "W1", " w1 ", "w\u00e9", "we\u0301", "X\u0301"),
    *DURATIONS,
    *DATES,
    *TIMES,
    *("30", " 45", "3x", "00030", "WELDER", "stra\u00dfe", "STRASSE", "\x85a", "a\x7f"),
]


def test_few_lines_are_understood_as_many_are() -> None:
    """Line by line and each text once: the same worker, day, times, codes and words."""
    cells = ", ".join(
        f"$cells[1 + (i * {7 + 2 * at} + i // {3 + at}) % len($cells)] AS {field}"
        for at, field in enumerate(("default_job", *FIELDS))
    )
    with scratch_book() as book:
        book.execute(
            "CREATE TEMP TABLE staged_crew_known AS SELECT unnest(['W1', 'W\u00c9']) AS worker_id"
        )
        book.execute(
            "CREATE TEMP TABLE staged_raw AS SELECT NULL::BIGINT AS line_batch,"
            " NULL::BIGINT AS line_row, i AS place, i AS line, false AS is_total,"
            " NULL::VARCHAR AS sum_key, NULL::VARCHAR AS date_wrong, NULL::VARCHAR AS hours_wrong,"
            f" {cells} FROM range(2000) AS t(i)",
            {"cells": CELLS},
        )
        once, singly = (book.rows(f"sheets/lines_understood{which}") for which in ("", "_singly"))

    assert len(once) == 2000
    assert any(row[8] for row in once)
    assert singly == once
