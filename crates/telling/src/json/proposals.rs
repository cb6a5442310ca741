//! The `propose --json` object: every proposal with its cups and figures, and what is proved.

use super::{file_name, known, number};
use analysis::{Certainty, Kind, Proposal, Proposals, Suits};
use document::{HowMany, Pattern, Prefer, Project};
use serde::Serialize;

/// Layouts proposed for a question. Keys carry units. Figures that are not finite or were not calculated are absent. Keys may be
/// added; none is renamed or dropped without a higher format.
#[derive(Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
#[cfg_attr(test, schemars(title = "cupwright propose --json"))]
pub(super) struct ProposalsJson<'a> {
    #[cfg_attr(test, schemars(extend("const" = crate::json::FORMAT)))]
    format: u32,
    #[cfg_attr(test, schemars(extend("pattern" = "^cupwright ")))]
    program: &'a str,
    #[cfg_attr(test, schemars(extend("pattern" = "^[^/\\\\]*$")))]
    file: &'a str,
    project: &'a str,
    question: QuestionJson<'a>,
    /// The best first; the layout that there is last.
    proposals: Vec<ProposalJson<'a>>,
    certainty: CertaintyJson<'a>,
    /// Every model that was considered.
    models: Vec<ModelJson<'a>>,
    /// What could not be proposed beside, and why.
    not_proposed: Vec<String>,
    /// Whether it came to its end; otherwise the best so far.
    whole: bool,
}

#[derive(Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
struct QuestionJson<'a> {
    #[cfg_attr(test, schemars(length(min = 1)))]
    says: &'a str,
    models: Vec<&'a str>,
    /// Absent: the fewest that meet the requirements.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[cfg_attr(test, schemars(range(min = 1)))]
    cups: Option<usize>,
    /// Absent: any pattern.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[cfg_attr(test, schemars(extend("enum" = ["free", "mirrored", "rows", "frame", "ring"])))]
    pattern: Option<&'static str>,
    one_lost: bool,
    zone_lost: bool,
    lost_factor: f64,
    /// Whether required factors are to be met with every assumed input at its worst.
    low_end: bool,
    mixed: bool,
    step_mm: f64,
    spacing_mm: f64,
    /// What comes first among those that meet what must hold.
    #[cfg_attr(test, schemars(extend("enum" = ["cups", "reserve", "positions", "models", "air"])))]
    prefer: &'static str,
    seed: u32,
}

#[derive(Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
struct ProposalJson<'a> {
    #[cfg_attr(test, schemars(extend("enum" = ["free", "mirrored", "rows", "frame", "ring", "present"])))]
    kind: &'static str,
    name: &'a str,
    /// Whether all requirements are met.
    meets: bool,
    /// What fails in a check of it.
    fails: &'a [String],
    cups: Vec<CupJson<'a>>,
    /// Lowest factor over required; absent where nothing limits it or a motion has no result.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[cfg_attr(test, schemars(range(min = 0)))]
    least: Option<f64>,
    /// Factor in the motion where that is least.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[cfg_attr(test, schemars(range(min = 0)))]
    factor: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    motion: Option<&'a str>,
    /// The part that makes it, on a tool that carries several.
    #[serde(skip_serializing_if = "Option::is_none")]
    part: Option<&'a str>,
    /// Lowest factor of the remaining cups when the worst cup is lost; 0 where the part drops.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[cfg_attr(test, schemars(range(min = 0)))]
    one_lost_factor: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    one_lost_holds: Option<bool>,
    /// The same when the worst zone is lost; absent also for a part that bends.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[cfg_attr(test, schemars(range(min = 0)))]
    zone_lost_factor: Option<f64>,
    /// Least factor over required with every assumed input at its worst, where that was asked for.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[cfg_attr(test, schemars(range(min = 0)))]
    low_end: Option<f64>,
    vacuum_force_n: f64,
    /// Different X and Y values of its cups.
    different_x_y: [usize; 2],
    /// Zones that its cups are in, on a tool that carries several parts.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[cfg_attr(test, schemars(range(min = 1)))]
    zones: Option<usize>,
    #[serde(skip_serializing_if = "Option::is_none")]
    air_nl_min: Option<f64>,
    #[cfg_attr(test, schemars(extend("enum" = ["ok", "watch", "fail"])))]
    verdict: &'static str,
}

#[derive(Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
struct CupJson<'a> {
    tag: &'a str,
    model: &'a str,
    /// Centre, x, y from the drawing's origin; of a tool that carries several parts, from the tool's datum.
    at_mm: [f64; 2],
    turn_deg: f64,
}

#[derive(Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
struct CertaintyJson<'a> {
    /// Cups that it is about.
    cups: usize,
    #[cfg_attr(test, schemars(extend("enum" = ["at_most", "best", "no_limit", "not_converged", "not_asked"])))]
    status: &'static str,
    /// No layout of this many cups at the places searched has a higher lowest factor over required.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[cfg_attr(test, schemars(range(min = 0)))]
    at_most: Option<f64>,
    /// The same for one cup fewer.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[cfg_attr(test, schemars(range(min = 0)))]
    one_fewer_at_most: Option<f64>,
    /// Places that were searched.
    places: usize,
    step_mm: f64,
    why_not_better: &'a str,
    why_not_fewer: &'a str,
}

#[derive(Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
struct ModelJson<'a> {
    name: &'a str,
    suits: bool,
    #[serde(skip_serializing_if = "Option::is_none")]
    #[cfg_attr(test, schemars(length(min = 1)))]
    why_not: Option<&'a str>,
    /// Fewest cups needed, by the sum of what they hold.
    #[serde(skip_serializing_if = "Option::is_none")]
    at_least: Option<usize>,
    /// Clearance to spare at the roomiest place for its lip; negative where it does not fit.
    #[serde(skip_serializing_if = "Option::is_none")]
    room_mm: Option<f64>,
}

/// The `propose --json` object on one line; see `crates/telling/schema/proposals.schema.json`.
pub fn proposals_json(file: &str, project: &Project, found: &Proposals) -> String {
    let name = file_name(file);
    let question = &found.question;
    let object = ProposalsJson {
        format: super::FORMAT,
        program: super::PROGRAM,
        file: &name,
        project: &project.name,
        question: QuestionJson {
            says: &found.says,
            models: question.models.iter().map(|id| &*id.0).collect(),
            cups: match question.count {
                HowMany::Exactly(count) => Some(count),
                HowMany::Fewest { .. } => None,
            },
            pattern: question.pattern.map(Pattern::key),
            one_lost: question.one_lost,
            zone_lost: question.zone_lost,
            lost_factor: known(question.lost_factor),
            low_end: question.low_end,
            mixed: question.mixed,
            step_mm: known(question.step_mm),
            spacing_mm: known(question.spacing(&project.rules)),
            prefer: Prefer::key(question.prefer),
            seed: question.seed,
        },
        proposals: found.proposals.iter().map(proposal).collect(),
        certainty: CertaintyJson {
            cups: found.count,
            status: match found.certainty {
                Certainty::AtMost(_) => "at_most",
                Certainty::Best => "best",
                Certainty::NoLimit => "no_limit",
                Certainty::NotConverged => "not_converged",
                Certainty::NotAsked => "not_asked",
            },
            at_most: found.certainty.at_most().and_then(number),
            one_fewer_at_most: found.fewer.as_ref().and_then(Certainty::at_most).and_then(number),
            places: found.places.0,
            step_mm: known(found.places.1),
            why_not_better: &found.why_not_better,
            why_not_fewer: &found.why_not_fewer,
        },
        models: found.suits.iter().map(model).collect(),
        not_proposed: found.beside.iter().map(ToString::to_string).collect(),
        whole: found.whole,
    };
    // A structure of strings and finite numbers always serialises.
    serde_json::to_string(&object).unwrap_or_default()
}

fn proposal(of: &Proposal) -> ProposalJson<'_> {
    let figures = &of.figures;
    let name = if of.kind == Kind::Present { &of.report.layout_name } else { &of.layout.name };
    ProposalJson {
        kind: of.kind.key(),
        name,
        meets: of.meets,
        fails: &of.fails,
        cups: of
            .cups()
            .map(|(cup, model)| CupJson {
                tag: &cup.tag,
                model: &model.name,
                at_mm: [known(cup.at.x), known(cup.at.y)],
                turn_deg: known(cup.turn_deg),
            })
            .collect(),
        least: figures.least.and_then(number),
        factor: figures.factor.and_then(number),
        motion: (!figures.motion_name.is_empty()).then_some(figures.motion_name.as_str()),
        part: (!figures.part_name.is_empty()).then_some(figures.part_name.as_str()),
        one_lost_factor: figures.one_lost.and_then(number),
        one_lost_holds: figures.holds_lost,
        zone_lost_factor: figures.zone_lost.and_then(number),
        low_end: figures.low_end.and_then(number),
        vacuum_force_n: known(figures.force_n),
        different_x_y: figures.different,
        zones: figures.zones,
        air_nl_min: figures.air_nl_min.and_then(number),
        verdict: super::verdict_word(of.report.verdict.severity),
    }
}

fn model(of: &Suits) -> ModelJson<'_> {
    ModelJson {
        name: &of.name,
        suits: of.why_not.is_none(),
        why_not: of.why_not.as_deref(),
        at_least: of.at_least,
        room_mm: of.room_mm.and_then(number),
    }
}
