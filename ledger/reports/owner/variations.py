"""The owner's statement of variations and open requests, which cannot be made unless it adds up."""

from dataclasses import dataclass, replace

from ledger.reports.owner.variations_check import disagreements
from ledger.reports.owner.variations_rows import Statement


@dataclass(frozen=True)
class OwnerVariations(Statement):
    """A statement whose parts agree with each other."""

    def __post_init__(self) -> None:
        faults = list(disagreements(self))
        assert not faults, "; ".join(faults)

    @property
    def as_reported(self) -> "OwnerVariations":
        """The same as a report: without the number, the day and the person of its issue."""
        return replace(self, number=None, issued_on=None, prepared_by=None)
