"""The versions of a job's packages: as estimated, and as baseline changes replan them."""

from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import date
from decimal import Decimal
from fractions import Fraction
from typing import TypedDict, cast

from ledger.store.book import Book

Place = tuple[date, int]
AS_ESTIMATED: Place = (date.min, 0)


class KnownPackage(TypedDict):
    """A package's trade, as the estimate or a baseline change has it."""

    work_package: str
    trade: str
    title: str
    control_account: str
    technique: str
    spread: str | None
    quantity: Decimal | None
    start_share: Decimal | None
    base_package: str | None
    cost_rate: int | None
    package_kind: str
    planned_start: date
    planned_finish: date
    budget_ms: int
    name: str | None
    counts_from: date | None
    place: int | None


@dataclass(frozen=True)
class KnownMilestone:
    """A milestone of a package."""

    milestone: str
    weight: Fraction
    planned_date: date


@dataclass
class PackageVersion:
    """A package from one place on: its rows by trade and its milestones.

    A place is the day of what brought it and the batch in the recorded order.
    """

    place: Place
    rows: dict[str, KnownPackage] = field(default_factory=dict)
    milestones: tuple[KnownMilestone, ...] = ()

    @property
    def package(self) -> KnownPackage:
        """Return the facts that all trades share."""
        return next(iter(self.rows.values()))

    @property
    def weights(self) -> tuple[tuple[str, Fraction], ...]:
        """Return the weights of the milestones, which add up to 1; none without weight."""
        whole = sum(each.weight for each in self.milestones)
        if not whole:
            return ()
        return tuple((each.milestone, each.weight / whole) for each in self.milestones)


class Versions:
    """All versions of the packages of a job that the book knows."""

    def __init__(self, book: Book, job: str) -> None:
        self._rows: dict[str, dict[Place, dict[str, KnownPackage]]] = defaultdict(dict)
        self._dated: dict[str, dict[Place, list[KnownMilestone]]] = defaultdict(dict)
        for row in cast(list[KnownPackage], book.records("baseline/packages_known", job=job)):
            place = _place(row["counts_from"], row["place"])
            self._rows[row["work_package"]].setdefault(place, {})[row["trade"]] = row
        for each in book.rows("baseline/milestones_known", job=job):
            part, name, weight, day, since, batch = each
            dated = KnownMilestone(name, Fraction(weight), day)
            self._dated[part].setdefault(_place(since, batch), []).append(dated)
        self._known = {part: list(self._of(part)) for part in self._rows}

    def of(self, part: str, day: date) -> list[PackageVersion]:
        """Return the versions of a package that count by a day, in their order."""
        return [each for each in self._known.get(part, []) if each.place[0] <= day]

    def at(self, part: str, place: Place) -> PackageVersion:
        """Return the version of a package that stands at a place, else its first."""
        known = self._known[part]
        return next((each for each in reversed(known) if each.place <= place), known[0])

    def by(self, day: date) -> Iterator[tuple[str, PackageVersion]]:
        """Yield each package with the version that counts by a day."""
        for part in self._known:
            if versions := self.of(part, day):
                yield part, versions[-1]

    def _of(self, part: str) -> Iterator[PackageVersion]:
        rows, dated = self._rows[part], self._dated.get(part, {})
        version = PackageVersion(AS_ESTIMATED)
        for place in sorted({*rows, *dated}):
            milestones = tuple(dated.get(place, version.milestones))
            version = PackageVersion(place, rows.get(place, version.rows), milestones)
            if version.rows:
                yield version


def _place(since: date | None, batch: int | None) -> Place:
    return AS_ESTIMATED if since is None or batch is None else (since, batch)
