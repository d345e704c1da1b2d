"""Price lines as they are typed: carpenter=12, omit DECK=10, material "Ash rail"=10x25.00."""

import re

KINDS = ("material", "subcontract", "plant")
_LABOUR = re.compile(r"(?P<trade>[^=/]+)(?:/(?P<grade>[^=]+))?=(?P<hours>[^=]+)")
_OMISSION = re.compile(r"(?P<work_package>[^=/]+)(?:/(?P<trade>[^=]+))?=-?(?P<hours>[^=]+)")
_OTHER = re.compile(r"(?P<description>.+)=(?P<quantity>[^=]+?) ?[x*] ?(?P<unit_price>[^=]+)")


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


def of_kind(kind: str, text: str) -> dict[str, str]:
    """Return a line of a kind: labour, omit, or one by quantity. Raises: ValueError as `labour`."""
    readers = {"labour": labour, "omit": omission}
    return readers[kind](text) if kind in readers else other(kind, text)


def of_any(text: str) -> dict[str, str]:
    """Return a line that begins with its kind; without one it is labour.

    Raises: ValueError as `labour`.
    """
    kind, _, rest = text.partition(" ")
    if kind.lower() in KINDS:
        return other(kind.lower(), rest)
    return omission(rest) if kind.lower() == "omit" else labour(text)


def _read(pattern: re.Pattern[str], text: str, example: str) -> dict[str, str]:
    match = pattern.fullmatch(text.strip())
    if not match:
        raise ValueError(f'"{text}" cannot be read; write it as {example}')
    return {name: found.strip() for name, found in match.groupdict().items() if found}
