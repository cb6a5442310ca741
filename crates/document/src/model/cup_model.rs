//! A cup model: a kind of cup.

use super::{ModelId, Sourced, Texture};
use geometry::LipShape;

/// A kind of cup.
#[derive(Debug, Clone, PartialEq)]
pub struct CupModel {
    /// Never reused.
    pub id: ModelId,
    /// For people.
    pub name: String,
    /// Outer lip under load, mm.
    pub shape: LipShape,
    /// Sealing line over outer size, 0.8-0.95.
    pub sealing_share: Sourced<f64>,
    /// Opening for the air, mm.
    pub bore_mm: f64,
    /// From the thread's face to the lip, unloaded, mm.
    pub height_mm: f64,
    /// How far it gives along its axis, mm.
    pub travel_mm: Sourced<f64>,
    /// Free height left under the cup for the air when it is drawn down, mm.
    pub channel_mm: Sourced<f64>,
    /// Air inside it at rest, before it is drawn down, ml; where nobody stated it see [`Self::free`].
    pub free_ml: Option<Sourced<f64>>,
    /// Folds of the bellows; 0 for a flat cup.
    pub folds: u8,
    /// Axial stiffness, N/mm.
    pub axial_n_mm: Sourced<f64>,
    /// Lateral stiffness, N/mm.
    pub lateral_n_mm: Sourced<f64>,
    /// 1 = tilt stiffness of the lip line; less for bellows.
    pub tilt_reduction: Sourced<f64>,
    /// Height above the lip at which a side load passes without tilting, mm; where nobody stated it see
    /// [`Self::side_lever`].
    pub side_lever_mm: Option<Sourced<f64>>,
    /// How wide the lip bears on the part, mm: what leaks under it goes as one over this; where nobody stated it see
    /// [`Self::lip_width`].
    pub lip_width_mm: Option<Sourced<f64>>,
    /// Lip hardness, Shore A.
    pub hardness_shore_a: f64,
    /// What the lip is like.
    pub lip: LipKind,
    /// How many picks a lip lasts until the set is changed.
    pub lip_life_picks: Sourced<f64>,
    /// Line force the lip needs to stay sealed, N/mm.
    pub seal_minimum_n_mm: Sourced<f64>,
    /// Height variation under the lip itself that it closes, mm.
    pub closes_mm: f64,
    /// Surfaces it is meant for.
    pub allowed: Vec<Texture>,
    /// Of the lip, in generic words.
    pub material: String,
    /// How it is fastened.
    pub thread: String,
    /// Hole drilled in the tool for its fastening, mm: a clearance hole, or the hole to tap; `None` where nobody stated it.
    pub drill_mm: Option<f64>,
    /// Mass, g.
    pub mass_g: f64,
}
/// mm³ in a ml.
const MM3_PER_ML: f64 = 1e3;

impl CupModel {
    /// A flat cup of which only the lip's outline is known: nothing else is stated, what must have a figure has 0, assumed.
    pub fn unstated(id: ModelId, name: &str, shape: LipShape) -> Self {
        let nothing = || Sourced::assumed(0.0);
        Self {
            id,
            name: name.to_owned(),
            shape,
            sealing_share: Sourced::assumed(1.0),
            bore_mm: 0.0,
            height_mm: 0.0,
            travel_mm: nothing(),
            channel_mm: nothing(),
            free_ml: None,
            folds: 0,
            axial_n_mm: nothing(),
            lateral_n_mm: nothing(),
            tilt_reduction: Sourced::assumed(1.0),
            side_lever_mm: None,
            lip_width_mm: None,
            hardness_shore_a: 0.0,
            lip: LipKind::Plain,
            lip_life_picks: Sourced::assumed(LipKind::Plain.life_picks()),
            seal_minimum_n_mm: nothing(),
            closes_mm: 0.0,
            allowed: Vec::new(),
            material: String::new(),
            thread: String::new(),
            drill_mm: None,
            mass_g: 0.0,
        }
    }

    /// Air inside the cup at rest, ml: as stated, else what follows from its geometry, an assumption: the area within its sealing
    /// line times its travel and the height left for the air, and its bore times its height. No cup is quite a cylinder.
    pub fn free(&self) -> Sourced<f64> {
        self.free_ml.clone().unwrap_or_else(|| {
            let line = self.sealing_shape().line();
            let height = (self.travel_mm.value + self.channel_mm.value).max(0.0);
            let bore = std::f64::consts::FRAC_PI_4 * self.bore_mm * self.bore_mm * self.height_mm;
            Sourced::assumed((line.area * height + bore.max(0.0)) / MM3_PER_ML)
        })
    }

    /// Lever with which a side load tilts the lip, mm: as stated, else half the height, an assumption. A cup that its fitting
    /// holds square bends into an S under a side load, with no moment half-way up; on a ball joint the lever is 0.
    ///
    /// # Source
    /// Beam between two ends that stay square (statics; see `CupSpring` in `mechanics`).
    pub fn side_lever(&self) -> Sourced<f64> {
        self.side_lever_mm.clone().unwrap_or_else(|| Sourced::assumed(0.5 * self.height_mm))
    }
    /// How wide the lip bears, mm: as stated, else what lies between the sealing line and the outer edge, at least 0.5 mm, an
    /// assumption (common practice, no source).
    pub fn lip_width(&self) -> Sourced<f64> {
        const NARROWEST_MM: f64 = 0.5;
        let outside = 0.5 * (1.0 - self.sealing_share.value) * self.shape.size().min_element();
        self.lip_width_mm.clone().unwrap_or_else(|| Sourced::assumed(outside.max(NARROWEST_MM)))
    }
}

/// What a lip is like.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum LipKind {
    /// Moulded rubber edge.
    Plain,
    /// Very thin soft edge for film and bags.
    ThinFilm,
    /// Closed-cell foam ring.
    Foam,
}
impl LipKind {
    /// How many picks a lip of this kind lasts where nobody said so: an assumption (common practice, no source).
    ///
    /// ```
    /// assert_eq!(document::LipKind::Foam.life_picks(), 200_000.0);
    /// ```
    pub fn life_picks(self) -> f64 {
        match self {
            Self::Plain => 1_000_000.0,
            Self::ThinFilm => 400_000.0,
            Self::Foam => 200_000.0,
        }
    }
}
