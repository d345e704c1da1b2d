"""The contract sum of a frozen job: as the card has it, until a named baseline change sets it."""

from decimal import Decimal

from tests._stage import JOB, SAMPLE, batches, load
from tests.conftest import Yard
from tests.inputs._moves import freeze

HEAD = "name,date,person,reference,work_package,trade,hours,contract_sum\n"
AMENDED = f"{HEAD}Deed 2,2026-03-12,MK,Deed 2,DECK,carpenter,0,21500.00\n"


def test_the_contract_sum_of_a_frozen_job_changes_by_a_named_baseline_change(stage: Yard) -> None:
    """From its day it counts, PV, EV and AC stay, and known before it all is as it was."""
    freeze(stage)
    text = (SAMPLE / "job.toml").read_text(encoding="utf-8")
    other = stage.write("job.toml", text.replace('"20000.00"', '"21500.00"'))
    said = stage.run("load", "job", other, ok=False).stderr
    before = len(batches(stage))
    figures = measured(stage)
    load(stage, "baseline-changes", AMENDED)

    assert said == (
        "job.toml: contract_sum of a frozen job changes only by a named baseline change "
        "(`fairhours load baseline-changes`)\n"
    )
    assert sum_on(stage, "2026-03-11") == 20000
    assert sum_on(stage, "2026-03-12") == 21500
    assert sum_on(stage, "2026-03-12", "--known-at", str(before)) == 20000
    assert measured(stage) == figures


def sum_on(yard: Yard, day: str, *known: str) -> Decimal:
    found = yard.json(*known, "changes", "--job", JOB, "--status-date", day)
    return Decimal(found["original_sum"])


def measured(yard: Yard) -> list[object]:
    asked = ("performance", "--job", JOB, "--status-date", "2026-03-13")
    return list(yard.json(*asked)["rows"])
