"""What is held of a worker, for machines."""

from ledger.commands.as_json import Json, known_at
from ledger.commands.erasing import WorkerHeld


def worker_held_json(held: WorkerHeld) -> Json:
    """Return what is held of a worker by kind, every id of it, and what becomes of it."""
    return {
        "worker_id": held.worker,
        "names": held.names,
        "holdings": [
            {
                "what": each.what,
                "count": len(each.ids),
                "if_forgotten": each.fate,
                "named": each.named,
                "until": each.until,
                "ids": each.ids,
            }
            for each in held.holdings
        ],
        "known_at": known_at(held.stamp),
    }
