"""What sheets said is erased for good: notes, held lines and parts of files, with every head."""

import zlib
from pathlib import Path

import pytest

from tests._stage import JOB, table
from tests.conftest import Yard
from tests.store._sample import opened

HEAD = "sheet,worker_id,date,hours,booking_code,note\n"
WHY = ("--reason", "asked for by letter")
NAME = "Ruprecht Oxenhielm"
NOTE = f'helped "{NAME}" home'


def heads(yard: Yard) -> list[str]:
    rows = yard.rows(yard.run("history", "--format", "csv").stdout)
    return [row["head"] for row in rows]


def holds(yard: Yard, text: str) -> bool:
    """Return whether a text stands in the book's bytes, or in any content once it is unpacked."""
    with opened(yard.book) as book:
        rows = book.execute("SELECT packing, data FROM content WHERE data IS NOT NULL").fetchall()
    contents = [zlib.decompress(data) if packing else data for packing, data in rows]
    return any(text.encode() in each for each in [yard.book.read_bytes(), *contents])


@pytest.fixture
def noted(stage: Yard) -> Yard:
    """A book with a note that names somebody, a held line of theirs, and a file without."""
    quoted = NOTE.replace('"', '""')
    rows = f'S1,A1,2026-03-02,8,DECK,"{quoted}"\nS2,{NAME},2026-03-03,8,DECK,\n'
    load(stage, "a.csv", HEAD + rows)
    load(stage, "b.csv", HEAD + "S3,B2,2026-03-02,8,DECK,by lamp\n")
    return stage


def load(yard: Yard, name: str, text: str) -> dict[str, int]:
    path = yard.write(name, text)
    counts: dict[str, int] = yard.json("load", "sheets", "--job", JOB, path)["files"][0]
    return counts


def test_an_erased_note_goes_with_the_part_of_its_file(noted: Yard) -> None:
    """The note is nowhere in the book's bytes; its line stands, every head holds, check tells."""
    before = heads(noted)
    said = noted.run("erase", "text", "note:8.1", *WHY).stderr

    assert not holds(noted, NOTE)
    assert holds(noted, "by lamp")
    assert "file_part:8.1: part of the file erased" in said
    assert [row["note"] for row in table(noted, "entry")] == ["erased", "by lamp"]
    assert heads(noted)[: len(before)] == before
    told = noted.run("check").stderr
    assert "note:8.1: erased in batch 10: asked for by letter" in told
    assert "file_part:8.1: erased in batch 10" in told


def test_a_line_with_an_erased_note_is_the_line_that_it_was(noted: Yard) -> None:
    """Given again with any note, alone or in a longer file, it is booked already, and once."""
    noted.run("erase", "text", "note:8.1", *WHY)
    more = "S1,A1,2026-03-02,8,DECK,any other words\nS9,A1,2026-03-09,8,DECK,\n"
    counts = load(noted, "c.csv", HEAD + more)

    assert (counts["booked"], counts["already_booked"], counts["held"]) == (1, 1, 0)
    twice = "S1,A1,2026-03-02,8,DECK,one\nS1,A1,2026-03-02,8,DECK,two\n"
    assert load(noted, "d.csv", HEAD + twice)["already_booked"] == 1


@pytest.mark.slow
def test_the_life_of_a_line_of_an_erased_part_says_so(noted: Yard) -> None:
    """What the file said is gone: trace says erased, and the entry can only be reversed."""
    entry = noted.json("entries", "--worker", "A1")[0]["entry"]
    noted.run("erase", "text", "file_part:8.1", *WHY)
    life = noted.rows(noted.run("trace", entry, "--format", "csv").stdout)
    refused = noted.run("correct", "entry", entry, "hours=4", "--reason", "asked", ok=False)

    assert (life[0]["event"], life[0]["detail"]) == ("read", "erased")
    assert refused.stderr == (
        "a.csv: its text was erased; what its lines said cannot be read again\n"
    )
    noted.run("reverse", "entry", entry, "--reason", "asked")
    assert noted.run("check").exit_code == 0


@pytest.mark.slow
def test_a_held_line_is_erased_once_it_is_ended(noted: Yard) -> None:
    """As long as it waits its text is read again; rejected, it goes with its part of the file."""
    (waiting,) = noted.json("held")
    refused = noted.run("erase", "text", "held_text:8.1", *WHY, ok=False).stderr
    noted.run("reject", "line", waiting["held_line"], "--reason", "not ours")
    noted.run("erase", "text", "held_text:8.1", *WHY)
    noted.run("erase", "text", "note:8.1", *WHY)

    assert "held_text:8.1: is in use" in refused
    assert not holds(noted, NAME)
    assert load(noted, "c.csv", HEAD + "S4,B2,2026-03-04,8,DECK,\n")["booked"] == 1
    assert noted.run("check").exit_code == 0


@pytest.mark.slow
def test_a_forgotten_worker_goes_with_the_parts_of_files_that_name_them(noted: Yard) -> None:
    """So do notes that name them; other files stay, and a line still held, which is told."""
    crew = f"worker_id,name,trade,grade\nW7,{NAME.upper()},joiner,lead\n"
    noted.run("load", "crew", noted.write("crew.csv", crew))
    told = noted.run("forget", "worker", "W7", *WHY).stderr

    assert "worker_name:10.1: name erased" in told
    assert "file_part:8.1: part of the file erased" in told
    assert "file_part:9.1" not in told
    assert "note:8.1: note erased" in told
    assert "in use, still with the name: held_text:8.1; settle the line" in told
    assert f"line.worker_id has the name and is sealed, so it stays: {NAME.upper()}" in told
    assert noted.run("check").exit_code == 0


@pytest.mark.slow
def test_the_same_part_of_two_files_is_erased_from_both(
    noted: Yard, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    """A longer file shares the first part: erased once, it is gone from both."""
    monkeypatch.setattr("ledger.tables.raw_files.PART", 100)
    rows = "".join(f"S{day},A1,2026-04-{day:02d},8,DECK,\n" for day in range(1, 9))
    load(noted, "c.csv", HEAD + rows)
    load(noted, "d.csv", HEAD + rows + "S9,A1,2026-04-09,8,DECK,\n")
    said = noted.run("erase", "text", "file_part:10.1", *WHY).stderr

    assert "file_part:11.1: part of the file erased" in said
    assert noted.run("check").exit_code == 0


@pytest.mark.slow
def test_a_text_that_goes_on_in_the_next_part_is_erased_from_both(
    stage: Yard, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A cell of two lines on both sides of a part's end is gone whole, of a held line too."""
    monkeypatch.setattr("ledger.tables.raw_files.PART", 100)
    text = "very ill this\nmorning " + NAME
    rows = f'S1,A1,2026-03-02,8,DECK,"{text}"\nS2,A1,2026-03-x3,8,DECK,"again {text}"\n'
    load(stage, "a.csv", HEAD + rows)
    stage.run("reject", "line", stage.json("held")[0]["held_line"], "--reason", "no day")
    stage.run("erase", "text", "note:8.1", "held_text:8.1", *WHY)

    assert not holds(stage, NAME)
    assert not holds(stage, "very ill")
    assert stage.run("check").exit_code == 0


def test_a_short_note_goes_with_the_cells_that_are_it_alone(noted: Yard) -> None:
    """A note that is a word of other notes leaves the parts of those as they are."""
    load(noted, "c.csv", HEAD + "S4,B2,2026-03-04,8,DECK,lamp\n")
    said = noted.run("erase", "text", "note:10.1", *WHY).stderr

    assert "file_part:10.1: part of the file erased" in said
    assert holds(noted, "by lamp")


@pytest.mark.slow
def test_a_file_not_cut_by_lines_is_erased_whole(
    stage: Yard, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Of a file in UTF-16 no part alone is erased, and the next text can be erased after it."""
    monkeypatch.setattr("ledger.tables.raw_files.PART", 100)
    rows = HEAD + f"S1,A1,2026-03-02,8,DECK,{NAME}\nS2,A1,2026-03-03,8,DECK,by lamp\n"
    (stage.folder / "a.csv").write_text(rows, encoding="utf-16")
    stage.run("load", "sheets", "--job", JOB, stage.folder / "a.csv")
    load(stage, "b.csv", HEAD + "S3,B2,2026-03-02,8,DECK,at noon\n")
    parts = [row for row in table(stage, "file_part") if row["batch"] == "8"]
    said = stage.run("erase", "text", "file_part:8.1", *WHY).stderr
    stage.run("erase", "text", "note:9.1", *WHY)

    assert len(parts) > 2
    assert all(f"file_part:8.{part['part']}: part of the file erased" in said for part in parts)
    assert not holds(stage, "at noon")
    assert stage.run("check").exit_code == 0
