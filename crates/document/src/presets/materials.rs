//! Materials that a form offers, and the names people call them by.

mod called;

use crate::{MassBy, Part, Sourced, Texture, Wetness};
pub use called::materials_called;

/// How the mass of a preset material is given.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum PresetMass {
    /// kg/m³.
    Density(f64),
    /// kg/m².
    Areal(f64),
}

/// A material for the form: generic figures, each to be replaced by what is measured or stated.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MaterialPreset {
    /// What it is called.
    pub name: &'static str,
    /// What else it is called: short forms, other spellings, what it is a kind of.
    pub also: &'static [&'static str],
    /// Density or mass per area.
    pub mass: PresetMass,
    /// Where the mass comes from.
    pub mass_from: &'static str,
    /// Usual thickness to start from, mm.
    pub thickness_mm: f64,
    /// What its surface is like.
    pub texture: Texture,
    /// Friction coefficient of a rubber lip when dry, damp, oily (common practice, no source; on the low side).
    pub friction: [f64; 3],
    /// Height variation under a lip to start from, mm.
    pub uneven_mm: f64,
    /// How easily air comes through, µm/(Pa·s); `None` for one that is airtight. Of a porous one a figure to begin with, on the
    /// leaky side of what air-permeability tests give (Gurley times of board, permeabilities of wood and gypsum; from
    /// memory, rounded): a cup on the real part says better.
    pub permeance_um_pa_s: Option<f64>,
    /// Modulus of elasticity, N/mm², and Poisson's ratio: typical handbook figures (from memory, rounded). `None` for one that
    /// does not bend the same in every direction, or not like a sheet.
    pub bending: Option<[f64; 2]>,
}

impl MaterialPreset {
    /// Friction coefficient for what lies on the surface.
    pub fn friction_when(&self, wetness: Wetness) -> f64 {
        match wetness {
            Wetness::Dry => self.friction[0],
            Wetness::Damp => self.friction[1],
            Wetness::Oily => self.friction[2],
        }
    }
    /// Lets the part bend as a flat sheet of this material does, with figures that are marked assumed; nothing changes where the
    /// material has none.
    pub fn let_bend(&self, part: &mut Part) {
        if let Some([modulus, poisson]) = self.bending {
            part.modulus_n_mm2 = Some(Sourced::assumed(modulus));
            part.poisson = Some(Sourced::assumed(poisson));
        }
    }
    /// Makes the part of this material: name, thickness, mass, texture, permeance, friction and unevenness, all marked
    /// assumed.
    /// What lies on the surface is kept.
    pub fn apply_to(&self, part: &mut Part) {
        part.material = self.name.to_owned();
        part.thickness_mm = self.thickness_mm;
        part.mass = match self.mass {
            PresetMass::Density(value) => MassBy::Density { kg_m3: Sourced::assumed(value) },
            PresetMass::Areal(value) => MassBy::Areal { kg_m2: Sourced::assumed(value) },
        };
        part.surface.texture = self.texture;
        part.permeance_um_pa_s = self.permeance_um_pa_s.map(Sourced::assumed);
        part.friction = Sourced::assumed(self.friction_when(part.surface.wetness));
        part.uneven_mm = self.uneven_mm;
        // A sheet that bends goes on bending, as the new material does; stated figures were those of the old one.
        if part.modulus_n_mm2.take().is_some() {
            part.poisson = None;
            part.modulus_across_n_mm2 = None;
            part.allowable_n_mm2 = None;
            self.let_bend(part);
        }
    }
}

const HANDBOOK: &str = "typical handbook value (from memory)";
const GLASS: &str = "EN 572-1: 2500 kg/m³ for soda-lime glass (from memory)";
const STEEL: &str = "EN 1991-1-1, table A.4: 77 to 78.5 kN/m³ for steel (from memory)";
const SMOOTH: [f64; 3] = [0.5, 0.25, 0.1];
const PLASTIC: [f64; 3] = [0.4, 0.2, 0.1];
const ROUGH: [f64; 3] = [0.6, 0.4, 0.2];
const FIBRE: [f64; 3] = [0.5, 0.3, 0.15];

#[expect(clippy::too_many_arguments, reason = "a row of the table below, in the order of its columns")]
const fn material(
    name: &'static str,
    also: &'static [&'static str],
    mass: PresetMass,
    mass_from: &'static str,
    thickness_mm: f64,
    texture: Texture,
    friction: [f64; 3],
    uneven_mm: f64,
) -> MaterialPreset {
    let permeance_um_pa_s = None;
    MaterialPreset {
        name,
        also,
        mass,
        mass_from,
        thickness_mm,
        texture,
        friction,
        uneven_mm,
        permeance_um_pa_s,
        bending: None,
    }
}

impl MaterialPreset {
    /// The material with a modulus of elasticity, N/mm², and Poisson's ratio.
    const fn bends(self, modulus_n_mm2: f64, poisson: f64) -> Self {
        Self { bending: Some([modulus_n_mm2, poisson]), ..self }
    }
    /// The material with a permeance, µm/(Pa·s).
    const fn lets_through(self, permeance_um_pa_s: f64) -> Self {
        Self { permeance_um_pa_s: Some(permeance_um_pa_s), ..self }
    }
}

/// Permeance of a porous part of which nothing else is known, µm/(Pa·s): that of single-wall corrugated board (invented, on
/// the leaky side).
pub const POROUS_UM_PA_S: f64 = 6.0;

use PresetMass::{Areal, Density};
use Texture::{Film, Porous, Smooth, Structured};

/// Materials a form offers, steel sheet first.
pub const MATERIALS: &[MaterialPreset] = &[
    material(
        "Steel sheet",
        &[
            "steel",
            "mild steel",
            "carbon steel",
            "sheet steel",
            "sheet metal",
            "galvanised steel",
            "tinplate",
        ],
        Density(7850.0),
        STEEL,
        1.0,
        Smooth,
        SMOOTH,
        0.2,
    )
    .bends(210_000.0, 0.3),
    material(
        "Stainless steel sheet",
        &["stainless", "stainless steel", "inox"],
        Density(7900.0),
        HANDBOOK,
        1.0,
        Smooth,
        SMOOTH,
        0.2,
    )
    .bends(200_000.0, 0.3),
    material(
        "Aluminium sheet",
        &["aluminium", "alu", "light alloy"],
        Density(2700.0),
        HANDBOOK,
        2.0,
        Smooth,
        SMOOTH,
        0.2,
    )
    .bends(70_000.0, 0.33),
    material("Copper sheet", &["copper"], Density(8900.0), HANDBOOK, 1.0, Smooth, SMOOTH, 0.2)
        .bends(120_000.0, 0.34),
    material(
        "Ribbed or embossed sheet metal",
        &["tread plate", "chequer plate", "checker plate", "embossed steel", "ribbed steel"],
        Density(7850.0),
        STEEL,
        1.5,
        Structured,
        SMOOTH,
        1.0,
    ),
    material(
        "Float glass",
        &["glass", "window glass", "pane", "tempered glass", "toughened glass", "soda-lime glass", "mirror"],
        Density(2500.0),
        GLASS,
        6.0,
        Smooth,
        SMOOTH,
        0.1,
    )
    .bends(70_000.0, 0.2),
    material(
        "Structured glass",
        &["patterned glass", "textured glass", "frosted glass"],
        Density(2500.0),
        GLASS,
        4.0,
        Structured,
        SMOOTH,
        0.5,
    )
    .bends(70_000.0, 0.2),
    material(
        "Ceramic tile",
        &["tile", "ceramic", "porcelain", "stoneware"],
        Density(2000.0),
        HANDBOOK,
        9.0,
        Smooth,
        SMOOTH,
        0.5,
    )
    .bends(50_000.0, 0.2),
    material(
        "Natural stone, sawn",
        &["stone", "granite", "marble", "slate"],
        Density(2700.0),
        HANDBOOK,
        20.0,
        Structured,
        ROUGH,
        0.5,
    ),
    material(
        "Concrete slab",
        &["concrete", "cement", "paving slab"],
        Density(2400.0),
        HANDBOOK,
        50.0,
        Porous,
        ROUGH,
        1.5,
    )
    .bends(30_000.0, 0.2)
    .lets_through(0.005),
    material(
        "Gypsum board",
        &["plasterboard", "drywall", "gypsum plasterboard", "wallboard"],
        Areal(9.0),
        HANDBOOK,
        12.5,
        Porous,
        FIBRE,
        0.3,
    )
    .bends(2500.0, 0.25)
    .lets_through(0.3),
    material(
        "Corrugated board, single wall",
        &["corrugated cardboard", "cardboard", "fluted board", "carton", "box board"],
        Areal(0.55),
        HANDBOOK,
        4.0,
        Porous,
        FIBRE,
        1.0,
    )
    .lets_through(6.0),
    material(
        "Corrugated board, double wall",
        &["corrugated cardboard", "cardboard", "fluted board", "carton", "box board"],
        Areal(0.95),
        HANDBOOK,
        7.0,
        Porous,
        FIBRE,
        1.5,
    )
    .lets_through(4.0),
    material(
        "Folding carton",
        &["carton board", "cardboard", "paperboard", "folding boxboard", "solid board"],
        Areal(0.35),
        HANDBOOK,
        0.5,
        Porous,
        FIBRE,
        0.5,
    )
    .bends(3000.0, 0.3)
    .lets_through(2.0),
    material(
        "Plywood",
        &["ply", "multiplex", "birch ply"],
        Density(680.0),
        HANDBOOK,
        18.0,
        Structured,
        ROUGH,
        0.5,
    )
    .bends(7000.0, 0.3),
    material(
        "Fibreboard, medium density",
        &["MDF", "medium density fibreboard", "fibreboard"],
        Density(750.0),
        HANDBOOK,
        16.0,
        Porous,
        FIBRE,
        0.2,
    )
    .bends(3000.0, 0.3)
    .lets_through(0.5),
    material(
        "Chipboard, coated",
        &[
            "chipboard",
            "chip board",
            "particle board",
            "particleboard",
            "melamine board",
            "laminated board",
            "PB",
        ],
        Density(680.0),
        HANDBOOK,
        16.0,
        Smooth,
        SMOOTH,
        0.2,
    )
    .bends(2500.0, 0.3),
    material(
        "Oriented strand board",
        &["OSB", "strand board"],
        Density(620.0),
        HANDBOOK,
        15.0,
        Structured,
        ROUGH,
        1.0,
    )
    .bends(3500.0, 0.3),
    material(
        "Sawn softwood",
        &["wood", "timber", "lumber", "softwood", "pine", "spruce"],
        Density(480.0),
        HANDBOOK,
        24.0,
        Porous,
        ROUGH,
        1.5,
    )
    .lets_through(0.2),
    material(
        "Acrylic sheet",
        &["acrylic", "acrylic glass", "PMMA"],
        Density(1190.0),
        HANDBOOK,
        4.0,
        Smooth,
        PLASTIC,
        0.2,
    )
    .bends(3100.0, 0.37),
    material(
        "Polycarbonate sheet",
        &["polycarbonate", "PC"],
        Density(1200.0),
        HANDBOOK,
        4.0,
        Smooth,
        PLASTIC,
        0.2,
    )
    .bends(2300.0, 0.38),
    material(
        "Rigid vinyl sheet",
        &["PVC", "vinyl", "polyvinyl chloride"],
        Density(1400.0),
        HANDBOOK,
        3.0,
        Smooth,
        PLASTIC,
        0.3,
    )
    .bends(3000.0, 0.38),
    material(
        "Polyethylene sheet",
        &["polyethylene", "polythene", "PE", "HDPE", "LDPE"],
        Density(950.0),
        HANDBOOK,
        4.0,
        Smooth,
        [0.3, 0.15, 0.08],
        0.5,
    )
    .bends(900.0, 0.42),
    material(
        "Polypropylene tray",
        &["polypropylene", "PP"],
        Density(905.0),
        HANDBOOK,
        1.5,
        Smooth,
        [0.3, 0.15, 0.08],
        0.5,
    )
    .bends(1400.0, 0.42),
    material(
        "Moulded part, textured",
        &["moulding", "ABS", "polystyrene", "injection moulded"],
        Density(1050.0),
        HANDBOOK,
        2.5,
        Structured,
        PLASTIC,
        0.5,
    )
    .bends(2200.0, 0.37),
    material(
        "Carbon fibre laminate",
        &["carbon", "carbon fibre", "CFRP"],
        Density(1550.0),
        HANDBOOK,
        2.0,
        Smooth,
        PLASTIC,
        0.2,
    )
    .bends(60_000.0, 0.3),
    material(
        "Printed circuit board",
        &["PCB", "circuit board", "FR4"],
        Density(1850.0),
        HANDBOOK,
        1.6,
        Structured,
        PLASTIC,
        0.3,
    )
    .bends(22_000.0, 0.15),
    material(
        "Film bag",
        &["bag", "film", "pouch", "foil bag"],
        Areal(0.1),
        HANDBOOK,
        0.1,
        Film,
        PLASTIC,
        3.0,
    ),
];
