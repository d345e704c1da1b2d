"""How long it takes to load rules over many entries, against a bare DuckDB that joins and writes.

Run by hand, from the checkout: python tests/bench/places_time.py [MILLIONS] [ROUNDS] [FOLDER]
200 rules without conditions on text move one entry in twenty; the bare run joins the same rules to
the same entries and writes the two postings of each that moves, with all their columns. 20 rules
with patterns read every note, each another; the bare run matches the same patterns in one scan.
The aims, of the processors: 5 times the bare join and write, 1.3 times the bare scan for the
matching by itself. The same rules again and a tag by hand of one entry are timed beside them.
"""

import shutil
import statistics
import sys
import tempfile
from pathlib import Path

import duckdb

from tests.bench.sheets_time import PROGRAM, Run, make_book, make_files, run

RULES, PATTERNS, QUARTERS = 200, 20, 4
OPEN = "import sys, duckdb\nwith duckdb.connect(sys.argv[1]) as book:\n"
JOINED = f"""{OPEN}    book.execute('''INSERT INTO posting
    SELECT 2, row_number() OVER (), 1, e.i, e.worker_id, e.date, NULL, NULL, 'BARGE',
        unnest([e.booking_code, r.booked_to]), NULL, NULL, unnest([-e.ms, e.ms]),
        unnest(['moved', 'rule']), unnest([NULL, r.rule])
    FROM entry AS e INNER JOIN rule AS r
        ON r.worker_id = e.worker_id AND e.date BETWEEN r.day_from AND r.day_to''')
"""
PATTERN = "^frames {}7. of station [0-9]+5$"
MATCHED = ", ".join(
    f"count(*) FILTER (WHERE regexp_matches(note, '{PATTERN.format(each)}'))"
    for each in range(PATTERNS)
)
SCANNED = f"""{OPEN}    print(book.execute({f"SELECT {MATCHED} FROM entry"!r}).fetchall())
"""

LOOKED = f"""
import sys
from pathlib import Path
from ledger.store.book import open_book
from ledger.store.patterns import TextAsked, stage_notes_matched
asked = [TextAsked(None, {PATTERN!r}.replace("{{}}", str(each))) for each in range({PATTERNS})]
with open_book(Path(sys.argv[1])) as book:
    stage_notes_matched(book, "sheets/notes_kept", asked)
    print(book.execute("SELECT count(*) FROM staged_note_matched").fetchall())
"""


def make_rules(folder: Path) -> None:
    """Write rules by worker and quarter, each for one entry in 4,000 of a million, and patterns."""
    with duckdb.connect() as maker:
        maker.execute(
            f"COPY (SELECT 'r' || i AS rule, i AS priority, 'P' || i % 60 AS booked_to,"
            " 'W' || lpad(i::VARCHAR, 6, '0') AS worker_id,"
            f" DATE '2026-01-05' + ((i % {QUARTERS}) * 63)::INTEGER AS \"from\","
            f" DATE '2026-01-05' + ((i % {QUARTERS}) * 63 + 62)::INTEGER AS \"to\""
            f" FROM range({RULES}) AS r (i)) TO '{folder / 'rules.csv'}' (HEADER)"
        )
        maker.execute(
            "COPY (SELECT 'p' || i AS rule, i AS priority, 'P' || i AS booked_to,"
            f" replace('{PATTERN}', '{{}}', i::VARCHAR) AS note_matches"
            f" FROM range({PATTERNS}) AS r (i)) TO '{folder / 'patterns.csv'}' (HEADER)"
        )


def make_bare(folder: Path, sheets: str, path: Path) -> None:
    """Make a bare book with the entries of a file of sheets and the rules."""
    path.unlink(missing_ok=True)
    with duckdb.connect(str(path)) as book:
        book.execute(
            "CREATE TABLE entry AS SELECT row_number() OVER () AS i, * REPLACE ("
            "try_cast(date AS DATE) AS date),"
            " (try_cast(hours AS DECIMAL(9,2)) * 3600000)::BIGINT AS ms"
            f" FROM read_csv('{folder / sheets}', all_varchar = true, header = true)"
        )
        book.execute(
            'CREATE TABLE rule AS SELECT rule, booked_to, worker_id, "from" AS day_from,'
            f" \"to\" AS day_to FROM read_csv('{folder / 'rules.csv'}')"
        )
        book.execute(
            "CREATE TABLE posting (batch BIGINT, row BIGINT, entry_batch BIGINT, entry_row BIGINT,"
            " worker_id VARCHAR, day DATE, trade VARCHAR, pay_class VARCHAR, job VARCHAR,"
            " booked_to VARCHAR, cause VARCHAR, rework VARCHAR, ms BIGINT, reason VARCHAR,"
            " rule VARCHAR)"
        )


def measure(folder: Path) -> dict[str, Run]:
    """Run the bare join and ours, the bare scan and ours, and one tag by hand."""
    books = {name: folder / f"{name}.duckdb" for name in ("ruled", "noted", "bare", "bare-notes")}
    for name in ("ruled", "noted"):
        shutil.copyfile(folder / f"{name}-ready.duckdb", books[name])
    make_bare(folder, "sheets.csv", books["bare"])
    make_bare(folder, "notes.csv", books["bare-notes"])
    ours = {
        name: (PROGRAM, "--book", books[name], "--actor", "Bench") for name in ("ruled", "noted")
    }
    one = ("tag", "entries", "--worker", "W000003", "--day", "2026-01-05", "--to", "P1")
    return {
        "bare join": run(JOINED, books["bare"]),
        "rules": run(*ours["ruled"], "load", "rules", folder / "rules.csv"),
        "bare scan": run(SCANNED, books["bare-notes"]),
        "rules again": run(*ours["ruled"], "load", "rules", folder / "rules.csv"),
        "matching": run(LOOKED, books["noted"]),
        "patterns": run(*ours["noted"], "load", "rules", folder / "patterns.csv"),
        "one tag": run(*ours["ruled"], *one, "--reason", "asked"),
    }


def main(millions: float = 1, rounds: float = 1, *, place: str | None = None) -> None:
    """Print the medians, ours as multiples of the bare runs."""
    lines = int(millions * 1_000_000)
    with tempfile.TemporaryDirectory(dir=place) as name:
        folder = Path(name)
        make_files(folder, lines)
        make_rules(folder)
        make_book(folder)
        for kind, file in (("ruled", "sheets.csv"), ("noted", "notes.csv")):
            book = folder / f"{kind}-ready.duckdb"
            shutil.copyfile(folder / "ready.duckdb", book)
            words = ("--book", book, "--actor", "Bench", "load", "sheets", "--job", "BARGE")
            run(PROGRAM, *words, folder / file)
        taken = [measure(folder) for _ in range(int(rounds))]
    cpu = {name: statistics.median(each[name].cpu for each in taken) for name in taken[0]}
    print(f"{lines} lines, {int(rounds)} rounds; seconds of the processors")
    for name, seconds in cpu.items():
        print(f"{name:>10}: {seconds:7.2f} s, {max(t[name].gibibytes for t in taken):.2f} GiB")
    print(f"rules: {cpu['rules'] / cpu['bare join']:.1f} times the bare join and its write")
    for name in ("matching", "patterns"):
        print(f"{name}: {cpu[name] / cpu['bare scan']:.2f} times the bare scan")


if __name__ == "__main__":
    given = sys.argv[1:]
    main(*map(float, given[:2]), place=given[2] if given[2:] else None)
