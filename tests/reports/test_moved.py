"""What moved since the last statement."""

import json
from dataclasses import replace
from datetime import date
from decimal import Decimal
from pathlib import Path

import pytest

from ledger.domain.allocation import hours_of
from ledger.reports.owner.moved import moved_since
from ledger.reports.owner.page import owner_page
from ledger.reports.owner.tables import hours_table
from ledger.reports.owner.variations import OwnerVariations
from ledger.reports.owner.variations_check import disagreements
from ledger.reports.tables import Section
from tests.conftest import Yard
from tests.reports._landing import CHANGES, LANDING, SUMS, sum_rows
from tests.reports.test_variations_command import refused, statement
from tests.test_small_sample import build

NOTHING = Decimal("0.00")


def before(**changed: object) -> OwnerVariations:
    """Return an earlier statement of the landing: V-05 waits still, V-16 is not asked for yet."""
    earlier = tuple(
        replace(row, state="submitted", days=2) if row.change == "V-05" else row
        for row in CHANGES
        if row.change != "V-16"
    )
    view = OwnerVariations.__new__(OwnerVariations)  # Not checked: it has the sums of today.
    sums = sum_rows(SUMS | {"adjusted_contract_sum": SUMS["contract_sum"]})
    told = {"changes": earlier, "status_date": date(2026, 4, 30), "sums": sums, **changed}
    for name, value in (vars(LANDING) | told).items():
        object.__setattr__(view, name, value)
    return view


def section_of(view: OwnerVariations) -> Section:
    return next(
        each for each in owner_page(view).sections if each.title == "Since the last statement"
    )


def test_a_change_that_stands_otherwise_or_is_new_has_moved() -> None:
    """A new state and a new request are named; what stands as before, or by a new title, is not."""
    titled = tuple(replace(row, title="Otherwise") for row in before().changes)
    moved = moved_since(before(changes=titled), LANDING)

    assert [(each.now.change, each.before is None) for each in moved.changes] == [
        ("V-05", False),
        ("V-16", True),
    ]
    assert moved.no_longer_listed == ()


def test_what_moved_is_a_section_of_its_own() -> None:
    """It says by how much sums and days moved, how each change stood, and how it stands."""
    shown = section_of(replace(LANDING, moved=moved_since(before(), LANDING)))
    cells = [tuple(row.cells[place] for place in (0, 2, 3, 4)) for row in shown.table.rows]

    # 655,840.50 - 612,400.00
    assert shown.lead.replace("\N{NO-BREAK SPACE}", " ") == (
        "Against the statement of 30 April 2026: adjusted contract sum +43 440.50, anticipated "
        "final sum unchanged, awaiting your decision unchanged, days granted unchanged."
    )
    assert [tuple(str(cell).replace("\xa0", " ") for cell in row) for row in cells] == [
        ("V-05", "Request: price submitted 11 May 2026, 2 days", "Approved 11 May 2026", "0.00"),
        ("V-16", "Not listed", "Request: price lapsed 1 August 2026", "1240.00"),
    ]


def test_hours_of_the_last_statement_stand_beside_those_of_this_one() -> None:
    """Where both show how the hours run, each step has what the last one said; else neither."""
    earlier = tuple(replace(row, hours_ms=row.hours_ms // 2) for row in LANDING.hours)
    tables = {
        name: hours_table(replace(LANDING, moved=moved_since(last, LANDING)))
        for name, last in (("shown", before(hours=earlier)), ("hidden", before(headline=None)))
    }
    rows = {row.cells[0]: row.cells[1:3] for row in tables["shown"].rows}

    assert [column.head for column in tables["shown"].columns] == [
        *("Step", "Hours", "Last statement", "Meaning")
    ]
    assert rows["Original estimate"][1] == hours_of(LANDING.hours[0].hours_ms // 2)
    assert [column.head for column in tables["hidden"].columns] == ["Step", "Hours", "Meaning"]


def test_a_first_statement_says_nothing_of_a_last_one() -> None:
    """Without a statement before it the section is left out, not empty."""
    assert "Since the last statement" not in [each.title for each in owner_page(LANDING).sections]


def test_nothing_moved_is_said() -> None:
    """Where all stands as it did, the section says so."""
    shown = section_of(replace(LANDING, moved=moved_since(LANDING, LANDING)))

    assert shown.table.rows == ()
    assert shown.table.empty == "No change has a different status since the last statement."


def test_what_moved_agrees_with_the_list() -> None:
    """A change cannot be said to have moved to what the list does not show."""
    moved = moved_since(before(), LANDING)
    other = replace(moved.changes[0], now=replace(moved.changes[0].now, price=NOTHING))
    view = before(changes=CHANGES, sums=LANDING.sums, moved=replace(moved, changes=(other,)))

    assert list(disagreements(view)) == [
        "V-05: is said to have moved, and is listed otherwise",
    ]


@pytest.fixture(scope="module")
def built(tmp_path_factory: pytest.TempPathFactory) -> Yard:
    """The small sample in a book, to be read only."""
    return build(Yard(tmp_path_factory.mktemp("built")))


def test_a_statement_is_compared_with_the_last_one(built: Yard, tmp_path: Path) -> None:
    """The last one is of its own day and stamp; the command that remakes the page names both."""
    out = tmp_path / "v.json"
    given = ("--since", "2026-03-15", "--since-known-at", "9")
    words = ("--job", "STAGE", "--status-date", "2026-03-22", *given, "--out", out)
    built.run("report", "variations", *words)
    view = statement(built)
    compared = json.loads(out.read_bytes())
    moved = compared.pop("moved")

    # CR1 waited on the 15th and is approved; CR2 was asked for since.
    assert [each["now"]["change"] for each in moved["changes"]] == ["CR1", "CR2"]
    assert moved["status_date"] == "2026-03-15"
    assert " --since 2026-03-15 --since-known-at 9 --out" in compared["remade_by"]
    assert compared | {"moved": None, "remade_by": view["remade_by"]} == view


@pytest.mark.parametrize(
    ("given", "code", "expected"),
    [
        (
            ("--since", "2026-04-01"),
            1,
            "the last statement is dated 2026-04-01, this one 2026-03-22; give the status date "
            "of an earlier one",
        ),
        (
            ("--since-known-at", "3"),
            2,
            "--since-known-at goes with --since, the last statement's status date",
        ),
    ],
)
def test_a_last_statement_that_cannot_be_is_refused(
    built: Yard, given: tuple[str, ...], code: int, expected: str
) -> None:
    """A statement after this one, or a stamp without its day, is one message and no page."""
    words = ("--job", "STAGE", "--status-date", "2026-03-22", *given, "--out", built.folder / "v")

    assert refused(built, *words[:-1], built.folder / "later.json") == (code, [expected])


def test_a_last_statement_is_not_known_later(built: Yard) -> None:
    """What is compared with was known by then at the latest."""
    out = built.folder / "known.json"
    since = ("--since", "2026-03-15", "--since-known-at", "9")
    words = ("--job", "STAGE", "--status-date", "2026-03-22", "--out", out, *since)
    outcome = built.run("--known-at", "8", "report", "variations", *words, ok=False)

    assert outcome.stderr == "the last statement is known at batch 9, this one at 8\n"
