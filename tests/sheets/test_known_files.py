"""Of a file whose very bytes were read before only the beginning is read."""

import subprocess
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from ledger.tables.whole_files import read_text
from tests._stage import JOB, batches, booked, load_sheets
from tests.conftest import Yard, slow_beyond

# What reads, judges and books lines, and what a known text file needs no more than these.
OF_NEW_LINES = (
    *("ledger.sheets.new_lines", "ledger.sheets.staging", "ledger.sheets.placing"),
    *("ledger.commands.following", "ledger.sheets.doubts", "ledger.inputs.columns"),
    *("ledger.tables.workbooks", "ledger.tables.layout_files"),
)
LOAD = """
import sys
from ledger.cli.main import main
try:
    main()
except SystemExit:
    print([name for name in {names!r} if name in sys.modules])
"""
HOUR = 3_600_000
HEAD = "worker_id,date,hours,booking_code,shoe size,note\n"
LINES = 'A1,2026-03-02,8,DECK,43,"over\ntwo lines"\nA1,2026-03-03,"7,5",DECK,43,\n'
TITLED = 'title,of,all\n\n"a head\nof two",date,hours,code\nA1,2026-03-02,8,DECK\n'
LAYOUT = """
    encoding = "windows-1252"
    [columns]
    worker_id = "a head of two"
    booking_code = "code"
"""
BY_LAYOUT = ("--layout", "ours.toml")
# The bytes of a file, how it is loaded, the length of what is called its beginning, and whether
# that tells how it is read.
FILES = {
    "plain": ((HEAD + LINES).encode(), (), 1_000, True),
    "line ends of two characters": ((HEAD + LINES).replace("\n", "\r\n").encode(), (), 1_000, True),
    "a mark at its beginning": ((HEAD + LINES).encode("utf-8-sig"), (), 1_000, True),
    "longer than its beginning": ((HEAD + LINES).encode(), (), len(HEAD) + 3, True),
    "cut within a line of its head": ((HEAD + LINES).encode(), (), len(HEAD) - 3, False),
    "no line end": (b"worker_id,date,hours,booking_code", (), 1_000, False),
    "titles": (TITLED.encode("cp1252"), BY_LAYOUT, 1_000, True),
    "cut within the cells of its head": (TITLED.encode("cp1252"), BY_LAYOUT, 25, False),
    "UTF-16": ((HEAD + LINES).encode("utf-16"), (), 1_000, False),
}


def whole_reads(monkeypatch: pytest.MonkeyPatch, loading: Callable[[], Any]) -> tuple[Any, int]:
    """Return what a load says, and how many files were read whole for it."""
    read: list[Path] = []

    def counted(path: Path, *rest: Any) -> Any:
        read.append(path)
        return read_text(path, *rest)

    with monkeypatch.context() as patched:
        patched.setattr("ledger.sheets.sheet_files.read_text", counted)
        return loading(), len(read)


@pytest.mark.parametrize(
    ("data", "words", "length", "is_known"), slow_beyond(5, FILES.values()), ids=FILES
)
def test_a_known_file_comes_to_what_it_comes_to_read_whole(
    stage: Yard,
    monkeypatch: pytest.MonkeyPatch,
    data: bytes,
    words: tuple[str, ...],
    length: int,
    is_known: bool,
) -> None:
    """Its counts, its columns that are passed over and what is kept of it are the same."""
    stage.write("ours.toml", LAYOUT)
    path = stage.folder / "week.csv"
    path.write_bytes(data)
    by = [stage.folder / each if each.endswith(".toml") else each for each in words]
    has_lines = data.count(b"\n") > 0

    def load() -> tuple[str, str]:
        done = stage.run("load", "sheets", "--job", JOB, *by, path, ok=has_lines)
        return done.stdout, done.stderr

    monkeypatch.setattr("ledger.tables.raw_files.PART", length)
    first, read_first = whole_reads(monkeypatch, load)
    known, read_known = whole_reads(monkeypatch, load)
    monkeypatch.setattr("ledger.sheets.loading.known_sheet_file", lambda *_: None)
    whole, _ = whole_reads(monkeypatch, load)

    assert known == whole
    assert (first == whole) == (not has_lines)
    assert (read_first, read_known) == (1, int(not is_known))


def test_a_file_that_another_version_read_is_read_whole(
    stage: Yard, monkeypatch: pytest.MonkeyPatch
) -> None:
    """What another version of the program took, this one may refuse."""
    load_sheets(stage, HEAD + LINES)
    monkeypatch.setattr("ledger.sheets.sheet_files.__version__", "0.0.9")
    again, read = whole_reads(monkeypatch, lambda: load_sheets(stage, HEAD + LINES))

    assert (again["already_booked"], again["already_held"]) == (1, 1)
    assert read == 1


def test_a_file_not_read_by_the_same_layout_is_read_whole(
    stage: Yard, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Another layout may not have its columns: nothing is kept, as of a file that is new."""
    load_sheets(stage, HEAD + LINES)
    before = batches(stage)
    layout = stage.write("ours.toml", LAYOUT)
    path = stage.folder / "week.csv"
    refused, read = whole_reads(
        monkeypatch,
        lambda: stage.run("load", "sheets", "--layout", layout, path, ok=False).stderr,
    )

    assert refused.startswith("week.csv: ")
    assert read == 1
    assert batches(stage) == before


@pytest.mark.parametrize("at_once", slow_beyond(1, [True, False]))
def test_a_known_file_whose_lines_change_in_the_same_command_is_read_whole(
    stage: Yard, monkeypatch: pytest.MonkeyPatch, at_once: bool
) -> None:
    """The file before it mends its held line: its lines are compared, as by themselves."""
    head = "sheet,worker_id,date,hours,booking_code\n"
    text = head + 'S1,A1,2026-03-02,3,FRAME\nS1,A1,2026-03-02,"5,0",DECK\n'
    load_sheets(stage, text)
    mended = stage.write("mended.csv", text.replace('"5,0"', "5"))
    files = [mended, stage.folder / "week.csv"]
    together = [files] if at_once else [[each] for each in files]

    def load() -> list[Any]:
        done = [stage.json("load", "sheets", "--job", JOB, *each)["files"] for each in together]
        return [file for each in done for file in each]

    (of_mended, of_week), read = whole_reads(monkeypatch, load)

    assert (of_mended["booked"], of_mended["already_booked"]) == (1, 1)
    assert (of_week["booked"], of_week["held"], of_week["already_booked"]) == (0, 0, 2)
    assert read == 2
    assert booked(stage) == {
        (JOB, "FRAME", "", ""): 3 * HOUR,
        (JOB, "DECK", "", ""): 5 * HOUR,
    }


def test_a_known_file_is_counted_without_what_reads_lines(stage: Yard) -> None:
    """What a load of nothing new never needs is not imported for it, as that takes longest."""
    load_sheets(stage, HEAD + LINES)
    words = ["--book", stage.book, "load", "sheets", "--job", JOB, stage.folder / "week.csv"]
    program = LOAD.format(names=OF_NEW_LINES)
    again = subprocess.run(
        [sys.executable, "-c", program, *map(str, words)],
        capture_output=True,
        text=True,
        encoding="utf-8",
        check=True,
    )

    assert again.stdout.splitlines()[-1] == "[]"
