"""Random files with and without job, times and sheet names, against the rules written again."""

import tempfile
from collections import Counter
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

import pytest
from hypothesis import HealthCheck, Phase, given, settings
from hypothesis import strategies as st

from tests._stage import JOB, booked, copied
from tests.conftest import Yard
from tests.sheets.test_identity import load, with_second_job

FEW = settings(
    max_examples=6,
    deadline=None,
    phases=(Phase.explicit, Phase.generate),
    suppress_health_check=[HealthCheck.function_scoped_fixture],
)
HOUR = 3_600_000
HEAD = "sheet,worker_id,date,hours,start,finish,booking_code\n"
# Lost time is a code of both jobs, so that a line that names no job has none.
LINES = st.tuples(
    st.sampled_from(["2026-03-02", "2026-03-03"]),
    st.sampled_from([2, 4]),
    st.sampled_from(["", "07:00", "12:00"]),
    st.sampled_from(["DECK", "RAIN"]),
)
FILES = st.tuples(
    st.lists(LINES, min_size=1, max_size=4),
    st.booleans(),
    st.sampled_from(["", "S1", "s1", "S2"]),
)


@dataclass
class Line:
    """A line with its sheet in small letters, and whether it stands in the reckoned book."""

    day: str
    hours: int
    start: str
    code: str
    job: str
    named: bool
    sheet: str
    stands: bool = True


Alike = Callable[[Line, Line], bool]


def same(one: Line, other: Line, *, but: str = "") -> bool:
    names = {"day", "hours", "start", "code", "job", "sheet"} - {but}
    return all(getattr(one, name) == getattr(other, name) for name in names)


def paired(lines: list[Line], book: list[Line], alike: Alike) -> list[tuple[Line, Line]]:
    """Pair lines with those of the book, each once, and take both out of the lists."""
    pairs = []
    for line in [*lines]:
        for other in book:
            if alike(line, other):
                pairs.append((line, other))
                lines[:] = [each for each in lines if each is not line]
                book[:] = [each for each in book if each is not other]
                break
    return pairs


def is_copy(left: list[Line], known: list[tuple[Line, Line]], total: int, book: list[Line]) -> bool:
    """Return whether all lines of a sheet stand under other sheets' names."""
    rejected = sum(not other.stands for _, other in known)

    def key(line: Line) -> tuple[object, ...]:
        return line.day, line.hours, line.start, line.code, line.job

    others = Counter(key(each) for each in book if each.stands and each.sheet != left[0].sheet)
    return total == len(left) + rejected and Counter(map(key, left)) <= others


def taken(book: list[Line], lines: list[Line]) -> None:
    """Add the lines of a file to the reckoned book; those that are held are rejected at once."""
    left, others = [*lines], [*book]
    known = paired(left, others, same)
    new = [*left]
    near = paired(left, others, lambda a, b: same(a, b, but="job") and a.named != b.named)
    near += paired(left, others, lambda a, b: same(a, b, but="start") and "" in {a.start, b.start})
    copy = bool(left) and is_copy(left, known, len(lines), others)
    asked = {id(line) for line, _ in near}
    days = {each.day for each in left}
    standing = {(each.sheet, each.day) for each in book if each.stands and each.sheet}
    for line in new:
        reissue = line.day in days and (line.sheet, line.day) in standing
        line.stands = not (id(line) in asked or copy or reissue)
    book += new


def text_of(lines: list[tuple[str, int, str, str]], sheet: str) -> str:
    rows = []
    for day, hours, start, code in lines:
        finish = f"{int(start[:2]) + hours:02d}:00" if start else ""
        rows.append(f"{sheet},A1,{day},{hours},{start},{finish},{code}\n")
    return HEAD + "".join(rows)


def loaded(stage: Yard, name: str, text: str, *, with_job: bool) -> None:
    """Load a file and reject what of it is held."""
    counts = load(stage, text, name, *(("--job", JOB) if with_job else ()))
    if counts.get("held"):
        stage.run("reject", "line", "--file", name, "--reason", "the same")


@pytest.fixture(scope="module")
def two_jobs(prepared: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A book with a second job, so that lost time is of two."""
    yard = copied(prepared, tmp_path_factory.mktemp("two-jobs"))
    with_second_job(yard, "KEEL")
    return yard.book


@pytest.mark.slow
@FEW
@given(files=st.lists(FILES, min_size=1, max_size=4), data=st.data())
def test_random_files_loaded_twice_come_to_the_hours_reckoned(
    two_jobs: Path,
    files: list[tuple[list[tuple[str, str, str, str]], bool, str]],
    data: st.DataObject,
) -> None:
    """Every file twice, in any order: what stands is what the rules say, line by line."""
    order = data.draw(st.permutations([*range(len(files))] * 2))
    book: list[Line] = []
    with tempfile.TemporaryDirectory() as folder:
        stage = copied(two_jobs, Path(folder))
        for number in order:
            rows, with_job, sheet = files[number]
            of = {code: JOB if with_job or code == "DECK" else "" for code in ("DECK", "RAIN")}
            lines = [
                Line(day, hours, start, code, of[code], with_job, sheet.lower())
                for day, hours, start, code in rows
            ]
            taken(book, lines)
            loaded(stage, f"{number}.csv", text_of(rows, sheet), with_job=with_job)
        reckoned = sum(each.hours for each in book if each.stands)

        assert sum(booked(stage).values()) == reckoned * HOUR
        assert stage.run("held", "--by", "file", "--format", "csv").stdout == "file,lines\n"
        assert stage.run("check").exit_code == 0
