"""Who may instruct and approve for the owner, and up to what sum: as the job's card lists them."""

import json
from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import date, timedelta
from decimal import Decimal
from typing import TYPE_CHECKING, Any, Protocol

from ledger.changes.prices import Priced, PriceList
from ledger.domain.change_life import APPROVALS, BY_LISTED, Event, IllegalMove, state_on
from ledger.domain.codes import name_of
from ledger.domain.handles import ERASED_NAME, as_known
from ledger.errors import Refused
from ledger.store.book import Book

if TYPE_CHECKING:
    from collections.abc import Mapping

ACTS = ("instruct", "approve")
# What an approval can lack.
NOT_LISTED = "approval_not_listed"
ABOVE_LIMIT = "approval_above_limit"
WITHOUT_REFERENCE = "approval_without_reference"


class Lived(Priced, Protocol):
    """A change with its events in order."""

    events: list[Event]

    def latest_revision(self, day: date) -> int | None:
        """Return the latest revision of which a price was known by a day, None without one."""


@dataclass(frozen=True)
class Authority:
    """The people who may act for the owner, by name: what each may do, up to what net sum.

    Without anybody listed nobody is held against the list.
    """

    limits: "Mapping[tuple[str, str], Decimal | None]"
    silence_confirms_days: int | None = None

    @property
    def is_listed_at_all(self) -> bool:
        return bool(self.limits)

    def names(self, act: str) -> tuple[str, ...]:
        """Return who may do something, as they are listed."""
        return tuple(name for name, may in self.limits if may == act)

    def lists(self, person: str | None, act: str) -> bool:
        """Return whether somebody is listed; a name that was erased counts as one that was."""
        return (
            not self.limits
            or person in (None, ERASED_NAME)
            or self._key(person, act) in self._by_key
        )

    def limit(self, person: str | None, act: str) -> Decimal | None:
        """Return up to what net sum a person may act, None without a limit."""
        return self._by_key.get(self._key(person, act)) if person else None

    def silent_from(self, day: date) -> date | None:
        """Return the day from which silence confirms what was instructed on a day."""
        days = self.silence_confirms_days
        return None if days is None else day + timedelta(days=days + 1)

    @property
    def _by_key(self) -> dict[tuple[str, str], Decimal | None]:
        return {self._key(name, act): limit for (name, act), limit in self.limits.items()}

    def _key(self, person: str, act: str) -> tuple[str, str]:
        return name_of(as_known(person)), act


def authority_of(row: "Mapping[str, Any]") -> Authority:
    """Return the authority that stands in a row with the job's list."""
    authority = row["authority"]
    listed = [] if authority in (None, ERASED_NAME) else json.loads(authority)
    limits = {
        (each["person"], act): None if each["up_to"] is None else Decimal(each["up_to"])
        for each in listed
        for act in each["may"]
    }
    return Authority(limits, row["silence_confirms_days"])


def mark_unlisted(book: Book, job: str, changes: Iterable[Lived]) -> None:
    """Mark the events of people whom the job's list does not let say so, or not up to that sum."""
    prices: PriceList | None = None
    for change in changes:
        authority = authority_of(change.facts)
        if not authority.is_listed_at_all:
            continue
        if authority.limits and any(authority.limits.values()):
            prices = prices or PriceList(book, job)
        for place, event in enumerate(change.events):
            if event.name in BY_LISTED and not may_say(authority, change, event, prices):
                silent_from = authority.silent_from(event.day)
                change.events[place] = replace(event, listed=False, silent_from=silent_from)


def may_say(
    authority: Authority, change: Lived, event: Event, prices: PriceList | None = None
) -> bool:
    """Return whether a person may say what an event says, by the list and the limit in it."""
    act = BY_LISTED[event.name]
    if not authority.lists(event.person, act):
        return False
    limit = authority.limit(event.person, act)
    if limit is None or prices is None:
        return True
    amount = amount_at_stake(change, event, prices)
    return amount is None or amount <= limit


def approval_doubts(book: Book, job: str, change: Lived, event: Event) -> tuple[str, ...]:
    """Return what an approval lacks: a listed person, a limit that reaches, a reference.

    Of an accepted counter-offer all three are the counter-offer's. Nothing of any other event.
    """
    if event.name not in APPROVALS:
        return ()
    yes, authority = owners_yes(change, event), authority_of(change.facts)
    doubts = []
    if not authority.lists(yes.person, "approve"):
        doubts.append(NOT_LISTED)
    elif authority.limit(yes.person, "approve") is not None and not may_say(
        authority, change, yes, PriceList(book, job)
    ):
        doubts.append(ABOVE_LIMIT)
    return (*doubts, *[WITHOUT_REFERENCE] * (not yes.reference))


def owners_yes(change: Lived, event: Event) -> Event:
    """Return the owner's word behind an approval: of one accepted, the counter-offer."""
    if event.name != "accepted":
        return event
    offers = [e for e in change.events if e.name == "counter_offer" and e.day <= event.day]
    yes = offers[-1] if offers else event
    return replace(yes, name="approved", day=event.day, revision=event.revision)


def amount_at_stake(change: Lived, event: Event, prices: PriceList) -> Decimal | None:
    """Return the net price that an event is about, None where there is none or it has no rate.

    An instruction is about the latest price known on its day.
    """
    about = change.latest_revision(event.day)
    revision = event.revision if BY_LISTED[event.name] == "approve" else about
    if revision is None or revision not in change.lines:
        return None
    key = event.name, event.day, event.revision
    by_then = (each for each in change.events if each.day <= event.day)
    earlier = [each for each in by_then if (each.name, each.day, each.revision) != key]
    try:
        return prices.price(change, state_on(earlier, event.day), revision).net
    except (Refused, IllegalMove):
        return None
