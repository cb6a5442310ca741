//! Cups that share a source, and everything between the source and them.

use super::{CircuitId, CupId, Operation, Sourced};
use glam::{DVec2, DVec3};
use std::{fmt, sync::Arc};

/// Cups that share one source.
#[derive(Debug, Clone, PartialEq)]
pub struct Circuit {
    /// Never reused.
    pub id: CircuitId,
    /// For people.
    pub name: String,
    /// Vacuum level at the cups, kPa at sea level. It counts while there is no `supply` to work it out from.
    pub level_kpa: Sourced<f64>,
    /// What the controls are to switch at, if somebody said so.
    pub thresholds: Option<Thresholds>,
    /// Source, hoses, manifold and valves; `None` while only the level is stated.
    pub supply: Option<Arc<Supply>>,
}
/// What the controls engineer sets: levels at the vacuum switch, which sits at the source, as it reads them on site, and times
/// of the sequence.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Thresholds {
    /// The part counts as held from this level on, kPa: what the machine guarantees, and so what factors are worked out at.
    pub held_kpa: f64,
    /// With a part held the machine stops below this level, kPa; `None` where it does so below `held_kpa`.
    pub alarm_kpa: Option<f64>,
    /// The air-saving switch stops the source at this level, kPa.
    pub saving_off_kpa: f64,
    /// Without the held level after this time the pick is given up, s.
    pub time_out_s: f64,
    /// The level must last this long after the feed fails, s.
    pub hold_s: f64,
}

/// Name of a source in the library and in the project, e.g. "ejector-deep-90"; never reused.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct SourceId(pub Arc<str>);

impl fmt::Display for SourceId {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0)
    }
}
impl From<&str> for SourceId {
    fn from(name: &str) -> Self {
        Self(name.into())
    }
}

/// Source, hoses, manifold and valves of a circuit. [`Project::routing`](crate::Project::routing) says what hangs on what,
/// and how long each hose is.
#[derive(Debug, Clone, PartialEq)]
pub struct Supply {
    /// One of the project's sources.
    pub source: SourceId,
    /// How many of it there are and where they sit.
    pub arrangement: Arrangement,
    /// Feed pressure above the atmosphere, at the ejector while it runs, kPa. Without meaning for a pump or blower.
    pub feed_kpa: Sourced<f64>,
    /// Place of the source and its valves: x, y on the plan, z above the plane of the lips, mm.
    pub at: DVec3,
    /// From the source, or from each zone's valve, to the manifold or to where the branches part.
    pub main: Line,
    /// By which published method fittings lose.
    pub fitting_loss: FittingLoss,
    /// What the branches hang on; without one they part at one point amid the cups.
    pub manifold: Option<Manifold>,
    /// From the manifold or the parting point to a cup, where `branches` does not name the cup. With [`Arrangement::InLine`]
    /// from the cup's own source to it.
    pub branch: Line,
    /// Other branches of particular cups.
    pub branches: Vec<BranchLine>,
    /// In the way of every cup, so that an open one does not empty the circuit.
    pub restrictor: Option<Restriction>,
    /// Whether a check valve at every cup keeps its level when the circuit loses its own.
    pub check_valve_at_cup: bool,
    /// In front of the source.
    pub filter: Option<Restriction>,
    /// A valve for each switched zone, at the source; a zone without one is always on.
    pub valves: Vec<ZoneValve>,
    /// Mean gap left under the lips, µm: 0 for a perfect seal.
    pub lip_gap_um: Sourced<f64>,
    /// Many small cells under foam in each cup, in place of one open bore.
    pub area_gripper: Option<Cells>,
    /// Valve and switch, blow-off, vessel, exhaust.
    pub operation: Operation,
}
/// How many sources a circuit has and where they sit.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Arrangement {
    /// One source for all cups, at [`Supply::at`].
    Central,
    /// One source on each cup, without a hose between.
    PerCup,
    /// One source in the hose of each cup, over it at the height of [`Supply::at`].
    InLine,
}
/// The branch of one cup.
#[derive(Debug, Clone, PartialEq)]
pub struct BranchLine {
    /// In every layout that has a cup of this id.
    pub cup: CupId,
    /// Instead of [`Supply::branch`].
    pub line: Line,
}
/// A hose with its fittings.
#[derive(Debug, Clone, PartialEq)]
pub struct Line {
    /// Clear inside diameter of the hose, and of those of its fittings that have none of their own, mm.
    pub bore_mm: f64,
    /// How long it is, without its coil.
    pub length: LineLength,
    /// What the air passes on its way.
    pub fittings: Vec<FittingUse>,
    /// A part that is wound up, on top of `length`.
    pub coil: Option<Coil>,
}
/// How the length of a hose is known.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum LineLength {
    /// Distance of its ends on the plan, plus difference of their heights, plus slack.
    Plan {
        /// For movement and bends, mm.
        slack_mm: f64,
    },
    /// As cut.
    Typed {
        /// mm.
        mm: f64,
    },
}
/// Fittings of one kind in a hose.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FittingUse {
    /// Which.
    pub kind: FittingKind,
    /// How many.
    pub count: u32,
    /// Clear inside diameter of one, mm; `None` takes that of the hose, which is assumed.
    pub bore_mm: Option<f64>,
    /// What its maker states of one, in place of a loss by its kind.
    pub flow: Option<Restriction>,
}
impl FittingUse {
    /// So many of a kind, with the bore of their hose and the loss of their kind.
    pub const fn new(kind: FittingKind, count: u32) -> Self {
        Self { kind, count, bore_mm: None, flow: None }
    }
    /// Whether two uses are of the same thing, whatever their number.
    pub fn is_like(&self, other: &Self) -> bool {
        Self { count: other.count, ..*self } == *other
    }
}
/// By which published method a circuit's fittings lose. All are extrapolated to the bores of tools.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub enum FittingLoss {
    /// For each fitting the one of the three that gives the larger loss in its bore: the careful choice.
    #[default]
    MoreCareful,
    /// Multiples of the friction of a rough pipe (Crane).
    Table,
    /// Two constants (Hooper).
    TwoConstant,
    /// Three constants (Darby).
    ThreeConstant,
}
/// What a fitting makes of the air's way.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum FittingKind {
    /// Sharp 90° elbow.
    Elbow90,
    /// 45° elbow.
    Elbow45,
    /// Straight through a tee.
    TeeRun,
    /// Out of the branch of a tee.
    TeeBranch,
    /// Straight through a Y with a swept branch.
    SweptRun,
    /// Out of the swept branch of a Y.
    SweptBranch,
    /// Straight coupling.
    Straight,
    /// Smooth 90° bend, radius of its middle line three bores or more.
    WideBend,
}
/// A wound part of a hose.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Coil {
    /// How many.
    pub turns: f64,
    /// Of the centre line, mm.
    pub diameter_mm: f64,
}
/// A straight distributor with ports at equal distances, the first and last half a pitch from its ends.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Manifold {
    /// Its middle on the plan, mm; it lies at the height of the source.
    pub at: DVec2,
    /// Turn of its length from x, degrees, counter-clockwise.
    pub turn_deg: f64,
    /// From end to end, mm.
    pub length_mm: f64,
    /// Of its channel, mm.
    pub bore_mm: f64,
    /// For branches, without those it is fed by.
    pub ports: u32,
    /// Where the main hose comes in.
    pub fed: Fed,
}
/// Where a manifold is fed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Fed {
    /// At the end nearer the source.
    OneEnd,
    /// At both ends, by two hoses alike in bore and fittings.
    BothEnds,
}
/// A short restriction by its two figures of ISO 6358.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Restriction {
    /// Sonic conductance C, dm³/(s·bar).
    pub c_dm3_s_bar: f64,
    /// Critical pressure ratio b.
    pub b: f64,
}
/// What switches a zone.
#[derive(Debug, Clone, PartialEq)]
pub struct ZoneValve {
    /// As [`Cup::zone`](crate::Cup::zone) has it.
    pub zone: String,
    /// The valve when it is open.
    pub restriction: Restriction,
    /// Whether a check valve behind it keeps the zone's level when the source loses its own.
    pub check_valve: bool,
    /// The zone's own; without one the zone takes its part of the circuit's.
    pub manifold: Option<Manifold>,
}
/// The openings under the foam of an area gripper; each draws through its restrictor, covered or not.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Cells {
    /// In one cup.
    pub count: u32,
    /// Of one opening, mm.
    pub bore_mm: f64,
    /// Of one opening.
    pub restrictor: Restriction,
}

/// What makes the vacuum.
#[derive(Debug, Clone, PartialEq)]
pub struct SourceModel {
    /// Never reused.
    pub id: SourceId,
    /// For people.
    pub name: String,
    /// What drives it.
    pub kind: SourceKind,
    /// Flow against level at the rated feed, level rising, flow falling to 0.
    pub curve: Vec<CurvePoint>,
    /// What the flows of `curve` are.
    pub curve_flow: CurveFlow,
    /// What other feed pressures make of the curve, feed rising; of an ejector only.
    pub feed: Vec<FeedPoint>,
    /// Feed pressure above the atmosphere that `curve` is for, kPa; 0 for a pump or blower.
    pub rated_feed_kpa: f64,
    /// Electric power while it runs, W; 0 for an ejector.
    pub power_w: f64,
    /// Bore that dirt passes straight through, mm; `None` where it would stick.
    pub straight_bore_mm: Option<f64>,
    /// Whether a level switch stops the air while a check valve keeps the level.
    pub air_saving: bool,
    /// Air inside it, on the side of the cups, ml.
    pub volume_ml: f64,
    /// Mass, g.
    pub mass_g: f64,
    /// Where its figures come from.
    pub figures: super::Origin,
    /// Date of the figures, ISO 8601, or empty.
    pub on: String,
}
/// What the flow of a source's curve is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub enum CurveFlow {
    /// Air drawn, as litres ANR: what the data of ejectors give.
    #[default]
    Anr,
    /// Volume at the inlet, in the thin air there: what the data of pumps and blowers often give.
    Inlet,
}
/// What drives a source.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum SourceKind {
    /// Compressed air.
    Ejector,
    /// A motor, deep level.
    Pump,
    /// A motor, much flow at a low level.
    Blower,
}
/// A point of a source's curve.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CurvePoint {
    /// Vacuum level at sea level, kPa.
    pub level_kpa: f64,
    /// Air drawn there, L/min ANR or, where [`SourceModel::curve_flow`] says so, L/min at the inlet.
    pub flow_nl_min: f64,
}
/// What an ejector does at one feed pressure.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FeedPoint {
    /// Above the atmosphere, kPa.
    pub feed_kpa: f64,
    /// Flow drawn without load over that at the rated feed.
    pub flow_share: f64,
    /// Deepest level over that at the rated feed.
    pub level_share: f64,
    /// Compressed air used, L/min ANR.
    pub air_nl_min: f64,
}

/// How often the tool picks, and what air and energy cost.
#[derive(Debug, Clone, PartialEq)]
pub struct Cycle {
    /// 1/h.
    pub picks_per_hour: Sourced<f64>,
    /// From the first level at the cups until release, s.
    pub hold_s: Sourced<f64>,
    /// h.
    pub hours_per_year: Sourced<f64>,
    /// Price of a m³ ANR of compressed air.
    pub air_price_per_m3: Sourced<f64>,
    /// Price of a kWh.
    pub energy_price_per_kwh: Sourced<f64>,
    /// What the compressor takes for a m³ ANR, kWh.
    pub compressor_kwh_per_m3: Sourced<f64>,
    /// What prices are in, e.g. "EUR".
    pub currency: String,
}
