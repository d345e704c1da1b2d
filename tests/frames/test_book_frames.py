"""Frames of a book: exact, of the documented columns, as known then, and the book closed again."""

from datetime import date
from decimal import Decimal
from pathlib import Path

import polars as pl
import pytest

from ledger.errors import FairhoursError
from ledger.frames import FRAMES, BookFrames
from tests.conftest import Yard
from tests.test_small_sample import SAMPLE, build

DAY = date(2026, 3, 22)


@pytest.fixture(scope="module")
def built(tmp_path_factory: pytest.TempPathFactory) -> Yard:
    """The small sample in a book, to be read only."""
    return build(Yard(tmp_path_factory.mktemp("built")))


def documented(name: str, *, cost: bool = False) -> dict[str, pl.DataType]:
    return {each.name: each.type for each in FRAMES[name] if cost or not each.of_cost}


def test_frames_are_exact_and_as_documented(built: Yard) -> None:
    """Entries sum to what performance has booked, and each frame has its columns, no cost."""
    frames = BookFrames(built.book)
    entries, measured = frames.entries("STAGE"), frames.performance("STAGE", DAY)
    overrun = frames.overrun("STAGE", DAY)
    booked = built.json("performance", "--job", "STAGE", "--status-date", DAY)["job_booked"]
    steps = overrun.filter(pl.col("group") == "step")["amount"].to_list()

    assert entries["hours"].sum() == booked
    assert entries["ms"].sum() == booked * 3_600_000
    assert steps[-1] == sum(steps[:-1])
    assert dict(entries.schema) == documented("entries")
    assert dict(measured.schema) == documented("performance")
    assert dict(overrun.schema) == documented("overrun")


def test_the_book_is_free_once_a_frame_is_given(tmp_path: Path) -> None:
    """Others write between two calls; the frames stay as known when they were asked for first."""
    yard = build(Yard(tmp_path))
    frames = BookFrames(yard.book)
    before = frames.entries("STAGE")
    entry = before["entry"][0]
    yard.run("reverse", "entry", entry, "--reason", "booked twice")

    assert frames.entries("STAGE").equals(before)
    assert BookFrames(yard.book).entries("STAGE").equals(before.filter(pl.col("entry") != entry))
    assert BookFrames(yard.book, frames.stamp.sequence).entries("STAGE").equals(before)


@pytest.mark.slow
@pytest.mark.parametrize("by", ["job", "control-account", "trade"])
@pytest.mark.parametrize("unit", ["hours", "cost"])
def test_series_are_those_of_the_command(built: Yard, by: str, unit: str) -> None:
    """Every figure of the frame is the one that `series` prints for machines, rounded alike."""
    frame = BookFrames(built.book).series("STAGE", DAY, by=by, unit=unit)
    words = ("series", "--job", "STAGE", "--status-date", DAY, "--by", by, "--in", unit)
    expected = [
        {name: value for name, value in row.items() if name != "undefined"}
        for row in built.json(*words)["rows"]
    ]
    actual = [
        {**row, "period_end": str(row["period_end"])}
        for row in frame.drop("job", "status_date", "known_at").to_dicts()
    ]

    assert actual == expected
    assert dict(frame.schema) == documented("series")


@pytest.mark.slow
def test_cost_is_there_only_when_asked_for(built: Yard) -> None:
    """No frame has pay, cost or margin unless it is asked for by name."""
    frames = BookFrames(built.book)
    plain, costed = frames.entries(), frames.entries(cost=True)
    changes = frames.changes("STAGE", DAY)
    exact = [
        (ms * rate / 3_600_000).quantize(Decimal("0.0001"), "ROUND_HALF_UP")
        for ms, rate in costed.select("ms", "cost_per_hour").rows()
    ]

    assert not {"cost", "cost_per_hour"} & set(plain.columns)
    assert dict(costed.schema) == documented("entries", cost=True)
    assert costed["cost"].to_list() == exact
    assert dict(changes.schema) == documented("changes")
    assert "margin" in frames.changes("STAGE", DAY, cost=True).columns


@pytest.mark.slow
def test_a_closed_period_is_as_it_was_closed(tmp_path: Path) -> None:
    """Figures of a closed period are those of its closing, as the commands print them."""
    yard = build(Yard(tmp_path))
    early = date(2026, 3, 15)
    before = BookFrames(yard.book).performance("STAGE", early)
    yard.run("close", "period", "--to", early)
    late = yard.write("late.csv", (SAMPLE / "sheets-week-11.csv").read_text("utf-8"))
    late.write_text(late.read_text("utf-8").replace("2026-03-1", "2026-03-0"), "utf-8")
    yard.run("load", "sheets", "--job", "STAGE", late)
    frames = BookFrames(yard.book)

    assert frames.performance("STAGE", early).equals(before)
    assert (
        not BookFrames(yard.book, frames.stamp.sequence).performance("STAGE", early).equals(before)
    )


def test_what_is_unknown_is_refused(built: Yard) -> None:
    """A job, batch or book that is not there is an error that reads as a sentence.

    Its kind and fields stay as they are.
    """
    with pytest.raises(FairhoursError, match=r"^there is no job PIER in the book$") as raised:
        BookFrames(built.book).overrun("PIER")
    with pytest.raises(FairhoursError, match=r"^day is unknown as every; use one of week, month$"):
        BookFrames(built.book).series("STAGE", DAY, every="day")
    with pytest.raises(FairhoursError, match=r"^known_at 10000 is beyond the book"):
        BookFrames(built.book, 10_000)
    with pytest.raises(FairhoursError, match=r"^there is no book at .*none.duckdb$"):
        BookFrames(built.folder / "none.duckdb")

    assert (raised.value.kind, raised.value.fields) == ("job_unknown", {"job": "PIER"})
