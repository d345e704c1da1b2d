"""What the owner is shown of the hours of a job, as its basis has it or as its card says."""

import pytest

from tests.conftest import Yard

JOB = """
    [job]
    code = "QUAY"
    title = "Quay wall"
    owner = "Sillmere Swimming Club"
    contract_sum = "1000.00"
    contract_date = 2026-04-01
    planned_start = 2026-04-20
    planned_finish = 2026-05-08
    """
HIDDEN = "false: the owner sees hours and prices of changes, not the other hours of the job"
SHOWN = "true: the owner sees all hours of the job, including the yard's own overrun"


@pytest.mark.parametrize(
    ("lines", "expected"),
    [
        ("", HIDDEN),
        ('contract_basis = "fixed_price"', HIDDEN),
        ('contract_basis = "target"', HIDDEN),
        ('contract_basis = "time_charge"', SHOWN),
        ("owner_sees_overrun = true", SHOWN),
        ('contract_basis = "time_charge"\n    owner_sees_overrun = false', HIDDEN),
    ],
)
def test_a_load_says_what_the_owner_sees(yard: Yard, lines: str, expected: str) -> None:
    """Only an owner who pays by the hour sees how all hours run, unless the card says otherwise."""
    loaded = yard.run("load", "job", yard.write("job.toml", f"{JOB}{lines}\n"))

    assert loaded.stderr.splitlines()[1] == f"job.toml: owner_sees_overrun = {expected}"
