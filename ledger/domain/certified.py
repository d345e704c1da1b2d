"""What of a claim is certified, and what of lines was certified before.

Amounts have two places. What was certified is kept by item: a change, the base or a stage payment.
"""

from collections import defaultdict
from collections.abc import Hashable, Iterable, Sequence
from dataclasses import replace
from decimal import Decimal

from ledger.domain.claims import ClaimLine
from ledger.domain.pricing import NOTHING

# What a credit of work claimed and not due any more is called on a claim.
NOT_DUE = "Certified before, no longer due"


def by_item(lines: Iterable[ClaimLine]) -> dict[str, list[ClaimLine]]:
    """Return lines by item, each item where it came first."""
    lines_of: dict[str, list[ClaimLine]] = defaultdict(list)
    for line in lines:
        lines_of[line.item].append(line)
    return lines_of


def claimed(lines: Iterable[ClaimLine]) -> Decimal:
    """Return what lines come to to date."""
    return sum((line.to_date for line in lines), NOTHING)


def certified_of(lines: Sequence[ClaimLine], amount: Decimal) -> list[ClaimLine]:
    """Return the lines of an item as certified: what falls short is taken from the last ones first.

    No line that adds goes below 0; what is left is taken from the first.
    """
    short = claimed(lines) - amount
    certified = []
    for line in reversed(lines):
        cut = min(short, max(NOTHING, line.to_date))
        short -= cut
        certified.append(replace(line, to_date=line.to_date - cut))
    certified.reverse()
    if short:
        certified[0] = replace(certified[0], to_date=certified[0].to_date - short)
    return certified


def set_against(lines: Iterable[ClaimLine], before: Iterable[ClaimLine]) -> list[ClaimLine]:
    """Return lines with what was certified of each before.

    `before` are lines as certified. By item nothing is lost: what was certified of a line that is
    there no more, or of more than is due, counts for the item's other lines; what these cannot take
    is a correction, to be credited.
    """
    now, certified = by_item(lines), by_item(before)
    items = dict.fromkeys([*now, *certified])
    return [line for item in items for line in _of_item(now.get(item, []), certified.get(item, []))]


def _of_item(lines: Sequence[ClaimLine], before: Sequence[ClaimLine]) -> list[ClaimLine]:
    if any(_is_lump(line) for line in (*lines, *before)):
        line = lines[0] if lines else replace(before[0], to_date=NOTHING, quantity=None)
        return [replace(line, certified=claimed(before))]
    left: dict[Hashable, Decimal] = defaultdict(lambda: NOTHING)
    for line in before:
        left[alike(line)] += line.to_date
    matched = [_matched(line, left) for line in lines]
    open_amount, filled = claimed(before) - _certified(matched), []
    for line in matched:
        room = min(open_amount, line.amount) if _adds(line) else NOTHING
        open_amount -= max(NOTHING, room)
        filled.append(replace(line, certified=line.certified + max(NOTHING, room)))
    if open_amount:
        correction = ClaimLine("correction", (lines or before)[0].change, NOT_DUE, NOTHING)
        filled.append(replace(correction, certified=open_amount))
    return filled


def _matched(line: ClaimLine, left: dict[Hashable, Decimal]) -> ClaimLine:
    """Return a line with what was certified of one alike, at most what is due of work that adds."""
    before = left.pop(alike(line), NOTHING)
    return replace(line, certified=min(before, line.to_date) if _adds(line) else before)


def _certified(lines: Iterable[ClaimLine]) -> Decimal:
    return sum((line.certified for line in lines), NOTHING)


def _is_lump(line: ClaimLine) -> bool:
    """Whether a line is all of its item: the base or a stage payment, but for hours by the hour."""
    return line.change is None and line.unit_price is None and line.claim_kind in {"base", "stage"}


def _adds(line: ClaimLine) -> bool:
    return line.claim_kind != "omission" and line.to_date >= 0


def alike(line: ClaimLine) -> Hashable:
    """Return what tells a line of an item: its rate, or that there is none whatever its title."""
    kind = "omission" if line.claim_kind == "omission" else _adds(line)
    described = line.description if line.unit_price is not None else ""
    return kind, described, line.unit, line.unit_price
