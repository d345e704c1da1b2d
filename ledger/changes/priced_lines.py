"""The lines of a price with what is added to them: for the yard, and as an owner sees them."""

from collections import defaultdict
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, fields, replace
from decimal import Decimal
from fractions import Fraction
from typing import TypedDict, Unpack

from ledger.changes.rows import KnownPriceLine
from ledger.domain.additions import Base, add, spread_over
from ledger.domain.allocation import to_places
from ledger.domain.pricing import NOTHING, Addition, PriceLine, YardPriceLine, money_of


@dataclass(frozen=True)
class ExactLine:
    """A line before it is rounded: its exact amount, with the percentage of its own in it."""

    line: YardPriceLine
    amount: Fraction
    provisional_sum: str = ""


class Rated(TypedDict, total=False):
    """What a line is charged by: the hours of a trade, or a quantity, at a price each."""

    trade: str
    grade: str
    hours_ms: int | None
    quantity: Decimal | None
    unit_price: Decimal | None


@dataclass(frozen=True)
class PricedLines:
    """A price line by line: `lines` with the additions as lines of their own.

    `selling` are the same lines at their selling price, the additions spread over what they are
    added to; both add to one price. `spent` is what is spent of each provisional sum named.
    """

    lines: tuple[YardPriceLine, ...]
    selling: tuple[PriceLine, ...]
    spent: dict[str, Decimal]


def addition_of(row: KnownPriceLine) -> Addition | None:
    """Return the percentage that a typed line carries or is, None without one."""
    if row["addition_percent"] is None:
        return None
    kinds = tuple((row["addition_of"] or "").split(",")) if row["addition_of"] else ()
    on, method = row["addition_on"] or "cost", row["addition_method"] or "additive"
    return Addition(row["addition_percent"], on, kinds, method)


def priced_lines(
    rows: Sequence[KnownPriceLine],
    made: Callable[[KnownPriceLine], Iterable[ExactLine]],
    *,
    on_omissions: bool,
) -> PricedLines:
    """Return typed lines priced, each rounded once; `made` prices those that are no addition.

    A percentage is added to the lines above it. Without `on_omissions` it is added to what the
    change adds alone; with it, what it comes to on omissions is a line of its own.
    """
    exact: list[ExactLine] = []
    bases: list[Base] = []
    lines: list[YardPriceLine] = []
    for row in rows:
        if row["price_kind"] == "addition":
            lines += _additions(row, bases, on_omissions=on_omissions)
            continue
        for each in made(row):
            exact.append(each)
            bases.append(Base(each.line.price_kind, each.amount, each.amount))
            lines.append(each.line)
    price = sum((line.amount for line in lines), NOTHING)
    amounts = spread_over(bases, price)
    selling = tuple(_sold(*each) for each in zip(exact, bases, amounts, strict=True))
    spent: dict[str, Decimal] = defaultdict(lambda: NOTHING)
    for each, amount in zip(exact, amounts, strict=True):
        if each.provisional_sum:
            spent[each.provisional_sum] += amount
    return PricedLines(tuple(lines), selling, dict(spent))


def _additions(
    row: KnownPriceLine, bases: Sequence[Base], *, on_omissions: bool
) -> Iterator[YardPriceLine]:
    """Yield what a percentage comes to on what is added, and on what is omitted if it carries."""
    addition = addition_of(row)
    assert addition is not None
    added = [each for each in bases if not each.is_omission]
    omitted = [each for each in bases if each.is_omission] if on_omissions else []
    described = row["description"] or ""
    amounts = list(filter(None, (add(each, addition) for each in (added, omitted))))
    for base, amount in amounts or [(Fraction(0), Fraction(0))]:
        yield YardPriceLine(
            "addition",
            described,
            trade="",
            hours_ms=None,
            quantity=None,
            unit="",
            unit_price=None,
            amount=money_of(amount),
            addition=addition,
            base=money_of(base),
        )


def _sold(exact: ExactLine, base: Base, amount: Decimal) -> PriceLine:
    """Return a line at its selling price; a rate that it no longer has is left out."""
    line = exact.line
    if base.has_additions:
        return replace(bare(line), unit_price=None, amount=amount)
    if line.addition is None or line.unit_price is None:
        return replace(bare(line), amount=amount)
    price = Fraction(line.unit_price)
    selling = price + line.addition.amount_on(price)
    rounded = to_places(selling, 4)
    unit_price = rounded if Fraction(rounded) == selling else None
    return replace(bare(line), unit_price=unit_price, amount=amount)


def bare(line: YardPriceLine) -> PriceLine:
    """Return a line without the percentage in it."""
    return PriceLine(**{each.name: getattr(line, each.name) for each in fields(PriceLine)})


def exact_line(
    row: KnownPriceLine, base: Fraction | None, addition: Addition | None, **rated: Unpack[Rated]
) -> ExactLine:
    """Return a typed line with the percentage on it; without a base nothing is charged for it."""
    if base is None:
        amount, addition = Fraction(0), None
    else:
        amount = base + addition.amount_on(base) if addition else base
    line = YardPriceLine(
        row["price_kind"],
        row["description"] or "",
        trade=rated.get("trade", ""),
        hours_ms=rated.get("hours_ms"),
        quantity=rated.get("quantity"),
        unit=row["unit"] or "",
        unit_price=rated.get("unit_price"),
        amount=money_of(amount),
        grade=rated.get("grade", ""),
        addition=addition,
    )
    return ExactLine(line, amount, row["provisional_sum"] or "")
