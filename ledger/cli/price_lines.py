"""Price lines as they are typed: carpenter=12, omit DECK=10, material "Ash rail"=10x25.00.

A percentage of a line's own follows it: Ash rail=10x25.00 + 15 %.
"""

import re

WORDS = ("labour", "omit", "premium", "material", "subcontract", "plant", "addition")
_LABOUR = re.compile(r"(?P<trade>[^=/]+)(?:/(?P<grade>[^=]+))?=(?P<hours>[^=]+)")
_OMISSION = re.compile(r"(?P<work_package>[^=/]+)(?:/(?P<trade>[^=]+))?=-?(?P<hours>[^=]+)")
_OTHER = re.compile(r"(?P<description>.+)=(?P<quantity>[^=]+?) ?[x*] ?(?P<unit_price>[^=]+)")
_PERCENT = r"(?P<addition_percent>[0-9][0-9.]*) ?%(?: (?:of|on) (?P<addition_on>cost|price))?"
_OWN = re.compile(rf"(?P<line>.+?) ?\+ ?{_PERCENT}")
_ADDITION = re.compile(
    rf"(?P<description>.+)=\+? ?{_PERCENT}(?: for (?P<addition_of>[a-z ,]+?))?"
    r"(?: (?P<addition_method>additive|compound))?"
)


def labour(text: str) -> dict[str, str]:
    """Return added labour: a trade, maybe a grade of it, and hours.

    Raises: ValueError, saying how it is written.
    """
    line = _read(_LABOUR, text, "carpenter=12 or carpenter/senior=7:30")
    return {"price_kind": "labour", **line}


def omission(text: str) -> dict[str, str]:
    """Return hours taken out of a package, maybe of one trade. Raises: ValueError as `labour`."""
    line = _read(_OMISSION, text, "DECK=10 or DECK/carpenter=10")
    return {"price_kind": "labour", **line, "hours": f"-{line['hours']}"}


def other(kind: str, text: str) -> dict[str, str]:
    """Return a line by quantity and unit price. Raises: ValueError as `labour`."""
    line = _read(_OTHER, text, "Ash rail=10 x 25.00")
    amount, _, unit = line["quantity"].partition(" ")
    return {"price_kind": kind, **line, "quantity": amount, **({"unit": unit} if unit else {})}


def premium(text: str) -> dict[str, str]:
    """Return labour without hours, as overtime premium. Raises: ValueError as `labour`."""
    line = _read(_OTHER, text, "Saturday premium=10 h x 12.50")
    amount, _, unit = line["quantity"].partition(" ")
    return {"price_kind": "labour", **line, "quantity": amount, "unit": unit or "h"}


def addition(text: str) -> dict[str, str]:
    """Return a percentage on the lines before it. Raises: ValueError as `labour`."""
    example = "Profit=8 %, Profit=20 % of price or Handling=15 % for material, plant compound"
    return {"price_kind": "addition", **_read(_ADDITION, text, example)}


def of_kind(kind: str, text: str) -> dict[str, str]:
    """Return a line of a kind: labour, omit, premium, addition, or one by quantity.

    It may have a percentage of its own. Raises: ValueError as `labour`.
    """
    if kind == "addition":
        return addition(text)
    own = _OWN.fullmatch(text.strip())
    bare = own["line"] if own else text
    added = (
        {name: cell for name, cell in _named_groups(own).items() if name != "line"} if own else {}
    )
    readers = {"labour": labour, "omit": omission, "premium": premium}
    return (readers[kind](bare) if kind in readers else other(kind, bare)) | added


def of_any(text: str) -> dict[str, str]:
    """Return a line that begins with its kind; without one it is labour.

    Raises: ValueError as `labour`.
    """
    kind, _, rest = text.partition(" ")
    return of_kind(kind.lower(), rest) if kind.lower() in WORDS else of_kind("labour", text)


def _read(pattern: re.Pattern[str], text: str, example: str) -> dict[str, str]:
    match = pattern.fullmatch(text.strip())
    if not match:
        raise ValueError(f'"{text}" cannot be read; write it as {example}')
    return _named_groups(match)


def _named_groups(match: re.Match[str]) -> dict[str, str]:
    return {name: group.strip() for name, group in match.groupdict().items() if group}
