"""The owner's statement as a user makes it: `report variations`, of the small sample."""

import json
from collections.abc import Sequence
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest

from ledger.reports.identity import REHEARSAL
from tests.conftest import Yard
from tests.test_small_sample import build, commands, with_paths

DAY = "2026-03-22"
BEGINNINGS = {"pdf": b"%PDF-1.7", "html": b"<!doctype html>", "xlsx": b"PK\x03\x04", "json": b"{"}
# A week later the bench is approved and more hours are booked.
LATER_EVENTS = """
    change,event,date,person,revision
    CR2,approved,2026-03-20,Jonna Merrick,1
    """
LATER_SHEETS = """
    sheet,worker_id,date,hours,booking_code
    A1-12b,A1,2026-03-21,7,CR2
    """


@pytest.fixture(scope="module")
def built(tmp_path_factory: pytest.TempPathFactory) -> Yard:
    """The small sample in a book, to be read only."""
    return build(Yard(tmp_path_factory.mktemp("built")))


def made(yard: Yard, name: str, *, known_at: str | None = None, day: str | None = DAY) -> bytes:
    """Return the statement made into a new file of that name."""
    out = yard.folder / name
    before = ["--known-at", known_at] if known_at else []
    options = ["--status-date", day] if day else []
    yard.run(*before, "report", "variations", "--job", "STAGE", *options, "--out", out)
    return out.read_bytes()


def statement(yard: Yard, name: str = "variations.json", **asked: Any) -> Any:
    return json.loads(made(yard, name, **asked))


def amounts(view: Any) -> dict[str, Decimal]:
    return {row["step"]: Decimal(row["amount"]) for row in view["sums"]}


def refused(yard: Yard, *words: object) -> tuple[int, list[str]]:
    """Return the exit code of a refused report and the lines said; nothing is made."""
    # The first command that opens the book leaves its turnstile.
    turnstile = yard.folder / "book.duckdb.lock"
    before = {turnstile, *yard.folder.iterdir()}
    outcome = yard.run("report", "variations", *words, ok=False)

    assert {turnstile, *yard.folder.iterdir()} == before
    assert outcome.stdout == ""
    return outcome.exit_code, outcome.stderr.splitlines()


@pytest.mark.parametrize("kind", BEGINNINGS)
def test_each_kind_is_made(built: Yard, kind: str) -> None:
    """The ending of the file's name decides what the statement is made as."""
    actual = made(built, f"variations.{kind}")

    assert actual[: len(BEGINNINGS[kind])] == BEGINNINGS[kind]


@pytest.mark.parametrize("name", ["variations.doc", "variations"])
def test_another_ending_is_refused_once(built: Yard, name: str) -> None:
    """Another ending is wrong usage, said in one message that names the four."""
    out = built.folder / name
    expected = f"{out}: unknown ending; use one of .pdf, .html, .xlsx, .json"

    assert refused(built, "--job", "STAGE", "--out", out) == (2, [expected])


def test_another_paper_is_refused(built: Yard) -> None:
    """Paper is A4 or Letter, and nothing is made on another."""
    words = ("--job", "STAGE", "--paper", "A5", "--out", built.folder / "on-paper.pdf")

    assert refused(built, *words) == (2, ['unknown paper "A5"; use A4 or Letter'])


def test_an_unknown_job_is_refused(built: Yard) -> None:
    """A job that the book does not have is refused by name."""
    expected = "there is no job PIER; `fairhours show jobs` lists them"

    assert refused(built, "--job", "PIER", "--out", built.folder / "pier.pdf") == (1, [expected])


def test_a_folder_that_is_not_there_is_refused(built: Yard) -> None:
    """A file that cannot be written is refused in one message that names it."""
    out = built.folder / "nowhere" / "variations.json"
    expected = f"{out}: cannot be written: No such file or directory"

    assert refused(built, "--job", "STAGE", "--out", out) == (1, [expected])


def test_the_job_is_named_in_any_case(built: Yard) -> None:
    """The code of a job is trimmed and its case ignored."""
    out = built.folder / "any-case.json"
    built.run("report", "variations", "--job", " stage ", "--status-date", DAY, "--out", out)

    assert out.read_bytes() == made(built, "upper-case.json")


def test_the_sums_reconcile_with_the_hand_reckoning(built: Yard) -> None:
    """The contract sum goes to the anticipated final sum by the steps of the sample's README."""
    expected = {
        "contract_sum": Decimal("20000.00"),
        "approved_variations": Decimal("1130.00"),  # 12*60 + 4*40 + 10*25
        "omissions": Decimal("-600.00"),  # -10*60
        "daywork_against_estimate": Decimal("0.00"),
        "adjusted_contract_sum": Decimal("20530.00"),  # 20000 + 1130 - 600
        "daywork_unsigned": Decimal("0.00"),
        "time_beyond_estimate": Decimal("0.00"),
        "instructed_at_latest_price": Decimal("480.00"),  # 8*60
        "anticipated_final_sum": Decimal("21010.00"),  # 20530 + 480
        "submitted_not_added": Decimal("0.00"),  # CR2 is instructed, so it is added above
    }

    assert amounts(statement(built)) == expected


def test_the_hours_are_those_of_the_overrun(built: Yard) -> None:
    """The owner's steps in hours are the totals that `overrun` gives, and the estimate adjusted."""
    told = built.json("overrun", "--job", "STAGE", "--status-date", DAY)
    expected = {row["step"]: row["amount"] for row in told["steps"]}
    # 170 + 16 - 10
    expected["adjusted_estimate"] = Decimal("176.0000")
    rows = statement(built)["hours"]

    assert {row["step"]: hours(row["hours_ms"]) for row in rows} == expected


def test_the_headline_has_the_marks_of_the_overrun(built: Yard) -> None:
    """What arises from requests, is paid and is not charged are the figures `overrun` gives."""
    told = built.json("overrun", "--job", "STAGE", "--status-date", DAY)
    line = statement(built)["headline"]
    more = sum(told["borne_by"].values())
    free = told["borne_by"]["yard"]

    assert hours(line["asked_for_ms"]) == told["asked_by_changes"]["owner"]
    assert hours(line["paid_ms"]) == told["borne_by"]["owner"]
    assert hours(line["not_charged_ms"]) == free
    assert hours(line["undecided_ms"]) == more - told["borne_by"]["owner"] - free


def hours(ms: int) -> Decimal:
    return (Decimal(ms) / 3_600_000).quantize(Decimal("0.0001"))


def test_what_awaits_a_decision_is_listed(built: Yard) -> None:
    """A submitted price waits for the owner with its hours, price and last day."""
    expected = {
        "change": "CR2",
        "title": "Bench along the shore side",
        "submitted_on": "2026-03-19",
        "valid_until": "2026-04-17",
        "decision_needed_by": None,
        "instructed": True,
        "hours_ms": 8 * 3_600_000,
        "price": "480.00",
        "days": None,
        "planned_start": None,
        "complete": False,
        "rough": False,
    }

    assert statement(built)["awaiting"] == [expected]


@pytest.mark.parametrize(
    ("day", "expected"),
    [
        # Before any letter the owner's requests are there without a price.
        ("2026-03-09", [("CR1", "requested", "none", None)]),
        # 720 + 160 + 250 - 600 = 530 is submitted; the bench is not yet asked for.
        ("2026-03-15", [("CR1", "submitted", "none", "530.00")]),
        # Approved on the 16th; the bench ordered on the 17th, its price not yet sent.
        (
            "2026-03-18",
            [("CR1", "approved", "none", "530.00"), ("CR2", "requested", "instructed", None)],
        ),
        # The bench's price may be signed up to and including 17 April.
        (
            "2026-04-17",
            [("CR1", "approved", "none", "530.00"), ("CR2", "submitted", "instructed", "480.00")],
        ),
        (
            "2026-04-18",
            [("CR1", "approved", "none", "530.00"), ("CR2", "lapsed", "instructed", "480.00")],
        ),
    ],
)
def test_a_change_stands_as_on_the_status_date(
    built: Yard, day: str, expected: Sequence[tuple[str, ...]]
) -> None:
    """A change is shown from its request on, with a price only once it was submitted."""
    rows = statement(built, day=day)["changes"]
    names = ("change", "state", "instruction", "price")

    assert [tuple(row[name] for name in names) for row in rows] == expected


def test_the_status_date_left_out_is_the_last_measured_week_end(built: Yard) -> None:
    """Without a status date the statement is of the last week end with measure and entry."""
    assert made(built, "left-out.json", day=None) == made(built, "given.json")


@pytest.mark.slow
def test_a_stamped_statement_is_remade_to_the_byte(yard: Yard) -> None:
    """After more loads the same stamp gives the same file, and without it another."""
    kinds = ("json", "pdf")
    build(yard)
    before = {kind: made(yard, f"before.{kind}") for kind in kinds}
    stamp = json.loads(before["json"])["known_at"]
    yard.run("load", "change-events", "--job", "STAGE", yard.write("e.csv", LATER_EVENTS))
    yard.run("load", "sheets", "--job", "STAGE", yard.write("s.csv", LATER_SHEETS))
    known = f"{stamp['sequence']}.{stamp['head']}"
    again = {kind: made(yard, f"again.{kind}", known_at=known) for kind in kinds}
    now = statement(yard, "now.json")

    assert again == before
    # 20000 + 1130 + 480 - 600
    assert amounts(now)["adjusted_contract_sum"] == Decimal("21010.00")
    assert now["known_at"]["sequence"] == stamp["sequence"] + 2


@pytest.mark.slow
def test_the_printed_command_makes_the_same_again(built: Yard) -> None:
    """The command that a statement prints names its stamp, job and day."""
    view = statement(built)
    expected = (
        f"fairhours --known-at {view['known_at']['sequence']} report variations --job STAGE "
        f"--status-date {DAY} --out variations.pdf"
    )

    assert view["remade_by"] == expected


@pytest.mark.slow
def test_a_rehearsal_says_so(tmp_path: Path, built: Yard) -> None:
    """A statement from a rehearsal book says that it is one, and another does not."""
    rehearsal = Yard(tmp_path).new(rehearsal=True)
    for words in commands()[1:]:
        rehearsal.run(*with_paths(words))

    assert statement(rehearsal)["rehearsal"] is True
    assert statement(built)["rehearsal"] is False
    assert REHEARSAL in made(rehearsal, "page.html").decode()
    assert REHEARSAL not in made(built, "page.html").decode()
