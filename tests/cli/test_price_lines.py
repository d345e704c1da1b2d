"""Price lines as they are typed on the command line."""

import pytest

from ledger.cli import price_lines

TYPED = [
    ("carpenter=12", {"price_kind": "labour", "trade": "carpenter", "hours": "12"}),
    ("omit DECK=10", {"price_kind": "labour", "work_package": "DECK", "hours": "-10"}),
    ("carpenter/lead=7:30 + 5 %",
     {"price_kind": "labour", "trade": "carpenter", "grade": "lead", "hours": "7:30",
      "addition_percent": "5"}),
    ("material Ash rail=10 m x 25.00 + 15 %",
     {"price_kind": "material", "description": "Ash rail", "quantity": "10", "unit": "m",
      "unit_price": "25.00", "addition_percent": "15"}),
    ("plant Crane=2 d x 310 + 20% of price",
     {"price_kind": "plant", "description": "Crane", "quantity": "2", "unit": "d",
      "unit_price": "310", "addition_percent": "20", "addition_on": "price"}),
    ("premium Saturday premium=6 h x 12.50",
     {"price_kind": "labour", "description": "Saturday premium", "quantity": "6", "unit": "h",
      "unit_price": "12.50"}),
    ("addition Profit=8 %",
     {"price_kind": "addition", "description": "Profit", "addition_percent": "8"}),
    ("addition Handling=15 % of price for material, plant compound",
     {"price_kind": "addition", "description": "Handling", "addition_percent": "15",
      "addition_on": "price", "addition_of": "material, plant", "addition_method": "compound"}),
]  # fmt: skip
UNREADABLE = ["addition Profit=eight", "addition Profit=-8 %", "material Rail=10", "carpenter"]


@pytest.mark.parametrize(("text", "line"), TYPED)
def test_a_line_is_read_as_it_is_typed(text: str, line: dict[str, str]) -> None:
    """A line begins with its kind, labour without one, and ends with its own percentage."""
    assert price_lines.of_any(text) == line


@pytest.mark.parametrize("text", UNREADABLE)
def test_a_line_that_cannot_be_read_is_refused_with_an_example(text: str) -> None:
    """What cannot be read is said with how it is written."""
    with pytest.raises(ValueError, match="cannot be read; write it as"):
        price_lines.of_any(text)
