"""What finished work took for each unit, and an estimate drawn up from it."""

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from fractions import Fraction
from pathlib import Path

from ledger.commands.access import ReadAccess
from ledger.domain.achieved import Achieved
from ledger.domain.allocation import to_places
from ledger.domain.parsing import LAST_DAY, MS_PER_HOUR
from ledger.errors import Fault, Faults
from ledger.inputs.past_work import read_quantities
from ledger.outcomes import Outcome
from ledger.performance.achieved import achieved_by
from ledger.store.book import Stamp
from ledger.tables.small_tables import FileRow

ESTIMATE_HEAD = (
    *("work_package", "title", "control_account", "trade", "budget_hours", "planned_start"),
    *("planned_finish", "technique", "quantity", "unit", "work_kind"),
)


@dataclass(frozen=True)
class AchievedKnown(Outcome):
    """Hours a unit by kind of work, unit and trade, and the batch they are known at."""

    day: date | None
    rows: list[Achieved]
    stamp: Stamp


@dataclass(frozen=True)
class EstimateDrawn(Outcome):
    """Rows of an estimate under `ESTIMATE_HEAD`, and the kinds of work that one package bears."""

    rows: list[tuple[object, ...]]
    of_one_package: tuple[str, ...]


def achieved(access: ReadAccess, day: date | None) -> AchievedKnown:
    """Return what work finished by a day, or at all, took for each unit."""
    with access.reading() as book:
        return AchievedKnown(day, achieved_by(book, day or LAST_DAY), book.stamp())


def draw_up_estimate(access: ReadAccess, path: Path, day: date | None) -> EstimateDrawn:
    """Return an estimate of the quantities of a file, at the hours a unit achieved by a day.

    Raises: Faults when the file is faulty or holds work that nothing finished tells of.
    """
    lines = read_quantities(path)
    by_work: dict[tuple[str, str], list[Achieved]] = defaultdict(list)
    for each in achieved(access, day).rows:
        by_work[each.kind[:2]].append(each)
    if faults := _without_record(path, lines, by_work):
        raise Faults(faults)
    rows = [
        _row(line, each)
        for line in lines
        for each in by_work[line["work_kind"], line["unit"]]
        if _hours(line, each)
    ]
    thin = {
        line["work_kind"]: None
        for line in lines
        if all(each.packages == 1 for each in by_work[line["work_kind"], line["unit"]])
    }
    return EstimateDrawn(rows, tuple(thin))


def _without_record(
    path: Path, lines: Sequence[FileRow], by_work: dict[tuple[str, str], list[Achieved]]
) -> list[Fault]:
    known = sorted(f"{kind} by {unit}" for kind, unit in by_work)
    instead = f"; use one of {', '.join(known)}" if known else ""
    return [
        Fault(
            path.name,
            line.number,
            f"no finished work of {line['work_kind']} is counted by {line['unit']}{instead}",
        )
        for line in lines
        if (line["work_kind"], line["unit"]) not in by_work
    ]


def _hours(line: FileRow, each: Achieved) -> Decimal:
    return to_places(each.ms_per_unit * Fraction(line["quantity"]), 2, MS_PER_HOUR)


def _row(line: FileRow, each: Achieved) -> tuple[object, ...]:
    return (
        *(line["work_package"], line["title"], line["control_account"], each.kind[2]),
        *(_hours(line, each), line["planned_start"], line["planned_finish"]),
        *("units_complete", f"{line['quantity'].normalize():f}", line["unit"], line["work_kind"]),
    )
