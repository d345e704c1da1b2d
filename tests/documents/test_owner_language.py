"""In which language an owner is written to: the job's, else the yard's, else English."""

from tests._stage import SAMPLE
from tests.documents._office import Office


def load_with(office: Office, thing: str, table: str, line: str) -> None:
    """Load the sample's settings or job with one more line in a table."""
    text = (SAMPLE / f"{thing}.toml").read_text(encoding="utf-8")
    assert table in text
    path = office.write(f"{thing}.toml", text.replace(table, f"{table}\n{line}", 1))
    office.at("load", thing, path)


def test_an_owner_is_written_to_in_their_language(office: Office) -> None:
    """The yard's locale holds for a job that says nothing, and the job's language before it."""
    load_with(office, "settings", "[yard]", 'locale = "de"')
    office.issue("quotation", "CR3")
    in_german = office.page("quotation", "CR3")
    load_with(office, "job", "[job]", 'language = "en-GB"')
    office.issue("quotation", "CR3")
    in_english = office.page("quotation", "CR3")

    assert '<html lang="de">' in in_german
    assert "<h1>Angebot</h1>" in in_german
    assert "2.\N{NO-BREAK SPACE}April\N{NO-BREAK SPACE}2026" in in_german
    assert '<html lang="en-GB">' in in_english
    assert "<h1>Quotation</h1>" in in_english
