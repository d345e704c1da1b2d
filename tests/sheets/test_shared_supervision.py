"""Supervision shared out by what the crew booked that week, and shared out anew when that moves."""

import pytest

from ledger.sheets.ending_outcomes import Move
from ledger.sheets.moves import listed
from tests._stage import (
    JOB,
    SAMPLE,
    SHEET_HEAD,
    booked,
    load_sheets,
    sums_by_entry,
    table,
    times_by_entry,
)
from tests.conftest import Yard, slow_beyond
from tests.sheets.test_hand_tags import tag
from tests.sheets.test_places import HOUR

DECK, RAIL, UNTAGGED = ((JOB, code, "", "") for code in ("DECK", "RAIL", "untagged"))
HEAD = "rule,priority,booked_to,booking_code,worker_id,share,share_by,reason\n"
SUPERVISION = "supervision,10,,SUPV,,,crew_hours,the foreman works for all\n"


def day(worker: str, on: str, hours: str, code: str) -> str:
    return f"{worker},2026-03-{on},{hours},{code},\n"


CREW = day("A1", "02", "7", "DECK") + day("B2", "03", "2", "FRAME") + day("B2", "08", "1", "RAIL")
FOREMAN = day("C3", "04", "5", "SUPV")


def share(yard: Yard, rows: str = SUPERVISION, *words: str, ok: bool = True) -> list[str]:
    """Load rules that share hours out, and return what was said."""
    path = yard.write("rules.csv", HEAD + rows)
    return yard.run("load", "rules", path, *words, ok=ok).stderr.splitlines()


def foreman(yard: Yard) -> dict[str, int]:
    """Return where the hours under SUPV are booked, in ms."""
    entries = {
        f"{row['batch']}.{row['row']}"
        for row in table(yard, "entry")
        if row["booking_code"] == "SUPV"
    }
    sums: dict[str, int] = {}
    for row in table(yard, "posting"):
        if f"{row['entry_batch']}.{row['entry_row']}" in entries:
            sums[row["booked_to"]] = sums.get(row["booked_to"], 0) + int(row["ms"])
    return {place: ms for place, ms in sorted(sums.items()) if ms}


def entry_of_foreman(yard: Yard) -> str:
    [row] = [row for row in table(yard, "entry") if row["booking_code"] == "SUPV"]
    return f"{row['batch']}.{row['row']}"


WEEKS = [
    # 7 + 2 + 1 of 10 hours: the crew's Sunday is of this week, its next Monday is not.
    ("5", {"DECK": 12_600_000, "FRAME": 3_600_000, "RAIL": 1_800_000}),
    # 36 ms: 25.2, 7.2 and 3.6; the odd one goes to the largest fraction.
    ("0.00001", {"DECK": 25, "FRAME": 7, "RAIL": 4}),
    ("0", {}),
]


@pytest.mark.parametrize(("hours", "places"), slow_beyond(1, WEEKS))
def test_hours_are_shared_by_what_the_crew_booked_that_week(
    stage: Yard, hours: str, places: dict[str, int]
) -> None:
    """In proportion to the hours of each package, to the millisecond, whatever is loaded first."""
    share(stage)
    lost = (
        day("A1", "05", "8", "RAIN") + day("A1", "06", "3", "SHED") + day("A1", "09", "8", "RAIL")
    )
    load_sheets(stage, SHEET_HEAD + CREW + lost + day("C3", "04", hours, "SUPV"))

    assert foreman(stage) == places
    assert sums_by_entry(stage) == times_by_entry(stage)


@pytest.mark.slow
def test_equal_fractions_go_to_the_code_named_first(stage: Yard) -> None:
    """A second over three equal shares: the odd millisecond goes by the order of the codes."""
    crew = [("02", "RAIL"), ("03", "FRAME"), ("04", "DECK")]
    rows = "".join(day("A1", on, "8", code) for on, code in crew)
    load_sheets(stage, SHEET_HEAD + rows + day("C3", "04", "0:00:01", "SUPV"))
    share(stage)

    assert foreman(stage) == {"DECK": 334, "FRAME": 333, "RAIL": 333}


@pytest.mark.slow
def test_late_sheets_share_a_week_out_anew(stage: Yard) -> None:
    """The differences are posted in the late sheet's batch, and the trace says by what."""
    share(stage)
    load_sheets(stage, SHEET_HEAD + CREW + FOREMAN)
    load_sheets(stage, SHEET_HEAD + day("A1", "06", "10", "FRAME"), "late.csv")
    life = stage.json("trace", entry_of_foreman(stage))["life"]
    words = "rule supervision: the foreman works for all; "
    words += "share by crew hours of the week of 2026-03-02: "

    assert foreman(stage) == {"DECK": 6_300_000, "FRAME": 10_800_000, "RAIL": 900_000}
    assert [(each["place"], each["detail"]) for each in life[2:]] == [
        ("STAGE RAIL", f"{words}1.00 of 10.00 h"),
        ("STAGE FRAME", f"{words}2.00 of 10.00 h"),
        ("STAGE DECK", f"{words}7.00 of 10.00 h"),
        ("STAGE DECK", f"{words}7.00 of 20.00 h"),
        ("STAGE RAIL", f"{words}1.00 of 20.00 h"),
        ("STAGE FRAME", f"{words}12.00 of 20.00 h"),
    ]


@pytest.mark.slow
def test_a_tag_by_hand_on_the_crew_shares_the_week_out_anew(stage: Yard) -> None:
    """The foreman's own hours, tagged by hand, are shared out no more."""
    share(stage)
    load_sheets(stage, SHEET_HEAD + CREW + FOREMAN)
    tag(stage, "--code", "DECK", "--to", "FRAME")
    moved = foreman(stage)
    tag(stage, "--code", "SUPV", "--to", "RAIL")

    assert moved == {"FRAME": 16_200_000, "RAIL": 1_800_000}
    assert foreman(stage) == {"RAIL": 5 * HOUR}
    assert sums_by_entry(stage) == times_by_entry(stage)


@pytest.mark.slow
def test_whatever_moves_the_crews_hours_shares_them_out_anew(stage: Yard) -> None:
    """Reversals, corrections, rules about others and withdrawals of these."""
    share(stage)
    load_sheets(stage, SHEET_HEAD + CREW + FOREMAN)
    seen = []
    ids = {row["booking_code"]: f"{row['batch']}.{row['row']}" for row in table(stage, "entry")}
    why = ("--reason", "asked")
    for command in (
        ("reverse", "entry", ids["DECK"], *why),
        ("undo", "reversal", "REVERSAL", *why),
        ("correct", "entry", ids["DECK"], "booking_code=RAIL", *why),
    ):
        last = table(stage, "entry")[-1]
        newest = f"{last['batch']}.{last['row']}"
        words = [newest if each == "REVERSAL" else each for each in command]
        stage.run(*words)
        seen.append(foreman(stage))
    share(stage, SUPERVISION + "b2,1,DECK,,B2,,,\n")
    seen.append(foreman(stage))
    [fact] = [row["id"] for row in table(stage, "rule") if row["rule"] == "b2"]
    stage.run("withdraw", "fact", fact, *why)
    seen.append(foreman(stage))

    assert seen == [
        {"FRAME": 12_000_000, "RAIL": 6_000_000},
        {"DECK": 12_600_000, "FRAME": 3_600_000, "RAIL": 1_800_000},
        {"FRAME": 3_600_000, "RAIL": 14_400_000},
        {"DECK": 5_400_000, "RAIL": 12_600_000},
        {"FRAME": 3_600_000, "RAIL": 14_400_000},
    ]
    assert stage.run("check").exit_code == 0


@pytest.mark.slow
def test_shared_hours_of_a_closed_period_stay_and_are_listed(stage: Yard) -> None:
    """A late sheet leaves a closed week as it was split; --with-closed posts the differences."""
    share(stage)
    load_sheets(stage, SHEET_HEAD + CREW + FOREMAN)
    stage.run("close", "period", "--to", "2026-03-08")
    before = foreman(stage)
    late = stage.write("late.csv", SHEET_HEAD + day("A1", "06", "10", "FRAME"))
    told = stage.run("load", "sheets", "--job", JOB, late).stderr.splitlines()
    [kept] = stage.json("kept")
    stayed = foreman(stage)
    posted = share(stage, SUPERVISION, "--with-closed", "--reason", "the sheet was late")

    assert "1 entry of a closed period not moved; see `fairhours kept`" in told
    assert (kept["from_place"], kept["to_place"]) == ("STAGE DECK, STAGE RAIL", "STAGE FRAME")
    assert stayed == before
    assert posted[-2:] == [
        "1 entry of a closed period moved, 2.00 h, as late adjustments:",
        "  STAGE DECK, RAIL -> STAGE FRAME: 2.00 h",
    ]
    assert foreman(stage) == {"DECK": 6_300_000, "FRAME": 10_800_000, "RAIL": 900_000}
    assert stage.json("kept") == []


@pytest.mark.slow
def test_a_dry_run_shows_what_is_shared_out(stage: Yard) -> None:
    """And a rule withdrawn gives the hours back to their code."""
    load_sheets(stage, SHEET_HEAD + CREW + FOREMAN)
    told = share(stage, SUPERVISION, "--dry-run")
    dry = foreman(stage)
    share(stage)
    stage.run("withdraw", "fact", table(stage, "rule")[0]["id"], "--reason", "no longer")

    assert told[2:] == [
        "1 entry moved, 5.00 h:",
        "  STAGE untagged -> STAGE DECK, FRAME, RAIL: 5.00 h",
    ]
    assert dry == foreman(stage) == {"untagged": 5 * HOUR}


@pytest.mark.slow
def test_a_week_without_crew_hours_is_booked_as_the_code_says(stage: Yard) -> None:
    """Under an unknown code it is left to tag, and says why; other shared hours are no measure."""
    share(stage, SUPERVISION + "deck,10,,,C3,,crew_hours,\n")
    load_sheets(stage, SHEET_HEAD + FOREMAN + day("C3", "05", "4", "DECK"))
    [left] = (row for row in stage.json("untagged")["rows"] if row["why"] == "no_crew_hours")
    life = stage.json("trace", entry_of_foreman(stage))["life"]
    alone = booked(stage)
    load_sheets(stage, SHEET_HEAD + day("A1", "06", "1", "RAIL"), "late.csv")

    assert alone == {UNTAGGED: 5 * HOUR, DECK: 4 * HOUR}
    assert left["why"] == "no_crew_hours"
    assert life[-1]["detail"].endswith("no crew hours in the week of 2026-03-02, as the code says")
    assert booked(stage) == {RAIL: 10 * HOUR}


@pytest.mark.slow
def test_hours_without_a_job_are_shared_over_all_jobs(stage: Yard) -> None:
    """Those of a job go to that job's places alone."""
    other = (SAMPLE / "job.toml").read_text(encoding="utf-8").replace("STAGE", "PIER")
    stage.run("load", "job", stage.write("pier.toml", other))
    head = (SAMPLE / "estimate.csv").read_text(encoding="utf-8").splitlines()[0]
    row = "HEAD,Head,structure,carpenter,40,2026-03-02,2026-03-13,percent_complete,,,,,\n"
    estimate = stage.write("estimate.csv", f"{head}\n{row}")
    stage.run("load", "estimate", "--job", "PIER", estimate)
    share(stage)
    crew = CREW + day("A1", "04", "10", "HEAD")
    sheets = stage.write("both.csv", SHEET_HEAD + crew + FOREMAN)
    stage.run("load", "sheets", sheets)
    over_all = foreman(stage)
    named = SHEET_HEAD.replace("note", "note,job") + "C3,2026-03-05,2,SUPV,,PIER\n"
    own = stage.write("own.csv", named)
    stage.run("load", "sheets", own)

    assert over_all == {"DECK": 6_300_000, "FRAME": 1_800_000, "HEAD": 9_000_000, "RAIL": 900_000}
    assert foreman(stage) == over_all | {"HEAD": 9_000_000 + 2 * HOUR}


def test_of_many_places_the_first_are_named() -> None:
    """A move to four places names them; of more the others are counted."""
    four, six = "A, B, C, D", "A, B, C, D, E, F"
    moves = [Move("J", "untagged", "J", places, 1, HOUR) for places in (four, six)]

    assert listed(moves) == [
        "  J untagged -> J A, B, C, D: 1.00 h",
        "  J untagged -> J A, B, C, D and 2 more: 1.00 h",
    ]


FAULTS = [
    (
        "a,1,DECK,SUPV,,,crew_hours,\n",
        "2: share_by crew_hours books to what the crew worked on; leave booked_to blank",
    ),
    (
        "a,1,,SUPV,,,crew_hours,\na,1,,SUPV,,,crew_hours,\n",
        "3: share_by crew_hours takes one row for a rule",
    ),
    ("a,1,,SUPV,,,crew,\n", '2: share_by "crew" is unknown; use one of fixed, crew_hours'),
    (
        "a,1,,SUPV,,0.5,crew_hours,\na,1,RAIL,SUPV,,0.5,,\n",
        "3: differs from the rule's first row in share_by",
    ),
]


@pytest.mark.parametrize(("rows", "fault"), slow_beyond(1, FAULTS))
def test_a_rule_of_two_minds_is_refused(stage: Yard, rows: str, fault: str) -> None:
    """Where shared hours go is what the crew booked; the row is named."""
    assert f"rules.csv:{fault}" in share(stage, rows, ok=False)


@pytest.mark.slow
def test_fixed_is_what_shares_are_by_themselves(stage: Yard) -> None:
    """A rule that says so is the same rule; its shares add up to 1."""
    share(stage, "half,1,DECK,SUPV,,0.5,fixed,\nhalf,1,RAIL,SUPV,,0.5,fixed,\n")
    again = share(stage, "half,1,DECK,SUPV,,0.5,,\nhalf,1,RAIL,SUPV,,0.5,,\n")
    load_sheets(stage, SHEET_HEAD + CREW + FOREMAN)

    assert again == ["rules.csv: rule: 0 new or changed, 1 unchanged"]
    assert foreman(stage) == {"DECK": 9_000_000, "RAIL": 9_000_000}
