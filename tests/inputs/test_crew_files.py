"""The crew: what a row leaves open about who pays the worker is said when it is loaded."""

from tests._stage import table
from tests.conftest import Yard

HEAD = "worker_id,name,trade,active_from,employment,supplier\n"


def test_a_supplier_without_employment_is_named_with_what_to_write(stage: Yard) -> None:
    """G1 and G2 would stand against payroll unseen; G3 says how it is paid, H1 has no supplier."""
    rows = (
        "G2,Ida Ray,welder,2026-03-02,,Holm\n"
        "G1,Ole Lund,welder,2026-03-02,,Holm\n"
        "G1,Ole Lund,welder,2026-03-16,,Holm\n"
        "G3,Mia Falk,welder,2026-03-02,agency,Holm\n"
        "H1,Una Voss,welder,2026-03-02,,\n"
    )
    loaded = stage.run("load", "crew", stage.write("gang.csv", HEAD + rows)).stderr
    put_right = stage.run(
        "load", "crew", stage.write("gang.csv", HEAD + rows.replace(",,Holm", ",agency,Holm"))
    ).stderr

    assert loaded.splitlines()[1:] == [
        "gang.csv: supplier without employment, counted as paid by payroll: G2, G1; where the "
        "supplier is paid for them, write agency or subcontract under employment"
    ]
    assert "supplier without employment" not in put_right
    assert {row["employment"] for row in table(stage, "crew") if row["supplier"]} == {"agency"}
