"""Productivity lost, by the measured mile: hours a unit of work affected and of work that was not.

Expected hours are the units of the affected stretch at the hours a unit of the other. Method: AACE
International, Recommended Practice 25R-03, measured mile. What was lost, and whose risk it is, the
figures do not say.
"""

from dataclasses import dataclass
from fractions import Fraction

CAUTION = (
    "A comparison of hours a unit, nothing more: whether the work was alike, what caused the "
    "loss and whose risk it is, is for the contract and those who decide on it."
)


@dataclass(frozen=True)
class Stretch:
    """Work of one kind over some days: its hours in ms, and the units done, above 0."""

    ms: int
    units: Fraction

    @property
    def ms_per_unit(self) -> Fraction:
        return self.ms / self.units


@dataclass(frozen=True)
class MeasuredMile:
    """Two stretches of like work, the one least affected and the one affected; hours in ms."""

    least_affected: Stretch
    affected: Stretch

    @property
    def expected_ms(self) -> Fraction:
        """The hours that the affected units would have taken at the other stretch's rate."""
        return self.affected.units * self.least_affected.ms_per_unit

    @property
    def lost_ms(self) -> Fraction:
        """Hours above those expected; negative where the affected stretch went better."""
        return self.affected.ms - self.expected_ms

    @property
    def of_expected(self) -> Fraction | None:
        """What was lost as a share of the hours expected; None where none were."""
        return self.lost_ms / self.expected_ms if self.expected_ms else None

    @property
    def of_actual(self) -> Fraction | None:
        """What was lost as a share of the hours worked; None where none were."""
        return self.lost_ms / self.affected.ms if self.affected.ms else None
