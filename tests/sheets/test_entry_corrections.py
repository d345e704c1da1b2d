"""An entry is corrected by one command: reversed and booked right, its line found both ways."""

import pytest

from tests._stage import JOB, booked, load_sheets, sums_by_entry, table, times_by_entry
from tests.conftest import Yard

HOUR = 3_600_000
HEAD = "sheet,worker_id,date,hours,booking_code\n"
LINES = HEAD + "S1,A1,2026-03-02,8,FRAME\nS1,A1,2026-03-02,2,DECK\nS1,B2,2026-03-03,6,DECK\n"
FRAME, DECK = (JOB, "FRAME", "", ""), (JOB, "DECK", "", "")
RAIN = (JOB, "non_productive", "weather", "")


def entries(stage: Yard, *words: str) -> list[dict[str, str]]:
    return stage.rows(stage.run("entries", *words, "--format", "csv").stdout)


def standing(stage: Yard, hours: str) -> str:
    """Return the id of the one entry of so many whole hours that stands."""
    told = ("stands", f"{hours}.0000")
    (only,) = (r["entry"] for r in entries(stage) if (r["state"], r["hours"]) == told)
    return only


def correct(stage: Yard, *words: str, ok: bool = True) -> str:
    """Correct an entry, or `entries`, and return what was said."""
    thing = () if words[0] == "entries" else ("entry",)
    return stage.run("correct", *thing, *words, "--reason", "seen on the paper", ok=ok).stderr


def holds(stage: Yard) -> bool:
    assert sums_by_entry(stage) == times_by_entry(stage)
    return stage.run("check").exit_code == 0


def batches(stage: Yard) -> int:
    return len(stage.run("history", "--format", "csv").stdout.splitlines())


def test_an_entry_is_reversed_and_booked_right_in_one_batch(stage: Yard) -> None:
    """The new entry is of the same line; both are named, and where the hours stood and stand."""
    load_sheets(stage, LINES)
    old, before = standing(stage, "8"), batches(stage)
    said = correct(stage, old, "hours=7.5", "booking_code=deck").splitlines()
    new = next(row for row in table(stage, "entry") if row["ms"] == str(7 * HOUR + HOUR // 2))

    # 7.5 + 2 + 6 h at DECK.
    assert booked(stage) == {DECK: 15 * HOUR + HOUR // 2}
    assert batches(stage) == before + 1
    assert f"{new['line_batch']}.{new['line_row']}" == old
    assert said == [
        f"entry {old} corrected, now {new['batch']}.{new['row']}: 8.00 h -> 7.50 h; "
        f"`fairhours trace {old}`",
        f"  {JOB} FRAME -> {JOB} DECK: 1 entry, 8.00 h -> 7.50 h",
    ]
    assert holds(stage)


@pytest.mark.slow
def test_a_corrected_line_is_found_as_it_was_and_as_it_reads(stage: Yard) -> None:
    """Corrected twice and back, the file as it was and as it reads now book nothing."""
    load_sheets(stage, LINES)
    correct(stage, standing(stage, "8"), "hours=7")
    as_it_reads = load_sheets(stage, LINES.replace(",8,", ",7,"), "new.csv")
    correct(stage, standing(stage, "7"), "hours=8")
    as_it_was = load_sheets(stage, LINES + "S2,B2,2026-03-05,1,DECK\n", "longer.csv")
    twins = load_sheets(stage, HEAD + "S1,A1,2026-03-02,8,FRAME\n" * 2, "twins.csv")

    assert (as_it_reads["booked"], as_it_reads["already_booked"]) == (0, 3)
    assert (as_it_was["booked"], as_it_was["already_booked"]) == (1, 3)
    # The second of two equal lines is another line, and asks.
    assert (twins["already_booked"], twins["held"]) == (1, 1)
    assert booked(stage) == {FRAME: 8 * HOUR, DECK: 9 * HOUR}
    assert holds(stage)


@pytest.mark.slow
def test_trace_shows_what_was_corrected_from_what_to_what_by_whom_and_why(stage: Yard) -> None:
    """Raw line, corrections one after the other, each from what it read so far."""
    load_sheets(stage, LINES)
    old = standing(stage, "8")
    correct(stage, old, "hours=7")
    correct(stage, standing(stage, "7"), "hours=9", "note=night")
    life = stage.json("trace", old)["life"]

    assert [(row["place"], row["detail"]) for row in life if row["event"] == "corrected"] == [
        ("hours", '"8" is now "7"'),
        (None, "seen on the paper"),
        ("hours", '"7" is now "9"'),
        ("note", 'blank is now "night"'),
        (None, "seen on the paper"),
    ]
    assert {row["actor"] for row in life} == {"Tester"}


def test_a_correction_that_cannot_stand_is_refused_with_one_message(stage: Yard) -> None:
    """Unknown worker, unreadable date, over 24 h, no change, and a field that no line has."""
    load_sheets(stage, LINES)
    entry, before = standing(stage, "8"), batches(stage)
    said = {
        change: correct(stage, entry, change, ok=False).splitlines()
        for change in ("worker_id=Q7", "date=2026-02-31", "hours=24.5", "hours=8:00", "size=3")
    }
    line = f"week.csv:2 ({entry}): "
    nothing = "nothing was changed"

    assert list(said.values())[:4] == [
        [
            f'{line}worker "Q7" is not in the crew; load the crew with this worker, '
            "or correct the worker_id",
            nothing,
        ],
        [f'{line}date "2026-02-31" is not a valid date; write it as 2026-05-31', nothing],
        [
            f'{line}hours "24.5" exceed 24 hours; split or correct the line',
            nothing,
        ],
        ["nothing to correct: it is already booked that way"],
    ]
    assert said["size=3"][0].startswith('"size" is not a field of a sheet line')
    assert batches(stage) == before


@pytest.mark.slow
def test_only_an_entry_that_stands_is_corrected(stage: Yard) -> None:
    """Corrected, reversed and reversals are refused, each with what to do; so is undoing them."""
    load_sheets(stage, LINES)
    old, other = standing(stage, "8"), standing(stage, "6")
    correct(stage, old, "hours=7")
    new = standing(stage, "7")
    batch = new.partition(".")[0]
    stage.run("reverse", "entry", other, "--reason", "x")
    by = int(batch) + 1
    day = stage.rows(stage.run("history", "--format", "csv").stdout)[-1]["recorded_at"][:10]
    why = ("--reason", "x")
    said = [
        correct(stage, old, "hours=6", ok=False),
        correct(stage, f"{batch}.1", "hours=6", ok=False),
        correct(stage, other, "hours=5", ok=False),
        stage.run("undo", "reversal", old, *why, ok=False).stderr,
        stage.run("undo", "reversal", f"{batch}.1", *why, ok=False).stderr,
    ]
    corrected = f"entry {old} was corrected, its line is now entry {new}; correct that one"

    assert [text.splitlines()[0] for text in said] == [
        f"entry {old} was corrected in {batch}.1 (Tester, {day}); its line is now entry {new}",
        f"entry {batch}.1 is the reversal of {old}; correct a standing entry",
        f"entry {other} is already reversed by {by}.1 (Tester, {day}); "
        f"undo the reversal first: `fairhours undo reversal {other}`",
        corrected,
        corrected,
    ]
    assert booked(stage) == {FRAME: 7 * HOUR, DECK: 2 * HOUR}


@pytest.mark.slow
def test_an_entry_of_an_open_reissue_is_corrected_once_that_has_ended(stage: Yard) -> None:
    """What a re-issue would keep or take back waits for it; refused, the entry is corrected."""
    load_sheets(stage, LINES)
    load_sheets(stage, HEAD + "S1,A1,2026-03-02,8,FRAME\nS1,A1,2026-03-02,3,DECK\n", "copy.csv")
    (waiting,) = {row["reissue"] for row in stage.json("reissues")}
    eight, two = standing(stage, "8"), standing(stage, "2")
    said = [correct(stage, entry, "hours=4", ok=False) for entry in (eight, two)]
    stage.run("reject", "reissue", waiting, "--reason", "x")
    correct(stage, two, "hours=3.5")

    assert said == [
        f"1 entry of sheet S1, the first {entry}: handed in again in copy.csv; confirm or reject "
        f"re-issue {waiting} first, see `fairhours reissues`\nnothing was changed\n"
        for entry in (eight, two)
    ]
    assert booked(stage)[DECK] == 9 * HOUR + HOUR // 2
    assert holds(stage)


@pytest.mark.slow
def test_a_corrected_line_stands_once_after_a_reissue_brings_it_back(stage: Yard) -> None:
    """Corrected twice, replaced, then given again: its newest entry stands, no older one."""
    load_sheets(stage, LINES)
    correct(stage, standing(stage, "8"), "hours=7")
    correct(stage, standing(stage, "7"), "hours=5")
    for lines, name in (("4,FRAME", "second.csv"), ("5,FRAME 1,RAIN", "third.csv")):
        rows = "".join(f"S1,A1,2026-03-02,{line}\n" for line in lines.split())
        load_sheets(stage, HEAD + rows, name)
        (waiting,) = {row["reissue"] for row in stage.json("reissues")}
        stage.run("confirm", "reissue", waiting, "--reason", "x")

    # The 2 h at DECK were not given again.
    assert booked(stage) == {FRAME: 5 * HOUR, DECK: 6 * HOUR, RAIN: HOUR}
    assert holds(stage)


def test_a_correction_to_a_line_that_is_booked_is_refused(stage: Yard) -> None:
    """Hours that another file books already are reversed, not corrected into a second copy."""
    load_sheets(stage, LINES)
    load_sheets(stage, HEAD + "S1,A1,2026-03-04,8,FRAME\n", "other.csv")
    entry = next(row["entry"] for row in entries(stage, "--day", "2026-03-02"))
    said = correct(stage, entry, "date=2026-03-04", ok=False)

    assert said == (
        f"entry {entry} would be the same as other.csv:2, which is booked; reverse it instead, "
        "or correct its note too\nnothing was changed\n"
    )


@pytest.mark.slow
def test_the_entries_of_a_file_get_their_job_at_once(stage: Yard) -> None:
    """A dry run shows count, hours and places and writes nothing; lines of a job are left."""
    lines = "S1,A1,2026-03-02,8,P99,\nS1,A1,2026-03-03,6,P99,\nS1,B2,2026-03-03,1,P99,STAGE\n"
    path = stage.write("week.csv", HEAD.replace("\n", ",job\n") + lines)
    stage.run("load", "sheets", path)
    before, untagged = batches(stage), entries(stage, "--untagged")
    words = ("entries", "--file", "week.csv", f"job={JOB}")
    dry = correct(stage, *words, "--dry-run").splitlines()
    unwritten = batches(stage)
    done = correct(stage, *words).splitlines()

    assert dry == ["dry run, nothing was written; without --dry-run:", *done]
    assert done == [
        "2 entries corrected, 14.00 h",
        f"  untagged -> {JOB} untagged: 2 entries, 14.00 h",
        "1 entry unchanged",
    ]
    assert (unwritten, batches(stage)) == (before, before + 1)
    assert len(untagged) == 3
    assert len(entries(stage, "--job", JOB)) == 3
    assert holds(stage)


@pytest.mark.slow
def test_a_fault_of_many_entries_is_one_message_and_none_is_corrected(stage: Yard) -> None:
    """Of a bulk correction each fault is said once with its first line; a load must be named."""
    load_sheets(stage, LINES)
    said = correct(stage, "entries", "--file", "week.csv", "hours=30", ok=False)
    unnamed = correct(stage, "entries", "hours=3", ok=False)

    first = entries(stage)[0]["entry"]
    assert said == (
        f'week.csv:2 ({first}) and 2 more: hours "30" exceed 24 hours; split or correct the line\n'
        "nothing was changed\n"
    )
    assert "name the entries by --file NAME or by --batch N" in unnamed


@pytest.mark.slow
def test_a_day_of_a_closed_period_is_corrected_as_a_late_adjustment(stage: Yard) -> None:
    """The figure of the closed period stays; the command says that the difference comes late."""
    load_sheets(stage, LINES)
    stage.run("close", "period", "--to", "2026-03-02")
    said = correct(stage, standing(stage, "8"), "hours=7").splitlines()

    assert said[-1] == (
        "1 line falls in a closed period (to 2026-03-02): its figures stay, "
        "the difference is a late adjustment"
    )
    assert booked(stage) == {FRAME: 7 * HOUR, DECK: 8 * HOUR}
    assert holds(stage)


@pytest.mark.slow
def test_a_line_reversed_and_loaded_right_says_what_confirming_takes_back(stage: Yard) -> None:
    """The right line alone waits; its message offers the correction of one entry."""
    load_sheets(stage, LINES)
    stage.run("reverse", "entry", standing(stage, "8"), "--reason", "x")
    load_sheets(stage, HEAD + "S1,A1,2026-03-02,7,FRAME\n", "fix.csv")
    (line,) = stage.json("held")

    assert line["message"] == (
        "sheet S1 already has other lines of worker A1 on 2026-03-02; confirming reverses those "
        "not repeated, see `fairhours reissues`; to correct one line, use `fairhours correct entry`"
    )
