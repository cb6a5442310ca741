//! The list of findings: what, where, figure against limit, and what would mend it.

use super::{PanelState, severity};
use crate::{
    theme::Size,
    view::{Action, View},
    widgets::{hairline, row_ground, two_lines},
};
use analysis::{Finding, Severity, words};
use document::Edit;
use egui::{Align, Layout, Rect, RichText, Role, Sense, Ui, Vec2, WidgetInfo};
use std::collections::BTreeSet;

/// Height of a row.
const ROW: f32 = 44.0;

/// Which findings are listed: a severity that is put away stays counted.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Filter {
    hidden: BTreeSet<Severity>,
    about: About,
}

/// What findings are to be about.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
enum About {
    #[default]
    Everything,
    /// The cups that are selected.
    Selected,
    /// The motion whose loads the plan shows.
    Motion(document::MotionId),
    /// Neither a cup nor a motion: part, circuit, tool, sheet.
    Rest,
}

impl Filter {
    fn lists(&self, view: &View, finding: &Finding) -> bool {
        let about = match self.about {
            About::Everything => true,
            About::Selected => finding.subject.iter().any(|cup| view.selection.contains(cup)),
            About::Motion(motion) => finding.motion == Some(motion),
            About::Rest => finding.subject.is_empty() && finding.motion.is_none(),
        };
        about && !self.hidden.contains(&finding.severity)
    }
}

const SEVERITIES: [Severity; 4] = [Severity::Fail, Severity::Watch, Severity::NotChecked, Severity::Advice];

/// Whether there is no finding at all, listed or filtered.
pub fn nothing_to_list(view: &View, state: &PanelState) -> bool {
    view.report.findings.iter().all(|f| f.accepted.is_some() && !state.accepted)
}

/// Draws the list.
pub fn findings_ui(ui: &mut Ui, view: &View, state: &mut PanelState, actions: &mut Vec<Action>) {
    let t = view.tokens;
    if let About::Motion(motion) = state.findings.about
        && view.project.motion(motion).is_none()
    {
        state.findings.about = About::Everything;
    }
    // What has no room beside the counts goes below them: a wider heading would push figures and links out of sight.
    ui.horizontal_wrapped(|ui| {
        heading_ui(ui, view, state);
        choice_ui(ui, view, state);
    });
    ui.add_space(4.0);
    hairline(ui, &t);
    let findings = &view.report.findings;
    let listed = |f: &Finding| f.accepted.is_none() || state.accepted;
    let mut shown: Vec<usize> = (0..findings.len())
        .filter(|i| listed(&findings[*i]) && state.findings.lists(view, &findings[*i]))
        .collect();
    let held_back = findings.iter().filter(|f| listed(f)).count() - shown.len();
    // What the verdict names comes first of its severity.
    let verdict = &view.report.verdict;
    shown.sort_by_key(|i| {
        let finding = &findings[*i];
        let governs = finding.motion.is_some()
            && finding.motion == verdict.motion
            && verdict.cup.is_some_and(|cup| finding.subject.contains(&cup));
        (std::cmp::Reverse(finding.severity), !governs, *i)
    });
    egui::ScrollArea::vertical().id_salt("findings list").auto_shrink([false, false]).show(ui, |ui| {
        ui.spacing_mut().item_spacing.y = 0.0;
        for index in shown {
            finding_ui(ui, view, state, index, &findings[index], actions);
        }
        if held_back > 0 {
            ui.add_space(6.0);
            ui.horizontal(|ui| {
                let says =
                    if held_back == 1 { "One more is".to_owned() } else { format!("{held_back} more are") };
                ui.label(RichText::new(format!("{says} not listed.")).color(t.second));
                if ui.link("List all").clicked() {
                    state.findings = Filter::default();
                }
            });
        }
    });
}

/// The heading with how many there are, on the line of whoever asks; a count puts its severity away.
pub fn heading_ui(ui: &mut Ui, view: &View, state: &mut PanelState) {
    let t = view.tokens;
    let accepted = accepted(view);
    ui.spacing_mut().item_spacing.x = 4.0;
    ui.label(RichText::new("Findings").font(Size::Heading.strong()));
    ui.add_space(8.0);
    let mut any = false;
    for (severity, count) in SEVERITIES.map(|s| (s, open(view, s))).into_iter().filter(|(_, n)| *n > 0) {
        any = true;
        let listed = !state.findings.hidden.contains(&severity);
        let text = words::counted(count, severity);
        let shown = RichText::new(&text).color(if listed { t.severity(severity) } else { t.second });
        let shown = if listed { shown } else { shown.strikethrough() };
        let chip = ui.add(egui::Button::new(shown).frame_when_inactive(false));
        chip.widget_info(|| WidgetInfo::selected(Role::CheckBox, true, listed, format!("List {text}")));
        if chip.on_hover_text(if listed { "Click to hide these" } else { "Click to show these" }).clicked() {
            if listed {
                state.findings.hidden.insert(severity);
            } else {
                state.findings.hidden.remove(&severity);
            }
        }
    }
    if accepted > 0 {
        ui.label(RichText::new(format!("{accepted} accepted")).color(t.second));
    }
    if !any && accepted == 0 {
        let text = if view.layout.cups.is_empty() { "nothing to check yet" } else { "none" };
        ui.label(RichText::new(text).color(t.second));
    }
}

/// Findings of a severity that nobody accepted.
fn open(view: &View, severity: Severity) -> usize {
    view.report.findings.iter().filter(|f| f.accepted.is_none() && f.severity == severity).count()
}

fn accepted(view: &View) -> usize {
    view.report.findings.iter().filter(|f| f.accepted.is_some()).count()
}

/// What the list is about, and whether it has what was accepted.
fn choice_ui(ui: &mut Ui, view: &View, state: &mut PanelState) {
    if SEVERITIES.iter().any(|severity| open(view, *severity) > 0) {
        about_ui(ui, view, state);
    }
    if accepted(view) > 0 {
        let label = if state.accepted { "Hide accepted" } else { "Show accepted" };
        ui.add_space(8.0);
        if ui.link(label).clicked() {
            state.accepted = !state.accepted;
        }
    }
}

fn about_ui(ui: &mut Ui, view: &View, state: &mut PanelState) {
    let t = view.tokens;
    let about = state.findings.about;
    let name = |about: About| match about {
        About::Everything => "about everything".to_owned(),
        About::Selected => "about the selected cups".to_owned(),
        About::Motion(id) => {
            let name = view.project.motion(id).map_or("", |m| m.name.as_str());
            format!("about {}", words::inside(name))
        }
        About::Rest => "about part, circuit and tool".to_owned(),
    };
    ui.add_space(8.0);
    let shown = crate::widgets::elided(ui, &name(about), 190.0);
    let combo = egui::ComboBox::from_id_salt("findings about")
        .selected_text(RichText::new(shown).color(if about == About::Everything { t.second } else { t.ink }))
        .width(120.0)
        .show_ui(ui, |ui| {
            let motions = view.project.motions.iter().map(|m| About::Motion(m.id));
            for choice in [About::Everything, About::Selected].into_iter().chain(motions).chain([About::Rest])
            {
                ui.selectable_value(&mut state.findings.about, choice, name(choice));
            }
        });
    ui.ctx().accesskit_node_builder(combo.response.id, |node| node.set_label("Findings about"));
}

fn finding_ui(
    ui: &mut Ui,
    view: &View,
    state: &mut PanelState,
    index: usize,
    finding: &Finding,
    actions: &mut Vec<Action>,
) {
    let t = view.tokens;
    let width = ui.available_width();
    let accepted = finding.accepted.is_some();
    let figure = figure_text(view, finding)
        .map(|text| ui.painter().layout_no_wrap(text, Size::Body.font(), egui::Color32::PLACEHOLDER));
    let figure_width = figure.as_ref().map_or(0.0, |figure| figure.size().x + 16.0);
    let acts = acts_of(view, finding);
    let act_width = match acts.len() {
        0 => 0.0,
        1 => 72.0,
        _ => 128.0,
    };
    // What is wrong first, what fixes it below; the figure stands at the right of the first. Two lines each where one is short.
    let says_colour = if accepted { t.second } else { t.ink };
    let strong = finding.severity == Severity::Fail && !accepted;
    let says_font = if strong { Size::Body.strong() } else { Size::Body.font() };
    let says = two_lines(ui, &finding.says, width - 28.0 - figure_width, says_font, says_colour);
    let remedy_text = finding
        .accepted
        .as_ref()
        .map_or_else(|| finding.remedy.clone(), |reason| format!("Accepted: {reason}"));
    let remedy = two_lines(ui, &remedy_text, width - 40.0 - act_width, Size::Body.font(), t.second);
    let height = (says.size().y + remedy.size().y + 10.0).max(ROW);
    let (rect, response) = ui.allocate_exact_size(Vec2::new(width, height), Sense::click());
    response.widget_info(|| {
        WidgetInfo::labeled(
            Role::Button,
            true,
            format!("{}: {}", words::severity(finding.severity), finding.says),
        )
    });
    let marked = state.finding == Some(index) && finding.subject.iter().all(|c| view.selection.contains(c));
    row_ground(ui, rect, marked, &response);
    let colour = if accepted { t.second } else { t.severity(finding.severity) };
    severity::mark(
        ui.painter(),
        rect.left_top() + Vec2::new(10.0, 13.0),
        7.0,
        if accepted { Severity::Ok } else { finding.severity },
        &t,
    );
    let below = says.size().y + 4.0;
    ui.painter().galley(rect.left_top() + Vec2::new(28.0, 4.0), says, says_colour);
    ui.painter().galley(rect.left_top() + Vec2::new(28.0, below), remedy, t.second);
    if let Some(figure) = figure {
        let at = rect.right_top() + Vec2::new(-figure.size().x, 4.0);
        ui.painter().galley_with_override_text_color(at, figure, colour);
    }
    let act = Rect::from_min_max(
        rect.right_bottom() - Vec2::new(act_width, 23.0),
        rect.right_bottom() - Vec2::new(0.0, 1.0),
    );
    let mut at_right =
        ui.new_child(egui::UiBuilder::new().max_rect(act).layout(Layout::right_to_left(Align::Center)));
    finding_acts(&mut at_right, view, finding, acts, actions);
    let full = if finding.remedy.is_empty() {
        finding.says.clone()
    } else {
        format!("{}\n{}", finding.says, remedy_text)
    };
    if response.on_hover_text(full).clicked() {
        state.finding = Some(index);
        if let Some(motion) = finding.motion {
            actions.push(Action::ShowMotion(Some(motion)));
        }
        actions.push(Action::Frame(finding.subject.clone()));
    }
}

/// What can be done with a finding.
enum Act {
    Reopen,
    Accept,
    Fix(Box<Edit>),
}

/// From the right.
fn acts_of(view: &View, finding: &Finding) -> Vec<Act> {
    if finding.accepted.is_some() {
        return vec![Act::Reopen];
    }
    let accepts = matches!(finding.severity, Severity::Fail | Severity::Watch)
        && analysis::can_be_accepted(finding.rule);
    let fix = finding.fix.as_ref().and_then(|fix| crate::bending::fixes::edit(view, fix));
    let fix = fix.map(|edit| Act::Fix(Box::new(edit)));
    accepts.then_some(Act::Accept).into_iter().chain(fix).collect()
}

fn finding_acts(ui: &mut Ui, view: &View, finding: &Finding, acts: Vec<Act>, actions: &mut Vec<Action>) {
    ui.spacing_mut().item_spacing.x = 10.0;
    for act in acts {
        let (name, why) = match act {
            Act::Reopen => ("Reopen", "Withdraw the acceptance"),
            Act::Accept => ("Accept…", "Keep it as it is, with a reason that stays in the file"),
            Act::Fix(_) => ("Apply fix", finding.remedy.as_str()),
        };
        if !ui.link(name).on_hover_text(why).clicked() {
            continue;
        }
        actions.push(match act {
            Act::Reopen => Action::Edit(Edit::Unaccept {
                rule: finding.rule.to_owned(),
                subject: finding.subject.clone(),
                motion: finding.motion,
                layout: view.layout.id,
                seat: taken_on(view, finding),
            }),
            Act::Accept => Action::Accept(Box::new(finding.clone())),
            Act::Fix(edit) => Action::Edit(*edit),
        });
    }
}

/// The part that an acceptance is about: of one part, or of all.
fn taken_on(view: &View, finding: &Finding) -> Option<document::SeatId> {
    let same = |a: &&document::Accepted| {
        a.rule == finding.rule
            && a.layout == view.layout.id
            && a.motion == finding.motion
            && a.subject == finding.subject
            && (a.seat.is_none() || a.seat == finding.seat)
    };
    view.project.accepted.iter().find(same).and_then(|accepted| accepted.seat)
}

fn figure_text(view: &View, finding: &Finding) -> Option<String> {
    let figure = finding.figure.filter(|f| f.is_finite())?;
    let shown = view.show(figure, finding.quantity);
    Some(match finding.limit {
        Some(limit) => format!("{} / {}", shown.number, view.text(limit, finding.quantity)),
        None => shown.to_string(),
    })
}
