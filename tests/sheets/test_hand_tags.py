"""Entries tagged by hand: over rules and codes, kept with the line, taken back, never lost."""

import pytest

from tests._stage import (
    JOB,
    SAMPLE,
    SHEET_HEAD,
    booked,
    load,
    load_sheets,
    sums_by_entry,
    table,
    times_by_entry,
)
from tests.conftest import Yard, slow_beyond
from tests.sheets.test_places import HOUR, estimate_of_quay, line, load_rules, rule, thirds

DECK, RAIL, FRAME = ((JOB, code, "", "") for code in ("DECK", "RAIL", "FRAME"))
UNTAGGED = (JOB, "untagged", "", "")


def tag(yard: Yard, *words: str, ok: bool = True) -> list[str]:
    """Tag entries by hand and return what was said."""
    reason = () if "--reason" in words else ("--reason", "asked the foreman")
    return yard.run("tag", "entries", *words, *reason, ok=ok).stderr.splitlines()


def entry_of(yard: Yard, place: int = 0) -> str:
    """Return the id of an entry, in the order of the book."""
    row = table(yard, "entry")[place]
    return f"{row['batch']}.{row['row']}"


def test_a_tag_by_hand_stands_over_rules_and_codes(stage: Yard) -> None:
    """By hand over rules over code over untagged; the posting says so, and rules stay below it."""
    load_rules(stage, rule("bench", 1, "RAIL", note_contains="bench"))
    load_sheets(stage, SHEET_HEAD + line("DECK", "bench") + line("SHED", hours="2"))
    tag(stage, "--untagged", "--to", "DECK")
    tag(stage, "--note-contains", "BENCH", "--to", "frame")
    load_rules(stage, rule("bench", 1, "DECK", note_contains="bench"))

    assert booked(stage) == {FRAME: 8 * HOUR, DECK: 2 * HOUR}
    moved = [(row["booked_to"], row["reason"]) for row in table(stage, "posting")][-2:]
    assert moved == [("RAIL", "moved"), ("FRAME", "hand")]
    assert sums_by_entry(stage) == times_by_entry(stage)


def test_the_newest_tag_counts_and_the_old_one_is_kept(stage: Yard) -> None:
    """Tagging again supersedes; the same tag again adds nothing."""
    load_sheets(stage, SHEET_HEAD + line("SHED"))
    tag(stage, "--untagged", "--to", "DECK")
    tag(stage, "--code", "shed", "--to", "RAIL", "--reason", "the rail's own shed")
    again = tag(stage, "--code", "shed", "--to", "RAIL")
    tags = stage.rows(stage.run("show", "hand_tag", "--all", "--format", "csv").stdout)

    assert booked(stage) == {RAIL: 8 * HOUR}
    assert again == ["1 entry tagged so already"]
    assert [(row["booked_to"], row["standing"], row["reason"]) for row in tags] == [
        ("DECK", "superseded", "asked the foreman"),
        ("RAIL", "counts", "the rail's own shed"),
    ]


def test_a_tag_taken_back_lets_rules_and_codes_count_again(stage: Yard) -> None:
    """A withdrawn tag leaves the older one, then rules, then the code."""
    load_sheets(stage, SHEET_HEAD + line("DECK"))
    tag(stage, "--code", "DECK", "--to", "RAIL")
    tag(stage, "--code", "DECK", "--to", "FRAME")
    places = []
    for row in reversed(table_of_all(stage)):
        stage.run("withdraw", "fact", row["id"], "--reason", "wrong")
        places.append(booked(stage))

    assert places == [{RAIL: 8 * HOUR}, {DECK: 8 * HOUR}]


def table_of_all(yard: Yard) -> list[dict[str, str]]:
    return yard.rows(yard.run("show", "hand_tag", "--all", "--format", "csv").stdout)


def test_a_corrected_entry_keeps_the_tag_of_its_line(stage: Yard) -> None:
    """A tag is kept with the sheet line: the entry booked anew stands where the line was tagged."""
    load_sheets(stage, SHEET_HEAD + line("DECK"))
    tag(stage, "--code", "DECK", "--to", "RAIL")
    stage.run("correct", "entry", entry_of(stage), "hours=6", "--reason", "left early")

    assert booked(stage) == {RAIL: 6 * HOUR}


@pytest.mark.slow
def test_a_line_that_a_re_issue_keeps_keeps_its_tag(stage: Yard) -> None:
    """Of a sheet handed in again the equal line stays as tagged; a line that differs is new."""
    head = "sheet,worker_id,date,hours,booking_code\n"
    load_sheets(stage, head + "S1,A1,2026-03-02,4,DECK\nS1,A1,2026-03-02,3,RAIL\n")
    tag(stage, "--worker", "a1", "--to", "FRAME")
    load_sheets(stage, head + "S1,A1,2026-03-02,4,DECK\nS1,A1,2026-03-02,2,RAIL\n", "again.csv")
    reissue = stage.json("reissues")[0]["reissue"]
    stage.run("confirm", "reissue", reissue, "--reason", "the second copy")

    assert booked(stage) == {FRAME: 4 * HOUR, RAIL: 2 * HOUR}


@pytest.mark.slow
def test_a_reversed_entry_that_stands_again_is_where_it_was_tagged(stage: Yard) -> None:
    """Reversed and undone, the hours come back to the place tagged by hand."""
    load_sheets(stage, SHEET_HEAD + line("DECK"))
    tag(stage, "--code", "DECK", "--to", "RAIL")
    stage.run("reverse", "entry", entry_of(stage), "--reason", "wrong day")
    nothing = booked(stage)
    stage.run("undo", "reversal", entry_of(stage), "--reason", "right after all")

    assert (nothing, booked(stage)) == ({}, {RAIL: 8 * HOUR})


@pytest.mark.slow
def test_hours_that_rules_split_are_tagged_whole(stage: Yard) -> None:
    """A tag moves all shares of an entry to one place, and taken back they are split again."""
    load_rules(stage, *thirds("FRAME", "DECK", "RAIL"))
    load_sheets(stage, SHEET_HEAD + line("DECK", "split", "0:00:01"))
    split = booked(stage)
    tag(stage, "--code", "DECK", "--to", "RAIL", "--rework", "setting_out")
    tagged = booked(stage)
    stage.run("withdraw", "fact", table(stage, "hand_tag")[0]["id"], "--reason", "wrong")

    assert tagged == {(JOB, "RAIL", "", "setting_out"): 1000}
    assert booked(stage) == split


REWORK = [
    ([], "workmanship"),
    (["--rework", "setting_out"], "setting_out"),
    (["--rework", "none"], ""),
]


@pytest.mark.parametrize(("words", "cause"), slow_beyond(1, REWORK))
def test_rework_by_hand_stands_over_the_rules(stage: Yard, words: list[str], cause: str) -> None:
    """A tag that says nothing of rework leaves the rule's; none takes it off."""
    load_rules(stage, rule("again", 1, rework="workmanship", worker_id="A1"))
    load_sheets(stage, SHEET_HEAD + line("DECK"))
    tag(stage, "--code", "DECK", "--to", "RAIL", *words)

    assert booked(stage) == {(JOB, "RAIL", "", cause): 8 * HOUR}


@pytest.mark.slow
def test_a_package_that_leaves_the_estimate_leaves_tagged_hours_untagged(stage: Yard) -> None:
    """A tag to a code that no longer is books nowhere, as a rule's does, until the code is back."""
    load_sheets(stage, SHEET_HEAD + line("DECK"))
    tag(stage, "--code", "DECK", "--to", "RAIL")
    estimate = (SAMPLE / "estimate.csv").read_text(encoding="utf-8")
    load(stage, "estimate", "".join(estimate.splitlines(keepends=True)[:-1]))
    without = booked(stage)
    load(stage, "estimate", estimate)

    assert (without, booked(stage)) == ({UNTAGGED: 8 * HOUR}, {RAIL: 8 * HOUR})


def closed_yard(yard: Yard) -> Yard:
    """Book a line, close its period and book a later line."""
    load_sheets(yard, SHEET_HEAD + line("SHED"))
    yard.run("close", "period", "--to", "2026-03-08")
    load_sheets(yard, SHEET_HEAD + "A1,2026-03-09,2,SHED,\n", "next.csv")
    return yard


def test_entries_of_closed_periods_are_left_and_listed(stage: Yard) -> None:
    """A tag passes over what was closed, names it, and keeps no tag for it."""
    closed_yard(stage)
    lines = tag(stage, "--untagged", "--to", "DECK")

    listed = lines.index("1 entry of a closed period not tagged; --with-closed tags them:")
    assert lines[listed + 1] == f"  {entry_of(stage)}: A1 on 2026-03-02, 8.00 h"
    assert booked(stage) == {UNTAGGED: 8 * HOUR, DECK: 2 * HOUR}
    assert len(table(stage, "hand_tag")) == 1


def test_closed_entries_are_tagged_as_late_adjustments(stage: Yard) -> None:
    """Asked for, they move: the closed figure stays and the next period has the difference."""
    closed_yard(stage)
    lines = tag(stage, "--untagged", "--to", "DECK", "--with-closed")
    late = stage.rows(stage.run("periods", "--job", JOB, "--late", "--format", "csv").stdout)

    assert (
        "1 entry of a closed period: the closed figures stay, the difference is a late adjustment"
    ) in lines
    assert booked(stage) == {DECK: 10 * HOUR}
    assert [(row["part"], row["hours"], row["reason"]) for row in late] == [
        ("untagged", "-8.0000", "moved"),
        ("DECK", "8.0000", "hand"),
    ]


def test_a_dry_run_shows_hours_and_measures_and_writes_nothing(stage: Yard) -> None:
    """The preview has the hours by place and the measures before and after."""
    load_sheets(stage, SHEET_HEAD + line("SHED") + line("DECK", hours="2"))
    before = stage.book.read_bytes()
    lines = tag(stage, "--untagged", "--to", "DECK", "--dry-run")

    assert lines == [
        "dry run, nothing was written; without --dry-run:",
        f"1 entry tagged by hand, 8.00 h; `fairhours trace {entry_of(stage)}`",
        "  STAGE untagged -> STAGE DECK: 8.00 h",
        "measures on 2026-03-02, before -> after:",
        "                  BAC h  EV h  AC h           CPI",
        "STAGE DECK        -      -     2.00 -> 10.00  -",
        "STAGE untagged    -      -     8.00 -> 0.00   -",
        "STAGE, whole job  0.00   0.00  10.00          -",
    ]
    assert stage.book.read_bytes() == before


PLACES = [
    (["--to", "rain"], (JOB, "non_productive", "weather", "")),
    (["--to", "non_productive", "--cause", "Weather"], (JOB, "non_productive", "weather", "")),
    (
        ["--to", "stage non_productive", "--cause", "weather"],
        (JOB, "non_productive", "weather", ""),
    ),
    (["--to", "overhead", "--cause", "clean_up"], ("", "overhead", "clean_up", "")),
    (["--to", "absence", "--cause", "leave"], ("", "absence", "leave", "")),
    (["--to", "untagged"], UNTAGGED),
    (["--to", "QUAY DECK"], ("QUAY", "DECK", "", "")),
    (["--to", "QUAY untagged"], ("QUAY", "untagged", "", "")),
    (["--to", "wall"], ("QUAY", "WALL", "", "")),
    (["--to", "DECK", "--job", "STAGE"], DECK),
]


@pytest.mark.parametrize(("words", "place"), slow_beyond(1, PLACES))
def test_a_place_is_a_code_of_a_job_or_a_kind_with_its_cause(
    stage: Yard, words: list[str], place: tuple[str, str, str, str]
) -> None:
    """A code says its job where one job has it; of several the job is named or filtered by."""
    estimate_of_quay(stage, "DECK", "WALL")
    load_sheets(stage, SHEET_HEAD + line("RAIL"))
    tag(stage, "--code", "RAIL", *words)

    assert booked(stage) == {place: 8 * HOUR}


FILTERS = [
    (["--worker", "b2"], 2),
    (["--day", "2026-03-03"], 4),
    (["--from", "2026-03-03"], 4),
    (["--until", "2026-03-02"], 3),
    (["--code", ""], 4),
    (["--note-contains", "Long plank"], 1),
    (["--file", "week.csv"], 7),
    (["--file", "other.csv"], 0),
    (["--place", "rail"], 2),
    (["--place", "stage rail"], 2),
    (["--untagged"], 4),
    (["--job", "stage", "--worker", "A1"], 5),
]


@pytest.mark.parametrize(("words", "hours"), slow_beyond(2, FILTERS))
def test_entries_are_chosen_by_all_that_is_asked(stage: Yard, words: list[str], hours: int) -> None:
    """Every option narrows what is tagged; nothing that fits is refused."""
    lines = line("DECK", "a LONG PLANK", "1") + line("RAIL", "", "2", "B2")
    load_sheets(stage, SHEET_HEAD + lines + "A1,2026-03-03,4,,\n")
    tag(stage, *words, "--to", "FRAME", ok=bool(hours))

    assert booked(stage).get(FRAME, 0) == hours * HOUR


REFUSED = [
    ([], "--to DECK", "name entries (5.3), or say which: --worker, --code, --file, --untagged ..."),
    (["--untagged"], "--to DEK", 'no place "DEK"; did you mean DECK?'),
    (["--untagged"], "--to DECK --cause x", "DECK: takes no cause; leave --cause out"),
    (["--untagged"], "--to overhead", "overhead: needs a cause; give one with --cause"),
    (
        ["--untagged"],
        "--to non_productive",
        "non_productive: needs a cause; --cause, one of: setting_out, weather",
    ),
    (
        ["--untagged"],
        "--to non_productive --cause wether",
        '--cause "wether": unknown; use one of setting_out, weather',
    ),
    (
        ["--untagged"],
        "--to DECK --rework x",
        '--rework "x": unknown; use one of setting_out, weather, none',
    ),
    (
        ["--untagged"],
        "--to somewhere",
        'no place "somewhere"; write a package, change or cause code, or non_productive, overhead, '
        "absence or untagged",
    ),
    (
        ["99.1"],
        "--to DECK",
        "there is no entry 99.1; `fairhours entries` lists them\nnothing was changed",
    ),
    (
        ["--worker", "C3"],
        "--to DECK",
        "no entry fits; nothing was tagged; `fairhours entries` lists them",
    ),
]


@pytest.mark.parametrize(("which", "where", "message"), slow_beyond(2, REFUSED))
def test_what_cannot_be_tagged_is_refused(
    stage: Yard, which: list[str], where: str, message: str
) -> None:
    """One clear message, and nothing is changed."""
    load_sheets(stage, SHEET_HEAD + line("SHED"))
    before = stage.book.read_bytes()
    lines = tag(stage, *which, *where.split(" "), ok=False)

    assert "\n".join(lines) == message
    assert stage.book.read_bytes() == before


@pytest.mark.slow
def test_a_tag_has_no_file_that_takes_its_place(stage: Yard) -> None:
    """A tag is withdrawn and the entry tagged anew; a file cannot stand for it."""
    load_sheets(stage, SHEET_HEAD + line("DECK"))
    tag(stage, "--code", "DECK", "--to", "RAIL")
    words = ("withdraw", "fact", table(stage, "hand_tag")[0]["id"], "--reason", "wrong")

    assert stage.run(*words, "--with", stage.write("a.csv", "a\n"), ok=False).stderr == (
        "a tag by hand has no file; withdraw it, then tag the entry by `fairhours tag entries`\n"
    )


def test_a_code_of_two_jobs_has_to_name_its_job(stage: Yard) -> None:
    """Neither job is guessed."""
    estimate_of_quay(stage, "DECK")
    load_sheets(stage, SHEET_HEAD + line("RAIL"))

    assert tag(stage, "--code", "RAIL", "--to", "DECK", ok=False) == [
        "DECK: jobs QUAY and STAGE have this code; write the job before it, as in QUAY DECK"
    ]


@pytest.mark.slow
def test_lost_time_without_a_job_has_to_name_it(stage: Yard) -> None:
    """Time that is in no job cannot be lost in its own."""
    stage.run("load", "sheets", stage.write("week.csv", SHEET_HEAD + line("SHED")))
    words = ["--untagged", "--to", "non_productive", "--cause", "weather"]

    assert tag(stage, *words, ok=False) == [
        f"entry {entry_of(stage)} is in no job; write the job before the place: JOB non_productive",
        "nothing was changed",
    ]
