"""Hours that finished work took for each unit: what the next estimate starts from."""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

# A kind of work, the unit it is measured in, and a trade.
Kind = tuple[str, str, str]


@dataclass(frozen=True)
class FinishedWork:
    """What a trade took for a package that is finished, rework included: units and ms."""

    job: str
    package: str
    work_kind: str
    unit: str
    trade: str
    quantity: Decimal
    ms: int

    @property
    def kind(self) -> Kind:
        return self.work_kind, self.unit, self.trade

    @property
    def ms_per_unit(self) -> Fraction:
        return self.ms / Fraction(self.quantity)


@dataclass(frozen=True)
class Achieved:
    """What a trade took for a unit of a kind of work, over all finished packages of the kind.

    A package in which the trade did nothing counts with its quantity: it took none of its hours.
    """

    kind: Kind
    works: tuple[FinishedWork, ...]
    packages: int
    quantity: Decimal

    @property
    def ms(self) -> int:
        return sum(work.ms for work in self.works)

    @property
    def ms_per_unit(self) -> Fraction:
        """All hours over all units: large packages weigh more than small ones."""
        return self.ms / Fraction(self.quantity)

    @property
    def least(self) -> Fraction:
        """The least of a package: none where the trade did nothing in one."""
        if len(self.works) < self.packages:
            return Fraction()
        return min(work.ms_per_unit for work in self.works)

    @property
    def most(self) -> Fraction:
        return max(work.ms_per_unit for work in self.works)

    @property
    def jobs(self) -> tuple[str, ...]:
        return tuple(dict.fromkeys(work.job for work in self.works))


def achieved(works: Iterable[FinishedWork]) -> list[Achieved]:
    """Return what was achieved by kind of work, unit and trade, in that order."""
    by_kind: dict[Kind, list[FinishedWork]] = defaultdict(list)
    packages: dict[tuple[str, str], dict[tuple[str, str], Decimal]] = defaultdict(dict)
    for work in works:
        by_kind[work.kind].append(work)
        packages[work.kind[:2]][work.job, work.package] = work.quantity
    return [
        Achieved(
            kind,
            tuple(of_kind),
            len(packages[kind[:2]]),
            sum(packages[kind[:2]].values(), Decimal()),
        )
        for kind, of_kind in sorted(by_kind.items())
    ]
