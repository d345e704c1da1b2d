"""Words of other people, made fit for a page: nothing hidden in them, and not without end."""

import unicodedata
from dataclasses import fields, is_dataclass, replace
from typing import Any

from ledger.language import _
from ledger.reports.figures import number_text

SHOWN_INSTEAD = "\N{BLACK SQUARE}"  # The packaged font has it.
NAME_LENGTH = 40
TEXT_LENGTH = 400
DESCRIPTION_LENGTH = 2_000

# These belong to the spelling of some languages.
KEPT_FORMATS = {"\N{ZERO WIDTH NON-JOINER}", "\N{ZERO WIDTH JOINER}", "\N{SOFT HYPHEN}"}


def visible(text: str) -> str:
    """Return the text on one line, each control and direction mark shown as a square.

    A mark that turns the direction of what follows could make a figure read otherwise than it is.
    """
    return " ".join("".join(map(visible_character, text)).split())


def visible_character(character: str) -> str:
    if character.isspace():
        return " "
    hidden = unicodedata.category(character) in {"Cc", "Cf", "Cs", "Co"}
    return SHOWN_INSTEAD if hidden and character not in KEPT_FORMATS else character


def visible_throughout(view: Any) -> Any:
    """Return the view model with every text in it made visible."""
    if isinstance(view, str):
        return visible(view)
    if isinstance(view, tuple):
        return tuple(visible_throughout(part) for part in view)
    if is_dataclass(view) and not isinstance(view, type):
        names = [field.name for field in fields(view)]
        return replace(view, **{name: visible_throughout(getattr(view, name)) for name in names})
    return view


def cut(text: str, length: int) -> str:
    """Return the text, or its beginning and how long the whole is."""
    if len(text) <= length:
        return text
    cut_here = _("cut here, {count} characters in all").format(count=number_text(len(text)))
    return f"{text[:length].rstrip()}… [{cut_here}]"
