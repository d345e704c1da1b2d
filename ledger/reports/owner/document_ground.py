"""What documents for the owner are made from: only owner's queries, as known at one moment."""

from dataclasses import dataclass
from datetime import date
from functools import cached_property
from typing import Any

from ledger.changes import standing
from ledger.changes.completion import completion
from ledger.changes.requests import OWNER, Change, changes_of
from ledger.changes.standing import with_sums_left
from ledger.changes.sums import contract_sum_on, contract_sums, sums_unspent
from ledger.documents.issuing import About
from ledger.domain.calendar import days_later
from ledger.domain.contracts import TIME_CHARGE
from ledger.errors import Refused, Remedy
from ledger.inputs.change_entry import change_unknown
from ledger.jobs.jobs import calendar_of, currency_of, job_unknown
from ledger.reports.identity import StampShown, yard_of
from ledger.reports.owner.changes import OwnerChange, OwnerChangesKnown, shown_changes
from ledger.reports.owner.document_views import ChangeHead, CompletionMoved, Head, Offer, SumsMoved
from ledger.reports.owner.invoice_terms import NOTHING_ASKED, InvoiceAsked
from ledger.store.book import Book


@dataclass(frozen=True)
class DocumentWanted:
    """What a document is asked for with; what does not belong to its kind is left as it is.

    `change` is empty of what is of the whole job, whose status date is `day_to`. `on` is the day of
    the document, `number` is empty of a draft; `week` is any day of the week that it is of in place
    of `day_from` and `day_to`. `days_asked` says that days were given: None reserves them. An
    invoice is dated by itself, not after `today` and not before `last_on`, that of the last one;
    `reserve` is what a final account leaves open; `file_kind` is what it is made as where its
    ending does not say so.
    """

    kind: str
    job: str
    change: str = ""
    on: date = date.min
    number: str = ""
    prepared_by: str = ""
    revision: int | None = None
    valid_until: date | None = None
    days: int | None = None
    days_asked: bool = False
    reply_by: date | None = None
    aware_on: date | None = None
    effect: str = ""
    day_from: date | None = None
    day_to: date | None = None
    week: date | None = None
    mark: str = ""
    texts: tuple[str, ...] = ()
    invoice: InvoiceAsked = NOTHING_ASKED
    today: date | None = None
    last_on: date | None = None
    reserve: tuple[str, ...] = ()
    file_kind: str = ""

    @property
    def about(self) -> About:
        """What is recorded of the document once it is issued, but for its revision."""
        days = (self.day_from, self.day_to)
        return About(self.kind, self.job, self.change or None, None, *days, self.mark or None)


class JobGround:
    """A job with its changes as the owner knows them on a day."""

    def __init__(self, book: Book, wanted: DocumentWanted) -> None:
        cards = book.records("owner/job", job=wanted.job)
        if not cards:
            raise job_unknown(wanted.job)
        self.book, self.wanted, self.job = book, wanted, wanted.job
        self.card: dict[str, Any] = cards[0]
        self.changes = changes_of(book, wanted.job, OWNER)

    @cached_property
    def settings(self) -> dict[str, str]:
        return dict(self.book.rows("owner/yard"))

    @property
    def head(self) -> Head:
        stamp = self.book.stamp()
        return Head(
            kind=self.wanted.kind,
            number=self.wanted.number,
            issued_on=self.wanted.on,
            prepared_by=self.wanted.prepared_by,
            yard=yard_of(self.book),
            job=self.card["job"],
            job_title=self.card["title"],
            owner=self.card["owner"],
            currency=currency_of(self.card, self.settings),
            contract_date=self.card["contract_date"],
            known_at=StampShown(stamp.sequence, stamp.head),
            rehearsal=self.settings.get("book.rehearsal") == "yes",
        )


class Ground(JobGround):
    """A job and one of its changes as the owner knows them on a day."""

    def __init__(self, book: Book, wanted: DocumentWanted) -> None:
        super().__init__(book, wanted)
        if wanted.change not in self.changes:
            raise change_unknown(wanted.job, wanted.change)
        time_charge = self.card["contract_basis"] == TIME_CHARGE
        of_job = standing.yard_known(book, wanted.job, wanted.on)
        known_facts = (of_job.day, of_job.prices, of_job.net_ms, of_job.worked_ms, of_job.daywork)
        self.known = OwnerChangesKnown(*known_facts, time_charge, is_final=of_job.is_final)
        # This gives each change the wording that was sent, too.
        self.shown = shown_changes(
            book, wanted.job, wanted.on, self.changes, time_charge=time_charge
        )
        self.change: Change = self.changes[wanted.change]
        self.state = self.change.state(wanted.on)

    @property
    def change_head(self) -> ChangeHead:
        facts = self.change.facts
        return ChangeHead(
            self.change.code,
            facts["title"],
            facts["description"] or "",
            facts["change_basis"],
            facts["origin"],
        )

    def standing(self, revision: int) -> OwnerChange:
        """Return the change as it stands at the price of a revision."""
        state = self.state.price_of(revision, self.wanted.on)
        own = OwnerChange(self.change, self.state, self.known, state, revision)
        others = [each for each in self.shown if each.change is not self.change]
        return with_sums_left([*others, own])[-1]

    def offer(self, revision: int) -> Offer:
        """Return the price of a revision. Raises: Refused when it has none."""
        if revision not in self.change.lines and not self._is_without_lines(revision):
            enter = Remedy("enter_price", job=self.wanted.job, change=self.change.code)
            raise Refused(
                "revision_unpriced",
                job=self.wanted.job,
                change=self.change.code,
                revision=revision,
                remedy=enter,
            )
        standing = self.standing(revision)
        days, is_sent = self._days(standing)
        dates = [(line["planned_start"], line["planned_finish"]) for line in standing.lines]
        lines, price = standing.lines_shown, standing.price
        assert price is not None
        return Offer(
            revision=revision,
            lines=lines,
            price=price.net,
            days=days,
            days_requested=standing.days_requested if is_sent else days,
            days_decided=is_sent and self.state.days_decided is not None,
            estimated=self.change.facts["change_basis"] == "daywork",
            rough=self.state.rough.get(revision, False),
            owner_texts=standing.owner_texts,
            capped=standing.capped,
            agreed=self.state.approved_revision == revision,
            planned_start=min((first for first, _ in dates if first), default=None),
            planned_finish=max((last for _, last in dates if last), default=None),
        )

    def _is_without_lines(self, revision: int) -> bool:
        """Whether daywork, or a change of time only, was priced without lines."""
        priced = {event.revision for event in self.change.events if event.name != "instructed"}
        is_fixed = self.change.facts["change_basis"] == "fixed_price"
        return not is_fixed and not self.change.lines and revision in priced

    def _days(self, standing: OwnerChange) -> tuple[int | None, bool]:
        """Return the days with a price, and whether it came to the owner: sent, or approved.

        Before that they are those typed, else those of the request.
        """
        state = self.state
        if standing.revision in {state.approved_revision, *state.days_asked}:
            return standing.days, True
        typed = self.wanted.days_asked
        return self.wanted.days if typed else self.change.facts["days_requested"], False

    @cached_property
    def latest(self) -> int:
        """The revision asked for, else the latest that was priced."""
        return self.wanted.revision or self.change.latest_revision(self.wanted.on) or 1

    @property
    def offered(self) -> Offer | None:
        """The price that was agreed, else the one sent last; None where none was."""
        revision = self.state.approved_revision or self.state.submitted_revision
        return None if revision is None else self.offer(revision)

    def sums_moved(self, offer: Offer) -> SumsMoved:
        """Return the contract sum as adjusted by all other changes, and with this one."""
        signed = self.card["contract_sum"]
        contract, _ = contract_sum_on(self.book, self.wanted.job, signed, self.wanted.on)
        others = [each for each in self.shown if each.change is not self.change]
        unspent = sums_unspent(self.book, self.wanted.job, self.wanted.on, others)
        before = contract_sums(contract, others, unspent).adjusted
        now = self.standing(offer.revision)
        amount = now.amount if offer.agreed and now.amount is not None else offer.price
        since = amount - offer.price
        return SumsMoved(before, before + amount, since, now.agreed_value)

    def completion_moved(self, offer: Offer) -> CompletionMoved:
        """Return the completion date with the days granted for others, and with these days."""
        states = [
            each.state(self.wanted.on) for each in self.changes.values() if each is not self.change
        ]
        agreed, counted = self.card["completion_date"], self.card["days"]
        dates = completion(self.book, self.wanted.job, agreed, counted, states)
        after = None
        if agreed is not None and offer.days is not None:
            calendar = calendar_of(self.book, self.wanted.job) if counted == "working" else None
            after = days_later(agreed, dates.days_granted + offer.days, calendar)
        return CompletionMoved(agreed, dates.days_granted, dates.moved_to, after)
