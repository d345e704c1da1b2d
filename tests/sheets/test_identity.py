"""When a sheet line is one the book has, when it may be one and waits, and when it is another."""

import pytest

from tests._stage import JOB, booked, held, load_sheets, sums_by_entry, times_by_entry
from tests.conftest import Yard, slow_beyond

HOUR = 3_600_000
HEAD = "sheet,worker_id,date,hours,booking_code,note\n"
BARE = "worker_id,date,hours,booking_code\n"
TIMED = "worker_id,date,hours,start,finish,booking_code\n"
DAY = "S1,A1,2026-03-02"
FRAME, DECK = (JOB, "FRAME", "", ""), (JOB, "DECK", "", "")
SECOND_JOB = """
    [job]
    code = "PIER"
    title = "Pier"
    owner = "Harbour"
    contract_sum = "1.00"
    contract_date = 2026-01-05
    planned_start = 2026-01-12
    planned_finish = 2026-11-06
"""
SECOND_ESTIMATE = (
    "work_package,title,control_account,trade,budget_hours,planned_start,planned_finish,technique\n"
    "{code},Deck,HULL,carpenter,10,2026-02-02,2026-03-27,percent_complete\n"
)


def load(stage: Yard, text: str, name: str, *words: str) -> dict[str, int]:
    """Load sheets as written, without a job unless the words name one; return the counts."""
    counts = stage.json("load", "sheets", *words, stage.write(name, text))["files"][0]
    became = ("booked", "held", "already_booked", "already_held")
    assert counts["lines_read"] == sum(counts[each] for each in became)
    return {each: int(counts[each]) for each in became if counts[each]}


def end(stage: Yard, verb: str, *words: str, ok: bool = True) -> str:
    return stage.run(verb, "line", *words, "--reason", "asked the foreman", ok=ok).stderr


def reasons(stage: Yard) -> list[str]:
    return sorted(row["reason"] for row in held(stage))


def with_second_job(stage: Yard, code: str = "DECK") -> str:
    """Load a second job with a package of this code; return what its estimate's load says."""
    stage.run("load", "job", stage.write("pier.toml", SECOND_JOB))
    path = stage.write("pier.csv", SECOND_ESTIMATE.format(code=code))
    return stage.run("load", "estimate", "--job", "PIER", path).stderr


def holds(stage: Yard) -> bool:
    assert sums_by_entry(stage) == times_by_entry(stage)
    return stage.run("check").exit_code == 0


ONCE = HEAD + f"{DAY},5,DECK,\n{DAY},3,FRAME,\n"


@pytest.mark.parametrize("words", [("--job", JOB), ()])
def test_a_file_with_its_job_and_without_is_one_file(stage: Yard, words: tuple[str, ...]) -> None:
    """The one job that has the code is the job of a line that names none, on both sides."""
    other = () if words else ("--job", JOB)
    first = load(stage, ONCE, "a.csv", *words)
    again = load(stage, ONCE, "a.csv", *other)
    other_bytes = load(stage, ONCE + "\n", "b.csv", *other)

    assert (first, again, other_bytes) == (
        {"booked": 2},
        {"already_booked": 2},
        {"already_booked": 2},
    )
    assert booked(stage) == {DECK: 5 * HOUR, FRAME: 3 * HOUR}


@pytest.mark.slow
def test_a_corrected_sheet_without_its_job_is_a_reissue(stage: Yard) -> None:
    """The 4 hours take the place of the 5, they are not added to them."""
    load(stage, HEAD + f"{DAY},5,DECK,\n", "a.csv", "--job", JOB)
    counts = load(stage, HEAD + f"{DAY},4,DECK,\n", "b.csv")
    stage.run("confirm", "reissue", stage.json("reissues")[0]["reissue"], "--reason", "asked")

    assert counts == {"held": 1}
    assert booked(stage) == {DECK: 4 * HOUR}
    assert holds(stage)


def test_lines_that_differ_in_times_both_give_are_two_lines(stage: Yard) -> None:
    """4 h from 06:00 and 4 h from 14:00 are 8 h."""
    load(stage, TIMED + "A1,2026-03-02,4,06:00,10:00,DECK\n", "a.csv")
    counts = load(stage, TIMED + "A1,2026-03-02,4,14:00,18:00,DECK\n", "b.csv")

    assert counts == {"booked": 1}
    assert booked(stage) == {DECK: 8 * HOUR}


@pytest.mark.slow
@pytest.mark.parametrize("first", ["named", "unnamed"])
@pytest.mark.parametrize(("verb", "hours"), slow_beyond(1, [("release", 10), ("reject", 5)]))
def test_a_line_whose_job_only_one_side_names_is_held(
    stage: Yard, first: str, verb: str, hours: int
) -> None:
    """Two jobs have the code: the line is released as another or rejected as the same."""
    with_second_job(stage)
    files = [("a.csv", ("--job", JOB)), ("b.csv", ())]
    for name, words in files if first == "named" else reversed(files):
        counts = load(stage, BARE + "A1,2026-03-02,5,DECK\n", name, *words)
    (line,) = held(stage)
    command = f'line {line["held_line"]} --reason "'
    end(stage, verb, line["held_line"])
    again = load(stage, BARE + "A1,2026-03-02,5,DECK\n\n", "c.csv", *words)
    same_bytes = load(stage, BARE + "A1,2026-03-02,5,DECK\n", name, *words)

    assert (counts, line["reason"]) == ({"held": 1}, "job_differs")
    there, here = (JOB, "none") if first == "named" else ("none", JOB)
    assert line["message"] == (
        f"same as {'a' if first == 'named' else 'b'}.csv:2 except the job: {there} there, "
        f'{here} here; if it is the same line: `fairhours reject {command}the same"`, '
        f'if not: `fairhours release {command}another"`'
    )
    assert again == ({"already_held": 1} if verb == "reject" else {"already_booked": 1})
    assert same_bytes == again
    assert sum(booked(stage).values()) == hours * HOUR
    assert holds(stage)


@pytest.mark.slow
def test_a_line_held_for_its_job_ends_once_the_job_is_known(stage: Yard) -> None:
    """The estimate comes after the sheets: the question answers itself."""
    load(stage, BARE + "A1,2026-03-02,5,KEEL\n", "a.csv")
    counts = load(stage, BARE + "A1,2026-03-02,5,KEEL\n", "b.csv", "--job", "PIER")
    said = with_second_job(stage, "KEEL")

    assert counts == {"held": 1}
    assert (
        "1 held line matched: the job is now known, the same hours are booked" in said.splitlines()
    )
    assert held(stage) == []
    assert booked(stage) == {("PIER", "KEEL", "", ""): 5 * HOUR}
    assert holds(stage)


@pytest.mark.parametrize("timed_first", slow_beyond(1, [True, False]))
def test_a_line_whose_times_only_one_side_gives_is_held(stage: Yard, timed_first: bool) -> None:
    """8 h, and 8 h from 07:00 to 15:00, may be one line: a person says."""
    texts = [TIMED + "A1,2026-03-02,8,7:00,15:00,DECK\n", BARE + "A1,2026-03-02,8,DECK\n"]
    for number, text in enumerate(texts if timed_first else reversed(texts)):
        counts = load(stage, text, f"{number}.csv")
    end(stage, "reject", "--reason-is", "times_differ")

    assert counts == {"held": 1}
    assert booked(stage) == {DECK: 8 * HOUR}


def test_times_alone_and_hours_with_the_same_times_are_one_line(stage: Yard) -> None:
    """What a line comes to is its duration, however it was written."""
    load(stage, TIMED + "A1,2026-03-02,,7:00,15:00,DECK\n", "a.csv")
    counts = load(stage, TIMED + "A1,2026-03-02,8.0,07:00,15:00,DECK\n", "b.csv")

    assert counts == {"already_booked": 1}


@pytest.mark.parametrize(
    ("one", "other"),
    slow_beyond(
        1,
        [
            (f"{DAY},5,DECK,caf\u00e9", f"{DAY},5,DECK,cafe\u0301"),
            (f"{DAY},5,DECK,", "s1,A1,2026-03-02,5,deck,"),
        ],
    ),
    ids=["a note in another Unicode form", "a sheet in another case"],
)
def test_a_line_written_in_another_form_is_the_same(stage: Yard, one: str, other: str) -> None:
    """Notes are compared in NFC, names of sheets without regard to case."""
    load(stage, f"{HEAD}{one}\n", "a.csv")
    counts = load(stage, f"{HEAD}{other}\n", "b.csv")
    shorter = load(stage, f"{HEAD}{other}\n{other.replace(',5,', ',2,')}\n", "c.csv")

    assert (counts, shorter) == ({"already_booked": 1}, {"already_booked": 1, "held": 1})
    assert reasons(stage) == ["re_issue"]


@pytest.mark.slow
def test_a_week_under_other_sheet_names_is_held_whole(stage: Yard) -> None:
    """A copy is named, rejected by one command, and already held when it comes again."""
    days = "".join(
        f"S1,A1,2026-03-0{day},8,DECK,\nS2,B2,2026-03-0{day},8,FRAME,\n" for day in (2, 3)
    )
    copy = days.replace("S1", "X1").replace("S2", "X2")
    load(stage, HEAD + days, "week-14.csv")
    path = stage.write("copy.csv", HEAD + copy)
    said = stage.run("load", "sheets", path).stderr.splitlines()
    kinds = {row["kind"] for row in stage.json("doubts")["doubts"]}
    why = reasons(stage)
    ended = end(stage, "reject", "--file", "copy.csv", "--reason-is", "same_as_sheet")
    longer = copy + "X1,A1,2026-03-04,8,DECK,\n"
    again = load(stage, HEAD + longer, "longer.csv")

    command = 'line --file "copy.csv" --reason-is same_as_sheet --reason "..."`'
    assert said[0] == (
        "copy.csv: 4 lines are held: they are already on other sheets; if the same: "
        f"`fairhours reject {command}, if not: `fairhours release {command}"
    )
    assert (why, ended) == (["same_as_sheet"] * 4, "4 held lines rejected\n")
    assert "double_entry" not in kinds
    assert again == {"already_held": 4, "booked": 1}
    # 2 x 8 h each, and 8 h of the 4th.
    assert booked(stage) == {DECK: 24 * HOUR, FRAME: 16 * HOUR}
    assert holds(stage)


def test_a_sheet_of_which_some_lines_stand_elsewhere_is_another(stage: Yard) -> None:
    """One line more makes it no copy: it is booked, and the doubt asks about the hours alike."""
    load(stage, HEAD + f"{DAY},5,DECK,\n", "a.csv")
    counts = load(stage, HEAD + "X1,A1,2026-03-02,5,DECK,\nX1,A1,2026-03-05,1,DECK,\n", "b.csv")
    kinds = [row["kind"] for row in stage.json("doubts")["doubts"]]

    assert counts == {"booked": 2}
    assert kinds.count("double_entry") == 1


def test_a_copy_of_lines_that_wait_for_their_worker_waits_for_its_own_question(stage: Yard) -> None:
    """Whether the crew is loaded before or after, only the first sheet is booked."""
    for sheet in ("S1", "X1"):
        load(stage, f"{HEAD}{sheet},D4,2026-03-02,8,DECK,\n", f"{sheet}.csv")
    crew = "worker_id,name,trade,grade\nD4,Dan Wick,carpenter,lead\n"
    stage.run("load", "crew", stage.write("crew.csv", crew))

    assert booked(stage) == {DECK: 8 * HOUR}
    assert reasons(stage) == ["same_as_sheet"]


def test_a_worker_day_with_other_lines_too_is_one_reissue(stage: Yard) -> None:
    """A line without its job beside a new one: the sheet's day is asked about as a whole."""
    with_second_job(stage)
    load(stage, HEAD + f"{DAY},5,DECK,\n", "a.csv", "--job", JOB)
    counts = load(stage, HEAD + f"{DAY},5,DECK,\n{DAY},1,FRAME,\n", "b.csv")

    assert counts == {"held": 2}
    assert reasons(stage) == ["re_issue"] * 2


UNREADABLE = [
    ("8,99:00,16:00,", 'start "99:00" is not a valid time of day; write it as 7:30'),
    ("8,7.3x,16:00,", 'start "7.3x" is not a valid time of day; write it as 7:30'),
    (",7:00,16h,", 'finish "16h" is not a valid time of day; write it as 16:00'),
    ("8,7:00,16:00,half", 'break_minutes "half" is not a number of minutes; write it as 30'),
]


@pytest.mark.parametrize(("cells", "message"), slow_beyond(2, UNREADABLE))
def test_times_that_cannot_be_read_are_held_though_hours_are_given(
    stage: Yard, cells: str, message: str
) -> None:
    """They are named, and can be corrected."""
    head = "worker_id,date,hours,start,finish,break_minutes,booking_code\n"
    load(stage, f"{head}A1,2026-03-02,{cells},DECK\n", "a.csv")
    (line,) = held(stage)
    fields = ("start=7:00", "finish=15:30", "break_minutes=30")
    end(stage, "correct", line["held_line"], *fields)

    assert (line["reason"], line["message"]) == ("times_unreadable", message)
    assert booked(stage) == {DECK: 8 * HOUR}


@pytest.mark.slow
def test_what_a_reissue_replaced_does_not_stand_again_beside_it(stage: Yard) -> None:
    """The refusal names the re-issue and what stands of it; with that reversed it is done."""
    load_sheets(stage, HEAD + f"{DAY},5,DECK,\n", "a.csv")
    old = stage.json("entries")[0]["entry"]
    load_sheets(stage, HEAD + f"{DAY},4,DECK,\n", "b.csv")
    number = stage.json("reissues")[0]["reissue"]
    stage.run("confirm", "reissue", number, "--reason", "asked")
    new = next(row["entry"] for row in stage.json("entries") if row["state"] == "stands")
    why = ("--reason", "seen on the paper")
    said = stage.run("undo", "reversal", old, *why, ok=False).stderr
    stage.run("reverse", "entry", new, *why)
    stage.run("undo", "reversal", old, *why)

    assert said == (
        f"entry {old} was replaced by re-issue {number} of sheet S1 in b.csv, where {new} still "
        "stands; reverse that first\nnothing was changed\n"
    )
    assert booked(stage) == {DECK: 5 * HOUR}
    assert holds(stage)


WRONG_CHOICES = [
    ((), 2, "name held lines (5.3), or give --file or --reason-is; not both"),
    (
        ("9.1", "--file", "a.csv"),
        2,
        "name held lines (5.3), or give --file or --reason-is; not both",
    ),
    (("--reason-is", "odd"), 2, '--reason-is "odd": unknown; use one of job_differs, '),
    (
        ("--file", "b.csv"),
        1,
        "no line of b.csv is held; `fairhours held --by file` counts held lines",
    ),
]


@pytest.mark.parametrize(("words", "code", "message"), WRONG_CHOICES)
def test_a_choice_of_no_held_line_is_refused(
    stage: Yard, words: tuple[str, ...], code: int, message: str
) -> None:
    """Ids or a choice, not both nor none; an unknown reason and a file without held lines."""
    load_sheets(stage, HEAD + f"{DAY},5x,DECK,\n", "a.csv")
    outcome = stage.run("reject", "line", *words, "--reason", "x", ok=False)

    assert outcome.exit_code == code
    assert outcome.stderr.startswith(message)
    assert len(held(stage)) == 1


@pytest.mark.parametrize("sheet", ["x1", ""])
def test_a_copy_says_where_its_lines_stand(stage: Yard, sheet: str) -> None:
    """The message of each line names file, line and sheet as they were written."""
    load(stage, HEAD + f"{DAY},5,DECK,\n", "a.csv")
    load(stage, HEAD + f"{sheet},A1,2026-03-02,5,DECK,\n", "b.csv")
    (line,) = held(stage)

    assert line["message"].startswith(
        "already in the book: a.csv:2 on sheet S1, like all lines of its sheet; if it is the same"
    )
