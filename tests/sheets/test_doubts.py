"""What was booked and looks wrong is a doubt: each kind has a case and a neighbour that is none."""

from pathlib import Path

import pytest

from ledger.domain.doubts import KINDS, SETTINGS
from ledger.domain.plausibility import NOTES
from tests._stage import JOB, copied, load
from tests.conftest import Yard, slow_beyond
from tests.sheets._doubts import doubts, lines_doubted, messages, sheets

AWAY = '[absence]\nLEAVE = "leave"\n'


@pytest.fixture(scope="module")
def with_leave(prepared: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The book of the sample's job, frozen, with a code for leave."""
    yard = copied(prepared, tmp_path_factory.mktemp("leave"))
    yard.run("load", "settings", yard.write("away.toml", AWAY))
    yard.run("freeze", "--job", JOB, "--on", "2026-02-23")
    return yard.book


@pytest.fixture
def stage(with_leave: Path, tmp_path: Path) -> Yard:
    """A yard with the sample's job, frozen, and a code for leave; no sheets yet."""
    return copied(with_leave, tmp_path)


# Kind, a sheet that raises it, its neighbour that does not, and the line at which it stands.
CASES = [
    # 8 + 8.25 h on two sheets are over the limit of 16 h, 8 + 8 are not.
    ("daily_limit", ["hours=8", "sheet=S2 hours=8.25"], ["hours=8", "sheet=S2 hours=8"], 3),
    (
        "clock_overlap",
        ["start=07:00 finish=12:00", "sheet=S2 start=11:59 finish=15:00"],
        ["start=07:00 finish=12:00", "sheet=S2 start=12:00 finish=15:00"],
        3,
    ),
    (
        "clock_overlap",
        ["start=22:00 finish=02:00", "date=2026-03-03 start=01:30 finish=03:00"],
        ["start=22:00 finish=02:00", "date=2026-03-03 start=02:00 finish=03:00"],
        3,
    ),
    # The same line twice is said so; it is no overlap.
    (
        "clock_overlap",
        ["start=07:00 finish=12:00", "start=07:00 finish=12:01"],
        ["start=07:00 finish=12:00"] * 2,
        3,
    ),
    # 08:00 to 10:00 is 2 h. 07:00 to 15:30 less half an hour is 8 h; 8.5 h leave the break in.
    (
        "hours_and_times",
        ["hours=9 start=08:00 finish=10:00"],
        ["hours=8 start=07:00 finish=15:30 break_minutes=30"],
        2,
    ),
    (
        "hours_and_times",
        ["hours=7.99 start=07:00 finish=15:30 break_minutes=30"],
        ["hours=8.5 start=07:00 finish=15:30 break_minutes=30"],
        2,
    ),
    (
        "hours_and_times",
        ["hours=8 start=22:00 finish=05:59"],
        ["hours=8 start=22:00 finish=06:00"],
        2,
    ),
    ("trade_not_planned", ["worker_id=C3"], ["worker_id=C3 booking_code=FRAME"], 2),
    ("double_entry", ["", "sheet=S2"], ["", "sheet=S2 hours=4.5"], 3),
    ("double_entry", ["", "sheet=S2 note=other"], ["", "sheet=S2 booking_code=FRAME"], 3),
    ("double_entry", ["", "sheet=S2"], ["", "sheet=S2 worker_id=B2"], 3),
    ("same_line_twice", ["note=one", "note=one"], ["note=one", "note=two"], 3),
    ("same_line_twice", ["", ""], ["", "sheet=S2"], 3),
    ("outside_job_dates", ["date=2026-03-01"], ["date=2026-03-02"], 2),
    ("outside_job_dates", ["date=2026-03-28"], ["date=2026-03-27"], 2),
    ("outside_crew_dates", ["date=2025-12-31"], ["date=2026-01-01"], 2),
    # The days of a file run on until a gap of more than 60 days: 2 March to 1 May are 60.
    ("far_date", ["", "", "date=2026-05-02"], ["", "", "date=2026-05-01"], 4),
    ("far_date", ["date=2025-03-02", "", ""], ["date=2026-02-02", "", ""], 2),
    ("day_off", ["date=2026-03-07"], ["date=2026-03-06"], 2),
    ("past_midnight", ["start=21:00 finish=02:30"], ["start=21:00 finish=24:00"], 2),
    ("past_midnight", ["start=13:00 finish=12:00"], ["start=12:00 finish=13:00"], 2),
    ("no_time", ["hours=0"], ["hours=0.25"], 2),
    ("rework_cause", ["rework=bad+luck"], ["rework=setting_out"], 2),
    # Away and at work: 8 + 3 h are more than a full day of 8, half a day of each is not.
    (
        "work_and_absence",
        ["hours=8 booking_code=LEAVE", "hours=3"],
        ["hours=4 booking_code=LEAVE", "hours=4"],
        3,
    ),
]


@pytest.mark.parametrize(("kind", "raising", "neighbour", "at"), CASES)
def test_a_kind_is_raised_by_its_case(
    stage: Yard, kind: str, raising: list[str], neighbour: list[str], at: int
) -> None:
    """The lines that look wrong raise the doubt, once, at the newest of them."""
    sheets(stage, *raising)

    assert lines_doubted(stage, kind) == [at]


@pytest.mark.parametrize(("kind", "raising", "neighbour", "at"), slow_beyond(4, CASES))
def test_a_kind_is_not_raised_by_its_neighbour(
    stage: Yard, kind: str, raising: list[str], neighbour: list[str], at: int
) -> None:
    """Lines that come close and are in order raise no doubt of the kind."""
    sheets(stage, *neighbour)

    assert lines_doubted(stage, kind) == []


def measured(stage: Yard, *rows: str) -> None:
    load(
        stage,
        "progress",
        "\n".join(("work_package,date,trade,quantity_done,milestone,started,finished", *rows, "")),
    )


ALL_OF_FRAME = ((6, "piles"), (7, "beams"), (8, "bracing"))
FINISHED = [
    # DECK is measured in boards, 40 of them.
    (["DECK,2026-03-10,,40,,,"], "date=2026-03-11", "date=2026-03-10"),
    (["DECK,2026-03-10,,,,,2026-03-09"], "date=2026-03-10", "date=2026-03-09"),
    (
        [
            "FRAME,2026-03-06,,,piles,,",
            "FRAME,2026-03-07,,,beams,,",
            "FRAME,2026-03-08,,,bracing,,",
        ],
        "date=2026-03-09 booking_code=FRAME",
        "date=2026-03-06 booking_code=FRAME",
    ),
    (
        ["FRAME,2026-03-06,carpenter,,,,2026-03-06", "FRAME,2026-03-09,labourer,,,,2026-03-09"],
        "date=2026-03-10 booking_code=FRAME",
        "date=2026-03-09 booking_code=FRAME",
    ),
]


@pytest.mark.parametrize(("progress", "after", "before"), slow_beyond(2, FINISHED))
def test_time_after_a_package_was_finished_is_doubted(
    stage: Yard, progress: list[str], after: str, before: str
) -> None:
    """A package is finished by word, by its measure or its milestones, in all its trades."""
    measured(stage, *progress)
    sheets(stage, before, after)

    assert lines_doubted(stage, "package_finished") == [3]


NOT_FINISHED = [
    ["DECK,2026-03-10,,39,,,"],
    ["DECK,2026-03-10,,40,,,", "DECK,2026-03-12,,38,,,"],
    ["FRAME,2026-03-06,,,piles,,", "FRAME,2026-03-07,,,beams,,"],
    ["FRAME,2026-03-06,carpenter,,,,2026-03-06"],
]


@pytest.mark.parametrize("progress", slow_beyond(2, NOT_FINISHED))
def test_a_package_not_finished_in_all_its_parts_takes_time(
    stage: Yard, progress: list[str]
) -> None:
    """Less than all, all but taken back, a milestone or a trade short: the package goes on."""
    measured(stage, *progress)
    sheets(stage, "date=2026-03-16", "date=2026-03-16 booking_code=FRAME")

    assert lines_doubted(stage, "package_finished") == []


def test_work_done_again_at_a_finished_package_is_in_order(stage: Yard) -> None:
    """Rework keeps its place, and a finished package takes it."""
    measured(stage, "DECK,2026-03-10,,40,,,")
    sheets(stage, "date=2026-03-11 rework=setting_out")

    assert lines_doubted(stage, "package_finished") == []


CHANGE = "change,title,requested_by,requested_on,change_basis\n"
CHANGE += "CR1,Ladder,J. Merrick,2026-03-02,daywork\n"


@pytest.mark.parametrize(
    ("events", "expected"),
    slow_beyond(
        4,
        [
            ("instructed 03", []),
            ("instructed 03, stopped 05", [4]),
            ("instructed 03, complete 05", [4]),
            ("submitted 04, declined 05", [4]),
            ("withdrawn 05", [4]),
            ("instructed 03, stopped 05, submitted 05", [4]),
            ("instructed 03, stopped 04, approved 05", [3]),
            ("instructed 03, submitted 04, declined 05", []),
        ],
    ),
)
def test_time_after_a_change_was_closed_is_doubted(
    stage: Yard, events: str, expected: list[int]
) -> None:
    """From the day after it was declined, withdrawn, stopped or complete, until it is reopened.

    A price declined closes nothing while the instruction stands.
    """
    load(stage, "changes", CHANGE)
    words = (each.split() for each in events.split(", "))
    rows = [f"CR1,{event},2026-03-{day},J. Merrick" for event, day in words]
    load(stage, "change-events", "\n".join(("change,event,date,person", *rows, "")))
    days = ("2026-03-04", "2026-03-05", "2026-03-06")
    sheets(stage, *(f"date={day} booking_code=CR1" for day in days))

    assert lines_doubted(stage, "change_closed") == expected


@pytest.mark.slow
def test_a_day_is_future_while_it_has_begun_nowhere(yard: Yard) -> None:
    """The day begins at UTC+14: recorded an hour before that it is future, an hour after not."""
    yard.new(rehearsal=True)
    yard.run("load", "crew", yard.write("crew.csv", CREW))
    for hour in ("09", "11"):
        words = ("--recorded-at", f"2099-03-02T{hour}:00:00+00:00")
        file = yard.write(f"{hour}.csv", HEAD + f"{hour},A1,2099-03-03,4,X\n")
        yard.run(*words, "load", "sheets", file)

    assert [each["file"] for each in doubts(yard, "--kind", "future_date")] == ["09.csv"]


HEAD = "sheet,worker_id,date,hours,booking_code\n"
CREW = "worker_id,name,trade,grade,active_from,active_to\nA1,Ada Brunt,carpenter,lead,,\n"


def test_time_after_a_worker_left_and_before_they_came_back_is_doubted(stage: Yard) -> None:
    """A gap between two rows of the crew is neither; each row holds from its first to last day."""
    head = "worker_id,name,trade,grade,active_from,active_to\n"
    rows = [
        f"A1,Ada Brunt,carpenter,lead,{days}\n" for days in ("2026-01-01,2026-03-03", "2026-03-09,")
    ]
    stage.run("load", "crew", stage.write("crew.csv", head + "".join(rows)))
    sheets(stage, "date=2026-03-03", "date=2026-03-04", "date=2026-03-09")

    assert messages(stage, "outside_crew_dates") == [
        "worker A1 has 4.00 h on 2026-03-04, after the end date 2026-03-03"
    ]


MESSAGES = {
    "daily_limit": (
        ["hours=8", "sheet=S2 hours=8.255"],
        "worker A1 has 16.26 h on 2026-03-02 in 2 entries; the yard's limit is 16.00 h",
    ),
    "clock_overlap": (
        ["start=07:00 finish=12:00", "sheet=S2 start=11:30 finish=15:00"],
        "worker A1 has overlapping times on 2026-03-02: 07:00 to 12:00 on sheet S1, "
        "11:30 to 15:00 on sheet S2",
    ),
    "hours_and_times": (
        ["hours=9 start=08:00 finish=10:00 break_minutes=15"],
        "worker A1 has 9.00 h on 2026-03-02, but 08:00 to 10:00 is 2.00 h, less a break of "
        "15 minutes",
    ),
    "double_entry": (
        ["", "sheet=S2"],
        "worker A1 has 4.00 h booked to STAGE DECK on 2026-03-02, on sheet S1 and sheet S2; "
        "likely handed in twice",
    ),
    "same_line_twice": (
        ["", ""],
        "sheet S1 says 2 times that worker A1 had 4.00 h under code DECK on 2026-03-02",
    ),
    "outside_job_dates": (
        ["date=2026-03-30", "date=2026-03-30 worker_id=B2"],
        "8.00 h are booked to STAGE on 2026-03-30, after its planned finish 2026-03-27",
    ),
    "day_off": (
        ["date=2026-03-07"],
        "4.00 h of 1 worker are booked to STAGE on 2026-03-07, a day off (Saturday)",
    ),
    "far_date": (
        ["", "", "date=2025-03-02"],
        "worker A1 has 4.00 h on 2025-03-02, but most lines of week.csv are from 2026-03-02 "
        "to 2026-03-02",
    ),
    "past_midnight": (
        ["start=21:00 finish=02:30 break_minutes=30"],
        "worker A1 worked from 21:00 on 2026-03-02 to 02:30 the next day, 5.00 h",
    ),
    "no_time": (["hours=0"], "worker A1 has 0 h under code DECK on 2026-03-02"),
    "rework_cause": (
        ["rework=bad+luck"],
        'worker A1 has 4.00 h of rework on 2026-03-02 for "bad luck", a cause not in the '
        "yard's settings",
    ),
    "work_and_absence": (
        ["hours=8 booking_code=LEAVE", "hours=3"],
        "worker A1 is absent (leave, 8.00 h) and at work (3.00 h) on 2026-03-02",
    ),
}


@pytest.mark.parametrize("kind", slow_beyond(4, MESSAGES))
def test_a_message_says_who_when_and_what(stage: Yard, kind: str) -> None:
    """The message has the worker or the job, the day, the hours, and what is against it."""
    lines, message = MESSAGES[kind]
    sheets(stage, *lines)

    assert messages(stage, kind) == [message]


def test_every_kind_has_a_case_here_or_beside(stage: Yard) -> None:
    """No kind is without a test that raises it; those of the clock stand with attendance."""
    elsewhere = {"package_finished", "change_closed", "future_date", "attendance", "clock_rounding"}
    elsewhere |= {"before_request", "tags_disagree", "note_names_change", "before_opening"}
    elsewhere |= {"paid_leave"}

    assert {case[0] for case in CASES} | elsewhere == set(KINDS)


def test_entries_of_several_files_are_counted_together(stage: Yard) -> None:
    """The day's limit holds over all files, whichever was loaded when."""
    sheets(stage, "hours=9", name="one.csv")
    before = doubts(stage, "--kind", "daily_limit")
    sheets(stage, "sheet=S2 hours=9 booking_code=FRAME", name="two.csv")
    after = doubts(stage, "--kind", "daily_limit")

    assert before == []
    assert [(each["file"], len(each["entries"])) for each in after] == [("two.csv", 2)]


def test_a_reversed_entry_raises_no_doubt(stage: Yard) -> None:
    """What does not stand is not doubted; undone it is again."""
    sheets(stage, "hours=17")
    entry = doubts(stage, "--kind", "daily_limit")[0]["entries"][0]
    stage.run("reverse", "entry", entry, "--reason", "two days in one")
    reversed_ = doubts(stage)
    stage.run("undo", "reversal", entry, "--reason", "it was one day")

    assert reversed_ == []
    assert lines_doubted(stage, "daily_limit") == [2]


def test_a_load_says_how_many_doubts_its_lines_raise(stage: Yard) -> None:
    """Doubts of earlier lines are not counted again; those of both are."""
    first = sheets(stage, "hours=17", "date=2026-03-03 hours=0", name="one.csv")
    second = sheets(stage, "date=2026-03-04", name="two.csv")
    third = sheets(stage, "sheet=S2 date=2026-03-04 note=other", name="three.csv")

    told = "doubts: 1 daily_limit, 1 no_time; 1 to look at first, see `fairhours doubts`"
    assert told in first.splitlines()
    assert "doubt" not in second
    assert "doubts: 1 double_entry; 1 to look at first, see `fairhours doubts`" in third


def test_severity_is_set_by_the_yard(stage: Yard) -> None:
    """A kind that is off is not shown nor counted; warn comes before note."""
    settings = '[doubts]\nno_time = "warn"\ndaily_limit = "note"\nday_off = "off"\n'
    sheets(stage, "hours=17", "date=2026-03-07 hours=0")
    before = [(each["severity"], each["kind"]) for each in doubts(stage)]
    stage.run("load", "settings", stage.write("doubts.toml", settings))
    after = [(each["severity"], each["kind"]) for each in doubts(stage)]

    assert before == [("warn", "daily_limit"), ("note", "no_time")]
    assert after == [("warn", "no_time"), ("note", "daily_limit")]


OF_DOUBTS = [name.removeprefix("doubts.") for name in SETTINGS if name.startswith("doubts.")]


@pytest.mark.parametrize(
    ("setting", "wrong"),
    [
        (
            '[doubts]\nno_time = "loud"',
            'doubts.no_time "loud" is unknown; use one of warn, note, off',
        ),
        ('[doubts]\nfar_days = "x"', 'doubts.far_days "x" is not a whole number'),
        (
            '[yard]\ndaily_limit_hours = "0"',
            'yard.daily_limit_hours "0" is not above 0; write a positive number',
        ),
        (
            '[doubts]\nluck = "off"',
            f"unknown key doubts.luck; use one of {', '.join(OF_DOUBTS)}",
        ),
    ],
)
def test_a_setting_that_cannot_be_is_refused(stage: Yard, setting: str, wrong: str) -> None:
    """A severity is one of three words, an amount is above 0."""
    outcome = stage.run("load", "settings", stage.write("wrong.toml", setting), ok=False)

    assert outcome.stderr == f"wrong.toml:2: {wrong}\n1 fault; nothing was loaded\n"


@pytest.mark.slow
def test_a_settled_doubt_is_not_shown_until_what_it_is_about_changes(stage: Yard) -> None:
    """Settled it is gone, with --all it has who and why; another entry that day brings it back."""
    sheets(stage, "hours=17")
    one = doubts(stage)[0]["doubt"]
    said = stage.run("settle", "doubt", one, "--reason", "the launch, by agreement").stderr
    after, every = doubts(stage), doubts(stage, "--all")
    sheets(stage, "sheet=S2 hours=1 booking_code=FRAME", name="two.csv")
    again = doubts(stage)

    assert said == "1 doubt settled; `fairhours doubts --all` shows by whom and why\n"
    assert after == []
    assert [(each["settled_by"], each["reason"]) for each in every] == [
        ("Tester", "the launch, by agreement")
    ]
    assert [(each["kind"], len(each["entries"])) for each in again] == [("daily_limit", 2)]
    assert again[0]["doubt"] != one
    assert stage.run("check").exit_code == 0


def test_a_settled_doubt_was_open_before_that(stage: Yard) -> None:
    """As known before it was settled, it is shown."""
    sheets(stage, "hours=17")
    one, before = doubts(stage)[0]["doubt"], str(stage.json("doubts")["known_at"]["sequence"])
    stage.run("settle", "doubt", one, "--reason", "seen")
    then = stage.run("--known-at", before, "doubts", "--format", "csv").stdout

    assert [row["doubt"] for row in stage.rows(then)] == [one]


@pytest.mark.slow
def test_a_doubt_settled_wrongly_can_be_opened_again(stage: Yard) -> None:
    """Opened again it is shown; both are kept."""
    sheets(stage, "hours=17")
    one = doubts(stage)[0]["doubt"]
    stage.run("settle", "doubt", one, "--reason", "seen")
    said = stage.run("reopen", "doubt", one, "--reason", "of another day").stderr

    assert said == "1 doubt reopened; see `fairhours doubts`\n"
    assert [each["doubt"] for each in doubts(stage)] == [one]


def test_what_cannot_be_settled_is_refused_by_name(stage: Yard) -> None:
    """An unknown id, one settled before, one that is open: all are said, nothing is kept."""
    sheets(stage, "hours=17", "date=2026-03-03 hours=17")
    one, two = (each["doubt"] for each in doubts(stage))
    stage.run("settle", "doubt", one, "--reason", "seen")
    settled = stage.run("settle", "doubt", two, one, "ffff", "--reason", "seen", ok=False).stderr
    opened = stage.run("reopen", "doubt", two, "--reason", "seen", ok=False).stderr
    blank = stage.run("settle", "doubt", two, "--reason", " ", ok=False).stderr

    by, why = settled.splitlines()[0].split(" (Tester, ")
    assert by == f"doubt {one} is already settled"
    assert why.endswith(": seen)")
    assert settled.splitlines()[1:] == [
        'there is no doubt "ffff"; `fairhours doubts --all` lists them',
        "nothing was changed",
    ]
    assert opened == f"doubt {two} is open; there is nothing to reopen\nnothing was changed\n"
    assert blank == "--reason: give the reason in words\n"
    assert [each["doubt"] for each in doubts(stage)] == [two]


@pytest.mark.slow
def test_doubts_are_chosen_by_job_worker_and_kind(stage: Yard) -> None:
    """Each option leaves out what is not of it."""
    lines = ["hours=17", "worker_id=B2 hours=17", "date=2026-03-03 hours=0 booking_code=NONE"]
    sheets(stage, *lines)
    chosen = {
        words: len(doubts(stage, *words))
        for words in (
            (),
            ("--job", "stage"),
            ("--worker", "b2"),
            ("--kind", "no_time"),
            ("--job", "OTHER"),
            ("--worker", "A1", "--kind", "daily_limit"),
        )
    }

    assert list(chosen.values()) == [3, 2, 1, 1, 0, 1]
    assert stage.run("doubts", "--kind", "luck", ok=False).stderr == (
        f'--kind "luck": unknown; use one of {", ".join([*KINDS, *NOTES])}\n'
    )


def test_doubts_come_by_severity_or_the_newest_first(stage: Yard) -> None:
    """By severity the gravest first; newest by the day they are of."""
    sheets(stage, "hours=17", "date=2026-03-09 hours=0", "date=2026-03-04 hours=18")
    days = {
        order: [each["day"] for each in doubts(stage, "--order", order)]
        for order in ("severity", "newest")
    }

    assert days["severity"] == ["2026-03-04", "2026-03-02", "2026-03-09"]
    assert days["newest"] == ["2026-03-09", "2026-03-04", "2026-03-02"]
