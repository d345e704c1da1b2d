"""A load of sheets names the codes that nobody knows, with their hours."""

from decimal import Decimal

from tests._stage import JOB, SHEET_HEAD
from tests.conftest import Yard


def loaded(stage: Yard, *lines: str, name: str = "week.csv") -> list[str]:
    """Load a sheet of a worker and return what was said."""
    text = SHEET_HEAD + "".join(f"A1,2026-03-02,{line},\n" for line in lines)
    return stage.run("load", "sheets", "--job", JOB, stage.write(name, text)).stderr.splitlines()


def test_unknown_codes_are_named_with_their_hours(stage: Yard) -> None:
    """The untagged hours are told with each code, the most hours first."""
    lines = loaded(stage, "2.5,XX1", "1,p99", "2,P99", "1,DECK")

    assert "5.50 h untagged: P99 (3.00 h), XX1 (2.50 h)" in lines
    assert not [line for line in loaded(stage, "1,DECK", name="next.csv") if "untagged:" in line]


def test_of_many_unknown_codes_the_first_ten_are_named(stage: Yard) -> None:
    """Beyond ten codes their number and hours are told."""
    lines = loaded(stage, *(f"1.{99 - each},C{each:02}" for each in range(12)))
    named = ", ".join(f"C{each:02} (1.{99 - each} h)" for each in range(10))

    # 12 + .99 + .98 + ... + .88
    assert f"23.22 h untagged: {named}, and 2 more (3.77 h)" in lines


def test_unknown_codes_are_in_the_json(stage: Yard) -> None:
    """The JSON lists code and hours; a line without a code has none."""
    text = SHEET_HEAD + "A1,2026-03-02,2,,\nA1,2026-03-02,1.5,P99,\n"
    answer = stage.json("load", "sheets", "--job", JOB, stage.write("week.csv", text))

    assert answer["untagged"] == [
        {"code": None, "hours": Decimal(2)},
        {"code": "P99", "hours": Decimal("1.5")},
    ]
