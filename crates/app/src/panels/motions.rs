//! The list of motions and the form of the one that is open.

use super::PanelState;
use crate::{
    fields,
    theme::Size,
    view::{Action, View},
    widgets::{one_line, row_ground},
};
use document::{Edit, Motion, MotionId, MotionKind, MoveProfile, StartStop, Stroke, Worst};
use egui::{Align2, RichText, Role, Sense, Ui, Vec2, WidgetInfo};
use std::sync::Arc;
use units::Quantity;

/// Draws list and form.
pub fn motions_ui(ui: &mut Ui, view: &View, state: &mut PanelState, actions: &mut Vec<Action>) {
    ui.add_space(4.0);
    ui.horizontal(|ui| {
        ui.label(RichText::new("Motions").font(Size::Heading.strong()));
        ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
            add_ui(ui, view, state, actions)
        });
    });
    for motion in &view.project.motions {
        let open = state.open_motion == Some(motion.id);
        if row_ui(ui, view, motion, open).clicked() {
            state.open_motion = (!open).then_some(motion.id);
            actions.push(Action::ShowMotion(Some(motion.id)));
        }
        if open {
            ui.indent(("motion", motion.id), |ui| form_ui(ui, view, motion, actions));
            ui.add_space(4.0);
        }
    }
    if view.project.motions.is_empty() {
        ui.label(RichText::new("None yet: without a motion there is no factor.").color(view.tokens.second));
    }
}

fn add_ui(ui: &mut Ui, view: &View, state: &mut PanelState, actions: &mut Vec<Action>) {
    let button =
        egui::Button::new(RichText::new("add…").color(view.tokens.working)).frame_when_inactive(false);
    egui::containers::menu::MenuButton::from_button(button).ui(ui, |ui| {
        for kind in MotionKind::ALL {
            if ui.button(units::capital(kind.label())).clicked() {
                let id = MotionId(view.project.next_id());
                state.open_motion = Some(id);
                actions.push(Action::Edit(Edit::AddMotion(Arc::new(Motion::preset(id, *kind)))));
                actions.push(Action::ShowMotion(Some(id)));
                ui.close();
            }
        }
    });
}

fn row_ui(ui: &mut Ui, view: &View, motion: &Motion, open: bool) -> egui::Response {
    let t = view.tokens;
    let (rect, response) =
        ui.allocate_exact_size(Vec2::new(ui.available_width(), fields::ROW), Sense::click());
    response
        .widget_info(|| WidgetInfo::selected(Role::Button, true, open, format!("Motion {}", motion.name)));
    let shown = view.shown_motion().is_some_and(|m| m.id == motion.id);
    row_ground(ui, rect, shown, &response);
    let acceleration = analysis::acceleration_of(motion).length();
    let (figure, quantity) = if acceleration == 0.0 && motion.turn_rate_deg_s.length() > 0.0 {
        (motion.turn_rate_deg_s.length(), Quantity::TurnRate)
    } else {
        (acceleration, Quantity::Acceleration)
    };
    let figure = view.show(figure, quantity);
    let unit = ui.painter().text(
        rect.right_center(),
        Align2::RIGHT_CENTER,
        figure.unit,
        Size::Body.font(),
        t.second,
    );
    let number = ui.painter().text(
        unit.left_center() - Vec2::new(4.0, 0.0),
        Align2::RIGHT_CENTER,
        figure.number,
        Size::Body.font(),
        t.ink,
    );
    let room = number.left() - rect.left() - 10.0;
    let name = one_line(ui, &motion.name, room, Size::Body.font(), t.ink);
    ui.painter().galley(rect.left_center() - Vec2::new(0.0, name.size().y / 2.0), name, t.ink);
    response.on_hover_text("Show its loads on the plan and its form")
}

fn form_ui(ui: &mut Ui, view: &View, motion: &Arc<Motion>, actions: &mut Vec<Action>) {
    let id = motion.id;
    let mut change = |what: String, apply: &dyn Fn(&mut Motion)| {
        let mut new = (**motion).clone();
        apply(&mut new);
        actions.push(Action::Edit(Edit::ChangeMotion { motion: Arc::new(new), what }));
    };
    if let Some(v) = fields::text(ui, (id, "name"), "Name", &motion.name, "") {
        change("name".to_owned(), &|m| m.name.clone_from(&v));
    }
    let row = fields::known;
    if let Some(v) = row("motion.required_factor").number(ui, id, motion.required_factor, &view.units) {
        change(format!("required factor to {}", view.given(v, Quantity::Ratio)), &|m| m.required_factor = v);
    }
    if let Some(v) = row("motion.tilt_deg").number(ui, id, motion.tilt_deg, &view.units) {
        change(format!("tilt to {}", view.given(v, Quantity::Angle)), &|m| m.tilt_deg = v);
    }
    let worst = [(0u8, "as stated"), (1, "worst direction"), (2, "worst edge down"), (3, "worst tilt to…")];
    let now = match motion.worst {
        Worst::AsStated => 0,
        Worst::Direction => 1,
        Worst::Lowest => 2,
        Worst::TiltTo { .. } => 3,
    };
    if let Some(v) = row("motion.worst").choice(ui, id, now, &worst) {
        change(document::name_of("motion.worst").to_owned(), &|m| {
            m.worst = match v {
                1 => Worst::Direction,
                2 => Worst::Lowest,
                3 => Worst::TiltTo { deg: 180.0 },
                _ => Worst::AsStated,
            };
        });
    }
    if let Worst::TiltTo { deg } = motion.worst
        && let Some(v) = row("motion.worst.TiltTo.deg").number(ui, id, deg, &view.units)
    {
        change("end of the tilt".to_owned(), &|m| m.worst = Worst::TiltTo { deg: v });
    }
    let leans = motion.tilt_deg != 0.0 && motion.worst != Worst::Lowest;
    if (leans || matches!(motion.worst, Worst::TiltTo { .. }))
        && let Some(v) = row("motion.lowest_deg").number(ui, id, motion.lowest_deg, &view.units)
    {
        change(document::name_of("motion.lowest_deg").to_owned(), &|m| m.lowest_deg = v);
    }
    stroke_ui(ui, view, motion, &mut change);
    vector_ui(ui, view, motion, &mut change);
    start_stop_ui(ui, motion, &mut change);
    sudden_ui(ui, view, motion, &mut change);
    result_ui(ui, view, motion);
    fields::row(ui, "", "", |ui| {
        if ui.link("remove").clicked() {
            actions.push(Action::Edit(Edit::RemoveMotion(id)));
        }
    });
}

/// Stroke, time and profile of a move from rest to rest; the peak of its acceleration is what counts.
fn stroke_ui(ui: &mut Ui, view: &View, motion: &Motion, change: &mut Change<'_>) {
    let id = motion.id;
    let Some(stroke) = motion.stroke else {
        fields::row(ui, "", "", |ui| {
            let why = "Calculates the acceleration as the peak of a move with known stroke and time";
            if ui.link("from stroke and time").on_hover_text(why).clicked() {
                let start = Stroke { mm: 500.0, time_s: 1.0, profile: MoveProfile::Trapezoid, pause_s: 0.0 };
                change("acceleration from stroke and time".to_owned(), &|m| {
                    m.stroke = Some(start);
                    if m.acceleration.length() == 0.0 {
                        m.acceleration = glam::DVec3::X;
                    }
                });
            }
        });
        return;
    };
    let mut set = |what: &str, new: Stroke| change(what.to_owned(), &|m| m.stroke = Some(new));
    if let Some(v) = fields::known("motion.stroke.mm").number(ui, id, stroke.mm, &view.units) {
        set("stroke", Stroke { mm: v, ..stroke });
    }
    if let Some(v) = fields::known("motion.stroke.time_s").number(ui, id, stroke.time_s, &view.units) {
        set("time of the stroke", Stroke { time_s: v, ..stroke });
    }
    let profiles: Vec<(MoveProfile, &str)> = MoveProfile::ALL.iter().map(|p| (*p, p.label())).collect();
    if let Some(v) = fields::known("motion.stroke.profile").choice(ui, id, stroke.profile, &profiles) {
        set("profile of the stroke", Stroke { profile: v, ..stroke });
    }
    // Only what rings needs a pause before it is set down.
    if view.part.modulus_n_mm2.is_some()
        && let Some(v) = fields::known("motion.stroke.pause_s").number(ui, id, stroke.pause_s, &view.units)
    {
        set("pause after the stroke", Stroke { pause_s: v, ..stroke });
    }
    let peak = analysis::acceleration_of(motion).length();
    fields::figure(
        ui,
        "Peak acceleration",
        &view.show(peak, Quantity::Acceleration),
        "In the direction below; measure the real move if you can",
    );
    fields::row(ui, "", "", |ui| {
        if ui.link("enter the acceleration instead").clicked() {
            let direction = motion.acceleration.normalize_or_zero();
            change("acceleration as stated".to_owned(), &|m| {
                m.stroke = None;
                m.acceleration = direction * peak;
            });
        }
    });
}

/// Whether start and stop both count; left out where there is nothing to reverse.
fn start_stop_ui(ui: &mut Ui, motion: &Motion, change: &mut Change<'_>) {
    let any_direction = motion.worst == Worst::Direction;
    let straight =
        if any_direction { motion.acceleration.z != 0.0 } else { motion.acceleration.length() > 0.0 };
    let turns = motion.turn_rate_deg_s.length() + motion.turn_acceleration_deg_s2.length() > 0.0;
    if !(straight || turns || motion.start_stop == StartStop::AsStated) {
        return;
    }
    let all: Vec<(StartStop, &str)> = StartStop::ALL.iter().map(|which| (*which, which.label())).collect();
    if let Some(v) = fields::known("motion.start_stop").choice(ui, motion.id, motion.start_stop, &all) {
        change(format!("start and stop: {}", v.label()), &|m| m.start_stop = v);
    }
}

/// A sudden start counts the inertial part twice: offered, never done by itself.
fn sudden_ui(ui: &mut Ui, view: &View, motion: &Motion, change: &mut Change<'_>) {
    let why = &document::help_of("motion.inertia_times", &view.units);
    let id = motion.id;
    if motion.inertia_times == 1.0 {
        fields::row(ui, "Dynamic factor 1", why, |ui| {
            if ui.link("sudden start: twice").on_hover_text(why).clicked() {
                let times = analysis::sudden_start_amplification(0.0);
                change(format!("dynamic factor {times}"), &|m| m.inertia_times = times);
            }
        });
        return;
    }
    if let Some(v) = fields::known("motion.inertia_times").number(ui, id, motion.inertia_times, &view.units) {
        change(document::name_of("motion.inertia_times").to_owned(), &|m| m.inertia_times = v);
    }
    fields::row(ui, "", "", |ui| {
        if ui.link("count it once").clicked() {
            change("dynamic factor 1".to_owned(), &|m| m.inertia_times = 1.0);
        }
    });
}

/// What comes of it: force and moment of the part on the cups at the worst instant.
fn result_ui(ui: &mut Ui, view: &View, motion: &Motion) {
    let Some(report) = view.report.motions.iter().find(|m| m.id == motion.id) else { return };
    let outcome = match &report.outcome {
        Ok(outcome) => outcome,
        Err(reason) => {
            // Before there is a cup nothing has failed.
            let colour = if view.layout.cups.is_empty() { view.tokens.second } else { view.tokens.fail };
            let says = RichText::new(format!("No result: {reason}")).color(colour);
            ui.add(egui::Label::new(says).wrap());
            return;
        }
    };
    let force = outcome.wrench.force;
    let [x, y, z] = [force.x, force.y, force.z].map(|v| view.show(v, Quantity::Force));
    let apart = view.units.between();
    let number = format!("({}{apart}{}{apart}{})", x.number, y.number, z.number);
    let shown = units::Shown { number, unit: x.unit };
    let why = "Of the part on the cups at the worst instant: X, Y, Z. Drawn in the side view over the plan";
    fields::row(ui, "Force", why, |ui| ui.label(shown.to_string()));
    let m = outcome.wrench.moment;
    let [x, y, z] = [m.x, m.y, m.z].map(|v| view.show(v, Quantity::Moment));
    let apart = view.units.between();
    let number = format!("({}{apart}{}{apart}{})", x.number, y.number, z.number);
    let shown = units::Shown { number, unit: x.unit };
    fields::row(ui, "Moment", "About the centre of the cups: X and Y tip, Z twists", |ui| {
        ui.label(shown.to_string())
    });
    if let Some(governs) = &outcome.governs {
        let why = "The state from start to stop, and the attitude, in which the first lip fails";
        let says = RichText::new(format!("Worst {governs}")).color(view.tokens.second);
        ui.add(egui::Label::new(says).wrap()).on_hover_text(why);
    }
    if let Some(counted) = outcome.counted_says(&view.units) {
        let why = "Weight that presses the part on is never multiplied in its favour; the worse of both counts applies";
        let says = RichText::new(format!("Factor with {counted}")).color(view.tokens.second);
        ui.add(egui::Label::new(says).wrap()).on_hover_text(why);
    }
    if motion.worst == Worst::Direction {
        let a = outcome.instant.acceleration;
        let degrees = a.y.atan2(a.x).to_degrees().rem_euclid(360.0);
        fields::figure(
            ui,
            "Worst towards",
            &view.show(degrees, Quantity::Angle),
            "Direction of the acceleration on the plan; found to 0.01° with a bound on every direction between",
        );
    }
}

type Change<'a> = dyn FnMut(String, &dyn Fn(&mut Motion)) + 'a;

fn vector_ui(ui: &mut Ui, view: &View, motion: &Motion, change: &mut Change<'_>) {
    let id = motion.id;
    if motion.stroke.is_some() && motion.worst == Worst::Direction && motion.acceleration.z == 0.0 {
        // Size from the stroke, direction searched: nothing to state.
        return turning_ui(ui, view, motion, change);
    }
    for axis in 0..3 {
        if motion.worst == Worst::Direction && axis < 2 {
            // One size for the plane: its direction is searched.
            let size = motion.acceleration.truncate().length();
            if axis == 0
                && let Some(v) = fields::quantity(
                    ui,
                    (id, "plane"),
                    "In the plane",
                    size,
                    Quantity::Acceleration,
                    &view.units,
                    "Size of the acceleration in the plane of the part; its worst direction is searched for",
                )
            {
                change(format!("acceleration to {}", view.given(v, Quantity::Acceleration)), &|m| {
                    m.acceleration = m.acceleration.with_x(v).with_y(0.0)
                });
            }
            continue;
        }
        let row = fields::known("motion.acceleration").axis(axis);
        if let Some(v) = row.number(ui, id, motion.acceleration[axis], &view.units) {
            change(format!("acceleration to {}", view.given(v, Quantity::Acceleration)), &|m| {
                m.acceleration[axis] = v
            });
        }
    }
    turning_ui(ui, view, motion, change);
}

fn turning_ui(ui: &mut Ui, view: &View, motion: &Motion, change: &mut Change<'_>) {
    let id = motion.id;
    let turning = motion.kind == MotionKind::Swing
        || motion.kind == MotionKind::Free
        || motion.kind == MotionKind::TurnOver
        || motion.turn_rate_deg_s.length() + motion.turn_acceleration_deg_s2.length() > 0.0;
    if !turning {
        return;
    }
    for axis in 0..3 {
        let row = fields::known("motion.turn_rate_deg_s").axis(axis);
        if let Some(v) = row.number(ui, id, motion.turn_rate_deg_s[axis], &view.units) {
            change(document::name_of("motion.turn_rate_deg_s").to_owned(), &|m| m.turn_rate_deg_s[axis] = v);
        }
    }
    for axis in 0..3 {
        let row = fields::known("motion.turn_acceleration_deg_s2").axis(axis);
        if let Some(v) = row.number(ui, id, motion.turn_acceleration_deg_s2[axis], &view.units) {
            change(document::name_of("motion.turn_acceleration_deg_s2").to_owned(), &|m| {
                m.turn_acceleration_deg_s2[axis] = v
            });
        }
    }
    for axis in 0..3 {
        let row = fields::known("motion.pivot_mm").axis(axis);
        if let Some(v) = row.number(ui, id, motion.pivot_mm[axis], &view.units) {
            change("pivot".to_owned(), &|m| m.pivot_mm[axis] = v);
        }
    }
    super::origin::origin_note(ui, view);
}
