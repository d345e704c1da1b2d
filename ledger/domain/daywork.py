"""Daywork agreed on sheets: what each sheet covers, and what a change comes to by it."""

from collections import defaultdict
from collections.abc import Hashable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from decimal import Decimal
from fractions import Fraction
from itertools import groupby

from ledger.domain.allocation import allocated, to_places

NOTHING = Decimal("0.00")
AGREED, FOR_RECORD = "agreed", "for_record_only"
MARKS = (AGREED, FOR_RECORD)


@dataclass(frozen=True)
class CoveredPart:
    """What a sheet covers of one thing that was done, in whole units: ms, or 1/1000000 of a unit.

    `part` names the thing (a worker's day in a trade, an item), `group` what a strike-off names
    (the worker's day, the item). `marked` was known when the sheet was marked, `now` is known now;
    `stated` was agreed of the group, None where all of it was.
    """

    sheet: Hashable
    mark: str
    group: Hashable
    part: Hashable
    marked: int
    now: int
    stated: int | None = None


@dataclass(frozen=True)
class Share:
    """What a sheet takes of a part: `left` by the sheets before it, `taken` by its mark.

    `counted` is what of it still is there; less was left when entries were reversed since.
    """

    of: CoveredPart
    left: int
    taken: int
    counted: int


class Sheets:
    """Sheets in the order they were recorded: each takes what those before it have not agreed.

    A sheet covers what was known when it was marked, and what was done is agreed once only.
    """

    def __init__(self, marked_parts: Iterable[CoveredPart]) -> None:
        self.shares: list[Share] = []
        self._agreed: dict[Hashable, int] = defaultdict(int)
        self._witnessed: dict[Hashable, int] = defaultdict(int)
        self._now: dict[Hashable, int] = {}
        for _, group in groupby(marked_parts, key=lambda each: (each.sheet, each.group)):
            self._take(list(group))

    def _take(self, group: Sequence[CoveredPart]) -> None:
        """Share what is stated over the parts of a group by what is left of each."""
        is_agreed, stated = group[0].mark == AGREED, group[0].stated
        left = [max(0, each.marked - self._before(each.part, is_agreed)) for each in group]
        taken = left if stated is None else allocated(min(stated, sum(left)), left)
        for each, open_before, share in zip(group, left, taken, strict=True):
            self._now[each.part] = each.now
            before = self._before(each.part, is_agreed)
            still_there = max(0, min(before + share, each.now) - min(before, each.now))
            reached = self._agreed if is_agreed else self._witnessed
            reached[each.part] = before + share
            self.shares.append(Share(each, open_before, share, still_there))

    def _before(self, part: Hashable, is_agreed: bool) -> int:
        agreed = self._agreed[part]
        return agreed if is_agreed else max(agreed, self._witnessed[part])

    def agreed(self, part: Hashable) -> int:
        """Return what counts as agreed of a part: never more than there is."""
        return min(self._agreed[part], self._now[part])

    def witnessed(self, part: Hashable) -> int:
        """Return what was recorded of a part, and is not agreed."""
        seen = max(0, self._witnessed[part] - self._agreed[part])
        return min(seen, self._now[part] - self.agreed(part))


@dataclass(frozen=True)
class Estimate:
    """What daywork was estimated at: hours in ms and amount by trade, amounts of items by kind.

    `omitted` is what the same price takes out, not above zero.
    """

    hours_ms: Mapping[str, int] = field(default_factory=dict)
    labour: Mapping[str, Decimal] = field(default_factory=dict)
    items: Mapping[str, Decimal] = field(default_factory=dict)
    omitted: Decimal = NOTHING

    @property
    def amount(self) -> Decimal:
        """Return what it adds."""
        return sum((*self.labour.values(), *self.items.values()), NOTHING)


@dataclass(frozen=True)
class Done:
    """Work in ms and its value by trade, items' value by kind; None where a trade has no rate."""

    hours_ms: Mapping[str, int] = field(default_factory=dict)
    labour: Mapping[str, Decimal | None] = field(default_factory=dict)
    items: Mapping[str, Decimal] = field(default_factory=dict)


@dataclass(frozen=True)
class DayworkValue:
    """What daywork comes to, in ms and amounts of two places.

    `agreed` and `rest` (of the estimate) stand in the adjusted sum, as far as a cap allows;
    `above_cap` is agreed and does not count. `beyond` is worked, unsigned and held by neither: None
    where a trade has no rate.
    """

    worked_ms: int
    agreed_ms: int
    agreed: Decimal
    rest_ms: int
    rest: Decimal
    beyond_ms: int
    beyond: Decimal | None
    above_cap: Decimal = NOTHING
    omitted: Decimal = NOTHING

    @property
    def amount(self) -> Decimal:
        """Return its place in the adjusted sum."""
        return self.agreed + self.rest + self.omitted

    @property
    def is_beyond(self) -> bool:
        """Return whether anything worked is unsigned and beyond the estimate."""
        return bool(self.beyond_ms or self.beyond or self.beyond is None)

    @property
    def unsigned_ms(self) -> int:
        """Return what was worked and is on no agreed sheet, within the estimate or beyond it."""
        return self.worked_ms - self.agreed_ms


def daywork_value(
    estimate: Estimate, worked: Done, agreed: Done, *, complete: bool, capped: bool
) -> DayworkValue:
    """Return what daywork comes to: agreed, the rest of the estimate, and what is beyond both.

    The rest is reckoned by trade and kind, not below 0, and falls away once the work is complete.
    """
    rest = Estimate() if complete else _rest(estimate, agreed)
    value = sum(each or NOTHING for each in (*agreed.labour.values(), *agreed.items.values()))
    cap = estimate.amount if capped else None
    counted = value if cap is None else min(value, cap)
    held = rest.amount if cap is None else min(rest.amount, cap - counted)
    beyond_ms, beyond = _beyond(rest, worked, agreed)
    if cap is not None:
        room = cap - counted - held
        beyond = min(beyond, room) if beyond is not None and room else beyond
        beyond_ms, beyond = (beyond_ms, beyond) if room else (0, NOTHING)
    return DayworkValue(
        worked_ms=sum(worked.hours_ms.values()),
        agreed_ms=sum(agreed.hours_ms.values()),
        agreed=NOTHING + counted,
        rest_ms=sum(rest.hours_ms.values()),
        rest=held,
        beyond_ms=beyond_ms,
        beyond=beyond,
        above_cap=NOTHING + value - counted,
        omitted=estimate.omitted,
    )


def _rest(estimate: Estimate, agreed: Done) -> Estimate:
    """Return what of an estimate is not taken up by what is agreed."""
    hours = {
        trade: max(0, ms - agreed.hours_ms.get(trade, 0)) for trade, ms in estimate.hours_ms.items()
    }
    labour = {
        trade: _part_of(amount, hours.get(trade, 0), estimate.hours_ms.get(trade, 0))
        for trade, amount in estimate.labour.items()
    }
    items = {
        kind: max(NOTHING, amount - agreed.items.get(kind, NOTHING))
        for kind, amount in estimate.items.items()
    }
    return Estimate(hours, labour, items)


def _part_of(amount: Decimal, part: int, whole: int) -> Decimal:
    """Return an amount in proportion, rounded once to two places."""
    return to_places(Fraction(amount) * Fraction(part, whole), 2) if whole else NOTHING


def _beyond(rest: Estimate, worked: Done, agreed: Done) -> tuple[int, Decimal | None]:
    """Return hours and value done that neither agreed sheets nor the rest of the estimate hold."""
    over_ms = sum(
        max(0, ms - agreed.hours_ms.get(trade, 0) - rest.hours_ms.get(trade, 0))
        for trade, ms in worked.hours_ms.items()
    )
    over = NOTHING
    for done, held, ahead in (
        (worked.labour, agreed.labour, rest.labour),
        (worked.items, agreed.items, rest.items),
    ):
        for name, value in done.items():
            if value is None:
                return over_ms, None
            taken = (held.get(name) or NOTHING) + ahead.get(name, NOTHING)
            over += max(NOTHING, value - taken)
    return over_ms, over
