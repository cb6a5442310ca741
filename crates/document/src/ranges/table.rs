//! The rows: every number that a file can hold, under the name the file gives it.
//!
//! Limits are wide: they part what a person may mean from what is a slip of the finger, of the unit or of another program, and
//! they keep every product and square of a figure far from the end of what a double holds. Where a reason names no source, it is
//! common practice, no source.

use super::{Field, Measure as M};
use units::Quantity as Q;

/// No part and no tool is longer than this, mm.
const LONGEST: f64 = 1e5;
/// The atmosphere at sea level is 101.325 kPa (ISO 2533, from memory): no level is deeper.
const DEEPEST: f64 = 101.3;
const DAY: f64 = 86_400.0;

const IN_REACH: &str = "no part and no tool is over 100 m";
const HEAVY: &str = "nothing that cups carry weighs 100 t";
const TURNS: &str = "ten turns are no other place than none";
const BELOW_ATMOSPHERE: &str = "no level is deeper than the atmosphere at sea level";
const RUBBER: &str = "rubber has no more on any dry surface";
const LONG_MOVE: &str = "no move of a cycle takes an hour";
const A_DAY: &str = "nothing is held for over a day";

pub(super) const fn row(
    key: &'static str,
    name: &'static str,
    measure: M,
    (least, most): (f64, f64),
    why: &'static str,
) -> Field {
    Field { key, name, measure, least, most, why }
}
const fn place(key: &'static str, name: &'static str) -> Field {
    row(key, name, M::Of(Q::Length), (-LONGEST, LONGEST), IN_REACH)
}
const fn turn(key: &'static str, name: &'static str) -> Field {
    row(key, name, M::Of(Q::Angle), (-3600.0, 3600.0), TURNS)
}
pub(super) const fn level(key: &'static str, name: &'static str, least: f64) -> Field {
    row(key, name, M::Of(Q::VacuumLevel), (least, DEEPEST), BELOW_ATMOSPHERE)
}
pub(super) const fn bore(key: &'static str, name: &'static str) -> Field {
    row(key, name, M::Of(Q::Length), (0.01, 1000.0), "a bore lets air through, and none is wider than 1 m")
}
const fn conductance(key: &'static str) -> Field {
    let why = "from a pin hole to a pipe";
    row(key, "the sonic conductance", M::Fixed("dm³/(s·bar)"), (1e-6, 1e5), why)
}
const fn ratio(key: &'static str) -> Field {
    row(key, "the critical ratio", M::Plain, (0.0, 0.95), "a full bore has about 0.5; 0.3 to 0.5 is usual")
}
const fn spread(key: &'static str, name: &'static str) -> Field {
    row(key, name, M::Of(Q::Share), (0.0, 0.99), "a figure that may be off by all of itself says nothing")
}
const fn share(key: &'static str, name: &'static str, usual: &'static str) -> Field {
    row(key, name, M::Of(Q::Share), (1e-4, 10.0), usual)
}

/// Every number of every kind of thing; the key starts with the kind.
pub(super) const FIELDS: &[Field] = &[
    // Part.
    row("part.thickness_mm", "the thickness", M::Of(Q::Length), (1e-4, 5000.0), "from a foil to a block"),
    row(
        "part.mass.Density.kg_m3",
        "the density",
        M::Of(Q::Density),
        (0.1, 25_000.0),
        "osmium has 22 590 kg/m³",
    ),
    row("part.mass.Areal.kg_m2", "the mass per area", M::Of(Q::ArealMass), (1e-4, 1e5), HEAVY),
    row("part.mass.Stated.kg", "the mass", M::Of(Q::Mass), (1e-6, 1e5), HEAVY),
    place("part.centre_of_gravity", "the stated centre of gravity"),
    row("part.attached.mass_kg", "the mass", M::Of(Q::Mass), (1e-6, 1e5), HEAVY),
    place("part.attached.at", "the place"),
    row("part.attached.size", "a side", M::Of(Q::Length), (0.0, LONGEST), IN_REACH),
    row("part.friction", "the friction", M::Of(Q::Ratio), (1e-3, 2.0), RUBBER),
    row("part.pairs.friction", "the friction", M::Of(Q::Ratio), (1e-3, 2.0), RUBBER),
    row(
        "part.permeance_um_pa_s",
        "the permeance",
        M::Of(Q::Permeance),
        (0.0, 1e6),
        "0 states that the part is airtight",
    ),
    row("part.uneven_mm", "the unevenness", M::Of(Q::Length), (0.0, 1000.0), "no lip closes 1 m"),
    row(
        "part.placement.position_mm",
        "the position tolerance",
        M::Of(Q::Length),
        (0.0, 1e4),
        "a part that lies 10 m off is not there",
    ),
    row(
        "part.placement.turn_deg",
        "the turn tolerance",
        M::Of(Q::Angle),
        (0.0, 180.0),
        "beyond half a turn it lies the other way",
    ),
    row(
        "part.placement.drawing_mm",
        "the drawing tolerance",
        M::Of(Q::Length),
        (0.0, 1e4),
        "a part 10 m off its drawing is another part",
    ),
    place("part.outline.at", "a corner"),
    row("part.outline.bulge", "a bulge", M::Plain, (-1e4, 1e4), "beyond, an arc is a circle but for 0.02°"),
    // Tool.
    place("tool.flange", "the place of the flange"),
    row("tool.masses.mass_kg", "the mass", M::Of(Q::Mass), (1e-6, 1e5), HEAVY),
    place("tool.masses.at", "the place"),
    row("tool.masses.size", "a side", M::Of(Q::Length), (0.0, LONGEST), IN_REACH),
    place("tool.frame.at", "the place"),
    turn("tool.frame.turn_deg", "the turn"),
    row("tool.frame.height_mm", "the height above the lips", M::Of(Q::Length), (0.0, LONGEST), IN_REACH),
    row("tool.frame.length_mm", "the length", M::Of(Q::Length), (0.1, LONGEST), IN_REACH),
    row("tool.frame.width_mm", "the width", M::Of(Q::Length), (0.1, LONGEST), IN_REACH),
    row("tool.frame.pitch_mm", "the pitch", M::Of(Q::Length), (0.0, LONGEST), "0 is an open slot"),
    row("tool.frame.first_mm", "the first place", M::Of(Q::Length), (0.0, LONGEST), IN_REACH),
    row(
        "tool.frame.kg_m",
        "the mass per length",
        M::Of(Q::LineMass),
        (0.0, 1e4),
        "a rail of solid steel, 1 m high and wide, has 7850 kg/m",
    ),
    row(
        "tool.frame.kg_m2",
        "the mass per area",
        M::Of(Q::ArealMass),
        (0.0, 1e4),
        "a plate of steel 1 m thick has 7850 kg/m²",
    ),
    // Cup.
    place("cup.at", "the place"),
    turn("cup.turn_deg", "the turn"),
    row("cup.height_mm", "the post height", M::Of(Q::Length), (0.0, 1e4), "no post is over 10 m"),
    // Motion.
    row(
        "motion.required_factor",
        "the required factor",
        M::Of(Q::Ratio),
        (0.01, 1000.0),
        "2 and 4 are usual",
    ),
    row(
        "motion.tilt_deg",
        "the tilt",
        M::Of(Q::Angle),
        (-360.0, 360.0),
        "0° is level, 90° on edge, 180° turned over",
    ),
    turn("motion.lowest_deg", "the direction that is lowest"),
    row(
        "motion.acceleration",
        "the acceleration",
        M::Of(Q::Acceleration),
        (-200.0, 200.0),
        "more than about 20 times free fall no robot\u{2019}s arm makes; check the unit",
    ),
    row("motion.stroke.mm", "the stroke", M::Of(Q::Length), (1e-3, LONGEST), IN_REACH),
    row("motion.stroke.time_s", "the time of the stroke", M::Of(Q::Time), (1e-3, 3600.0), LONG_MOVE),
    row(
        "motion.inertia_times",
        "the count of the inertial load",
        M::Of(Q::Ratio),
        (1.0, 10.0),
        "1, or 2 for a sudden start",
    ),
    row(
        "motion.turn_rate_deg_s",
        "the turn rate",
        M::Of(Q::TurnRate),
        (-2000.0, 2000.0),
        "more no robot\u{2019}s axis makes",
    ),
    row(
        "motion.turn_acceleration_deg_s2",
        "the turn acceleration",
        M::Of(Q::TurnAcceleration),
        (-1e5, 1e5),
        "more no robot\u{2019}s axis makes",
    ),
    place("motion.pivot_mm", "the pivot"),
    row(
        "motion.worst.TiltTo.deg",
        "the tilt",
        M::Of(Q::Angle),
        (-360.0, 360.0),
        "0° is level, 90° on edge, 180° turned over",
    ),
    // Cup model.
    row("model.shape.diameter", "the lip size", M::Of(Q::Length), (0.1, 5000.0), "no cup is over 5 m"),
    row("model.shape.length", "the lip size", M::Of(Q::Length), (0.1, 5000.0), "no cup is over 5 m"),
    row("model.shape.width", "the lip size", M::Of(Q::Length), (0.1, 5000.0), "no cup is over 5 m"),
    row(
        "model.shape.corner",
        "the corner radius",
        M::Of(Q::Length),
        (0.0, 2500.0),
        "at most half the lip\u{2019}s width",
    ),
    row(
        "model.sealing_share",
        "the sealing line",
        M::Of(Q::Ratio),
        (0.1, 1.0),
        "a share of its outer size; 0.8 to 0.95 is usual",
    ),
    bore("model.bore_mm", "the bore"),
    row("model.height_mm", "the height", M::Of(Q::Length), (0.01, 5000.0), "no cup is over 5 m"),
    row("model.travel_mm", "the travel", M::Of(Q::Length), (0.0, 5000.0), "at most its height"),
    row(
        "model.channel_mm",
        "the free height under the cup",
        M::Of(Q::Length),
        (0.0, 1000.0),
        "at most its height",
    ),
    row(
        "model.free_ml",
        "the air inside at rest",
        M::Of(Q::Volume),
        (1e-3, 1e6),
        "from the smallest cup to one of 1 m³",
    ),
    row(
        "model.axial_n_mm",
        "the axial stiffness",
        M::Of(Q::Stiffness),
        (1e-4, 1e6),
        "from foam to a metal post",
    ),
    row(
        "model.lateral_n_mm",
        "the lateral stiffness",
        M::Of(Q::Stiffness),
        (1e-4, 1e6),
        "from foam to a metal post",
    ),
    row(
        "model.tilt_reduction",
        "the tilt reduction",
        M::Of(Q::Ratio),
        (0.0, 10.0),
        "1 is the stiffness of the lip line; a bellows has less",
    ),
    row(
        "model.side_lever_mm",
        "the lever of a side load",
        M::Of(Q::Length),
        (0.0, 5000.0),
        "up to its height; half of it is usual, 0 on a ball joint",
    ),
    row(
        "model.lip_width_mm",
        "the width that the lip bears on",
        M::Of(Q::Length),
        (0.01, 1000.0),
        "from a sharp edge to a foam ring; a twentieth of the lip is usual",
    ),
    row(
        "model.hardness_shore_a",
        "the lip hardness",
        M::Fixed("Shore A"),
        (0.0, 100.0),
        "the scale ends at 100; 30 to 60 is usual",
    ),
    row("model.lip_life_picks", "the life of a lip", M::Fixed("picks"), (1.0, 1e10), "a million is usual"),
    row(
        "model.seal_minimum_n_mm",
        "the seal minimum",
        M::Of(Q::LineForce),
        (0.0, 1000.0),
        "a lip needs a few hundredths of a newton a millimetre",
    ),
    row(
        "model.closes_mm",
        "the height variation it closes",
        M::Of(Q::Length),
        (0.0, 1000.0),
        "no lip closes 1 m",
    ),
    row("model.mass_g", "the mass", M::Scaled(Q::Mass, 1e-3), (0.0, 1e6), "no cup weighs 1 t"),
    // Site and limits of the findings.
    row(
        "site.altitude_m",
        "the altitude",
        M::Of(Q::Altitude),
        (-450.0, 6000.0),
        "from the Dead Sea to the highest road",
    ),
    row(
        "site.temperature_c",
        "the temperature",
        M::Of(Q::Temperature),
        (-60.0, 200.0),
        "from the coldest site to a hot press",
    ),
    row(
        "site.payload_kg",
        "the payload",
        M::Of(Q::Mass),
        (1e-3, 1e5),
        "what it may carry at its flange, or leave it empty",
    ),
    row(
        "rules.gap_watch_mm",
        "the watched gap",
        M::Of(Q::Length),
        (0.0, 1e4),
        "lips 10 m apart are not near",
    ),
    row(
        "rules.factor_watch",
        "the watched factor",
        M::Of(Q::Ratio),
        (1.0, 100.0),
        "times the required one; 1.15 is usual",
    ),
    share("rules.centroid_offset_share", "the watched centroid offset", "10 % is usual"),
    row(
        "rules.most_over_mean",
        "the watched most over mean load",
        M::Of(Q::Ratio),
        (1.0, 1000.0),
        "1.5 is usual",
    ),
    row(
        "rules.slide_share",
        "the share of friction that a lip may use",
        M::Of(Q::Share),
        (0.01, 1.0),
        "90 % is usual",
    ),
    row(
        "rules.favourable_weight",
        "the share of the weight that is counted on where it helps",
        M::Of(Q::Share),
        (0.01, 1.0),
        "90 % is usual",
    ),
    row(
        "rules.payload_watch",
        "the watched share of the payload",
        M::Of(Q::Share),
        (0.01, 1.0),
        "85 % is usual",
    ),
    spread("rules.friction_spread", "how far an assumed friction may be off"),
    spread("rules.stiffness_spread", "how far an assumed stiffness or tilt reduction may be off"),
    spread("rules.lip_spread", "how far an assumed sealing line or seal minimum may be off"),
    share("rules.supply_margin", "the flow a source must have to spare", "25 % is usual"),
    share("rules.level_spread", "how far levels of a circuit may lie apart", "5 % is usual"),
    share("rules.element_loss", "what one element may lose", "10 % is usual"),
    // Circuit.
    level("circuit.level_kpa", "the vacuum level", 1e-3),
    level("circuit.thresholds.held_kpa", "the level for part held", 1e-3),
    level("circuit.thresholds.alarm_kpa", "the alarm level", 1e-3),
    level("circuit.thresholds.saving_off_kpa", "the level that stops the source", 0.0),
    row("circuit.thresholds.time_out_s", "the time-out", M::Of(Q::Time), (1e-3, 3600.0), LONG_MOVE),
    row("circuit.thresholds.hold_s", "the hold time", M::Of(Q::Time), (0.0, DAY), A_DAY),
    row(
        "circuit.supply.feed_kpa",
        "the feed pressure",
        M::Of(Q::FeedPressure),
        (0.0, 5000.0),
        "compressed air for tools has up to 1000 kPa",
    ),
    place("circuit.supply.at", "the place of the source"),
    bore("circuit.supply.line.bore_mm", "the bore"),
    bore("circuit.supply.line.fittings.bore_mm", "the bore"),
    row("circuit.supply.line.length.slack_mm", "the slack", M::Of(Q::Length), (0.0, LONGEST), IN_REACH),
    row("circuit.supply.line.length.mm", "the length", M::Of(Q::Length), (0.0, 1e6), "no hose is over 1 km"),
    row(
        "circuit.supply.line.coil.turns",
        "the number of turns",
        M::Plain,
        (0.0, 1e4),
        "no hose is wound more often",
    ),
    row(
        "circuit.supply.line.coil.diameter_mm",
        "the diameter",
        M::Of(Q::Length),
        (0.02, 1e4),
        "at least twice the bore",
    ),
    place("circuit.supply.manifold.at", "the place"),
    turn("circuit.supply.manifold.turn_deg", "the turn"),
    row("circuit.supply.manifold.length_mm", "the length", M::Of(Q::Length), (0.1, LONGEST), IN_REACH),
    bore("circuit.supply.manifold.bore_mm", "the bore"),
    conductance("circuit.supply.restriction.c_dm3_s_bar"),
    ratio("circuit.supply.restriction.b"),
    row(
        "circuit.supply.lip_gap_um",
        "the gap under the lips",
        M::Fixed("µm"),
        (0.0, 5000.0),
        "a lip 5 mm off does not seal",
    ),
    bore("circuit.supply.area_gripper.bore_mm", "the bore"),
    // Source.
    level("source.curve.level_kpa", "a level of the curve", 0.0),
    row(
        "source.curve.flow_nl_min",
        "a flow of the curve",
        // Drawn or at the inlet, as the curve says.
        M::Fixed("L/min"),
        (0.0, 1e7),
        "no blower draws 10 000 m³ a minute",
    ),
    row(
        "source.feed.feed_kpa",
        "a feed pressure",
        M::Of(Q::FeedPressure),
        (0.1, 5000.0),
        "compressed air for tools has up to 1000 kPa",
    ),
    row("source.feed.flow_share", "the share of flow", M::Of(Q::Ratio), (1e-3, 100.0), "1 at the rated feed"),
    row(
        "source.feed.level_share",
        "the share of level",
        M::Of(Q::Ratio),
        (1e-3, 100.0),
        "1 at the rated feed",
    ),
    row("source.feed.air_nl_min", "the air used", M::Of(Q::Flow), (1e-3, 1e7), "an ejector uses some air"),
    row(
        "source.rated_feed_kpa",
        "the rated feed",
        M::Of(Q::FeedPressure),
        (0.0, 5000.0),
        "compressed air for tools has up to 1000 kPa",
    ),
    row("source.power_w", "the power", M::Fixed("W"), (0.0, 1e7), "no pump of a tool takes 10 MW"),
    bore("source.straight_bore_mm", "the bore that dirt passes"),
    row("source.volume_ml", "the volume", M::Fixed("ml"), (0.0, 1e8), "no source holds 100 m³"),
    row("source.mass_g", "the mass", M::Scaled(Q::Mass, 1e-3), (0.0, 1e8), HEAVY),
    // Review.
    place("remark.pin.Place", "the place"),
    // Cycle.
    row(
        "cycle.picks_per_hour",
        "the number of picks an hour",
        M::Plain,
        (1e-3, 1e5),
        "no tool picks 28 times a second",
    ),
    row("cycle.hold_s", "the hold time", M::Of(Q::Time), (0.0, DAY), A_DAY),
    row(
        "cycle.hours_per_year",
        "the working time a year",
        M::Fixed("h"),
        (1e-3, 8784.0),
        "a year has up to 8784; 4000 is two shifts",
    ),
    row("cycle.air_price_per_m3", "the price of air", M::Plain, (0.0, 1e9), "a price of a m³ ANR"),
    row("cycle.energy_price_per_kwh", "the price of energy", M::Plain, (0.0, 1e9), "a price of a kWh"),
    row(
        "cycle.compressor_kwh_per_m3",
        "the energy for a m³ of air",
        M::Fixed("kWh"),
        (1e-4, 100.0),
        "about 0.1 is usual",
    ),
    // Trial.
    level("trial.level", "the level at the cup", 1e-3),
    row("trial.time", "the time to the level", M::Of(Q::Time), (1e-3, DAY), A_DAY),
    level("trial.level_kpa", "the level to reach", 1e-3),
    level("trial.drop", "the level lost", 0.0),
    level("trial.from_kpa", "the level at the start of the leak-down", 1e-3),
    row("trial.over_s", "the time of the leak-down", M::Of(Q::Time), (1e-3, DAY), A_DAY),
    row("trial.friction", "the friction of the slide test", M::Of(Q::Ratio), (1e-3, 2.0), RUBBER),
    row("trial.points.time", "a time", M::Of(Q::Time), (0.0, DAY), A_DAY),
    level("trial.points.level", "a level", 0.0),
];
