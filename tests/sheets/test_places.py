"""Where hours are booked: by rules, then by code, else untagged; every millisecond once."""

import contextlib
import re
import tempfile
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, Phase, given, settings
from hypothesis import strategies as st

from ledger.commands.finishing import DECIDING
from ledger.resources import root
from ledger.store.patterns import AT_ONCE
from ledger.store.schema import TABLES, WITHDRAWABLE
from tests._stage import (
    JOB,
    SAMPLE,
    SHEET_HEAD,
    booked,
    copied,
    load,
    load_sheets,
    places_by_entry,
    sums_by_entry,
    table,
    times_by_entry,
)
from tests.conftest import Yard, slow_beyond

HOUR = 3_600_000
CAUSES = """
    [overhead]
    SWEEP = "clean_up"

    [absence]
    LEAVE = "leave"
    """
RULE_HEAD = "rule,priority,booked_to,cause,booking_code,note_contains,note_matches,"
RULE_HEAD += "worker_id,trade,job,from,to,share,rework\n"


def rule(name: str, priority: int, booked_to: str = "", **conditions: str) -> str:
    """Return one row of a rules file."""
    given = {"rule": name, "priority": str(priority), "booked_to": booked_to} | conditions
    return ",".join(given.get(head, "") for head in RULE_HEAD.strip().split(",")) + "\n"


def load_rules(yard: Yard, *rows: str) -> None:
    yard.run("load", "rules", yard.write("rules.csv", RULE_HEAD + "".join(rows)))


def line(code: str, note: str = "", hours: str = "8", worker: str = "A1") -> str:
    return f"{worker},2026-03-02,{hours},{code},{note}\n"


BY_CODE = [
    ("DECK", (JOB, "DECK", "", "")),
    (" deck ", (JOB, "DECK", "", "")),
    ("\tDeck\t", (JOB, "DECK", "", "")),
    ("rain", (JOB, "non_productive", "weather", "")),
    ("SWEEP", ("", "overhead", "clean_up", "")),
    ("leave", ("", "absence", "leave", "")),
    ("SHED", (JOB, "untagged", "", "")),
    ("", (JOB, "untagged", "", "")),
    ("DECKS", (JOB, "untagged", "", "")),
]


@pytest.mark.parametrize(("code", "place"), slow_beyond(5, BY_CODE))
def test_a_code_says_where_hours_belong(
    stage: Yard, code: str, place: tuple[str, str, str, str]
) -> None:
    """A code is trimmed and compared without case; overhead and absence are in no job."""
    stage.run("load", "settings", stage.write("more.toml", CAUSES))
    load_sheets(stage, SHEET_HEAD + line(code))

    assert booked(stage) == {place: 8 * HOUR}


def test_a_code_with_letters_beyond_ascii_is_known(stage: Yard) -> None:
    """Capitals are made alike for packages and sheets, whatever the letters."""
    head = "work_package,title,control_account,trade,budget_hours,planned_start,planned_finish,"
    row = "Fuß,Foot,hull,carpenter,8,2026-03-02,2026-03-06,percent_complete\n"
    load(stage, "estimate", f"{head}technique\n{row}")
    load_sheets(stage, SHEET_HEAD + line("fuß"))

    assert [(job, place != "untagged") for job, place, _, _ in booked(stage)] == [(JOB, True)]


def test_the_rule_of_the_lowest_priority_number_decides(stage: Yard) -> None:
    """Of the rules that match, the lowest priority number wins over others and over the code."""
    load_rules(
        stage,
        rule("late", 20, "FRAME", note_contains="bench"),
        rule("early", 10, "RAIL", note_contains="BENCH"),
        rule("other", 1, "FRAME", note_contains="ladder"),
    )
    load_sheets(stage, SHEET_HEAD + line("DECK", "New Bench"))

    assert booked(stage) == {(JOB, "RAIL", "", ""): 8 * HOUR}


CONDITIONS = [
    ({"booking_code": "deck"}, True),
    ({"booking_code": "RAIL"}, False),
    ({"note_contains": "bolt"}, True),
    ({"note_matches": "^[0-9]+ bolts$"}, True),
    ({"note_matches": "^bolts$"}, False),
    ({"worker_id": "a1"}, True),
    ({"worker_id": "B2"}, False),
    ({"trade": "carpenter"}, True),  # the crew's trade on the day
    ({"trade": "labourer"}, False),
    ({"job": "stage"}, True),
    ({"job": "OTHER"}, False),
    ({"from": "2026-03-02", "to": "2026-03-02"}, True),
    ({"from": "2026-03-03"}, False),
    ({"to": "2026-03-01"}, False),
    ({"worker_id": "A1", "note_contains": "plank"}, False),
]


@pytest.mark.parametrize(("conditions", "matches"), slow_beyond(6, CONDITIONS))
def test_a_rule_matches_when_all_its_conditions_do(
    stage: Yard, conditions: dict[str, str], matches: bool
) -> None:
    """Every condition that a rule names has to hold; without a match the code decides."""
    load_rules(stage, rule("one", 1, "FRAME", **conditions))
    load_sheets(stage, SHEET_HEAD + line("DECK", "12 bolts"))

    assert booked(stage) == {(JOB, "FRAME" if matches else "DECK", "", ""): 8 * HOUR}


TEXTS = [
    ({"note_contains": "it's"}, True),
    ({"note_contains": "12", "note_matches": "^it's .*%s$"}, True),
    ({"note_contains": "12", "note_matches": "^bolts"}, False),
    ({"note_contains": "nuts", "note_matches": "^it's"}, False),
    ({"note_contains": "12", "booking_code": "DECK"}, True),
    ({"note_matches": "'; DROP TABLE line; --"}, False),
]


@pytest.mark.parametrize(("texts", "matches"), slow_beyond(2, TEXTS))
def test_a_text_is_taken_as_it_is_written(
    stage: Yard, texts: dict[str, str], matches: bool
) -> None:
    """Quotes and signs in a rule's texts are no more than text; of two both have to fit."""
    load_sheets(stage, SHEET_HEAD + line("DECK", "it's 12 bolts of $1 %s"))
    load_rules(stage, rule("one", 1, "FRAME", **texts))

    assert booked(stage) == {(JOB, "FRAME" if matches else "DECK", "", ""): 8 * HOUR}


@pytest.mark.slow
def test_more_texts_than_are_asked_at_once_all_count(stage: Yard) -> None:
    """With hundreds of rules about notes the first and the last still act."""
    texts = ["bolts", *(f"never {number}" for number in range(2 * AT_ONCE)), "planks"]
    load_sheets(stage, SHEET_HEAD + line("DECK", "12 bolts") + line("DECK", "3 planks", "4"))
    load_rules(stage, *(rule(f"r{n}", n, "FRAME", note_contains=t) for n, t in enumerate(texts)))

    assert booked(stage) == {(JOB, "FRAME", "", ""): 12 * HOUR}


def test_rules_of_one_priority_that_disagree_leave_hours_untagged(stage: Yard) -> None:
    """Two rules of one priority with different results book nowhere; nor does the code."""
    load_rules(
        stage,
        rule("one", 5, "RAIL", note_contains="bench"),
        rule("two", 5, "FRAME", worker_id="A1"),
    )
    load_sheets(stage, SHEET_HEAD + line("DECK", "bench"))

    assert booked(stage) == {(JOB, "untagged", "", ""): 8 * HOUR}
    assert [row["reason"] for row in table(stage, "posting")] == ["rules_disagree"]


def test_rules_of_one_priority_that_agree_book(stage: Yard) -> None:
    """Two rules of one priority with the same result are no disagreement."""
    load_rules(
        stage,
        rule("one", 5, "RAIL", note_contains="bench"),
        rule("two", 5, "RAIL", worker_id="A1"),
    )
    load_sheets(stage, SHEET_HEAD + line("DECK", "bench"))

    assert booked(stage) == {(JOB, "RAIL", "", ""): 8 * HOUR}


RESULTS = [
    ("OVERHEAD", "tidying", "", ("", "overhead", "tidying", "")),
    ("ABSENCE", "sick", "", ("", "absence", "sick", "")),
    ("NON_PRODUCTIVE", "waiting", "", (JOB, "non_productive", "waiting", "")),
    ("UNTAGGED", "", "", (JOB, "untagged", "", "")),
    ("rail", "", "", (JOB, "RAIL", "", "")),
    ("NOWHERE", "", "", (JOB, "untagged", "", "")),
    ("", "", "setting_out", (JOB, "DECK", "", "setting_out")),
]


@pytest.mark.parametrize(("booked_to", "cause", "rework", "place"), slow_beyond(4, RESULTS))
def test_a_rule_books_to_what_it_names(
    stage: Yard, booked_to: str, cause: str, rework: str, place: tuple[str, str, str, str]
) -> None:
    """A rule books to a package, outside the job, to lost time, or leaves the place to the code."""
    load_rules(stage, rule("one", 1, booked_to, cause=cause, rework=rework, worker_id="A1"))
    load_sheets(stage, SHEET_HEAD + line("DECK"))

    assert booked(stage) == {place: 8 * HOUR}


REWORK = [
    ("", "", ""),
    ("", "setting_out", "setting_out"),
    ("workmanship", "", "workmanship"),
    ("workmanship", "setting_out", "workmanship"),
]


@pytest.mark.parametrize(("of_rule", "of_sheet", "cause"), slow_beyond(2, REWORK))
def test_rework_of_a_rule_stands_over_that_of_the_sheet(
    stage: Yard, of_rule: str, of_sheet: str, cause: str
) -> None:
    """Work done again keeps its place; the rule's cause stands over the sheet's."""
    if of_rule:
        load_rules(stage, rule("again", 1, rework=of_rule, worker_id="A1"))
    load_sheets(
        stage, f"worker_id,date,hours,booking_code,rework\nA1,2026-03-02,8,DECK,{of_sheet}\n"
    )

    assert booked(stage) == {(JOB, "DECK", "", cause): 8 * HOUR}


def thirds(*names: str) -> list[str]:
    shares = ("0.333333333", "0.333333333", "0.333333334")
    return [
        rule("split", 1, name, note_contains="split", share=share)
        for name, share in zip(names, shares, strict=True)
    ]


def test_odd_milliseconds_go_to_the_largest_fraction_then_the_first(stage: Yard) -> None:
    """A split loses no millisecond: 36 ms in halves of a quarter and in thirds."""
    quarter = [
        rule("part", 1, "RAIL", note_contains="part", share="0.125"),
        rule("part", 1, "DECK", note_contains="part", share="0.125"),
        rule("part", 1, "FRAME", note_contains="part", share="0.75"),
    ]
    load_rules(stage, *quarter, *thirds("FRAME", "DECK", "RAIL"))
    load_sheets(stage, SHEET_HEAD + line("DECK", "part", "0.00001"))
    first = booked(stage)
    load_sheets(stage, SHEET_HEAD + line("DECK", "split", "0:00:01"), "more.csv")
    both = booked(stage)

    # 36 x 0.125 = 4.5 twice, 27: the odd one to the first named.
    assert first == {(JOB, "RAIL", "", ""): 5, (JOB, "DECK", "", ""): 4, (JOB, "FRAME", "", ""): 27}
    # 1000 x 0.333333334 = 333.333333334 has the largest fraction.
    assert both == {
        (JOB, "RAIL", "", ""): 5 + 334,
        (JOB, "DECK", "", ""): 4 + 333,
        (JOB, "FRAME", "", ""): 27 + 333,
    }


OTHER_JOB = """
    [job]
    code = "QUAY"
    title = "Quay wall"
    owner = "The harbour"
    contract_sum = "1000.00"
    contract_date = 2026-02-23
    planned_start = 2026-03-02
    planned_finish = 2026-03-27
    """
ESTIMATE_HEAD = (
    "work_package,title,control_account,trade,budget_hours,planned_start,planned_finish,technique\n"
)


def estimate_of_quay(yard: Yard, *codes: str) -> None:
    rows = "".join(
        f"{code},Part,wall,carpenter,8,2026-03-02,2026-03-06,percent_complete\n" for code in codes
    )
    yard.run("load", "job", yard.write("quay.toml", OTHER_JOB))
    yard.run("load", "estimate", "--job", "QUAY", yard.write("quay.csv", ESTIMATE_HEAD + rows))


JOBS = [
    ("", "WALL", ("QUAY", "WALL", "", "")),  # the one job that has the code
    ("", "RAIL", (JOB, "RAIL", "", "")),
    ("", "DECK", ("", "untagged", "", "")),  # both jobs have it
    ("", "RAIN", ("", "untagged", "", "")),  # a cause of both
    ("quay", "DECK", ("QUAY", "DECK", "", "")),
    ("STAGE", "DECK", (JOB, "DECK", "", "")),
    ("STAGE", "WALL", (JOB, "untagged", "", "")),  # not of that job
    ("NONE", "DECK", ("", "untagged", "", "")),  # no such job
]


@pytest.mark.parametrize(("given", "code", "place"), slow_beyond(4, JOBS))
def test_the_job_is_the_lines_own_else_the_one_that_has_the_code(
    stage: Yard, given: str, code: str, place: tuple[str, str, str, str]
) -> None:
    """A line without a job belongs to the only job that has its code, else to none."""
    estimate_of_quay(stage, "WALL", "DECK")
    text = f"worker_id,date,hours,booking_code,job\nA1,2026-03-02,8,{code},{given}\n"
    stage.run("load", "sheets", stage.write("week.csv", text))

    assert booked(stage) == {place: 8 * HOUR}


def test_the_lines_own_job_stands_over_the_commands(stage: Yard) -> None:
    """--job is for lines that name no job."""
    estimate_of_quay(stage, "DECK")
    head = "worker_id,date,hours,booking_code,job\n"
    load_sheets(stage, head + "A1,2026-03-02,8,DECK,QUAY\nB2,2026-03-02,4,DECK,\n")

    assert booked(stage) == {("QUAY", "DECK", "", ""): 8 * HOUR, (JOB, "DECK", "", ""): 4 * HOUR}


def test_a_late_package_takes_the_hours_that_waited(stage: Yard) -> None:
    """Untagged hours move, by signed postings, when their code becomes known; once."""
    load_sheets(stage, SHEET_HEAD + line("SHED"))
    estimate = (SAMPLE / "estimate.csv").read_text(encoding="utf-8")
    row = "SHED,Tool shed,fittings,carpenter,8,2026-03-02,2026-03-06,percent_complete,,,,,\n"
    said = load(stage, "estimate", estimate + row)
    load(stage, "estimate", estimate + row)
    moves = [(p["booked_to"], int(p["ms"]), p["reason"]) for p in table(stage, "posting")]

    assert said.splitlines()[-2:] == [
        "1 entry moved, 8.00 h:",
        "  STAGE untagged -> STAGE SHED: 8.00 h",
    ]
    assert sorted(moves) == [
        ("SHED", 8 * HOUR, "code"),
        ("untagged", -8 * HOUR, "moved"),
        ("untagged", 8 * HOUR, "unknown_code"),
    ]


def test_a_package_that_leaves_the_estimate_leaves_its_hours_untagged(stage: Yard) -> None:
    """A revision of the estimate before the freeze is whole: what it leaves out has no code."""
    load_sheets(stage, SHEET_HEAD + line("RAIL"))
    estimate = (SAMPLE / "estimate.csv").read_text(encoding="utf-8")
    load(stage, "estimate", "".join(estimate.splitlines(keepends=True)[:-1]))

    assert booked(stage) == {(JOB, "untagged", "", ""): 8 * HOUR}


def test_a_setting_that_takes_a_packages_code_books_no_hour_twice(stage: Yard) -> None:
    """Whatever the settings say, the postings of an entry sum to its time."""
    load_sheets(stage, SHEET_HEAD + line("DECK"))
    settings_file = stage.write("more.toml", '[non_productive]\nDECK = "weather"\n')
    # Refusing the settings is well; the requirement is on the postings.
    with contextlib.suppress(AssertionError):
        stage.run("load", "settings", settings_file)

    assert sums_by_entry(stage) == times_by_entry(stage)


RULE_SETS = st.lists(
    st.tuples(
        st.integers(1, 2),
        st.sampled_from(["DECK", "RAIL", "SHED", "OVERHEAD", "NON_PRODUCTIVE", ""]),
        st.sampled_from(["", "A1", "B2"]),
        st.sampled_from(["1", "0.5", "0.333333333", "0.125"]),
        st.sampled_from(["", "setting_out"]),
    ),
    min_size=1,
    max_size=4,
)
WORK = st.lists(
    st.tuples(
        st.sampled_from(["A1", "B2", "C3"]),
        st.sampled_from(["0", "0.00001", "0:00:01", "7.33333", "24"]),
        st.sampled_from(["DECK", "rain", "SHED", ""]),
    ),
    min_size=1,
    max_size=6,
)


@pytest.mark.slow
@settings(
    max_examples=4,
    deadline=None,
    phases=(Phase.explicit, Phase.generate),
    suppress_health_check=[HealthCheck.function_scoped_fixture],
)
@given(drawn=RULE_SETS, work=WORK)
def test_the_postings_of_an_entry_always_sum_to_its_time(
    prepared: Path, drawn: list[tuple[Any, ...]], work: list[tuple[str, str, str]]
) -> None:
    """Under any rules, loaded before or after, postings sum to the entry and none is negative."""
    rows = []
    for place, (priority, booked_to, worker, share, rework) in enumerate(drawn):
        rest = {"worker_id": worker, "rework": rework}
        rows.append(rule(f"r{place}", priority, booked_to, share=share, **rest))
        if share != "1":
            left = {"0.5": "0.5", "0.333333333": "0.666666667", "0.125": "0.875"}[share]
            rows.append(rule(f"r{place}", priority, "FRAME", share=left, **rest))
    text = SHEET_HEAD + "".join(line(code, "", hours, worker) for worker, hours, code in work)
    with tempfile.TemporaryDirectory() as folder:
        after = copied(prepared, Path(folder) / "after")
        load_sheets(after, text)
        load_rules(after, *rows)
        before = copied(prepared, Path(folder) / "before")
        load_rules(before, *rows)
        load_sheets(before, text)
        sums, times = sums_by_entry(after), times_by_entry(after)
        standing = places_by_entry(after)
        moved, at_once = booked(after), booked(before)

    assert sums == times
    assert all(ms > 0 for found in standing.values() for ms in found.values())
    assert moved == at_once


# What is asked where an entry belongs, and whether a held line can be read.
ASKED = (
    *("entries_to_place", "places_by_code", "places", "entries_placed", "posting_differences"),
    *("lines_parsed", "held_rejudged", "held_for_another_reason", "held_lines", "lines_corrected"),
    "names_known",
)
# Written by loads of sheets and by corrections, which post the places of their own entries; of
# closings only a reopened period frees entries, which its command says to the ending.
OF_LINES = {"closing", "entry", "file", "held_text", "line_correction", "posting"}


def test_a_load_looks_again_whenever_it_adds_to_what_decides() -> None:
    """The tables that the queries read are those that make a load look again."""
    of_sheets = (f"sheets/{name}" for name in ASKED)
    asked = (
        "jobs/codes_known",
        *of_sheets,
        "macros/closed_entry",
        "macros/fixed_entry",
        "macros/planned_package",
        "macros/package_version",
        "macros/rebaselined",
    )
    texts = [(root("queries") / f"{name}.sql").read_text(encoding="utf-8") for name in asked]
    read = {name for text in texts for name in re.findall(r"(?:known|current)_(\w+)\(", text)}

    # What was withdrawn is left out of every table that it can be withdrawn from.
    read |= {"withdrawal"} if read & WITHDRAWABLE else set()

    assert read & set(TABLES) - OF_LINES == DECIDING
