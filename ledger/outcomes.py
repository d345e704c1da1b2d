"""What commands return: facts, which whoever shows them puts into words."""

from dataclasses import dataclass
from datetime import date
from fractions import Fraction


class Outcome:
    """Something that came of a command: sequences, counts, kinds, ids and amounts, no sentence."""


@dataclass(frozen=True)
class Reason(Outcome):
    """Why a figure has no value, or has the one it has: a kind with its fields."""

    kind: str
    fields: tuple[tuple[str, str | int | date | Fraction | None], ...] = ()


def because(kind: str, /, **fields: str | date | Fraction | None) -> Reason:
    """Return a reason of a kind in snake_case, with its fields by name."""
    return Reason(kind, tuple(fields.items()))
