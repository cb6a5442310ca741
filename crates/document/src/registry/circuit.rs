//! Fields of a circuit and of the source that feeds it.

use super::{
    A_DAY, DAY, FEED, Field, IN_REACH, LONGEST, Measure as M, bore, choice, length, level, number, other,
    place, time, turn,
};
use units::Quantity as Q;

const SHORT: &str = "short parts have 0.3 to 0.5 (ISO 6358, from memory)";
const NO_HOSE: &str = "no hose is over {}";
const IN_SLOW: &str = "no move of a cycle takes an hour";

/// In the order of the file.
pub(super) const FIELDS: &[Field] = &[
    level("circuit.level_kpa", "vacuum level", 1e-3)
        .helped(
            "At the cups of this circuit, at sea level. With a source and hoses it is the required level, \
            and the levels at the cups are calculated; without them it is used directly: enter the lowest \
            level at which the machine still lifts, not the best. At a higher site the program lowers it \
            with the atmosphere",
        )
        .usual("usual for a circuit with small leaks, until a source is chosen"),
    level("circuit.thresholds.held_kpa", "part-held level", 1e-3)
        .helped(
            "The vacuum switch signals part held from this level. Factors are calculated at it, and every \
            good pick must reach it",
        )
        .usual("75 % of the required level: every good pick must reach it"),
    level("circuit.thresholds.alarm_kpa", "alarm level", 1e-3).helped(
        "With a part held, the machine stops below this level. Until then it carries the part at whatever \
        level it has, so the required factors must be met here too. Unless entered, it is the part-held \
        level",
    ),
    level("circuit.thresholds.saving_off_kpa", "air-saving level", 0.0)
        .helped(
            "The air-saving switch stops the source at this level, above the part-held level and below what \
            the source reaches",
        )
        .usual("95 % of the required level: the source must reach it"),
    time("circuit.thresholds.time_out_s", "time-out", (1e-3, 3600.0), IN_SLOW)
        .helped(
            "If the part-held level is not reached within this time, the pick is aborted: longer than any \
            good pick takes",
        )
        .usual("longer than a good pick takes"),
    time("circuit.thresholds.hold_s", "hold time", (0.0, DAY), A_DAY)
        .helped("The level must last this long after the feed fails, so that the part can be set down")
        .usual("time to set a part down"),
    other("circuit.supply.source", "source", M::Source)
        .helped("Invented, generic curves: replace them with those of the real source"),
    choice("circuit.supply.arrangement", "arrangement")
        .helped("One source for all cups, one on each cup, or one in each cup's hose"),
    number("circuit.supply.sources", "number of sources", M::Plain, (1.0, 100.0), "no port feeds more")
        .helped("In parallel at one port: flow, air and power add up"),
    number("circuit.supply.feed_kpa", "feed pressure", M::Of(Q::FeedPressure), (0.0, 5000.0), FEED)
        .why_at(super::FED)
        .helped(
            "Gauge pressure at the ejector while it runs. About 3.5 to 4 bar (50 to 60 psi) is low feed \
            for most",
        )
        .usual("what the source is rated at; a long air line gives less"),
    place("circuit.supply.at", "place of the source")
        .short("source")
        .helped("On the plan, and above the plane of the lips"),
    bore("circuit.supply.line.bore_mm", "bore")
        .helped("Inside diameter, also of its fittings unless they have their own bore")
        .usual("from 4 mm for one cup to 25 mm for a blower, by what the source draws"),
    choice("circuit.supply.line.length", "length"),
    length("circuit.supply.line.length.slack_mm", "slack", (0.0, LONGEST), IN_REACH)
        .why_at(super::REACH)
        .helped("Added to the distance on the plan and in height, for movement and bends")
        .usual("movement of posts and the bends at both ends"),
    length("circuit.supply.line.length.mm", "length", (0.0, 1e6), NO_HOSE)
        .why_at(&[(1000.0, Q::Altitude)])
        .helped("As cut"),
    choice("circuit.supply.line.fittings", "fittings"),
    number("circuit.supply.line.fittings.count", "count", M::Plain, (0.0, 99.0), "no hose has more")
        .helped("How many there are; 0 removes them"),
    bore("circuit.supply.line.fittings.bore_mm", "bore")
        .helped("Inside diameter of one: push-in fittings are often narrower than their hose"),
    number(
        "circuit.supply.line.coil.turns",
        "number of turns",
        M::Plain,
        (0.0, 1e4),
        "no hose is wound more often",
    )
    .helped("0 removes the coil"),
    length("circuit.supply.line.coil.diameter_mm", "coil diameter", (0.02, 1e4), "at least twice the bore")
        .helped("Of its centre line"),
    choice("circuit.supply.fitting_loss", "loss of fittings").helped(
        "Published method for the loss of elbows and tees: multiples of pipe friction (Crane), two constants \
        (Hooper), three constants (Darby), or for each fitting the largest of the three. All come from \
        larger pipe: data from the maker are better",
    ),
    place("circuit.supply.manifold.at", "place").helped("Start of its centre line"),
    turn("circuit.supply.manifold.turn_deg", "turn"),
    length("circuit.supply.manifold.length_mm", "length", (0.1, LONGEST), IN_REACH)
        .why_at(super::REACH)
        .usual("ports 25 mm apart"),
    bore("circuit.supply.manifold.bore_mm", "bore")
        .usual("one and a half times the main hose, so that ports differ little"),
    number("circuit.supply.manifold.ports", "number of ports", M::Plain, (1.0, 500.0), "no channel has more")
        .short("ports")
        .helped("For branches"),
    choice("circuit.supply.manifold.fed", "fed from").helped("Feeding both ends evens out the ports"),
    number(
        "circuit.supply.restriction.c_dm3_s_bar",
        "sonic conductance",
        M::Of(Q::Conductance),
        (1e-6, 1e5),
        "from a pin hole to a pipe",
    )
    .short("C")
    .helped("Sonic conductance of ISO 6358, at {}: flow over absolute pressure in front when choked")
    .help_at(&[(20.0, Q::Temperature)])
    .usual("half to three quarters of an ideal hole of the hose's bore"),
    number(
        "circuit.supply.restriction.b",
        "critical pressure ratio",
        M::Plain,
        (0.0, 0.95),
        "a full bore has about 0.5; 0.3 to 0.5 is usual",
    )
    .short("b")
    .helped("Critical pressure ratio of ISO 6358")
    .usual(SHORT),
    choice("circuit.supply.filter_at_cup", "filter at every cup")
        .helped("Keeps dirt out of hoses and valves as well; each filter clogs with the air of its own cup"),
    choice("circuit.supply.check_valve_at_cup", "check valve at every cup")
        .helped("Keeps the level at a cup if the circuit loses its own"),
    choice("circuit.supply.valves.check_valve", "check valve"),
    number(
        "circuit.supply.lip_gap_um",
        "gap under the lips",
        M::Of(Q::Gap),
        (0.0, 5000.0),
        "a lip {} off does not seal",
    )
    .why_at(&[(5.0, Q::Length)])
    .helped("Mean gap left under the lips: 0 for a perfect seal. A leak-down test shows it")
    .usual("3 µm on smooth, 10 on porous, 20 on structured surfaces; a leak-down test gives the real value"),
    number(
        "circuit.supply.dust.load_g_m3",
        "dust in the air",
        M::Of(Q::DustLoad),
        (1e-6, 1000.0),
        "from clean air to a cloud that hides a hand",
    )
    .helped("In the air around the tool")
    .usual("a dusty workshop; packing and sawing have several times as much"),
    number(
        "circuit.supply.dust.capacity_g",
        "dust that halves a filter",
        M::Of(Q::SmallMass),
        (1e-3, 1e6),
        "from a thimble to a drum",
    )
    .helped("With this much dust a filter passes half its clean flow")
    .usual("a filter cartridge of a tool is half clogged by some grams"),
    number(
        "circuit.supply.dust.cleaned_h",
        "time between cleanings",
        M::Fixed("h"),
        (0.01, 1e5),
        "from every minute to every ten years",
    )
    .helped("Running hours")
    .usual("once a week of one shift"),
    number(
        "circuit.supply.cell_closing.at_nl_min",
        "cell closing flow",
        M::Of(Q::Flow),
        (1e-4, 1e4),
        "more than it draws on the part, less than it draws off it",
    )
    .helped("A cell that draws more than this closes")
    .usual("more than a covered cell draws on board, less than an open one"),
    number(
        "circuit.supply.cell_closing.leak_nl_min",
        "closed-cell leak",
        M::Of(Q::Flow),
        (0.0, 1e3),
        "0 for a cell that closes tight",
    )
    .helped("Largest leakage of a closed cell")
    .usual("a ball on its seat is not quite tight"),
    number(
        "circuit.supply.area_gripper.count",
        "number of cells in a cup",
        M::Plain,
        (0.0, 10_000.0),
        "no cup has more",
    )
    .short("cells in a cup")
    .helped("Openings in one cup"),
    bore("circuit.supply.area_gripper.bore_mm", "bore")
        .short("bore of a cell")
        .helped("Inside diameter of one opening"),
    time(
        "circuit.supply.operation.valve_s",
        "valve response",
        (0.0, 60.0),
        "no valve takes a minute; 0.01 to 0.05 s is usual",
    )
    .helped("From the signal until air flows or stops; included in every time")
    .usual("a small solenoid valve's response"),
    time(
        "circuit.supply.operation.switch_s",
        "switch delay",
        (0.0, 60.0),
        "no switch takes a minute; 0.005 to 0.04 s is usual",
    )
    .helped("From the level at the vacuum switch until the controller sees it")
    .usual("a vacuum switch with its input and program cycle"),
    choice("circuit.supply.operation.blow_off", "blow-off"),
    number(
        "circuit.supply.operation.blow_off.feed_kpa",
        "blow-off feed",
        M::Of(Q::FeedPressure),
        (1.0, 5000.0),
        FEED,
    )
    .why_at(super::FED)
    .helped("Gauge pressure")
    .usual("low enough that small parts are not blown away"),
    choice("circuit.supply.operation.motors_stop", "motor stops between cycles").helped(
        "Unless this is chosen, the motor runs through the whole cycle, and energy and cost count that",
    ),
    number(
        "circuit.supply.operation.vessel_ml",
        "vessel",
        M::Of(Q::Volume),
        (0.0, 1e8),
        "no vessel of a tool is as large as a room",
    )
    .helped(
        "Vacuum vessel between source and valves: takes time to evacuate and holds the level longer; 0 \
            for none",
    ),
    number(
        "circuit.supply.operation.check_leak_nl_min",
        "check valve leak",
        M::Of(Q::Flow),
        (0.0, 1000.0),
        "a check valve that leaks more is none; 0 is tight",
    )
    .helped("Leakage back through each check valve at the level below; 0 is tight. It decides the hold time")
    .usual("a soft seat that is not quite tight; none would flatter the hold time"),
    level("circuit.supply.operation.check_leak_at_kpa", "check valve leak level", 0.1)
        .short("leak stated at")
        .helped("Level behind the check valve at which it leaks that much")
        .usual("a level at which check valves are commonly tested"),
    bore("circuit.supply.operation.exhaust.bore_mm", "bore"),
    length("circuit.supply.operation.exhaust.length_mm", "length", (0.0, 1e6), NO_HOSE)
        .why_at(&[(1000.0, Q::Altitude)])
        .usual("a hose to beside the tool"),
    number(
        "circuit.supply.operation.exhaust.flow_loss_per_kpa",
        "flow lost to back-pressure",
        M::Of(Q::SharePerPressure),
        (0.0, 1.0),
        "more would be lost to nothing; {} is usual",
    )
    .why_at(&[(0.02, Q::SharePerPressure)])
    .helped("Share of its flow that the source loses, per unit of back-pressure")
    .usual("a few kPa of back-pressure cost flow"),
    number(
        "circuit.supply.operation.exhaust.level_loss_per_kpa",
        "level lost to back-pressure",
        M::Of(Q::SharePerPressure),
        (0.0, 1.0),
        "more would be lost to nothing; {} is usual",
    )
    .why_at(&[(0.01, Q::SharePerPressure)])
    .helped("Share of its deepest level that the source loses, per unit of back-pressure")
    .usual("a back-pressure lowers the deepest level by about as much"),
    // Source.
    choice("source.kind", "kind").helped("An ejector runs on compressed air, a pump or blower on a motor"),
    other("source.curve", "curve", M::Plain),
    choice("source.curve_flow", "flow of the curve"),
    level("source.curve.level_kpa", "level of the curve", 0.0).each(),
    // Drawn or at the inlet, as the curve says.
    number(
        "source.curve.flow_nl_min",
        "flow of the curve",
        M::Of(Q::InletFlow),
        (0.0, 1e7),
        "no blower of a tool draws more",
    )
    .each(),
    other("source.feed", "values at other feed pressures", M::Plain),
    number("source.feed.feed_kpa", "feed pressure", M::Of(Q::FeedPressure), (0.1, 5000.0), FEED)
        .why_at(super::FED)
        .each(),
    number("source.feed.flow_share", "share of flow", M::Of(Q::Ratio), (1e-3, 100.0), "1 at the rated feed"),
    number(
        "source.feed.level_share",
        "share of level",
        M::Of(Q::Ratio),
        (1e-3, 100.0),
        "1 at the rated feed",
    ),
    number("source.feed.air_nl_min", "air used", M::Of(Q::Flow), (1e-3, 1e7), "an ejector uses some air"),
    number("source.rated_feed_kpa", "rated feed", M::Of(Q::FeedPressure), (0.0, 5000.0), FEED)
        .why_at(super::FED),
    number("source.power_w", "power", M::Fixed("W"), (0.0, 1e7), "no pump of a tool uses 10 MW")
        .helped("Electric, while it runs"),
    bore("source.straight_bore_mm", "straight bore")
        .helped("Dirt passes straight through a bore instead of sticking in nozzles or vanes"),
    choice("source.air_saving", "air saving").helped(
        "A vacuum switch stops the air while a check valve holds \
        the level",
    ),
    number(
        "source.volume_ml",
        "volume inside",
        M::Of(Q::Volume),
        (0.0, 1e8),
        "no source is as large as a room",
    )
    .helped("Air inside it on the cup side, evacuated with the cups"),
    number("source.mass_g", "mass", M::Scaled(Q::Mass, 1e-3), (0.0, 1e8), super::HEAVY)
        .why_at(super::WEIGHT)
        .helped("Carried by the robot if it sits on the tool"),
    choice("source.figures", "origin of its values")
        .helped("Measured on the real one, stated by its data sheet, or assumed"),
];
