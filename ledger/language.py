"""The language of a page: its messages, its dates and its numbers.

English stands in the code. The messages of every other language are in languages/*.po, in gettext's
form. What is written while `speaking` a language is written in that language; without it, English.
Babel is imported here alone, and not at all for English.
"""

import gettext
import io
from collections.abc import Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from datetime import date
from functools import cache, cached_property
from pathlib import Path
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from babel import Locale

CATALOGS = Path(__file__).parent / "languages"
ENGLISH = "en"
MINUS = "\N{MINUS SIGN}"
TOGETHER = "\N{NO-BREAK SPACE}"
NARROW = "\N{NARROW NO-BREAK SPACE}"  # That of the packaged font is hardly seen.


class Language:
    """A language other than plain English, by its tag, such as de or de-AT."""

    def __init__(self, tag: str) -> None:
        self.tag = tag

    @cached_property
    def locale(self) -> "Locale":
        from babel import Locale

        return Locale.parse(self.tag, sep="-")

    @cached_property
    def messages(self) -> gettext.NullTranslations:
        language = self.locale.language
        return gettext.NullTranslations() if language == ENGLISH else messages_of(language)

    def written(self, day: date) -> str:
        """Return the date written out as the language has it."""
        from babel.dates import format_date

        return format_date(day, "long", locale=self.locale).replace(" ", TOGETHER)

    def digits(self, plain: str) -> str:
        """Return a number that has commas and a point with the marks of the language."""
        return plain.translate(self._marks)

    @cached_property
    def _marks(self) -> dict[int, str]:
        from babel.numbers import get_decimal_symbol, get_group_symbol

        group = get_group_symbol(self.locale).replace(NARROW, TOGETHER)
        return str.maketrans({",": group, ".": get_decimal_symbol(self.locale)})


_SPOKEN: ContextVar[Language | None] = ContextVar("spoken", default=None)


@contextmanager
def speaking(tag: str) -> Iterator[None]:
    """Write what is written meanwhile in a language; en is the English of the code."""
    before = _SPOKEN.set(None if tag in {"", ENGLISH} else language_of(tag))
    try:
        yield
    finally:
        _SPOKEN.reset(before)


@cache
def language_of(tag: str) -> Language:
    return Language(tag)


def spoken() -> Language | None:
    """Return the language that is spoken, None for the English of the code."""
    return _SPOKEN.get()


def spoken_tag() -> str:
    """Return the tag of the language spoken, by RFC 5646."""
    language = _SPOKEN.get()
    return language.tag if language else ENGLISH


def _(message: str) -> str:
    """Return the message in the language spoken; its placeholders are still to be filled."""
    language = _SPOKEN.get()
    return language.messages.gettext(message) if language and message else message


def ngettext(one: str, many: str, count: int) -> str:
    """Return the message for one, or for another count, in the language spoken."""
    language = _SPOKEN.get()
    if language:
        return language.messages.ngettext(one, many, count)
    return one if count == 1 else many


def fault_of_tag(tag: str) -> str | None:
    """Return what is wrong with a tag, None when pages can be written in that language."""
    if tag == ENGLISH:
        return None
    from babel import Locale, UnknownLocaleError

    try:
        locale = Locale.parse(tag, sep="-")
    except (ValueError, UnknownLocaleError):
        locale = None
    if locale and locale.language in languages() and str(locale).replace("_", "-") == tag:
        return None
    known = ", ".join(languages())
    return f'"{tag}" is not a known language; use {known}, or one with its country, as de-AT'


def languages() -> tuple[str, ...]:
    """Return the languages that pages can be written in."""
    return (ENGLISH, *sorted(path.stem for path in CATALOGS.glob("*.po")))


@cache
def messages_of(language: str) -> gettext.GNUTranslations:
    """Return the messages of a language; what is marked as doubtful is left out."""
    from babel.messages.mofile import write_mo

    compiled = io.BytesIO()
    write_mo(compiled, catalog_of(language))
    compiled.seek(0)
    return gettext.GNUTranslations(compiled)


def catalog_of(language: str) -> Any:
    """Return the catalogue of a language as its file has it."""
    from babel.messages.pofile import read_po

    with (CATALOGS / f"{language}.po").open("rb") as file:
        return read_po(file, locale=language)
