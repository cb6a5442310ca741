//! The review under the plan: what changed, figures before and after, findings that came and went, remarks, checklist.

use super::{
    PanelState, checklist,
    compare::figure,
    remarks,
    rows::{ROW, note, put, row},
    severity,
    state::ReviewTab,
};
use crate::{
    command::Command,
    theme::Size,
    view::{Action, Beside, ReviewView, View},
    widgets::{elided, hairline, line_label},
};
use analysis::Severity;

use document::{ChangeKind, Outcome};
use egui::{Align, Align2, Color32, Layout, Pos2, Rect, RichText, Sense, Ui, Vec2};
use telling::{Difference, FindingChange};

/// Draws the panel.
pub fn review_ui(
    ui: &mut Ui,
    view: &View,
    review: &ReviewView,
    state: &mut PanelState,
    actions: &mut Vec<Action>,
) {
    // In a narrow window what it is held against stands below the tabs: a wider row would push all below it out of sight.
    let narrow = ui.available_width() < NARROW;
    let rest = ui
        .horizontal_wrapped(|ui| {
            ui.label(RichText::new("Review").font(Size::Heading.strong()));
            ui.add_space(8.0);
            tabs_ui(ui, view, review, state);
            if !narrow {
                let right = Layout::right_to_left(Align::Center);
                ui.with_layout(right, |ui| beside_ui(ui, view, review, actions));
            }
        })
        .response;
    if narrow {
        let row = Vec2::new(rest.rect.width().max(ui.available_width()), 26.0);
        let right = Layout::right_to_left(Align::Center);
        ui.allocate_ui_with_layout(row, right, |ui| beside_ui(ui, view, review, actions));
    }
    ui.add_space(2.0);
    // The decision stands beside what it is on; the row above is full in a narrow window.
    let row = Vec2::new(ui.available_width(), 18.0);
    ui.allocate_ui_with_layout(row, Layout::right_to_left(Align::Center), |ui| {
        if ui.link("Approve or send back…").clicked() {
            actions.push(Action::Run(Command::Decide));
        }
        ui.with_layout(Layout::left_to_right(Align::Center), |ui| standing_ui(ui, view));
    });
    ui.add_space(2.0);
    hairline(ui, &view.tokens);
    egui::ScrollArea::vertical().id_salt(("review", state.review as u8)).auto_shrink([false, false]).show(
        ui,
        |ui| {
            ui.spacing_mut().item_spacing.y = 0.0;
            match state.review {
                ReviewTab::Remarks => remarks::remarks_ui(ui, view, state, actions),
                ReviewTab::Checklist => checklist::checklist_ui(ui, view, review, actions),
                tab => difference_ui(ui, view, review, tab, actions),
            }
        },
    );
}

/// Below this width, points, not all of a row has room.
const NARROW: f32 = 640.0;

fn tabs_ui(ui: &mut Ui, view: &View, review: &ReviewView, state: &mut PanelState) {
    let of = |count: Option<usize>| count.map_or_else(String::new, |n| format!(" {n}"));
    let difference = review.difference.as_ref();
    let findings = |d: &Difference| {
        d.findings.new.len() + d.findings.gone.len() + d.findings.worse.len() + d.findings.better.len()
    };
    let open = view.project.review.open().count();
    for (tab, name) in [
        (ReviewTab::Changes, format!("Changes{}", of(difference.map(|d| d.changes.len())))),
        (ReviewTab::Figures, "Figures".to_owned()),
        (ReviewTab::Findings, format!("Findings{}", of(difference.map(|d| findings(d))))),
        (ReviewTab::Remarks, format!("Remarks{}", of((open > 0).then_some(open)))),
        (ReviewTab::Checklist, format!("Checklist{}", of(Some(review.unticked(&view.project))))),
    ] {
        let shown = state.review == tab;
        let text = RichText::new(name).color(if shown { view.tokens.ink } else { view.tokens.second });
        if ui.selectable_label(shown, text).clicked() {
            state.review = tab;
        }
    }
}

fn beside_ui(ui: &mut Ui, view: &View, review: &ReviewView, actions: &mut Vec<Action>) {
    let shown = review.beside.as_ref().map_or("nothing", |b| b.name.as_str());
    let shown = elided(ui, shown, 130.0);
    let mut picked: Option<Option<Beside>> = None;
    let mut file = false;
    let combo = egui::ComboBox::from_id_salt("beside").selected_text(shown).width(60.0).show_ui(ui, |ui| {
        for beside in Beside::revisions_of(&view.project) {
            let on = review.beside.as_ref().is_some_and(|b| b.name == beside.name);
            if ui.selectable_label(on, &beside.name).clicked() {
                picked = Some(Some(beside));
            }
        }
        if ui.selectable_label(review.beside.is_none(), "nothing").clicked() {
            picked = Some(None);
        }
        file = ui.selectable_label(false, "another file…").clicked();
    });
    ui.ctx()
        .accesskit_node_builder(combo.response.id, |node| node.set_label("Compared with the earlier state"));
    ui.label(RichText::new("against").color(view.tokens.second));
    if let Some(beside) = picked {
        actions.push(Action::Beside(beside));
    }
    if file {
        actions.push(Action::Run(Command::SetBeside));
    }
}

/// Fingerprint, standing and the last decision in one line.
fn standing_ui(ui: &mut Ui, view: &View) {
    let t = view.tokens;
    let Some(content) = &view.content else { return };
    let mut says = format!("Content {}, {}.", content.fingerprint, content.words());
    let mut colour = t.second;
    let approval = view.approval().filter(|approval| approval.mark().is_some());
    if let Some(approval) = &approval {
        let mark = RichText::new(approval.headline()).font(Size::Small.strong()).color(t.fail);
        ui.label(mark).on_hover_text(approval.told());
    }
    if let Some(last) = view.project.review.decisions.last() {
        let word = match last.outcome {
            Outcome::Accept => "Approved",
            Outcome::SendBack => "Sent back",
        };
        let of = if last.of == content.fingerprint {
            colour = match last.outcome {
                Outcome::Accept if approval.is_some() => t.fail,
                Outcome::Accept => t.order,
                Outcome::SendBack => t.watch,
            };
            String::new()
        } else {
            format!(" (content {}, not the current one)", last.of)
        };
        let text = if last.text.is_empty() { String::new() } else { format!(": {}", last.text) };
        says += &format!(" {word} by {} on {}{of}{text}.", last.by, last.on);
        says = says.replace("..", ".");
    }
    line_label(ui, RichText::new(&says).font(Size::Small.font()).color(colour));
}

fn difference_ui(ui: &mut Ui, view: &View, review: &ReviewView, tab: ReviewTab, actions: &mut Vec<Action>) {
    let t = view.tokens;
    let Some(beside) = &review.beside else {
        note(
            ui,
            view,
            "The file is shown alone. Compare it with an issued revision or another file to see what changed.",
        );
        return;
    };
    let Some(difference) = &review.difference else {
        note(ui, view, "Calculating both sides…");
        return;
    };
    ui.add_space(4.0);
    let since = format!("Since {}: {}", beside.name, difference.sentence);
    let sentence = ui.add(egui::Label::new(&since).wrap());
    ui.ctx().accesskit_node_builder(sentence.id, |node| node.set_label(since.clone()));
    if !review.current {
        let says = "older than the plan, being calculated";
        ui.label(RichText::new(says).font(Size::Small.slanted()).color(t.second));
    }
    ui.add_space(4.0);
    match tab {
        ReviewTab::Figures => figures_ui(ui, view, beside, difference, actions),
        ReviewTab::Findings => findings_ui(ui, view, difference, actions),
        _ => changes_ui(ui, view, review, difference, actions),
    }
    for note in &difference.notes {
        ui.add_space(4.0);
        ui.add(egui::Label::new(RichText::new(note).font(Size::Small.slanted()).color(t.second)).wrap());
    }
}

/// Colour and word of a kind of change.
fn kind_word(view: &View, kind: ChangeKind) -> (Color32, &'static str) {
    match kind {
        ChangeKind::Added => (view.tokens.order, "added"),
        ChangeKind::Removed => (view.tokens.fail, "removed"),
        ChangeKind::Changed => (view.tokens.working, "changed"),
    }
}

fn changes_ui(
    ui: &mut Ui,
    view: &View,
    review: &ReviewView,
    difference: &Difference,
    actions: &mut Vec<Action>,
) {
    for (i, line) in difference.changes.iter().enumerate() {
        let marked = review.at == Some(i);
        let (rect, response) = row(ui, marked, &line.says);
        let (colour, word) = kind_word(view, line.change.kind);
        put(ui, rect.left_center() + Vec2::new(6.0, 0.0), 70.0, word, true, colour);
        put(
            ui,
            rect.left_center() + Vec2::new(82.0, 0.0),
            rect.width() - 90.0,
            &line.says,
            false,
            view.tokens.ink,
        );
        if marked && response.rect.height() > 0.0 && !ui.clip_rect().contains_rect(rect) {
            response.scroll_to_me(None);
        }
        if response.on_hover_text(&line.says).clicked() {
            actions.push(Action::Change(i));
        }
    }
    if difference.changes.is_empty() {
        note(ui, view, "Nothing was added, removed or changed.");
    }
}

fn figures_ui(ui: &mut Ui, view: &View, beside: &Beside, difference: &Difference, actions: &mut Vec<Action>) {
    let t = view.tokens;
    let columns = |rect: Rect| {
        let name = (rect.width() * 0.42).clamp(200.0, 420.0);
        let each = (rect.width() - name) / 3.0;
        [0.0, name, name + each, name + 2.0 * each].map(|x| Pos2::new(rect.left() + x, rect.center().y))
    };
    let (rect, _) = ui.allocate_exact_size(Vec2::new(ui.available_width(), ROW), Sense::hover());
    let at = columns(rect);
    put(ui, at[1], 180.0, &beside.name, true, t.ink);
    put(ui, at[2], 180.0, "now", true, t.ink);
    for change in &difference.figures {
        let (from, to) =
            (figure(view, change.quantity, &change.from), figure(view, change.quantity, &change.to));
        let layout = view.project.layout(change.layout).filter(|_| view.project.layouts.len() > 1);
        let name = layout.map_or_else(|| change.name.clone(), |l| format!("{}: {}", l.name, change.name));
        let word = match change.better {
            Some(true) => ("better", t.order),
            Some(false) => ("worse", t.fail),
            None => ("", t.second),
        };
        let spoken = format!("{name}: {from}, now {to} {}", word.0);
        let (rect, response) = row(ui, false, spoken.trim());
        let at = columns(rect);
        put(ui, at[0], at[1].x - at[0].x - 8.0, &name, false, t.second);
        put(ui, at[1], 180.0, &from, false, t.ink);
        put(ui, at[2], 180.0, &to, change.better.is_some(), t.ink);
        put(ui, at[3], 100.0, word.0, false, word.1);
        if response.clicked() {
            actions.push(Action::Layout(change.layout));
            if change.motion.is_some() {
                actions.push(Action::ShowMotion(change.motion));
            }
        }
    }
    if difference.figures.is_empty() {
        note(ui, view, "No result changed.");
    }
}

fn findings_ui(ui: &mut Ui, view: &View, difference: &Difference, actions: &mut Vec<Action>) {
    let t = view.tokens;
    let found = &difference.findings;
    for (word, colour, list) in [
        ("new", t.fail, &found.new),
        ("worse", t.fail, &found.worse),
        ("better", t.order, &found.better),
        ("gone", t.order, &found.gone),
    ] {
        for change in list {
            finding_ui(ui, view, word, colour, change, actions);
        }
    }
    if [&found.new, &found.worse, &found.better, &found.gone].iter().all(|l| l.is_empty()) {
        note(ui, view, "The findings are the same on both sides.");
    }
}

fn finding_ui(
    ui: &mut Ui,
    view: &View,
    word: &str,
    colour: Color32,
    change: &FindingChange,
    actions: &mut Vec<Action>,
) {
    let Some(finding) = change.after.as_ref().or(change.before.as_ref()) else { return };
    let says = match (&change.before, &change.after) {
        (Some(before), Some(after)) => format!("{} (before: {})", after.says, before.says),
        _ => finding.says.clone(),
    };
    let (rect, response) = row(ui, false, &format!("{word}: {says}"));
    let shown = if finding.accepted.is_some() { Severity::Ok } else { finding.severity };
    severity::mark(ui.painter(), rect.left_center() + Vec2::new(10.0, 0.0), 6.0, shown, &view.tokens);
    ui.painter().text(
        rect.left_center() + Vec2::new(26.0, 0.0),
        Align2::LEFT_CENTER,
        word,
        Size::Body.strong(),
        colour,
    );
    put(ui, rect.left_center() + Vec2::new(82.0, 0.0), rect.width() - 90.0, &says, false, view.tokens.ink);
    if response.on_hover_text(&says).clicked() {
        actions.push(Action::Layout(change.layout));
        if finding.motion.is_some() {
            actions.push(Action::ShowMotion(finding.motion));
        }
        actions.push(Action::Frame(finding.subject.clone()));
    }
}

/// The strip over the plan: what is under review, and stepping through what changed.
pub fn strip_ui(ui: &mut Ui, view: &View, review: &ReviewView, actions: &mut Vec<Action>) {
    let t = view.tokens;
    let (ink, second) = if review.sealed { (t.ground, t.ground) } else { (t.ink, t.second) };
    ui.horizontal_centered(|ui| {
        ui.spacing_mut().item_spacing.x = 8.0;
        let head = match (review.sealed, ui.available_width() < NARROW) {
            (true, false) => "Under review: read only",
            (true, true) => "Read only",
            _ => "Review",
        };
        ui.label(RichText::new(head).font(Size::Heading.strong()).color(ink));
        let why = "Until then only remarks, ticks and a decision are possible";
        if review.sealed && ui.button("Edit this file").on_hover_text(why).clicked() {
            actions.push(Action::Run(Command::EditReviewed));
        }
        let count = review.difference.as_ref().map_or(0, |d| d.changes.len());
        if count > 0 {
            for (name, command) in [("Back", Command::PreviousChange), ("Next change", Command::NextChange)] {
                let keys = command.shortcut_text(ui.ctx());
                if ui.button(name).on_hover_text(format!("{} ({keys})", command.label())).clicked() {
                    actions.push(Action::Run(command));
                }
            }
        }
        ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
            if ui.button("End review").on_hover_text("End the review").clicked() {
                actions.push(Action::Run(Command::Review));
            }
            ui.with_layout(Layout::left_to_right(Align::Center), |ui| {
                let line = review.at.and_then(|at| Some((at, review.difference.as_ref()?.changes.get(at)?)));
                if let Some((at, line)) = line {
                    ui.label(RichText::new(format!("{} of {count}", at + 1)).color(second));
                    line_label(ui, RichText::new(&line.says).color(ink));
                }
            });
        });
    });
}
