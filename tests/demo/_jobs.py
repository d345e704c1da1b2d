"""The two jobs: their cards, packages and milestones."""

from dataclasses import dataclass, field


@dataclass(frozen=True)
class Package:
    """A work package: yard's weeks planned, hours by trade, and what it took in the end.

    `took` is percent of the budget, `slip` weeks later than planned, `longer` weeks more.
    """

    job: str
    code: str
    title: str
    account: str
    technique: str
    weeks: tuple[int, int]
    hours: dict[str, int]
    took: int = 100
    slip: int = 0
    longer: int = 0
    spread: str = ""
    quantity: int = 0
    unit: str = ""
    start_share: str = ""
    base: str = ""
    kind: str = ""
    milestones: tuple[tuple[str, int, int], ...] = field(default=())


TRADES = {
    "s": "shipwright",
    "p": "plater",
    "w": "welder",
    "f": "fitter",
    "e": "electrician",
    "c": "painter",
}
TECHNIQUES = {
    "pc": "percent_complete",
    "uc": "units_complete",
    "wm": "weighted_milestone",
    "ff": "fixed_formula",
    "ae": "apportioned_effort",
    "le": "level_of_effort",
}

# code | title | account | technique and particulars | weeks | hours by trade | took slip longer
FERRY_TABLE = """
H01|Lofting, cutting lists and templates|hull|pc early|1-4|p150 s130|96 0 0
H02|Bottom plating and longitudinals|hull|pc middle|2-10|p430 w400|95 0 1
H03|Frames and bulkheads|hull|uc 24 frame|4-14|p420 w410|100 0 2
H04|Side shell plating|hull|uc 24 plate even|9-18|p360 w420|110 1 2
H05|Rubbing strakes and fender posts|hull|ff 0.25|21-25|p90 w70 s60|103 2 0
H06|Deck beams and steel deck|hull|wm|14-23|p380 w460|108 2 1
H07|Hatches, manholes and coamings|hull|uc 14 hatch late|18-26|p180 w160|94 2 0
H08|Weld inspection and tightness tests|hull|wm|11-26|w140 p90|103 2 1
H09|Skegs and cable fairlead seats|hull|pc late|17-24|p150 w130|99 2 0
H10|Fairing and straightening|hull|ae H04|9-18|p110|112 1 2
R01|Ramp frames, bow and stern|ramps|uc 14 member|21-29|p240 w270|104 2 0
R02|Ramp hinges and pins|ramps|ff 0.5|26-30|f140 w60|106 2 0
R03|Ramp timber treads|ramps|uc 96 tread|31-35|s170|92 2 0
R04|Ramp hydraulics|ramps|pc middle|28-35|f230|108 2 1
D01|Timber selection, drying and machining|deck|pc early|6-18|s340|98 0 0
D02|Deck grounds and bedding|deck|pc|19-25|s300|106 1 0
D03|Laying the deck|deck|uc 210 plank middle|23-33|s900|107 2 1
D04|Caulking and paying seams|deck|uc 620 m|30-37|s430|95 2 0
D05|Bulwarks and rails|deck|pc middle|21-32|s400 w50|103 1 1
D06|Lashing points and kerbs|deck|uc 32 piece|29-34|p110 w70|101 2 0
D07|Passenger benches and lockers|deck|ff 0.5|33-38|s290|95 1 0
W01|Wheelhouse structure|deckhouse|wm|10-20|s420 p40|102 0 1
W02|Wheelhouse windows and doors|deckhouse|uc 11 opening|19-26|s220|110 1 1
W03|Wheelhouse linings and console|deckhouse|pc late|27-37|s320|100 2 1
W04|Passenger shelter|deckhouse|wm|24-34|s340 p110 w40|96 1 1
W05|Insulation of the wheelhouse|deckhouse|ff 0|26-28|s80|100 1 0
M01|Engine beds and seats|machinery|ff 0.5|15-19|p100 w80 f60|108 2 0
M02|Engine and generator|machinery|wm|19-28|f400|98 2 0
M03|Cable winch and drive sheaves|machinery|wm|21-33|f440|112 2 1
M04|Hydraulic power pack and pipework|machinery|pc|23-34|f370|105 2 0
M05|Fuel, bilge and fire lines|machinery|uc 16 run|21-33|f330|93 2 0
M06|Cooling and exhaust|machinery|ff 0.5|24-29|f150|99 2 0
M07|Ventilation trunks|machinery|ff 0.25|28-31|p110 f40|104 2 0
M08|Pipe supports and brackets|machinery|ae M05|21-33|p120|110 2 0
E01|Cable trays and penetrations|electrical|pc|19-26|e180|101 2 0
E02|Main and emergency switchboards|electrical|wm|22-32|e230|109 2 0
E03|Cable pulling|electrical|uc 2400 m early|25-34|e330|97 2 1
E04|Navigation lights, deck lights, alarms|electrical|uc 38 fitting|31-38|e210|106 1 1
E05|Wheelhouse instruments and controls|electrical|pc late|33-40|e220|106 1 1
C01|Blasting and primer|coatings|uc 640 m2|13-24|c380|100 2 1
C02|Tank coatings|coatings|uc 7 tank|19-26|c200|98 3 0
C03|Bottom paint|coatings|ff 0.5|27-31|c190|94 2 0
C04|Topsides and superstructure paint|coatings|pc late|29-40|c420|104 1 1
C05|Oils and varnish|coatings|uc 260 m2|32-40|c210|103 1 1
C06|Deck markings and signs|coatings|ff 0|39-42|c80|100 1 0
T01|Launching ways and launch|trials|wm|27-33|s110 p90 f50|112 1 0
T02|Inclining and harbour trials|trials|ff 0.5|38-41|f110 e60 s60|100 1 1
T03|Cable crossing trials|trials|wm|41-43|f110 e50 s60|105 1 1
P01|Fitting-out not yet detailed|trials|pc|36-43|s260 f120|0 0 0
G01|Foreman, hull|management|le|1-26|p520|101 0 3
G02|Foreman, timber and fitting out|management|le|14-43|s600|99 0 2
G03|Foreman, machinery|management|le|16-43|f420|97 0 2
G04|Staging, handling and cranage|management|le|2-43|s340 p260 c160|104 0 2
CONT|Contingency|management|pc|1-43|s420 p260 f180|0 0 0
"""
SEDGE_TABLE = """
S10|Strip-out and survey|refit|pc early|2-5|s260 f120 e40|104 0 0
S11|Hull planking|refit|uc 34 plank|4-14|s860|107 0 1
S12|Floors and sawn frames|refit|uc 18 frame|3-10|s500|98 0 0
S13|Main engine overhaul|refit|wm|3-13|f680|103 0 1
S14|Stern gear and steering|refit|pc|8-17|f420|96 0 0
S15|Rewiring|refit|pc|2-17|e560|104 0 0
S16|Fuel and water tanks|refit|ff 0.25|5-11|p210 w120 f60|101 0 1
S17|Towing post and fendering|refit|pc|12-18|s140 p90 w60|95 0 1
S18|Caulking and deck repairs|refit|uc 540 m|13-21|s400|105 0 0
S19|Scraping and painting|refit|pc late|2-22|c980|102 0 0
S20|Tests and handing over|refit|ff 0.5|20-23|f110 e60 s60|100 0 0
S21|Foreman|refit|le|2-23|s180 f200 c80|100 0 0
"""
MILESTONES = {
    "H06": (
        ("beams port", 20, 16),
        ("beams starboard", 20, 18),
        ("plating aft", 25, 20),
        ("plating forward", 20, 22),
        ("weld out", 15, 23),
    ),
    "H08": (
        ("bottom seams", 25, 13),
        ("side seams", 30, 18),
        ("deck seams", 25, 23),
        ("tanks", 20, 26),
    ),
    "W01": (
        ("sills", 15, 11),
        ("frame", 30, 14),
        ("clad", 25, 16),
        ("roof beams", 15, 18),
        ("roof skin", 15, 20),
    ),
    "W04": (
        ("posts", 25, 26),
        ("roof beams", 25, 29),
        ("roof", 20, 31),
        ("seats", 15, 33),
        ("screens", 15, 34),
    ),
    "M02": (
        ("engine on its seats", 25, 21),
        ("lined up", 25, 23),
        ("generator set", 25, 26),
        ("coupled", 25, 28),
    ),
    "M03": (
        ("seat ready", 10, 22),
        ("winch seated", 20, 24),
        ("drum turning", 20, 27),
        ("sheaves forward", 15, 29),
        ("sheaves aft", 15, 31),
        ("brake tested", 20, 33),
    ),
    "E02": (("boards hung", 30, 25), ("busbars", 25, 28), ("wired", 30, 31), ("tested", 15, 32)),
    "T01": (("ways laid", 40, 30), ("cradle", 35, 32), ("afloat", 25, 33)),
    "T03": (("cable reeved", 30, 41), ("empty crossings", 35, 42), ("loaded crossings", 35, 43)),
    "S13": (
        ("stripped", 20, 5),
        ("measured and ordered", 20, 7),
        ("machined parts back", 30, 10),
        ("run on the bed", 30, 13),
    ),
}


def packages() -> list[Package]:
    """Return the packages of both jobs, in the order of their estimates."""
    tables = (("FERRY", FERRY_TABLE), ("SEDGE", SEDGE_TABLE))
    return [_package(job, line) for job, table in tables for line in table.strip().splitlines()]


def _package(job: str, line: str) -> Package:
    code, title, account, how, weeks, hours, drift = line.split("|")
    short, *rest = how.split()
    first, last = map(int, weeks.split("-"))
    took, slip, longer = map(int, drift.split())
    technique = TECHNIQUES[short]
    spreads = [word for word in rest if word in {"even", "early", "late", "middle"}]
    rest = [word for word in rest if word not in spreads]
    units = technique == "units_complete"
    return Package(
        job,
        code,
        title,
        account,
        technique,
        (first, last),
        {TRADES[part[0]]: int(part[1:]) for part in hours.split()},
        took,
        slip,
        longer,
        spread="".join(spreads),
        quantity=int(rest[0]) if units else 0,
        unit=rest[1] if units else "",
        start_share=rest[0] if technique == "fixed_formula" else "",
        base=rest[0] if technique == "apportioned_effort" else "",
        kind={"CONT": "contingency", "P01": "planning"}.get(code, ""),
        milestones=MILESTONES.get(code, ()),
    )


# What kind of work a package is, where the yard keeps hours a unit of it.
WORK_KINDS = {
    "H03": "steel framing",
    "H04": "plating",
    "H07": "hatches",
    "R01": "ramp framing",
    "R03": "treads",
    "D03": "deck laying",
    "D04": "caulking",
    "D06": "deck fittings",
    "W02": "openings",
    "M05": "pipe runs",
    "E03": "cable pulling",
    "E04": "light fittings",
    "C01": "blasting and primer",
    "C02": "tank coating",
    "C05": "varnish",
    "S11": "planking",
    "S12": "timber framing",
    "S18": "caulking",
}

FERRY_TOML = """\
# The cable ferry: nineteen metres, steel hull, timber deck, a ramp at either end.
[job]
code = "FERRY"
title = "Cable ferry for the Tellowen crossing"
owner = "Lake Tellowen Crossing Society"
contract_sum = "1480000.00"
contract_date = 2026-01-05
contract_basis = "fixed_price"
planned_start = 2026-01-12
planned_finish = 2026-11-06
working_week = ["mon", "tue", "wed", "thu", "fri"]
days_off = [{days_off}]
management_reserve_hours = "300"
completion_date = 2026-11-13
# A fixed price does not show the owner how the job's own hours run; the society has it agreed.
owner_sees_overrun = true
# Nobody certifies: what an invoice bills stands as claimed.
certificate = "none"

[[key_dates]]
name = "Launch"
date = 2026-08-28
packages = ["H02", "H03", "H04", "H06", "H07", "H08", "H09", "C01", "C02", "C03", "M01", "T01"]

[[key_dates]]
name = "First crossing under load"
date = 2026-11-06
packages = ["M03", "M04", "R04", "E05", "T02", "T03"]

[retention]
percent = 5
limit_percent = 3

[[retention.release]]
percent = 50
at = "delivery"

[[retention.release]]
percent = 50
at = "defects_end"

[owner]
legal_name = "Lake Tellowen Crossing Society"
address = ["Landing House"]
city = "Quern"
country = "CH"

[invoice]
contract_reference = "minutes of 18 December 2025"
payment_days = 30
"""
SEDGE_TOML = """\
# The refit of a wooden harbour workboat, charged by the hour.
[job]
code = "SEDGE"
title = "Refit of the workboat Sedge"
owner = "Ellerholt Harbour Office"
contract_sum = "268000.00"
contract_date = 2026-01-14
contract_basis = "time_charge"
planned_start = 2026-01-19
planned_finish = 2026-06-19
working_week = ["mon", "tue", "wed", "thu", "fri"]
days_off = [{days_off}]
owner_sees_overrun = true
"""
