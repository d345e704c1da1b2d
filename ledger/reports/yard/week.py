"""A week of the yard, a page a job: what the page holds. Durations are whole milliseconds."""

from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from ledger.reports.commands_named import Opens
from ledger.reports.identity import StampShown, Yard

Value = Decimal | int | date | str | None


@dataclass(frozen=True)
class Figure:
    """A figure of a line, the same a week before, and where the command that opens it has it.

    `at` are keys and numbers of places in its JSON with slashes between: `key=value` is the item
    that has it, `#key` counts the items that have something under the key, `#` all, and
    `key>48` those above it. Hours have two places, indices three.
    """

    name: str
    value: Value
    before: Value = None
    at: str = ""


@dataclass(frozen=True)
class WeekRemark:
    """One thing to know of a week; `names` are the changes, steps or workers that it is about.

    `opened_by` is the command that shows it, as it is typed.
    """

    what: str
    figures: tuple[Figure, ...]
    opens: Opens
    names: tuple[str, ...] = ()
    opened_by: str = ""

    def __getitem__(self, name: str) -> Value:
        return self.figure(name).value

    def figure(self, name: str) -> Figure:
        return next(each for each in self.figures if each.name == name)


@dataclass(frozen=True)
class JobWeek:
    """The lines of a job."""

    job: str
    title: str
    currency: str
    lines: tuple[WeekRemark, ...]


@dataclass(frozen=True)
class WeekShown:
    """A week to its last day: of one job or of all, and what is the yard's own."""

    yard: Yard
    first: date
    last: date
    known_at: StampShown
    remade_by: str
    rehearsal: bool
    jobs: tuple[JobWeek, ...]
    of_yard: tuple[WeekRemark, ...]
