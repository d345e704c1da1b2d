"""Broken files: counted to the line or refused in one message; no other error escapes."""

import contextlib
import os
import random
import tomllib
import zipfile
from collections import Counter
from collections.abc import Iterator
from datetime import UTC, date, datetime
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from ledger.errors import FairhoursError
from ledger.sheets.file_counts import FileCounts
from ledger.sheets.guessing import guess_layout
from ledger.sheets.loading import SheetLoad, load_sheets
from ledger.sheets.staging import scratch_book
from ledger.store.batches import Batch
from ledger.store.book import Book
from ledger.tables.layout_files import parse_layout, shipped_layouts
from ledger.tables.layouts import PLAIN, Layout
from tests.conftest import slow_beyond

FILES = Path(__file__).parents[1] / "tables" / "files"
CASES = tomllib.loads((FILES / "expected.toml").read_text(encoding="utf-8"))["case"]


def layout_named(name: str | None) -> Layout:
    if name is None:
        return PLAIN
    data = (FILES / name).read_bytes() if name.endswith(".toml") else shipped_layouts()[name]
    return parse_layout(name.removesuffix(".toml"), data)


# Each file that can be read, with the layout by which it is.
CORPUS = [
    (FILES / case["file"], layout_named(case.get("layout")))
    for case in CASES
    if "refused" not in case
]
# All 10,000: FUZZED_CHUNKS=20 python -m pytest tests/sheets/test_fuzzed_files.py
CHUNKS, CHUNK = int(os.environ.get("FUZZED_CHUNKS", "2")), 250
# What breaks a table: marks of its grammar, of numbers and dates, and bytes of no text.
PIECES = [
    *(b",", b";", b"\t", b'"', b'""', b"\n", b"\r", b"\r\n", b"\x00", b"\xff\xfe", b"\xef\xbb\xbf"),
    *(
        b"-",
        b"1e9",
        b"NaN",
        b"99999999999",
        b"0.000001",
        b"24:00",
        b"2026-02-30",
        b"\xe9",
        b"'",
        b"=",
    ),
    *("٧".encode(), "ß".encode(), b"total", b"Mon", b"worker_id", b"hours", b"\\", b"%", b"#REF!"),
]


@pytest.fixture(scope="module")
def open_batch() -> Iterator[tuple[Book, Batch]]:
    """A batch of a book in memory, outside a transaction: it takes one file after another."""
    with scratch_book() as book:
        book.upto = 1
        one = Batch(book, 1, datetime(2026, 3, 9, tzinfo=UTC))
        one.append("crew", {"worker_id": ["A1", "B2"], "active_from": [date(2020, 1, 1)] * 2})
        yield book, one


def load(into: tuple[Book, Batch], path: Path, layout: Layout) -> FileCounts | None:
    """Load a file; return its counts, None when it was refused in a message."""
    book, one = into
    try:
        return load_sheets(book, one, SheetLoad([path], "JOB", layout)).files[0]
    except FairhoursError:
        return None


def kept(book: Book) -> int:
    return book.execute("SELECT count(*) FROM known_sheet_line(9)").fetchall()[0][0]


def assert_counted(into: tuple[Book, Batch], before: int, counts: FileCounts | None) -> None:
    """The lines read are those booked, held, or in the book already; what is new is kept."""
    after = kept(into[0])
    if counts is None:
        assert after == before
        return
    new = counts.booked + counts.held

    assert counts.lines_read == new + counts.already_booked + counts.already_held
    assert after - before == new
    assert counts.left_out >= 0


def broken(data: bytes, chance: random.Random) -> bytes:
    """Return bytes with a few pieces cut out, doubled, moved or put in."""
    for _ in range(chance.choice([1, 1, 2, 4])):
        start, end = sorted(chance.randint(0, len(data)) for _ in range(2))
        end = min(end, start + chance.choice([1, 3, 40]))
        piece = data[start:end]
        put = chance.choice([b"", piece * 2, piece[::-1], chance.choice(PIECES)])
        data = data[:start] + put + data[end:]
    return data


def broken_file(path: Path, target: Path, chance: random.Random) -> None:
    """Write a broken copy: of a workbook its bytes, or a part of it in a sound archive."""
    if path.suffix in {".csv", ".txt"} or chance.random() < 0.1:
        target.write_bytes(broken(path.read_bytes(), chance))
        return
    with zipfile.ZipFile(path) as archive:
        parts = {name: archive.read(name) for name in archive.namelist()}
    chosen = chance.choice([name for name in parts if name.endswith((".xml", ".rels"))])
    parts[chosen] = broken(parts[chosen], chance)
    with zipfile.ZipFile(target, "w") as archive:
        for name, data in parts.items():
            archive.writestr(name, data)


@pytest.mark.slow
@pytest.mark.parametrize("chunk", range(CHUNKS))
def test_no_error_escapes_from_a_broken_file(
    open_batch: tuple[Book, Batch], tmp_path: Path, chunk: int
) -> None:
    """Of many broken files each is counted to the line, or refused as an error of ours."""
    chance = random.Random(chunk)
    seen: Counter[bool] = Counter()
    for number in range(CHUNK):
        path, layout = chance.choice(CORPUS)
        if chance.random() < 0.1:
            layout = chance.choice(CORPUS)[1]
        target = tmp_path / f"{number}{path.suffix}"
        broken_file(path, target, chance)
        before = kept(open_batch[0])
        counts = load(open_batch, target, layout)
        assert_counted(open_batch, before, counts)
        seen[counts is None] += 1
        target.unlink()

    # Both ends are reached often: the files are neither all sound nor all hopeless.
    assert min(seen[True], seen[False]) > CHUNK // 20


HEAD = "worker_id,date,hours,booking_code\n"
GARBAGE = st.lists(
    st.lists(
        st.sampled_from(
            ["A1", "2026-03-02", "8", "7:30", "", " ", "x", '"', "24:01", "-1", "DECK"]
        ),
        max_size=5,
    ),
    max_size=12,
)


@pytest.mark.parametrize("examples", slow_beyond(1, [20, 150]))
def test_random_garbage_is_counted_or_refused(
    open_batch: tuple[Book, Batch], tmp_path: Path, examples: int
) -> None:
    """Whatever stands below a head, its lines add up or the file is refused."""

    @settings(deadline=None, max_examples=examples)
    @given(
        rows=GARBAGE,
        head=st.sampled_from([HEAD, HEAD, HEAD, ""]),
        noise=st.binary(max_size=30),
        at=st.integers(0, 200),
    )
    def counted(rows: list[list[str]], head: str, noise: bytes, at: int) -> None:
        text = head + "\n".join(",".join(row) for row in rows)
        data = text.encode()
        path = tmp_path / "week.csv"
        path.write_bytes(data[:at] + noise + data[at:])
        before = kept(open_batch[0])

        assert_counted(open_batch, before, load(open_batch, path, PLAIN))

    counted()


@pytest.mark.slow
def test_guessing_at_a_broken_file_gives_a_layout_or_one_message(tmp_path: Path) -> None:
    """A proposal for a broken file can always be parsed as a layout; else it is refused."""
    chance = random.Random(1)
    proposed = 0
    for number in range(60):
        path, _ = chance.choice(CORPUS)
        target = tmp_path / f"{number}{path.suffix}"
        broken_file(path, target, chance)
        with contextlib.suppress(FairhoursError):
            layout = parse_layout("guess", guess_layout(target).toml.encode())
            proposed += layout.shape in {"long", "grid"}

    assert proposed > 20
