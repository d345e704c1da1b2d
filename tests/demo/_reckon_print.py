"""Reckoned figures as the program prints them: hours and money to 4 places, ratios to 6."""

from collections.abc import Mapping
from decimal import Decimal
from fractions import Fraction

from tests.demo._reckon_files import MS_AN_HOUR, RATE_UNITS, round_half_away

RATIOS = {"cpi", "spi", "tcpi_bac", "tcpi_eac", "cpi_measured", "spi_measured"}
WEEKS = {"earned_schedule", "actual_time", "planned_duration", "sv_time", "forecast_duration"}
NO_AMOUNT = RATIOS | WEEKS | {"percent_complete", "spi_time"}
SIX_PLACES = NO_AMOUNT - {"percent_complete"}
PER = {"hours": MS_AN_HOUR, "cost": MS_AN_HOUR * RATE_UNITS}


def printed(name: str, value: Fraction | int | None, unit: str) -> Decimal | None:
    """Return a figure as printed, half away from zero: ms as hours, cost units as money."""
    if value is None:
        return None
    shown = Fraction(value) if name in NO_AMOUNT else Fraction(value, PER[unit])
    places = 6 if name in SIX_PLACES else 4
    return Decimal(round_half_away(shown * 10**places)).scaleb(-places)


def all_printed(
    figures: Mapping[str, Fraction | None], unit: str, *, amounts: bool = False
) -> dict[str, Decimal | None]:
    """Return figures as printed; amounts, where the names are of steps or parties."""
    return {
        name: printed("amount" if amounts else name, value, unit) for name, value in figures.items()
    }
