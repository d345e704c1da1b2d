"""Settings of tax and exchange, by the day from which they hold: typed, never known by themselves.

`tax_categories.S.2026-01-01` is the rate of a category in percent, `exchange_rates.NOK.2026-05-29`
what one unit of a currency is in the yard's own. Beside the days stand texts: the reason why a
category bears no tax, the source of a rate.
"""

from collections.abc import Collection, Iterator
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from ledger.domain.currencies import CURRENCIES
from ledger.domain.parsing import parse_date, parse_decimal, parse_name
from ledger.domain.tax_categories import CATEGORIES
from ledger.inputs.job_values import as_written, number_text
from ledger.tables.toml_keys import KeyPath, TomlFile

Found = Iterator[tuple[KeyPath, str, str]]
REASON, CODE, SOURCE = "reason", "code", "source"
HIGHEST_RATE = Decimal(100)


@dataclass(frozen=True)
class Dated:
    """A table of settings: what its tables may be called, and which texts stand beside days."""

    known: Collection[str]
    texts: tuple[str, ...]
    most: Decimal | None
    example: str


BY_DAY = {
    "tax_categories": Dated(tuple(CATEGORIES), (REASON, CODE), HIGHEST_RATE, "2026-01-01 = 21"),
    "exchange_rates": Dated(CURRENCIES, (SOURCE,), None, "2026-05-29 = 0.0852"),
}


def by_day(file: TomlFile, section: str, content: dict[str, Any]) -> Found:
    """Yield the settings of a table whose tables hold figures by day."""
    for name in file.refuse_unknown((section,), content, BY_DAY[section].known):
        if isinstance(content[name], dict):
            yield from _of_one(file, (section, name), content[name])
        else:
            what = f"{section}.{name} is not a table; write [{section}.{name}]"
            file.fault((section, name), what)


def _of_one(file: TomlFile, path: KeyPath, content: dict[str, Any]) -> Found:
    section, named = BY_DAY[str(path[0])], ".".join(map(str, path))
    for key, value in content.items():
        try:
            if key in section.texts:
                yield (*path, key), f"{named}.{key}", _text(value)
            else:
                day = parse_date(key)
                yield (*path, key), f"{named}.{day}", _figure(value, section.most)
        except ValueError as error:
            use = f"write {section.example}, or one of {', '.join(section.texts)}"
            file.fault((*path, key), f"{named}.{key}: {error}; {use}")


def _text(value: object) -> str:
    if not isinstance(value, str):
        raise ValueError(f"{as_written(value)} is not text")
    return parse_name(value)


def rate_of(typed: str) -> str:
    """Return a rate of tax in percent. Raises: ValueError."""
    return _figure(typed.removesuffix("%").rstrip(), HIGHEST_RATE)


def _figure(value: object, most: Decimal | None) -> str:
    figure = parse_decimal(number_text(value))
    if figure <= 0 or (most is not None and figure > most):
        limit = f" and up to {most}" if most is not None else ""
        raise ValueError(f"{as_written(value)} is not above 0{limit}")
    return f"{figure:f}"
