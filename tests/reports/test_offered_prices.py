"""What was offered stays as offered, and drafts stay with the yard."""

import json
from decimal import Decimal
from typing import Any

import pytest

from tests.conftest import Yard
from tests.test_small_sample import build

DEARER = "trade,effective_from,charge_per_hour\ncarpenter,2026-01-01,99.00\n"
DRAFT = "change,price_kind,description,revision,trade,hours\nCR2,labour,More,2,carpenter,77\n"
CORRECTED = (
    "change,event,date,person,revision,reference,valid_until\n"
    "CR1,submitted,2026-03-12,Ada Brunt,1,letter 1a,2026-03-31\n"
)
SHOWN = ("headline", "hours", "sums", "changes", "details", "awaiting")


@pytest.fixture
def built(yard: Yard) -> Yard:
    return build(yard)


def statement(yard: Yard) -> Any:
    out = yard.folder / "variations.json"
    words = ("--job", "STAGE", "--status-date", "2026-03-22", "--out", out)
    yard.run("report", "variations", *words)
    view = json.loads(out.read_text(encoding="utf-8"))
    return {name: view[name] for name in SHOWN}


def test_later_charge_rates_leave_offered_prices(built: Yard) -> None:
    """A charge rate corrected after an approval and a submission moves neither price."""
    before = statement(built)
    path = built.write("dearer.csv", DEARER)
    built.run("load", "charge-rates", "--job", "STAGE", path)

    assert statement(built) == before


def test_a_draft_revision_stays_with_the_yard(built: Yard) -> None:
    """Lines of a revision that was not submitted change nothing on the owner's page."""
    before = statement(built)
    built.run("load", "change-lines", "--job", "STAGE", built.write("draft.csv", DRAFT))

    assert statement(built) == before


def test_a_corrected_reference_leaves_the_life_of_a_change(built: Yard) -> None:
    """An event with another reference keeps its place, and every figure stands."""
    before = statement(built)
    before["details"][0]["history"][1]["reference"] = "letter 1a"
    path = built.write("corrected.csv", CORRECTED)
    built.run("load", "change-events", "--job", "STAGE", path)

    assert statement(built) == before


def test_the_anticipated_final_is_of_the_current_baseline(built: Yard) -> None:
    """Asked on the original baseline too, the anticipated final is that of the current one."""
    words = ("performance", "--job", "STAGE", "--status-date", "2026-03-22")
    actual = built.json(*words, "--baseline", "original")["anticipated_final"]

    assert actual == Decimal("225.2500")  # as reckoned by hand beside the sample
