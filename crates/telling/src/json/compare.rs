//! The `compare --json` object: figures of all layouts side by side, findings paired, and the sentence.

use super::{
    curve_of, file_name, finding_tags, known, limit_word, number, severity_word, unit, verdict_word,
};
use crate::compare::{CompareFigure, Comparison};
use analysis::{Finding, LongPair, MoreFrom, Report};
use document::{CupId, MotionId, Project};
use serde::Serialize;
use serde_with::skip_serializing_none;
use std::{collections::HashMap, sync::Arc};

/// Layouts of one project side by side. Keys carry units. Figures that are not finite or were not calculated stand
/// as a word or are absent. Keys may be added; none is renamed or dropped without a higher format.
#[skip_serializing_none]
#[derive(Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
#[cfg_attr(test, schemars(title = "cupwright compare --json"))]
pub(super) struct CompareJson<'a> {
    #[cfg_attr(test, schemars(extend("const" = crate::json::FORMAT)))]
    format: u32,
    #[cfg_attr(test, schemars(extend("pattern" = "^cupwright ")))]
    program: &'a str,
    #[cfg_attr(test, schemars(extend("pattern" = "^[^/\\\\]*$")))]
    file: &'a str,
    project: &'a str,
    /// Which layout is better for these motions and why.
    #[cfg_attr(test, schemars(length(min = 1)))]
    sentence: &'a str,
    layouts: Vec<ComparedLayoutJson<'a>>,
    figures: Vec<ComparedFigureJson<'a>>,
    /// The same rule about the same cups and motion, in every layout that has it.
    findings: Vec<PairedJson<'a>>,
    /// One long cup against two round ones over the same part.
    long_against_two: Option<LongPairJson<'a>>,
    #[cfg_attr(test, schemars(inner(length(min = 1))))]
    notes: &'a [String],
}

#[skip_serializing_none]
#[derive(Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
struct ComparedLayoutJson<'a> {
    name: &'a str,
    part: Option<&'a str>,
    #[cfg_attr(test, schemars(extend("enum" = ["ok", "watch", "fail"])))]
    verdict: &'static str,
    #[cfg_attr(test, schemars(length(min = 1)))]
    says: &'a str,
    cups: usize,
    findings_to_mend: usize,
    #[cfg_attr(test, schemars(range(min = 0)))]
    envelope_required_factor: Option<f64>,
    /// Direction in degrees, largest acceleration.
    envelope_m_s2: Option<Vec<[f64; 2]>>,
    envelope_weakest: Option<WeakestJson<'a>>,
}

#[skip_serializing_none]
#[derive(Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
struct WeakestJson<'a> {
    direction_deg: f64,
    #[cfg_attr(test, schemars(range(min = 0)))]
    acceleration_m_s2: Option<f64>,
    #[cfg_attr(test, schemars(length(min = 1)))]
    cup: Option<&'a str>,
    #[cfg_attr(test, schemars(extend("enum" = ["seal", "slide"])))]
    limit: &'static str,
}

#[skip_serializing_none]
#[derive(Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
struct ComparedFigureJson<'a> {
    #[cfg_attr(test, schemars(length(min = 1)))]
    name: &'a str,
    #[cfg_attr(test, schemars(length(min = 1)))]
    unit: &'static str,
    motion: Option<&'a str>,
    /// In the order of layouts; a word where there is no number.
    values: Vec<ValueJson<'a>>,
    /// What the factor is compared with; of a motion's factor only.
    required: Option<f64>,
    /// Name of the better layout; absent when they are equal within half a per cent or better has no meaning.
    better: Option<&'a str>,
}

#[derive(Serialize)]
#[serde(untagged)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
enum ValueJson<'a> {
    Number(f64),
    Words(#[cfg_attr(test, schemars(length(min = 1)))] &'a str),
}

/// One finding in all layouts that have it.
#[skip_serializing_none]
#[derive(Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
struct PairedJson<'a> {
    #[cfg_attr(test, schemars(length(min = 1)))]
    rule: &'a str,
    motion: Option<&'a str>,
    #[cfg_attr(test, schemars(inner(length(min = 1))))]
    subject: Vec<&'a str>,
    layouts: Vec<ThereJson<'a>>,
}

#[skip_serializing_none]
#[derive(Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
struct ThereJson<'a> {
    layout: &'a str,
    #[cfg_attr(test, schemars(extend("enum" = ["fail", "watch", "advice", "not_checked"])))]
    severity: &'static str,
    figure: Option<f64>,
    limit: Option<f64>,
    #[cfg_attr(test, schemars(length(min = 1)))]
    unit: Option<&'static str>,
    #[cfg_attr(test, schemars(length(min = 1)))]
    says: &'a str,
    accepted: Option<&'a str>,
}

#[derive(Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
struct LongPairJson<'a> {
    long: &'a str,
    two: &'a str,
    spacing_mm: f64,
    touching_mm: f64,
    widest_mm: f64,
    motions: Vec<SpacingJson<'a>>,
}

#[skip_serializing_none]
#[derive(Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
struct SpacingJson<'a> {
    motion: &'a str,
    #[cfg_attr(test, schemars(range(min = 0)))]
    long_factor: Option<f64>,
    #[cfg_attr(test, schemars(range(min = 0)))]
    two_factor: Option<f64>,
    /// Of the two set evenly about the centre of gravity on their line, where both land; more is by more than
    /// margin.
    #[cfg_attr(test, schemars(extend("enum" = ["at every spacing", "from a spacing on", "between two spacings", "no difference that the inputs support", "never within this part", "no spacing lands"])))]
    two_hold_more: &'static str,
    from_spacing_mm: Option<f64>,
    to_spacing_mm: Option<f64>,
    /// By how much the ratio of the two may be off with assumed inputs, at least 0.01.
    #[cfg_attr(test, schemars(range(min = 0)))]
    margin: Option<f64>,
}

/// The `compare --json` object on one line; see `crates/telling/schema/compare.schema.json`. `reports` are those of the
/// comparison's layouts, in their order; as everywhere, figures are in base units, and what is not finite is left out.
///
/// ```
/// use analysis::Analyst;
/// use telling::{compare, compare_json};
/// use document::{Part, PartId, Project};
///
/// let project = Project::new("Tray line 2", Part::rectangle(PartId(1), "Tray blank", 600.0, 400.0)); // mm
/// let (mut analyst, layout) = (Analyst::new(), project.layouts[0].id);
/// let comparison = compare(&mut analyst, &project, &[layout]);
/// let text = compare_json("jobs/tray.ron", &project, &comparison, &[analyst.check_whole(&project, layout)]);
/// assert!(text.contains(r#""sentence":"Only one layout"#));
/// ```
pub fn compare_json(
    file: &str,
    project: &Project,
    comparison: &Comparison,
    reports: &[Arc<Report>],
) -> String {
    let name = file_name(file);
    let names: HashMap<MotionId, &str> =
        project.motions.iter().map(|motion| (motion.id, motion.name.as_str())).collect();
    let layout_name = |index: usize| comparison.layouts.get(index).map(|(_, name)| name.as_str());
    let object = CompareJson {
        format: super::FORMAT,
        program: super::PROGRAM,
        file: &name,
        project: &project.name,
        sentence: &comparison.sentence(),
        layouts: reports.iter().map(|report| side(project, report)).collect(),
        figures: comparison
            .rows
            .iter()
            .map(|row| ComparedFigureJson {
                name: &row.name,
                unit: unit(row.quantity),
                motion: row.motion.and_then(|id| names.get(&id).copied()),
                values: row.figures.iter().map(value).collect(),
                required: row.figures.iter().find_map(|figure| match figure {
                    CompareFigure::Factor { required, .. } => number(*required),
                    _ => None,
                }),
                better: row.better.and_then(layout_name),
            })
            .collect(),
        findings: paired(project, reports, &names),
        long_against_two: comparison.long_pair.as_ref().map(|pair| long_pair(pair, &layout_name, &names)),
        notes: &comparison.notes,
    };
    // A structure of strings and finite numbers always serialises.
    serde_json::to_string(&object).unwrap_or_default()
}

fn value(figure: &CompareFigure) -> ValueJson<'_> {
    match figure {
        CompareFigure::Number(value) | CompareFigure::Factor { factor: value, .. } => {
            ValueJson::Number(known(*value))
        }
        CompareFigure::Words(words) | CompareFigure::Unknown(words) => ValueJson::Words(words),
    }
}

fn side<'a>(project: &'a Project, report: &'a Report) -> ComparedLayoutJson<'a> {
    let tags = finding_tags(project, report);
    let open =
        |finding: &&Finding| finding.severity == analysis::Severity::Fail && finding.accepted.is_none();
    let weakest = report.envelope.as_ref().map(|envelope| &envelope.weakest);
    ComparedLayoutJson {
        name: &report.layout_name,
        part: report.part.as_ref().map(|part| part.name.as_str()),
        verdict: verdict_word(report.verdict.severity),
        says: &report.verdict.sentence,
        cups: report.cups.len(),
        findings_to_mend: report.findings.iter().filter(open).count(),
        envelope_required_factor: report.envelope.as_ref().and_then(|held| number(held.required_factor)),
        envelope_m_s2: report.envelope.as_ref().map(curve_of),
        envelope_weakest: weakest.map(|point| WeakestJson {
            direction_deg: known(point.direction_deg),
            acceleration_m_s2: number(point.acceleration),
            cup: tags.get(&point.cup).copied(),
            limit: limit_word(point.limit),
        }),
    }
}

/// Findings of the same rule, cups and motion together, in the order of their first layout.
fn paired<'a>(
    project: &'a Project,
    reports: &'a [Arc<Report>],
    names: &HashMap<MotionId, &'a str>,
) -> Vec<PairedJson<'a>> {
    type Key<'k> = (&'k str, Option<MotionId>, &'k [CupId]);
    let mut pairs: Vec<(Key<'a>, PairedJson<'a>)> = Vec::new();
    for report in reports {
        let tags = finding_tags(project, report);
        for finding in &report.findings {
            let key: Key<'a> = (finding.rule, finding.motion, &finding.subject);
            let figure = finding.figure.and_then(number);
            let there = ThereJson {
                layout: &report.layout_name,
                severity: severity_word(finding.severity),
                figure,
                limit: finding.limit.and_then(number),
                unit: figure.map(|_| unit(finding.quantity)),
                says: &finding.says,
                accepted: finding.accepted.as_deref(),
            };
            match pairs.iter_mut().find(|(held, _)| *held == key) {
                Some((_, pair)) => pair.layouts.push(there),
                None => pairs.push((
                    key,
                    PairedJson {
                        rule: finding.rule,
                        motion: finding.motion.and_then(|id| names.get(&id).copied()),
                        subject: finding.subject.iter().filter_map(|cup| tags.get(cup).copied()).collect(),
                        layouts: vec![there],
                    },
                )),
            }
        }
    }
    pairs.into_iter().map(|(_, pair)| pair).collect()
}

fn long_pair<'a>(
    pair: &LongPair,
    layout_name: &impl Fn(usize) -> Option<&'a str>,
    names: &HashMap<MotionId, &'a str>,
) -> LongPairJson<'a> {
    LongPairJson {
        long: layout_name(pair.long).unwrap_or_default(),
        two: layout_name(pair.pair).unwrap_or_default(),
        spacing_mm: known(pair.spacing_mm),
        touching_mm: known(pair.touching_mm),
        widest_mm: known(pair.widest_mm),
        motions: pair
            .motions
            .iter()
            .map(|motion| {
                let (word, from, to) = match motion.more {
                    MoreFrom::Touching => ("at every spacing", None, None),
                    MoreFrom::Spacing(mm) => ("from a spacing on", number(mm), None),
                    MoreFrom::Between(from, to) => ("between two spacings", number(from), number(to)),
                    MoreFrom::NoDifference => ("no difference that the inputs support", None, None),
                    MoreFrom::Never => ("never within this part", None, None),
                    MoreFrom::NoRoom => ("no spacing lands", None, None),
                };
                SpacingJson {
                    motion: names.get(&motion.motion).copied().unwrap_or_default(),
                    long_factor: number(motion.long),
                    two_factor: number(motion.pair),
                    two_hold_more: word,
                    from_spacing_mm: from,
                    to_spacing_mm: to,
                    margin: number(motion.margin),
                }
            })
            .collect(),
    }
}
