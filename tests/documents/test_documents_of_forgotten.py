"""Documents and signed scans outlast the name of a worker until their day, and are listed."""

import pytest

from tests.documents._office import Office
from tests.documents.test_register import SEND

WHY = ("--reason", "asked for by letter")


@pytest.mark.slow
def test_documents_and_scans_stay_with_their_day(office: Office) -> None:
    """The document and the scan of its reply are named with the day; the name itself is gone."""
    office.issue("variation-order", "CR1")
    office.at("record", "sending", "STAGE-VO-001", *SEND)
    scan = office.write("Ada Brunt signed.txt", "signed: Ada Brunt")
    office.at("record", "reply", "STAGE-VO-001", "--person", "Jo Lind", "--attach", scan)
    told = office.at("forget", "worker", "A1", *WHY).stderr.splitlines()
    until = "may show the name, kept until 2036-04-02: STAGE-VO-001"
    stays = [line.partition(" (")[0] for line in told if line.startswith("may show")]
    ids = [line.partition(" (")[2] for line in told if line.startswith(until)]

    assert stays == [until, until]
    assert [each.partition(":")[0] for each in ids] == ["attachment", "document"]
    assert any(line.startswith("worker_name:") for line in told)
    office.run("check")
