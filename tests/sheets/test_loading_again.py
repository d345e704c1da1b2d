"""Loading again adds nothing; the order of loading and the split into files decide nothing."""

import itertools
import tempfile
from collections import Counter
from collections.abc import Iterable, Sequence
from pathlib import Path

import pytest
from hypothesis import HealthCheck, Phase, given, settings
from hypothesis import strategies as st

from tests._stage import (
    JOB,
    JOB_FILES,
    SAMPLE,
    SHEET_HEAD,
    YARD_FILES,
    Content,
    batches,
    content,
    copied,
    held,
    load_sheets,
)
from tests.conftest import Yard

# A book is slow to make: few examples, and the first that fails is shown as it is.
FEW = settings(
    max_examples=4,
    deadline=None,
    phases=(Phase.explicit, Phase.generate),
    suppress_health_check=[HealthCheck.function_scoped_fixture],
)
WEEKS = [f"sheets-week-{week}.csv" for week in (10, 11, 12)]
OF_THE_YARD = [*YARD_FILES, ("rules", "rules.csv")]
OF_THE_JOB = [*JOB_FILES, ("charge-rates", "charge-rates.csv"), ("changes", "changes.csv")]


@pytest.mark.parametrize(("thing", "name"), OF_THE_YARD)
def test_a_file_of_the_yard_loaded_again_adds_no_batch(stage: Yard, thing: str, name: str) -> None:
    """The same file loaded twice is one batch at most."""
    stage.run("load", thing, SAMPLE / name)
    before = batches(stage)
    stage.run("load", thing, SAMPLE / name)

    assert batches(stage) == before


@pytest.mark.parametrize(("thing", "name"), OF_THE_JOB)
def test_a_file_of_the_job_loaded_again_adds_no_batch(stage: Yard, thing: str, name: str) -> None:
    """The same file loaded twice is one batch at most."""
    stage.run("load", thing, "--job", JOB, SAMPLE / name)
    before = batches(stage)
    stage.run("load", thing, "--job", JOB, SAMPLE / name)

    assert batches(stage) == before


def test_sheets_loaded_again_are_already_booked_or_already_held(stage: Yard) -> None:
    """The second load of a week books and holds nothing, and says so line by line."""
    week = (SAMPLE / WEEKS[1]).read_text(encoding="utf-8")
    first, before = load_sheets(stage, week), content(stage)
    second = load_sheets(stage, week)

    # 14 lines: 25 hours in a day and an unknown worker are held.
    assert (first["lines_read"], first["booked"], first["held"]) == (14, 12, 2)
    assert (second["already_booked"], second["already_held"]) == (12, 2)
    assert (second["booked"], second["held"]) == (0, 0)
    assert content(stage) == before


@pytest.mark.slow
def test_the_same_bytes_again_come_to_what_their_lines_come_to(stage: Yard) -> None:
    """A file known by its digest is counted as the same lines are that are read one by one.

    Its held lines have ended in every way meanwhile, and one of its entries is reversed.
    """
    wrong = [f'A1,2026-03-{day:02d},"7,5",DECK,\n' for day in (2, 3, 4, 5)]
    text = SHEET_HEAD + "".join(wrong) + "A1,2026-03-06,8,DECK,\nA1,2026-03-09,8,DECK,\n"
    load_sheets(stage, text)
    why = ("--reason", "asked the foreman")
    lines = [row["held_line"] for row in held(stage)]
    stage.run("correct", "line", lines[0], "hours=7.5", *why)
    stage.run("reject", "line", lines[1], *why)
    stage.run("correct", "line", lines[2], "hours=8", "date=2026-03-06", *why)
    stage.run("reverse", "entry", stage.json("entries")[-1]["entry"], *why)
    # Blank lines at the end make other bytes of the same lines.
    again = load_sheets(stage, text, "again.csv")
    others = load_sheets(stage, text + "\n\n", "others.csv")
    counted = ("lines_read", "booked", "held", "already_booked", "already_held", "left_out")

    # Held is the fourth of the lines that could not be read, rejected the second.
    assert {name: again[name] for name in counted} == {
        "lines_read": 6,
        "booked": 0,
        "held": 0,
        "already_booked": 4,
        "already_held": 2,
        "left_out": 0,
    }
    assert {name: others[name] for name in counted} | {"left_out": 0} == {
        name: again[name] for name in counted
    }


@pytest.mark.parametrize("at_once", [True, False], ids=["one command", "two commands"])
def test_equal_bytes_under_the_name_of_another_worker_are_his(stage: Yard, at_once: bool) -> None:
    """Where a file's name tells the worker, two files of the same bytes are two sheets."""
    keys = 'tab = "worker_id"\n[columns]\nbooking_code = "code"\n'
    layout = ("--layout", stage.write("by-name.toml", keys))
    text = "date,hours,code\n2026-03-16,8,FRAME\n2026-03-17,8,DECK\n"
    files = [stage.write(f"{worker}.csv", text) for worker in ("A1", "B2")]
    for together in [files] if at_once else [[each] for each in files]:
        stage.run("load", "sheets", "--job", JOB, *layout, *together)
    again = stage.json("load", "sheets", "--job", JOB, *layout, *files)["files"]
    workers = Counter(row["worker_id"] for row in stage.json("entries"))

    assert workers == {"A1": 2, "B2": 2}
    assert [each["already_booked"] for each in again] == [2, 2]


def test_equal_lines_of_a_file_are_each_a_line(stage: Yard) -> None:
    """Two equal lines of one file are two lines; a third one in a later file is new."""
    head = "worker_id,date,hours,booking_code\n"
    line = "A1,2026-03-02,2,DECK\n"
    first = load_sheets(stage, head + line * 2)
    second = load_sheets(stage, head + line * 3)

    assert (first["booked"], first["already_booked"]) == (2, 0)
    assert (second["booked"], second["already_booked"]) == (1, 2)


ORDERED = [
    (("settings",), SAMPLE / "settings.toml"),
    (("crew",), SAMPLE / "crew.csv"),
    (("rates",), SAMPLE / "rates.csv"),
    (("rules",), SAMPLE / "rules.csv"),
    *((("sheets", "--job", JOB), SAMPLE / week) for week in WEEKS),
]
OF_A_JOB = [
    (("job",), SAMPLE / "job.toml"),
    (("estimate", "--job", JOB), SAMPLE / "estimate.csv"),
    (("changes", "--job", JOB), SAMPLE / "changes.csv"),
]


def loaded(order: Sequence[tuple[tuple[str, ...], Path]], folder: Path) -> Yard:
    yard = Yard(folder)
    for words, path in order:
        yard.run("load", *words, path)
    return yard


@pytest.fixture(scope="module")
def in_plain_order(tmp_path_factory: pytest.TempPathFactory) -> Content:
    """What the sample's book holds when crew, job and codes come before the sheets."""
    order = [ORDERED[0], *OF_A_JOB, *ORDERED[1:]]
    return content(loaded(order, tmp_path_factory.mktemp("plain")))


def test_the_plain_order_books_something(
    in_plain_order: Content,
) -> None:
    """The comparison below is of books with entries, held lines and more than one place."""
    entries, waiting, places = in_plain_order

    # 12 + 14 + 14 lines in all, three of them held.
    assert (len(entries), len(waiting)) == (37, 3)
    assert {place[1] for place in places} >= {"FRAME", "DECK", "CR2", "non_productive", "untagged"}


@pytest.mark.slow
@FEW
@given(data=st.data())
def test_the_order_of_loading_decides_nothing(in_plain_order: Content, data: st.DataObject) -> None:
    """Settings, crew, rates, rules, job, estimate, changes and sheets in any order end the same."""
    rest = data.draw(st.permutations(ORDERED))
    cuts = sorted(data.draw(st.lists(st.integers(0, len(rest)), min_size=3, max_size=3)))
    # A job comes before its estimate and its changes: they are loaded for a job by name.
    mixed = list(rest)
    for offset, (cut, step) in enumerate(zip(cuts, OF_A_JOB, strict=True)):
        mixed.insert(cut + offset, step)
    with tempfile.TemporaryDirectory() as folder:
        entries, waiting, places = content(loaded(mixed, Path(folder)))

    assert places == in_plain_order[2]
    assert entries == in_plain_order[0]
    assert waiting == in_plain_order[1]


def test_a_held_line_says_what_is_still_wrong_with_it(stage: Yard) -> None:
    """Once its worker is known, a line with a wrong date is held for its date."""
    head = "worker_id,date,hours,booking_code\n"
    load_sheets(stage, head + "D4,2026-02-31,8,DECK\n")
    crew = "worker_id,name,trade,grade\nD4,Dan Wick,carpenter,lead\n"
    stage.run("load", "crew", stage.write("crew.csv", crew))

    assert [row["reason"] for row in held(stage)] == ["date_unreadable"]


def test_a_line_held_for_its_worker_is_booked_with_the_crew(stage: Yard) -> None:
    """A line that waited for its worker only is booked when the crew is loaded, once."""
    head = "worker_id,date,hours,booking_code\n"
    load_sheets(stage, head + "D4,2026-03-02,8,DECK\n")
    crew = stage.write("crew.csv", "worker_id,name,trade,grade\nD4,Dan Wick,carpenter,lead\n")
    said = stage.run("load", "crew", crew).stderr.splitlines()
    again = load_sheets(stage, head + "D4,2026-03-02,8,DECK\n")

    assert said[-1] == "1 held line booked"
    assert held(stage) == []
    assert (again["booked"], again["already_booked"]) == (0, 1)


WORKERS = ("A1", "b2", "X9")
DAYS = ("2026-03-02", "2026-02-31")
DURATIONS = ("7.5", "7:30", "0", "25", "7,5", "0.33333")
CODES = ("DECK", "deck", "RAIN", "SHED", "")
Line = tuple[str, str, str, str]
LINES = st.tuples(*map(st.sampled_from, (WORKERS, DAYS, DURATIONS, CODES)))


def meaning(line: Line) -> tuple[object, ...]:
    """Return what makes two lines equal: worker, day, duration and code as understood."""
    worker, day, hours, code = line
    return worker.upper(), day, {"7:30": "7.5"}.get(hours, hours), code.upper()


def written(lines: Iterable[Line]) -> str:
    rows = (f'{worker},{day},"{hours}",{code}\n' for worker, day, hours, code in lines)
    return "worker_id,date,hours,booking_code\n" + "".join(rows)


def without_raw(found: Content) -> tuple[object, ...]:
    """Return content with held lines told by reason alone: equal lines may be written unequally."""
    entries, waiting, places = found
    return entries, Counter(row.partition(":")[0] for row in waiting), places


@pytest.mark.slow
@FEW
@given(lines=st.lists(LINES, min_size=1, max_size=12), data=st.data())
def test_the_split_into_files_decides_nothing(
    prepared: Path, lines: list[Line], data: st.DataObject
) -> None:
    """Lines split over files with equal lines together, and loaded twice, are one book."""
    groups = [list(same) for _, same in itertools.groupby(sorted(lines, key=meaning), meaning)]
    number = data.draw(st.lists(st.integers(0, 2), min_size=len(groups), max_size=len(groups)))
    files = [
        [line for group, at in zip(groups, number, strict=True) if at == which for line in group]
        for which in range(3)
    ]
    with tempfile.TemporaryDirectory() as folder:
        whole = copied(prepared, Path(folder) / "whole")
        load_sheets(whole, written(lines))
        split = copied(prepared, Path(folder) / "split")
        counts = [
            load_sheets(split, written(part), f"part-{place}.csv")
            for place, part in enumerate([*files, *files])
            if part
        ]
        actual, expected = content(split), content(whole)

    assert without_raw(actual) == without_raw(expected)
    for count in counts:
        became = ("booked", "held", "already_booked", "already_held")
        assert count["lines_read"] == sum(count[name] for name in became)
    assert sum(count["booked"] + count["held"] for count in counts) == len(lines)
    assert sum(count["already_booked"] + count["already_held"] for count in counts) == len(lines)
