"""Time that the owner caused: listed for the yard until it is notified or raised as a change."""

import json
from decimal import Decimal
from typing import Any

import pytest

from tests import _stage
from tests._stage import JOB, SAMPLE, booked, load_sheets, table
from tests.conftest import Yard
from tests.sheets.test_places import HOUR

CAUSES = """
    [non_productive]
    WAIT = "late_drawing"

    [causes.late_drawing]
    asked_by = "{asked_by}"
    borne_by = "undecided"

    [causes.damage]
    asked_by = "{asked_by}"
    borne_by = "undecided"
    """
LIMIT = "\n[notice_limits]\nnotice_days = 10\n"
SHEETS = """worker_id,date,hours,booking_code,rework
A1,2026-03-03,4,WAIT,
A1,2026-03-05,2,WAIT,
C3,2026-03-04,3,FRAME,damage
C3,2026-03-10,1.5,WAIT,
A1,2026-03-04,8,FRAME,
A1,2026-03-06,6,RAIN,
"""
ON = ("--job", JOB, "--status-date", "2026-03-14")
RAISE = ("request", "change", "--job", JOB, "--title", "Late drawings", "--cause", "late_drawing")
COUNTED = ("cause", "kind", "first_day", "hours", "value", "notify_by", "days_left", "attention")


def load_all(yard: Yard) -> None:
    _stage.load_all(yard)
    job = (SAMPLE / "job.toml").read_text() + LIMIT
    yard.run("load", "job", yard.write("limited.toml", job))
    set_asked_by(yard, "owner")
    yard.run("load", "charge-rates", "--job", JOB, SAMPLE / "charge-rates.csv")
    yard.run("freeze", "--job", JOB, "--on", "2026-02-27")
    load_sheets(yard, SHEETS)


def set_asked_by(yard: Yard, who: str) -> None:
    yard.run("load", "settings", yard.write("causes.toml", CAUSES.format(asked_by=who)))


@pytest.fixture
def waited(yard: Yard) -> Yard:
    """A job with a notice limit of ten days, and time that late drawings and damage took."""
    return yard.copy_made_by(load_all)


def test_time_the_owner_caused_is_listed_with_its_value_and_limit(waited: Yard) -> None:
    """By cause and week at charge rates; the limit runs from the first day of the week's hours."""
    found = waited.json("to-notify", *ON)

    assert [tuple(row[name] for name in COUNTED) for row in found["rows"]] == [
        ("damage", "rework", "2026-03-04", 3, 120, "2026-03-14", 0, "notice_due"),
        ("late_drawing", "lost", "2026-03-03", 6, 360, "2026-03-13", -1, "notice_missed"),
        ("late_drawing", "lost", "2026-03-10", Decimal("1.5"), 60, "2026-03-20", 6, "notice_due"),
    ]
    assert (found["hours"], found["value"]) == (Decimal("10.5"), 540)
    shown = waited.run("to-notify", *ON)
    assert "10.50 h, 540.00 EUR at charge rates; first to notify by 2026-03-13" in shown.stdout
    assert "is for the contract" in shown.stderr


def test_the_list_leads_to_a_change_and_its_notice(waited: Yard) -> None:
    """Each cause once: the commands that raise its hours, and give notice from its first day."""
    said = waited.run("to-notify", *ON).stderr.splitlines()
    request, notice = "request change --job STAGE --cause", "issue notice --job STAGE CHANGE"

    assert said[:4] == [
        f"to raise it: `fairhours {request} damage --title TITLE`",
        f"  then: `fairhours {notice} --aware-on 2026-03-04 --out notice.pdf`",
        f"to raise it: `fairhours {request} late_drawing --title TITLE`",
        f"  then: `fairhours {notice} --aware-on 2026-03-03 --out notice.pdf`",
    ]


def test_the_status_tells_what_is_to_notify(waited: Yard) -> None:
    """What to do names the hours and the first limit."""
    told = {each["what"]: each for each in waited.json("status", *ON)["to_do"]}

    assert (told["to_notify"]["hours"], told["to_notify"]["due"]) == (Decimal("10.5"), "2026-03-13")
    assert "10.50 h to notify by 2026-03-13" in " ".join(waited.run("status", *ON).stdout.split())


def test_hours_become_a_change_in_one_command(waited: Yard) -> None:
    """A dry run writes nothing; then the change has the hours, and the list has them no more."""
    before = waited.run("history", "--format", "csv").stdout
    dry = waited.run(*RAISE, "--until", "2026-03-08", "--dry-run").stderr.splitlines()
    unwritten = waited.run("history", "--format", "csv").stdout
    waited.run(*RAISE, "--until", "2026-03-08")

    assert unwritten == before
    assert dry[:4] == [
        "dry run, nothing was written; without --dry-run:",
        "CR1, Late drawings: price requested; not instructed",
        "2 entries tagged by hand, 6.00 h",
        "  STAGE non_productive late_drawing -> STAGE CR1: 6.00 h",
    ]
    assert booked(waited)[JOB, "CR1", "", ""] == 6 * HOUR
    [change] = table(waited, "change")
    assert (change["change_basis"], change["origin"]) == ("daywork", "owner")
    assert [row["reason"] for row in table(waited, "hand_tag")] == [
        "late_drawing, raised as CR1"
    ] * 2
    rows = waited.json("to-notify", *ON)["rows"]
    assert [(row["cause"], row["hours"]) for row in rows] == [
        ("damage", 3),
        ("late_drawing", Decimal("1.5")),
    ]


@pytest.mark.slow
def test_a_change_raised_late_keeps_the_limit_of_its_first_hour(waited: Yard) -> None:
    """Time booked before the request was known then: the limit runs from it, and is no doubt."""
    waited.run(*RAISE, "--until", "2026-03-08", "--requested-on", "2026-03-13")
    [change] = waited.json("changes", *ON)["changes"]

    assert "notice_missed" in change["attention"]
    assert waited.json("doubts", "--kind", "before_request")["doubts"] == []


@pytest.mark.slow
def test_rework_raised_as_a_change_is_rework_no_more(waited: Yard) -> None:
    """What the owner caused is the change's own work, so that it can be charged."""
    words = [word.replace("late_drawing", "damage") for word in RAISE]
    waited.run(*words, "--reason", "the club's own boat")

    assert booked(waited)[JOB, "CR1", "", ""] == 3 * HOUR
    assert [row["reason"] for row in table(waited, "hand_tag")] == ["the club's own boat"]


@pytest.mark.slow
def test_hours_of_closed_periods_are_left_unless_asked_for(waited: Yard) -> None:
    """They stay and are named; if all are closed nothing is written; --with-closed moves them."""
    waited.run("close", "period", "--to", "2026-03-08")
    early = (*RAISE, "--until", "2026-03-08")
    refused = waited.run(*early, ok=False).stderr
    some = waited.run(*RAISE).stderr
    rest = waited.run(*early, "--with-closed").stderr

    assert refused == (
        'job STAGE: all hours of cause "late_drawing" in these days, 2 entries, fall in closed '
        "periods; --with-closed moves them as late adjustments\n"
    )
    assert "1 entry tagged by hand, 1.50 h" in some
    assert "2 entries of closed periods" in some
    assert "2 entries tagged by hand, 6.00 h" in rest


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (
            ("--cause", "weather"),
            'cause "weather": is not asked for by the owner; use one of damage, late_drawing, ',
        ),
        (
            ("--cause", "damage", "--from", "2026-03-05"),
            'job STAGE: no hours of cause "damage" are left to notify in these days\n',
        ),
        (("--from", "2026-03-05"), "--from, --until, --reason, --with-closed and --dry-run go"),
    ],
)
def test_hours_that_are_not_the_owners_raise_no_change(
    waited: Yard, words: tuple[str, ...], said: str
) -> None:
    """Another cause, days without hours, and days without a cause are refused."""
    request = ("request", "change", "--job", JOB, "--title", "x", "--requested-by", "Jo")
    basis = ("--basis", "daywork")

    assert waited.run(*request, *basis, *words, ok=False).stderr.startswith(said)


@pytest.mark.slow
def test_owners_read_nothing_of_it_until_it_is_raised(waited: Yard) -> None:
    """Whoever is said to have asked for the time, the owner's statement is the same."""
    asked = statement(waited)
    set_asked_by(waited, "yard")
    not_asked = statement(waited)
    set_asked_by(waited, "owner")
    waited.run(*RAISE)

    assert asked == not_asked
    assert not any(word in json.dumps(asked).lower() for word in ("late_drawing", "late drawing"))
    assert [each["title"] for each in statement(waited)["changes"]] == ["Late drawings"]


def statement(yard: Yard) -> dict[str, Any]:
    """Return the owner's statement without the stamp that it was made at."""
    out = yard.folder / "variations.json"
    yard.run("report", "variations", "--job", JOB, "--status-date", "2027-03-14", "--out", out)
    content = json.loads(out.read_text())
    return {name: content[name] for name in content if name not in ("known_at", "remade_by")}
