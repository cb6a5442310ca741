//! The `diff --json` object: changes, figures before and after, and what became of the findings.

use super::{finding_tags_of, known, number, severity_word, unit};
use crate::{
    compare::CompareFigure,
    difference::{ChangeLine, Difference, FigureChange, FindingChange},
};
use analysis::{Finding, words};
use document::{ChangeKind, CupId, LayoutId, MotionId, Project};
use serde::Serialize;
use serde_json::Value;
use serde_with::skip_serializing_none;

/// Two projects, or two revisions of one, recalculated on both sides. Keys may be added; none is renamed or
/// dropped without a higher format. Figures are in base units; one that is not finite or was not calculated stands
/// as a word or is absent.
#[derive(Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
#[cfg_attr(test, schemars(title = "cupwright diff --json"))]
pub(super) struct DifferenceJson<'a> {
    #[cfg_attr(test, schemars(extend("const" = crate::json::FORMAT)))]
    format: u32,
    /// The program that calculated both sides.
    #[cfg_attr(test, schemars(extend("pattern" = "^cupwright ")))]
    program: &'a str,
    old: DiffSideJson<'a>,
    new: DiffSideJson<'a>,
    /// What was changed, and its effect.
    #[cfg_attr(test, schemars(length(min = 1)))]
    sentence: &'a str,
    /// In the order of the file.
    changes: Vec<ChangeJson<'a>>,
    /// Of the layouts that both sides have: the factors, and every other figure that is not the same.
    figures: Vec<FigureChangeJson<'a>>,
    /// Paired by layout, rule, cups and motion; a factor under the required one by its motion, whichever cup
    /// governs it.
    findings: FindingsJson<'a>,
    #[cfg_attr(test, schemars(inner(length(min = 1))))]
    notes: &'a [String],
}

#[skip_serializing_none]
#[derive(Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
#[cfg_attr(test, schemars(extend(
    "if" = { "properties": { "file": { "const": "nothing" } } },
    "else" = { "required": ["project", "fingerprint"] }
)))]
struct DiffSideJson<'a> {
    /// "nothing" where the file was added or removed; then nothing else stands here.
    #[cfg_attr(test, schemars(extend("pattern" = "^[^/\\\\]*$")))]
    file: String,
    project: Option<&'a str>,
    /// Of the content, as printed on the sheet.
    #[cfg_attr(test, schemars(extend("pattern" = "^[0-9a-f]{4}-[0-9a-f]{4}$")))]
    fingerprint: Option<String>,
    /// As the title block shows it; absent when blank.
    #[serde(skip_serializing_if = "String::is_empty")]
    revision: String,
}

#[skip_serializing_none]
#[derive(Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
#[cfg_attr(test, schemars(extend("allOf" = super::schema::sides_of_a_change())))]
struct ChangeJson<'a> {
    #[cfg_attr(test, schemars(extend("enum" = ["changed", "added", "removed"])))]
    kind: &'static str,
    /// "cup C4", "motion Level lift", "site"; as it is called in the newer project where it is there.
    #[cfg_attr(test, schemars(length(min = 1)))]
    subject: &'a str,
    /// As in the file, "supply.main.bore_mm"; absent when the whole thing was added or removed.
    #[serde(skip_serializing_if = "String::is_empty")]
    #[cfg_attr(test, schemars(length(min = 1)))]
    field: String,
    /// As in the file; absent where there was nothing. Of an outline only the number of its corners and a
    /// checksum.
    from: Option<Value>,
    /// As in the file; absent where there is nothing now.
    to: Option<Value>,
    /// As a sentence, in the chosen units.
    #[cfg_attr(test, schemars(length(min = 1)))]
    says: &'a str,
    layout: Option<&'a str>,
    motion: Option<&'a str>,
}

#[skip_serializing_none]
#[derive(Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
struct FigureChangeJson<'a> {
    /// "factor, emergency stop".
    #[cfg_attr(test, schemars(length(min = 1)))]
    name: String,
    layout: &'a str,
    motion: Option<&'a str>,
    #[cfg_attr(test, schemars(length(min = 1)))]
    unit: &'static str,
    from: FigureValue<'a>,
    to: FigureValue<'a>,
    /// Absent when the figure is the same within half a per cent or better has no meaning.
    better: Option<bool>,
}

#[derive(Serialize)]
#[serde(untagged)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
enum FigureValue<'a> {
    Number(f64),
    Words(#[cfg_attr(test, schemars(length(min = 1)))] &'a str),
}

#[derive(Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
struct FindingsJson<'a> {
    new: Vec<ChangedFindingJson<'a>>,
    gone: Vec<ChangedFindingJson<'a>>,
    #[cfg_attr(test, schemars(schema_with = "super::schema::pairs"))]
    worse: Vec<ChangedFindingJson<'a>>,
    #[cfg_attr(test, schemars(schema_with = "super::schema::pairs"))]
    better: Vec<ChangedFindingJson<'a>>,
}

/// The finding as it is, or as it was last; how it was before beside it.
#[skip_serializing_none]
#[derive(Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
pub(super) struct ChangedFindingJson<'a> {
    #[cfg_attr(test, schemars(length(min = 1)))]
    rule: &'a str,
    layout: &'a str,
    #[cfg_attr(test, schemars(inner(length(min = 1))))]
    subject: Vec<&'a str>,
    motion: Option<&'a str>,
    #[serde(flatten)]
    state: FindingStateJson<'a>,
    before: Option<FindingStateJson<'a>>,
}

#[skip_serializing_none]
#[derive(Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
struct FindingStateJson<'a> {
    #[cfg_attr(test, schemars(extend("enum" = ["fail", "watch", "advice", "not_checked"])))]
    severity: &'static str,
    figure: Option<f64>,
    limit: Option<f64>,
    #[cfg_attr(test, schemars(length(min = 1)))]
    unit: Option<&'static str>,
    #[cfg_attr(test, schemars(length(min = 1)))]
    says: &'a str,
    remedy: &'a str,
    accepted: Option<&'a str>,
}

/// The `diff --json` object on one line; see `crates/telling/schema/diff.schema.json`. `files` are the older and the newer
/// one; only their last names are printed. Values of changes are as the file has them; figures are in base units, and what is not
/// finite stands as a word or is left out.
///
/// ```
/// use analysis::Analyst;
/// use telling::{difference, difference_json};
/// use document::{Edit, Part, PartId, Project};
///
/// let old = Project::new("Tray line 2", Part::rectangle(PartId(1), "Tray blank", 600.0, 400.0)); // mm
/// let new = Edit::RenameProject("Tray line 3".to_owned()).apply(&old)?;
/// let difference = difference(&mut Analyst::new(), &old, &new);
/// let text = difference_json(["jobs/a.ron", "jobs/b.ron"], &old, &new, &difference);
/// assert!(text.contains(r#""kind":"changed","subject":"project","field":"name","from":"Tray line 2","to":"Tray line 3""#));
/// # Ok::<(), document::EditError>(())
/// ```
pub fn difference_json(files: [&str; 2], old: &Project, new: &Project, difference: &Difference) -> String {
    let names = Names { old, new };
    let findings = &difference.findings;
    let object = DifferenceJson {
        format: super::FORMAT,
        program: super::PROGRAM,
        old: side(files[0], old),
        new: side(files[1], new),
        sentence: &difference.sentence,
        changes: difference.changes.iter().map(|line| names.change(line)).collect(),
        figures: difference.figures.iter().map(|figure| names.figure(figure)).collect(),
        findings: FindingsJson {
            new: names.findings(&findings.new),
            gone: names.findings(&findings.gone),
            worse: names.findings(&findings.worse),
            better: names.findings(&findings.better),
        },
        notes: &difference.notes,
    };
    // A structure of strings and finite numbers always serialises.
    serde_json::to_string(&object).unwrap_or_default()
}

/// The `diff --json` object where one side is not there: the file was added, or removed.
///
/// ```
/// use document::{Part, PartId, Project};
///
/// let new = Project::new("Tray line 2", Part::rectangle(PartId(1), "Tray blank", 600.0, 400.0)); // mm
/// let text = telling::one_sided_json("jobs/tray.ron", &new, true);
/// assert!(text.contains(r#""old":{"file":"nothing"},"new":{"file":"tray.ron""#) && text.contains("tray.ron: added"));
/// ```
pub fn one_sided_json(file: &str, project: &Project, added: bool) -> String {
    let there = side(file, project);
    let nothing = DiffSideJson {
        file: "nothing".to_owned(),
        project: None,
        fingerprint: None,
        revision: String::new(),
    };
    let sentence = format!("{}: {}", there.file, if added { "added" } else { "removed" });
    let (old, new) = if added { (nothing, there) } else { (there, nothing) };
    let object = DifferenceJson {
        format: super::FORMAT,
        program: super::PROGRAM,
        old,
        new,
        sentence: &sentence,
        changes: Vec::new(),
        figures: Vec::new(),
        findings: FindingsJson { new: Vec::new(), gone: Vec::new(), worse: Vec::new(), better: Vec::new() },
        notes: &[],
    };
    // A structure of strings and finite numbers always serialises.
    serde_json::to_string(&object).unwrap_or_default()
}

fn side<'a>(file: &str, project: &'a Project) -> DiffSideJson<'a> {
    DiffSideJson {
        file: super::file_name(file),
        project: Some(&project.name),
        fingerprint: Some(project.fingerprint()),
        revision: project.revision_shown(),
    }
}

/// Names of layouts, motions and cups, from the newer side where they are there.
struct Names<'a> {
    old: &'a Project,
    new: &'a Project,
}

impl<'a> Names<'a> {
    fn layout(&self, id: LayoutId) -> &'a str {
        let held = self.new.layout(id).or_else(|| self.old.layout(id));
        held.map_or("", |layout| layout.name.as_str())
    }

    fn motion(&self, id: MotionId) -> Option<&'a str> {
        let held = self.new.motion(id).or_else(|| self.old.motion(id))?;
        Some(held.name.as_str())
    }

    fn change(&self, line: &'a ChangeLine) -> ChangeJson<'a> {
        let change = &line.change;
        ChangeJson {
            kind: match change.kind {
                ChangeKind::Added => "added",
                ChangeKind::Removed => "removed",
                ChangeKind::Changed => "changed",
            },
            subject: &change.called,
            field: change.field.to_string(),
            from: change.from.clone().and_then(without_nulls),
            to: change.to.clone().and_then(without_nulls),
            says: &line.says,
            layout: line.layout.map(|layout| self.layout(layout)),
            motion: line.motion.and_then(|motion| self.motion(motion)),
        }
    }

    fn figure(&self, figure: &'a FigureChange) -> FigureChangeJson<'a> {
        let value = |figure: &'a CompareFigure| match figure {
            CompareFigure::Number(value) | CompareFigure::Factor { factor: value, .. } => {
                FigureValue::Number(known(*value))
            }
            CompareFigure::Words(words) | CompareFigure::Unknown(words) => FigureValue::Words(words),
        };
        FigureChangeJson {
            name: words::inside(&figure.name),
            layout: self.layout(figure.layout),
            motion: figure.motion.and_then(|motion| self.motion(motion)),
            unit: unit(figure.quantity),
            from: value(&figure.from),
            to: value(&figure.to),
            better: figure.better,
        }
    }

    fn findings(&self, list: &'a [FindingChange]) -> Vec<ChangedFindingJson<'a>> {
        list.iter().filter_map(|change| self.finding(change)).collect()
    }

    fn finding(&self, change: &'a FindingChange) -> Option<ChangedFindingJson<'a>> {
        let latest = change.latest()?;
        let side = if change.after.is_some() { self.new } else { self.old };
        let before = change.before.as_ref().filter(|_| change.after.is_some());
        Some(ChangedFindingJson {
            rule: latest.rule,
            layout: self.layout(change.layout),
            subject: tags(side, change.layout, &latest.subject),
            motion: latest.motion.and_then(|motion| self.motion(motion)),
            state: state(latest),
            before: before.map(state),
        })
    }
}

fn tags<'a>(project: &'a Project, layout: LayoutId, cups: &[CupId]) -> Vec<&'a str> {
    let tags = finding_tags_of(project, layout);
    cups.iter().filter_map(|cup| tags.get(cup).copied()).collect()
}

fn state(finding: &Finding) -> FindingStateJson<'_> {
    let figure = finding.figure.and_then(number);
    FindingStateJson {
        severity: severity_word(finding.severity),
        figure,
        limit: finding.limit.and_then(number),
        unit: figure.map(|_| unit(finding.quantity)),
        says: &finding.says,
        remedy: &finding.remedy,
        accepted: finding.accepted.as_deref(),
    }
}

/// What is not there is left out.
fn without_nulls(value: Value) -> Option<Value> {
    match value {
        Value::Null => None,
        Value::Array(list) => Some(list.into_iter().filter_map(without_nulls).collect()),
        Value::Object(object) => {
            let kept = object.into_iter().filter_map(|(key, value)| Some((key, without_nulls(value)?)));
            Some(Value::Object(kept.collect()))
        }
        value => Some(value),
    }
}
