//! What lies behind the factor: its range, the limit load, and what happens when a cup lets go.

use super::age::age_note;
use crate::{
    fields,
    theme::Size,
    view::{Action, View},
    widgets::{one_line, row_ground},
};
use analysis::{LimitFigure, Lost, LostReport, MotionReport, MotionSlow, Slow};
use egui::{Align2, RichText, Role, Sense, Ui, Vec2, WidgetInfo};

/// What the difference between the two factors means.
const DIFFERENCE: &str = "The factor is reached when the first lip fails with the load as it is really \
    shared; the limit factor is the most that any sharing could carry. The difference is reserve and is not \
    counted on: lips fail one after another, so the factor is what is compared with the required one.";

/// Rows of lost cups shown before the rest is folded away.
const FEW: usize = 6;

/// Draws both.
pub fn reserve_ui(ui: &mut Ui, view: &View, all: &mut bool, actions: &mut Vec<Action>) {
    let t = view.tokens;
    let Some(motion) = view.shown_motion() else { return };
    let Ok(outcome) = &motion.outcome else { return };
    ui.horizontal(|ui| {
        ui.label(RichText::new("Reserve").font(Size::Heading.strong()));
        ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
            age_note(ui, view, &Slow::OF_MOTIONS);
        });
    });
    let why = format!("At {}: when the first lip fails", motion.name.to_lowercase());
    let bends = view.report.bends().is_some();
    factor_row(
        ui,
        view,
        motion.required_factor,
        (if bends { "Factor, as a rigid part" } else { "Factor" }, &why),
        outcome.factor,
    );
    if let Some(says) = view.report.counted_says() {
        ui.add(egui::Label::new(RichText::new(says).font(Size::Small.slanted()).color(t.watch)).wrap());
    }
    let Some(slow) = &outcome.slow else { return bending_rows(ui, view, motion) };
    range_row(ui, view, motion, slow);
    let (mut shown, mut why) = match &slow.limit {
        LimitFigure::Factor(f) => (view.factor(*f), DIFFERENCE.to_owned()),
        LimitFigure::Unlimited => ("no limit".to_owned(), DIFFERENCE.to_owned()),
        LimitFigure::Missing(reason) => ("none".to_owned(), reason.clone()),
        LimitFigure::Pending => ("…".to_owned(), "It is being calculated.".to_owned()),
    };
    if let Some(proved) = slow.limit.at_least(slow.limit_at_least) {
        shown = format!("{} to {shown}", view.factor(proved));
        why = format!(
            "The search ended before every direction was covered: some direction may be below the larger \
            value, none is below the smaller. {why}"
        );
    }
    if let (LimitFigure::Factor(_), Some(says)) = (&slow.limit, view.report.limit_leaves_out()) {
        why = format!("{why} {says}");
    }
    fields::figure(ui, "Limit factor", &units::Shown { number: shown, unit: "" }, &why);
    ui.label(
        RichText::new(
            "Factor: the first lip fails. Limit factor: no sharing could carry more. Only the first counts.",
        )
        .font(Size::Small.slanted())
        .color(t.second),
    );
    bending_rows(ui, view, motion);
    lost_ui(ui, view, motion, slow, all, actions);
}

fn factor_row(ui: &mut Ui, view: &View, required: f64, (name, why): (&str, &str), factor: f64) {
    let t = view.tokens;
    fields::row(ui, name, why, |ui| {
        ui.label(RichText::new(format!("of {}", view.factor(required))).color(t.second));
        let colour = if factor < required { t.fail } else { t.ink };
        ui.label(RichText::new(view.factor(factor)).font(Size::Body.strong()).color(colour));
    });
}

/// What the part as it bends makes of the motion, beside the rigid figures above.
fn bending_rows(ui: &mut Ui, view: &View, motion: &MotionReport) {
    if view.report.bending.is_none() {
        return;
    }
    fields::parting(ui);
    ui.horizontal(|ui| {
        ui.label(RichText::new("As it bends").font(Size::Heading.strong()));
        ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
            age_note(ui, view, &Slow::OF_BENDING);
        });
    });
    crate::bending::rows::ui(ui, view, motion);
}

fn range_row(ui: &mut Ui, view: &View, motion: &MotionReport, slow: &MotionSlow) {
    let Some(range) = &slow.range else { return };
    let why = format!(
        "Range of the factor while these are assumed: {}. Measure them to narrow it.",
        range.inputs.join("; ")
    );
    let text =
        format!("{} to {}", view.factor(range.least), view.factor_of(range.most, motion.required_factor));
    let low = range.least < motion.required_factor;
    let colour = if low { view.tokens.watch } else { view.tokens.ink };
    fields::row(ui, "With assumed inputs", &why, |ui| ui.label(RichText::new(text).color(colour)));
}

fn lost_ui(
    ui: &mut Ui,
    view: &View,
    motion: &MotionReport,
    slow: &MotionSlow,
    all: &mut bool,
    actions: &mut Vec<Action>,
) {
    let t = view.tokens;
    if slow.lost.is_empty() {
        return;
    }
    fields::parting(ui);
    let bends = view.report.bends().is_some();
    let heading = if bends { "One cup lost, as a rigid part" } else { "One cup lost" };
    ui.label(RichText::new(heading).font(Size::Heading.strong()));
    let hint = format!("Factor, of {} required. Click to play it back.", view.factor(motion.required_factor));
    ui.label(RichText::new(hint).font(Size::Small.slanted()).color(t.second));
    let mut order: Vec<&LostReport> = slow.lost.iter().collect();
    let rank = |l: &LostReport| (l.holds, l.factor.unwrap_or(-1.0));
    order.sort_by(|a, b| {
        let (x, y) = (rank(a), rank(b));
        x.0.cmp(&y.0).then(x.1.total_cmp(&y.1))
    });
    let shown = if *all { order.len() } else { order.len().min(FEW) };
    for lost in &order[..shown] {
        lost_row(ui, view, motion, lost, actions);
    }
    if order.len() > FEW {
        let label =
            if *all { "fewer".to_owned() } else { format!("{} more, all better…", order.len() - FEW) };
        fields::row(ui, "", "", |ui| {
            if ui.link(label).clicked() {
                *all = !*all;
            }
        });
    }
}

/// Name of what is lost.
pub fn lost_name(view: &View, lost: &Lost) -> String {
    match lost {
        Lost::Cup(id) => view.tag(*id).to_owned(),
        Lost::Zone(zone) => format!("zone {zone}"),
    }
}

fn lost_row(ui: &mut Ui, view: &View, motion: &MotionReport, lost: &LostReport, actions: &mut Vec<Action>) {
    let t = view.tokens;
    let (rect, response) =
        ui.allocate_exact_size(Vec2::new(ui.available_width(), fields::ROW), Sense::click());
    let name = lost_name(view, &lost.lost);
    let factor = lost.factor.map_or_else(|| "none".to_owned(), |f| view.factor_of(f, motion.required_factor));
    let (word, colour) = match (lost.holds, lost.factor) {
        (false, _) => ("drops", t.fail),
        (true, Some(f)) if f < 1.0 => ("holds, lips lose their seal", t.watch),
        (true, Some(f)) if f < motion.required_factor => ("holds", t.ink),
        (true, _) => ("holds as required", t.ink),
    };
    let spoken = format!("Without {name}: factor {factor}, {word}");
    let playing = view.replay.as_ref().is_some_and(|r| r.lost == lost.lost && r.motion == motion.id);
    response.widget_info(|| WidgetInfo::selected(Role::Button, true, playing, spoken.clone()));
    row_ground(ui, rect, playing, &response);
    let font = Size::Body.font();
    let painter = ui.painter();
    let column = rect.right_center() - Vec2::new(108.0, 0.0);
    painter.text(column, Align2::LEFT_CENTER, word, font.clone(), colour);
    let shown = lost.factor.map_or_else(|| "none".to_owned(), |f| view.factor(f));
    let figure =
        painter.text(column - Vec2::new(10.0, 0.0), Align2::RIGHT_CENTER, shown, font.clone(), t.ink);
    // The figure keeps its column: a long name gives way.
    let room = figure.left() - 8.0 - rect.left();
    let whole = painter.layout_no_wrap(format!("without {name}"), font.clone(), t.second);
    let galley = if whole.size().x <= room { whole } else { one_line(ui, &name, room, font, t.second) };
    painter.galley(rect.left_center() - Vec2::new(0.0, galley.size().y / 2.0), galley, t.second);
    let then: Vec<&str> = lost.then_lost.iter().map(|id| view.tag(*id)).collect();
    let mut why = match &lost.limit {
        LimitFigure::Factor(f) => format!("Limit factor of the remaining cups: {}.", view.factor(*f)),
        LimitFigure::Unlimited => "The remaining cups have no limit.".to_owned(),
        LimitFigure::Missing(reason) => reason.clone(),
        LimitFigure::Pending => "Its limit factor is being calculated.".to_owned(),
    };
    if let Some(proved) = lost.limit.at_least(lost.limit_at_least) {
        why.push_str(&format!(" Proved in every direction: {}.", view.factor(proved)));
    }
    if !then.is_empty() {
        why = format!("Then {} lose their seal. {why}", then.join(", "));
    }
    if response.on_hover_text(why).clicked() {
        let loss = (!playing).then(|| (motion.id, lost.lost.clone()));
        actions.push(Action::PlayBack(loss));
    }
}
