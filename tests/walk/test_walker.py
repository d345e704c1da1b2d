"""The walker itself: it names figures by their way, and tells a figure that was disturbed."""

from decimal import Decimal
from typing import Any

from tests.walk._figures import SHOWN, disagreements, figures, shared

ASKED = {"job": "PIER", "status_date": "2026-03-22"}


def performance(final: str = "12.0050", ac: str = "7.0000") -> dict[str, Any]:
    return {
        "job": "PIER",
        "status_date": "2026-03-22",
        "baseline": "original",
        "in": "hours",
        "rows": [
            {"key": "PIER", "ac": Decimal(ac), "undefined": {"spi": "no plan"}},
            {"key": "untagged", "ac": Decimal("1.5000")},
        ],
        "anticipated_final": Decimal(final),
        "known_at": {"sequence": 3},
    }


def overrun(untagged: str = "1.5000") -> dict[str, Any]:
    steps = {"untagged": Decimal(untagged), "anticipated_final": Decimal("12.0050")}
    rows = [{"step": step, "amount": amount} for step, amount in steps.items()]
    return {"job": "PIER", "status_date": "2026-03-22", "in": "hours", "steps": rows}


def page(final_ms: int = 43_218_000) -> dict[str, Any]:
    """Return an owner's page: its job is no code, and its hours are milliseconds."""
    row = {"step": "anticipated_final", "hours_ms": final_ms}
    return {"job": {"code": "PIER"}, "hours": [row]}


def walked(*answers: dict[str, Any]) -> Any:
    return [each for n, answer in enumerate(answers) for each in figures(answer, f"#{n}", ASKED)]


def test_figures_of_one_meaning_are_found_whatever_holds_them() -> None:
    """Rows, steps and a page's milliseconds meet under one name; stamps and reasons have none."""
    found = walked(performance(), overrun(), page())
    names = {key.name: places for key, places in shared(found).items()}

    assert names == {"anticipated_final": {"#0", "#1", "#2"}, "untagged": {"#0", "#1"}}
    assert disagreements(found) == []
    assert {figure.key.name for figure in found} == {"ac", "anticipated_final", "untagged"}


def test_a_planted_disturbance_is_told_with_both_places() -> None:
    """A ten-thousandth of an hour more in one place fails, in a row, a step or on a page."""
    planted = {
        "row": walked(performance(final="12.0051"), overrun()),
        "step": walked(performance(), overrun(untagged="1.5001")),
        "page": walked(overrun(), page(43_218_360)),
    }
    [told] = disagreements(planted["row"])

    assert {where: len(disagreements(found)) for where, found in planted.items()} == {
        "row": 1,
        "step": 1,
        "page": 1,
    }
    assert told == "PIER 2026-03-22 any hours anticipated_final: 12.0051 in #0, 12.0050 in #1"


def test_another_day_unit_or_baseline_is_another_figure() -> None:
    """What is asked of another day, in cost or of the other baseline is not compared."""
    later, cost, current = (performance(ac=str(hours)) for hours in (8, 9, 10))
    later["status_date"], cost["in"], current["baseline"] = "2026-03-29", "cost", "current"
    answers = [later, cost, current]
    for answer in answers:
        del answer["anticipated_final"], answer["rows"][1]

    assert disagreements(walked(performance(), *answers)) == []


def test_figures_shown_are_alike_and_near_what_they_are() -> None:
    """Two tables must show the same hundredths; that these add up may cost one of them."""

    def told(*hundredths: str) -> int:
        shown = [{"anticipated_final": Decimal(text)} for text in hundredths]
        found = walked(overrun())
        found += [f for n, s in enumerate(shown) for f in figures(s, f"@{n}", ASKED, SHOWN)]
        return len(disagreements(found))

    assert (told("12.00", "12.00"), told("12.01", "12.01")) == (0, 0)
    assert (told("12.00", "12.01"), told("12.03", "12.03")) == (1, 1)
