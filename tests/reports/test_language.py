"""Owner's pages in the owner's language: every word is a message, and every message translated."""

import gettext
import io
import re
import zlib
from collections.abc import Iterator
from dataclasses import fields, is_dataclass, replace
from datetime import date
from decimal import Decimal
from html import unescape
from string import Formatter
from typing import Any

import openpyxl
import pytest

from ledger import language
from ledger.language import Language, catalog_of, fault_of_tag, languages, speaking
from ledger.reports.dates import written
from ledger.reports.designs import DESIGNS
from ledger.reports.figures import number_text
from ledger.reports.owner.additions import agreed_words
from ledger.reports.owner.moved import moved_since
from ledger.reports.rendering import RenderChoices, render
from tests.house.test_imports import all_imports
from tests.reports._landing import LANDING, RECORDED_AT
from tests.reports._letters import LETTERS, ODD
from tests.reports._messages import messages
from tests.reports._owner_job import NOTHING_ASKED, VIEW
from tests.reports.test_daywork_backup import backup
from tests.reports.test_moved import before

COMPARED = replace(
    LANDING,
    moved=moved_since(before(), LANDING),
    number="LANDING-ST-002",
    issued_on=date(2026, 9, 8),
    prepared_by="Ina Holm",
    rehearsal=True,
)
EVERY: dict[str, Any] = {
    **LETTERS,
    **ODD,
    "statement": LANDING,
    "compared": COMPARED,
    "daywork of a claim": backup(4, 2),
    "job": VIEW,
    "job, nothing asked": NOTHING_ASKED,
}
OTHERS = languages()[1:]
BODY = re.compile(r"<body>.*</body>", re.DOTALL)
SCRIPT = re.compile("<script>.*?</script>", re.DOTALL)
NAMED = re.compile(r'(?:alt|aria-label)="([^"]*)"')
MARKED = re.compile("⟦[^⟦⟧]*⟧")
WORD = re.compile(r"[^\W\d_]{2,}")
HEX = re.compile(r"\b[0-9a-f]{8,}\b")


def made(view: Any, kind: str, tag: str) -> bytes:
    return render(view, kind, recorded_at=RECORDED_AT, choices=RenderChoices(language=tag))


def words_of(page: bytes) -> str:
    """Return what a reader of a page comes across, alternative texts among it."""
    body = BODY.search(SCRIPT.sub("", page.decode()))
    assert body
    return unescape(" ".join([re.sub("<[^>]*>", " ", body[0]), *NAMED.findall(body[0])]))


def texts_in(value: Any) -> Iterator[str]:
    """Yield every text that a view model holds as a fact."""
    if isinstance(value, str):
        yield value
    elif isinstance(value, tuple):
        for each in value:
            yield from texts_in(each)
    elif is_dataclass(value) and not isinstance(value, type):
        for each in fields(value):
            if each.name not in {"how_to_read", "caution"}:
                yield from texts_in(getattr(value, each.name))


class Marks(gettext.NullTranslations):
    """Messages in English, each between marks."""

    def gettext(self, message: str) -> str:
        return f"⟦{message}⟧"

    def ngettext(self, msgid1: str, msgid2: str, n: int) -> str:
        return f"⟦{msgid1 if n == 1 else msgid2}⟧"


class Marked(Language):
    """English with a mark around every message, and dates in digits."""

    messages = Marks()

    def written(self, day: date) -> str:
        return day.isoformat()


def unmarked(words: str, view: Any) -> set[str]:
    """Return the words that stand in no message and are no fact of the view either."""
    while MARKED.search(words):
        words = MARKED.sub(" ", words)
    facts = " ".join(texts_in(view)).casefold()
    return {word for word in WORD.findall(HEX.sub(" ", words)) if word.casefold() not in facts}


@pytest.fixture
def marked(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(language, "language_of", Marked)


def test_every_page_for_owners_is_read_here() -> None:
    """A design for owners that is added is found by itself."""
    assert {type(view) for view in EVERY.values()} == {
        kind for kind, design in DESIGNS.items() if design.is_owners
    }


@pytest.mark.usefixtures("marked")
@pytest.mark.parametrize("name", EVERY)
def test_every_word_of_an_owners_page_is_a_message(name: str) -> None:
    """What is on a page is a fact of its view or a message that can be translated."""
    view = EVERY[name]

    assert unmarked(words_of(made(view, "html", "de")), view) == set()


@pytest.mark.usefixtures("marked")
def test_every_word_of_a_workbook_is_a_message() -> None:
    """The statement's workbook holds facts and messages alone, the names of its sheets too."""
    book = openpyxl.load_workbook(io.BytesIO(made(LANDING, "xlsx", "de")))
    cells = [cell for sheet in book for row in sheet.values for cell in row]
    found = [*book.sheetnames, *(cell for cell in cells if isinstance(cell, str))]

    assert unmarked(" ".join(found), LANDING) == set()


@pytest.mark.parametrize("tag", OTHERS)
def test_every_message_is_translated(tag: str) -> None:
    """A language has each message of the code, no other, none doubtful, placeholders alike."""
    catalog = catalog_of(tag)
    translated = {message.id: message for message in catalog if message.id}

    assert set(translated) == set(messages())
    assert not catalog.obsolete
    for key, message in translated.items():
        pairs = zip(key, message.string, strict=True) if isinstance(key, tuple) else ()
        for english, other in pairs or ((key, message.string),):
            assert other, key
            assert not message.fuzzy, key
            assert places(english) == places(other), key
            assert edges(english) == edges(other), key


def places(message: str) -> list[str]:
    return sorted(name for _, name, _, _ in Formatter().parse(message) if name is not None)


def edges(message: str) -> tuple[str, str, bool]:
    """Return the blanks around a message, and whether it ends as a sentence."""
    return (
        message[: len(message) - len(message.lstrip())],
        message[len(message.rstrip()) :],
        message.endswith("."),
    )


@pytest.mark.parametrize("tag", OTHERS)
@pytest.mark.parametrize("name", EVERY)
def test_no_english_is_left(name: str, tag: str) -> None:
    """A page in another language says its language and has no message in English on it."""
    page = made(EVERY[name], "html", tag)
    words, facts = words_of(page), " ".join(texts_in(EVERY[name]))
    english = {one if isinstance(one, str) else one[0] for one in messages()}
    pieces = {piece.strip() for each in english for piece in re.split(r"\{\w*\}", each)}

    assert f'<html lang="{tag}">'.encode() in page
    assert [p for p in pieces if len(p) > 14 and p in words and p not in facts] == []


@pytest.mark.parametrize("name", ["quotation", "statement"])
def test_content_has_no_language(name: str) -> None:
    """The canonical content and its digest are the same in every language."""
    view = EVERY[name]

    assert made(view, "json", "de") == made(view, "json", "en")


def test_a_pdf_names_its_language() -> None:
    """Whoever has a page read aloud hears it in its own language."""
    made_of = made(LETTERS["notice"], "pdf", "de-AT")
    packed = re.findall(rb"stream\n(.*?)\nendstream", made_of, re.DOTALL)

    assert any(b"/Lang (de-AT)" in zlib.decompress(each) for each in packed if each[:1] == b"x")


@pytest.mark.parametrize(
    ("tag", "number", "day"),
    [
        ("en", "−1 234 567.50", "2 October 2026"),
        ("en-US", "−1,234,567.50", "October 2, 2026"),
        ("de", "−1.234.567,50", "2. Oktober 2026"),
        ("en-GB", "−1,234,567.50", "2 October 2026"),
    ],
)
def test_numbers_and_dates_are_those_of_the_locale(tag: str, number: str, day: str) -> None:
    """Groups and the decimal mark are the locale's; decimals and a true minus stay."""
    with speaking(tag):
        shown = number_text(Decimal("-1234567.50")), written(date(2026, 10, 2))

    assert shown == (
        number.replace(" ", "\N{NO-BREAK SPACE}"),
        day.replace(" ", "\N{NO-BREAK SPACE}"),
    )
    assert number_text(1234) == "1\N{NO-BREAK SPACE}234"


@pytest.mark.parametrize("tag", ["fr", "de_AT", "DE", "de-XX", "", "d", "deutsch"])
def test_an_unknown_language_is_refused(tag: str) -> None:
    """A tag is that of a language there is, perhaps with a country, as RFC 5646 writes it."""
    assert fault_of_tag(tag) == (
        f'"{tag}" is not a known language; use en, de, or one with its country, as de-AT'
    )


@pytest.mark.parametrize(
    ("addition", "german"),
    [
        ("", ""),
        ("+12.5 %", "+12,5 %"),
        ("10 % of the price", "10 % vom Preis"),
        ("+120 % on 1 234.50", "+120 % auf 1.234,50"),
        ("10 % of the price on −0.50", "10 % vom Preis auf −0,50"),
    ],
)
def test_an_agreed_percentage_is_said_in_the_language(addition: str, german: str) -> None:
    """The view has a percentage in English; a page has it by the locale."""
    with speaking("de"):
        assert agreed_words(addition) == german
    assert agreed_words(addition) == addition


def test_one_module_alone_imports_babel() -> None:
    """Babel takes time to load: one module asks for it, and only when it is needed."""
    found = {each.path for each in all_imports() if each.distribution == "babel"}

    assert found == {"ledger/language.py"}
