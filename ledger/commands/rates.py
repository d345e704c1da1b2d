"""Burdened rates built up from a file of items, and written as a file of rates to load."""

from dataclasses import dataclass
from datetime import date
from pathlib import Path

from ledger.commands.as_json import Json
from ledger.domain.burdened_rates import BuiltRate
from ledger.inputs.rate_files import RateOfTrade, read_rates
from ledger.outcomes import Outcome
from ledger.store.out_files import write_out


@dataclass(frozen=True)
class RatesBuilt(Outcome):
    """Rates with their build-up, by trade and grade."""

    rates: tuple[RateOfTrade, ...]


def build_rates(path: Path, places: int) -> RatesBuilt:
    """Return the rates that a file's items come to. Raises: Faults."""
    return RatesBuilt(tuple(read_rates(path, places)))


def write_rates(built: RatesBuilt, effective_from: date, out: Path) -> None:
    """Write the rates as a file that is loaded as rates. Raises: Refused when it cannot be."""
    lines = ["trade,grade,effective_from,cost_per_hour"]
    for each in built.rates:
        cells = (each.trade, each.grade or "", str(effective_from), str(each.built.rate))
        lines.append(",".join(map(_cell, cells)))
    write_out(out, ("\n".join(lines) + "\n").encode())


def _cell(text: str) -> str:
    return '"' + text.replace('"', '""') + '"' if any(each in text for each in ',"\n') else text


def rates_json(built: RatesBuilt) -> Json:
    """Return the rates with their lines, money and hours as they were rounded."""
    return {"rates": [_rate(each) for each in built.rates]}


def _rate(each: RateOfTrade) -> Json:
    return {
        "trade": each.trade,
        "grade": each.grade,
        "lines": [
            {
                "item": line.item.item,
                "item_kind": line.item.kind,
                "amount": line.money,
                "hours": line.hours,
            }
            for line in each.built.items
        ],
        "cost": each.built.cost,
        "hours": each.built.hours,
        "cost_per_hour": each.built.rate,
        "leave": each.built.leave,
        **({"periods": periods} if (periods := _periods(each.built)) else {}),
    }


def _periods(built: BuiltRate) -> Json:
    return {name: {"cost": cost, "hours": hours} for name, (cost, hours) in built.periods.items()}
