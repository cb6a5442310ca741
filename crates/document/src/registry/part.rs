//! Fields of a part.

use super::{
    Field, HEAVY, IN_REACH, LONGEST, Measure as M, RUBBER, choice, length, number, place, text, turn,
};
use units::Quantity as Q;

/// In the order of the file.
pub(super) const FIELDS: &[Field] = &[
    text("part.name", "name"),
    choice("part.outline", "outline"),
    place("part.outline.at", "corner").each(),
    number("part.outline.bulge", "bulge", M::Plain, (-1e4, 1e4), "beyond, an arc is a circle but for 0.02°")
        .each(),
    choice("part.keep_outs.area", "area"),
    choice("part.datum", "datum"),
    choice("part.datum.on", "what the datum lies on"),
    place("part.datum.at", "place of the datum"),
    text("part.drawing.file_name", "file"),
    text("part.drawing.sha256", "checksum"),
    text("part.drawing.unit", "unit"),
    text("part.material", "material").helped("Sets density and a starting friction; both can be changed"),
    length("part.thickness_mm", "thickness", (1e-4, 5000.0), "from a foil to a block")
        .helped("Outline area × thickness × density gives the mass unless the mass is stated")
        .usual("a starting value; enter your own"),
    choice("part.mass", "mass"),
    number("part.mass.Density.kg_m3", "density", M::Of(Q::Density), (0.1, 25_000.0), "osmium has {}")
        .why_at(&[(22_590.0, Q::Density)])
        .usual("steel, as the preset material"),
    number("part.mass.Areal.kg_m2", "mass per area", M::Of(Q::ArealMass), (1e-4, 1e5), HEAVY)
        .why_at(super::WEIGHT)
        .helped("Grammage of a board or film"),
    number("part.mass.Stated.kg", "mass", M::Of(Q::Mass), (1e-6, 1e5), HEAVY)
        .why_at(super::WEIGHT)
        .helped("Without attached masses"),
    place("part.centre_of_gravity", "centre of gravity").helped(
        "X and Y from the origin of the drawing. Z: 0 is the face the lips land on, + towards the tool",
    ),
    number("part.attached.mass_kg", "mass", M::Of(Q::Mass), (1e-6, 1e5), HEAVY).why_at(super::WEIGHT),
    place("part.attached.at", "place")
        .helped("From the origin of the drawing. Z: 0 is the face the lips land on, + towards the tool"),
    length("part.attached.size", "size", (0.0, LONGEST), IN_REACH)
        .why_at(super::REACH)
        .helped("0 for a point"),
    turn("part.attached.turn_deg", "turn").helped("Of a block from X"),
    choice("part.surface.texture", "surface")
        .helped("Decides which lips suit the part: a finding says when a model is not meant for it"),
    choice("part.surface.wetness", "condition")
        .helped("Sets a conservative starting friction; measure it on the real part"),
    number("part.friction", "friction", M::Of(Q::Ratio), (1e-3, 2.0), RUBBER)
        .helped("Friction belongs to one pair of lip and surface: a slide test on the real part settles it")
        .usual("rubber on dry clean steel, the preset material; assumed until it is measured"),
    text("part.pairs.lip_material", "lip material"),
    number("part.pairs.friction", "friction", M::Of(Q::Ratio), (1e-3, 2.0), RUBBER)
        .helped("Replaces the friction above for lips of this material"),
    number(
        "part.permeance_um_pa_s",
        "air permeability",
        M::Of(Q::Permeance),
        (0.0, 1e6),
        "0 states that the part is airtight",
    )
    .helped(
        "Speed of the air through the part per pascal: air volume over area, pressure and time of a leak \
        test. 0 means airtight, like a coated board",
    ),
    number(
        "part.modulus_n_mm2",
        "modulus of elasticity",
        M::Of(Q::Stress),
        (0.1, 1e6),
        "soft foam has the least, diamond the most",
    )
    .helped("For a flat sheet of even thickness: once entered, the part bends between its cups")
    .usual("typical of the material; a part is rigid until it is treated as flexible"),
    number("part.poisson", "Poisson's ratio", M::Plain, (0.0, 0.499), "0.5 would not change its volume")
        .helped("How much a sheet narrows when it is stretched")
        .usual("metals, glass and hard plastics have 0.2 to 0.4"),
    number(
        "part.modulus_across_n_mm2",
        "modulus across",
        M::Of(Q::Stress),
        (0.1, 1e6),
        "soft foam has the least, diamond the most",
    )
    .helped("For board, at right angles to the first: gives the sheet two stiffnesses"),
    number(
        "part.along_deg",
        "direction of the first modulus",
        M::Of(Q::Angle),
        (-360.0, 360.0),
        "a whole turn is the same again",
    )
    .helped("From x, counter-clockwise: along the flute of board, along the grain of wood")
    .usual("a blank is drawn with its flute along x until the drawing says otherwise"),
    number(
        "part.allowable_n_mm2",
        "allowable bending stress",
        M::Of(Q::Stress),
        (0.01, 1e5),
        "steel of a spring has about {}",
    )
    .why_at(&[(1500.0, Q::Stress)])
    .helped(
        "Stress the material may carry permanently, with its own reserve included. For glass, the standard \
        for the building or plant decides",
    ),
    number(
        "part.damping",
        "damping ratio",
        M::Of(Q::Ratio),
        (1e-4, 0.9),
        "0.01 is usual of thin metal, 0.05 of board",
    )
    .helped("Share of critical damping with which the sheet rings on its cups")
    .usual("thin metal on rubber cups rings down at about 0.01; a hand test with a stopwatch settles it"),
    choice("part.stiff_blocks", "attached blocks stiffen the sheet").helped(
        "Yes if they are screwed or glued over their whole footprint; a box lying in a tray does not \
            stiffen it",
    ),
    length("part.uneven_mm", "height variation", (0.0, 1000.0), "no lip seals a gap of {}")
        .why_at(&[(1000.0, Q::Length)])
        .helped("Between the lips; cups need at least this travel")
        .usual("a flat sheet on a table lies within this"),
    length(
        "part.placement.position_mm",
        "position tolerance",
        (0.0, 1e4),
        "a part that lies {} off is not there",
    )
    .why_at(&[(10.0, Q::Altitude)])
    .helped(TOLERANCE)
    .usual("typical of a stop or a stack"),
    number(
        "part.placement.turn_deg",
        "turn tolerance",
        M::Of(Q::Angle),
        (0.0, 180.0),
        "beyond half a turn it lies the other way",
    )
    .helped(TOLERANCE)
    .usual("typical of a stop or a stack"),
    length(
        "part.placement.drawing_mm",
        "contour tolerance",
        (0.0, 1e4),
        "a part {} off its drawing is another part",
    )
    .why_at(&[(10.0, Q::Altitude)])
    .helped(TOLERANCE)
    .usual("typical of a cut sheet"),
];

const TOLERANCE: &str = "±. Required clearance = position + turn × distance from the middle + contour";
