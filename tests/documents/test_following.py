"""What follows from a document: the command that it prints, and the days that it names."""

import re
import shlex

import pytest

from tests._stage import JOB, table
from tests.documents._office import Office

PRINTED = re.compile(r"`fairhours ((?:submit price|record notice) [^`]*)`")
QUOTED = ("--valid-until", "2026-05-01", "--days", "2")


def printed(said: str) -> list[str]:
    """Return the words of the command that a document prints as the next."""
    found = PRINTED.search(said)
    assert found
    return shlex.split(found[1])


def events(office: Office, name: str) -> list[dict[str, str]]:
    """Return the events of a kind that were recorded, the newest last."""
    return [row for row in table(office, "change_event") if row["event"] == name]


def test_a_price_is_sent_as_quoted(office: Office) -> None:
    """The command that a quotation prints records its last day, days and revision."""
    said = office.issue("quotation", "CR2", *QUOTED).stderr
    recorded = office.at(*printed(said)).stderr
    sent = events(office, "submitted")[-1]

    assert (sent["change"], sent["revision"], sent["reference"]) == ("CR2", "1", "STAGE-Q-001")
    assert (sent["valid_until"], sent["days_requested"]) == ("2026-05-01", "2")
    assert "2 days requested" in recorded


def test_time_reserved_on_a_quotation_is_sent_open(office: Office) -> None:
    """Days that it leaves open, and a last day that it does not name, are not made up."""
    said = office.issue("quotation", "CR3", "--time-reserved").stderr
    office.at(*printed(said))
    sent = events(office, "submitted")[-1]

    assert (sent["change"], sent["valid_until"], sent["days_requested"]) == ("CR3", "", "")


ISSUES = "`fairhours issue quotation --job STAGE {}` issues another\n"


def test_what_a_quotation_says_otherwise_is_refused(office: Office) -> None:
    """Another last day, other days, another revision or another change: nothing is written."""
    office.issue("quotation", "CR2", *QUOTED)
    office.issue("quotation", "CR3", "--time-reserved")
    submit = ("submit", "price", "--job", JOB)
    said = {
        words: office.at(*submit, *words, ok=False).stderr
        for words in (
            ("CR2", "--reference", "stage-q-001", "--valid-until", "2026-06-30"),
            ("CR2", "--reference", "STAGE-Q-001", "--days-requested", "0"),
            ("CR2", "--reference", "STAGE-Q-001", "--revision", "2"),
            ("CR3", "--reference", "STAGE-Q-002", "--days-requested", "1"),
            ("CR3", "--reference", "STAGE-Q-002", "--valid-until", "2026-06-30"),
            ("CR2", "--reference", "STAGE-Q-002"),
        )
    }

    assert list(said.values()) == [
        "STAGE-Q-001 is valid until 2026-05-01, not 2026-06-30; " + ISSUES.format("CR2"),
        "STAGE-Q-001 asks for 2 days, not 0; " + ISSUES.format("CR2"),
        "STAGE-Q-001 is of revision 1, not 2; " + ISSUES.format("CR2"),
        "STAGE-Q-002 reserves the time and asks for no days, not 1; " + ISSUES.format("CR3"),
        "STAGE-Q-002 names no day that it is valid until, not 2026-06-30; " + ISSUES.format("CR3"),
        "STAGE-Q-002 is a quotation of CR3, not of CR2\n",
    ]
    assert [row["change"] for row in events(office, "submitted")] == ["CR1"]


def test_the_same_as_quoted_may_be_typed(office: Office) -> None:
    """What agrees with the quotation is no contradiction, nor is another reference."""
    office.issue("quotation", "CR2", *QUOTED)
    same = ("--valid-until", "2026-05-01", "--days-requested", "2", "--revision", "1")
    submit = ("submit", "price", "--job", JOB)
    office.at(*submit, "CR2", "--reference", "STAGE-Q-001", *same)
    office.at(*submit, "CR3", "--reference", "letter 9", "--valid-until", "2026-05-02")

    assert [row["valid_until"] for row in events(office, "submitted")][-2:] == [
        "2026-05-01",
        "2026-05-02",
    ]


def test_a_notice_prints_the_day_it_names(office: Office) -> None:
    """The command that records it has the day the yard became aware of the event."""
    said = office.issue("notice", "CR3", "--aware-on", "2026-03-20").stderr
    office.at(*printed(said))
    recorded = events(office, "notified")[-1]

    assert (recorded["aware_on"], recorded["document"]) == ("2026-03-20", "STAGE-N-001")


@pytest.mark.parametrize(
    ("words", "limits", "due"),
    [
        (("--needed-by", "2026-04-12"), "", "reply due 2026-04-12"),
        ((), "", "reply due 2026-04-20"),
        (("--needed-by", "2026-04-12"), "decision_request = 28", "reply due 2026-04-12"),
    ],
)
def test_a_reply_is_due_on_the_day_a_request_names(
    office: Office, words: tuple[str, ...], limits: str, due: str
) -> None:
    """The day on the page comes before the settings' days, and before what its change says now."""
    if limits:
        text = f"[reply_limits]\n{limits}\n"
        office.at("load", "settings", office.write("limits.toml", text))
    office.issue("decision-request", "CR2", *words)
    send = ("record", "sending", "STAGE-RD-001", "--to", "Jonna Merrick", "--by", "email")

    assert office.at(*send).stderr.splitlines()[0].endswith(due)
    assert office.documents()[0]["due_on"] == due.split()[-1]


def test_an_instruction_by_word_asks_for_its_letter(office: Office) -> None:
    """The command prints the next, and it is to do until that is done; a reference needs none."""
    instruct = ("instruct", "change", "--job", JOB, "--person", "Jonna Merrick")
    verbal = office.at(*instruct, "CR3", "--date", "2026-04-02").stderr
    before = unwritten(office)
    found = re.search(r"`fairhours (issue instruction-confirmation [^`]*)`", verbal)
    assert found
    office.at(*shlex.split(found[1].replace("confirmation.pdf", f"{office.folder}/c.html")))
    office.at("request", "change", "--job", JOB, "CR4", "--title", "Gate", *ASKED)
    written = office.at(*instruct, "CR4", "--reference", "site note 4").stderr

    assert (before, unwritten(office)) == (["CR3"], [])
    assert "instruction-confirmation" not in written


ASKED = ("--requested-by", "Jonna Merrick", "--basis", "fixed_price", "--description", "A gate.")


def unwritten(office: Office) -> list[str]:
    """Return the changes that are to be put in writing."""
    status = office.json("status", "--job", JOB, "--status-date", "2026-04-02")
    of_kind = [each["changes"] for each in status["to_do"] if "unwritten" in each["what"]]
    return of_kind[0] if of_kind else []
