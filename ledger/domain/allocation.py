"""Splitting whole amounts exactly, and the one rounding."""

from collections.abc import Sequence
from decimal import Decimal
from fractions import Fraction

from ledger.domain.parsing import MS_PER_HOUR


def rounded(value: Fraction) -> int:
    """Return the nearest whole number, half away from zero."""
    whole = (abs(value.numerator) * 2 + value.denominator) // (value.denominator * 2)
    return whole if value >= 0 else -whole


def rounded_part(amount: int, over: int, under: int) -> int:
    """Return amount x over / under, none of them below 0, to the nearest, half away from zero."""
    return (amount * over * 2 + under) // (under * 2)


def to_places(value: Fraction | int, places: int, per: int = 1) -> Decimal:
    """Return value / per as a decimal of so many places, half away from zero."""
    if isinstance(value, int):
        whole = rounded_part(abs(value), 10**places, per)
        return Decimal(whole if value >= 0 else -whole).scaleb(-places)
    return Decimal(rounded(Fraction(value) * 10**places / per)).scaleb(-places)


def hours_of(ms: int, places: int = 2) -> Decimal:
    """Return a duration in hours as a decimal of so many places, half away from zero."""
    return to_places(ms, places, MS_PER_HOUR)


def shown_adding_to(
    total: Decimal, amounts: Sequence[int], per: int = MS_PER_HOUR, places: int = 2
) -> list[Decimal]:
    """Return each amount / per to so many places, so that they add to `total` as it is shown.

    Method of the largest remainder: every amount is rounded down, then the odd units go to the
    largest fractions, the first named where two are alike. Every table of parts on a page or on a
    screen is rounded here, so that the same parts are shown alike on both.
    """
    unit = per // 10**places
    counts = [amount // unit for amount in amounts]
    left = int(total.scaleb(places)) - sum(counts)
    by_fraction = sorted(range(len(counts)), key=lambda place: -(amounts[place] % unit))
    if left < 0:
        by_fraction.reverse()
    for turn in range(abs(left) if counts else 0):
        counts[by_fraction[turn % len(counts)]] += 1 if left > 0 else -1
    return [Decimal(units).scaleb(-places) for units in counts]


def allocated(total: int, weights: Sequence[int]) -> list[int]:
    """Return `total` split by weights into whole parts that sum to it.

    Odd units go to the largest remainders, then to the first; with no weight at all the first part
    takes everything. Raises: ValueError without parts.
    """
    if not weights:
        raise ValueError("nothing to split over")
    whole = sum(weights)
    if not whole:
        return [total, *[0] * (len(weights) - 1)]
    sign = -1 if total < 0 else 1
    shares = [divmod(abs(total) * weight, whole) for weight in weights]
    left = abs(total) - sum(share for share, _ in shares)
    order = sorted(range(len(weights)), key=lambda i: (-shares[i][1], i))
    odd = set(order[:left])
    return [sign * (share + (i in odd)) for i, (share, _) in enumerate(shares)]


def spread(total: int, weights: Sequence[int]) -> list[int]:
    """Return `total` spread by weights: each running total is rounded, the last is exact."""
    whole = sum(weights)
    if not whole:
        return []
    running = 0
    placed = 0
    shares = []
    for weight in weights:
        running += weight
        upto = rounded(Fraction(total * running, whole))
        shares.append(upto - placed)
        placed = upto
    return shares
