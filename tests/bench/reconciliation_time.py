"""How long a reconciliation takes, against one bare join of booked and paid hours.

Run by hand, from the checkout: python tests/bench/reconciliation_time.py [MILLIONS] [ROUNDS]
A worker has a thousand entries a year, four a day, and a hundred lines of payroll, two a week, so
that 2 million entries stand against 200,000 lines. The bare join sums what is booked by worker and
day, joins it with payroll by worker and period, sums again and fetches a row for each worker and
period, from the same open book. Both run in turn; medians of the processors' time are compared, and
the aim is under 4 times. Payroll makes every tenth week wrong, so that reasons are looked for.
"""

import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from datetime import date
from pathlib import Path

import duckdb

from ledger.payroll.reconciliation import reconciled
from ledger.store.book import Book, open_book

ROOT = Path(__file__).resolve().parents[2]
PROGRAM = "from ledger.cli.main import main; main()"
FIRST, LAST = date(2026, 1, 5), date(2026, 12, 20)
SHEETS = """
SELECT
    'S' || (i // 20) AS sheet,
    'W' || (i // 1000) AS worker_id,
    strftime(DATE '2026-01-05' + (i % 1000 // 20 * 7 + i % 20 // 4)::INTEGER, '%Y-%m-%d') AS date,
    '2' AS hours,
    'SHOP' AS booking_code
FROM range($entries) AS r (i)
"""
PAYROLL = """
SELECT
    'W' || (i // 100) AS worker_id,
    strftime(DATE '2026-01-05' + (i % 100 // 2 * 7)::INTEGER, '%Y-%m-%d') AS period_start,
    strftime(DATE '2026-01-11' + (i % 100 // 2 * 7)::INTEGER, '%Y-%m-%d') AS period_end,
    CASE i % 2 WHEN 0 THEN 'normal' ELSE 'overtime' END AS pay_class,
    CASE WHEN i % 20 = 0 THEN '35' WHEN i % 2 = 0 THEN '38' ELSE '2' END AS hours
FROM range($lines) AS r (i)
"""
CREW = """
SELECT 'W' || i AS worker_id, 'Hand ' || i AS name, 'fitter' AS trade, '2025-01-01' AS active_from
FROM range($workers) AS r (i)
"""
BARE = """
WITH booked AS (
    SELECT l.worker_id, l.day, sum(l.ms) AS ms
    FROM line AS l
    INNER JOIN what AS w ON w.number = l.what
    WHERE w.booked_to IS NOT NULL
    GROUP BY l.worker_id, l.day
),

paid AS (
    SELECT worker_id, period_start, period_end, sum(ms) AS ms
    FROM payroll_line
    GROUP BY worker_id, period_start, period_end
)

SELECT p.worker_id, p.period_start, p.period_end, any_value(p.ms) AS paid_ms, sum(b.ms) AS booked_ms
FROM paid AS p
LEFT JOIN booked AS b ON b.worker_id = p.worker_id AND b.day BETWEEN p.period_start AND p.period_end
GROUP BY p.worker_id, p.period_start, p.period_end
ORDER BY p.worker_id, p.period_start
"""


def make_book(folder: Path, entries: int) -> Path:
    """Make a book with crew, sheets and payroll by the program's own commands."""
    made = {"sheets": SHEETS, "payroll": PAYROLL, "crew": CREW}
    counts = {"$entries": entries, "$lines": entries // 10, "$workers": entries // 1000}
    with duckdb.connect() as maker:
        for name, sql in made.items():
            for word, count in counts.items():
                sql = sql.replace(word, str(count))
            maker.execute(f"COPY ({sql}) TO '{folder / name}.csv' (HEADER)")
    (folder / "settings.toml").write_text('[overhead]\nSHOP = "shop"\n', encoding="utf-8")
    book = folder / "book.duckdb"
    files = ("settings.toml", "crew.csv", "sheets.csv", "payroll.csv")
    loads = [("load", name.partition(".")[0], str(folder / name)) for name in files]
    for words in [("new",), *loads]:
        command = [sys.executable, "-c", PROGRAM, "--book", str(book), *words]
        subprocess.run(command, cwd=ROOT, check=True, stdout=subprocess.DEVNULL)
    return book


def taken(work: Callable[[], int]) -> tuple[float, int]:
    """Return the seconds of the processors that something takes, and how many rows it gives."""
    start = time.process_time()
    rows = work()
    return time.process_time() - start, rows


def measure(book: Book) -> tuple[float, float]:
    """Return what the bare join and the reconciliation take; both give a row a period."""
    bare, joined = taken(lambda: len(book.execute(BARE).fetchall()))
    ours, found = taken(lambda: len(reconciled(book, FIRST, LAST)))
    assert joined == found, f"{joined} periods, {found} rows"
    return bare, ours


def main() -> None:
    """Measure, and print medians with their ratio."""
    entries = int(float(sys.argv[1] if len(sys.argv) > 1 else "2") * 1_000_000)
    rounds = int(sys.argv[2]) if len(sys.argv) > 2 else 5
    with tempfile.TemporaryDirectory() as folder:
        path = make_book(Path(folder), entries)
        with open_book(path) as book:
            runs = [measure(book) for _ in range(rounds)]
    bare = statistics.median(joined for joined, _ in runs)
    ours = statistics.median(whole for _, whole in runs)
    print(f"{entries} entries, {entries // 10} payroll lines")
    print(f"bare join {bare:.2f} s, reconciliation {ours:.2f} s: {ours / bare:.1f} times")


if __name__ == "__main__":
    main()
