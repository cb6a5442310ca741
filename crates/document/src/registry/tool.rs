//! Fields of a layout: what carries the cups, and the cups.

use super::{
    Field, HEAVY, IN_REACH, LONGEST, Measure as M, choice, length, number, other, place, text, turn,
};
use units::Quantity as Q;

/// In the order of the file.
pub(super) const FIELDS: &[Field] = &[
    other("layout.part", "part", M::Part),
    text("layout.proposed", "proposed for"),
    other("layout.seats.part", "part", M::Part),
    place("layout.seats.at", "place on the tool")
        .short("place")
        .helped("Of the part's datum, from the tool's datum at 0, 0"),
    turn("layout.seats.turn_deg", "turn on the tool")
        .short("turn")
        .helped("Of the part about its own datum, counter-clockwise"),
    text("layout.seats.shut", "zones shut").helped("Their valves are shut while this part is carried"),
    other("layout.seats.left_out", "motions left out", M::Text)
        .helped("Motions that this part does not make"),
    other("layout.seats.may_stay_shut", "cups that may stay shut", M::Text)
        .helped("Cups on the part that it does not need: fewer valves may do"),
    number(
        "layout.seats.share",
        "share of cycles",
        M::Plain,
        (1e-6, 1e6),
        "a part that is never picked needs no place on the tool",
    )
    .helped("How many of this part are picked for how many of the others"),
    place("layout.seats.stops.edges", "edges at the stops")
        .each()
        .helped("A place on each edge, from the drawing's origin"),
    place("layout.seats.stops.at", "place of a stop")
        .each()
        .short("stop")
        .helped("Of the point that touches, from the tool's datum at 0, 0"),
    place("tool.flange", "place of the flange")
        .short("flange")
        .helped("From the origin of the drawing; Z is its height above the lips"),
    number("tool.masses.mass_kg", "mass", M::Of(Q::Mass), (1e-6, 1e5), HEAVY).why_at(super::WEIGHT),
    place("tool.masses.at", "place"),
    length("tool.masses.size", "size", (0.0, LONGEST), IN_REACH).why_at(super::REACH).helped("0 for a point"),
    turn("tool.masses.turn_deg", "turn").helped("Of a block from X"),
    place("tool.frame.at", "place"),
    turn("tool.frame.turn_deg", "turn").helped("Of its length from X"),
    length("tool.frame.height_mm", "height above the lips", (0.0, LONGEST), IN_REACH)
        .why_at(super::REACH)
        .helped("Of its centre"),
    other("tool.frame.shape", "shape", M::Of(Q::Length)),
    length("tool.frame.length_mm", "length", (0.1, LONGEST), IN_REACH).why_at(super::REACH),
    length("tool.frame.width_mm", "width", (0.1, LONGEST), IN_REACH).why_at(super::REACH),
    length("tool.frame.pitch_mm", "pitch", (0.0, LONGEST), "0 is an open slot")
        .helped("Pitch of the mounting positions for cups; 0 is an open slot"),
    length("tool.frame.first_mm", "first mounting position", (0.0, LONGEST), IN_REACH)
        .why_at(super::REACH)
        .helped("From its start"),
    number(
        "tool.frame.kg_m",
        "mass per length",
        M::Of(Q::LineMass),
        (0.0, 1e4),
        "a rail of solid steel, {} high and wide, has {}",
    )
    .why_at(&[(1000.0, Q::Length), (7850.0, Q::LineMass)]),
    number(
        "tool.frame.kg_m2",
        "mass per area",
        M::Of(Q::ArealMass),
        (0.0, 1e4),
        "a plate of steel {} thick has {}",
    )
    .why_at(&[(1000.0, Q::Length), (7850.0, Q::ArealMass)]),
    text("cup.tag", "tag").helped("For people; the program tracks cups by a number that never changes"),
    other("cup.model", "cup model", M::Model),
    place("cup.at", "place").helped("From the origin of the drawing"),
    turn("cup.turn_deg", "turn").helped("Counter-clockwise, of the lip's length axis from X"),
    length("cup.height_mm", "post height", (0.0, 1e4), "no post is over {}")
        .why_at(&[(10.0, Q::Altitude)])
        .helped("Added between frame and cup"),
    other("cup.circuit", "circuit", M::Circuit).helped("Cups that share one source"),
    text("cup.zone", "zone").helped("Cups switched by one valve"),
    choice("cup.locked", "locked"),
];
