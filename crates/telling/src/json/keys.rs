//! The keys of the object, in the order in which they are written.

use super::bending::BendingJson;
use super::circuit::VacuumJson;
use super::family::{CupFiguresJson, FamilyJson};
use super::keys_slow::*;
use serde::Serialize;
use serde_with::skip_serializing_none;
use std::collections::BTreeMap;

/// One object per file and line. Keys carry units. x right, y up, seen from the robot side, looking at the face
/// that the cups land on; turn counter-clockwise. Figures that were not calculated are absent and named in
/// not_checked. Keys may be added; none is renamed or dropped without a higher format.
#[derive(Serialize)]
#[serde(untagged)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
#[cfg_attr(test, schemars(title = "cupwright check --json", transform = super::schema::unread_or_read))]
pub(super) enum LineJson<'a> {
    Unread(&'a UnreadJson<'a>),
    Read(&'a CheckJson<'a>),
}

/// A file that was read.
#[derive(Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
pub(super) struct CheckJson<'a> {
    #[cfg_attr(test, schemars(extend("const" = crate::json::FORMAT)))]
    pub format: u32,
    #[cfg_attr(test, schemars(extend("pattern" = "^cupwright ")))]
    pub program: &'a str,
    /// File name without folders.
    #[cfg_attr(test, schemars(extend("pattern" = "^[^/\\\\]*$")))]
    pub file: &'a str,
    pub project: &'a str,
    pub content: ContentJson,
    pub verdict: VerdictJson,
    pub site: SiteJson,
    /// How far an assumed input may be off, as a share of it each way; lip = sealing line and seal minimum.
    pub spread: SpreadJson,
    pub layouts: Vec<LayoutJson<'a>>,
}

/// Which content was calculated, in the words of sheet, tables and window.
#[derive(Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
pub(super) struct ContentJson {
    /// Short hash of the content, as printed on the sheet.
    #[cfg_attr(test, schemars(extend("pattern" = "^[0-9a-f]{4}-[0-9a-f]{4}$")))]
    pub mark: String,
    /// As in the title block.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub revision: String,
    /// How it stands to what was issued: "revision B as issued", "changed since revision B, not issued".
    #[cfg_attr(test, schemars(length(min = 1)))]
    pub standing: String,
    /// What is stamped on every page of the sheet.
    pub stamps: Vec<StampJson>,
}

#[derive(Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
pub(super) struct StampJson {
    #[cfg_attr(test, schemars(length(min = 1)))]
    pub words: String,
    #[cfg_attr(test, schemars(length(min = 1)))]
    pub why: String,
}

/// A file that could not be read or calculated.
#[derive(Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
#[cfg_attr(test, schemars(extend("not" = { "required": ["layouts"] })))]
pub(super) struct UnreadJson<'a> {
    #[cfg_attr(test, schemars(extend("const" = crate::json::FORMAT)))]
    pub format: u32,
    #[cfg_attr(test, schemars(extend("pattern" = "^cupwright ")))]
    pub program: &'a str,
    /// File name without folders.
    #[cfg_attr(test, schemars(extend("pattern" = "^[^/\\\\]*$")))]
    pub file: &'a str,
    /// Only of a file that could not be read or calculated: why; there is no project, site or layout then.
    #[cfg_attr(test, schemars(length(min = 1)))]
    pub unread: &'a str,
    /// A failure.
    #[cfg_attr(test, schemars(extend("properties" = { "severity": { "const": "fail" } })))]
    pub verdict: VerdictJson,
}

#[derive(Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
pub(super) struct VerdictJson {
    #[cfg_attr(test, schemars(extend("enum" = ["ok", "watch", "fail"])))]
    pub severity: &'static str,
    #[cfg_attr(test, schemars(length(min = 1)))]
    pub sentence: String,
    pub detail: String,
}

#[skip_serializing_none]
#[derive(Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
pub(super) struct ApprovalJson {
    #[cfg_attr(test, schemars(length(min = 1)))]
    pub by: String,
    #[serde(skip_serializing_if = "String::is_empty")]
    #[cfg_attr(test, schemars(length(min = 1)))]
    pub on: String,
    #[cfg_attr(test, schemars(extend("enum" = [crate::WITH_OPEN_FAILURES, crate::NOT_ALL_CHECKED])))]
    pub mark: Option<&'static str>,
    /// Findings that fail and that nobody accepted with a reason; the mark stands where there is any.
    #[cfg_attr(test, schemars(inner(length(min = 1))))]
    pub open: Vec<String>,
    /// The verdict of a layout of which not all is checked; the mark stands for it too.
    #[cfg_attr(test, schemars(length(min = 1)))]
    pub unchecked: Option<String>,
}

#[skip_serializing_none]
#[derive(Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
pub(super) struct LayoutJson<'a> {
    pub name: &'a str,
    pub verdict: VerdictJson,
    /// The approval of this very content: by the last decision of the review, else by the title block; absent
    /// where nobody approved it or it was sent back.
    pub approval: Option<ApprovalJson>,
    /// Whether each slow figure belongs to this state: lost cups, limit factors, ranges of what is assumed, level
    /// envelope, times and cost of circuits, remedy of a loss.
    #[cfg_attr(test, schemars(schema_with = "super::schema::ages"))]
    pub slow_figures: BTreeMap<&'static str, &'static str>,
    pub parts: Vec<PartJson<'a>>,
    /// Of a tool that carries several parts every cup that holds any of them, with the figures on the part that governs, of one
    /// that does not hold it on the first that it holds; what it has on each stands in on_parts.
    pub cups: Vec<CupJson<'a>>,
    /// Cups whose lip overhangs an edge, a hole or a keep-out, and that every factor counts as if they sealed.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    #[cfg_attr(test, schemars(inner(length(min = 1))))]
    pub counted_as_sealed: Vec<&'a str>,
    pub balance: Option<BalanceJson<'a>>,
    /// How the part bends, beside the figures of a rigid one; absent where no modulus of elasticity is given.
    pub bending: Option<BendingJson<'a>>,
    pub motions: Vec<MotionJson<'a>>,
    /// Direction in the plane in degrees from x, largest acceleration at which every lip has the required factor,
    /// part held level.
    pub envelope_m_s2: Option<Vec<[f64; 2]>>,
    pub envelope: Option<EnvelopeJson<'a>>,
    /// What is left on the circuits when a cup is lost and open on its circuit, or a zone (shut off by its own
    /// valve where it has one); absent where no circuit was solved: then every cup keeps its level.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub levels_when_lost: Vec<LevelsWhenLostJson<'a>>,
    pub tool: Option<ToolJson<'a>>,
    pub vacuum: VacuumJson<'a>,
    /// At the flange; mass, centre and inertia stand for the loaded tool.
    pub robot_load: Option<RobotLoadJson<'a>>,
    /// Of a tool that carries several parts: each of them, and the valves. What stands above is then of the part that governs,
    /// cups, verdict and findings are those of all.
    pub family: Option<FamilyJson<'a>>,
    pub findings: Vec<FindingJson<'a>>,
    pub assumptions: Vec<AssumptionJson<'a>>,
    pub not_checked: Vec<NotCheckedJson<'a>>,
}

#[derive(Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
#[allow(non_snake_case, reason = "the keys of the object")]
pub(super) struct SecondMomentsJson {
    #[cfg_attr(test, schemars(extend("exclusiveMinimum" = 0)))]
    pub Ix: f64,
    #[cfg_attr(test, schemars(extend("exclusiveMinimum" = 0)))]
    pub Iy: f64,
    pub Ixy: f64,
}

#[skip_serializing_none]
#[derive(Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
pub(super) struct PartJson<'a> {
    pub name: &'a str,
    #[cfg_attr(test, schemars(extend("exclusiveMinimum" = 0)))]
    pub area_mm2: f64,
    #[cfg_attr(test, schemars(extend("exclusiveMinimum" = 0)))]
    pub perimeter_mm: f64,
    pub holes: usize,
    /// x0, y0, x1, y1, from the drawing's origin, as every place of this object but where a key says otherwise.
    pub bounds_mm: [f64; 4],
    /// What sheet, hole table, DXF and the window's cups count from where the tool carries this part alone: x, y from the
    /// drawing's origin. Places of this object less this are those of the sheet.
    pub datum_mm: Option<[f64; 2]>,
    /// With everything attached.
    #[cfg_attr(test, schemars(extend("exclusiveMinimum" = 0)))]
    pub mass_kg: f64,
    /// z = 0 is the face the lips land on, positive towards the tool.
    pub centre_of_gravity_mm: [f64; 3],
    /// Ixx, Iyy, Izz, Ixy, Ixz, Iyz about the centre of gravity; products with a plain sign (integral of x y dm).
    pub inertia_kg_m2: [f64; 6],
    /// Of the area about its centroid.
    pub second_moments_mm4: SecondMomentsJson,
    /// Air permeability; absent for an airtight part.
    pub permeance_um_pa_s: Option<f64>,
}

#[skip_serializing_none]
#[derive(Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
pub(super) struct CupJson<'a> {
    #[cfg_attr(test, schemars(length(min = 1)))]
    pub tag: &'a str,
    pub model: &'a str,
    /// Centre, x, y from the drawing's origin; of a tool that carries several parts, from the tool's datum.
    pub at_mm: [f64; 2],
    pub turn_deg: f64,
    pub circuit: &'a str,
    pub zone: &'a str,
    pub height_mm: Option<f64>,
    #[cfg_attr(test, schemars(extend("enum" = ["round", "long", "rectangle"])))]
    pub shape: &'static str,
    /// Length, width.
    pub outer_mm: [f64; 2],
    /// Length, width of the sealing line.
    pub sealing_mm: [f64; 2],
    /// Corner radius of the outer lip, rectangles only.
    #[cfg_attr(test, schemars(range(min = 0)))]
    pub corner_mm: Option<f64>,
    /// Corner radius of the sealing line, rectangles only.
    #[cfg_attr(test, schemars(range(min = 0)))]
    pub sealing_corner_mm: Option<f64>,
    /// Enclosed by the sealing line.
    #[cfg_attr(test, schemars(extend("exclusiveMinimum" = 0)))]
    pub lip_area_mm2: f64,
    /// Of the sealing line.
    #[cfg_attr(test, schemars(extend("exclusiveMinimum" = 0)))]
    pub lip_length_mm: f64,
    /// Mean distance of the sealing line from its centre.
    pub lip_mean_radius_mm: f64,
    /// Of the sealing line, about its length axis and about its width axis.
    pub lip_second_moments_mm3: [f64; 2],
    #[cfg_attr(test, schemars(extend("exclusiveMinimum" = 0)))]
    pub axial_n_mm: f64,
    #[cfg_attr(test, schemars(extend("exclusiveMinimum" = 0)))]
    pub lateral_n_mm: f64,
    /// About the lip's length, about its width.
    pub tilt_nm_rad: [f64; 2],
    #[cfg_attr(test, schemars(range(min = 0)))]
    pub twist_nm_rad: f64,
    /// Height above the lip at which a side load passes without tilting it: a slide T tilts the lip by this times
    /// T, and the pulls balance the load about that height.
    #[cfg_attr(test, schemars(range(min = 0)))]
    pub side_lever_mm: f64,
    #[cfg_attr(test, schemars(extend("exclusiveMinimum" = 0)))]
    pub friction: f64,
    #[cfg_attr(test, schemars(range(min = 0)))]
    pub seal_minimum_n_mm: f64,
    /// Share of the friction ellipse (even pressure) that is used: the project's for a round lip, at most
    /// 0.866 for any other.
    #[cfg_attr(test, schemars(extend("maximum" = 1, "exclusiveMinimum" = 0)))]
    pub slide_share: f64,
    /// Second slide condition, where tilt makes the pressure uneven: with C what is left on the lip, s
    /// slide_share, rho lip_mean_radius_mm, and in the lip's own axes t = slide/friction, q = |twist|/(friction
    /// rho), m = (tilt[0] tilt about its length, tilt[1] tilt about its width)/rho: √((slide |t + m|)² + (twist
    /// q)²) + apart q is at most s C, slide, twist, apart and tilt[] of this object, and the same with t - m.
    pub uneven_friction: UnevenJson,
    /// Lip to nearest boundary; negative = overhang.
    pub clearance_mm: Option<f64>,
    #[cfg_attr(test, schemars(range(min = 0)))]
    pub required_clearance_mm: Option<f64>,
    #[cfg_attr(test, schemars(extend("enum" = ["edge", "hole", "keep-out"])))]
    pub nearest: Option<&'static str>,
    /// At the cup's port, at the site's atmosphere.
    #[cfg_attr(test, schemars(extend("exclusiveMinimum" = 0)))]
    pub level_kpa: f64,
    /// Level times mean_share of the channel, if there is one, times lip area.
    #[cfg_attr(test, schemars(extend("exclusiveMinimum" = 0)))]
    pub vacuum_force_n: f64,
    /// Only on a part that lets air through.
    pub channel: Option<ChannelJson>,
    /// Width of the ring the lip rests on: half the width leaks twice as much.
    #[cfg_attr(test, schemars(range(min = 0)))]
    pub lip_width_mm: Option<f64>,
    /// Air gap under the cup.
    #[cfg_attr(test, schemars(range(min = 0)))]
    pub channel_mm: Option<f64>,
    /// As a point on the cup's axis, height_mm plus half model_height_mm above the lips.
    pub mass_kg: Option<f64>,
    pub model_height_mm: Option<f64>,
    /// Smallest over motions; absent when nothing loads the lip.
    #[cfg_attr(test, schemars(range(min = 0)))]
    pub least_factor: Option<f64>,
    pub least_factor_motion: Option<&'a str>,
    /// What least_factor is compared with: the motion is that in which this cup's factor is least over required.
    #[cfg_attr(test, schemars(extend("exclusiveMinimum" = 0)))]
    pub least_factor_required: Option<f64>,
    /// Of a tool that carries several parts: each that this cup holds.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub on_parts: Vec<CupFiguresJson<'a>>,
}

/// Constants of the friction under the uneven pressure that tilt makes.
#[derive(Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
pub(super) struct UnevenJson {
    pub slide: f64,
    pub twist: f64,
    pub apart: f64,
    pub tilt: [f64; 2],
}

#[skip_serializing_none]
#[derive(Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
pub(super) struct BalanceJson<'a> {
    /// Centre of axial stiffness.
    pub cup_centre_mm: [f64; 2],
    /// From that centre to the centre of gravity.
    pub centroid_offset_mm: [f64; 2],
    /// Half the extent of the cups' centres.
    pub spread_mm: [f64; 2],
    pub inside_hull: bool,
    #[cfg_attr(test, schemars(extend("exclusiveMinimum" = 0)))]
    pub most_over_mean: Option<f64>,
    pub most_over_mean_motion: Option<&'a str>,
}

/// One motion at its governing instant; without a figure only name and required factor stand, and not_checked
/// names it.
#[skip_serializing_none]
#[derive(Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
#[cfg_attr(test, schemars(extend("dependentRequired" = super::schema::outcome_is_whole())))]
pub(super) struct MotionJson<'a> {
    pub name: &'a str,
    pub required_factor: Option<f64>,
    #[serde(flatten)]
    pub entered: Option<EnteredJson>,
    #[serde(flatten)]
    pub outcome: Option<OutcomeJson<'a>>,
}

#[skip_serializing_none]
#[derive(Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
pub(super) struct OutcomeJson<'a> {
    /// Absent when there is no result or nothing loads a lip.
    #[cfg_attr(test, schemars(range(min = 0)))]
    pub factor: Option<f64>,
    #[cfg_attr(test, schemars(length(min = 1)))]
    pub governing_cup: &'a str,
    #[cfg_attr(test, schemars(extend("enum" = ["seal", "slide"])))]
    pub governing_limit: &'static str,
    /// Of the governing cup with weight and motion multiplied; absent when no multiple is too much.
    #[cfg_attr(test, schemars(range(min = 0)))]
    pub factor_whole_load: Option<f64>,
    /// Of the governing cup with the motion multiplied and the weight counted once, or at favourable_weight,
    /// whichever is worse; absent when no multiple is too much.
    #[cfg_attr(test, schemars(range(min = 0)))]
    pub factor_weight_once: Option<f64>,
    /// What is multiplied in factor.
    #[cfg_attr(test, schemars(extend("enum" = ["whole_load", "weight_once", "favourable_weight"])))]
    pub governing_reading: &'static str,
    /// Share of the weight that is counted on where it helps.
    pub favourable_weight: Option<f64>,
    /// The state between start and stop that governs: how many times each part of the motion is taken as entered;
    /// the vectors below have it in.
    pub governing_state: StateJson,
    /// Where along the motion it is worst: the tilt, the direction that is lowest or that of the acceleration, by
    /// worst; absent for as_stated.
    pub governing_at_deg: Option<f64>,
    /// State and attitude that govern, in words; absent for a motion as stated at its one attitude.
    #[cfg_attr(test, schemars(length(min = 1)))]
    pub governs: Option<&'a str>,
    pub gravity_m_s2: [f64; 3],
    pub acceleration_m_s2: [f64; 3],
    pub turn_rate_rad_s: [f64; 3],
    pub turn_acceleration_rad_s2: [f64; 3],
    pub pivot_mm: [f64; 3],
    /// Point the moments are about: the cups' centre.
    pub about_mm: [f64; 3],
    /// Of the part on the cups.
    pub force_n: [f64; 3],
    /// About x, about y.
    pub tipping_moment_nm: [f64; 2],
    pub twist_nm: f64,
    pub cups: Vec<CupLoadJson<'a>>,
    #[serde(flatten)]
    pub slow: Option<MotionSlowJson<'a>>,
}

/// How many times each part of a motion is taken as entered.
#[derive(Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
pub(super) struct StateJson {
    /// Of what does not turn with the worst direction.
    #[cfg_attr(test, schemars(extend("enum" = [1.0, -1.0])))]
    pub acceleration: f64,
    #[cfg_attr(test, schemars(extend("enum" = [1.0, 0.0])))]
    pub turn_rate: f64,
    #[cfg_attr(test, schemars(extend("enum" = [1.0, -1.0])))]
    pub turn_acceleration: f64,
}

/// Share of one cup at the motion's governing instant, of the part on the cup.
#[skip_serializing_none]
#[derive(Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
pub(super) struct CupLoadJson<'a> {
    #[cfg_attr(test, schemars(length(min = 1)))]
    pub tag: &'a str,
    /// Positive away from the cup.
    pub pull_n: f64,
    pub slide_n: [f64; 2],
    /// Moment about x, about y.
    pub tilt_nm: [f64; 2],
    pub twist_nm: f64,
    /// The cup's own worst over the motion; absent when nothing loads the lip.
    #[cfg_attr(test, schemars(range(min = 0)))]
    pub factor: Option<f64>,
}

#[skip_serializing_none]
#[derive(Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
#[cfg_attr(test, schemars(extend("dependentRequired" = { "figure": ["unit"] })))]
pub(super) struct FindingJson<'a> {
    #[cfg_attr(test, schemars(extend("pattern" = "^[a-z]+(\\.[a-z_]+)+$")))]
    pub rule: &'a str,
    #[cfg_attr(test, schemars(extend("enum" = ["fail", "watch", "advice", "not_checked"])))]
    pub severity: &'static str,
    #[cfg_attr(test, schemars(inner(length(min = 1))))]
    pub subject: Vec<&'a str>,
    pub motion: Option<&'a str>,
    pub figure: Option<f64>,
    pub limit: Option<f64>,
    #[cfg_attr(test, schemars(length(min = 1)))]
    pub unit: Option<&'static str>,
    #[cfg_attr(test, schemars(length(min = 1)))]
    pub says: &'a str,
    pub remedy: &'a str,
    pub accepted: Option<&'a str>,
}

#[skip_serializing_none]
#[derive(Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
pub(super) struct AssumptionJson<'a> {
    #[cfg_attr(test, schemars(length(min = 1)))]
    pub what: &'a str,
    pub value: Option<f64>,
    #[cfg_attr(test, schemars(length(min = 1)))]
    pub unit: &'static str,
    /// Date of entry.
    #[serde(skip_serializing_if = "str::is_empty")]
    #[cfg_attr(test, schemars(length(min = 1)))]
    pub on: &'a str,
}

#[derive(Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
pub(super) struct NotCheckedJson<'a> {
    #[cfg_attr(test, schemars(length(min = 1)))]
    pub what: &'a str,
    #[cfg_attr(test, schemars(length(min = 1)))]
    pub why: &'a str,
}
