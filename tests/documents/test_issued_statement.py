"""The owner's statement is issued with a number, and says what moved since the last one."""

import hashlib
import re
import shlex
from pathlib import Path

import pytest

from tests._stage import JOB, table
from tests.conftest import slow_beyond
from tests.documents._office import Office

EVENT_HEAD = "change,event,date,person,reference\n"
REPRODUCED = r"Digest of the content ([0-9a-f]{64}) To reproduce fairhours (.*?) --out"


def issued(office: Office, day: str, name: str, *words: str) -> str:
    """Issue a statement as HTML and return its text, blanks alike."""
    out = office.folder / f"{name}.html"
    told = ("--status-date", day, "--prepared-by", "Ida Roke", "--out", out)
    office.at("issue", "statement", "--job", JOB, *told, *words)
    text = re.sub("<[^>]*>", " ", out.read_text(encoding="utf-8").split("</style>")[-1])
    return " ".join(text.replace("\N{NO-BREAK SPACE}", " ").split())


@pytest.mark.slow
def test_a_statement_has_its_number_and_says_what_moved(office: Office) -> None:
    """The first has nothing to compare with; the next is compared with it as it was issued."""
    draft = issued(office, "2026-03-27", "draft", "--draft")
    first = issued(office, "2026-03-27", "first")
    office.load("change-events", f"{EVENT_HEAD}CR2,submitted,2026-04-01,Ada,letter 7\n")
    second = issued(office, "2026-04-02", "second")
    last, newest = (row for row in office.documents() if row["kind"] == "statement")

    assert "Draft, not issued" in draft
    assert "Statement No. STAGE-S-001" in first
    assert "Prepared by Ida Roke" in first
    assert "Since the last statement" not in first
    assert "Statement No. STAGE-S-002" in second
    assert "Since the last statement" in second
    assert (last["day_to"], newest["day_to"]) == ("2026-03-27", "2026-04-02")
    assert last["change"] is None
    office.run("check")


@pytest.mark.slow
def test_a_statement_of_an_earlier_day_is_compared_with_none(office: Office) -> None:
    """What was issued of a later day is not the last one of this."""
    issued(office, "2026-04-02", "later")
    earlier = issued(office, "2026-03-20", "earlier")

    assert "Statement No. STAGE-S-002" in earlier
    assert "Since the last statement" not in earlier


@pytest.mark.slow
def test_a_statement_of_a_closed_period_is_as_it_was_closed(office: Office) -> None:
    """Its figures and stamp are those before the closing; what came later moves the next one."""
    office.at("close", "period", "--to", "2026-03-31")
    stamp = int(office.run("check").stdout.split(".")[0])
    office.load("change-events", f"{EVENT_HEAD}CR2,submitted,2026-03-30,Ada,letter 7\n")
    march = issued(office, "2026-03-31", "march")
    april = issued(office, "2026-04-02", "april")

    assert f"Record stamp {stamp - 1} ·" in march
    assert "letter 7" not in march
    assert "Since the last statement" in april


@pytest.mark.parametrize("moved", slow_beyond(1, [False, True]))
def test_an_issued_statement_can_be_reproduced(
    office: Office, tmp_path: Path, *, moved: bool
) -> None:
    """The command that it prints makes the content whose digest it prints, what moved included."""
    if moved:
        issued(office, "2026-03-27", "first")
    page = issued(office, "2026-04-02", "second")
    printed = re.search(REPRODUCED, page)
    assert printed
    out = tmp_path / "again.json"
    office.run(*shlex.split(printed[2]), "--out", out)

    assert ("Since the last statement" in page) == moved
    assert hashlib.sha256(out.read_bytes()).hexdigest() == printed[1]
    assert table(office, "document")[-1]["content_digest"] == printed[1]
