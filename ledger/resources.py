"""Where the queries, the templates and the sample data lie, installed or in a checkout."""

from importlib.resources import files
from importlib.resources.abc import Traversable
from pathlib import Path


def root(kind: str) -> Traversable:
    """Return the folder of `kind`: "queries", "templates" or "sample_data".

    A wheel carries it inside the package, as `_queries`; a checkout and an editable install have it
    beside the package. The one inside is preferred.

    Raises: FileNotFoundError when neither is there, naming both places.
    """
    packed = files("ledger") / f"_{kind}"
    if packed.is_dir():
        return packed
    beside = Path(__file__).resolve().parent.parent / kind
    if beside.is_dir():
        return beside
    raise FileNotFoundError(
        f"{kind}: neither {packed} nor {beside} exists; "
        "install fairhours again, or run it from a complete checkout"
    )
