//! A proposal as ghosts on the plan, and where one more cup would help most.

use super::{labels::Rank, paper::Canvas};
use crate::{
    command::Command,
    theme::Size,
    view::{Action, View},
};
use analysis::MoreAt;
use egui::{Align2, Button, Pos2, Rect, RichText, Shape, Stroke, Ui, Vec2};
use geometry::Lip;

/// A gain below this is told as none.
const NO_GAIN: f64 = 5e-4;

/// Dashed lips where a proposal has its cups.
pub fn lips(canvas: &Canvas<'_>, lips: &[Lip]) {
    let t = canvas.t;
    for lip in lips {
        let mut points: Vec<Pos2> =
            lip.outline().flatten(0.3 / canvas.camera.scale).into_iter().map(|p| canvas.at(p)).collect();
        points.extend(points.first().copied());
        canvas.dashed(&points, Stroke::new(2.0, t.working), 6.0, 4.0);
        canvas.painter.circle_filled(canvas.at(lip.at), 2.5, t.working);
    }
}

/// Discs that grow with what one more cup there would give, and the figure at the best.
pub fn more(canvas: &Canvas<'_>, view: &View, more: &[MoreAt]) {
    let t = canvas.t;
    let gain = |of: &MoreAt| (of.times - 1.0).max(0.0);
    let Some(best) = more.iter().filter(|of| of.times.is_finite()).max_by(|a, b| a.times.total_cmp(&b.times))
    else {
        return;
    };
    let most = gain(best);
    if most > NO_GAIN {
        for of in more {
            let share = (gain(of) / most).min(1.0);
            let at = canvas.at(of.at);
            let radius = 1.0 + 5.0 * share as f32;
            canvas.painter.circle_filled(at, radius, t.working.gamma_multiply(0.12 + 0.45 * share as f32));
        }
    }
    let at = canvas.at(best.at);
    let says = if most > NO_GAIN {
        format!("one more cup here: {} times the factor", view.factor(best.times))
    } else {
        "one more cup does not raise the lowest factor anywhere".to_owned()
    };
    if most > NO_GAIN {
        let cross = [Vec2::new(7.0, 0.0), Vec2::new(0.0, 7.0)];
        for arm in cross {
            canvas.painter.add(Shape::line_segment([at - arm, at + arm], Stroke::new(1.8, t.working)));
        }
    }
    let spots = [(Align2::CENTER_BOTTOM, Vec2::new(0.0, -12.0)), (Align2::CENTER_TOP, Vec2::new(0.0, 12.0))];
    let spots: Vec<(Pos2, Align2)> = spots.into_iter().map(|(align, by)| (at + by, align)).collect();
    canvas.label(canvas.lettering(Rank::InHand, says, Size::Body.strong(), t.working, &spots));
}

/// What to do first where there are no cups.
pub fn empty_ui(ui: &mut Ui, view: &View, rect: Rect, actions: &mut Vec<Action>) {
    let t = view.tokens;
    let text = if view.propose.is_some() {
        "No cups yet. Press Propose at the right, or choose a model on the left and click where it goes."
    } else {
        "No cups yet. Let the program propose them, or choose a model on the left and click where it goes."
    };
    let at = rect.center_bottom() - Vec2::new(0.0, 40.0);
    let job = egui::text::LayoutJob {
        halign: egui::Align::Center,
        ..egui::text::LayoutJob::simple(text.to_owned(), Size::Heading.font(), t.second, rect.width() - 40.0)
    };
    let words = ui.painter().layout_job(job);
    let says = Align2::CENTER_BOTTOM.anchor_size(at, words.size());
    // A centred text is laid out around its anchor.
    ui.painter().galley(says.center_top(), words, t.second);
    if view.propose.is_some() {
        return;
    }
    let place = Rect::from_center_size(says.center_top() - Vec2::new(0.0, 28.0), Vec2::new(190.0, 32.0));
    let label = RichText::new(Command::Propose.label()).font(Size::Heading.strong()).color(t.working);
    if ui.put(place, Button::new(label)).clicked() {
        actions.push(Action::Run(Command::Propose));
    }
}
