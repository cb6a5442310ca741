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
    number("part.outline.bulge", "bulge", M::Plain, (-1e4, 1e4), "beyond, an arc is a circle but for 0.02°").each(),
    choice("part.keep_outs.area", "area"),
    text("part.drawing.file_name", "file"),
    text("part.drawing.sha256", "checksum"),
    text("part.drawing.unit", "unit"),
    text("part.material", "material").help("Sets density and a friction to start from; both stay editable"),
    length("part.thickness_mm", "thickness", (1e-4, 5000.0), "from a foil to a block")
        .help("Outline area × thickness × density gives the mass unless the mass is stated")
        .usual("a sheet to begin with; it is asked for"),
    choice("part.mass", "mass"),
    number("part.mass.Density.kg_m3", "density", M::Of(Q::Density), (0.1, 25_000.0), "osmium has 22 590 kg/m³")
        .usual("steel, as the preset material"),
    number("part.mass.Areal.kg_m2", "mass per area", M::Of(Q::ArealMass), (1e-4, 1e5), HEAVY)
        .help("Grammage of a board or film"),
    number("part.mass.Stated.kg", "mass", M::Of(Q::Mass), (1e-6, 1e5), HEAVY).help("Without attached masses"),
    place("part.centre_of_gravity", "centre of gravity")
        .help("X and Y from the datum. Z: 0 is the face the lips land on, + towards the tool"),
    number("part.attached.mass_kg", "mass", M::Of(Q::Mass), (1e-6, 1e5), HEAVY),
    place("part.attached.at", "place").help("From the datum. Z: 0 is the face the lips land on, + towards the tool"),
    length("part.attached.size", "size", (0.0, LONGEST), IN_REACH).help("0 for a point"),
    turn("part.attached.turn_deg", "turn").help("Of a block from X"),
    choice("part.surface.texture", "surface")
        .help("Which lips suit it: a finding says when a model is not meant for it"),
    choice("part.surface.wetness", "condition")
        .help("Sets a cautious friction to start from; measure it with the real part"),
    number("part.friction", "friction", M::Of(Q::Ratio), (1e-3, 2.0), RUBBER)
        .help("Friction belongs to one pair of lip and surface: a slide test with the real part settles it")
        .usual("rubber on dry clean steel, the preset material; assumed until it is measured"),
    text("part.pairs.lip_material", "lip material"),
    number("part.pairs.friction", "friction", M::Of(Q::Ratio), (1e-3, 2.0), RUBBER)
        .help("Replaces the friction above for lips of this material"),
    number(
        "part.permeance_um_pa_s",
        "air permeability",
        M::Of(Q::Permeance),
        (0.0, 1e6),
        "0 states that the part is airtight",
    )
    .help(
        "Speed of the air through the part for each pascal: flow over area, pressure and time of a leak test. 0 states that it is \
         airtight, as a coated board",
    ),
    number(
        "part.modulus_n_mm2",
        "modulus of elasticity",
        M::Fixed("N/mm²"),
        (0.1, 1e6),
        "soft foam has a few N/mm², diamond about 1 000 000",
    )
    .help("Of a flat sheet of even thickness: with it the part bends between its cups")
    .usual("typical of the material; a part is rigid until it is let bend"),
    number("part.poisson", "Poisson's ratio", M::Plain, (0.0, 0.499), "0.5 would not change its volume")
        .help("How much a sheet narrows when it is stretched")
        .usual("metals, glass and hard plastics have 0.2 to 0.4"),
    number(
        "part.modulus_across_n_mm2",
        "modulus across",
        M::Fixed("N/mm²"),
        (0.1, 1e6),
        "soft foam has a few N/mm², diamond about 1 000 000",
    )
    .help("Of board, at right angles to the first: with it the sheet has two stiffnesses"),
    number("part.along_deg", "direction of the first modulus", M::Of(Q::Angle), (-360.0, 360.0), "a whole turn is the same again")
        .help("From x, counter-clockwise: along the flute of board, along the grain of wood")
        .usual("a blank is drawn with its flute along x until the drawing says otherwise"),
    number(
        "part.allowable_n_mm2",
        "allowable bending stress",
        M::Fixed("N/mm²"),
        (0.01, 1e5),
        "steel of a spring has about 1500 N/mm²",
    )
    .help("What the material may have for good, with its own reserve in it. For glass the standard for the building or plant decides"),
    number("part.damping", "damping ratio", M::Of(Q::Ratio), (1e-4, 0.9), "0.01 is usual of thin metal, 0.05 of board")
        .help("Share of critical damping with which the sheet rings on its cups")
        .usual("thin metal on rubber cups rings down at about 0.01; a hand test with a stopwatch settles it"),
    choice("part.stiff_blocks", "attached blocks stiffen the sheet")
        .help("Yes where they are screwed or glued over their whole footprint; a box that lies in a tray does not"),
    length("part.uneven_mm", "height variation", (0.0, 1000.0), "no lip closes 1 m")
        .help("Between the lips; cups need at least this travel")
        .usual("flat sheet lies within this on a table"),
    length("part.placement.position_mm", "position tolerance", (0.0, 1e4), "a part that lies 10 m off is not there")
        .help(TOLERANCE)
        .usual("a stop or a stack places so well"),
    number(
        "part.placement.turn_deg",
        "turn tolerance",
        M::Of(Q::Angle),
        (0.0, 180.0),
        "beyond half a turn it lies the other way",
    )
    .help(TOLERANCE)
    .usual("a stop or a stack places so well"),
    length("part.placement.drawing_mm", "contour tolerance", (0.0, 1e4), "a part 10 m off its drawing is another part")
        .help(TOLERANCE)
        .usual("a sheet is cut so well"),
];

const TOLERANCE: &str = "±. Required clearance = position + turn × distance from the middle + contour";
