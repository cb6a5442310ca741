//! The rules: one file each, whose head says what it looks for, why, its limits and its remedy.
//!
//! A rule reads [`Facts`] and adds drafts. It never computes what a stage has computed, and it never decides how urgent
//! the whole is; [`crate::verdict`] does.

mod arrangement_few;
mod assumed_friction;
mod assumed_inputs;
mod balance_hull;
mod balance_offset;
mod balance_uneven;
mod circuit_conductance;
mod circuit_cycle;
mod circuit_dust;
mod circuit_exhaust;
mod circuit_hold;
mod circuit_hoses;
mod circuit_invalid;
mod circuit_level;
mod circuit_loss;
mod circuit_manifold;
mod circuit_open;
mod circuit_porous;
mod circuit_release;
mod circuit_source;
mod circuit_switch;
mod circuit_valves;
mod cups_draws;
mod cups_many;
mod draft;
mod factor_friction_alone;
mod factor_under_required;
mod facts;
mod flex_dish;
mod flex_factor;
mod flex_gap;
mod flex_lost;
mod flex_not_checked;
mod flex_ring;
mod flex_sag;
mod flex_stress;
mod flex_sudden;
mod frame_off_slot;
pub(crate) mod grid;
mod input;
mod long_alone;
mod long_channel;
mod lost_drops;
mod no_figure;
mod remedies;
mod robot_payload;
mod scope_not_checked;
mod seat_clearance;
mod seat_compliance;
mod seat_lip;
mod seat_none;
mod seat_open;
mod seat_overhang;
mod seat_overlap;
mod seat_partly;
mod seat_shut;
mod seat_texture;
mod sheet_fields;
mod sheet_issued;
mod trial_level;
mod trial_refit;

use crate::report::{CircuitReport, Finding, Severity};
use document::{Accepted, LayoutId};
use draft::Draft;
pub use factor_friction_alone::upright;
pub(crate) use facts::Facts;
pub(crate) use flex_lost::INFO as FLEX_LOST;
pub use lost_drops::SAME as SAME_LOSS;
pub(crate) use no_figure::INFO as NO_FIGURE;
pub(crate) use scope_not_checked::{CIRCUIT_STATED, not_built, only_stated};
pub(crate) use seat_overlap::{Lips, Near, near};

/// What the manual and `--help` say of one rule.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct RuleInfo {
    /// "seat.overhang".
    pub id: &'static str,
    /// A few words.
    pub title: &'static str,
    /// What it looks for and why.
    pub explains: &'static str,
    /// When it fails, empty when it never does.
    pub fail: &'static str,
    /// When it asks for attention, empty when it never does.
    pub watch: &'static str,
    /// What its remedy names.
    pub remedy: &'static str,
}

type Rule = (RuleInfo, fn(&Facts<'_>, &mut Vec<Draft>));

/// All rules, in the order of the manual.
const RULES: [Rule; 57] = [
    (seat_none::INFO, seat_none::find),
    (seat_partly::INFO, seat_partly::find),
    (seat_open::INFO, seat_open::find),
    (seat_overhang::INFO, seat_overhang::find),
    (seat_clearance::INFO, seat_clearance::find),
    (seat_overlap::INFO, seat_overlap::find),
    (seat_compliance::INFO, seat_compliance::find),
    (seat_lip::INFO, seat_lip::find),
    (seat_texture::INFO, seat_texture::find),
    (seat_shut::INFO, seat_shut::find),
    (factor_under_required::INFO, factor_under_required::find),
    (factor_friction_alone::INFO, factor_friction_alone::find),
    (flex_factor::INFO, flex_factor::find),
    (flex_lost::INFO, flex_lost::find),
    (flex_sag::INFO, flex_sag::find),
    (flex_ring::INFO, flex_ring::find),
    (flex_sudden::INFO, flex_sudden::find),
    (flex_stress::INFO, flex_stress::find),
    (flex_dish::INFO, flex_dish::find),
    (flex_gap::INFO, flex_gap::find),
    (flex_not_checked::INFO, flex_not_checked::find),
    (lost_drops::INFO, lost_drops::find),
    (arrangement_few::INFO, arrangement_few::find),
    (balance_hull::INFO, balance_hull::find),
    (balance_offset::INFO, balance_offset::find),
    (balance_uneven::INFO, balance_uneven::find),
    (long_alone::INFO, long_alone::find),
    (long_channel::INFO, long_channel::find),
    (circuit_invalid::INFO, circuit_invalid::find),
    (circuit_level::INFO, circuit_level::find),
    (circuit_source::INFO, circuit_source::find),
    (circuit_exhaust::INFO, circuit_exhaust::find),
    (circuit_porous::INFO, circuit_porous::find),
    (circuit_open::INFO, circuit_open::find),
    (circuit_hold::INFO, circuit_hold::find),
    (circuit_cycle::INFO, circuit_cycle::find),
    (circuit_release::INFO, circuit_release::find),
    (circuit_switch::INFO, circuit_switch::find),
    (circuit_loss::INFO, circuit_loss::find),
    (circuit_conductance::INFO, circuit_conductance::find),
    (circuit_dust::INFO, circuit_dust::find),
    (circuit_manifold::INFO, circuit_manifold::find),
    (circuit_hoses::INFO, circuit_hoses::find),
    (circuit_valves::INFO, circuit_valves::find),
    (trial_level::INFO, trial_level::find),
    (trial_refit::INFO, trial_refit::find),
    (robot_payload::INFO, robot_payload::find),
    (frame_off_slot::INFO, frame_off_slot::find),
    (input::INFO, input::find),
    (no_figure::INFO, no_figure::find),
    (scope_not_checked::INFO, scope_not_checked::find),
    (assumed_friction::INFO, assumed_friction::find),
    (assumed_inputs::INFO, assumed_inputs::find),
    (cups_many::INFO, cups_many::find),
    (cups_draws::INFO, cups_draws::find),
    (sheet_fields::INFO, sheet_fields::find),
    (sheet_issued::INFO, sheet_issued::find),
];

/// Every rule with what it looks for, why, and its limits.
///
/// ```
/// let overhang = analysis::catalogue().iter().find(|rule| rule.id == "seat.overhang").ok_or("no such rule")?;
/// assert_eq!(overhang.fail, "clearance below 0 mm");
/// # Ok::<(), &str>(())
/// ```
pub fn catalogue() -> &'static [RuleInfo] {
    const INFO: [RuleInfo; RULES.len()] = {
        let mut all = [RULES[0].0; RULES.len()];
        let mut at = 0;
        while at < RULES.len() {
            all[at] = RULES[at].0;
            at += 1;
        }
        all
    };
    &INFO
}

/// What the manual says of the rule of a finding; "input.part" and its like share one entry.
pub fn rule(id: &str) -> Option<&'static RuleInfo> {
    let one_of_many =
        |info: &RuleInfo| info.id.ends_with('*') && id.starts_with(info.id.trim_end_matches('*'));
    catalogue().iter().find(|info| info.id == id || one_of_many(info))
}

/// Runs every rule and sorts what they say.
pub(crate) fn all(facts: &Facts<'_>, accepted: &[Accepted], layout: LayoutId) -> Vec<Finding> {
    let mut drafts = Vec::new();
    for (_, find) in &RULES {
        find(facts, &mut drafts);
    }
    for draft in &mut drafts {
        draft.finding.accepted = reason(&draft.finding, accepted, layout);
        draft.finding.seat = facts.seated.map(|seated| seated.seat);
    }
    drafts.sort_by(Draft::order);
    drafts.into_iter().map(|draft| draft.finding).collect()
}

/// Gives every cup of a worked-out circuit the severity of what `circuit.level` says of it.
pub(crate) fn judge_levels(circuits: &mut [CircuitReport], findings: &[Finding]) {
    for cup in circuits.iter_mut().flat_map(|circuit| circuit.cups.iter_mut()) {
        let about =
            findings.iter().filter(|f| f.rule == circuit_level::INFO.id && f.subject.contains(&cup.id));
        cup.against_wanted = about.map(|finding| finding.severity).max().unwrap_or(Severity::Ok);
    }
}

/// "zone B open"; cups that hang on no valve are told as such.
fn open_zone(zone: &str) -> String {
    if zone.is_empty() { "no zone to shut".to_owned() } else { format!("zone {zone} open") }
}

/// Whether a cup is an area gripper, which seals cell by cell.
fn in_cells(facts: &Facts<'_>, cup: document::CupId) -> bool {
    let layout = facts.layout.cups.iter().find(|held| held.id == cup);
    let circuit = layout.and_then(|cup| facts.project.circuit(cup.circuit));
    circuit.and_then(|circuit| circuit.supply.as_ref()).is_some_and(|supply| supply.area_gripper.is_some())
}

/// Whether findings of a rule can be taken on with a reason; what has no figure, or a wrong input, cannot.
///
/// ```
/// assert!(analysis::can_be_accepted("seat.overhang"));
/// assert!(!analysis::can_be_accepted("input.part") && !analysis::can_be_accepted("input.site"));
/// ```
#[must_use]
pub fn can_be_accepted(id: &str) -> bool {
    rule(id).is_none_or(|info| ![no_figure::INFO.id, input::INFO.id].contains(&info.id))
}

/// Whether a finding of a rule says nothing but that a factor falls short.
pub fn of_factor(rule: &str) -> bool {
    [factor_under_required::INFO.id, factor_friction_alone::INFO.id, flex_factor::INFO.id].contains(&rule)
}

/// The reason a finding was accepted with: same rule, cups, motion and layout. What has no figure cannot be taken on: nobody
/// knows what it is.
fn reason(finding: &Finding, accepted: &[Accepted], layout: LayoutId) -> Option<String> {
    if !can_be_accepted(finding.rule) {
        return None;
    }
    let same_cups = |other: &[document::CupId]| {
        other.len() == finding.subject.len() && finding.subject.iter().all(|cup| other.contains(cup))
    };
    accepted
        .iter()
        .find(|entry| {
            entry.rule == finding.rule
                && entry.layout == layout
                && entry.motion == finding.motion
                && same_cups(&entry.subject)
        })
        .map(|entry| entry.reason.clone())
}
