"""How long it takes to load long sheets, against a bare DuckDB that only keeps their text.

Run by hand, from the checkout: python tests/bench/sheets_time.py [MILLIONS] [ROUNDS] [FOLDER]
Each load is a process of its own, from the command to the committed batch: every check, every line
posted or held, sealed and tagged. The bare run makes a table of text on disk from the same file;
one with a tenth more is told against the file before it. They run in turn, the bare ones before and
after the others, as a machine is not always as fast; medians are compared.
The aims, of the processors: 6.5 times the bare run, 0.3 for the same file again, 4 for one with a
tenth more, 8 where every note is another, 2.5 for `check`; 3 GiB, and 30 bytes a line.
"""

import os
import shutil
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from pathlib import Path
from typing import NamedTuple

import duckdb

ROOT = Path(__file__).resolve().parents[2]
PROGRAM = "from ledger.cli.main import main; main()"
BARE = """
import sys
import duckdb
with duckdb.connect(sys.argv[1]) as book:
    book.execute("CREATE TABLE line AS FROM read_csv($path, all_varchar = true, header = true)",
                 {"path": sys.argv[2]})
"""
# A worker has four lines a day on 250 days; one line in a thousand cannot be booked.
LINES = """
SELECT
    'S' || (i // 20) AS sheet,
    'W' || lpad((i // 1000)::VARCHAR, 6, '0') AS worker_id,
    CASE WHEN i % 2000 = 7 THEN '2026-02-30'
        ELSE strftime(DATE '2026-01-05' + ((i % 1000) // 4)::INTEGER, '%Y-%m-%d')
        END AS date,
    CASE WHEN i % 2000 = 8 THEN '2.0000001' ELSE (1 + i % 4 * 0.25)::VARCHAR END AS hours,
    CASE WHEN i % 50 = 0 THEN 'NOWHERE' ELSE 'P' || (hash(i) % 60)::VARCHAR END AS booking_code,
    'frames ' || (hash(i) % 997)::VARCHAR || $note AS note
FROM range($first, $last) AS r (i)
"""
JOB = """[job]
code = "BARGE"
title = "Work barge"
owner = "Lock authority"
contract_sum = "1.00"
contract_date = 2026-01-02
planned_start = 2026-01-05
planned_finish = 2026-12-18
"""
BOOKS = ("book", "other")


class Run(NamedTuple):
    """What a process took: seconds on the clock and of the processors, and memory at its peak."""

    wall: float
    cpu: float
    gibibytes: float


def run(*words: object) -> Run:
    """Run Python with these words in a process of its own; it must succeed."""
    start = time.perf_counter()
    process = subprocess.Popen(
        [sys.executable, "-c", *map(str, words)], cwd=ROOT, stdout=subprocess.DEVNULL
    )
    _, status, used = os.wait4(process.pid, 0)
    wall = time.perf_counter() - start
    assert status == 0, f"failed: {words[1:]}"
    return Run(wall, used.ru_utime + used.ru_stime, used.ru_maxrss / 2**20)


def make_files(folder: Path, lines: int) -> None:
    """Write the sheets, the same with a tenth more, and what the book needs before them."""
    to_csv = "COPY ({}) TO '{}' (HEADER)"
    with duckdb.connect() as maker:
        for name, last, note in (
            ("sheets.csv", lines, "''"),
            ("more.csv", lines + lines // 10, "''"),
            ("notes.csv", lines, "' of station ' || i"),
        ):
            chosen = LINES.replace("$last", str(last)).replace("$note", note)
            chosen = chosen.replace("$first", "0")
            maker.execute(to_csv.format(chosen, folder / name))
        crew = (
            "SELECT 'W' || lpad(i::VARCHAR, 6, '0') AS worker_id, 'Hand ' || i AS name,"
            " 'fitter' AS trade, 'skilled' AS grade, '2025-01-01' AS active_from"
            f" FROM range({lines * 11 // 10000 + 1}) AS r (i)"
        )
        maker.execute(to_csv.format(crew, folder / "crew.csv"))
        packages = (
            "SELECT 'P' || i AS work_package, 'Part ' || i AS title, 'HULL' AS control_account,"
            " 'fitter' AS trade, '100' AS budget_hours, '2026-01-05' AS planned_start,"
            " '2026-12-18' AS planned_finish, 'percent_complete' AS technique"
            " FROM range(60) AS r (i)"
        )
        maker.execute(to_csv.format(packages, folder / "estimate.csv"))
    (folder / "job.toml").write_text(JOB, encoding="utf-8")
    rates = "trade,grade,effective_from,cost_per_hour\nfitter,skilled,2025-01-01,30\n"
    (folder / "rates.csv").write_text(rates, encoding="utf-8")


def make_book(folder: Path) -> None:
    """Make a book with the crew and the job; no sheets yet."""
    book = ("--book", folder / "ready.duckdb", "--actor", "Bench")
    run(PROGRAM, *book, "new")
    for what in ("job", "crew", "rates"):
        ending = "toml" if what == "job" else "csv"
        run(PROGRAM, *book, "load", what, folder / f"{what}.{ending}")
    run(PROGRAM, *book, "load", "estimate", "--job", "BARGE", folder / "estimate.csv")


def bare_run(folder: Path, name: str) -> Run:
    """Run the bare load of a file into a new book."""
    book = folder / "bare.duckdb"
    book.unlink(missing_ok=True)
    return run(BARE, book, folder / name)


def measure(folder: Path) -> Iterator[tuple[str, Run]]:
    """Run the bare loads and ours: new, checked, the same again, a tenth more, other notes."""
    book, other = (folder / f"{name}.duckdb" for name in BOOKS)
    for path in (book, other):
        shutil.copyfile(folder / "ready.duckdb", path)
    words = (PROGRAM, "--book", book, "--actor", "Bench", "load", "sheets")
    yield "bare", bare_run(folder, "sheets.csv")
    yield "new", run(*words, folder / "sheets.csv")
    yield "check", run(PROGRAM, "--book", book, "check")
    yield "again", run(*words, folder / "sheets.csv")
    yield "a tenth more", run(*words, folder / "more.csv")
    yield "bare", bare_run(folder, "sheets.csv")
    yield "bare notes", bare_run(folder, "notes.csv")
    yield "other notes", run(PROGRAM, "--book", other, "load", "sheets", folder / "notes.csv")
    yield "bare notes", bare_run(folder, "notes.csv")


def main(millions: float = 1, rounds: float = 3, *, place: str | None = None) -> None:
    """Print the medians, each as a multiple of the bare run's."""
    lines = int(millions * 1_000_000)
    with tempfile.TemporaryDirectory(dir=place) as name:
        folder = Path(name)
        make_files(folder, lines)
        make_book(folder)
        taken: dict[str, list[Run]] = {}
        for _ in range(int(rounds)):
            for each, took in measure(folder):
                taken.setdefault(each, []).append(took)
        size = (folder / "book.duckdb").stat().st_size / 2**20
    medians = {
        each: Run(*(statistics.median(values) for values in zip(*runs, strict=True)))
        for each, runs in taken.items()
    }
    print(f"{lines} lines, {int(rounds)} rounds; the book is {size:.0f} MiB after all of them")
    for name, took in medians.items():
        bare = medians["bare notes" if "notes" in name else "bare"]
        print(
            f"{name:>12}: {took.wall:7.2f} s ({took.wall / bare.wall:5.2f} x), of the processors"
            f" {took.cpu:7.2f} s ({took.cpu / bare.cpu:5.2f} x), {took.gibibytes:.2f} GiB"
        )


if __name__ == "__main__":
    given = sys.argv[1:]
    main(*map(float, given[:2]), place=given[2] if given[2:] else None)
