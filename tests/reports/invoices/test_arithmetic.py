"""What the official rules let pass is found by our own reckoning of the finished file."""

from collections.abc import Callable

import pytest

from ledger.cli.refusals.worded import worded
from ledger.domain.invoices import Invoice
from ledger.errors import Refused
from ledger.reports.invoices.arithmetic import misreckoned, refuse_misreckoned
from ledger.reports.invoices.rules import judged
from ledger.reports.invoices.xml import cii, ubl
from tests.reports.invoices._mutants import DAYWORK, Change, changed
from tests.reports.invoices._yard import KINDS

MAKES = {"UBL": ubl, "CII": cii}
BASES = {"UBL": "cbc:TaxableAmount", "CII": "ram:BasisAmount"}


def cents_off(file: bytes, changes: list[Change]) -> bytes:
    for each in changes:
        file = changed(file, each)
    return file


# A line of 2,171.70 stated as 2,171.00 with all sums made to fit: net 1,863.20, tax 391.27.
LINE_OFF: dict[str, list[Change]] = {
    name: [
        (">2171.70<", ">2171.00<"),
        *[(">1863.90<", ">1863.20<")] * 3,
        *[(">391.42<", ">391.27<")] * 2,
        *[(">2255.32<", ">2254.47<")] * 2,
    ]
    for name in MAKES
}
# The tax 0.99 less than it is, everywhere.
TAX_OFF: dict[str, list[Change]] = {
    name: [*[(">391.42<", ">390.43<")] * 2, *[(">2255.32<", ">2254.33<")] * 2] for name in MAKES
}
UNDATED: dict[str, list[Change]] = {
    "UBL": [("<cbc:DueDate>2026-07-15</cbc:DueDate>", "")],
    "CII": [
        (
            '<ram:DueDateDateTime><udt:DateTimeString format="102">20260715</udt:DateTimeString>'
            "</ram:DueDateDateTime>",
            "",
        )
    ],
}
MISSED = {
    "a line is not quantity x price": (
        LINE_OFF,
        "line 1: the amount is 2171.00, quantity x price is 2171.70",
    ),
    "a tax is wrong by less than one": (
        TAX_OFF,
        "tax category S at 21 %: the tax is 390.43, on its base it is 391.42",
    ),
    "there is no due date": (UNDATED, "2255.32 to pay and no due date"),
}


@pytest.mark.parametrize("syntax", MAKES)
@pytest.mark.parametrize("case", MISSED)
def test_what_the_rules_let_pass_is_found(case: str, syntax: str) -> None:
    """The official rules find nothing, our reckoning finds just this."""
    pytest.importorskip("saxonche")
    changes, expected = MISSED[case]
    file = cents_off(MAKES[syntax](KINDS[DAYWORK]), changes[syntax])

    assert judged(file).faults == ()
    assert [worded(each) for each in misreckoned(file)] == [expected]


@pytest.mark.parametrize("make", MAKES.values(), ids=MAKES)
@pytest.mark.parametrize("kind", KINDS)
def test_a_right_file_is_reckoned_right(kind: str, make: Callable[[Invoice], bytes]) -> None:
    """Nothing is found in the files of the yard's invoices, credit notes without a due date too."""
    assert list(misreckoned(make(KINDS[kind]))) == []


@pytest.mark.parametrize("syntax", MAKES)
def test_a_base_that_is_not_the_sum_of_its_lines_is_found(syntax: str) -> None:
    """Each rate's base is compared with its own lines, to the cent."""
    right, base = MAKES[syntax](KINDS["two rates"]), BASES[syntax]
    wrong = changed(right, (f">400.10</{base}>", f">400.00</{base}>"))

    assert [worded(each) for each in misreckoned(wrong)] == [
        "tax category S at 9 %: the base is 400.00, its lines add up to 400.10"
    ]


def test_all_that_is_wrong_is_said_at_once() -> None:
    """Every line is looked at, though here two of them add up as they should."""
    file = cents_off(ubl(KINDS[DAYWORK]), [(">2171.70<", ">2171.71<"), (">-307.80<", ">-307.81<")])
    with pytest.raises(Refused) as caught:
        refuse_misreckoned("2026-014", file)

    assert worded(caught.value) == (
        "invoice 2026-014: its file would not be accepted\n"
        "line 1: the amount is 2171.71, quantity x price is 2171.70\n"
        "line 2: the amount is -307.81, quantity x price is -307.80"
    )
