"""What the people of the yard write beside their hours."""

HULL = {
    "H01": (
        "loft floor swept and painted first",
        "frames 1-4 drawn out on the floor",
        "templates in thin ply",
        "checked against the surveyor's offsets",
        "cutting list to the merchant, second try",
    ),
    "H02": (
        "keel plate down and dogged",
        "longitudinals tacked port",
        "longitudinals tacked stbd",
        "butt at frame 9 gouged back",
        "plates warped, pulled in with strongbacks",
        "seams, downhand",
        "too cold to weld before ten, preheated",
    ),
    "H03": (
        "frame 6 up and plumbed",
        "bulkhead 3, stiffeners",
        "limber holes forgotten, cut now",
        "bhd 5 stands",
        "brackets all round",
        "ground back and rewelded where undercut",
        "frames faired with a batten",
    ),
    "H04": (
        "plate 7 port hung",
        "rolled again, did not lie to the frames",
        "bilge strake, slow going",
        "stbd side, back gouging",
        "vertical seams",
        "tacks broke in the night, pulled in again",
        "waited for the crane, then two plates in an hour",
    ),
    "H05": (
        "fender posts, forward",
        "half rounds bent cold",
        "posts bored for the chain",
        "oak pads",
    ),
    "H06": (
        "deck beams port",
        "camber checked",
        "deck plate 4 and 5",
        "overhead, slow",
        "seam under the winch",
        "plates buckled between the beams, heated and quenched",
        "weld out from the middle",
    ),
    "H07": (
        "coamings cut",
        "hatch 3 and 4 hung",
        "manhole rings",
        "lids do not seat, dressed",
        "gaskets later",
    ),
    "H08": (
        "dye on the bottom seams",
        "tank 2 on air, soap",
        "tank 5 holds",
        "surveyor on board till noon",
        "seams ground for the inspector",
    ),
    "H09": (
        "skeg port faired",
        "fairlead seat lined up with a wire",
        "doublers",
        "centre line twice measured",
    ),
    "H10": ("hungry horse look taken out at frame 11", "heat lines", "hammer and dolly"),
}
RAMPS = {
    "R01": (
        "bow ramp, side members",
        "cross members in",
        "turned over with two cranes",
        "welded out",
        "twist 6 mm, accepted",
    ),
    "R02": (
        "hinge eyes bored in line",
        "pins greased and in",
        "bush tight, reamed",
        "one eye cut off and set again",
    ),
    "R03": ("treads planed", "bolted from below", "30 treads down", "plugs in, oiled"),
    "R04": (
        "rams hung",
        "hoses made up",
        "creeps down overnight, valve block out",
        "ramp up and down twenty times",
    ),
}
DECK = {
    "D01": (
        "larch sorted, one pack sent back",
        "thicknesser all day",
        "stickered under cover",
        "moisture 16, leave it",
        "planks to 45 by 120",
        "edges bevelled for the seam",
    ),
    "D02": (
        "bedding compound and felt",
        "grounds bolted forward",
        "levelled with a string",
        "studs crooked from the weld, bent",
    ),
    "D03": (
        "king plank",
        "from the middle out to port",
        "planks round the winch seat scribed",
        "twelve planks down, good day",
        "butts staggered as drawn",
        "rain stopped us at three, covered",
        "plank split, taken up",
        "wedges and cramps, slow at the edge",
    ),
    "D04": (
        "cotton in, port",
        "seams payed forward",
        "raked out and done again at the butt",
        "pitch too cold before nine",
        "40 m",
    ),
    "D05": (
        "stanchions",
        "rail scarfs glued",
        "bulwark boards stbd",
        "gate posts by the ramp",
        "capping sanded",
    ),
    "D06": ("lashing points welded in", "kerb shoes", "holes drilled through, deck plugged"),
    "D07": (
        "bench tops glued up",
        "lockers with vents",
        "hinges",
        "lids rounded, no sharp corners",
    ),
}
HOUSE = {
    "W01": (
        "sills and corner posts",
        "frame stands in the shed",
        "clad to the windows",
        "roof beams laminated",
        "roof skin on",
        "steel foot flange drilled",
    ),
    "W02": (
        "front frames",
        "rebates by hand, the router wandered",
        "sliding door hung",
        "drip grooves",
        "sticks in the wet, eased",
    ),
    "W03": (
        "ceiling battens",
        "ash linings",
        "console carcass",
        "panel cut for the gauges",
        "a lid nobody drew",
    ),
    "W04": (
        "posts on their shoes",
        "roof boards",
        "seat fronts",
        "glass screens in",
        "knees bolted",
    ),
    "W05": ("slabs cut and fitted", "gaps foamed"),
}
MACHINERY = {
    "M01": ("seats levelled to half a mm", "chocks", "beds welded, let cool slowly", "bolt holes"),
    "M02": (
        "engine in by crane",
        "lined up, again after launch",
        "generator on its mounts",
        "shaft guard",
        "controls led aft",
    ),
    "M03": (
        "winch on its seat",
        "sheave pins",
        "brake band will not lift",
        "drum bore measured",
        "guard around the drum",
        "sheave box moved 12 mm",
    ),
    "M04": (
        "power pack lined up",
        "pipes bent",
        "flushed, filter black",
        "flushed again",
        "pressure held",
        "clips",
    ),
    "M05": (
        "bilge main",
        "fuel lines, port tank",
        "fire branch",
        "valve chest",
        "run 7 tested",
        "leak again at the valve chest",
        "union behind the frame, no room",
    ),
    "M06": ("lagging", "keel cooler pipes", "silencer hung", "exhaust through the deck"),
    "M07": ("trunks folded", "flaps and mesh", "fan on rubber"),
    "M08": ("brackets", "saddles", "supports under the bilge main"),
}
ELECTRICAL = {
    "E01": (
        "trays in the engine space",
        "glands through bhd 4",
        "earth straps",
        "tray moved for the exhaust",
    ),
    "E02": ("board hung", "busbars", "terminals numbered", "changeover tried", "megger"),
    "E03": (
        "pulled 120 m",
        "main runs aft",
        "winch supply",
        "cables to the console, tight bend",
        "labels",
    ),
    "E04": ("side lights", "deck floods", "bilge alarms", "horn", "light over the ramp", "sealed"),
    "E05": (
        "gauges",
        "winch lever, microswitches",
        "radio and aerial",
        "log of the wiring brought up to date",
    ),
}
COATINGS = {
    "C01": (
        "blasted port side",
        "grit wet, sieve",
        "primer same evening",
        "blasted again, rust overnight",
        "bottom blasted",
        "staging shifted",
    ),
    "C02": ("tank 1 and 2 first coat", "tank 6, second coat", "fans all night", "tank 4 stripes"),
    "C03": ("first coat bottom", "antifouling", "patches under the cradle pads"),
    "C04": (
        "undercoat house",
        "fairing and sanding",
        "gloss port, flies in it",
        "second coat",
        "cut in the sheer line",
        "dew till eleven",
    ),
    "C05": (
        "oil on the rails, second",
        "varnish inside",
        "deck oiled forward",
        "sanded between coats",
    ),
    "C06": ("lanes marked", "stencils", "load plate"),
}
TRIALS = {
    "T01": (
        "ways greased",
        "cradle timbers",
        "sliding ways bolted",
        "lake gauge watched, low for September",
        "wedges driven, chains off",
    ),
    "T02": (
        "weights moved, six readings",
        "draught marks read twice",
        "engine four hours at load",
        "snags written down",
    ),
    "T03": (
        "cable reeved",
        "empty crossing, nine minutes",
        "sand bags for load",
        "brake test in mid lake",
    ),
    "G01": (
        "drawings with the surveyor",
        "round of the hull",
        "set out next week",
        "plates ordered",
        "sheets and stores",
    ),
    "G02": (
        "timber list",
        "talk with the society's chair",
        "jobs set out",
        "round with the surveyor",
        "sheets and stores",
    ),
    "G03": (
        "pump maker on the telephone",
        "deliveries checked",
        "jobs set out",
        "snag list machinery",
    ),
    "G04": (
        "staging up stbd",
        "staging shifted",
        "plates turned",
        "slings and shackles checked",
        "timber carried in",
        "shunted trailers all morning",
        "covers over the deck",
    ),
}
REFIT = {
    "S10": (
        "linings out",
        "tanks out by the hatch",
        "everything tagged and photographed",
        "surveyor with hammer and spike",
    ),
    "S11": (
        "plank 11 port spiled",
        "steam box lit at six",
        "two garboards in",
        "roves and nails",
        "plank broke at the turn, next one cut",
        "butt blocks",
        "hood ends poulticed in lead",
    ),
    "S12": (
        "floor 8 out, soft",
        "frame 12 sawn and bolted",
        "sister to frame 5",
        "keel bolts drawn, two wasted",
    ),
    "S13": (
        "engine out",
        "head off, valves",
        "liners drawn",
        "crank to the machinist",
        "bedded and lined up",
        "runs on the bed",
    ),
    "S14": ("stern tube bored", "cutless bearing", "rudder pintles bushed", "quadrant and chains"),
    "S15": ("old cable out", "trays", "fuse board", "lights forward", "no drawing, traced by hand"),
    "S16": ("tank sides folded", "tank tested with paraffin", "baffles", "straps"),
    "S17": ("post bedded", "fender iron straightened", "rope fender laced"),
    "S18": ("oakum, two threads", "seams payed", "deck over the cuddy", "30 m"),
    "S19": (
        "burnt off port",
        "scraped to wood",
        "red lead",
        "undercoat",
        "topsides enamel",
        "inside of the cuddy, no air",
    ),
    "S20": ("bollard pull", "steering tried", "inventory with the harbour office"),
    "S21": ("harbour office on board", "hours signed for the week", "planks chosen", "sheets"),
}
CHANGES = {
    "CR01": ("heavier frame, bow", "gussets for the lorry", "pins 60 mm"),
    "CR03": ("oak laminated", "kerb stbd bolted", "shoes let in"),
    "CR04": ("generator locker", "exhaust out of the locker", "changeover moved"),
    "CR05": (
        "anchor frame",
        "on the raft at north landing",
        "rock harder than anybody said",
        "grout",
        "anchor pulled to 8 t",
    ),
    "CR06": ("heated rail tried out", "rail cable, sample length"),
    "CR08": ("plinth under the console",),
    "CR09": ("booth frame", "hatch to the deck", "booth taken down, wood stored"),
    "CR13": ("raft scrapes faired", "sheer strake painted again"),
    "CR14": ("plates drilled and tapped",),
    "CR15": ("frames opened for the new glass", "escape catch"),
    "CR16": ("drum in the lathe", "bush pressed", "drum bore 1.4 mm oval"),
    "SR1": ("soft plank out", "plank steamed in", "harbour office has seen it"),
    "SR2": ("searchlight handle",),
    "SR3": ("letters cut", "gold leaf, no wind please"),
}
WINTER_WX = (
    "rain since seven",
    "gale, no crane",
    "sleet, plates wet",
    "snow on the staging",
    "fog and frost",
)
SUMMER_WX = (
    "thunder, all off the staging",
    "hail, then rain",
    "rain since seven",
    "gale, no crane",
)
LOST = {
    "WX": ("",),
    "WAIT": (
        "waiting for the society's drawing",
        "nobody from the society could say",
        "waiting for the surveyor",
    ),
    "CRANE": ("crane hoist burnt out", "crane fitter here, crew idle"),
    "LATE": ("hydraulic fittings not come", "plates not come"),
    "CLEAN": ("shed swept", "tools away", "", "", ""),
    "TALK": ("monday talk", "", "", ""),
    "TRAIN": ("first aid", "welding tests", "crane signals", "chainsaw ticket"),
    "SLIP": (
        "slip rails cleared of weed",
        "cradle wheels",
        "compressor serviced",
        "timber shed roof",
        "racks",
        "winch house",
    ),
    "WARR": ("rudder of last year's launch",),
    "SCHOOL": ("block week",),
}
REWORK = {
    "failed_inspection": (
        "gouged out where the picture shows slag",
        "rewelded, shot again",
        "leak again at the sea chest",
        "failed seam stbd 14-15",
    ),
    "damage": ("forklift through the bulwark board", "plank dented by a shackle, let in"),
    "drawing_error": ("seat cut off and moved, drawing B for C",),
}
NOTES: dict[str, tuple[str, ...]] = (
    HULL
    | RAMPS
    | DECK
    | HOUSE
    | MACHINERY
    | ELECTRICAL
    | COATINGS
    | TRIALS
    | REFIT
    | CHANGES
    | LOST
)
