"""How long the series of a long job takes, against one bare group-by of its entries.

Run by hand, from the checkout: python tests/bench/series_time.py [MILLIONS] [ROUNDS]
A job of 500 packages and 200 weeks. Bare is one statement, time by package and week, fetched to a
Polars frame; ours are all figures of every week as the frame of the Python interface, by job and by
package. They run in turn in one process on an open book; medians of processor time are compared.
The aim: under 3 times.
"""

import statistics
import sys
import tempfile
import time
from collections.abc import Callable
from datetime import date
from pathlib import Path

import duckdb
import polars

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from ledger.frames.series_frame import series_frame
from ledger.performance.series import SeriesAsked, series
from ledger.store.book import Book, open_book
from tests.bench.sheets_time import JOB, PROGRAM, run

WEEKS, PACKAGES, SPAN = 200, 500, 20
LINES_A_DAY = 4
LAST_DAY = date(2025, 11, 2)
# A package runs for 20 weeks; they begin one after the other, evenly over the job.
BEGINS = f"(i * {WEEKS - SPAN} // {PACKAGES})"
MONDAY = "DATE '2022-01-03'"
ESTIMATE = f"""
SELECT
    'P' || i AS work_package,
    'Part ' || i AS title,
    'A' || (i // 50) AS control_account,
    trade,
    '4000' AS budget_hours,
    {MONDAY} + 7 * {BEGINS}::INTEGER AS planned_start,
    {MONDAY} + 7 * {BEGINS}::INTEGER + {7 * SPAN - 3} AS planned_finish,
    'percent_complete' AS technique
FROM range({PACKAGES}) AS r (i), (VALUES ('fitter'), ('welder')) AS t (trade)
"""
PROGRESS = f"""
SELECT
    'P' || i AS work_package,
    {MONDAY} + 7 * ({BEGINS} + k)::INTEGER + 4 AS date,
    (k + 1) * 100 // {SPAN} AS percent
FROM range({PACKAGES}) AS r (i), range({SPAN}) AS s (k)
"""
SHEETS = f"""
SELECT
    'S' || w || '-' || (d // 5) AS sheet,
    'W' || w AS worker_id,
    {MONDAY} + (7 * (d // 5) + d % 5)::INTEGER AS date,
    (1.5 + (hash(d, w, l) % 5) * 0.25)::VARCHAR AS hours,
    'P' || greatest(0, least({PACKAGES - 1},
        (d // 5) * {PACKAGES} // {WEEKS - SPAN} - (hash(w, d // 20, l) % 50)::INTEGER
    )) AS booking_code
FROM range({WEEKS * 5}) AS r (d), range($workers) AS s (w), range({LINES_A_DAY}) AS t (l)
"""
BARE = """
SELECT booked_to, time_bucket(INTERVAL 7 DAY, day) AS week, sum(ms) AS ms
FROM known_posting($upto)
WHERE job = 'BARGE'
GROUP BY booked_to, week
ORDER BY booked_to, week
"""


def make_book(folder: Path, workers: int) -> Path:
    """Make the book of the job with its sheets."""
    crew = (
        "SELECT 'W' || i AS worker_id, 'Hand ' || i AS name,"
        " CASE WHEN i % 2 = 0 THEN 'fitter' ELSE 'welder' END AS trade, 'skilled' AS grade"
        f" FROM range({workers}) AS r (i)"
    )
    rates = (
        "SELECT trade, '2021-01-01' AS effective_from, '30' AS cost_per_hour"
        " FROM (VALUES ('fitter'), ('welder')) AS t (trade)"
    )
    with duckdb.connect() as maker:
        for name, rows in (
            ("crew", crew),
            ("rates", rates),
            ("estimate", ESTIMATE),
            ("progress", PROGRESS),
            ("sheets", SHEETS.replace("$workers", str(workers))),
        ):
            maker.execute(f"COPY ({rows}) TO '{folder / name}.csv' (HEADER)")
    dates = {"2026-01-02": "2021-12-31", "2026-01-05": "2022-01-03", "2026-12-18": "2025-11-21"}
    terms = JOB
    for before, after in dates.items():
        terms = terms.replace(before, after)
    (folder / "job.toml").write_text(terms, encoding="utf-8")
    book = folder / "book.duckdb"
    of_job = ("--job", "BARGE")
    for words in (
        ("new",),
        ("load", "job", folder / "job.toml"),
        ("load", "crew", folder / "crew.csv"),
        ("load", "rates", folder / "rates.csv"),
        ("load", "estimate", *of_job, folder / "estimate.csv"),
        ("freeze", *of_job, "--on", "2022-01-01"),
        ("load", "progress", *of_job, folder / "progress.csv"),
        ("load", "sheets", folder / "sheets.csv"),
    ):
        run(PROGRAM, "--book", book, "--actor", "Bench", *words)
    return book


def bare(book: Book) -> None:
    polars.DataFrame(book.connection.sql(BARE, params={"upto": book.upto}))


def ours(by: str) -> Callable[[Book], None]:
    asked = SeriesAsked("BARGE", LAST_DAY, by=by)
    return lambda book: print(len(series_frame(series(book, asked))), "rows")


def seconds(path: Path, work: Callable[[Book], None]) -> float:
    """Return the processor time of some work on the book, opened anew for it."""
    with open_book(path) as book:
        start = time.process_time()
        work(book)
        return time.process_time() - start


def main(millions: float = 2, rounds: float = 3) -> None:
    """Print the medians, each as a multiple of the bare one."""
    works = {"bare": bare, "by job": ours("job"), "by package": ours("work-package")}
    with tempfile.TemporaryDirectory() as name:
        workers = int(millions * 1_000_000) // (WEEKS * 5 * LINES_A_DAY)
        path = make_book(Path(name), workers)
        taken = [
            {what: seconds(path, work) for what, work in works.items()} for _ in range(int(rounds))
        ]
    print(f"{workers * WEEKS * 5 * LINES_A_DAY} lines, {int(rounds)} rounds")
    medians = {what: statistics.median(each[what] for each in taken) for what in works}
    for what, took in medians.items():
        print(f"{what:>12}: {took:6.2f} s of the processors ({took / medians['bare']:5.2f} x)")


if __name__ == "__main__":
    main(*map(float, sys.argv[1:]))
