"""The official schemas and rules pass what the yard invoices, and catch what is wrong."""

from collections.abc import Callable
from dataclasses import replace
from decimal import Decimal

import pytest

from ledger.cli.refusals.worded import worded
from ledger.domain.invoices import Invoice
from ledger.domain.units import UNIT_NAMES
from ledger.errors import Refused
from ledger.reports.invoices import rules
from ledger.reports.invoices.rules import judged, refuse_unfit
from ledger.reports.invoices.xml import cii, ubl
from tests.reports.invoices._mutants import DAYWORK, MUTANTS, Mutant
from tests.reports.invoices._yard import HOURS, KINDS, invoice, lines_of

pytest.importorskip("saxonche")

SYNTAXES = {"UBL": ubl, "CII": cii}
# The standard asks for the element, and a rule warns where nothing stands in it: without a date and
# a country of delivery the standard has nothing to put there.
EMPTY_DELIVERY = "PEPPOL-EN16931-R008"


@pytest.mark.parametrize("syntax", SYNTAXES)
@pytest.mark.parametrize("kind", KINDS)
def test_an_invoice_passes(kind: str, syntax: str) -> None:
    """Schema and rules find nothing; the rules have looked at it."""
    made = KINDS[kind]
    found = judged(SYNTAXES[syntax](made))
    delivered = made.delivery.on or made.delivery.country
    expected = [] if syntax == "UBL" or delivered else [EMPTY_DELIVERY]

    assert found.faults == ()
    assert [each.rule for each in found.findings] == expected
    assert found.rules_fired >= 45


@pytest.mark.slow
@pytest.mark.parametrize("make", SYNTAXES.values(), ids=SYNTAXES)
def test_a_long_invoice_passes(make: Callable[[Invoice], bytes]) -> None:
    """300 lines at two rates, omissions among them; more lines fire more rules."""
    short, long = (judged(make(invoice(*lines_of(many)))) for many in (3, 300))

    assert long.faults == ()
    assert long.rules_fired > short.rules_fired + 297


@pytest.mark.slow
@pytest.mark.parametrize("kind", KINDS)
def test_a_cross_industry_invoice_keeps_to_the_whole_schema(kind: str) -> None:
    """The profile's schema is a part of UN/CEFACT D22B; the whole of it lets the file pass too."""
    etree = pytest.importorskip("lxml.etree")
    schema = rules._schema("cii-extended-ctc-fr/CrossIndustryInvoice_100pD22B.xsd")
    schema.validate(etree.fromstring(cii(KINDS[kind])))

    assert [str(each) for each in schema.error_log] == []


def test_every_unit_is_in_the_code_list() -> None:
    """A line in each unit that the yard may invoice by passes."""
    lines = [replace(HOURS, unit=unit, quantity=Decimal(1)) for unit in UNIT_NAMES]
    made = invoice(*lines)

    assert [judged(make(made)).faults for make in (ubl, cii)] == [(), ()]


@pytest.mark.parametrize("mutant", MUTANTS, ids=lambda each: f"{each.rule} {each.what}")
def test_a_wrong_invoice_fails_by_its_rule(mutant: Mutant) -> None:
    """One thing is changed in a right file, and the rule for it says so, in UBL and in CII."""
    in_ubl, in_cii = ({each.rule for each in judged(file).faults} for file in mutant.files())

    assert mutant.rule in in_ubl
    assert (mutant.rule_in_cii or mutant.rule) in in_cii


def test_there_are_enough_wrong_invoices() -> None:
    """Each mutant is for another rule."""
    assert len({each.rule for each in MUTANTS}) == len(MUTANTS) >= 12


@pytest.mark.parametrize("make", SYNTAXES.values(), ids=SYNTAXES)
def test_a_file_out_of_shape_fails_by_its_schema(make: Callable[[Invoice], bytes]) -> None:
    """An element that is not of the standard is found before the rules are asked."""
    file = make(KINDS[DAYWORK])
    name = b"IssueDate" if make is ubl else b"IssueDateTime"
    found = judged(file.replace(name + b">", b"DayOfIssue>"))

    assert {each.rule for each in found.faults} == {"schema"}
    assert found.rules_fired == 0


def test_what_the_rules_say_is_said() -> None:
    """A refusal has each rule's own text and name."""
    file = ubl(KINDS[DAYWORK]).replace(b">68.40</cbc:PriceAmount", b">-68.40</cbc:PriceAmount", 1)
    with pytest.raises(Refused) as caught:
        refuse_unfit("2026-014", file)

    assert worded(caught.value) == (
        "invoice 2026-014: its file would not be accepted\n"
        "BR-27: The Item net price (BT-146) shall NOT be negative."
    )


def test_rules_that_look_at_nothing_are_no_pass(monkeypatch: pytest.MonkeyPatch) -> None:
    """A stylesheet that fires no rule is refused: it would pass anything."""
    silent = b'<o xmlns="http://purl.oclc.org/dsdl/svrl"/>'
    monkeypatch.setattr(rules, "_svrl", lambda *_: silent)
    with pytest.raises(Refused) as caught:
        judged(ubl(KINDS[DAYWORK]))

    assert worded(caught.value) == (
        "the official rules of electronic invoices cannot be run: "
        "ubl-2.1/EN16931-UBL-validation.xslt: no rule looked at the file; install "
        '"fairhours[invoices]" with pip again'
    )


def test_without_the_extra_an_electronic_invoice_is_refused(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """The message names what to install, and what can be done without it."""
    monkeypatch.setattr(rules, "find_spec", lambda _: None)
    rules._schema.cache_clear()
    with pytest.raises(Refused) as caught:
        judged(ubl(KINDS[DAYWORK]))

    assert worded(caught.value) == (
        "an electronic invoice is checked by the official rules, which are not installed; install "
        '"fairhours[invoices]" with pip, or issue a plain PDF'
    )
