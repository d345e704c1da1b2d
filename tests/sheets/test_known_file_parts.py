"""Parts of a file that the book has are counted, and the book is as if all had been read."""

from collections import Counter
from pathlib import Path
from random import Random
from typing import Any

import pytest

from ledger.sheets import file_parts
from ledger.sheets.new_lines import NewLines
from tests._stage import JOB, copied, held, table
from tests.conftest import Yard

HEAD = "sheet,worker_id,date,hours,booking_code,note\n"
SMALL, LARGE = 120, 1 << 20


def rows_of(chance: Random, count: int) -> list[str]:
    """Return lines of few sheets, workers, days and hours, so that many are nearly the same."""
    sheets, workers = ("S1", "s1", "S2", "S3", ""), ("A1", "B2", "Z9")
    hours = ("1", "2", "2", "7.5", "x", "25")
    return [
        f"{chance.choice(sheets)},{chance.choice(workers)},2026-03-{chance.randint(2, 9):02d},"
        f"{chance.choice(hours)},{chance.choice(('DECK', 'FRAME', 'LOST'))},"
        f"{chance.choice(('', 'by lamp'))}"
        for _ in range(count)
    ]


def changed(chance: Random, rows: list[str]) -> list[str]:
    """Return a file's lines as they may come again: longer, cut, edited, with a line between."""
    rows = list(rows)
    how = chance.choice(("longer", "longer", "cut", "edited", "between", "twice", "copied"))
    place = chance.randrange(len(rows))
    if how == "longer":
        rows += rows_of(chance, chance.randint(1, 6))
    elif how == "cut":
        rows = rows[: max(place, 1)]
    elif how == "edited":
        rows[place] = rows_of(chance, 1)[0]
    elif how == "between":
        rows.insert(place, rows_of(chance, 1)[0])
    elif how == "twice":
        rows.append(rows[place])
    else:
        rows += [f"{row.replace('S1', 'S7')}" for row in rows[:place]]
    return rows


def loads_of(seed: int) -> list[tuple[str, list[str]]]:
    """Return the job and the lines of each file of a random run of loads."""
    chance = Random(seed)
    files = [("", rows_of(chance, chance.randint(8, 16)))]
    for _ in range(4):
        job, rows = chance.choice(files)
        files.append((chance.choice((job, job, JOB)), changed(chance, rows)))
    return files


def told(yard: Yard, files: list[tuple[str, list[str]]]) -> dict[str, Any]:
    """Load the files; return what was said of each, and all that the book has then."""
    counts = []
    for number, (job, rows) in enumerate(files):
        path = yard.folder / f"f{number}.csv"
        # Every other file ends without a line feed.
        path.write_text((HEAD + "".join(f"{row}\n" for row in rows))[: -(number % 2) or None])
        words = ("--job", job) if job else ()
        said = yard.json("load", "sheets", *words, path)["files"][0]
        counts.append({name: value for name, value in said.items() if name != "sha256"})
        if number == 1:
            waiting = {row["sheet"].casefold() for row in yard.json("reissues")}
            entries = [
                row["entry"]
                for row in yard.json("entries")
                if row["state"] == "stands" and (row["sheet"] or "").casefold() not in waiting
            ]
            for entry in entries[:1]:
                yard.run("correct", "entry", entry, "hours=3", "--reason", "asked")
            for entry in entries[1:2]:
                yard.run("reverse", "entry", entry, "--reason", "asked")
    placed = Counter(
        tuple(row[name] for name in ("worker_id", "day", "job", "booked_to", "ms"))
        for row in table(yard, "posting")
    )
    kept = [(row["file"], row["line"], row["reason"]) for row in held(yard)]
    assert yard.run("check").exit_code == 0
    return {"counts": counts, "placed": placed, "held": kept}


@pytest.mark.slow
@pytest.mark.parametrize("seed", range(8))
def test_a_book_with_known_parts_is_as_if_all_was_read(
    seed: int, stage: Yard, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Files cut into small parts, many of them known, leave the book that whole ones leave."""
    beside = copied(stage.book, tmp_path / "beside")
    monkeypatch.setattr("ledger.tables.raw_files.PART", LARGE)
    whole = told(stage, loads_of(seed))
    monkeypatch.setattr("ledger.tables.raw_files.PART", SMALL)

    assert told(beside, loads_of(seed)) == whole


def test_a_last_part_without_a_line_feed_is_read(stage: Yard, read: list[int]) -> None:
    """Its last line is one too: it is counted, and not missed by a sheet given again."""
    text = HEAD + days(2, 20)[:-1]
    for name, hours in (("a.csv", "8"), ("b.csv", "7")):
        (stage.folder / name).write_text(text.replace(",8,", f",{hours},", 1))
        said = stage.json("load", "sheets", stage.folder / name)["files"][0]

    assert read[1] < 18
    assert (said["lines_read"], said["already_booked"]) == (18, 17)


@pytest.mark.slow
def test_a_held_line_that_ended_as_another_is_read_again(stage: Yard, read: list[int]) -> None:
    """Matched with a line that was reversed since, it stands nowhere: it is held anew."""
    rows = HEAD + "S50,A1,2026-03-x5,8,DECK,\n" + days(10, 20)
    stage.run("load", "sheets", stage.write("x.csv", HEAD + "S50,A1,2026-03-05,8,DECK,\n"))
    stage.run("load", "sheets", stage.write("a.csv", rows))
    line, why = stage.json("held")[0]["held_line"], ("--reason", "asked")
    stage.run("correct", "line", line, "date=2026-03-05", *why)
    stage.run("reverse", "entry", stage.json("entries", "--day", "2026-03-05")[0]["entry"], *why)
    longer = stage.write("b.csv", rows + "S60,A1,2026-04-01,8,DECK,\n")
    said = stage.json("load", "sheets", longer)["files"][0]

    assert (said["booked"], said["held"], said["already_booked"]) == (1, 1, 10)


@pytest.fixture
def read(monkeypatch: pytest.MonkeyPatch) -> list[int]:
    """Cut files into small parts; give how many lines were read of each."""
    found: list[int] = []
    real: Any = NewLines._read

    def noted(*given: Any) -> Any:
        result = real(*given)
        found.append(result[0].lines)
        return result

    monkeypatch.setattr("ledger.tables.raw_files.PART", SMALL)
    monkeypatch.setattr(NewLines, "_read", noted)
    return found


def days(first: int, last: int, code: str = "DECK") -> str:
    return "".join(f"S{day},A1,2026-03-{day:02d},8,{code},\n" for day in range(first, last))


def test_a_file_that_grew_is_read_from_where_it_grew(stage: Yard, read: list[int]) -> None:
    """What stands in whole parts of the earlier file is counted, and all is said as ever."""
    stage.run("load", "sheets", stage.write("a.csv", HEAD + days(2, 20)))
    longer = stage.write("b.csv", HEAD + days(2, 24))
    said = stage.json("load", "sheets", longer)["files"][0]

    # 18 lines of 24 bytes: three parts of some 120 bytes and a rest.
    assert read[0] == 18
    assert 4 <= read[1] < 12
    assert (said["lines_read"], said["booked"], said["already_booked"]) == (22, 4, 18)


@pytest.mark.parametrize(
    ("between", "words"),
    [
        ("another job", ("--job", JOB)),
        ("reversed", ()),
        ("quotes", ()),
    ],
)
def test_what_may_read_otherwise_is_read_whole(
    stage: Yard, read: list[int], between: str, words: tuple[str, ...]
) -> None:
    """Given with another job, reversed with its file, or with quotes in it, no part is known."""
    stage.run("load", "sheets", stage.write("a.csv", HEAD + days(2, 20)))
    if between == "reversed":
        stage.run("reverse", "file", "a.csv", "--reason", "wrong week")
    last = 'S24,A1,2026-03-24,8,DECK,"x"\n' if between == "quotes" else ""
    stage.json("load", "sheets", *words, stage.write("b.csv", HEAD + days(2, 24) + last))

    assert read[1] == 22 + bool(last)


def test_a_line_left_out_of_a_sheet_is_seen_though_its_part_is_gone(
    stage: Yard, read: list[int]
) -> None:
    """A worker's day that stands in a known part and in one that is gone is compared whole."""
    day = "S1,A1,2026-03-02,{},DECK,\n"
    rows = [day.format(hours) for hours in (1, 2, 3)] + [days(4, 12)] + [day.format(4)]
    stage.run("load", "sheets", stage.write("a.csv", HEAD + "".join(rows) + days(12, 20)))
    stage.run("load", "sheets", stage.write("b.csv", HEAD + "".join(rows[:-1]) + days(12, 20)))

    assert read[1] < read[0]
    assert {row["sheet"] for row in stage.json("reissues")} == {"S1"}


def test_the_text_of_a_line_is_read_from_its_part_alone(
    stage: Yard, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The life of a line in the midst of a long file needs its part, and the head's, no other."""
    monkeypatch.setattr("ledger.tables.raw_files.PART", SMALL)
    stage.run("load", "sheets", stage.write("a.csv", HEAD + days(2, 30, "FRAME")))
    for line in (2, 15, 29):
        entry = next(row["entry"] for row in stage.json("entries") if row["line"] == line)
        parts = len(table(stage, "file_part"))
        read: list[int] = []
        real = file_parts.kept_parts

        def noted(*given: Any, real: Any = real, read: list[int] = read, **how: Any) -> Any:
            found = real(*given, **how)
            read.append(len(found))
            return found

        monkeypatch.setattr("ledger.sheets.written_lines.kept_parts", noted)
        life = stage.rows(stage.run("trace", entry, "--format", "csv").stdout)

        assert f'"sheet":"S{line}"' in life[0]["detail"]
        assert read == [1 if line == 2 else 2]
        assert parts > 5
