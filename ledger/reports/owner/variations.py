"""The owner's statement of variations and open requests, which cannot be made unless it adds up."""

from dataclasses import dataclass

from ledger.reports.owner.variations_check import disagreements
from ledger.reports.owner.variations_rows import Statement


@dataclass(frozen=True)
class OwnerVariations(Statement):
    """A statement whose parts agree with each other."""

    def __post_init__(self) -> None:
        found = list(disagreements(self))
        assert not found, "; ".join(found)
