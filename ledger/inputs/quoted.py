"""A price that is sent as quoted: what is not typed with it is what its quotation says."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from ledger.documents.issued import Document, document_if_any
from ledger.documents.stated import Stated, stated
from ledger.errors import Refused, Remedy
from ledger.store.book import Book


@dataclass(frozen=True)
class QuotationIssued:
    """A quotation that was issued, and what it states of the price."""

    document: Document
    states: Stated

    @property
    def facts(self) -> dict[str, Any]:
        """Return what it says of the price, under the heads of the events."""
        return {
            "revision": self.document.revision,
            "valid_until": self.states.valid_until,
            "days_requested": self.states.days,
        }

    def completed(self, row: Mapping[str, str]) -> dict[str, str]:
        """Return what is typed of a price that was sent, with what its quotation says of it."""
        known = {name: str(value) for name, value in self.facts.items() if value is not None}
        return known | {name: text for name, text in row.items() if text}

    def refuse_other(self, typed: Mapping[str, Any]) -> None:
        """Raises: Refused for the first of what is typed that the quotation says otherwise."""
        anew = Remedy("issue_quotation", job=self.document.job, change=self.document.change or "")
        for name, quoted in self.facts.items():
            if typed[name] is not None and typed[name] != quoted:
                raise OTHER[name](self.document.document, quoted, typed[name], anew)


def _other_revision(document: str, quoted: Any, typed: Any, anew: Remedy) -> Refused:
    return Refused("quoted_revision", document=document, quoted=quoted, typed=typed, remedy=anew)


def _other_until(document: str, quoted: Any, typed: Any, anew: Remedy) -> Refused:
    if quoted is None:
        return Refused("quoted_without_until", document=document, typed=typed, remedy=anew)
    return Refused("quoted_until", document=document, quoted=quoted, typed=typed, remedy=anew)


def _other_days(document: str, quoted: Any, typed: Any, anew: Remedy) -> Refused:
    if quoted is None:
        return Refused("quoted_time_reserved", document=document, typed=typed, remedy=anew)
    return Refused("quoted_days", document=document, quoted=quoted, typed=typed, remedy=anew)


OTHER = {
    "revision": _other_revision,
    "valid_until": _other_until,
    "days_requested": _other_days,
}


def quoted_as(book: Book, job: str, change: str, reference: str | None) -> QuotationIssued | None:
    """Return the quotation that a reference names; None where it names none, or what it says is
    not kept.

    Raises: Refused when it is a quotation of another change.
    """
    quotation = document_if_any(book, reference) if reference else None
    if quotation is None or quotation.kind != "quotation":
        return None
    if (quotation.job, quotation.change) != (job, change):
        raise Refused(
            "quoted_other_change", document=quotation.document, of=quotation.change, change=change
        )
    states = stated(quotation.particulars)
    return QuotationIssued(quotation, states) if states else None
