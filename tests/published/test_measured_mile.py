"""The measured mile, worked out from its formula in AACE International RP 25R-03."""

from fractions import Fraction

from ledger.domain.measured_mile import MeasuredMile, Stretch

HOUR = 3_600_000


def test_hours_lost_against_the_stretch_least_affected() -> None:
    """1,200 h for 480 units are 2.50 h a unit; 300 units should take 750 h and took 900."""
    found = MeasuredMile(Stretch(1200 * HOUR, Fraction(480)), Stretch(900 * HOUR, Fraction(300)))

    assert found.least_affected.ms_per_unit == Fraction("2.5") * HOUR
    assert found.expected_ms == 750 * HOUR
    assert found.lost_ms == 150 * HOUR
    assert found.of_expected == Fraction(20, 100)
    assert found.of_actual == Fraction(1, 6)  # 16.67 %
