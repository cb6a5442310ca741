//! The `check --json` object: the report's figures in a fixed order, absent where there is no figure.
//!
//! Fields are written in the order of the structures here, lists in the order of the report, so that two runs give the
//! same bytes. The comments of the key structures say what each key means; the schemas beside the crate (`schema/`) are made
//! of them (`published.rs`).

mod bending;
mod circuit;
mod compare;
mod difference;
mod family;
#[cfg(test)]
mod inputs;
mod keys;
mod keys_slow;
mod network;
mod proposals;
#[cfg(test)]
mod published;
mod ringing;
#[cfg(test)]
mod schema;
mod slow;
mod supply;

pub use compare::compare_json;
pub use difference::{difference_json, one_sided_json};
pub use proposals::proposals_json;

use analysis::{
    Age, CupReport, EnvelopeReport, Finding, MotionOutcome, MotionReport, PartReport, Report, Severity, Slow,
};
use document::{CupId, LayoutId, MotionId, Project};
use geometry::{Limit, LipShape};
use glam::{DVec2, DVec3};
use keys::*;
use mechanics::LipLimit;
use std::{collections::HashMap, path::Path, sync::Arc};
use units::{Quantity, UnitChoice};

/// Version of the object's keys; raised when one is renamed or dropped.
pub const FORMAT: u32 = 2;

const KG_PER_G: f64 = 1e-3;
pub(crate) const PROGRAM: &str = concat!("cupwright ", env!("CARGO_PKG_VERSION"));

/// Exit status of `check`: 0 when every layout holds as modelled, 1 when a finding fails that nobody accepted or a
/// motion has no result.
///
/// A layout without cups holds nothing, so it gives 1 too.
pub fn exit_code(reports: &[Arc<Report>]) -> u8 {
    let holds = |report: &Arc<Report>| matches!(verdict_word(report.verdict.severity), "ok" | "watch");
    u8::from(reports.is_empty() || !reports.iter().all(holds))
}

/// The `check --json` object of one project (all layouts) on one line; see `crates/telling/schema/check.schema.json`.
///
/// `file` may be a path: only its last name is printed, so that the object says nothing of the machine. Figures are in
/// base units whatever unit a person picked, to twelve digits; what is not finite is left out.
///
/// ```
/// use analysis::Analyst;
/// use telling::{exit_code, to_json};
/// use document::{Part, PartId, Project};
///
/// let project = Project::new("Tray line 2", Part::rectangle(PartId(1), "Tray blank", 600.0, 400.0)); // mm
/// let report = Analyst::new().check(&project, project.layouts[0].id);
/// let text = to_json("jobs/tray.ron", &project, &[report.clone()]);
/// assert!(text.starts_with(r#"{"format":2,"program":"cupwright "#));
/// assert!(text.contains(r#""file":"tray.ron""#));
/// assert_eq!(exit_code(&[report]), 1); // no cups yet, so nothing holds
/// ```
pub fn to_json(file: &str, project: &Project, reports: &[Arc<Report>]) -> String {
    let name = file_name(file);
    let object = CheckJson {
        format: FORMAT,
        program: PROGRAM,
        file: &name,
        project: &project.name,
        content: content(project, reports),
        verdict: worst_verdict(reports),
        site: slow::site(project),
        spread: slow::spread(project),
        layouts: reports.iter().map(|report| layout(project, report)).collect(),
    };
    // A structure of strings and finite numbers always serialises.
    serde_json::to_string(&LineJson::Read(&object)).unwrap_or_default()
}

/// The `check --json` object of a file that could not be read or calculated: its verdict is a failure, `unread` says why.
///
/// ```
/// let text = telling::unread_json("jobs/tray.ron", "the file is empty");
/// assert!(text.contains(r#""file":"tray.ron","unread":"the file is empty","verdict":{"severity":"fail""#));
/// ```
pub fn unread_json(file: &str, why: &str) -> String {
    let verdict =
        VerdictJson { severity: "fail", sentence: format!("Not read: {why}"), detail: String::new() };
    let object =
        UnreadJson { format: FORMAT, program: PROGRAM, file: &file_name(file), unread: why, verdict };
    // A structure of strings and finite numbers always serialises.
    serde_json::to_string(&LineJson::Unread(&object)).unwrap_or_default()
}

/// The last name of a path.
fn file_name(file: &str) -> String {
    Path::new(file).file_name().map_or_else(|| file.to_owned(), |name| name.to_string_lossy().into_owned())
}

fn curve_of(envelope: &EnvelopeReport) -> Vec<[f64; 2]> {
    slow::curve(envelope)
}

fn limit_word(limit: LipLimit) -> &'static str {
    match limit {
        LipLimit::Seal => "seal",
        LipLimit::Slide => "slide",
    }
}

/// Tags of a layout's cups. Findings and motions may name cups that could not be lowered, which only the document has.
fn finding_tags<'a>(project: &'a Project, report: &Report) -> HashMap<CupId, &'a str> {
    finding_tags_of(project, report.layout)
}

fn finding_tags_of(project: &Project, layout: LayoutId) -> HashMap<CupId, &str> {
    project
        .layout(layout)
        .map(|layout| layout.cups.iter().map(|cup| (cup.id, cup.tag.as_str())).collect())
        .unwrap_or_default()
}

/// A figure to twelve significant digits; `None` when it is not finite. Rounding takes off what the last bits of sums
/// leave behind, and with it "-0".
fn number(value: f64) -> Option<f64> {
    let rounded = format!("{value:.11e}").parse::<f64>().ok().filter(|rounded| rounded.is_finite())?;
    Some(if rounded == 0.0 { 0.0 } else { rounded })
}

/// A figure that the report holds finite.
fn known(value: f64) -> f64 {
    number(value).unwrap_or(0.0)
}

fn pair(value: DVec2) -> [f64; 2] {
    value.to_array().map(known)
}

fn triple(value: DVec3) -> [f64; 3] {
    value.to_array().map(known)
}

/// What is not known does not hold, so it is printed as a failure.
fn verdict_word(severity: Severity) -> &'static str {
    match severity {
        Severity::Ok | Severity::Advice => "ok",
        Severity::Watch => "watch",
        Severity::Fail | Severity::NotChecked => "fail",
    }
}

fn severity_word(severity: Severity) -> &'static str {
    match severity {
        Severity::Ok => "ok",
        Severity::Advice => "advice",
        Severity::NotChecked => "not_checked",
        Severity::Watch => "watch",
        Severity::Fail => "fail",
    }
}

/// The project's verdict is that of its worst layout, the first of equals; named where there are several.
fn worst_verdict(reports: &[Arc<Report>]) -> VerdictJson {
    let rank = |report: &Report| match verdict_word(report.verdict.severity) {
        "ok" => 0,
        "watch" => 1,
        _ => 2,
    };
    let mut worst: Option<&Arc<Report>> = None;
    for report in reports {
        if worst.is_none_or(|held| rank(report) > rank(held)) {
            worst = Some(report);
        }
    }
    match worst {
        None => VerdictJson {
            severity: "fail",
            sentence: "No layout to check".to_owned(),
            detail: "Add a layout to the project.".to_owned(),
        },
        Some(report) if reports.len() == 1 => layout_verdict(report),
        Some(report) => {
            let verdict = layout_verdict(report);
            VerdictJson { sentence: format!("{}: {}", report.layout_name, verdict.sentence), ..verdict }
        }
    }
}

fn layout_verdict(report: &Report) -> VerdictJson {
    VerdictJson {
        severity: verdict_word(report.verdict.severity),
        sentence: report.verdict.sentence.clone(),
        detail: report.verdict.detail.clone(),
    }
}

fn age(age: Age) -> &'static str {
    match age {
        Age::Current => "current",
        Age::Older => "older",
        Age::Absent => "absent",
    }
}

fn content(project: &Project, reports: &[Arc<Report>]) -> ContentJson {
    let reports: Vec<&Report> = reports.iter().map(AsRef::as_ref).collect();
    let identity = crate::Identity::of(project, &reports);
    let stamp = |stamp: crate::Stamp| StampJson { words: stamp.words, why: stamp.why };
    ContentJson {
        stamps: identity.stamps().into_iter().map(stamp).collect(),
        mark: identity.fingerprint,
        revision: identity.revision,
        standing: identity.words,
    }
}

fn approval(project: &Project, report: &Report) -> Option<ApprovalJson> {
    let held = crate::approval(project, report)?;
    Some(ApprovalJson {
        mark: held.mark(),
        by: held.by,
        on: held.on,
        open: held.open,
        unchecked: held.unchecked,
    })
}

fn layout<'a>(project: &'a Project, report: &'a Report) -> LayoutJson<'a> {
    let tags = finding_tags(project, report);
    let motions: HashMap<MotionId, &str> =
        report.motions.iter().map(|motion| (motion.id, motion.name.as_str())).collect();
    LayoutJson {
        name: &report.layout_name,
        verdict: layout_verdict(report),
        approval: approval(project, report),
        slow_figures: Slow::all().map(|slow| (slow.key(), age(report.ages.of(slow)))).collect(),
        parts: report.part.iter().map(|facts| part(facts, project)).collect(),
        cups: match &report.family {
            Some(held) => family::cups(project, held),
            None => report.cups.iter().map(|facts| cup(facts, report, project)).collect(),
        },
        counted_as_sealed: report.counted_as_sealed.iter().filter_map(|cup| tags.get(cup).copied()).collect(),
        balance: report.balance.as_ref().map(|balance| BalanceJson {
            cup_centre_mm: pair(balance.cup_centre),
            centroid_offset_mm: pair(balance.centroid_offset),
            spread_mm: pair(balance.spread),
            inside_hull: balance.inside_hull,
            most_over_mean: balance.most_over_mean.and_then(number),
            most_over_mean_motion: balance.most_over_mean_motion.and_then(|id| motions.get(&id).copied()),
        }),
        bending: report.bending.as_ref().map(|held| bending::bending(held, report, &tags, &motions)),
        motions: report.motions.iter().map(|m| motion(m, project, &tags)).collect(),
        envelope_m_s2: report.envelope.as_ref().map(curve_of),
        envelope: report.envelope.as_ref().map(|held| slow::envelope(held, &tags)),
        levels_when_lost: report
            .levels_when_lost
            .iter()
            .map(|levels| slow::levels_when_lost(levels, &tags))
            .collect(),
        tool: project.layout(report.layout).map(|layout| slow::tool(&layout.tool)),
        vacuum: circuit::vacuum(project, report, &tags),
        robot_load: report.robot.as_ref().map(slow::robot),
        family: report.family.as_ref().map(|held| family::family(project, report.layout, held)),
        findings: report.findings.iter().map(|f| finding(f, &tags, &motions)).collect(),
        assumptions: report
            .assumptions
            .iter()
            .map(|assumed| AssumptionJson {
                what: &assumed.what,
                value: number(assumed.value),
                unit: unit(assumed.quantity),
                on: &assumed.on,
            })
            .collect(),
        not_checked: report.not_checked.iter().map(|(what, why)| NotCheckedJson { what, why }).collect(),
    }
}

fn part<'a>(part: &'a PartReport, project: &Project) -> PartJson<'a> {
    let permeance = project.part(part.id).and_then(|held| held.permeance_um_pa_s.as_ref());
    PartJson {
        name: &part.name,
        area_mm2: known(part.area_mm2),
        perimeter_mm: known(part.perimeter_mm),
        holes: part.holes,
        bounds_mm: part.bounds_mm.map(known),
        datum_mm: project.part(part.id).map(|held| pair(held.datum_at())),
        mass_kg: known(part.mass_kg),
        centre_of_gravity_mm: triple(part.centre_of_gravity_mm),
        inertia_kg_m2: part.inertia_kg_m2.map(known),
        second_moments_mm4: SecondMomentsJson {
            Ix: known(part.ix_mm4),
            Iy: known(part.iy_mm4),
            Ixy: known(part.ixy_mm4),
        },
        permeance_um_pa_s: permeance.and_then(|permeance| number(permeance.value)),
    }
}

fn cup<'a>(cup: &'a CupReport, report: &'a Report, project: &'a Project) -> CupJson<'a> {
    let (shape, corner) = shape(&cup.shape);
    let placed = project.layout(report.layout).and_then(|layout| layout.cups.iter().find(|c| c.id == cup.id));
    let model = placed.and_then(|placed| project.model(&placed.model));
    CupJson {
        tag: &cup.tag,
        model: &cup.model,
        at_mm: pair(cup.at),
        turn_deg: known(cup.turn_deg),
        circuit: &cup.circuit,
        zone: &cup.zone,
        height_mm: number(cup.height_mm),
        shape,
        outer_mm: pair(cup.shape.size()),
        sealing_mm: pair(cup.sealing.size()),
        corner_mm: corner,
        sealing_corner_mm: self::shape(&cup.sealing).1,
        lip_area_mm2: known(cup.line.area),
        lip_length_mm: known(cup.line.length),
        lip_mean_radius_mm: known(cup.line.mean_radius),
        lip_second_moments_mm3: [known(cup.line.ix), known(cup.line.iy)],
        axial_n_mm: known(cup.axial_n_mm),
        lateral_n_mm: known(cup.lateral_n_mm),
        tilt_nm_rad: cup.tilt_nm_rad.map(known),
        twist_nm_rad: known(cup.twist_nm_rad),
        side_lever_mm: known(cup.side_lever_mm),
        friction: known(cup.friction),
        seal_minimum_n_mm: known(cup.seal_minimum_n_mm),
        slide_share: known(cup.slide_share),
        uneven_friction: UnevenJson {
            slide: cup.uneven.slide,
            twist: cup.uneven.twist,
            apart: cup.uneven.apart,
            tilt: cup.uneven.tilt.map(known),
        },
        clearance_mm: cup.clearance.and_then(|clearance| number(clearance.distance)),
        required_clearance_mm: number(cup.required_clearance_mm),
        nearest: nearest(cup),
        level_kpa: known(cup.level_kpa),
        vacuum_force_n: known(cup.vacuum_force_n),
        channel: cup.channel.as_ref().map(slow::channel),
        channel_mm: model.filter(|_| cup.channel.is_some()).and_then(|model| number(model.channel_mm.value)),
        lip_width_mm: model.and_then(|model| number(model.lip_width().value)),
        mass_kg: model.and_then(|model| number(model.mass_g * KG_PER_G)),
        model_height_mm: model.and_then(|model| number(model.height_mm)),
        least_factor: cup.worst.and_then(|(_, factor)| number(factor.value)),
        least_factor_motion: cup
            .worst
            .filter(|(_, factor)| factor.value.is_finite())
            .and_then(|(index, _)| report.motions.get(index))
            .map(|motion| motion.name.as_str()),
        least_factor_required: cup
            .worst
            .filter(|(_, factor)| factor.value.is_finite())
            .and_then(|(index, _)| report.motions.get(index))
            .and_then(|motion| number(motion.required_factor)),
        on_parts: Vec::new(),
    }
}

/// What a lip is nearest to.
fn nearest(cup: &CupReport) -> Option<&'static str> {
    cup.clearance.map(|clearance| match clearance.limit {
        Limit::Edge => "edge",
        Limit::Hole(_) => "hole",
        Limit::KeepOut(_) => "keep-out",
    })
}

fn shape(shape: &LipShape) -> (&'static str, Option<f64>) {
    match *shape {
        LipShape::Round { .. } => ("round", None),
        LipShape::Long { .. } => ("long", None),
        LipShape::Rectangle { corner, .. } => ("rectangle", number(corner)),
    }
}

fn motion<'a>(motion: &'a MotionReport, project: &Project, tags: &HashMap<CupId, &'a str>) -> MotionJson<'a> {
    MotionJson {
        name: &motion.name,
        required_factor: number(motion.required_factor),
        entered: project.motion(motion.id).map(|entered| slow::entered(entered)),
        outcome: motion.outcome.as_ref().ok().map(|outcome| self::outcome(outcome, tags)),
    }
}

fn outcome<'a>(outcome: &'a MotionOutcome, tags: &HashMap<CupId, &'a str>) -> OutcomeJson<'a> {
    let tag = |id: CupId| tags.get(&id).copied().unwrap_or_default();
    let (instant, wrench) = (&outcome.instant, &outcome.wrench);
    OutcomeJson {
        factor: number(outcome.factor),
        governing_cup: tag(outcome.governing_cup),
        governing_limit: limit_word(outcome.governing_limit),
        factor_whole_load: number(outcome.readings.whole_load.value),
        factor_weight_once: number(outcome.readings.weight_kept.value),
        governing_reading: match outcome.readings.worse().reading {
            mechanics::Reading::WholeLoad => "whole_load",
            mechanics::Reading::WeightOnce => "weight_once",
            mechanics::Reading::FavourableWeight => "favourable_weight",
        },
        favourable_weight: number(outcome.favourable_weight),
        governing_state: StateJson {
            acceleration: outcome.member.acceleration,
            turn_rate: outcome.member.turn_rate,
            turn_acceleration: outcome.member.turn_acceleration,
        },
        governing_at_deg: outcome.at_deg.and_then(number),
        governs: outcome.governs.as_deref(),
        gravity_m_s2: triple(instant.gravity),
        acceleration_m_s2: triple(instant.acceleration),
        turn_rate_rad_s: triple(instant.turn_rate),
        turn_acceleration_rad_s2: triple(instant.turn_acceleration),
        pivot_mm: triple(instant.pivot),
        about_mm: triple(wrench.about),
        force_n: triple(wrench.force),
        tipping_moment_nm: pair(wrench.moment.truncate()),
        twist_nm: known(wrench.moment.z),
        cups: outcome
            .cups
            .iter()
            .map(|cup| CupLoadJson {
                tag: tag(cup.id),
                pull_n: known(cup.load.pull),
                slide_n: pair(cup.load.slide),
                tilt_nm: pair(cup.load.tilt),
                twist_nm: known(cup.load.twist),
                factor: number(cup.factor.value),
            })
            .collect(),
        slow: outcome.slow.as_ref().map(|slow| slow::slow(slow, tags)),
    }
}

fn finding<'a>(
    finding: &'a Finding,
    tags: &HashMap<CupId, &'a str>,
    motions: &HashMap<MotionId, &'a str>,
) -> FindingJson<'a> {
    let figure = finding.figure.and_then(number);
    FindingJson {
        rule: finding.rule,
        severity: severity_word(finding.severity),
        subject: finding.subject.iter().filter_map(|cup| tags.get(cup).copied()).collect(),
        motion: finding.motion.and_then(|id| motions.get(&id).copied()),
        figure,
        limit: finding.limit.and_then(number),
        unit: figure.map(|_| unit(finding.quantity)),
        says: &finding.says,
        remedy: &finding.remedy,
        accepted: finding.accepted.as_deref(),
    }
}

/// Name of the base unit, "1" for a plain number and a share of one.
fn unit(quantity: Quantity) -> &'static str {
    if quantity == Quantity::Share {
        return "1";
    }
    match units::unit_of(quantity, &UnitChoice::default()).1 {
        "" => "1",
        name => name,
    }
}
