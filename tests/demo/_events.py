"""What happened at the yard beside the work: weather, waiting, leave, rework, Saturdays."""

from dataclasses import dataclass
from datetime import date

from tests.demo._yard import day_of


@dataclass(frozen=True)
class Lost:
    """Time lost on some days: by trades, in quarters of an hour, each worker with odds of ten."""

    code: str
    job: str
    days: tuple[date, ...]
    trades: frozenset[str]
    quarters: int
    odds: int


@dataclass(frozen=True)
class Again:
    """Work done again on a package: hours of a trade from a week on, over some weeks."""

    code: str
    trade: str
    hours: int
    week: int
    weeks: int
    cause: str


OUTSIDE = frozenset({"plater", "welder"})
EARLY_WX = ((1, 3), (2, 1), (3, 0), (3, 1), (4, 4), (6, 2), (7, 3), (9, 1), (11, 0), (13, 2))
LATER_WX = (
    (15, 4),
    (18, 1),
    (22, 3),
    (26, 0),
    (29, 2),
    (33, 3),
    (36, 0),
    (38, 3),
    (40, 1),
    (41, 4),
)


def _days(*places: tuple[int, int]) -> tuple[date, ...]:
    return tuple(day_of(*place) for place in places)


LOST = (
    Lost("WX", "FERRY", _days(*EARLY_WX), OUTSIDE, 10, 7),
    Lost("WX", "SEDGE", _days((3, 1), (6, 2), (9, 1), (11, 0)), frozenset({"painter"}), 10, 9),
    Lost("WX", "FERRY", _days(*LATER_WX), frozenset({"painter", "shipwright", "plater"}), 12, 6),
    Lost("WAIT", "FERRY", _days((23, 1), (23, 2), (23, 3)), frozenset({"fitter"}), 12, 8),
    Lost("WAIT", "FERRY", _days((32, 0), (32, 1)), frozenset({"shipwright"}), 10, 7),
    Lost("WAIT", "FERRY", _days((37, 2), (37, 3), (38, 1)), frozenset({"painter"}), 14, 9),
    Lost(
        "WAIT",
        "FERRY",
        _days(
            (35, 1),
        ),
        frozenset({"electrician"}),
        12,
        9,
    ),
    Lost(
        "WAIT",
        "SEDGE",
        _days(
            (10, 2),
        ),
        frozenset({"fitter"}),
        12,
        9,
    ),
    Lost("CRANE", "FERRY", _days((12, 1), (12, 2)), frozenset({"plater", "welder"}), 14, 7),
    Lost(
        "CRANE",
        "FERRY",
        _days(
            (24, 0),
        ),
        frozenset({"plater", "fitter"}),
        8,
        6,
    ),
    Lost("LATE", "FERRY", _days((25, 3), (27, 1)), frozenset({"fitter"}), 10, 7),
    Lost("TRAIN", "", _days((5, 4), (16, 2)), frozenset({"shipwright", "welder"}), 16, 8),
    Lost("TRAIN", "", _days((31, 4), (39, 4)), frozenset({"plater", "fitter"}), 16, 8),
    Lost("WARR", "", _days((14, 0), (14, 1)), frozenset({"fitter"}), 20, 5),
)
AGAIN = (
    Again("H06", "welder", 118, 24, 4, "failed_inspection"),
    Again("H06", "plater", 36, 24, 4, "failed_inspection"),
    Again("H04", "welder", 40, 20, 3, "failed_inspection"),
    Again("D03", "shipwright", 26, 33, 2, "damage"),
    Again("D05", "shipwright", 22, 34, 2, "damage"),
    Again("M01", "plater", 24, 21, 2, "drawing_error"),
    Again("M01", "welder", 18, 21, 2, "drawing_error"),
    Again("C01", "painter", 34, 23, 2, "failed_inspection"),
)

# Weeks of leave and sickness: worker, first day, last day, code.
AWAY = (
    ("104", (27, 0), (28, 4), "LEAVE"),
    ("107", (14, 1), (14, 4), "LEAVE"),
    ("107", (32, 0), (32, 4), "LEAVE"),
    ("109", (20, 0), (21, 0), "LEAVE"),
    ("112", (28, 0), (29, 4), "LEAVE"),
    ("112", (39, 0), (39, 1), "SICK"),
    ("115", (8, 2), (9, 0), "SICK"),
    ("115", (31, 0), (31, 4), "LEAVE"),
    ("131", (5, 0), (5, 4), "SCHOOL"),
    ("131", (13, 0), (13, 3), "SCHOOL"),
    ("131", (22, 0), (22, 4), "SCHOOL"),
    ("131", (36, 0), (36, 4), "SCHOOL"),
    ("131", (26, 0), (27, 4), "LEAVE"),
    ("120", (10, 0), (10, 4), "LEAVE"),
    ("122", (6, 3), (6, 4), "SICK"),
    ("122", (31, 0), (31, 4), "LEAVE"),
    ("124", (24, 0), (25, 4), "LEAVE"),
    ("124", (11, 1), (11, 2), "SICK"),
    ("127", (33, 0), (34, 4), "LEAVE"),
    ("133", (28, 0), (29, 4), "LEAVE"),
    ("135", (17, 0), (17, 3), "LEAVE"),
    ("135", (32, 0), (32, 4), "LEAVE"),
    ("140", (31, 0), (32, 4), "LEAVE"),
    ("142", (7, 0), (7, 4), "SICK"),
    ("142", (26, 0), (27, 4), "LEAVE"),
    ("145", (17, 0), (19, 4), "LEAVE"),
    ("145", (29, 0), (29, 4), "LEAVE"),
    ("145", (40, 0), (40, 4), "LEAVE"),
    ("148", (36, 1), (36, 2), "SICK"),
    ("151", (16, 0), (16, 3), "LEAVE"),
    ("151", (32, 0), (32, 4), "LEAVE"),
    ("153", (37, 0), (37, 4), "LEAVE"),
    ("160", (31, 0), (31, 4), "LEAVE"),
    ("160", (12, 3), (12, 3), "SICK"),
    ("162", (22, 0), (23, 4), "LEAVE"),
    ("162", (37, 4), (38, 0), "SICK"),
    ("129", (29, 0), (29, 4), "LEAVE"),
    ("165", (35, 0), (35, 3), "LEAVE"),
)

# Saturdays: the yard's week and who came.
SATURDAYS = {
    5: ("122", "133"),
    8: ("122", "124", "133"),
    9: ("120", "135", "201"),
    11: ("124", "133", "201"),
    12: ("107", "112"),
    14: ("122", "133", "135", "202"),
    15: ("122", "201", "202"),
    17: ("124", "133", "202", "160"),
    19: ("122", "135", "201", "202"),
    20: ("162", "165"),
    21: ("124", "133", "201"),
    23: ("122", "133", "201", "202"),
    24: ("133", "135", "140"),
    26: ("107", "109", "145", "153"),
    28: ("107", "115", "148"),
    29: ("109", "115", "142", "151"),
    31: ("107", "112", "145", "162", "165"),
    32: ("109", "115", "145", "160", "162"),
    33: ("107", "112", "115", "140", "142"),
    34: ("104", "109", "142"),
    36: ("107", "115", "148"),
    38: ("107", "112", "151"),
    39: ("109", "142", "151", "153"),
    40: ("107", "140", "160"),
    41: ("109", "140", "148", "151"),
    42: ("107", "142"),
}
# Weeks with an hour or two more on some evenings, and the trades that stayed.
EVENINGS = {
    16: OUTSIDE,
    17: OUTSIDE,
    22: OUTSIDE,
    23: OUTSIDE,
    31: frozenset({"shipwright", "fitter", "painter"}),
    32: frozenset({"shipwright", "fitter", "painter"}),
    33: frozenset({"shipwright", "fitter", "plater"}),
    40: frozenset({"fitter", "electrician", "shipwright"}),
    41: frozenset({"fitter", "electrician", "shipwright", "painter"}),
}
# In the summer shutdown a few kept the paint and the engine going.
STAYED = ("135", "148", "162")
