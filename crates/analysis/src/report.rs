//! What is known about one layout; every view, the sheet and `--json` print these fields and no others.

mod bending;
mod circuit;
mod design;
mod dust;
mod element;
mod family;
mod help;
mod network;
mod ringing;
mod slow;

pub use bending::*;
pub use circuit::*;
pub use design::*;
pub use dust::*;
pub use element::*;
pub use family::*;
pub use help::*;
pub use network::*;
pub use ringing::*;
pub use slow::*;

use crate::words;
use document::{CupId, LayoutId, MotionId, Origin, PartId};
use glam::{DVec2, DVec3};
use std::sync::Arc;

/// How urgent something is: `Fail` > `Watch` > `NotChecked` > `Advice` > `Ok`.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Severity {
    /// In order.
    Ok,
    /// Could be better; nothing is wrong.
    Advice,
    /// Nobody looked: an input or a stage is missing.
    NotChecked,
    /// Meets its limit with little to spare, or a custom is not kept.
    Watch,
    /// A limit is not met.
    Fail,
}

/// Everything that is known about one layout at one state of the project.
#[derive(Debug, Clone, PartialEq)]
pub struct Report {
    /// The layout this is about.
    pub layout: LayoutId,
    /// Its name.
    pub layout_name: String,
    /// The answer in one sentence.
    pub verdict: Verdict,
    /// `None` when the outline or mass cannot be worked with (the findings say why).
    pub part: Option<PartReport>,
    /// In the order of the layout. Empty when an input of the cups cannot be worked with.
    pub cups: Vec<CupReport>,
    /// `None` without cups or without a part.
    pub balance: Option<Balance>,
    /// In the order of the project.
    pub motions: Vec<MotionReport>,
    /// Fail, watch, not checked, advice; worst first within each; accepted ones last.
    pub findings: Vec<Finding>,
    /// Inputs that nobody measured or stated.
    pub assumptions: Vec<Assumption>,
    /// Figures that were not computed and why, e.g. ("limit factor", "...").
    pub not_checked: Vec<(String, String)>,
    /// Which slow figures (limit factor, one cup lost, range, envelope and the like) belong to this plan.
    pub ages: Ages,
    /// Largest accelerations with the part held level, a slow figure, see [`Report::ages`]; `None` when gravity alone is
    /// too much, there is nothing to hold or it was not worked out yet.
    pub envelope: Option<EnvelopeReport>,
    /// Levels that are left when a cup or a zone is lost, a slow figure; empty while no circuit was solved: then every cup
    /// keeps its level.
    pub levels_when_lost: Vec<LevelsWhenLost>,
    /// What the robot carries; `None` without a part that has a mass.
    pub robot: Option<RobotLoad>,
    /// Circuits that cups of the layout hang on, in the order of the project.
    pub circuits: Vec<CircuitReport>,
    /// Cups whose lip hangs over an edge, a hole or a keep-out, and that every factor counts as if they sealed.
    pub counted_as_sealed: Vec<CupId>,
    /// How the part bends, beside the rigid figures; `None` where it is taken as rigid, else the figures or why there are none.
    pub bending: Option<Result<Arc<BendingReport>, String>>,
    /// How it rings, a slow figure; `None` where it is rigid, or not worked out yet.
    pub ringing: Option<Result<Arc<RingReport>, String>>,
    /// What stands behind its factors, a slow figure; `None` where it is rigid, or not worked out yet.
    pub bent_reserve: Option<Result<Arc<BentReserve>, String>>,
    /// Of a tool that carries several parts: each of them. The figures above are then those of the part that governs, the
    /// verdict and the findings those of all.
    pub family: Option<Arc<Family>>,
}

impl Report {
    /// The part as it bends, where that counts: where it is not as good as rigid.
    pub fn bends(&self) -> Option<&BendingReport> {
        let bending = self.bending.as_ref()?.as_ref().ok()?;
        (!bending.as_good_as_rigid()).then_some(bending.as_ref())
    }

    /// The factor of a motion that counts: of the part as it bends where it does, else of the rigid one; `None` without a figure.
    pub fn factor_of(&self, motion: &MotionReport) -> Option<f64> {
        let rigid = motion.outcome.as_ref().ok()?.factor;
        let bent = self.bends().and_then(|bending| bending.of_motion(motion.id));
        Some(bent.map_or(rigid, |bent| bent.factor.value))
    }

    /// The motion with the least factor over required, and that ratio; `None` without a figure.
    pub fn governing(&self) -> Option<(&MotionReport, f64)> {
        let ratio = |motion: &MotionReport| Some(self.factor_of(motion)? / motion.required_factor);
        let all = self.motions.iter().filter_map(|motion| Some((motion, ratio(motion)?)));
        all.min_by(|a, b| a.1.total_cmp(&b.1))
    }

    /// "C2 and C3 overhang and are counted as if they sealed."; `None` where every lip lands.
    pub fn counted_says(&self) -> Option<String> {
        let tag = |id: &CupId| self.cups.iter().find(|cup| cup.id == *id).map(|cup| cup.tag.clone());
        let tags: Vec<String> = self.counted_as_sealed.iter().filter_map(tag).collect();
        match tags.as_slice() {
            [] => None,
            [tag] => Some(format!("{tag} overhangs and is counted in every factor as if it sealed.")),
            tags => Some(format!(
                "{} overhang and are counted in every factor as if they sealed.",
                words::all(tags)
            )),
        }
    }

    /// What a limit factor leaves out, as a sentence; `None` where no cup with a lever gets a side load.
    pub fn limit_leaves_out(&self) -> Option<&'static str> {
        const NOTHING: f64 = 1e-9; // N
        let loaded = |(cup, load): (&CupReport, &CupInMotion)| {
            cup.side_lever_mm > 0.0 && load.load.slide.length() > NOTHING
        };
        let solved = self.motions.iter().filter_map(|motion| motion.outcome.as_ref().ok());
        solved.flat_map(|outcome| self.cups.iter().zip(&outcome.cups)).any(loaded).then_some(
            "The limit factor ignores that a side load tilts a tall cup: the true reserve is smaller.",
        )
    }
}

/// The answer: whether it holds, by what figure, where.
#[derive(Debug, Clone, PartialEq)]
pub struct Verdict {
    /// The worst of the findings that are not accepted; `NotChecked` when there is nothing to judge yet.
    pub severity: Severity,
    /// One sentence with the figure that governs.
    pub sentence: String,
    /// Second line: the first thing to mend, and counts.
    pub detail: String,
    /// The motion with the least factor over required.
    pub motion: Option<MotionId>,
    /// The cup that fails first there, or the cup that the sentence is about.
    pub cup: Option<CupId>,
}

/// The part as computed: area, mass, inertia.
#[derive(Debug, Clone, PartialEq)]
pub struct PartReport {
    /// The part.
    pub id: PartId,
    /// Its name.
    pub name: String,
    /// Area inside the outline without its holes, mm².
    pub area_mm2: f64,
    /// Length of outline and holes, mm.
    pub perimeter_mm: f64,
    /// Number of holes.
    pub holes: usize,
    /// Mass with everything attached, kg.
    pub mass_kg: f64,
    /// Centre of gravity, z from the face that the lips land on towards the tool, mm.
    pub centre_of_gravity_mm: DVec3,
    /// Ixx, Iyy, Izz, Ixy, Ixz, Iyz about the centre of gravity (products, plain sign: ∫ x y dm), kg·m².
    pub inertia_kg_m2: [f64; 6],
    /// Second moment of the area about x through its centroid, mm⁴.
    pub ix_mm4: f64,
    /// Second moment of the area about y through its centroid, mm⁴.
    pub iy_mm4: f64,
    /// Product of the area about its centroid, mm⁴.
    pub ixy_mm4: f64,
    /// x0, y0, x1, y1, mm.
    pub bounds_mm: [f64; 4],
}

/// One cup: what it is, where it lands, what it holds.
#[derive(Debug, Clone, PartialEq)]
pub struct CupReport {
    /// The cup.
    pub id: CupId,
    /// Its tag, "C4".
    pub tag: String,
    /// Name of its model.
    pub model: String,
    /// Centre, mm.
    pub at: DVec2,
    /// Counter-clockwise, degrees.
    pub turn_deg: f64,
    /// Name of its circuit.
    pub circuit: String,
    /// Name of its zone.
    pub zone: String,
    /// Post height, mm.
    pub height_mm: f64,
    /// Outer lip under load: what is held against edges and other cups.
    pub shape: geometry::LipShape,
    /// Sealing line: what force and strength are taken from.
    pub sealing: geometry::LipShape,
    /// The sealing line as a line.
    pub line: geometry::LipLine,
    /// Axial stiffness, N/mm.
    pub axial_n_mm: f64,
    /// Lateral stiffness, N/mm.
    pub lateral_n_mm: f64,
    /// Tilt stiffness about the lip's length and width, N·m/rad.
    pub tilt_nm_rad: [f64; 2],
    /// Twist stiffness, N·m/rad.
    pub twist_nm_rad: f64,
    /// Height above the lip at which a side load passes without tilting it, mm.
    pub side_lever_mm: f64,
    /// Friction coefficient of lip on part.
    pub friction: f64,
    /// Line force that keeps the lip sealed, N/mm.
    pub seal_minimum_n_mm: f64,
    /// Share of the friction that slide and twist together may use, as reckoned with: that of the project's rules for a
    /// round lip, for a long or rectangular one at most the 0.866 that such a lip's true limit keeps to.
    pub slide_share: f64,
    /// What tilt takes from the friction.
    pub uneven: mechanics::Uneven,
    /// Distance of the lip to the nearest edge, hole or keep-out; negative = overhang.
    pub clearance: Option<geometry::Clearance>,
    /// Position tolerance + turn tolerance x reach + drawing tolerance, mm.
    pub required_clearance_mm: f64,
    /// Vacuum level at the cup's port at the site's atmosphere, kPa.
    pub level_kpa: f64,
    /// How the level falls from the port to the ends; `None` on an airtight part.
    pub channel: Option<ChannelReport>,
    /// Mean level times the area inside the sealing line, N.
    pub vacuum_force_n: f64,
    /// Its factor in the motion where that is least over required, with the motion's index in `Report::motions`; infinite when
    /// nothing pulls or slides it.
    pub worst: Option<(usize, mechanics::Factor)>,
}

/// How the cups stand about the centre of gravity.
#[derive(Debug, Clone, PartialEq)]
pub struct Balance {
    /// Centre of the cups' axial stiffness, mm.
    pub cup_centre: DVec2,
    /// From that centre to the centre of gravity, mm.
    pub centroid_offset: DVec2,
    /// Half the extent of the cups' centres, which the offset is compared with, mm.
    pub spread: DVec2,
    /// Whether the centre of gravity lies inside the hull of the cups' centres.
    pub inside_hull: bool,
    /// Most loaded cup over the mean, in the motion where that is largest; `None` when no motion mainly pulls.
    pub most_over_mean: Option<f64>,
    /// Motion that has the largest most/mean.
    pub most_over_mean_motion: Option<MotionId>,
}

/// One motion and what came of it.
#[derive(Debug, Clone, PartialEq)]
pub struct MotionReport {
    /// The motion.
    pub id: MotionId,
    /// Its name.
    pub name: String,
    /// The factor it must have.
    pub required_factor: f64,
    /// `Err` = why there is no figure (group cannot carry it, input missing).
    pub outcome: Result<MotionOutcome, String>,
}

/// Figures of one motion.
#[derive(Debug, Clone, PartialEq)]
pub struct MotionOutcome {
    /// Smallest over cups and instants; infinite when no multiple of the motion opens or slides a lip.
    pub factor: f64,
    /// The cup that has it.
    pub governing_cup: CupId,
    /// What fails there first.
    pub governing_limit: mechanics::LipLimit,
    /// Its factor in both ways of counting the load; the smaller is `factor`.
    pub readings: mechanics::Readings,
    /// Share of the weight that is counted on where it helps.
    pub favourable_weight: f64,
    /// The state between start and stop in which the governing cup is worst.
    pub member: mechanics::Member,
    /// Where along the motion it is worst, degrees: the tilt, the direction that is lowest or that of the acceleration,
    /// whichever is taken at its worst; `None` where none is.
    pub at_deg: Option<f64>,
    /// State and place in words: "while the turn slows down, at 90.0°". `None` for a motion as stated at its one attitude,
    /// and where nothing ends the factor.
    pub governs: Option<String>,
    /// The instant at which the governing cup is worst, in that state.
    pub instant: mechanics::Instant,
    /// What the part does to the cups then, about the cups' centre.
    pub wrench: mechanics::Wrench,
    /// In the order of [`Report::cups`].
    pub cups: Vec<CupInMotion>,
    /// Slow figures, see [`Report::ages`]; `None` when there are none yet.
    pub slow: Option<MotionSlow>,
}

impl MotionOutcome {
    /// "the motion multiplied, the weight counted at 90 % where it helps"; `None` where the whole load is multiplied, as a
    /// person takes it to be, and where there is no end to the factor.
    pub fn counted_says(&self, units: &units::UnitChoice) -> Option<String> {
        words::counted_like(&self.readings, self.favourable_weight, units)
    }
}

/// The largest acceleration in one direction.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct EnvelopePointReport {
    /// On the plan, degrees counter-clockwise from x.
    pub direction_deg: f64,
    /// m/s²; infinite when nothing ends it.
    pub acceleration: f64,
    /// The cup that ends it.
    pub cup: CupId,
    /// What fails there first.
    pub limit: mechanics::LipLimit,
}

/// Largest accelerations at which every factor is as required.
#[derive(Debug, Clone, PartialEq)]
pub struct EnvelopeReport {
    /// How the part is held: "level".
    pub held: units::Worded,
    /// The factor that is kept.
    pub required_factor: f64,
    /// Around the plan, in the order of direction.
    pub points: Vec<EnvelopePointReport>,
    /// The weakest direction in the plane.
    pub weakest: EnvelopePointReport,
    /// Towards the robot (up when level); the direction is not meant.
    pub up: EnvelopePointReport,
    /// Away from the robot.
    pub down: EnvelopePointReport,
}

/// Mass, centre and inertia at the robot's flange.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Carried {
    /// kg.
    pub mass_kg: f64,
    /// From the flange's centre, in the tool's axes, mm.
    pub centre_mm: DVec3,
    /// Ixx, Iyy, Izz, Ixy, Ixz, Iyz about the flange's centre (products, plain sign: ∫ x y dm), kg·m².
    pub inertia_kg_m2: [f64; 6],
}

/// What the robot carries.
#[derive(Debug, Clone, PartialEq)]
pub struct RobotLoad {
    /// Centre of the flange in the tool frame, mm.
    pub flange_mm: DVec3,
    /// Cups, frame, fittings; `None` when nothing of them has a mass.
    pub empty: Option<Carried>,
    /// With the part.
    pub loaded: Carried,
    /// What the robot may carry, kg.
    pub payload_kg: Option<f64>,
    /// What has no stated mass and is left out: "frame", "fittings".
    pub left_out: Vec<String>,
}

/// Vacuum level along a long cup on a part that air comes through.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ChannelReport {
    /// Level at the ends over the level at the port.
    pub end_share: f64,
    /// Mean level over the level at the port.
    pub mean_share: f64,
    /// Fall-off n of cosh(n x), 1/m.
    pub fall_per_m: f64,
    /// From the port to the end of the sealing line, mm.
    pub half_length_mm: f64,
}

impl ChannelReport {
    /// Level at a place along the cup over the level at the port; `x_mm` from the port, either way.
    pub fn share_at(&self, x_mm: f64) -> f64 {
        let Self { fall_per_m, half_length_mm, .. } = *self;
        mechanics::Channel { fall_per_m, half_length_mm }.share_at(x_mm)
    }
}

/// One cup in one motion. The load is that at the motion's governing instant; `factor` is the cup's own worst over the
/// sweep.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CupInMotion {
    /// The cup.
    pub id: CupId,
    /// What it gets.
    pub load: mechanics::CupLoad,
    /// How many times it could carry that.
    pub factor: mechanics::Factor,
}

/// Engineering judgement of one thing: what, where, figure against limit, what would mend it.
#[derive(Debug, Clone, PartialEq)]
pub struct Finding {
    /// e.g. "seat.overhang"; names the file of the rule under `findings/` with `_` for `.`.
    pub rule: &'static str,
    /// How urgent it is.
    pub severity: Severity,
    /// Cups it is about; empty when it is about the whole.
    pub subject: Vec<CupId>,
    /// Motion it is about.
    pub motion: Option<MotionId>,
    /// The part that it is about, of a tool that carries several; `None` where it is about all.
    pub seat: Option<document::SeatId>,
    /// The figure, in the base unit of `quantity`.
    pub figure: Option<f64>,
    /// What the figure is held against.
    pub limit: Option<f64>,
    /// What figure and limit measure.
    pub quantity: units::Quantity,
    /// What is so, as a sentence.
    pub says: String,
    /// Of an assumed input: what its range makes of the factor, as a sentence; it stands in `says` as well.
    pub range: Option<String>,
    /// What would mend it, with numbers.
    pub remedy: String,
    /// The reason it was accepted with.
    pub accepted: Option<String>,
    /// A change that the remedy describes and the program can make ("Move C4 by (−6.2, 0.0) mm").
    pub fix: Option<Fix>,
    /// How far it is off its limit, by which findings of one rule and severity are set in order: larger is further off.
    pub off: f64,
}

/// A change that mends a finding.
#[derive(Debug, Clone, PartialEq)]
pub enum Fix {
    /// Each cup and its new centre, mm.
    MoveCups(Vec<(CupId, DVec2)>),
    /// One more cup of the kind of another, and its centre, mm.
    AddCup {
        /// The cup that it is like.
        like: CupId,
        /// mm.
        at: DVec2,
    },
    /// Another stroke of a motion.
    Stroke {
        /// Which motion.
        motion: MotionId,
        /// How its speed goes.
        profile: document::MoveProfile,
        /// s.
        time_s: f64,
    },
}

/// An input that a figure depends on and that nobody measured or stated.
#[derive(Debug, Clone, PartialEq)]
pub struct Assumption {
    /// What was assumed, of what: "friction of the lips on Tray blank".
    pub what: String,
    /// The value, in the base unit of `quantity`.
    pub value: f64,
    /// What it measures.
    pub quantity: units::Quantity,
    /// Where it comes from.
    pub origin: Origin,
    /// When it was entered (ISO date, may be empty).
    pub on: String,
}
