"""Names that a person confirms to be a worker's: facts, by which sheets are read from then on."""

from collections.abc import Sequence

from ledger.domain.codes import code_of, name_of
from ledger.errors import Refused, Remedy
from ledger.sheets.outcomes import AliasesConfirmed
from ledger.sheets.reversals import reason_of
from ledger.sheets.worker_names import CrewNames
from ledger.store.batches import Batch
from ledger.store.book import Book


def confirm_aliases(
    book: Book, batch: Batch, aliases: Sequence[str], worker: str, reason: str
) -> AliasesConfirmed:
    """Keep names as aliases of a worker of the crew.

    Raises: Refused for a worker who is not in the crew, and a name that leads to another.
    """
    why, code, names = reason_of(reason), code_of(worker), CrewNames(book)
    if code not in names.crew:
        raise Refused("alias_worker_unknown", worker=code, remedy=Remedy("show", what="crew"))
    by_name = {name_of(alias): " ".join(alias.split()) for alias in aliases}
    for name, alias in by_name.items():
        _refuse(names, name, alias, code)
    fresh = [alias for name, alias in by_name.items() if code not in names.workers(name)]
    batch.append(
        "worker_alias",
        {
            "alias": fresh,
            "worker_id": [code for _ in fresh],
            "reason": [why for _ in fresh],
        },
    )
    return AliasesConfirmed(code, len(fresh), len(by_name) - len(fresh))


def _refuse(names: CrewNames, name: str, alias: str, worker: str) -> None:
    if not name:
        raise Refused("alias_blank")
    others = [each for each in names.workers(name) if each != worker]
    if not others:
        return
    confirmed = [each for each in others if (name, each) in names.aliases]
    if confirmed:
        listed = Remedy("show", what="worker_alias")
        raise Refused("alias_of_another", alias=alias, worker=confirmed[0], remedy=listed)
    raise Refused("alias_is_name", alias=alias, workers=tuple(others))
