"""A PDF keeps to the standard asked for, and carries the content its digest was taken over."""

import hashlib
import re
import shutil
import subprocess
import zlib
from functools import cache
from pathlib import Path

import page
import pytest

from ledger.cli.refusals.worded import worded
from ledger.errors import WrongUsage
from ledger.reports.canonical import canonical_json, digest
from ledger.reports.rendering import VARIANTS, RenderChoices, render
from tests.conftest import Yard, slow_beyond
from tests.reports._again import made_again
from tests.reports._landing import LANDING, RECORDED_AT
from tests.reports._paper import Elements
from tests.test_small_sample import build

AGAIN = """
import sys
from ledger.reports.rendering import RenderChoices, render
from tests.reports._landing import LANDING, RECORDED_AT
choices = RenderChoices(pdf_variant=sys.argv[1])
sys.stdout.buffer.write(render(LANDING, "pdf", recorded_at=RECORDED_AT, choices=choices))
"""
LIST = ", ".join(VARIANTS)
WITH_CONTENT = ["pdf/ua-1", "pdf/ua-2", "pdf/a-3a", "pdf/a-3b", "pdf/a-3u"]
WITHOUT_CONTENT = ["pdf/a-2a", "pdf/a-2b", "pdf/a-2u"]
# PDF/UA-2 (ISO 14289-2) has no check here; its file is only read.
PROFILES = {
    "pdf/ua-1": page.ValidationProfile.PDF_UA_1,
    "pdf/a-2a": page.ValidationProfile.PDF_A_2A,
    "pdf/a-2b": page.ValidationProfile.PDF_A_2B,
    "pdf/a-2u": page.ValidationProfile.PDF_A_2U,
    "pdf/a-3a": page.ValidationProfile.PDF_A_3A,
    "pdf/a-3b": page.ValidationProfile.PDF_A_3B,
    "pdf/a-3u": page.ValidationProfile.PDF_A_3U,
}
needs_pdfdetach = pytest.mark.skipif(
    shutil.which("pdfdetach") is None, reason="pdfdetach is not installed"
)


@cache
def made(pdf_variant: str) -> bytes:
    choices = RenderChoices(pdf_variant=pdf_variant)
    return render(LANDING, "pdf", recorded_at=RECORDED_AT, choices=choices)


def attached(pdf: bytes, folder: Path) -> dict[str, bytes]:
    """Return the files that lie in a PDF, by name, as another program finds them."""
    path, out = folder / "v.pdf", folder / "out"
    path.write_bytes(pdf)
    out.mkdir()
    subprocess.run(["pdfdetach", "-saveall", "-o", out, path], check=True, capture_output=True)
    return {file.name: file.read_bytes() for file in out.iterdir()}


def unpacked(pdf: bytes) -> bytes:
    """Return what is compressed in a PDF, one after the other."""
    packed = re.findall(rb"stream\n(x\xda.*?)\nendstream", pdf, re.DOTALL)
    return b"\n".join(zlib.decompressobj().decompress(each) for each in packed)


@pytest.mark.parametrize("pdf_variant", slow_beyond(2, PROFILES))
def test_a_pdf_keeps_to_its_standard(pdf_variant: str) -> None:
    """A PDF conforms to PDF/UA (ISO 14289) or PDF/A (ISO 19005) as it was asked to."""
    pdf = made(pdf_variant)
    report = page.validate_pdf_bytes(pdf, profile=PROFILES[pdf_variant])
    found = [f"{failure.rule_id}: {failure.message}" for failure in report.failures]
    if b"\r\nendstream" in pdf:  # The checker takes a stream's last byte for its line end.
        found = [each for each in found if "STREAM-LENGTH" not in each]

    assert found == []


@pytest.mark.slow
def test_the_usual_pdf_is_one_that_can_be_read_aloud() -> None:
    """Without a word on it a PDF is PDF/UA-1, and another standard makes another file."""
    usual = render(LANDING, "pdf", recorded_at=RECORDED_AT)

    assert usual == made("pdf/ua-1")
    assert len({made(name) for name in VARIANTS}) == len(VARIANTS)


@pytest.mark.slow
@needs_pdfdetach
@pytest.mark.parametrize("pdf_variant", slow_beyond(1, WITH_CONTENT))
def test_the_content_is_attached(pdf_variant: str, tmp_path: Path) -> None:
    """The file content.json inside a PDF is the one whose digest stands on its page."""
    files = attached(made(pdf_variant), tmp_path)

    assert files == {"content.json": canonical_json(LANDING)}
    assert hashlib.sha256(files["content.json"]).hexdigest() == digest(LANDING)


@pytest.mark.slow
@needs_pdfdetach
@pytest.mark.parametrize("pdf_variant", slow_beyond(1, WITHOUT_CONTENT))
def test_a_standard_without_files_gets_none(pdf_variant: str, tmp_path: Path) -> None:
    """PDF/A-2 admits no file that is not PDF/A, so none is attached."""
    assert attached(made(pdf_variant), tmp_path) == {}


@pytest.mark.slow
@pytest.mark.parametrize("pdf_variant", ["pdf/ua-1", "pdf/a-3a"])
def test_the_attached_file_is_dated_by_the_record(pdf_variant: str) -> None:
    """The dates of the attached file are the record's instant, in another process too."""
    here = made(pdf_variant)
    there = made_again(AGAIN, pdf_variant)

    assert there == here
    assert b"/CreationDate (D:20260907150405Z)" in here
    assert b"/ModDate (D:20260907150405Z)" in here


@pytest.mark.slow
def test_the_relation_of_the_attached_file_is_told() -> None:
    """PDF/A-3 says what an attached file is to the page: its source."""
    assert re.search(rb"/AFRelationship ?/Source\b", unpacked(made("pdf/a-3b")))


@pytest.mark.parametrize(
    ("kind", "pdf_variant", "expected"),
    [
        ("pdf", "pdf/a-1b", f'unknown PDF variant "pdf/a-1b"; use one of {LIST}'),
        ("pdf", "a-3b", f'unknown PDF variant "a-3b"; use one of {LIST}'),
        ("pdf", "debug", f'unknown PDF variant "debug"; use one of {LIST}'),
        ("html", "pdf/a-3b", "--pdf-variant pdf/a-3b is for a .pdf, not a .html"),
        ("xlsx", "pdf/ua-1", "--pdf-variant pdf/ua-1 is for a .pdf, not a .xlsx"),
        ("json", "pdf/a-2a", "--pdf-variant pdf/a-2a is for a .pdf, not a .json"),
    ],
)
def test_another_standard_or_kind_is_refused(kind: str, pdf_variant: str, expected: str) -> None:
    """A standard we do not make, or one for what is no PDF, is wrong usage."""
    choices = RenderChoices(pdf_variant=pdf_variant)
    with pytest.raises(WrongUsage) as caught:
        render(LANDING, kind, recorded_at=RECORDED_AT, choices=choices)

    assert worded(caught.value) == expected


@pytest.mark.slow
@pytest.mark.skipif(shutil.which("pdftotext") is None, reason="pdftotext is not installed")
def test_the_command_makes_the_pdf_that_its_page_names(yard: Yard, tmp_path: Path) -> None:
    """`--pdf-variant` decides, and the page's own command names it; the usual one is not named."""
    build(yard)
    words = ("report", "variations", "--job", "STAGE", "--status-date", "2026-03-22", "--out")

    def text_of(name: str, *more: str) -> str:
        yard.run(*words, tmp_path / name, *more)
        command = ["pdftotext", "-raw", str(tmp_path / name), "-"]
        taken = subprocess.run(command, capture_output=True, text=True, check=True).stdout
        return " ".join(taken.split())

    long_kept = text_of("a.pdf", "--pdf-variant", "pdf/a-3a")
    usual = text_of("b.pdf")

    assert "--out variations.pdf --pdf-variant pdf/a-3a" in long_kept
    assert "--out variations.pdf" in usual
    assert "--pdf-variant" not in usual


def test_a_page_in_the_browser_names_no_pdf() -> None:
    """The command on an HTML page is as it was."""
    text = Elements(render(LANDING, "html", recorded_at=RECORDED_AT).decode()).text

    assert "--pdf-variant" not in text
