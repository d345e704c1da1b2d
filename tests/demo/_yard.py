"""The invented yard: its calendar, people, rates, codes and rules."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, timedelta

FIRST_MONDAY = date(2026, 1, 12)
WEEKS = 42
DAY = timedelta(days=1)
HOLIDAYS = (
    date(2026, 4, 3),
    date(2026, 4, 6),
    date(2026, 5, 1),
    date(2026, 5, 25),
    date(2026, 8, 3),
    date(2026, 8, 4),
    date(2026, 8, 5),
    date(2026, 8, 6),
    date(2026, 8, 7),
)
SHUTDOWN = HOLIDAYS[4:]


def day_of(week: int, weekday: int = 0) -> date:
    """Return a day of the yard's week: 1 is the week of 12 January, 0 is Monday."""
    return FIRST_MONDAY + timedelta(days=7 * (week - 1) + weekday)


def week_of(day: date) -> int:
    """Return the yard's week of a day."""
    return (day - FIRST_MONDAY).days // 7 + 1


def label(week: int) -> str:
    """Return the week as the files are named: year and ISO week."""
    year, number, _ = day_of(week).isocalendar()
    return f"{year}-{number:02d}"


def working_days(first: date, last: date) -> Iterator[date]:
    """Yield the days from Monday to Friday that are no holidays."""
    day = first
    while day <= last:
        if day.weekday() < 5 and day not in HOLIDAYS:
            yield day
        day += DAY


@dataclass(frozen=True)
class Worker:
    """One of the crew. `recorded` is the day the crew file with the row came to the yard."""

    number: str
    name: str
    trade: str
    grade: str
    begins: date
    ends: date | None = None
    employment: str = "hourly"
    supplier: str = ""
    recorded: date = date(2026, 1, 8)


AGENCY = "Holmwick Labour Supply"
LONG_AGO = date(2026, 1, 1)
YEAR_BEFORE = date(2025, 1, 1)
CREW = (
    Worker("104", "Edda Rusk", "shipwright", "lead", LONG_AGO, employment="salaried"),
    Worker("107", "Tobin Haskell", "shipwright", "journeyman", LONG_AGO),
    Worker("109", "Marek Oduya", "shipwright", "journeyman", LONG_AGO),
    Worker("112", "Linus Fairweather", "shipwright", "journeyman", LONG_AGO),
    Worker("115", "Petra Vance", "shipwright", "journeyman", LONG_AGO),
    Worker("131", "Nell Corrie", "shipwright", "apprentice", LONG_AGO),
    Worker("120", "Halvard Stroud", "plater", "lead", LONG_AGO, date(2026, 5, 29), "salaried"),
    Worker("122", "Anton Brill", "plater", "journeyman", LONG_AGO),
    Worker("122", "Anton Brill", "plater", "lead", date(2026, 6, 1), recorded=date(2026, 6, 1)),
    Worker("124", "Saskia Thorne", "plater", "journeyman", LONG_AGO, date(2026, 10, 2)),
    Worker("127", "Dov Kessel", "plater", "journeyman", LONG_AGO, date(2026, 9, 18)),
    Worker("133", "Ruta Mellor", "welder", "journeyman", LONG_AGO, date(2026, 9, 25)),
    Worker("135", "Colm Yarrow", "welder", "journeyman", LONG_AGO, date(2026, 9, 4)),
    Worker(
        "201",
        "Bas Ternhout",
        "welder",
        "journeyman",
        date(2026, 2, 16),
        date(2026, 7, 10),
        "agency",
        AGENCY,
        date(2026, 2, 16),
    ),
    Worker(
        "202",
        "Ines Calder",
        "welder",
        "journeyman",
        date(2026, 3, 9),
        date(2026, 6, 26),
        "agency",
        AGENCY,
        date(2026, 3, 9),
    ),
    Worker("140", "Wilf Garrod", "fitter", "lead", LONG_AGO),
    Worker("142", "Ansel Pike", "fitter", "journeyman", LONG_AGO),
    Worker("145", "Hanne Dorst", "fitter", "journeyman", LONG_AGO),
    Worker(
        "148",
        "Yusuf Keane",
        "fitter",
        "journeyman",
        date(2026, 6, 1),
        recorded=date(2026, 6, 1),
    ),
    Worker("151", "Imre Lodd", "electrician", "journeyman", LONG_AGO),
    Worker(
        "153",
        "Tess Quill",
        "electrician",
        "journeyman",
        date(2026, 6, 15),
        recorded=date(2026, 6, 15),
    ),
    Worker("160", "Bea Lonnergan", "painter", "lead", LONG_AGO),
    Worker("162", "Otis Fenn", "painter", "journeyman", LONG_AGO),
    # Mirko began on 11 May; the office entered them in the crew a fortnight later.
    Worker(
        "165",
        "Mirko Sallow",
        "painter",
        "journeyman",
        date(2026, 5, 11),
        recorded=date(2026, 5, 25),
    ),
    Worker(
        "129",
        "Lowri Tandy",
        "plater",
        "journeyman",
        date(2026, 3, 2),
        date(2026, 9, 4),
        recorded=date(2026, 3, 2),
    ),
)


def on_books(day: date) -> list[Worker]:
    """Return the workers of a day, each with the row that counts, in the order of their numbers."""
    found: dict[str, Worker] = {}
    for worker in CREW:
        if worker.begins <= day and (worker.ends is None or day <= worker.ends):
            found[worker.number] = worker
    return [found[number] for number in sorted(found)]


# trade, grade, from, cost an hour. A row without a grade is the trade's standard rate.
RATES = [
    (trade, grade, day, cost)
    for trade, costs in {
        "shipwright": ("31.40", "38.20", "31.40", "17.80"),
        "plater": ("32.10", "39.00", "32.10", "18.20"),
        "welder": ("33.60", "40.10", "33.60", "18.90"),
        "fitter": ("32.80", "39.60", "32.80", "18.40"),
        "electrician": ("34.20", "40.80", "34.20", "19.10"),
        "painter": ("28.70", "34.90", "28.70", "16.60"),
    }.items()
    for grade, day, cost in zip(
        ("", "lead", "journeyman", "apprentice"), (YEAR_BEFORE,) * 4, costs, strict=True
    )
]
# The rise agreed for the yard from 1 July.
RISE = [
    (trade, grade, date(2026, 7, 1), cost)
    for trade, costs in {
        "shipwright": ("32.50", "39.55", "32.50", "18.45"),
        "plater": ("33.20", "40.35", "33.20", "18.85"),
        "welder": ("34.80", "41.50", "34.80", "19.55"),
        "fitter": ("33.95", "41.00", "33.95", "19.05"),
        "electrician": ("35.40", "42.25", "35.40", "19.75"),
        "painter": ("29.70", "36.10", "29.70", "17.20"),
    }.items()
    for grade, cost in zip(("", "lead", "journeyman", "apprentice"), costs, strict=True)
]
AGENCY_RATES = [("201", date(2026, 2, 16), "41.50"), ("202", date(2026, 3, 9), "41.50")]

CHARGE_FERRY = {
    "shipwright": ("58.00", "66.00", "34.00"),
    "plater": ("59.00", "67.00", "34.00"),
    "welder": ("61.00", "69.00", "36.00"),
    "fitter": ("60.00", "68.00", "35.00"),
    "electrician": ("63.00", "70.00", "37.00"),
    "painter": ("53.00", "60.00", "31.00"),
}
CHARGE_SEDGE = {
    "shipwright": ("54.50", "62.00", "32.00"),
    "plater": ("55.50", "63.00", "32.00"),
    "welder": ("57.50", "65.00", "34.00"),
    "fitter": ("56.50", "64.00", "33.00"),
    "electrician": ("59.50", "66.00", "35.00"),
    "painter": ("50.00", "57.00", "29.00"),
}

SETTINGS = """\
# The yard: how it counts time, what its codes mean, and who answers for what goes wrong.
[yard]
name = "Brackvane Slip Boatbuilders"
currency = "EUR"
address = ["The Slip, Brackvane", "Lake Tellowen, south shore"]
country = "CH"
tax_number = "CHE123456788MWST"
zone = "Europe/Zurich"
week_start = "monday"
holidays = ""
daily_limit_hours = "12"
paper = "A4"

# The rate is invented, as the place is.
[tax_categories.S]
2026-01-01 = 8

# Non-productive time on a job. The line names the job.
[non_productive]
WX = "weather"
WAIT = "waiting_owner"
CRANE = "crane"
LATE = "late_delivery"

# Yard time that belongs to no job.
[overhead]
CLEAN = "clean_up"
TRAIN = "training"
TALK = "safety_talk"
SLIP = "slip_and_plant"
WARR = "warranty"

# Leave and the like: never in a job.
[absence]
LEAVE = "leave"
SICK = "sick"
HOL = "public_holiday"
SCHOOL = "trade_school"

[causes.weather]
asked_by = "unforeseen_condition"
borne_by = "yard"

[causes.waiting_owner]
asked_by = "owner"
borne_by = "undecided"

[causes.crane]
asked_by = "yard"
borne_by = "yard"

[causes.late_delivery]
asked_by = "yard"
borne_by = "yard"

# Causes of work done again.
[causes.failed_inspection]
asked_by = "yard"
borne_by = "yard"

[causes.damage]
asked_by = "yard"
borne_by = "yard"

[causes.drawing_error]
asked_by = "owner"
borne_by = "undecided"

[measuring]
forecast_threshold_percent = "15"
"""

RULES_HEAD = (
    "rule,priority,booked_to,cause,booking_code,note_contains,note_matches,"
    "worker_id,trade,job,from,to,share,rework"
)
RULES = [
    # The fitters wrote M03 for the drum until they learnt its number.
    "drum,10,CR16,,M03,drum bore,,,,FERRY,2026-07-06,,,",
    # What leaks is welded or piped again.
    "leak,20,,,,leak again,,,,FERRY,,,,failed_inspection",
    # One line for both tank jobs: the bookkeeper and the painters agreed on 60 to 40.
    "tanks and bilge,30,C02,,TANKS,,,,,FERRY,,,0.6,",
    "tanks and bilge,30,C01,,TANKS,,,,,FERRY,,,0.4,",
    # Forklift and yard crane work for nobody in particular.
    r"shunting,40,overhead,slip_and_plant,,,^(shunt|shift)(ed|ing) (trailers|cradles),,,,,,,",
]
