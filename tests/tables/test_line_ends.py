"""Line ends and quoted newlines change neither the lines nor their numbers."""

from pathlib import Path

import pytest

from ledger.errors import Refused
from ledger.tables import raw_files, whole_files
from tests.conftest import Yard, slow_beyond

CREW = """
    worker_id,name,trade,grade
    A1,Ada Brunt,joiner,lead
    """
LINES = ["worker_id,date,hours,booking_code,note", "A1,2026-03-02,8,X,", "A1,2026-03-03,7.5,X,"]
LATE = "A1,2026-02-31,1,X,"


@pytest.mark.parametrize(
    "ends",
    slow_beyond(
        3,
        [
            ["\n"] * 4,
            ["\r\n"] * 4,
            ["\r"] * 4,
            ["\r\n", "\n", "\r", "\n"],
            ["\n", "\n\n", "\n", ""],
        ],
    ),
    ids=["line feeds", "both", "carriage returns", "mixed", "blank line, no last end"],
)
def test_every_line_end_is_read(yard: Yard, ends: list[str]) -> None:
    """Two lines are booked and one is held on its own line, whatever ends the lines."""
    yard.run("load", "crew", yard.write("crew.csv", CREW))
    path = yard.folder / "week.csv"
    text = "".join(line + end for line, end in zip([*LINES, LATE], ends, strict=True))
    path.write_bytes(text.encode())
    counts = yard.json("load", "sheets", path)["files"][0]
    held = yard.rows(yard.run("held", "--format", "csv").stdout)

    assert (counts["lines_read"], counts["booked"], counts["held"]) == (3, 2, 1)
    assert counts["left_out"] == ends.count("\n\n")
    assert held[0]["line"] == str(4 + ends.count("\n\n"))


def test_a_quoted_newline_keeps_the_line_numbers(yard: Yard) -> None:
    """After a note over two lines, the next line has its own number in the file."""
    yard.run("load", "crew", yard.write("crew.csv", CREW))
    path = yard.folder / "week.csv"
    path.write_text(f'{LINES[0]}\nA1,2026-03-02,8,X,"two\nlines"\n{LATE}\n', encoding="utf-8")
    yard.run("load", "sheets", path)
    held = yard.rows(yard.run("held", "--format", "csv").stdout)

    assert [row["line"] for row in held] == ["4"]


@pytest.mark.parametrize("lines", [0, 1, 15, 16, 40])
def test_a_line_longer_than_any_is_refused_with_its_number(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, lines: int
) -> None:
    """It is found before the file is taken into memory, wherever a piece of the file ends."""
    path = tmp_path / "week.csv"
    path.write_text("a,b\n" * lines + "x" * 300 + "\n", encoding="utf-8")
    monkeypatch.setattr(whole_files, "LONGEST_LINE", 200)
    for module in (raw_files, whole_files):
        monkeypatch.setattr(module, "CHUNK", 64)
    with pytest.raises(Refused, match="line_too_long") as refused:
        whole_files.read_text(path)

    assert refused.value.fields == {"file": "week.csv", "line": lines + 1}
