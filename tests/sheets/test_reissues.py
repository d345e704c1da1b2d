"""A sheet given again with other lines of a worker's day waits for a yes or a no."""

from collections import Counter

import pytest

from tests._stage import JOB, booked, held, load_sheets, sums_by_entry, table, times_by_entry
from tests.conftest import Yard, slow_beyond

HOUR = 3_600_000
HEAD = "sheet,worker_id,date,hours,booking_code\n"
THREE, FIVE, FOUR = (f"S1,A1,2026-03-02,{line}\n" for line in ("3,FRAME", "5,DECK", "4,DECK"))
ONE = "S1,A1,2026-03-02,1,RAIN\n"
NEXT_DAY, LATER = (f"S1,A1,2026-03-0{day},8,DECK\n" for day in (3, 4))
OTHER = "S2,B2,2026-03-02,2,DECK\n"
FIRST = HEAD + THREE + FIVE + NEXT_DAY + OTHER
SECOND = HEAD + THREE + FOUR + ONE + LATER
FRAME, DECK = (JOB, "FRAME", "", ""), (JOB, "DECK", "", "")
RAIN = (JOB, "non_productive", "weather", "")


def reissues(stage: Yard) -> list[dict[str, str]]:
    return stage.rows(stage.run("reissues", "--format", "csv").stdout)


def steps(stage: Yard) -> list[tuple[str, str, str]]:
    return sorted((row["step"], row["hours"], row["booking_code"]) for row in reissues(stage))


def waiting(stage: Yard) -> str:
    """Return the id of the one re-issue that is open."""
    (only,) = {row["reissue"] for row in reissues(stage)}
    return only


def end(stage: Yard, verb: str, *ids: str, ok: bool = True) -> str:
    return stage.run(verb, "reissue", *ids, "--reason", "asked the foreman", ok=ok).stderr


def standing(stage: Yard) -> dict[str, tuple[str, str]]:
    """Return hours and code of each entry that stands, by its id."""
    rows = stage.rows(stage.run("entries", "--format", "csv").stdout)
    return {r["entry"]: (r["hours"], r["booking_code"]) for r in rows if r["state"] == "stands"}


def holds(stage: Yard) -> bool:
    assert sums_by_entry(stage) == times_by_entry(stage)
    return stage.run("check").exit_code == 0


def test_other_lines_of_a_worker_and_day_wait_as_a_reissue(stage: Yard) -> None:
    """Equal lines are booked already, new ones wait; worker-days new to the sheet are added."""
    load_sheets(stage, FIRST)
    second = load_sheets(stage, SECOND, "copy.csv")

    # 3 h are there already, 4 h and 1 h wait, 8 h of the 4th are added.
    assert (second["booked"], second["held"], second["already_booked"]) == (1, 2, 1)
    assert {row["reason"] for row in held(stage)} == {"re_issue"}
    assert steps(stage) == [
        ("book", "1.0000", "RAIN"),
        ("book", "4.0000", "DECK"),
        ("keep", "3.0000", "FRAME"),
        ("reverse", "5.0000", "DECK"),
    ]
    # 5 + 8 + 2 + 8 h at DECK.
    assert booked(stage) == {FRAME: 3 * HOUR, DECK: 23 * HOUR}
    assert holds(stage)


@pytest.mark.slow
def test_confirmed_equal_lines_keep_their_entries(stage: Yard) -> None:
    """In one batch changed and removed lines are reversed and new ones booked; the rest stays."""
    load_sheets(stage, FIRST)
    before = standing(stage)
    load_sheets(stage, SECOND, "copy.csv")
    batches = len(stage.run("history", "--format", "csv").stdout.splitlines())
    said = end(stage, "confirm", waiting(stage))
    after = standing(stage)

    assert said.endswith("sheet S1 in copy.csv: 1 kept, 1 reversed, 2 booked\n")
    assert len(stage.run("history", "--format", "csv").stdout.splitlines()) == batches + 1
    assert {entry for entry in before if entry not in after} == {
        entry for entry, told in before.items() if told == ("5.0000", "DECK")
    }
    # 4 + 8 + 2 + 8 h at DECK.
    assert booked(stage) == {FRAME: 3 * HOUR, DECK: 22 * HOUR, RAIN: HOUR}
    assert (held(stage), reissues(stage)) == ([], [])
    assert holds(stage)


@pytest.mark.slow
def test_of_two_issues_that_wait_one_is_confirmed_and_the_other_named(stage: Yard) -> None:
    """Two re-issues of a sheet cannot both count; confirming one says that the other waits."""
    for hours in (3, 4, 5):
        load_sheets(stage, f"{HEAD}S1,A1,2026-03-02,{hours},DECK\n", f"{hours}.csv")
    older, newer = dict.fromkeys(row["reissue"] for row in reissues(stage))
    both = end(stage, "confirm", older, newer, ok=False)
    said = end(stage, "confirm", newer).splitlines()
    rejected = end(stage, "reject", older)

    assert rejected == f"re-issue {older}, sheet S1 in 4.csv: rejected, 1 new line with it\n"
    assert both.splitlines() == [
        f"re-issues {older} and {newer} are of one sheet, S1; confirm the one that counts",
        "nothing was changed",
    ]
    assert said == [
        f"re-issue {newer}, sheet S1 in 5.csv: 1 reversed, 1 booked",
        f"re-issue {older} in 4.csv of the same sheet is still open; reject it if it is older",
    ]
    assert booked(stage) == {DECK: 5 * HOUR}
    assert reissues(stage) == []
    assert holds(stage)


@pytest.mark.slow
def test_two_issues_of_a_sheet_are_of_one_however_its_name_is_spelt(stage: Yard) -> None:
    """Capitals, and accents composed or apart, make no other sheet: both are not confirmed."""
    for hours, sheet in enumerate(("Caf\u00e9", "cafe\u0301", "CAF\u00c9"), start=3):
        load_sheets(stage, f"{HEAD}{sheet},A1,2026-03-02,{hours},DECK\n", f"{hours}.csv")
    older, newer = dict.fromkeys(row["reissue"] for row in reissues(stage))
    said = end(stage, "confirm", older, newer, ok=False)

    assert said.startswith(f"re-issues {older} and {newer} are of one sheet, ")
    assert booked(stage) == {DECK: 3 * HOUR}


@pytest.mark.slow
def test_reissues_of_several_sheets_are_confirmed_at_once(stage: Yard) -> None:
    """One command ends them all, each with its own lines."""
    for hours in (3, 4):
        days = ("S1,A1,2026-03-02", "S2,A1,2026-03-03")
        rows = "".join(f"{day},{hours},DECK\n" for day in days)
        load_sheets(stage, HEAD + rows, f"{hours}.csv")
    found = dict.fromkeys(row["reissue"] for row in reissues(stage))
    said = end(stage, "confirm", *found).splitlines()

    assert said == [
        f"re-issue {each}, sheet {sheet} in 4.csv: 1 reversed, 1 booked"
        for each, sheet in zip(found, ("S1", "S2"), strict=True)
    ]
    assert booked(stage) == {DECK: 8 * HOUR}
    assert reissues(stage) == []


@pytest.mark.slow
def test_rejected_the_sheet_stays_and_the_new_lines_end(stage: Yard) -> None:
    """Nothing is reversed; the file loaded again finds its lines and asks no second time."""
    load_sheets(stage, FIRST)
    load_sheets(stage, SECOND, "copy.csv")
    before = booked(stage)
    said = end(stage, "reject", waiting(stage))
    again = load_sheets(stage, SECOND + "S1,A1,2026-03-05,8,DECK\n", "longer.csv")

    assert said.endswith("sheet S1 in copy.csv: rejected, 2 new lines with it\n")
    assert (again["booked"], again["already_booked"], again["already_held"]) == (1, 2, 2)
    assert booked(stage) == {**before, DECK: before[DECK] + 8 * HOUR}
    assert (held(stage), reissues(stage)) == ([], [])
    assert holds(stage)


def test_a_sheet_given_again_with_fewer_lines_is_a_reissue_too(stage: Yard) -> None:
    """No line is new and none is held, and yet the sheet says less: it waits to be confirmed."""
    load_sheets(stage, FIRST)
    counts = load_sheets(stage, HEAD + THREE, "shorter.csv")
    shown = steps(stage)
    end(stage, "confirm", waiting(stage))

    assert (counts["held"], counts["already_booked"]) == (0, 1)
    assert shown == [("keep", "3.0000", "FRAME"), ("reverse", "5.0000", "DECK")]
    assert booked(stage) == {FRAME: 3 * HOUR, DECK: 10 * HOUR}
    assert holds(stage)


@pytest.mark.slow
def test_both_files_loaded_again_find_all_booked(stage: Yard) -> None:
    """After a re-issue was confirmed neither issue books, holds or asks anything."""
    load_sheets(stage, FIRST)
    load_sheets(stage, SECOND, "copy.csv")
    end(stage, "confirm", waiting(stage))
    before = booked(stage)
    counts = [
        load_sheets(stage, text, name) for text, name in ((FIRST, "a.csv"), (SECOND, "b.csv"))
    ]

    assert [(each["booked"], each["held"], each["already_booked"]) for each in counts] == [
        (0, 0, 4),
        (0, 0, 4),
    ]
    assert (booked(stage), reissues(stage)) == (before, [])


@pytest.mark.slow
def test_an_older_issue_in_a_longer_file_asks_nothing(stage: Yard) -> None:
    """A file of all weeks that has the lines as they were before says nothing new of them."""
    load_sheets(stage, FIRST)
    load_sheets(stage, SECOND, "copy.csv")
    end(stage, "confirm", waiting(stage))
    counts = load_sheets(stage, FIRST + "S9,B2,2026-03-09,8,DECK\n", "all.csv")

    assert (counts["booked"], counts["held"], counts["already_booked"]) == (1, 0, 4)
    assert reissues(stage) == []


@pytest.mark.slow
def test_a_line_that_a_later_issue_brings_back_stands_again(stage: Yard) -> None:
    """The third issue has the 5 hours of the first again: their entry stands, not a new one."""
    load_sheets(stage, FIRST)
    (five,) = (entry for entry, told in standing(stage).items() if told == ("5.0000", "DECK"))
    load_sheets(stage, SECOND, "copy.csv")
    end(stage, "confirm", waiting(stage))
    load_sheets(stage, HEAD + FIVE + "S1,A1,2026-03-02,2,FRAME\n", "third.csv")
    said = end(stage, "confirm", waiting(stage))

    assert said.endswith("3 reversed, 1 booked, 1 restored\n")
    assert five in standing(stage)
    # 5 + 8 + 2 + 8 h at DECK, 2 h at FRAME.
    assert booked(stage) == {FRAME: 2 * HOUR, DECK: 23 * HOUR}
    assert holds(stage)


def test_a_load_says_which_sheets_were_handed_in_again(stage: Yard) -> None:
    """Even where no line is new and none is held, what differs is not passed over in silence."""
    load_sheets(stage, FIRST + 'S4,A1,2026-03-05,"1,5",DECK\n')
    text = HEAD + THREE + "S4,A1,2026-03-05,1.5,DECK\n"
    path = stage.write("shorter.csv", text)
    said = stage.run("load", "sheets", "--job", JOB, path).stderr.splitlines()

    assert said[:2] == [
        "shorter.csv: handed in again with other lines: S1 (1 worker-day); "
        "confirming reverses lines not repeated, see `fairhours reissues`; to correct one line, "
        "reject the re-issue and use `fairhours correct entry`",
        "shorter.csv: 1 held line corrected by this file",
    ]


def test_lines_without_a_sheet_are_no_reissue(stage: Yard) -> None:
    """Without the name of a sheet a worker's day may be spread over files."""
    head = "worker_id,date,hours,booking_code\n"
    load_sheets(stage, head + "A1,2026-03-02,3,FRAME\n")
    counts = load_sheets(stage, head + "A1,2026-03-02,5,DECK\n", "rest.csv")

    assert (counts["booked"], counts["held"]) == (1, 0)


@pytest.mark.slow
def test_the_same_sheet_of_another_worker_is_added_to_and_of_another_job_asks(stage: Yard) -> None:
    """A name is one sheet whatever job a file names: a wrong --job doubles nothing."""
    load_sheets(stage, HEAD + THREE)
    other = "sheet,worker_id,date,hours,booking_code,job\nS1,A1,2026-03-02,5,DECK,OTHER\n"
    added = load_sheets(stage, HEAD + "S1,B2,2026-03-02,2,DECK\n", "c.csv")
    asked = load_sheets(stage, other, "b.csv")
    end(stage, "reject", waiting(stage))

    assert [(each["booked"], each["held"]) for each in (added, asked)] == [(1, 0), (0, 1)]
    assert booked(stage) == {FRAME: 3 * HOUR, DECK: 2 * HOUR}


@pytest.mark.slow
@pytest.mark.parametrize(("verb", "deck"), slow_beyond(1, [("release", 9), ("reject", 5)]))
def test_lines_of_a_reissue_are_released_as_others_or_rejected(
    stage: Yard, verb: str, deck: int
) -> None:
    """A second page of a sheet is booked beside the first, or ends; then nothing waits for it."""
    load_sheets(stage, HEAD + THREE + FIVE)
    load_sheets(stage, HEAD + FOUR + ONE, "page-2.csv")
    words = ("--file", "page-2.csv", "--reason-is", "re_issue", "--reason", "the second page")
    stage.run(verb, "line", *words)
    again = load_sheets(stage, HEAD + FOUR + ONE + LATER, "page-2b.csv")

    assert (reissues(stage), held(stage)) == ([], [])
    assert (again["booked"], again["held"]) == (1, 0)
    # 8 h of the 4th are added.
    expected = {FRAME: 3 * HOUR, DECK: (deck + 8) * HOUR}
    assert booked(stage) == (expected | {RAIN: HOUR} if verb == "release" else expected)
    assert holds(stage)


@pytest.mark.slow
@pytest.mark.parametrize("crew_first", slow_beyond(1, [True, False]))
def test_the_order_of_crew_and_sheets_decides_no_reissue(stage: Yard, crew_first: bool) -> None:
    """A worker not known yet: their first issue is booked with the crew, the second waits."""
    crew = stage.write("crew.csv", "worker_id,name,trade,grade\nD4,Dan Wick,carpenter,lead\n")
    first, second = (HEAD + f"S7,D4,2026-03-02,{hours},DECK\n" for hours in (7, 6))
    second += "S7,D4,2026-03-02,1,FRAME\n"
    if crew_first:
        stage.run("load", "crew", crew)
    load_sheets(stage, first)
    load_sheets(stage, second, "copy.csv")
    if not crew_first:
        stage.run("load", "crew", crew)

    assert booked(stage) == {DECK: 7 * HOUR}
    assert [(row["file"], row["reason"]) for row in held(stage)] == [("copy.csv", "re_issue")] * 2
    assert holds(stage)


@pytest.mark.slow
def test_a_held_line_put_right_in_the_file_ends_by_itself(stage: Yard) -> None:
    """The file mended and loaded again: its line is booked, the one held before ends matched."""
    load_sheets(stage, HEAD + THREE + 'S1,A1,2026-03-02,"5,0",DECK\n')
    line = held(stage)[0]["held_line"]
    counts = load_sheets(stage, HEAD + THREE + FIVE, "mended.csv")
    rows = stage.rows(stage.run("trace", "--line", line, "--format", "csv").stdout)

    assert (counts["booked"], counts["held"], counts["already_booked"]) == (1, 0, 1)
    assert (rows[-1]["event"], rows[-1]["detail"]) == (
        "matched",
        "corrected in mended.csv, which is booked",
    )
    assert (held(stage), reissues(stage)) == ([], [])
    assert booked(stage) == {FRAME: 3 * HOUR, DECK: 5 * HOUR}
    assert holds(stage)


def test_a_held_line_is_not_put_right_by_one_of_another_code(stage: Yard) -> None:
    """ "8x" at DECK is not mended by an hour of rain: that asks, as it does where both are read."""
    load_sheets(stage, HEAD + "S1,A1,2026-03-02,8x,DECK\n")
    second = load_sheets(stage, HEAD + ONE, "copy.csv")

    assert (second["booked"], second["held"]) == (0, 1)
    assert steps(stage) == [("book", "1.0000", "RAIN"), ("end", "", "DECK")]


@pytest.mark.slow
def test_a_line_of_a_reissue_that_cannot_be_read_waits_for_itself(stage: Yard) -> None:
    """Corrected before the re-issue ends, it waits with it; nothing is booked beside the old."""
    load_sheets(stage, HEAD + THREE + FIVE)
    load_sheets(stage, HEAD + THREE + 'S1,A1,2026-03-02,"4,0",DECK\n' + ONE, "copy.csv")
    (line,) = (r["held_line"] for r in held(stage) if r["reason"] == "hours_unreadable")
    said = stage.run("correct", "line", line, "hours=4", "--reason", "asked").stderr
    between = booked(stage)
    end(stage, "confirm", waiting(stage))

    assert said == "1 held line corrected, still held as part of a re-issue\n"
    assert between == {FRAME: 3 * HOUR, DECK: 5 * HOUR}
    assert booked(stage) == {FRAME: 3 * HOUR, DECK: 4 * HOUR, RAIN: HOUR}
    assert holds(stage)


@pytest.mark.slow
def test_a_long_line_released_in_a_reissue_is_booked_with_it(stage: Yard) -> None:
    """25 h that a person said are right wait with the rest, and stand once it is confirmed."""
    load_sheets(stage, HEAD + THREE)
    load_sheets(stage, HEAD + "S1,A1,2026-03-02,25,DECK\n" + ONE, "copy.csv")
    (line,) = (r["held_line"] for r in held(stage) if r["reason"] == "over_24_hours")
    stage.run("release", "line", line, "--reason", "three days on one line")
    between = booked(stage)
    end(stage, "confirm", waiting(stage))

    assert between == {FRAME: 3 * HOUR}
    assert booked(stage) == {DECK: 25 * HOUR, RAIN: HOUR}
    assert (held(stage), reissues(stage)) == ([], [])
    assert holds(stage)


@pytest.mark.slow
def test_a_line_corrected_to_another_day_is_no_difference(stage: Yard) -> None:
    """A longer file that still has the line as written finds it where it stands now."""
    text = HEAD + THREE + "S1,A1,2026-03-33,5,DECK\n"
    load_sheets(stage, text)
    line = held(stage)[0]["held_line"]
    stage.run("correct", "line", line, "date=2026-03-02", "--reason", "asked")
    counts = load_sheets(stage, text + LATER, "longer.csv")

    assert (counts["booked"], counts["already_booked"]) == (1, 2)
    assert reissues(stage) == []


@pytest.mark.slow
def test_only_an_open_reissue_can_be_ended(stage: Yard) -> None:
    """Unknown and ended ones are all named, and nothing is changed."""
    load_sheets(stage, FIRST)
    load_sheets(stage, SECOND, "copy.csv")
    number = waiting(stage)
    line = held(stage)[0]["held_line"]
    alone = stage.run("release", "line", line, "--reason", "x", ok=False).stderr
    corrected = stage.run("correct", "line", line, "hours=2", "--reason", "x", ok=False).stderr
    end(stage, "confirm", number)
    said = end(stage, "reject", number, "99.1", ok=False)

    assert alone == (
        f"line {line} is one of 2 of re-issue {number}; name all of them, "
        "or confirm or reject the re-issue, see `fairhours reissues`\nnothing was changed\n"
    )
    assert corrected == (
        f"copy.csv:3 ({line}): is held as a re-issue; confirm or reject it, "
        "see `fairhours reissues`\nnothing was changed\n"
    )
    assert said == (
        f"re-issue {number}, sheet S1 in copy.csv: is already confirmed\n"
        "there is no re-issue 99.1; `fairhours reissues` lists open re-issues\n"
        "nothing was changed\n"
    )


@pytest.mark.slow
def test_what_a_reissue_reversed_says_so_in_its_life(stage: Yard) -> None:
    """The reversal names the file and the reason."""
    load_sheets(stage, FIRST)
    load_sheets(stage, SECOND, "copy.csv")
    end(stage, "confirm", waiting(stage))
    reasons = Counter(row["reason"] for row in table(stage, "reversal"))

    assert reasons == {"re-issued in copy.csv: asked the foreman": 1}


def given_again(stage: Yard, *issues: str) -> str:
    """Load the issues of sheet S1 of A1 on the 2nd, 1.csv, 2.csv, ...; return the newest's id."""
    for number, issue in enumerate(issues, start=1):
        rows = "".join(f"S1,A1,2026-03-02,{line}\n" for line in issue.split())
        load_sheets(stage, HEAD + rows, f"{number}.csv")
    return max((row["reissue"] for row in reissues(stage)), default="")


@pytest.mark.slow
@pytest.mark.parametrize("first", slow_beyond(1, ["confirm", "correct"]))
def test_a_line_corrected_to_one_that_is_taken_back_is_booked(stage: Yard, first: str) -> None:
    """5 h and, once it is corrected, "5,0" are one line: with the re-issue 5 and 1 h stand."""
    newest = given_again(stage, "5,DECK", '"5,0",DECK 1,RAIN')
    unread = next(row["held_line"] for row in held(stage) if row["reason"] != "re_issue")
    words = ("correct", "line", unread, "hours=5", "--reason", "asked the foreman")
    if first == "confirm":
        end(stage, "confirm", newest)
    stage.run(*words)
    if first == "correct":
        end(stage, "confirm", newest)

    assert booked(stage) == {DECK: 5 * HOUR, RAIN: HOUR}
    assert (held(stage), reissues(stage)) == ([], [])
    assert holds(stage)


@pytest.mark.slow
@pytest.mark.parametrize("ended", slow_beyond(1, ["matched", "rejected"]))
def test_a_reissue_with_a_line_that_ended_otherwise_is_not_confirmed(
    stage: Yard, ended: str
) -> None:
    """A line that was put right or rejected has no entry to keep: no hour is taken for it."""
    if ended == "matched":
        newest = given_again(stage, '"8,0",DECK', "8,DECK", '"8,0",DECK 1,RAIN')
        place, told = "1.csv:2", "has ended: another line is the same"
    else:
        older = given_again(stage, "5,DECK", '"4,0",DECK')
        end(stage, "reject", older)
        rows = 'S1,A1,2026-03-02,"4,0",DECK\nS1,A1,2026-03-02,1,RAIN\n'
        load_sheets(stage, HEAD + rows, "3.csv")
        newest, place, told = waiting(stage), "2.csv:2", "was rejected and cannot be read"
    before = booked(stage)
    said = end(stage, "confirm", newest, ok=False)

    assert said.splitlines() == [
        f"re-issue {newest}, sheet S1 in 3.csv: its line {place} {told}; reject the re-issue, "
        "then reverse or correct the differing lines one by one",
        "nothing was changed",
    ]
    assert booked(stage) == before
    assert holds(stage)


@pytest.mark.slow
def test_a_line_of_a_confirmed_issue_is_not_rejected_with_an_older_one(stage: Yard) -> None:
    """What two issues share is the confirmed one's: it is corrected, and its hours stay."""
    older = given_again(stage, "5,DECK", '"4,0",DECK')
    line = next(row["held_line"] for row in held(stage))
    load_sheets(stage, HEAD + 'S1,A1,2026-03-02,"4,0",DECK\nS1,A1,2026-03-02,1,RAIN\n', "3.csv")
    newer = next(row["reissue"] for row in reissues(stage) if row["reissue"] != older)
    end(stage, "confirm", newer)
    stage.run("correct", "line", line, "hours=4", "--reason", "asked the foreman")
    end(stage, "reject", older)

    assert booked(stage) == {DECK: 4 * HOUR, RAIN: HOUR}
    assert (held(stage), reissues(stage)) == ([], [])
    assert holds(stage)
