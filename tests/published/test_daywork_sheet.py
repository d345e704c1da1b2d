"""C4: a daywork sheet at prime cost plus percentages, through the commands.

Source of the hourly cost, 13.15 of a craft operative: Definition of Prime Cost of Daywork (RICS and
Construction Confederation), rates of 6 April 2012 [S]. Hours, items and percentages are ours; the
sums are reckoned [C]: 37.5 h x 13.15 x 2.20 = 1,084.875, half up; 640 + 15 %; 85 + 10 %.
"""

from collections.abc import Callable
from decimal import Decimal

import pytest

from tests.conftest import Yard

CARD = """
    [job]
    code = "CASE"
    title = "Case"
    owner = "Owner"
    contract_sum = "20000.00"
    contract_date = 2026-01-05
    planned_start = 2026-01-12
    planned_finish = 2026-03-27

    [daywork]
    labour_percent = 120
    material_percent = 15
    plant_percent = 10
    """
FILES = {
    "crew": "worker_id,name,trade\nA1,Ann,craft\n",
    "charge-rates": "trade,effective_from,charge_per_hour\ncraft,2026-01-01,13.15\n",
    "estimate": "work_package,title,control_account,trade,budget_hours,planned_start,"
    "planned_finish,technique\nP1,All,build,craft,100,2026-01-12,2026-03-27,percent_complete\n",
    "changes": "change,title,requested_by,requested_on,change_basis\n"
    "E,Repair,Owner,2026-01-12,daywork\n",
    "change-events": "change,event,date,person,reference\nE,approved,2026-01-13,Owner,letter 1\n",
    "sheets": "worker_id,date,hours,booking_code\n"
    + "".join(f"A1,2026-01-{day},7.5,E\n" for day in range(19, 24)),
    "daywork-items": "change,date,cost_kind,description,quantity,unit,unit_cost\n"
    "E,2026-01-20,material,Plate,1,lot,640\nE,2026-01-21,plant,Crane,1,day,85\n",
    "daywork-sheets": "daywork_sheet,change,from,to,agreed_on,mark,person\n"
    "D1,E,2026-01-19,2026-01-23,2026-01-26,agreed,Owner\n",
}


@pytest.mark.slow
def test_a_daywork_sheet_comes_to_prime_cost_plus_percentages(
    new_yard: Callable[[], Yard],
) -> None:
    """Each line is rounded once: 1,084.88 + 736.00 + 93.50 = 1,914.38, agreed with the sheet."""
    yard = new_yard()
    yard.run("load", "job", yard.write("job.toml", CARD))
    words = ("changes", "--job", "CASE", "--status-date", "2026-01-30")
    unsigned = {}
    for thing, text in FILES.items():
        if thing == "daywork-sheets":  # The last.
            unsigned = yard.json(*words)
        of_job = () if thing == "crew" else ("--job", "CASE")
        yard.run("load", thing, *of_job, yard.write(f"{thing}.csv", text))
        if thing == "estimate":
            yard.run("freeze", "--job", "CASE", "--on", "2026-01-05")
    agreed = yard.json(*words)
    shown = yard.json("show", "change", "E", "--job", "CASE")["daywork"]
    total = Decimal("1914.38")

    assert (unsigned["daywork_movement"], unsigned["daywork_unsigned"]) == (0, total)
    assert (agreed["daywork_movement"], agreed["daywork_unsigned"]) == (total, 0)
    assert [item["agreed_amount"] for item in shown["items"]] == [736, Decimal("93.50")]
    assert shown["agreed"] - 736 - Decimal("93.50") == Decimal("1084.88")
