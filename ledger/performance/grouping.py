"""What the rows of figures are of: the job, its control accounts, packages or trades."""

from collections.abc import Iterable
from typing import NamedTuple, Protocol

from ledger.domain.premium import OVERTIME_PREMIUM
from ledger.performance.actuals import NON_PRODUCTIVE, UNTAGGED
from ledger.performance.basis import Basis

GROUPS = ("job", "control-account", "work-package", "trade")
LAST = (NON_PRODUCTIVE, OVERTIME_PREMIUM, UNTAGGED)
NO_WORK = frozenset(LAST)


class HasPlace(Protocol):
    """What has a place among the rows."""

    @property
    def part(self) -> str: ...

    @property
    def trade(self) -> str | None: ...

    @property
    def kind(self) -> str: ...

    @property
    def control_account(self) -> str: ...


class RowPlace(NamedTuple):
    """A package, variation or other place and one trade, and where it stands among the rows."""

    part: str
    trade: str | None
    kind: str
    control_account: str


def kind_of(basis: Basis, part: str) -> str:
    """Return what kind of place time was booked to."""
    if part in NO_WORK:
        return part
    return "variation" if basis.is_variation(part) else "work"


def place_of(basis: Basis, part: str, trade: str | None, kind: str) -> RowPlace:
    """Return where a part and trade stand among the rows."""
    package = basis.baseline.package(part)
    account = package["control_account"] if package else kind
    return RowPlace(part, trade, kind, "changes" if kind == "variation" else account)


def key_of(place: HasPlace, by: str) -> str:
    """Return the row that a place belongs to, below the job's own."""
    if place.kind in NO_WORK or place.kind == "undistributed":
        return place.kind
    if by == "work-package":
        return place.part
    return place.control_account if by == "control-account" else place.trade or "no trade"


def last_rows(basis: Basis) -> list[str]:
    """Return the rows that are always listed: premium only in cost, where the yard pays any."""
    return [key for key in LAST if key != OVERTIME_PREMIUM or basis.has_premium]


def in_order(keys: Iterable[str]) -> list[str]:
    """Return the keys of rows in order, time that builds nothing last."""
    return sorted(keys, key=lambda key: (key in LAST, key))
