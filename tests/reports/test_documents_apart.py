"""What is the yard's alone reaches no document for the owner, whatever kinds there are."""

import contextlib
import itertools
import random
from dataclasses import replace
from datetime import date, timedelta
from pathlib import Path
from typing import Any

import pytest

from ledger.billing.final_account import final_account
from ledger.errors import Refused
from ledger.reports.canonical import canonical_json
from ledger.reports.designs import DESIGNS
from ledger.reports.evidence.asked import EvidenceAsked
from ledger.reports.evidence.daywork_backup_build import daywork_backup
from ledger.reports.evidence.evidence import EvidencePages, evidence_of
from ledger.reports.owner.document_build import OWNER_DOCUMENTS, build_document
from ledger.reports.owner.document_ground import DocumentWanted
from ledger.reports.owner.invoice_terms import NOTHING_ASKED, InvoiceAsked
from ledger.reports.owner.job_build import build_job
from ledger.reports.owner.job_view import OwnerJob
from ledger.reports.owner.variations import OwnerVariations
from ledger.reports.rendering import render
from ledger.reports.yard.account_build import build_account
from ledger.store.book import open_book
from tests._small_files import SAMPLE
from tests.reports.test_non_interference import (
    FIRST_INSTANT,
    HELD_STAMP,
    SHARED_CODES,
    Rehearsal,
    Secrets,
    labour_cost,
    other_job,
    others_changes,
    sample_files,
)

# What each kind could need; a kind takes what it knows.
ASKED_WITH: dict[str, Any] = {
    "on": date(2026, 4, 3),
    "number": "STAGE-X-001",
    "prepared_by": "Ida Roke",
    "aware_on": date(2026, 4, 1),
    "effect": "both",
    "day_from": date(2026, 3, 1),
    "day_to": date(2026, 3, 31),
    "mark": "agreed",
    "texts": ("Written for the club.",),
}


BILLING = """
[yard]
country = "NL"
address = ["Slipway 4"]
tax_number = "NL123456782B90"
[tax_categories.S]
2026-01-01 = 21
"""
OWNER = '\n[owner]\ncountry = "NL"\ncity = "Gorredijk"\n'
# The first claim is invoiced, so that it can be credited; the second one is to be.
CLAIMED = ("2026-03-20", "2026-03-31")
PERCENTS = "item,date,percent\nbase,2026-03-20,30\nbase,2026-03-31,60\n"
INVOICES = {
    "invoice": InvoiceAsked(claim=2),
    "credit_note": InvoiceAsked(credits="INV-0001", reason="Wrong address"),
}


def billed(made_of: Rehearsal) -> None:
    """Issue two claims of the first job, and the invoice of the first."""
    yard, at = made_of.yard, FIRST_INSTANT + timedelta(hours=10)
    card = (SAMPLE / "job.toml").read_text(encoding="utf-8") + OWNER
    of_job = ("--job", "STAGE")
    for words in (
        ("load", "settings", yard.write("billing.toml", BILLING)),
        ("load", "job", yard.write("owner/job.toml", card)),
        ("load", "claim-percents", *of_job, yard.write("percents.csv", PERCENTS)),
        ("issue", "claim", *of_job, "--to", CLAIMED[0], "--out", yard.folder / "c.html"),
        ("issue", "invoice", *of_job, "--claim", 1, "--out", yard.folder / "i.html"),
        ("issue", "claim", *of_job, "--to", CLAIMED[1], "--out", yard.folder / "c.html"),
    ):
        at += timedelta(minutes=1)
        made_of.run(at, *words)


def owners_views() -> set[type]:
    """Return every view model whose page an owner may be given, whatever room it is in."""
    return {kind for kind, each in DESIGNS.items() if each.is_owners or each.is_handed_on}


def documents(made_of: Rehearsal) -> dict[tuple[str, str], Any]:
    """Return every document that can be made of the first job, by kind and change."""
    made: dict[tuple[str, str], Any] = {}
    with open_book(made_of.yard.book) as book:
        changes = [row["change"] for row in book.current("change") if row["job"] == "STAGE"]
        for kind, change in itertools.product(OWNER_DOCUMENTS, sorted(changes)):
            with contextlib.suppress(Refused):
                open_ones = final_account(book, "STAGE", ASKED_WITH["day_to"]).open_matters
                reserve = tuple(each.item for each in open_ones)
                asked = INVOICES.get(kind, NOTHING_ASKED)
                wanted = DocumentWanted(
                    kind, "STAGE", change, invoice=asked, reserve=reserve, **ASKED_WITH
                )
                view, _ = build_document(book, wanted)
                head = replace(view.head, known_at=HELD_STAMP)
                made[kind, change] = replace(view, head=head)
    return made


def handed_on(made_of: Rehearsal) -> dict[tuple[str, str], Any]:
    """Return what else an owner may be given of the first job: by claim, by change, by day."""
    made: dict[tuple[str, str], Any] = {}
    with open_book(made_of.yard.book) as book:
        account = build_account(book, "STAGE", ASKED_WITH["day_to"])
        made["account", ""] = replace(account, known_at=HELD_STAMP)
        for claim in ("1", "2"):
            with contextlib.suppress(Refused):
                appendix = daywork_backup(book, "STAGE", claim)
                made["daywork", claim] = replace(appendix, known_at=HELD_STAMP)
        changes = [row["change"] for row in book.current("change") if row["job"] == "STAGE"]
        for change in sorted(changes):
            pages = evidence_of(book, EvidenceAsked("STAGE", change)).pages
            made["evidence", change] = without_places(pages)
    return made


def without_places(pages: EvidencePages) -> EvidencePages:
    """Return evidence without the numbers of batches, and without the people whom it names.

    Whoever asked for a change and decided on it is what a pack is to show.
    """
    entry = pages.columns.index("entry")
    return replace(
        pages,
        stamp=HELD_STAMP,
        events=tuple(replace(each, person="", sealed_in="") for each in pages.events),
        columns=pages.columns[entry + 1 :],
        entries=tuple(cells[entry + 1 :] for cells in pages.entries),
    )


def job_of(made_of: Rehearsal) -> OwnerJob:
    """Return the first job on one page, its stamp held fixed."""
    with open_book(made_of.yard.book) as book:
        made = build_job(book, "STAGE", ASKED_WITH["on"])
    held = replace(made.statement, known_at=HELD_STAMP, remade_by="fairhours")
    return replace(made, statement=held)


@pytest.mark.slow
def test_what_is_the_yards_reaches_no_document(tmp_path: Path) -> None:
    """Of every kind of document there is, no byte of any format moves with what is the yard's.

    A kind that is added is found by itself, and must be one that this job can have.
    """
    folder, secret = tmp_path / "plain", Secrets(random.Random(4))
    plain = Rehearsal(folder).build(sample_files(folder, None), []).work_by_the_day(None)
    changed = Rehearsal(tmp_path / "changed")
    files = sample_files(tmp_path / "changed", secret)
    changed.build(files, list(other_job(changed.yard, secret))).work_by_the_day(secret)
    billed(plain)
    billed(changed)
    expected, actual = (documents(each) | handed_on(each) for each in (plain, changed))
    jobs = [job_of(each) for each in (plain, changed)]
    views = (*actual.values(), jobs[1])
    shown = b"".join(map(canonical_json, views)).decode().casefold()
    kinds = {type(view) for view in (*expected.values(), jobs[0])}

    assert kinds | {OwnerVariations} == owners_views()
    assert jobs[0].account.outstanding > 0
    for ending in DESIGNS[OwnerJob].kinds:
        pages = [render(each, ending, recorded_at=FIRST_INSTANT) for each in jobs]
        assert pages[0] == pages[1], ending
    assert others_changes(changed) >= SHARED_CODES
    assert labour_cost(changed) != labour_cost(plain)
    assert [word for word in secret.said if word.casefold() in shown] == []
    assert actual == expected
    for kind in (*OWNER_DOCUMENTS, "account", "daywork", "evidence"):
        named = next(each for each in expected if each[0] == kind)
        for ending in DESIGNS[type(expected[named])].kinds:
            pages = [
                render(made[named], ending, recorded_at=FIRST_INSTANT)
                for made in (actual, expected)
            ]
            assert pages[0] == pages[1], f"{named} as {ending}"
