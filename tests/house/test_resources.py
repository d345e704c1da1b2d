"""The package finds its queries, templates and sample data, or says what is missing."""

from pathlib import Path

import pytest

from ledger import resources

ROOT = Path(__file__).resolve().parents[2]


@pytest.mark.parametrize("kind", ["queries", "templates", "sample_data"])
def test_a_checkout_has_its_resources_beside_the_package(kind: str) -> None:
    """In a checkout the folders beside the package are found, with something in them."""
    actual = resources.root(kind)

    assert actual == ROOT / kind
    assert list(actual.iterdir()) != []


def test_the_folder_inside_the_package_comes_first(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """An installed package reads its own folder, whatever lies beside it."""
    (tmp_path / "_queries").mkdir()
    monkeypatch.setattr(resources, "files", lambda package: tmp_path)
    actual = resources.root("queries")

    assert actual == tmp_path / "_queries"


def test_a_missing_resource_is_named_with_both_places(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Where a folder is found nowhere, the error names it, both places and the way out."""
    module = tmp_path / "ledger" / "resources.py"
    monkeypatch.setattr(resources, "files", lambda package: tmp_path / "ledger")
    monkeypatch.setattr(resources, "__file__", str(module))
    with pytest.raises(FileNotFoundError) as caught:
        resources.root("queries")
    folder = tmp_path.resolve()

    assert str(caught.value) == (
        f"queries: neither {tmp_path / 'ledger' / '_queries'} nor {folder / 'queries'} exists; "
        "install fairhours again, or run it from a complete checkout"
    )
