"""Hours paid: loaded whole or not at all, with periods that count no day twice."""

import pytest

from tests._stage import batches, table
from tests.conftest import Yard

PAYROLL = "worker_id,period_start,period_end,pay_class,hours,gross\n"
SUPPLIER = "supplier,period_start,period_end,hours,worker_id,rate,invoice\n"
NOTES = "worker_id,supplier,period_start,period_end,reason,hours,kind,note\n"
MARCH = "2026-03-01,2026-03-31"


def load(stage: Yard, thing: str, text: str, *, ok: bool = True) -> list[str]:
    """Load a file of what was paid and return the lines that were said."""
    path = stage.write(f"{thing}.csv", text)
    return stage.run("load", thing, path, ok=ok).stderr.splitlines()


def test_what_was_paid_is_kept_and_loaded_again_changes_nothing(stage: Yard) -> None:
    """Hours, classes and gross are as written; another value of a key supersedes."""
    text = f"{PAYROLL}a1,{MARCH},Normal,160:30,2400.00\nZ9,{MARCH},leave,8,\n"
    said = load(stage, "payroll", text)
    before = batches(stage)
    load(stage, "payroll", text)
    after = batches(stage)
    changed = load(stage, "payroll", f"{PAYROLL}A1,{MARCH},normal,161,2400.00\n")

    assert said[:2] == [
        "payroll.csv: payroll_line: 2 new, 0 changed, 0 unchanged",
        "payroll.csv: workers not in the crew: Z9",
    ]
    assert after == before
    assert changed[1].endswith("A1 2026-03-01 2026-03-31 normal: hours 160.50 -> 161.00")
    assert [(r["worker_id"], r["pay_class"], r["ms"]) for r in table(stage, "payroll_line")] == [
        ("Z9", "leave", "28800000"),
        ("A1", "normal", "579600000"),
    ]


def test_every_fault_of_a_payroll_is_said_and_nothing_is_loaded(stage: Yard) -> None:
    """Periods turned round, too long or overlapping, unknown classes, rows given twice."""
    rows = (
        f"A1,{MARCH},normal,160,\n"
        "A1,2026-03-16,2026-04-15,overtime,8,\n"
        "B2,2026-03-31,2026-03-01,normal,8,\n"
        "B2,2026-03-01,2026-04-30,normal,8,\n"
        f"B2,{MARCH},nihgt,8,\n"
        f"B2,{MARCH},overtmie,8,\n"
        f"A1,{MARCH},normal,160,\n"
        "A1,2026-03-16,2026-04-15,leave,8,\n"
    )
    said = load(stage, "payroll", PAYROLL + rows, ok=False)

    assert said == [
        "payroll.csv:3: worker A1 is paid overtime from 2026-03-01 to 2026-03-31 in line 2, "
        "which overlaps 2026-03-16 to 2026-04-15",
        "payroll.csv:4: period_end 2026-03-01 is before period_start 2026-03-31",
        "payroll.csv:5: the period has 61 days, at most 35 are paid at once; correct its dates",
        'payroll.csv:6: pay_class "nihgt" is unknown; give it a kind under [pay_classes] in the '
        "settings",
        'payroll.csv:7: pay_class "overtmie" is unknown; did you mean overtime?',
        "payroll.csv:8: A1, 2026-03-01, 2026-03-31, normal is also on line 2; "
        "add the hours into one row, or load by a layout with add_up = true",
        "6 faults; nothing was loaded",
    ]
    assert table(stage, "payroll_line") == []


@pytest.mark.slow
def test_a_period_that_overlaps_one_of_the_book_is_refused_until_that_is_withdrawn(
    stage: Yard,
) -> None:
    """The right line may be entered in the place of the wrong one."""
    load(stage, "payroll", f"{PAYROLL}A1,{MARCH},normal,160,\n")
    right = f"{PAYROLL}A1,2026-03-01,2026-03-15,normal,80,\n"
    refused = load(stage, "payroll", right, ok=False)
    fact = table(stage, "payroll_line")[0]["id"]
    reason = ("--reason", "wrong dates")
    stage.run("withdraw", "fact", fact, *reason, "--with", stage.write("right.csv", right))

    assert refused[0] == (
        "payroll.csv:2: worker A1 is paid normal from 2026-03-01 to 2026-03-31 in the book, "
        "which overlaps 2026-03-01 to 2026-03-15"
    )
    assert [row["period_end"] for row in table(stage, "payroll_line")] == ["2026-03-15"]
    assert stage.run("check").exit_code == 0


@pytest.mark.slow
def test_hours_of_a_supplier_stand_by_worker_or_together(stage: Yard) -> None:
    """One period in both ways would count hours twice; suppliers unknown are named."""
    said = load(stage, "supplier-hours", f"{SUPPLIER}Holm,{MARCH},40,A1,31.50,H-1\n")
    both = load(stage, "supplier-hours", f"{SUPPLIER}holm,{MARCH},40,,,H-2\n", ok=False)

    assert said[:2] == [
        "supplier-hours.csv: supplier_hours: 1 new, 0 changed, 0 unchanged",
        "supplier-hours.csv: suppliers not in the crew: Holm",
    ]
    assert both[0] == (
        "supplier-hours.csv:2: holm has hours by name from 2026-03-01 to 2026-03-31; "
        "enter a period in one way"
    )
    assert [row["rate"] for row in table(stage, "supplier_hours")] == ["315000"]


@pytest.mark.slow
def test_a_note_has_a_known_reason_and_the_kind_that_goes_with_it(stage: Yard) -> None:
    """Leave explains pay that is not work unless the note says another kind; notes are erasable."""
    rows = (
        f"A1,,{MARCH},leave,8,,paid twice\nA1,,{MARCH},leave,8,worked,\n,Holm,{MARCH},unpaid,-4,,\n"
    )
    load(stage, "payroll-notes", NOTES + rows)
    wrong = load(stage, "payroll-notes", f"{NOTES},,{MARCH},weather,8,,\n", ok=False)
    fact = next(row["id"] for row in table(stage, "payroll_note") if row["note"])
    stage.run("erase", "text", fact, "--reason", "asked for")
    erased = next(row for row in table(stage, "payroll_note") if row["id"] == fact)

    assert sorted(row["kind"] for row in table(stage, "payroll_note")) == [
        "paid_not_worked", "worked", "worked",
    ]  # fmt: skip
    assert wrong[0].startswith('payroll-notes.csv:2: reason "weather" is unknown; use one of ')
    assert wrong[1] == "payroll-notes.csv:2: has neither a worker nor a supplier"
    assert erased["note"] == "erased"
    assert stage.run("check").exit_code == 0


@pytest.mark.slow
def test_a_yard_names_its_own_pay_classes(stage: Yard) -> None:
    """A class of the settings is known with its kind; a kind that is none is refused."""
    named = '[pay_classes]\nNight = "premium_only"\nFlat = "alowance"\n'
    refused = stage.run("load", "settings", stage.write("settings.toml", named), ok=False).stderr
    stage.run("load", "settings", stage.write("s.toml", '[pay_classes]\nNight = "premium_only"\n'))
    load(stage, "payroll", f"{PAYROLL}A1,{MARCH},night,8,\n")

    assert refused.splitlines()[0] == (
        'settings.toml:3: pay_classes.Flat "alowance" is unknown; use one of worked, '
        "paid_not_worked, premium_only, allowance"
    )
    assert [row["pay_class"] for row in table(stage, "payroll_line")] == ["night"]
