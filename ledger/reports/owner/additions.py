"""The percentage in a price that the contract lets the owner see.

The view has it as text in English, as the digest does; the page says it in the language spoken.
"""

import re
from decimal import Decimal

from ledger.domain.pricing import YardPriceLine
from ledger.language import MINUS, _, spoken
from ledger.reports.figures import number_text

AGREED = re.compile(r"(?P<percent>[+-]?[0-9.]+) %(?P<of_price> of the price)?(?: on (?P<base>.+))?")


def addition_words(line: YardPriceLine) -> str:
    """Return the percentage in a line that the contract lets the owner see."""
    if line.addition is None:
        return ""
    percent = line.addition.percent
    on_price = line.addition.on == "price"
    words = f"{percent.normalize():f} % of the price" if on_price else percent_words(percent)
    return words if line.base is None else f"{words} on {number_text(line.base)}"


def percent_words(percent: Decimal) -> str:
    """Return a percentage that is added to a cost."""
    return f"{'+' if percent > 0 else ''}{percent.normalize():f} %"


def agreed_words(addition: str) -> str:
    """Return the percentage that a view has, in the language spoken."""
    agreed = AGREED.fullmatch(addition)
    if spoken() is None or agreed is None:
        return addition
    words = _("{percent} % of the price") if agreed["of_price"] else "{percent} %"
    percent = number_text(Decimal(agreed["percent"]), signed=not agreed["of_price"])
    percentage = words.format(percent=percent)
    if not agreed["base"]:
        return percentage
    base = Decimal("".join(agreed["base"].split()).replace(MINUS, "-"))
    return _("{percentage} on {base}").format(percentage=percentage, base=number_text(base))
