//! What is said in a review: remarks, answers, a decision; and issuing a revision.

use super::{Effect, buttons, title};
use crate::{
    theme::Size,
    view::{Action, View},
};
use analysis::{Finding, Severity};
use document::{Answer, Decision, Edit, Outcome, Pin, Remark, RemarkId, Standing, next_index};
use egui::{RichText, TextEdit, Ui};

/// A remark as typed so far.
#[derive(Debug, Clone)]
pub struct RemarkForm {
    about: Vec<(Pin, String)>,
    at: usize,
    text: String,
    by: String,
    fresh: bool,
}

impl RemarkForm {
    /// On this, or on what is selected; the other things in sight can be chosen instead.
    pub fn new(view: &View, pin: Option<(Pin, String)>, person: &str) -> Self {
        let mut about: Vec<(Pin, String)> = pin.into_iter().collect();
        let mut offer = |pin: Pin, called: String| {
            if !about.iter().any(|(there, _)| *there == pin) {
                about.push((pin, called));
            }
        };
        for cup in view.selected() {
            offer(Pin::Cup(view.layout.id, cup.id), cup.tag.clone());
        }
        if let Some(motion) = view.shown_motion() {
            offer(Pin::Motion(motion.id), motion.name.clone());
        }
        offer(Pin::Whole, "the project".to_owned());
        for finding in &view.report.findings {
            let pin = Pin::Finding {
                layout: view.layout.id,
                rule: finding.rule.to_owned(),
                subject: finding.subject.clone(),
                motion: finding.motion,
            };
            offer(pin, finding.says.trim_end_matches('.').to_owned());
        }
        if view.selection.is_empty()
            && !matches!(about.first(), Some((Pin::Place(..) | Pin::Finding { .. }, _)))
        {
            // With nothing picked the whole is meant.
            about.rotate_right(1);
        }
        Self { about, at: 0, text: String::new(), by: person.to_owned(), fresh: true }
    }
}

/// What a place on the plan is called in a remark.
pub fn place_called(view: &View, at: glam::DVec2) -> String {
    view.pair(at - view.datum())
}

fn line(ui: &mut Ui, view: &View, name: &str, text: &mut String) {
    ui.label(RichText::new(name).color(view.tokens.second));
    let edit = ui.add(TextEdit::singleline(text).desired_width(f32::INFINITY));
    ui.ctx().accesskit_node_builder(edit.id, |node| node.set_label(format!("{name}, text")));
}

/// Several lines; typing goes here first.
fn lines(ui: &mut Ui, view: &View, name: &str, text: &mut String, fresh: &mut bool) {
    ui.label(RichText::new(name).color(view.tokens.second));
    let edit = ui.add(TextEdit::multiline(text).desired_width(f32::INFINITY).desired_rows(3));
    if std::mem::take(fresh) {
        edit.request_focus();
    }
    ui.ctx().accesskit_node_builder(edit.id, |node| node.set_label(format!("{name}, text")));
}

/// Draws the form of a remark.
pub fn remark_ui(ui: &mut Ui, view: &View, form: &mut RemarkForm, actions: &mut Vec<Action>) -> Effect {
    title(ui, "Remark");
    let shown = form.about.get(form.at).map_or("", |(_, called)| called.as_str()).to_owned();
    ui.label(RichText::new("About").color(view.tokens.second));
    let shown = crate::widgets::elided(ui, &shown, 360.0);
    let combo =
        egui::ComboBox::from_id_salt("remark about").selected_text(shown).width(400.0).show_ui(ui, |ui| {
            for (i, (_, called)) in form.about.iter().enumerate() {
                ui.selectable_value(&mut form.at, i, called);
            }
        });
    ui.ctx().accesskit_node_builder(combo.response.id, |node| node.set_label("About"));
    lines(ui, view, "Remark", &mut form.text, &mut form.fresh);
    line(ui, view, "Your name", &mut form.by);
    let meant = !form.text.trim().is_empty() && !form.by.trim().is_empty();
    match buttons(ui, &["Remark", "Cancel"], meant) {
        Some(0) => {
            let Some((pin, called)) = form.about.get(form.at).cloned() else { return Effect::Close };
            actions.push(Action::Person(form.by.clone()));
            actions.push(Action::Edit(Edit::AddRemark(Remark {
                id: RemarkId(view.project.next_id()),
                pin,
                called,
                text: form.text.trim().to_owned(),
                by: form.by.trim().to_owned(),
                on: crate::today(),
                of: view.content.as_ref().map(|c| c.fingerprint.clone()).unwrap_or_default(),
                answers: Vec::new(),
                resolved: None,
            })));
            Effect::Close
        }
        Some(_) => Effect::Close,
        None => Effect::Stay,
    }
}

/// An answer as typed so far.
#[derive(Debug, Clone)]
pub struct AnswerForm {
    remark: RemarkId,
    settle: bool,
    text: String,
    by: String,
    fresh: bool,
}

impl AnswerForm {
    /// To this remark; `settle` closes it with the answer.
    pub fn new(remark: RemarkId, settle: bool, person: &str) -> Self {
        Self { remark, settle, text: String::new(), by: person.to_owned(), fresh: true }
    }
}

/// Draws the form of an answer.
pub fn answer_ui(ui: &mut Ui, view: &View, form: &mut AnswerForm, actions: &mut Vec<Action>) -> Effect {
    let Some(remark) = view.project.remark(form.remark) else { return Effect::Close };
    title(ui, if form.settle { "Settle the remark" } else { "Answer the remark" });
    ui.label(
        RichText::new(format!("{}, {}: {}", remark.called, remark.by, remark.text)).color(view.tokens.second),
    );
    let name = if form.settle { "How it was settled (may stay empty)" } else { "Answer" };
    lines(ui, view, name, &mut form.text, &mut form.fresh);
    line(ui, view, "Your name", &mut form.by);
    let meant = !form.by.trim().is_empty() && (form.settle || !form.text.trim().is_empty());
    match buttons(ui, &[if form.settle { "Settle" } else { "Answer" }, "Cancel"], meant) {
        Some(0) => {
            let answer = Answer {
                text: form.text.trim().to_owned(),
                by: form.by.trim().to_owned(),
                on: crate::today(),
            };
            actions.push(Action::Person(form.by.clone()));
            actions.push(Action::Edit(if form.settle {
                Edit::ResolveRemark(form.remark, Some(answer))
            } else {
                Edit::AnswerRemark(form.remark, answer)
            }));
            Effect::Close
        }
        Some(_) => Effect::Close,
        None => Effect::Stay,
    }
}

/// A decision as typed so far.
#[derive(Debug, Clone)]
pub struct DecideForm {
    outcome: Option<Outcome>,
    text: String,
    by: String,
    open: usize,
    unticked: usize,
    /// What fails in the layout shown and is not accepted, and the reason to accept it as typed so far.
    fails: Vec<(Finding, String)>,
    /// Names of the other layouts that fail, and how often.
    elsewhere: Vec<(String, usize)>,
    fresh: bool,
}

impl DecideForm {
    /// With so many remarks open and questions not looked into.
    pub fn new(view: &View, person: &str, open: usize, unticked: usize) -> Self {
        let fails = telling::open_failures(view.whole()).map(|f| (f.clone(), String::new())).collect();
        let mut analyst = analysis::Analyst::with_units(view.units);
        let others = view.project.layouts.iter().filter(|layout| layout.id != view.layout.id);
        let elsewhere = others
            .map(|l| (l.name.clone(), telling::open_failures(&analyst.check(&view.project, l.id)).count()))
            .filter(|(_, fails)| *fails > 0)
            .collect();
        let by = person.to_owned();
        Self { outcome: None, text: String::new(), by, open, unticked, fails, elsewhere, fresh: true }
    }

    /// What accepts the failures that were given a reason.
    fn accepted(&self, view: &View) -> Vec<Edit> {
        let reasoned = self.fails.iter().filter(|(_, reason)| !reason.trim().is_empty());
        reasoned
            .map(|(finding, reason)| Edit::Accept(super::choose::accepted(view, finding, reason, &self.by)))
            .collect()
    }
}

/// What still fails, with room for a reason to accept each, and what accepting the whole then means.
fn fails_ui(ui: &mut Ui, view: &View, form: &mut DecideForm) {
    let t = view.tokens;
    let sealed = view.review.as_ref().is_some_and(|review| review.sealed);
    for (i, (finding, reason)) in form.fails.iter_mut().enumerate() {
        ui.add(egui::Label::new(RichText::new(&finding.says).color(t.fail)).wrap());
        if !sealed {
            let edit =
                TextEdit::singleline(reason).hint_text("Accepted because…").desired_width(f32::INFINITY);
            let edit = ui.add(edit);
            let name = format!("Reason to accept failure {}", i + 1);
            ui.ctx().accesskit_node_builder(edit.id, |node| node.set_label(name));
        }
    }
    if sealed && !form.fails.is_empty() {
        let says =
            "To accept a failure with a reason, choose \"Edit this file\" first: that changes the content.";
        ui.add(egui::Label::new(RichText::new(says).color(t.second)).wrap());
    }
    let open = form.fails.iter().filter(|(_, reason)| reason.trim().is_empty()).count();
    let mut says = Vec::new();
    if open > 0 {
        says.push(counted(open, "failure of this layout is open", "failures of this layout are open"));
    }
    for (name, fails) in &form.elsewhere {
        says.push(format!("{} in {name}", counted(*fails, "is open", "are open")));
    }
    if form.outcome == Some(Outcome::Accept) && !says.is_empty() {
        let says = format!(
            "Note: {}. Window, sheet and DXF will say \"{}\", in red.",
            says.join(", "),
            telling::WITH_OPEN_FAILURES
        );
        ui.add(egui::Label::new(RichText::new(says).font(Size::Body.strong()).color(t.fail)).wrap());
    } else if form.outcome == Some(Outcome::Accept) && view.whole().verdict.severity == Severity::NotChecked {
        let verdict = view.whole().verdict.sentence.trim_end_matches('.');
        let says = format!(
            "Note: {verdict}. Window, sheet and DXF will say \"{}\", in red.",
            telling::NOT_ALL_CHECKED
        );
        ui.add(egui::Label::new(RichText::new(says).font(Size::Body.strong()).color(t.fail)).wrap());
    }
}

fn counted(count: usize, one: &str, many: &str) -> String {
    if count == 1 { format!("one {one}") } else { format!("{count} {many}") }
}

/// Draws the form of a decision.
pub fn decide_ui(ui: &mut Ui, view: &View, form: &mut DecideForm, actions: &mut Vec<Action>) -> Effect {
    let t = view.tokens;
    title(ui, "Approve or send back");
    let Some(content) = &view.content else { return Effect::Stay };
    ui.label(format!("On content {}, {}.", content.fingerprint, content.words()));
    let open: Vec<String> = [
        (form.open > 0).then(|| counted(form.open, "remark is open", "remarks are open")),
        (form.unticked > 0).then(|| {
            counted(form.unticked, "question of the checklist is", "questions of the checklist are")
                + " not ticked"
        }),
    ]
    .into_iter()
    .flatten()
    .collect();
    if !open.is_empty() {
        ui.label(RichText::new(format!("Note: {}.", open.join(", "))).color(t.watch));
    }
    ui.horizontal(|ui| {
        for (outcome, name) in [(Outcome::Accept, "Approve"), (Outcome::SendBack, "Send back")] {
            if ui.radio(form.outcome == Some(outcome), name).clicked() {
                form.outcome = Some(outcome);
            }
        }
    });
    fails_ui(ui, view, form);
    lines(ui, view, "Comment", &mut form.text, &mut form.fresh);
    line(ui, view, "Your name", &mut form.by);
    ui.label(
        RichText::new(
            "It stays in the file and on the sheet with this content; later changes are not covered.",
        )
        .font(Size::Small.slanted())
        .color(t.second),
    );
    let meant = form.outcome.is_some() && !form.by.trim().is_empty();
    match buttons(ui, &["Confirm", "Cancel"], meant) {
        Some(0) => {
            let Some(outcome) = form.outcome else { return Effect::Stay };
            let mut edits = if outcome == Outcome::Accept { form.accepted(view) } else { Vec::new() };
            // What is accepted belongs to the content: the decision is on the content with it.
            let mut decided = (*view.project).clone();
            for edit in &edits {
                match edit.apply(&decided) {
                    Ok(next) => decided = next,
                    Err(error) => {
                        actions.push(Action::Notice(error.to_string()));
                        return Effect::Stay;
                    }
                }
            }
            let (of, revision) = match decided.standing() {
                _ if edits.is_empty() => (content.fingerprint.clone(), issued_as(&content.standing)),
                standing => (decided.fingerprint(), issued_as(&standing)),
            };
            let (text, by) = (form.text.trim().to_owned(), form.by.trim().to_owned());
            let decide = Edit::Decide(Decision { outcome, text, by, on: crate::today(), revision, of });
            actions.push(Action::Person(form.by.clone()));
            actions.push(Action::Edit(if edits.is_empty() {
                decide
            } else {
                let name = "Approve in review, with its failures".to_owned();
                edits.push(decide);
                Edit::Together { name, edits }
            }));
            Effect::Close
        }
        Some(_) => Effect::Close,
        None => Effect::Stay,
    }
}

/// The revision that a content is, or nothing.
fn issued_as(standing: &Standing) -> String {
    match standing {
        Standing::AsIssued { index } => index.clone(),
        Standing::NeverIssued | Standing::Changed { .. } | Standing::Altered { .. } => String::new(),
    }
}

/// A revision to be issued, as typed so far.
#[derive(Debug, Clone)]
pub struct IssueForm {
    index: String,
    what: String,
    by: String,
    fails: usize,
    fresh: bool,
}

impl IssueForm {
    /// The next one.
    pub fn new(view: &View, person: &str) -> Self {
        let index = match view.content.as_ref().map(|c| &c.standing) {
            Some(Standing::Changed { next, .. } | Standing::Altered { next, .. }) => next.clone(),
            Some(Standing::AsIssued { index }) => next_index(index),
            _ if view.project.sheet.revision.trim().is_empty() => "A".to_owned(),
            _ => view.project.sheet.revision.clone(),
        };
        let what = if view.project.issued.is_empty() { "First issue".to_owned() } else { String::new() };
        let fails = telling::open_failures(view.whole()).count();
        Self { index, what, by: person.to_owned(), fails, fresh: true }
    }
}

/// Draws the form of a revision.
pub fn issue_ui(ui: &mut Ui, view: &View, form: &mut IssueForm, actions: &mut Vec<Action>) -> Effect {
    let t = view.tokens;
    title(ui, "Issue a revision");
    ui.label(
        "Freezes the current content under this index and adds a line to the revision table of the sheet.",
    );
    if let Some(content) = &view.content {
        ui.label(RichText::new(format!("Now: {}.", content.words())).color(t.second));
        if let Standing::AsIssued { index } = &content.standing {
            let says = format!("Nothing was changed since revision {index}.");
            ui.label(RichText::new(says).color(t.watch));
        }
    }
    let index = form.index.trim();
    let taken = view.project.issued.iter().any(|i| i.index == index);
    if taken {
        ui.label(RichText::new(format!("Revision {index} is already issued.")).color(t.fail));
    }
    if form.fails > 0 {
        let fails = counted(
            form.fails,
            "finding of this layout fails and is",
            "findings of this layout fail and are",
        );
        ui.label(RichText::new(format!("Note: {fails} not accepted.")).color(t.watch));
    }
    line(ui, view, "Index", &mut form.index);
    lines(ui, view, "What changed", &mut form.what, &mut form.fresh);
    line(ui, view, "Your name", &mut form.by);
    let meant = !form.index.trim().is_empty() && !form.by.trim().is_empty() && !taken;
    match buttons(ui, &["Issue", "Cancel"], meant) {
        Some(0) => {
            actions.push(Action::Person(form.by.clone()));
            actions.push(Action::Edit(Edit::Issue {
                index: form.index.trim().to_owned(),
                on: crate::today(),
                by: form.by.trim().to_owned(),
                what: form.what.trim().to_owned(),
                program: concat!("cupwright ", env!("CARGO_PKG_VERSION")).to_owned(),
            }));
            Effect::Close
        }
        Some(_) => Effect::Close,
        None => Effect::Stay,
    }
}
