"""What the owners asked for: requests, prices, events, and the work that was done on them.

Days are yard's weeks and weekdays: (26, 1) is the Tuesday of week 26.
"""

from dataclasses import dataclass, field

Day = tuple[int, int]


@dataclass(frozen=True)
class Event:
    """One event of a change; `marks` are the particulars of its kind."""

    name: str
    day: Day
    person: str
    revision: int | None
    reference: str
    marks: dict[str, object] = field(default_factory=dict)


@dataclass(frozen=True)
class Request:
    """A change request with its price lines, its events and the work done on it."""

    job: str
    code: str
    title: str
    asked: tuple[str, Day]
    basis: str
    origin: str
    description: str
    lines: tuple[tuple[str, ...], ...] = ()
    events: tuple[Event, ...] = ()
    # trade, hours worked in the end, week begun, weeks it took
    work: tuple[tuple[str, int, int, int], ...] = ()
    needed_by: Day | None = None
    days: int = 0


CLERK, PRICER, CHAIR, SURVEYOR = "Ottoline Farr", "Edda Rusk", "Bertil Aumann", "Greta Solberg"
HARBOUR = "Captain Rosalind Meeke"

# A line: revision, kind, description, trade, hours, quantity, unit, unit price, package.
FERRY = (
    Request(
        "FERRY",
        "CR01",
        "Ramps and hinges for the 7.5 tonne milk lorry",
        (CHAIR, (6, 1)),
        "fixed_price",
        "owner",
        "The dairy wants to cross with its loaded lorry. Heavier ramp frames, bigger hinge pins.",
        (
            ("1", "labour", "Heavier frames, both ramps", "plater", "130", "", "", "", ""),
            ("1", "labour", "Welding of the same", "welder", "110", "", "", "", ""),
            ("1", "material", "Plate and pin steel", "", "", "1", "lot", "4860.00", ""),
            ("2", "labour", "Heavier frames, both ramps", "plater", "115", "", "", "", ""),
            ("2", "labour", "Welding of the same", "welder", "95", "", "", "", ""),
            ("2", "labour", "Bigger pins and bushes", "fitter", "40", "", "", "", ""),
            ("2", "material", "Plate and pin steel", "", "", "1", "lot", "4310.00", ""),
        ),
        (
            Event("priced", (7, 2), PRICER, 1, ""),
            Event(
                "submitted",
                (8, 0),
                CLERK,
                1,
                "letter 3",
                {"valid_until": (12, 4), "days_requested": 5},
            ),
            Event("priced", (10, 1), PRICER, 2, ""),
            Event(
                "submitted",
                (10, 2),
                CLERK,
                2,
                "letter 5",
                {"valid_until": (16, 4), "days_requested": 5},
            ),
            Event("approved", (12, 3), CHAIR, 2, "minutes of 2 April", {"days_granted": 3}),
        ),
        (("plater", 124, 24, 6), ("welder", 101, 25, 6), ("fitter", 38, 29, 3)),
        days=5,
    ),
    Request(
        "FERRY",
        "CR02",
        "Benches on the stern side left out",
        (CHAIR, (34, 1)),
        "fixed_price",
        "owner",
        "Room for prams and bicycles instead. The benches forward are made as drawn.",
        (
            ("1", "labour", "Benches aft not made", "shipwright", "-95", "", "", "", "D07"),
            ("1", "material", "Oak not used", "", "", "-1", "lot", "1140.00", ""),
        ),
        (
            Event("priced", (35, 1), PRICER, 1, ""),
            Event("submitted", (35, 2), CLERK, 1, "letter 17", {"valid_until": (39, 4)}),
            Event("approved", (36, 1), CHAIR, 1, "mail of 15 September"),
        ),
    ),
    Request(
        "FERRY",
        "CR03",
        "Oak kerbs in place of steel ones",
        (CHAIR, (23, 3)),
        "fixed_price",
        "owner",
        "The society finds the steel kerbs ugly. Laminated oak, bolted through, with steel shoes.",
        (
            ("1", "labour", "Oak kerbs, laminated and fitted", "shipwright", "150", "", "", "", ""),
            ("1", "labour", "Steel kerbs not made", "plater", "-48", "", "", "", "D06"),
            ("1", "labour", "Welding not done", "welder", "-30", "", "", "", "D06"),
            ("1", "material", "Oak, glue and bolts", "", "", "1", "lot", "3920.00", ""),
        ),
        (
            Event("priced", (24, 2), PRICER, 1, ""),
            Event("submitted", (24, 4), CLERK, 1, "letter 9", {"valid_until": (30, 4)}),
            Event("approved", (27, 0), CHAIR, 1, "letter of 13 July", {"days_granted": 2}),
        ),
        (("shipwright", 171, 31, 6),),
    ),
    Request(
        "FERRY",
        "CR04",
        "Emergency generator moved to a locker on deck",
        (SURVEYOR, (19, 2)),
        "fixed_price",
        "owner",
        "The society's surveyor wants the emergency set out of the engine space.",
        (
            ("1", "labour", "Locker and seat", "plater", "55", "", "", "", ""),
            ("1", "labour", "Pipes, exhaust, cooling", "fitter", "90", "", "", "", ""),
            ("1", "labour", "Cables and changeover", "electrician", "60", "", "", "", ""),
            ("1", "material", "Louvres, hose, cable", "", "", "1", "lot", "2780.00", ""),
        ),
        (
            Event("instructed", (20, 1), SURVEYOR, None, "site note 11"),
            Event("priced", (22, 2), PRICER, 1, ""),
            Event(
                "submitted",
                (22, 3),
                CLERK,
                1,
                "letter 8",
                {"valid_until": (28, 4), "days_requested": 4},
            ),
            Event("approved", (26, 2), CHAIR, 1, "letter of 8 July", {"days_granted": 4}),
        ),
        (("plater", 58, 21, 5), ("fitter", 104, 23, 7), ("electrician", 66, 26, 6)),
        days=4,
    ),
    Request(
        "FERRY",
        "CR05",
        "Cable anchor at the north landing",
        (CHAIR, (12, 0)),
        "daywork",
        "owner",
        "The old anchor in the landing cannot take the new cable. Make and set a new one.",
        (
            ("1", "labour", "Anchor frame", "plater", "45", "", "", "", ""),
            ("1", "labour", "Welding", "welder", "35", "", "", "", ""),
            ("1", "labour", "Drilling and setting", "fitter", "40", "", "", "", ""),
            ("1", "plant", "Work raft with compressor", "", "", "4", "day", "310.00", ""),
        ),
        (
            Event("priced", (13, 1), PRICER, 1, ""),
            Event("submitted", (13, 2), CLERK, 1, "letter 6", {"valid_until": (18, 4)}),
            Event("approved", (15, 2), CHAIR, 1, "letter of 22 April"),
            Event("complete", (26, 4), PRICER, 1, ""),
        ),
        (("plater", 71, 17, 8), ("welder", 52, 18, 8), ("fitter", 77, 18, 8)),
    ),
    Request(
        "FERRY",
        "CR06",
        "Heated handrails at the ramps",
        (CHAIR, (24, 0)),
        "fixed_price",
        "owner",
        "Against ice in the morning. Asked for by the ferrymen.",
        (
            ("1", "labour", "Heating cable in the rails", "electrician", "70", "", "", "", ""),
            ("1", "material", "Heating cable, thermostat", "", "", "1", "lot", "2350.00", ""),
        ),
        (
            Event("priced", (26, 0), PRICER, 1, ""),
            Event("submitted", (26, 1), CLERK, 1, "letter 10", {"valid_until": (32, 4)}),
            Event("declined", (29, 3), CHAIR, 1, "letter of 30 July"),
        ),
        (("electrician", 27, 26, 3),),
    ),
    Request(
        "FERRY",
        "CR07",
        "Folding mast for the low bridge at Quern",
        (CHAIR, (9, 3)),
        "fixed_price",
        "owner",
        "In case the ferry is ever towed to the lower lake.",
        (("1", "labour", "Hinged mast step", "fitter", "45", "", "", "", ""),),
        (
            Event("priced", (11, 1), PRICER, 1, ""),
            Event("submitted", (11, 2), CLERK, 1, "letter 4", {"valid_until": (17, 4)}),
            Event("withdrawn", (14, 3), CHAIR, None, "telephone call of 16 April"),
        ),
    ),
    Request(
        "FERRY",
        "CR08",
        "Console raised by a hand's breadth",
        (CHAIR, (31, 2)),
        "no_charge",
        "owner",
        "Both ferrymen are tall. The yard does it for good will.",
        (("1", "labour", "Plinth and longer panels", "shipwright", "36", "", "", "", ""),),
        (Event("approved", (32, 1), CHAIR, 1, "site note 27"),),
        (("shipwright", 41, 35, 3),),
    ),
    Request(
        "FERRY",
        "CR09",
        "Ticket booth at the stern",
        (CHAIR, (26, 4)),
        "fixed_price",
        "owner",
        "A booth for one person, with a hatch to the deck.",
        (
            ("1", "labour", "Booth", "shipwright", "190", "", "", "", ""),
            ("1", "labour", "Light and heater", "electrician", "30", "", "", "", ""),
            ("1", "material", "Larch, glass, fittings", "", "", "1", "lot", "3480.00", ""),
        ),
        (
            Event("priced", (28, 1), PRICER, 1, ""),
            Event(
                "submitted",
                (28, 2),
                CLERK,
                1,
                "letter 12",
                {"valid_until": (33, 4), "days_requested": 6},
            ),
            Event("approved", (31, 3), CHAIR, 1, "letter of 13 August", {"days_granted": 5}),
            Event("stopped", (35, 4), CHAIR, 1, "mail of 11 September: tickets go ashore"),
        ),
        (("shipwright", 92, 32, 3),),
        days=6,
    ),
    Request(
        "FERRY",
        "CR10",
        "Second fire pump, driven by the generator",
        (SURVEYOR, (32, 2)),
        "fixed_price",
        "owner",
        "Recommended by the insurers. Pipes must be laid before the linings close.",
        (
            ("1", "labour", "Pump, suction, branches", "fitter", "74", "", "", "", ""),
            ("1", "labour", "Starter and alarm", "electrician", "26", "", "", "", ""),
            ("1", "material", "Pump and valves", "", "", "1", "set", "5640.00", ""),
        ),
        (
            Event("priced", (34, 1), PRICER, 1, ""),
            Event(
                "submitted",
                (34, 2),
                CLERK,
                1,
                "letter 16",
                {"valid_until": (50, 4), "days_requested": 4},
            ),
        ),
        needed_by=(38, 4),
        days=4,
    ),
    Request(
        "FERRY",
        "CR11",
        "Racks for twenty bicycles",
        (CHAIR, (33, 4)),
        "fixed_price",
        "owner",
        "Along the port bulwark, to fold away when vehicles cross.",
        (
            ("1", "labour", "Racks", "plater", "48", "", "", "", ""),
            ("1", "labour", "Welding", "welder", "30", "", "", "", ""),
            ("1", "labour", "Priming and paint", "painter", "14", "", "", "", ""),
        ),
        (
            Event("priced", (36, 0), PRICER, 1, ""),
            Event("submitted", (36, 1), CLERK, 1, "letter 18", {"valid_until": (52, 4)}),
        ),
        needed_by=(44, 4),
    ),
    Request(
        "FERRY",
        "CR12",
        "Solar panels on the shelter roof",
        (CHAIR, (22, 0)),
        "fixed_price",
        "owner",
        "To light the deck at night without the generator.",
        (
            ("1", "labour", "Panels, cables, charger", "electrician", "88", "", "", "", ""),
            ("1", "labour", "Rails on the roof", "shipwright", "30", "", "", "", ""),
            ("1", "material", "Panels and charger", "", "", "1", "set", "6120.00", ""),
        ),
        (
            Event("priced", (24, 1), PRICER, 1, ""),
            Event("submitted", (24, 2), CLERK, 1, "letter 11", {"valid_until": (29, 4)}),
        ),
    ),
    Request(
        "FERRY",
        "CR13",
        "Scrapes from the society's work raft made good",
        (CHAIR, (33, 1)),
        "fixed_price",
        "owner",
        "The raft lay alongside over the weekend. Whose lines parted is not agreed.",
        (("1", "labour", "Fairing and paint", "painter", "58", "", "", "", ""),),
        (
            Event("instructed", (33, 2), SURVEYOR, None, "site note 31"),
            Event("priced", (34, 3), PRICER, 1, ""),
            Event("submitted", (35, 0), CLERK, 1, "letter 19", {"valid_until": (41, 4)}),
            Event("disputed", (36, 4), CHAIR, 1, "letter of 18 September"),
        ),
        (("painter", 63, 34, 4),),
    ),
    Request(
        "FERRY",
        "CR14",
        "Access plates bolted, not welded",
        ("Anton Brill", (17, 1)),
        "fixed_price",
        "yard",
        "Offered by the yard: tanks can be opened without burning, and the price comes down.",
        (
            ("1", "labour", "Bolted plates", "fitter", "36", "", "", "", ""),
            ("1", "labour", "Welded plates not made", "plater", "-22", "", "", "", "H07"),
            ("1", "labour", "Welding not done", "welder", "-30", "", "", "", "H07"),
        ),
        (
            Event("priced", (18, 1), PRICER, 1, ""),
            Event("submitted", (18, 2), CLERK, 1, "letter 7", {"valid_until": (23, 4)}),
            Event("approved", (20, 4), SURVEYOR, 1, "mail of 29 May"),
        ),
        (("fitter", 33, 23, 4),),
    ),
    Request(
        "FERRY",
        "CR15",
        "Wheelhouse glass to the new inland craft rule",
        (SURVEYOR, (25, 2)),
        "daywork",
        "change_in_law",
        "From 1 July front panes must be laminated and open for escape.",
        (
            ("1", "labour", "Frames altered, glass refitted", "shipwright", "64", "", "", "", ""),
            ("1", "material", "Laminated panes", "", "", "5", "pane", "415.00", ""),
        ),
        (
            Event("priced", (26, 3), PRICER, 1, ""),
            Event("submitted", (26, 3), CLERK, 1, "letter 13", {"valid_until": (33, 4)}),
            Event("approved", (28, 0), CHAIR, 1, "letter of 20 July", {"days_granted": 2}),
            Event("complete", (36, 3), PRICER, 1, ""),
            Event(
                "value_agreed",
                (38, 2),
                SURVEYOR,
                1,
                "daywork sheets 1 to 6 signed",
                {"agreed_value": "5613.00", "agreed_hours": "61"},
            ),
        ),
        (("shipwright", 61, 29, 7),),
    ),
    Request(
        "FERRY",
        "CR16",
        "Winch drum from the old ferry is out of round",
        ("Wilf Garrod", (25, 3)),
        "daywork",
        "unforeseen_condition",
        "The society supplied the drum of the old ferry. It must be turned and bushed.",
        (("1", "labour", "Turning, bushing, fitting", "fitter", "85", "", "", "", ""),),
        (
            Event("instructed", (26, 0), SURVEYOR, None, "site note 19"),
            Event("priced", (27, 1), PRICER, 1, "", {"rough": "yes"}),
        ),
        (("fitter", 112, 26, 8),),
    ),
    Request(
        "FERRY",
        "CR17",
        "Sockets for telephones in the shelter",
        (CHAIR, (41, 3)),
        "fixed_price",
        "owner",
        "Two at every bench, if it is not dear.",
    ),
    Request(
        "FERRY",
        "CR18",
        "Spare rope drum for the winch store",
        (SURVEYOR, (39, 1)),
        "fixed_price",
        "owner",
        "To lie ashore at the south landing.",
        (
            ("1", "labour", "Drum and stand", "fitter", "38", "", "", "", ""),
            ("1", "material", "Steel and bearings", "", "", "1", "lot", "1490.00", ""),
        ),
        (Event("priced", (41, 1), PRICER, 1, ""),),
    ),
)
SEDGE = (
    Request(
        "SEDGE",
        "SR1",
        "Six more planks found soft below the stringer",
        (HARBOUR, (6, 3)),
        "daywork",
        "unforeseen_condition",
        "Found when the paint came off. The harbour office saw them on 18 February.",
        (("1", "labour", "Planks out and in", "shipwright", "150", "", "", "", ""),),
        (
            Event("priced", (7, 0), PRICER, 1, ""),
            Event("submitted", (7, 0), CLERK, 1, "letter S1", {"valid_until": (11, 4)}),
            Event("approved", (7, 3), HARBOUR, 1, "signed on board", {"not_to_exceed": "yes"}),
            Event("complete", (14, 4), PRICER, 1, ""),
        ),
        (("shipwright", 163, 8, 6),),
    ),
    Request(
        "SEDGE",
        "SR2",
        "Searchlight on the wheelhouse",
        (HARBOUR, (12, 1)),
        "fixed_price",
        "owner",
        "With a handle inside.",
        (
            ("1", "labour", "Fitting and cable", "electrician", "24", "", "", "", ""),
            ("1", "material", "Searchlight", "", "", "1", "set", "880.00", ""),
        ),
        (
            Event("priced", (13, 0), PRICER, 1, ""),
            Event("submitted", (13, 1), CLERK, 1, "letter S2", {"valid_until": (17, 4)}),
            Event("approved", (14, 1), HARBOUR, 1, "mail of 14 April"),
        ),
        (("electrician", 26, 16, 3),),
    ),
    Request(
        "SEDGE",
        "SR3",
        "Name carved, not painted",
        (HARBOUR, (15, 2)),
        "no_charge",
        "yard",
        "Offered by the yard for good will.",
        (("1", "labour", "Carving and gilding", "shipwright", "14", "", "", "", ""),),
        (Event("approved", (16, 0), HARBOUR, 1, "said on board"),),
        (("shipwright", 17, 19, 2),),
    ),
)
REQUESTS = FERRY + SEDGE

# Named baseline changes of FERRY: name, day, person, reference, rows of package, trade, hours.
BASELINE_CHANGES = (
    (
        "BC1",
        (15, 3),
        PRICER,
        "side plates rolled twice, from contingency",
        (("CONTINGENCY", "", "-140"), ("H04", "plater", "80"), ("H04", "welder", "60")),
    ),
    (
        "BC2",
        (31, 1),
        PRICER,
        "fitting-out detailed",
        (
            ("P01", "shipwright", "-180"),
            ("P01", "fitter", "-90"),
            ("W03", "shipwright", "120"),
            ("D04", "shipwright", "60"),
            ("T02", "fitter", "90"),
        ),
    ),
)
# What a baseline change makes of a package's work: its name, the package, its new title.
RESCOPED = (("BC1", "H04", "Side shell plating, side plates rolled twice"),)
