//! Fields of a cup model.

use super::{Field, Measure as M, bore, choice, length, number, text};
use units::Quantity as Q;

const NO_CUP: &str = "no cup is over {}";
const LANDS: &str = "Outer size under load: the area that must land";

/// In the order of the file.
pub(super) const FIELDS: &[Field] = &[
    choice("model.shape", "shape"),
    length("model.shape.diameter", "lip diameter", (0.1, 5000.0), NO_CUP)
        .why_at(&[(5.0, Q::Altitude)])
        .helped(LANDS),
    length("model.shape.length", "lip length", (0.1, 5000.0), NO_CUP)
        .why_at(&[(5.0, Q::Altitude)])
        .helped(LANDS),
    length("model.shape.width", "lip width", (0.1, 5000.0), NO_CUP)
        .why_at(&[(5.0, Q::Altitude)])
        .helped(LANDS),
    length("model.shape.corner", "corner radius", (0.0, 2500.0), "at most half the lip\u{2019}s width"),
    number(
        "model.sealing_share",
        "sealing line",
        M::Of(Q::Share),
        (0.1, 1.0),
        "a share of its outer size; 80 to 95 % is usual",
    )
    .helped("Size of the sealing line as a share of the outer size"),
    bore("model.bore_mm", "bore").helped("Inside diameter of the air passage"),
    length("model.height_mm", "height", (0.01, 5000.0), NO_CUP)
        .why_at(&[(5.0, Q::Altitude)])
        .helped("Unloaded"),
    length("model.travel_mm", "travel", (0.0, 5000.0), "at most its height")
        .helped("How far it compresses: evens out height variation"),
    length("model.channel_mm", "air gap", (0.0, 1000.0), "at most its height").helped(
        "Gap left for the air under a compressed cup: a small one starves the ends of a long cup on a \
        leaking part",
    ),
    number(
        "model.free_ml",
        "volume inside",
        M::Of(Q::Volume),
        (1e-3, 1e6),
        "from the smallest cup to one as large as a barrel",
    )
    .helped(
        "Air inside before it is compressed: all of it is evacuated, including the travel. Unless entered: \
        lip area × (travel + air gap), plus the bore",
    ),
    number("model.folds", "number of folds", M::Plain, (0.0, 20.0), "0 for a flat cup").short("folds"),
    number(
        "model.axial_n_mm",
        "axial stiffness",
        M::Of(Q::Stiffness),
        (1e-4, 1e6),
        "from foam to a metal post",
    )
    .helped("Along the cup's axis"),
    number(
        "model.lateral_n_mm",
        "lateral stiffness",
        M::Of(Q::Stiffness),
        (1e-4, 1e6),
        "from foam to a metal post",
    )
    .helped("Across the cup's axis"),
    number(
        "model.tilt_reduction",
        "tilt share",
        M::Of(Q::Ratio),
        (0.0, 10.0),
        "1 is the stiffness of the lip line; a bellows has less",
    )
    .helped("Tilt stiffness relative to that of its lip line"),
    length(
        "model.side_lever_mm",
        "side-load lever",
        (0.0, 5000.0),
        "up to its height; half of it is usual, 0 on a ball joint",
    )
    .helped(
        "Height above the lip at which a side load acts and tilts the lip: half the height of a cup held \
        square at its fitting, 0 on a ball joint",
    ),
    length(
        "model.lip_width_mm",
        "bearing width",
        (0.01, 1000.0),
        "from a sharp edge to a foam ring; a twentieth of the lip is usual",
    )
    .helped(
        "Width of the ring the lip rests on: half the width leaks twice as much. Unless entered, the width \
        between sealing line and outer edge",
    ),
    number(
        "model.hardness_shore_a",
        "hardness",
        M::Fixed("Shore A"),
        (0.0, 100.0),
        "the scale ends at 100; 30 to 60 is usual",
    )
    .helped("Of the lip"),
    choice("model.lip", "kind of lip"),
    number("model.lip_life_picks", "lip life", M::Fixed("cycles"), (1.0, 1e10), "a million is usual")
        .helped("Cycles a lip lasts until the set is changed"),
    number(
        "model.seal_minimum_n_mm",
        "seal minimum",
        M::Of(Q::LineForce),
        (0.0, 1000.0),
        "a lip needs about {}",
    )
    .why_at(&[(0.03, Q::LineForce)])
    .helped("Force per length of lip below which it leaks"),
    length("model.closes_mm", "gap it seals", (0.0, 1000.0), "no lip seals a gap of {}")
        .why_at(&[(1000.0, Q::Length)])
        .helped("Height variation under the lip itself that it still seals"),
    choice("model.allowed", "surfaces it suits"),
    text("model.material", "lip material"),
    text("model.thread", "thread"),
    length("model.drill_mm", "hole in the tool", (0.0, 500.0), "no cup is fastened in a hole over {}")
        .why_at(&[(500.0, Q::Length)])
        .helped("Drilled for its fastening: a clearance hole, or the hole to tap. 0: not stated"),
    number("model.mass_g", "mass", M::Scaled(Q::Mass, 1e-3), (0.0, 1e6), "no cup weighs {}")
        .why_at(&[(1000.0, Q::Mass)]),
];
