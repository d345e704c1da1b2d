"""Changes follow each other on the pages of a statement, and none is cut in two."""

from collections import defaultdict
from dataclasses import replace

import pytest

from ledger.reports.owner.variations import OwnerVariations
from tests.reports._landing import LANDING, bought
from tests.reports._paper import Laid, laid_out

# The words under the lines to be signed and dated.
SIGNED = {"sign", "sign short"}


def pages_of(laid: list[Laid]) -> dict[str, set[int]]:
    """Return on which pages each change stands."""
    found: dict[str, set[int]] = defaultdict(set)
    for part in laid:
        if part.tag == "article":
            found[part.box.element.get("id")].add(part.page)
    return found


def with_lines(count: int) -> OwnerVariations:
    """Return the landing with so many more lines of V-03, and an omission that evens them out."""
    first, *others = LANDING.details
    more = [bought("material", f"Bolts {n}", "1", "set", ("10", "10.00")) for n in range(count)]
    omitted = bought("material", "Not bought", "-1", "", (f"{count}0", f"-{count}0.00"))
    longer = replace(first, lines=(*first.lines, *more, omitted))
    return replace(LANDING, details=(longer, *others))


@pytest.mark.slow
def test_no_change_is_split() -> None:
    """Each change stands on one page, and two or three share one."""
    found = pages_of(laid_out(LANDING))
    last = max(page for pages in found.values() for page in pages)
    first = min(page for pages in found.values() for page in pages)

    assert len(found) == len(LANDING.changes)
    assert {len(pages) for pages in found.values()} == {1}
    assert len(found) >= 2 * (last - first + 1)


@pytest.mark.slow
def test_a_long_price_goes_over_the_page_with_its_heads() -> None:
    """One change of 40 price lines is split between rows; each part has the heads of its table."""
    laid = laid_out(with_lines(36))
    found = pages_of(laid)
    split = {name: pages for name, pages in found.items() if len(pages) > 1}
    heads = {part.page for part in laid if part.text == "Quantity"}

    assert list(split) == ["change-1"]
    assert split["change-1"] <= heads


@pytest.mark.slow
def test_an_answer_is_signed_and_dated_on_one_line() -> None:
    """What is to be ticked, signed and dated stands on one line, of a rough price too."""
    rough = tuple(replace(row, rough=True) for row in LANDING.awaiting)
    laid = laid_out(replace(LANDING, awaiting=rough))
    words = [part for part in laid if part.text and part.box.element is not None]
    to_sign = [part for part in words if part.box.element.get("class") in SIGNED]
    lines = [(part.page, part.box.position_y) for part in to_sign]

    assert len(lines) == 2 * len(rough)
    assert lines[::2] == lines[1::2]
