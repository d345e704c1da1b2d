"""A tiny job worked by hand [C]: packages, changes in every state, lost and untagged time.

P1 100 h, half done, 60 h booked of which 6 done again. P2 200 h, 40 % done, then 30 h taken out,
90 h booked. V1 approved at 40 h, a quarter done, 15 h booked of which 2 done again. V3
instructed, latest price 25 h, 10 h booked. V4 requested, 5 h booked. 8 h lost to rain, 4 h under
a code nobody knows, contingency 20 h. BAC 310, EV 140, AC 177, f = 140 / 177. Dates, origins of
the changes and who bears lost time are ours: V3 comes of a change in law and V4 of an unforeseen
condition. Who asked and who bears is worked by hand a second time with every change the owner's
and lost time nobody's: as it stands, with V1 as daywork, and with V3 stopped.
"""

import itertools
from collections.abc import Callable, Iterable, Mapping, Sequence
from datetime import date
from decimal import Decimal
from fractions import Fraction
from typing import Any

import pytest

from tests.conftest import Yard
from tests.published._job import (
    MONDAY,
    TRADE,
    PublishedJob,
    Spent,
    measured,
    package,
    rounded,
    taken,
    week_day,
)

STATUS = week_day(4)
MEASURED = week_day(3)
OMITTED = week_day(4, 1)
FINISH = week_day(10)

CHANGES = {  # the omission is V2
    "V1": ("A second locker", "owner"),
    "V2": ("A plainer coaming", "owner"),
    "V3": ("Wider stair by the new rule", "change_in_law"),
    "V4": ("Rot behind the lining", "unforeseen_condition"),
}
LINES = [
    {"change": "V1", "hours": "40"},
    {"change": "V2", "hours": "-30", "work_package": "P2"},
    {"change": "V3", "hours": "25"},
]
EVENTS = [
    ("V1", "priced", week_day(1, 2)),
    ("V1", "submitted", week_day(1, 3)),
    ("V1", "approved", week_day(2, 1)),
    ("V2", "priced", week_day(3, 1)),
    ("V2", "submitted", week_day(3, 2)),
    ("V2", "approved", OMITTED),
    ("V3", "instructed", week_day(3, 1)),
    ("V3", "priced", week_day(3, 4)),
    ("V3", "submitted", week_day(3, 5)),
]
BOOKED = [
    Spent("P1", "54"),
    Spent("P1", "6", rework="workmanship"),
    Spent("P2", "90"),
    Spent("V1", "13"),
    Spent("V1", "2", rework="workmanship"),
    Spent("V3", "10"),
    Spent("V4", "5"),
    Spent("RAIN", "8"),
    Spent("SHED", "4"),
]
INDEX = Fraction(140, 177)
FORECAST = {"P1": 60 + 50 / INDEX, "P2": 90 + 90 / INDEX, "V1": 15 + 30 / INDEX}


def change_files(
    job: PublishedJob, origins: dict[str, str] | None = None, basis: str = "fixed_price"
) -> None:
    """Load the four changes, their prices and what was decided; `basis` is that of V1."""
    start = {"trade": TRADE, "effective_from": "2026-01-05", "charge_per_hour": "80.00"}
    job.load("charge-rates", [start])
    job.load(
        "changes",
        [
            {
                "change": change,
                "title": title,
                "requested_by": "Ivo Sandt",
                "requested_on": MONDAY.isoformat(),
                "change_basis": basis if change == "V1" else "fixed_price",
                "origin": (origins or {}).get(change, origin),
            }
            for change, (title, origin) in CHANGES.items()
        ],
    )
    labour = {"price_kind": "labour", "description": "Labour", "trade": TRADE}
    job.load("change-lines", [labour | line for line in LINES])
    job.load(
        "change-events",
        [
            {"change": change, "event": event, "date": day.isoformat(), "person": "Ivo Sandt"}
            for change, event, day in EVENTS
        ],
    )


def frozen(job: PublishedJob) -> PublishedJob:
    """Return the job with its two packages and its contingency frozen."""
    job.load(
        "estimate",
        [
            package("P1", "100", MONDAY, week_day(8)),
            package("P2", "200", MONDAY, FINISH),
            package("SPARE", "20", MONDAY, FINISH, package_kind="contingency"),
        ],
    )
    job.freeze()
    return job


def worked(job: PublishedJob, booked: list[Spent]) -> PublishedJob:
    """Return the job as measured and booked at its status date."""
    percents = {"P1": "50", "P2": "40", "V1": "25"}
    job.load("progress", [measured(c, MEASURED, percent=done) for c, done in percents.items()])
    job.spend(booked, STATUS, first=week_day(4, 1))
    return job


@pytest.fixture(scope="module")
def job(new_yard: Callable[[], Yard]) -> PublishedJob:
    """The tiny job at its status date."""
    job = frozen(PublishedJob(new_yard(), FINISH, rate="50.00"))
    change_files(job)
    return worked(job, BOOKED)


@pytest.fixture(scope="module")
def asked(new_yard: Callable[[], Yard]) -> dict[str, Any]:
    """What `overrun` says of the three variants whose changes are all the owner's."""
    answers = {}
    for basis in ("fixed_price", "daywork"):
        job = frozen(PublishedJob(new_yard(), FINISH, rate="50.00"))
        change_files(job, dict.fromkeys(CHANGES, "owner"), basis)
        worked(job, [Spent("IDLE", s.hours) if s.code == "RAIN" else s for s in BOOKED])
        answers[basis] = job.overrun(STATUS)
        if basis == "fixed_price":
            stop = {"change": "V3", "event": "stopped", "date": STATUS.isoformat()}
            job.load("change-events", [stop | {"person": "Ivo Sandt"}])
            answers["stopped"] = job.overrun(STATUS)
    return answers


VARIED = {
    "fixed_price": (
        {"unapproved_changes": "30.0000", "anticipated_final": "441.9286"},
        {"owner": "40.0000", "yard": "81.9286"},
        {
            "owner": "10.0000",
            "instructed_price_open": "25.0000",
            "at_risk": "5.0000",
            "undecided": "4.0000",
            "yard": "77.9286",
        },
    ),
    "daywork": (
        {"unapproved_changes": "30.0000", "anticipated_final": "441.9286"},
        {"owner": "50.9286", "yard": "71.0000"},
        {
            "owner": "20.9286",
            "instructed_price_open": "25.0000",
            "at_risk": "5.0000",
            "undecided": "4.0000",
            "yard": "67.0000",
        },
    ),
    # V3 is then forecast at the 10 h worked: 320 + 106.9286 in the end.
    "stopped": (
        {"unapproved_changes": "15.0000", "anticipated_final": "426.9286"},
        {"owner": "25.0000", "yard": "81.9286"},
        {
            "owner": "10.0000",
            "instructed_price_open": "10.0000",
            "at_risk": "5.0000",
            "undecided": "4.0000",
            "yard": "77.9286",
        },
    ),
}


@pytest.mark.parametrize("variant", VARIED)
def test_marks_of_the_owners_changes(asked: dict[str, Any], variant: str) -> None:
    """Who asked and who bears, for V1 at a fixed price, V1 as daywork, and V3 stopped."""
    steps, by, borne = VARIED[variant]
    answer = asked[variant]
    shown = amounts(answer["steps"])

    assert len(shown) == 10
    assert {step: str(shown[step]) for step in steps} == steps
    assert {mark: str(hours) for mark, hours in marks(answer["asked_by"]).items()} == by
    assert {mark: str(hours) for mark, hours in marks(answer["borne_by"]).items()} == borne


@pytest.mark.parametrize("variant", VARIED)
def test_marks_of_the_owners_changes_add_to_the_growth(asked: dict[str, Any], variant: str) -> None:
    """In each variant both splits add to the anticipated final less 320 h."""
    answer = asked[variant]
    grown = amounts(answer["steps"])["anticipated_final"] - 320

    assert rounded(sum(answer["asked_by"].values()), 3) == rounded(grown, 3)
    assert rounded(sum(answer["borne_by"].values()), 3) == rounded(grown, 3)


def amounts(steps: Iterable[Mapping[str, Any]]) -> dict[str, Decimal]:
    """Return the steps of a bridge by name, to the ten-thousandth."""
    return {step["step"]: rounded(step["amount"], 4) for step in steps}


def marks(split: Mapping[str, Decimal]) -> dict[str, Decimal]:
    """Return the marks that carry hours, to the ten-thousandth."""
    return {mark: rounded(hours, 4) for mark, hours in split.items() if hours}


def to_four(expected: Mapping[str, Any]) -> dict[str, Decimal]:
    """Return exact figures as they are printed."""
    return {key: rounded(value, 4) for key, value in expected.items()}


def test_row_of_the_job(job: PublishedJob) -> None:
    """BAC 310 (contingency and unapproved left out), EV 140, AC 177, EAC 391.9286."""
    row = job.row(STATUS)
    keys = ("bac", "ev", "ac", "cv", "eac_cpi", "eac", "etc", "vac")

    assert taken(row, 4, *keys) == to_four(
        {
            "bac": 310,
            "ev": 140,
            "ac": 177,
            "cv": -37,
            "eac_cpi": 310 / INDEX,
            "eac": 310 / INDEX,
            "etc": 310 / INDEX - 177,
            "vac": 310 - 310 / INDEX,
        }
    )
    assert taken(row, 6, "cpi", "tcpi_eac") == {
        "cpi": Decimal("0.790960"),
        "tcpi_eac": Decimal("0.790960"),
    }


def test_rows_of_packages_and_variations(job: PublishedJob) -> None:
    """Each part goes on at the job's index; P2 keeps what it had earned before the omission."""
    rows = job.rows(STATUS, "work-package")
    actual = {key: taken(rows[key], 4, "bac", "ev", "ac", "eac") for key in FORECAST}

    assert actual == {
        "P1": {"bac": 100, "ev": 50, "ac": 60, "eac": Decimal("123.2143")},
        "P2": {"bac": 170, "ev": 80, "ac": 90, "eac": Decimal("203.7857")},
        "V1": {"bac": 40, "ev": 10, "ac": 15, "eac": Decimal("52.9286")},
    }
    assert actual == {key: actual[key] | {"eac": rounded(FORECAST[key], 4)} for key in FORECAST}


@pytest.mark.parametrize(("place", "hours"), [("non_productive", 8), ("untagged", 4)])
def test_time_without_a_package_is_a_row_without_indices(
    job: PublishedJob, place: str, hours: int
) -> None:
    """Lost and untagged time are rows of the job that end where they stand, their indices null."""
    row = job.rows(STATUS, "work-package")[place]

    assert taken(row, 4, "bac", "ev", "ac", "eac") == {"bac": 0, "ev": 0, "ac": hours, "eac": hours}
    assert (row["cpi"], row["spi"]) == (None, None)


@pytest.mark.parametrize("by", ["control-account", "work-package", "trade"])
def test_rows_add_to_the_job(job: PublishedJob, by: str) -> None:
    """Rows below the job, lost and untagged time among them, add to it."""
    keys = ("bac", "pv", "ev", "ac", "cv", "sv", "eac", "etc", "vac")
    whole = job.row(STATUS)
    parts = job.rows(STATUS, by).values()

    assert {key: rounded(sum(part[key] for part in parts), 2) for key in keys} == taken(
        whole, 2, *keys
    )


def test_changes_not_approved_stand_outside_the_job(job: PublishedJob) -> None:
    """An instructed change, one only asked for and the contingency are outside: 192 h booked."""
    answer = job.performance(STATUS)
    outside = {row["key"]: row for row in answer["outside"]}
    booked = answer["rows"][0]["ac"] + sum(row["ac"] for row in outside.values())

    # 25 h is the latest price of V3, and more than its 10 h booked; V4 has no price.
    assert taken(outside["instructed"], 4, "bac", "ac", "eac") == {"bac": 25, "ac": 10, "eac": 25}
    assert taken(outside["not_instructed"], 4, "ac", "eac") == {"ac": 5, "eac": 5}
    assert taken(outside["contingency"], 4, "bac", "ac", "eac") == {"bac": 20, "ac": 0, "eac": 20}
    assert list(outside) == ["instructed", "not_instructed", "contingency"]
    assert booked == answer["job_booked"] == 192


@pytest.mark.parametrize("by", ["job", "work-package", "trade"])
def test_rows_foot_to_the_anticipated_final_as_printed(job: PublishedJob, by: str) -> None:
    """EAC of the rows and of those outside add to the 441.93 printed, AC to the 192.00 booked."""
    shown = job.shown(STATUS, "--by", by).splitlines()
    final = "anticipated final 441.93 = forecast (EAC) 391.93"
    outside = "+ instructed 25.00 + not instructed 5.00 + contingency 20.00"
    booked = "booked to the job 192.00 = AC 177.00 + instructed 10.00 + not instructed 5.00"

    assert column(shown, "forecast (EAC)") == Decimal("441.93")
    assert column(shown, "booked (AC)") == 192
    assert (f"{final} {outside}" in shown, booked in shown) == (True, True)


def column(shown: Sequence[str], head: str) -> Decimal:
    """Return the sum of a column of the table, to its right edge; sums in words end it."""
    (top,) = [number for number, line in enumerate(shown) if line.startswith("key ")]
    edge = shown[top].index(head) + len(head)
    rows = itertools.takewhile(lambda line: " = " not in line, shown[top + 1 :])
    cells = (row[:edge].split()[-1].replace("\N{MINUS SIGN}", "-") for row in rows)
    return sum(map(Decimal, cells), Decimal())


def test_anticipated_final_adds_contingency_and_unapproved_changes(job: PublishedJob) -> None:
    """391.9286 + 20 + 30 = 441.9286, in cost at 50.00 an hour 22,096.43."""
    hours = job.performance(STATUS)["anticipated_final"]
    cost = job.performance(STATUS, "--in", "cost")["anticipated_final"]

    assert rounded(hours, 4) == Decimal("441.9286") == rounded(310 / INDEX + 20 + 30, 4)
    assert rounded(cost, 2) == Decimal("22096.43")


def test_all_ten_steps_of_the_bridge(job: PublishedJob) -> None:
    """320 + 40 - 30 + 10.9286 + 30 + 8 + 51 + 8 + 4 = 441.9286."""
    steps = amounts(job.overrun(STATUS)["steps"])

    assert steps == to_four(
        {
            "original_budget": 100 + 200 + 20,
            "approved_variations": 40,
            "omissions": -30,
            "over_under_on_variations": FORECAST["V1"] - 40 - 2,
            "unapproved_changes": 10 + 5 + (25 - 10),
            "rework": 6 + 2,
            "over_under_on_original_work": FORECAST["P1"] - 100 - 6 + FORECAST["P2"] - 170,
            "non_productive": 8,
            "untagged": 4,
            "anticipated_final": 310 / INDEX + 20 + 30,
        }
    )
    assert steps["over_under_on_variations"] == Decimal("10.9286")
    assert steps["over_under_on_original_work"] == 51


def test_steps_add_to_the_anticipated_final(job: PublishedJob) -> None:
    """The first nine steps add to the tenth, and the tenth is the performance's."""
    steps = amounts(job.overrun(STATUS)["steps"])
    last = steps.pop("anticipated_final")

    assert rounded(sum(steps.values()), 3) == rounded(last, 3)
    assert last == rounded(job.performance(STATUS)["anticipated_final"], 4)


@pytest.mark.parametrize("split", ["asked_by", "borne_by"])
def test_both_splits_add_to_the_growth(job: PublishedJob, split: str) -> None:
    """Asked by and borne by each explain 441.9286 - 320 = 121.9286 to the last hour."""
    answer = job.overrun(STATUS)

    assert rounded(sum(answer[split].values()), 3) == rounded(310 / INDEX + 50 - 320, 3)


def test_who_asked(job: PublishedJob) -> None:
    """A change's hours are asked by its origin, lost time by its cause, the rest by the yard."""
    asked = marks(job.overrun(STATUS)["asked_by"])

    assert asked == to_four(
        {
            # what V1 was approved at, less the omission
            "owner": 40 - 30,
            "change_in_law": 25,
            # V4 and the rain
            "unforeseen_condition": 5 + 8,
            # rework by its cause, what is over on the packages and on V1's price, untagged
            "yard": 8 + 51 + FORECAST["V1"] - 40 - 2 + 4,
        }
    )


def test_who_bears(job: PublishedJob) -> None:
    """Approved hours are the owner's; V3 and V4 wait; the yard has what is over, redone, lost."""
    borne = marks(job.overrun(STATUS)["borne_by"])

    assert borne == to_four(
        {
            "owner": 40 - 30,
            "instructed_price_open": 25,
            "at_risk": 5,
            "undecided": 4,
            # over and rework on V1, rework on P1, over on the packages, the rain by its cause
            "yard": FORECAST["V1"] - 40 + 6 + 51 + 8,
        }
    )


def test_omission_is_not_known_before_its_approval(job: PublishedJob) -> None:
    """Before the omission is approved the package has its whole budget and as much earned."""
    before = date.fromordinal(OMITTED.toordinal() - 1)
    row = job.rows(before, "work-package")["P2"]

    assert taken(row, 4, "bac", "ev") == {"bac": 200, "ev": 80}
