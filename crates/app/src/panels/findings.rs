//! The list of findings: what, where, figure against limit, and what would mend it.

use super::{PanelState, severity};
use crate::{
    theme::Size,
    view::{Action, View},
    widgets::{hairline, row_ground, two_lines},
};
use analysis::{Finding, Severity, words};
use document::Edit;
use egui::{Align, Align2, Layout, Rect, RichText, Role, Sense, Ui, Vec2, WidgetInfo};

/// Height of a row.
const ROW: f32 = 44.0;

/// Draws the list.
pub fn findings_ui(ui: &mut Ui, view: &View, state: &mut PanelState, actions: &mut Vec<Action>) {
    let t = view.tokens;
    let open = |severity: Severity| {
        view.report.findings.iter().filter(|f| f.accepted.is_none() && f.severity == severity).count()
    };
    let accepted = view.report.findings.iter().filter(|f| f.accepted.is_some()).count();
    ui.horizontal(|ui| {
        ui.label(RichText::new("Findings").font(Size::Heading.strong()));
        ui.add_space(12.0);
        let counts: Vec<String> = [Severity::Fail, Severity::Watch, Severity::NotChecked, Severity::Advice]
            .into_iter()
            .map(|s| (open(s), s))
            .filter(|(n, _)| *n > 0)
            .map(|(n, severity)| words::counted(n, severity))
            .chain((accepted > 0).then(|| format!("{accepted} accepted")))
            .collect();
        let text = match counts.len() {
            0 if view.layout.cups.is_empty() => "nothing to check yet".to_owned(),
            0 => "no findings".to_owned(),
            _ => counts.join(", "),
        };
        ui.label(RichText::new(text).color(t.second));
        if accepted > 0 {
            ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
                let label = if state.accepted { "Hide accepted" } else { "Show accepted" };
                if ui.link(label).clicked() {
                    state.accepted = !state.accepted;
                }
            });
        }
    });
    ui.add_space(4.0);
    hairline(ui, &t);
    egui::ScrollArea::vertical().id_salt("findings list").auto_shrink([false, false]).show(ui, |ui| {
        ui.spacing_mut().item_spacing.y = 0.0;
        for (index, finding) in view.report.findings.iter().enumerate() {
            if finding.accepted.is_none() || state.accepted {
                finding_ui(ui, view, state, index, finding, actions);
            }
        }
    });
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
    let (figure_width, act_width) = (150.0, 128.0);
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
    if let Some(text) = figure_text(view, finding) {
        let at = rect.right_top() + Vec2::new(0.0, 4.0);
        ui.painter().text(at, Align2::RIGHT_TOP, text, Size::Body.font(), colour);
    }
    let act = Rect::from_min_max(
        rect.right_bottom() - Vec2::new(act_width, 23.0),
        rect.right_bottom() - Vec2::new(0.0, 1.0),
    );
    let mut acts =
        ui.new_child(egui::UiBuilder::new().max_rect(act).layout(Layout::right_to_left(Align::Center)));
    finding_acts(&mut acts, view, finding, actions);
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

fn finding_acts(ui: &mut Ui, view: &View, finding: &Finding, actions: &mut Vec<Action>) {
    ui.spacing_mut().item_spacing.x = 10.0;
    if finding.accepted.is_some() {
        if ui.link("Reopen").on_hover_text("Take the acceptance back").clicked() {
            actions.push(Action::Edit(Edit::Unaccept {
                rule: finding.rule.to_owned(),
                subject: finding.subject.clone(),
                motion: finding.motion,
                layout: view.layout.id,
            }));
        }
        return;
    }
    if matches!(finding.severity, Severity::Fail | Severity::Watch)
        && analysis::can_be_accepted(finding.rule)
        && ui
            .link("Accept…")
            .on_hover_text("Keep it as it is, with a reason that stays in the file")
            .clicked()
    {
        actions.push(Action::Accept(Box::new(finding.clone())));
    }
    if let Some(edit) = finding.fix.as_ref().and_then(|fix| crate::bending::fixes::edit(view, fix))
        && ui.link("Apply fix").on_hover_text(&finding.remedy).clicked()
    {
        actions.push(Action::Edit(edit));
    }
}

fn figure_text(view: &View, finding: &Finding) -> Option<String> {
    let figure = finding.figure.filter(|f| f.is_finite())?;
    let shown = view.show(figure, finding.quantity);
    Some(match finding.limit {
        Some(limit) => format!("{} / {}", shown.number, view.text(limit, finding.quantity)),
        None => shown.to_string(),
    })
}
