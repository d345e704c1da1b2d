"""Whoever is forgotten is nowhere in the book, its unpacked parts or an export, but where told."""

import io
import unicodedata
import zipfile
import zlib
from collections.abc import Iterator

import openpyxl
import pytest

from tests._stage import JOB, prepare
from tests.conftest import Yard
from tests.store._sample import opened

NAME = "Zoë Quistgaard"
REASON = ("--reason", "asked for by letter")
HEAD = "sheet,worker_id,date,hours,booking_code,note,approved_by\n"


def sheets(yard: Yard, name: str, *rows: str) -> None:
    path = yard.write(name, HEAD + "".join(f"{row}\n" for row in rows))
    yard.run("load", "sheets", "--job", JOB, path)


def workbook_of(yard: Yard) -> None:
    """Load a workbook that has the name in none of its cells, but as who made it."""
    book = openpyxl.Workbook()
    book.properties.creator = NAME
    for row in (HEAD.strip().split(","), ["S9", "B2", "2026-03-20", "8", "DECK", "", ""]):
        book.active.append(row)
    book.save(yard.folder / "list.xlsx")
    yard.run("load", "sheets", "--job", JOB, yard.folder / "list.xlsx")


def named_everywhere(yard: Yard) -> None:
    """Make a book that has a worker's name wherever somebody can type it."""
    prepare(yard)
    crew = f"worker_id,name,trade,grade\nW7,{NAME},carpenter,skilled\n"
    yard.run("load", "crew", yard.write("crew.csv", crew))
    sheets(yard, "zoë_quistgaard-week-14.csv", "S1,W7,2026-03-02,8,DECK,,")
    sheets(yard, "notes.csv", 'S2,B2,2026-03-03,8,DECK,"with QUISTGAARD, Zoe\u0308",')
    sheets(yard, "chief.csv", f"S3,B2,2026-03-04,8,DECK,,{NAME}", "S3,B2,2026-03-05,8,DECK,,Jo")
    sheets(
        yard,
        "ids.csv",
        "S4,B2,2026-03-06,25,DECK,by Zoë  Quistgaard,",
        f"{NAME},B2,2026-03-09,8,DECK,,",
    )
    by_name = "sheet,worker_name,date,hours,booking_code\nS5,Quistgaard Z.,2026-03-10,8,DECK\n"
    yard.run("load", "sheets", "--job", JOB, yard.write("named.csv", by_name))
    yard.run(
        "confirm", "alias", "Quistgaard Z.", "--worker", "W7", "--reason", "as the foreman says"
    )
    workbook_of(yard)
    entry = yard.json("entries", "--worker", "B2")[0]["entry"]
    yard.run("correct", "entry", entry, f"note=for {NAME}", "--reason", f"{NAME} said so")
    rules = f"rule,priority,booking_code,booked_to,reason\nR,5,NONE,DECK,as {NAME} wants\n"
    yard.run("load", "rules", yard.write("rules.csv", rules))
    scan = yard.write("order.txt", f"signed: {NAME}")
    words = ("--title", f"Door for {NAME}", "--basis", "daywork", "--requested-by", "Jo Lind")
    yard.run("request", "change", "77", "--job", JOB, *words, "--attach", scan)


@pytest.fixture
def named(yard: Yard) -> Yard:
    return yard.copy_made_by(named_everywhere)


def everything(yard: Yard, folder: str) -> Iterator[tuple[str, bytes]]:
    """Yield the book's bytes, its content unpacked, of workbooks each part, and an export."""
    yield "book", yard.book.read_bytes()
    with opened(yard.book) as book:
        rows = book.execute("SELECT batch, packing, data FROM content WHERE data IS NOT NULL")
        for batch, packing, data in rows.fetchall():
            whole = zlib.decompress(data) if packing else data
            yield f"content of batch {batch}", whole
            if whole.startswith(b"PK"):
                with zipfile.ZipFile(io.BytesIO(whole)) as archive:
                    yield from ((part, archive.read(part)) for part in archive.namelist())
    yard.run("export", yard.folder / folder)
    yield from ((path.name, path.read_bytes()) for path in (yard.folder / folder).iterdir())


def holding(yard: Yard, folder: str) -> set[str]:
    """Return where the surname stands, in either form of its letters and in any case."""
    return {
        place
        for place, data in everything(yard, folder)
        if "quistgaard" in unicodedata.normalize("NFC", data.decode(errors="ignore")).lower()
    }


@pytest.mark.slow
def test_a_forgotten_name_is_nowhere_but_where_it_is_listed(named: Yard) -> None:
    """Texts, files, corrections and reasons lose it; the rule in force and a sheet's name stay."""
    before = holding(named, "before")
    heads = [row["head"] for row in named.rows(named.run("history", "--format", "csv").stdout)]
    listed = named.json("show", "worker", "w7")
    told = named.run("forget", "worker", "W7", *REASON).stderr
    stays = {each["what"]: each for each in listed["holdings"] if each["if_forgotten"] == "sealed"}
    (rule,) = [each for each in listed["holdings"] if each["what"] == "rule"]

    assert {"worker_name.csv", "note.csv", "file.csv", "change.csv", "docProps/core.xml"} <= before
    assert [each["named"] for each in stays.values()] == [NAME]
    assert "line.sheet has the name and is sealed, so it stays: Zoë Quistgaard" in told
    assert f"in use, still with the name: {rule['ids'][0]}" in told
    # The held line waits with what it said until it is ended.
    assert "held_text:" in told
    named.run("reject", "line", *[row["held_line"] for row in named.json("held")], *REASON)
    named.run("withdraw", "fact", rule["ids"][0], *REASON)
    (scan,) = [row["id"] for row in named.json("show", "attachment")]
    assert f"may show the name, look into it: {scan}" in told
    named.run("erase", "text", scan, *REASON)
    named.run("forget", "worker", "W7", "--name", NAME, *REASON)
    assert holding(named, "after") == {"book", "line.csv"}
    after = [row["head"] for row in named.rows(named.run("history", "--format", "csv").stdout)]
    assert after[: len(heads)] == heads
    assert named.run("check").exit_code == 0


@pytest.mark.slow
def test_a_worker_is_shown_with_what_would_become_of_it(stage: Yard) -> None:
    """Counts and ids of rows by the id, and of texts with the name; no rate is in it."""
    sheets(stage, "a.csv", "S1,A1,2026-03-02,8,DECK,,", "S1,A1,2026-03-03,8,DECK,,")
    held = {each["what"]: each for each in stage.json("show", "worker", "A1")["holdings"]}

    assert (held["line"]["count"], held["line"]["if_forgotten"]) == (2, "under_id")
    assert held["line"]["ids"] == ["line:8.1", "line:8.2"]
    assert held["worker_name"]["if_forgotten"] == "erased"
    assert held["sheet"]["ids"] == ["S1"]
    assert held["crew"]["count"] == 1


@pytest.mark.slow
def test_a_reason_with_the_name_is_refused_and_kept_rows_stay(named: Yard) -> None:
    """The reason would be kept; a row that names somebody else is left as asked."""
    refused = named.run("forget", "worker", "W7", "--reason", f"{NAME} asked", ok=False).stderr
    (change,) = [row["id"] for row in named.json("show", "change")][-1:]
    told = named.run("forget", "worker", "W7", "--keep", change, *REASON).stderr

    assert refused == (
        "the reason names worker W7 and would be kept; give one without any part of the name\n"
    )
    assert f"kept as asked: {change}" in told
    assert named.run("forget", "worker", "W99", *REASON, ok=False).stderr == (
        "worker W99: no name is in the book; `fairhours show crew` lists them\n"
    )
