"""Why the hours changed: signed steps from the original budget to the anticipated final.

The steps sum exactly, in whole units. Marks say who asked for a difference and who bears it; each
splits anticipated final less original budget, and adds to it exactly.
"""

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from decimal import Decimal
from fractions import Fraction

from ledger.domain.allocation import shown_adding_to, to_places
from ledger.domain.change_life import ORIGINS

STEPS = (
    "original_budget",
    "approved_variations",
    "omissions",
    "over_under_on_variations",
    "unapproved_changes",
    "rework",
    "over_under_on_original_work",
    "non_productive",
    "untagged",
    "anticipated_final",
)
PREMIUM_STEP = "non_productive"  # In labour cost overtime premium stands in it.
AGREED = STEPS[:3]  # They add to the current baseline and the contingency in it.
ASKED_BY = ORIGINS
BORNE_BY = ("owner", "instructed_price_open", "at_risk", "undecided", "yard")
# The same in words, for people.
STEP_TITLES = {
    "original_budget": "original estimate",
    "approved_variations": "approved variations",
    "omissions": "taken out by approved changes",
    "over_under_on_variations": "over or under on variations",
    "unapproved_changes": "requests not approved",
    "rework": "rework",
    "over_under_on_original_work": "over or under on original work",
    "non_productive": "lost to weather, waiting and the like",
    "untagged": "booked to unknown codes",
    "anticipated_final": "anticipated final",
}
ASKED_BY_TITLES = {
    "owner": "owner",
    "yard": "yard",
    "change_in_law": "change in law",
    "unforeseen_condition": "unforeseen condition",
}
BORNE_BY_TITLES = {
    "owner": "owner",
    "instructed_price_open": "instructed, no price agreed",
    "at_risk": "at risk: requests not instructed",
    "undecided": "still to be settled",
    "yard": "yard",
}
OPEN_PRICES = frozenset({"requested", "priced", "submitted", "lapsed", "counter_offer"})


@dataclass(frozen=True)
class PartAmounts:
    """A package, variation or contingency: whole units of its budget, time and forecast."""

    original: int = 0
    approved: int = 0
    omitted: int = 0
    actual: int = 0
    earned: int = 0
    rework: int = 0
    forecast: int = 0

    @property
    def over(self) -> int:
        """Return forecast less what it may take and less rework: F - (B0 + Q - O) - RW."""
        return self.forecast - self.budget - self.rework

    @property
    def budget(self) -> int:
        """Return what it may take: B0 + Q - O."""
        return self.original + self.approved - self.omitted

    @property
    def worked(self) -> int:
        """Return the time on it that is no rework: AC - RW."""
        return self.actual - self.rework

    @property
    def to_come(self) -> int:
        """Return what the forecast adds to the time booked: F - AC."""
        return self.forecast - self.actual


@dataclass(frozen=True)
class ChangeAmounts:
    """A change that is not approved: its time to date and its forecast."""

    actual: int
    forecast: int


@dataclass
class OverrunSteps:
    """The ten amounts, and to date and to come of those that hold a forecast."""

    amounts: dict[str, int]
    to_date: dict[str, int] = field(default_factory=dict)
    to_come: dict[str, int] = field(default_factory=dict)


def steps(
    work: Sequence[PartAmounts],
    variations: Sequence[PartAmounts],
    unapproved: Sequence[ChangeAmounts],
    other: Mapping[str, int],
) -> OverrunSteps:
    """Return the steps; `other` holds non_productive and untagged, in cost overtime_premium too.

    The premium pays for no more time, as lost time builds no more: it stands in that step.
    """
    every = [*work, *variations]
    amounts = {
        "original_budget": sum(part.original for part in every),
        "approved_variations": sum(part.approved for part in every),
        "omissions": -sum(part.omitted for part in every),
        "over_under_on_variations": sum(part.over for part in variations),
        "unapproved_changes": sum(change.forecast for change in unapproved),
        "rework": sum(part.rework for part in every),
        "over_under_on_original_work": sum(part.over for part in work),
        PREMIUM_STEP: other.get("non_productive", 0) + other.get("overtime_premium", 0),
        "untagged": other.get("untagged", 0),
    }
    amounts["anticipated_final"] = sum(amounts.values())
    result = OverrunSteps(amounts)
    for name, of_step in (
        ("over_under_on_variations", variations),
        ("over_under_on_original_work", work),
    ):
        result.to_date[name] = sum(part.actual - part.earned - part.rework for part in of_step)
        result.to_come[name] = amounts[name] - result.to_date[name]
    result.to_date["unapproved_changes"] = sum(change.actual for change in unapproved)
    result.to_come["unapproved_changes"] = (
        amounts["unapproved_changes"] - result.to_date["unapproved_changes"]
    )
    return result


def net_growth_percent(amounts: Mapping[str, int]) -> Fraction | None:
    """Return approved additions less omissions in percent of the original; None without one."""
    return _of_original(amounts, amounts["approved_variations"] + amounts["omissions"])


def total_change_percent(amounts: Mapping[str, int]) -> Fraction | None:
    """Return approved additions plus omissions in percent of the original; None without one.

    Equal additions and omissions leave the size of a job as it was, and change twice as much of it.
    """
    return _of_original(amounts, amounts["approved_variations"] - amounts["omissions"])


def _of_original(amounts: Mapping[str, int], part: int) -> Fraction | None:
    original = amounts["original_budget"]
    return Fraction(100 * part, original) if original else None


def shown_steps(amounts: Mapping[str, int], per: int) -> dict[str, Decimal]:
    """Return the steps to two places as shown on screen and page: they add up.

    The agreed ones add to their sum, the others to what is between it and the anticipated final;
    without an anticipated final the agreed ones are all.
    """
    agreed = to_places(sum(amounts[step] for step in AGREED), 2, per)
    by_step = dict(
        zip(AGREED, shown_adding_to(agreed, [amounts[s] for s in AGREED], per), strict=True)
    )
    last = STEPS[-1]
    if last in amounts:
        final, rest = to_places(amounts[last], 2, per), STEPS[len(AGREED) : -1]
        others = shown_adding_to(final - agreed, [amounts[step] for step in rest], per)
        by_step |= {**dict(zip(rest, others, strict=True)), last: final}
    return by_step


def shown_marks(
    marks: Mapping[str, int], steps: Mapping[str, Decimal], per: int
) -> dict[str, Decimal]:
    """Return marks to two places, adding to the growth that the steps as shown come to."""
    growth = steps[STEPS[-1]] - steps[STEPS[0]]
    return dict(zip(marks, shown_adding_to(growth, list(marks.values()), per), strict=True))


class Marks:
    """Amounts by a mark, all marks listed."""

    def __init__(self, names: Sequence[str]) -> None:
        self.names = names
        self.amounts: dict[str, int] = defaultdict(int)

    def add(self, mark: str, amount: int) -> None:
        assert mark in self.names, mark
        self.amounts[mark] += amount

    def listed(self) -> dict[str, int]:
        """Return every mark with its amount, zeros included."""
        return {name: self.amounts.get(name, 0) for name in self.names}


@dataclass(frozen=True)
class ChangeStanding:
    """What decides who bears a change: price, instruction, basis, and whether it is approved."""

    price: str
    instruction: str
    basis: str
    approved: bool
    not_to_exceed: bool = False


def bearer_of_unapproved(standing: ChangeStanding) -> str:
    """Return who bears the hours of a change that is not approved: the first that applies."""
    if standing.price == "disputed":
        return "undecided"
    if standing.instruction != "none":
        return "instructed_price_open"
    if standing.price in OPEN_PRICES:
        return "at_risk"
    return "yard"


def abortive(standing: ChangeStanding, part: PartAmounts) -> int:
    """Return what was done of a variation and then no longer wanted: AC - EV - RW, not below 0."""
    if standing.instruction != "stopped":
        return 0
    return max(0, part.actual - part.earned - part.rework)


def asked_in_variation(standing: ChangeStanding, part: PartAmounts) -> int:
    """Return what the variation's origin asked for: Q - O, and what came of it beside the price.

    That is abortive work at a fixed price, and of daywork all that is over or under its estimate.
    What is over or under a fixed price nobody asked for but the yard.
    """
    net = part.approved - part.omitted
    if standing.basis == "daywork":
        return net + part.over
    return net + (abortive(standing, part) if standing.basis == "fixed_price" else 0)


def bearers_of_variation(standing: ChangeStanding, part: PartAmounts) -> dict[str, int]:
    """Return who bears a variation's forecast, its rework left out unless it is free of charge.

    No charge: the yard, rework too. Daywork: the owner, as far as an agreed cap allows. Fixed
    price: the owner bears what was approved less what was omitted, the yard the rest. Abortive
    work is the owner's.
    """
    net, taken = part.approved - part.omitted, part.forecast - part.rework
    if standing.basis == "no_charge":
        return {"yard": part.forecast}
    if standing.basis == "daywork" and not standing.not_to_exceed:
        return {"owner": taken}
    owner = min(net, taken) if standing.basis == "daywork" else net
    owner += abortive(standing, part)
    return {"owner": owner, "yard": taken - owner}


def asks_for_work_done(standing: ChangeStanding, part: PartAmounts, origin: str) -> str:
    """Return who asked for the time worked on a variation, its rework left out.

    Its origin, where what was worked counts: daywork, and abortive work at a fixed price. Else the
    origin asked for the hours of the price; what is worked over or under them is the yard's.
    """
    if standing.basis == "daywork":
        return origin
    return origin if standing.basis == "fixed_price" and abortive(standing, part) else "yard"


def bears_work_done(standing: ChangeStanding, part: PartAmounts) -> str:
    """Return who bears the time worked on a variation, its rework left out.

    The owner, where all of it is theirs: daywork within its cap, and abortive work. Else the owner
    bears the hours agreed, and the time worked counts in what is over or under them: the yard's.
    """
    bearers = bearers_of_variation(standing, part)
    counts = standing.basis == "daywork" or abortive(standing, part)
    return "owner" if counts and not bearers.get("yard") and "owner" in bearers else "yard"
