//! The plan as a widget: draws one frame and turns what hands do into actions and drags.

use super::{
    Drag, PlanState, Tool, bending, between, cups, datum_tool, frame, ghosts, hoses,
    labels::Collected,
    level_strip, marks, outline_tool, paper, place_tool, proposed, replay, seats, sketch_tool, stops_tool,
    strip::{self, Strip},
    trace_tool, traced,
};
use crate::{
    dialogs::place_called,
    view::{Action, View},
};
use document::{Cup, CupId, Edit, Pin};
use egui::{
    CursorIcon, Id, Key, PointerButton, Pos2, Rect, Response, Role, Sense, Stroke, StrokeKind, Ui, Vec2,
    WidgetInfo,
};
use glam::DVec2;
use paper::Canvas;
use std::collections::{BTreeSet, HashMap};
use units::Quantity;

/// Smallest half-size for hitting a cup, points.
const FINGERTIP: f32 = 10.0;

/// Draws the plan and takes what hands do on it.
pub fn plan_ui(
    ui: &mut Ui,
    view: &View,
    plan: &mut PlanState,
    overhangs: &HashMap<CupId, Vec<geometry::Overhang>>,
    actions: &mut Vec<Action>,
) {
    let whole = ui.available_rect_before_wrap();
    let bends = plan.bending.shown && view.report.bending.is_some() && view.replay.is_none();
    // The strip over the plan and the section below it take their room from it, so that the part is seen whole.
    let bends = bends && plan.tool_is_select();
    let mut rect = strip::room(ui, view, plan, bends, whole);
    if bends {
        rect = bending::room(&plan.bending, rect);
    }
    plan.rect = Some(rect);
    place_camera(view, plan, rect);
    let ground_id = ui.scope_id().with("plan ground");
    // The edges of the panels beside it can be taken hold of from both sides.
    let ground = ui.interact(rect.shrink(5.0), ground_id, Sense::click_and_drag());
    ground.widget_info(|| WidgetInfo::labeled(Role::Canvas, true, "Plan"));
    navigate(ui, plan, rect, &ground);
    plan.pointer = ui
        .input(|i| i.pointer.hover_pos())
        .filter(|p| rect.contains(*p))
        .map(|p| plan.camera.part_from_screen(rect, p));

    let painter = ui.painter_at(rect);
    let labels = Collected::default();
    let (camera, pose) = (plan.camera, geometry::Pose::new(DVec2::ZERO, 0.0));
    let canvas = Canvas { painter: &painter, rect, camera, pose, t: view.tokens, labels: &labels };
    painter.rect_filled(rect, 0.0, view.tokens.ground);
    if plan.show.grid {
        paper::grid(&canvas, view);
    }
    let landing = plan.landing.take();
    paper::part(&canvas, &mut plan.cache, view, landing.as_ref());
    let receding = landing.is_some();
    plan.landing = landing;
    if let Some(held) = &view.family {
        seats::others(&canvas, view, held);
    }
    if bends {
        bending::map(&canvas, view, &plan.bending);
    }
    traced::picture(ui, &canvas, view, &mut plan.traced);
    frame::frame(&canvas, view);
    marks::datum(&canvas, view.datum());
    frame::flange(&canvas, view);
    if let Some(part) = &view.report.part {
        marks::centre_of_gravity(&canvas, part.centre_of_gravity_mm.truncate(), true);
    }
    frame::attached(&canvas, view);
    if plan.show.circuit {
        hoses::hoses(&canvas, view);
    }
    marks::guides(&canvas, &plan.guides);
    if !plan.tool_is_select() && plan.drag.is_none() {
        plan.guides.clear();
    }

    let most = most_loads(view);
    let mut hovered = None;
    for cup in &view.layout.cups {
        cup_ui(ui, view, plan, &canvas, cup, most, receding, overhangs, actions, &mut hovered);
    }
    plan.hover = hovered;
    if plan.show.circuit && plan.tool_is_select() {
        hoses::handles(ui, &canvas, view, plan);
    }
    for cup in &plan.preview {
        if let Some(model) = view.project.model(&cup.model) {
            let (line, fill) = (view.tokens.working, view.tokens.cup.gamma_multiply(0.5));
            cups::lip(&canvas, model, cup.at, cup.turn_deg.to_radians(), line, fill, 1.5);
        }
    }
    level_strip::level_strips(&canvas, view, !plan.show.circuit);
    if plan.show.circuit {
        hoses::levels(&canvas, view);
    }
    if view.replay.is_some() {
        replay::crosses(&canvas, view);
    }
    if view.family.is_some() && plan.tool_is_select() {
        seats::handle(ui, &canvas, view, plan);
    }
    if let Some(held) = view.family.as_ref().filter(|held| held.all) {
        seats::counts(&canvas, view, held);
    }
    proposed::lips(&canvas, &plan.proposed);
    if let Some(more) = &view.more {
        proposed::more(&canvas, view, more);
    }
    if let Some(review) = &view.review {
        ghosts::keep_off_pins(&canvas, view);
        if let Some(beside) = &review.beside {
            ghosts::ghosts(&canvas, view, review, beside);
        }
    }
    if let (Some(cup), true) = (view.single(), plan.tool_is_select() && view.review.is_none()) {
        marks::dimensions(&canvas, view, cup);
        if plan.drag.is_some() {
            between::dimensions(&canvas, view, cup);
        }
    }
    if let Tool::Stops(draft) = &plan.tool {
        stops_tool::keep_off(&canvas, draft);
    }
    let factors = !plan.show.circuit;
    marks::keys(&canvas, view, most.slide_n, factors && shows_loads(view, plan), factors);
    labels.take().draw(&painter, rect, ui.input(|i| i.pointer.hover_pos()), view.tokens.second);

    // Outline and stops are those of the part shown, in its own frame, where it lies on the tool.
    let own = canvas.in_frame(view.seat().pose());
    match plan.tool.clone() {
        Tool::Select if bends && plan.bending.picking => {
            bending::pick(ui, &mut plan.bending, plan.pointer, &ground);
        }
        Tool::Select => select_tool(ui, view, plan, &canvas, &ground, actions),
        Tool::Place { model, turn_deg } => {
            place_tool::place_tool(ui, view, plan, &canvas, &ground, &model, turn_deg, actions)
        }
        Tool::Sketch(_) => {
            sketch_tool::sketch_tool(ui, view, plan, &own, &ground);
            sketch_tool::sketch_strip(ui, view, plan, rect, actions);
        }
        Tool::EditOutline => outline_tool::outline_tool(ui, view, plan, &own, actions),
        Tool::Datum => datum_tool::datum_tool(ui, view, plan, &own, actions),
        Tool::Stops(_) => stops_tool::stops_tool(ui, view, plan, &own, actions),
        Tool::Trace => trace_tool::traced_tool(ui, view, plan, &canvas, &ground, actions),
        Tool::Remark => remark_tool(ui, view, plan, &ground, actions),
    }
    if view.review.is_some() {
        ghosts::pins(ui, &canvas, view, actions);
    }
    if view.replay.is_some() {
        replay::strip(ui, view, Strip::above(ui, view, plan, rect), actions);
    }
    if bends {
        bending::profile(ui, &canvas, view, &plan.bending, whole);
        let above = Strip::above(ui, view, plan, rect);
        bending::strip(ui, view, &mut plan.bending, above, actions);
    }
    if view.layout.cups.is_empty() && plan.tool_is_select() && view.review.is_none() {
        proposed::empty_ui(ui, view, rect, actions);
    }
}

/// Whether loads are drawn on the cups: beside an earlier state arrows mean what moved.
fn shows_loads(view: &View, plan: &PlanState) -> bool {
    plan.show.loads && view.review.as_ref().is_none_or(|r| r.beside.is_none())
}

/// The next click is the place of a remark.
fn remark_tool(ui: &Ui, view: &View, plan: &mut PlanState, ground: &Response, actions: &mut Vec<Action>) {
    if ground.hovered() {
        ui.ctx().set_cursor_icon(CursorIcon::Crosshair);
    }
    if ground.clicked()
        && let Some(at) = plan.pointer
    {
        // A remark needs no finer place than a millimetre.
        let at = at.round();
        plan.tool = Tool::Select;
        actions.push(Action::Remark(Pin::Place(view.layout.id, at), place_called(view, at)));
    }
}

impl PlanState {
    /// Whether the pointer selects and moves.
    pub fn tool_is_select(&self) -> bool {
        matches!(self.tool, Tool::Select)
    }
}

fn place_camera(view: &View, plan: &mut PlanState, rect: Rect) {
    // A view that nobody moved keeps showing the whole part when the window changes its size.
    if plan.fitted.is_some_and(|fitted| fitted != rect) && plan.drag.is_none() {
        plan.fit = true;
    }
    if std::mem::take(&mut plan.fit)
        && let Some(bounds) = seats::bounds(view)
    {
        plan.camera.fit(rect, &bounds);
        plan.fitted = Some(rect);
    }
    let wanted: Vec<DVec2> = std::mem::take(&mut plan.frame)
        .iter()
        .filter_map(|id| view.layout.cups.iter().find(|c| c.id == *id))
        .map(|c| c.at)
        .collect();
    if let (Some(min), Some(max)) =
        (wanted.iter().copied().reduce(DVec2::min), wanted.iter().copied().reduce(DVec2::max))
    {
        let inner = rect.shrink(80.0);
        let seen = |p: DVec2| inner.contains(plan.camera.screen_from_part(rect, p));
        if !(seen(min) && seen(max)) {
            plan.fitted = None;
            plan.camera.centre = (min + max) / 2.0;
            let size = (max - min).max(DVec2::splat(1.0));
            let most = (f64::from(inner.width()) / size.x).min(f64::from(inner.height()) / size.y);
            plan.camera.scale = plan.camera.scale.min(most);
        }
    }
}

pub(super) fn navigate(ui: &Ui, plan: &mut PlanState, rect: Rect, ground: &Response) {
    let Some(pointer) = ui.input(|i| i.pointer.hover_pos()).filter(|p| rect.contains(*p)) else { return };
    let before = plan.camera;
    if ground.contains_pointer() || ui.rect_contains_pointer(rect) {
        let (scroll, pinch, shift) =
            ui.input(|i| (i.smooth_scroll_delta(), i.zoom_delta(), i.modifiers.shift));
        if pinch != 1.0 {
            plan.camera.zoom_about(rect, pointer, f64::from(pinch));
        } else if shift && scroll != Vec2::ZERO {
            plan.camera.pan(if scroll.x == 0.0 { Vec2::new(scroll.y, 0.0) } else { scroll });
        } else if scroll.y != 0.0 {
            plan.camera.zoom_about(rect, pointer, f64::from(scroll.y / 260.0).exp());
        }
    }
    if before != plan.camera {
        plan.fitted = None;
    }
    let space = ui.input(|i| i.key_down(Key::Space)) && !ui.ctx().text_edit_focused();
    if ground.dragged_by(PointerButton::Middle)
        || ground.dragged_by(PointerButton::Secondary)
        || (space && ground.dragged_by(PointerButton::Primary))
    {
        plan.camera.pan(ground.drag_delta());
        plan.fitted = None;
        ui.ctx().set_cursor_icon(CursorIcon::Grabbing);
    }
}

pub(super) fn most_loads(view: &View) -> cups::Most {
    let mut most = cups::Most::default();
    for m in view.shown_loads() {
        most.slide_n = most.slide_n.max(m.load.slide.length());
        most.force_n = most.force_n.max(m.load.slide.length()).max(m.load.pull.abs());
    }
    most
}

#[expect(clippy::too_many_arguments, reason = "one frame's read-only state, passed on as it is")]
fn cup_ui(
    ui: &Ui,
    view: &View,
    plan: &mut PlanState,
    canvas: &Canvas<'_>,
    cup: &Cup,
    most: cups::Most,
    receding: bool,
    overhangs: &HashMap<CupId, Vec<geometry::Overhang>>,
    actions: &mut Vec<Action>,
    hovered: &mut Option<CupId>,
) {
    let Some(model) = view.project.model(&cup.model) else { return };
    let radius = canvas.reach(&model.shape);
    let hit = Rect::from_center_size(canvas.at(cup.at), Vec2::splat(2.0 * radius.max(FINGERTIP)));
    let motion = view.shown_motion();
    let in_motion = view.shown_loads().iter().find(|c| c.id == cup.id);
    let selected = view.selection.contains(&cup.id);
    let id = cup_widget_id(cup.id);
    // Off the plan's edge a cup stays reachable by name and by Tab, but not under the pointer.
    let seen = hit.intersects(canvas.rect);
    let sense = if plan.tool_is_select() && seen {
        Sense::click_and_drag()
    } else {
        Sense::focusable_noninteractive()
    };
    let response = ui.interact(hit.intersect(canvas.rect), id, sense);
    response.widget_info(|| WidgetInfo::selected(Role::Button, true, selected, format!("Cup {}", cup.tag)));
    let required = motion.map(|motion| motion.required_factor);
    let factor =
        in_motion.zip(required).map_or("not checked".to_owned(), |(m, r)| view.factor_of(m.factor.value, r));
    let place = cup.at - view.datum();
    ui.ctx().accesskit_node_builder(id, |node| {
        node.set_value(format!(
            "x {}, y {}, factor {factor}",
            view.text(place.x, Quantity::Length),
            view.text(place.y, Quantity::Length)
        ));
    });
    let dragged =
        matches!(&plan.drag, Some(Drag::Cups { start, .. }) if start.iter().any(|(c, _)| *c == cup.id));
    let emphasis = cups::Emphasis {
        selected,
        hovered: response.hovered() && plan.drag.is_none(),
        focused: response.has_focus(),
        // A cup that does not hold the part shown stands back.
        receding: (receding && !dragged && !matches!(plan.tool, Tool::Select if plan.drag.is_none()))
            || view.stands_back(cup.id),
    };
    cups::cup(
        canvas,
        view,
        cup,
        model,
        // With the circuit on the plan the levels take the place of loads and factors.
        in_motion.filter(|_| !plan.show.circuit),
        motion.map(|m| m.required_factor),
        most,
        emphasis,
        shows_loads(view, plan),
    );
    if let Some(pieces) = overhangs.get(&cup.id) {
        let clearance = view.cup_report(cup.id).and_then(|c| c.clearance).map_or(0.0, |c| c.distance);
        let half = cups::half_size(canvas, &model.shape, cup.turn_deg.to_radians());
        cups::overhang(canvas, view, cup, pieces, clearance, half);
    }
    if !plan.tool_is_select() {
        return;
    }
    if response.hovered() {
        *hovered = Some(cup.id);
        if plan.drag.is_none() {
            ui.ctx().set_cursor_icon(if cup.locked { CursorIcon::Default } else { CursorIcon::Grab });
        }
    }
    let add = ui.input(|i| i.modifiers.shift || i.modifiers.command);
    if response.clicked()
        || (response.has_focus() && ui.input(|i| i.key_pressed(Key::Enter)) && !response.lost_focus())
    {
        let mut selection = if add { view.selection.clone() } else { BTreeSet::new() };
        if !selection.insert(cup.id) || (add && selected) {
            selection.remove(&cup.id);
        }
        actions.push(Action::Select(selection));
        response.request_focus();
    }
    if response.has_focus() {
        // Arrow keys nudge the cup instead of moving the focus.
        ui.memory_mut(|m| {
            m.set_focus_lock_filter(
                id,
                egui::EventFilter { horizontal_arrows: true, vertical_arrows: true, ..Default::default() },
            )
        });
    }
    if response.drag_started_by(PointerButton::Primary)
        && plan.drag.is_none()
        && let Some(origin) = ui.input(|i| i.pointer.press_origin())
    {
        begin_cup_drag(view, plan, canvas.rect, cup, origin, add, actions);
    }
}

/// Widget id of a cup on the plan, for focus.
pub fn cup_widget_id(id: CupId) -> Id {
    Id::unique(("cup on the plan", id.0))
}

fn begin_cup_drag(
    view: &View,
    plan: &mut PlanState,
    rect: Rect,
    cup: &Cup,
    origin: Pos2,
    add: bool,
    actions: &mut Vec<Action>,
) {
    let mut selection = view.selection.clone();
    if !selection.contains(&cup.id) {
        if !add {
            selection.clear();
        }
        selection.insert(cup.id);
        actions.push(Action::Select(selection.clone()));
    }
    let start: Vec<(CupId, DVec2)> = view
        .layout
        .cups
        .iter()
        .filter(|c| selection.contains(&c.id) && !c.locked)
        .map(|c| (c.id, c.at))
        .collect();
    if cup.locked || start.is_empty() {
        actions.push(Action::Notice(format!("{} is locked. Unlock it (L) to move it.", cup.tag)));
        return;
    }
    plan.drag = Some(Drag::Cups { start, grabbed: cup.id, from: plan.camera.part_from_screen(rect, origin) });
}

fn select_tool(
    ui: &Ui,
    view: &View,
    plan: &mut PlanState,
    canvas: &Canvas<'_>,
    ground: &Response,
    actions: &mut Vec<Action>,
) {
    let space = ui.input(|i| i.key_down(Key::Space));
    if ground.clicked() && !view.selection.is_empty() && !ui.input(|i| i.modifiers.shift) {
        actions.push(Action::Select(BTreeSet::new()));
    }
    if ground.clicked() {
        ground.surrender_focus();
    }
    if ground.drag_started_by(PointerButton::Primary)
        && !space
        && plan.drag.is_none()
        && let Some(origin) = ui.input(|i| i.pointer.press_origin())
    {
        plan.drag = Some(Drag::Box {
            from: plan.camera.part_from_screen(canvas.rect, origin),
            add: ui.input(|i| i.modifiers.shift),
        });
    }
    if let (Some(Drag::Box { from, .. }), Some(to)) = (&plan.drag, plan.pointer) {
        let rect = Rect::from_two_pos(canvas.at(*from), canvas.at(to));
        canvas.painter.rect(
            rect,
            0.0,
            canvas.t.working.gamma_multiply(0.08),
            Stroke::new(1.0, canvas.t.working),
            StrokeKind::Middle,
        );
    }
}

/// Cups inside the box, when a box selection ends.
pub fn boxed(view: &View, from: DVec2, to: DVec2, add: bool) -> BTreeSet<CupId> {
    let (min, max) = (from.min(to), from.max(to));
    let inside =
        view.layout.cups.iter().filter(|c| c.at.cmpge(min).all() && c.at.cmple(max).all()).map(|c| c.id);
    let mut selection = if add { view.selection.clone() } else { BTreeSet::new() };
    selection.extend(inside);
    selection
}

/// Moves what is selected by so much, locked cups excepted.
pub fn nudge(view: &View, by: DVec2) -> Option<Edit> {
    let to: Vec<(CupId, DVec2)> = view.selected().filter(|c| !c.locked).map(|c| (c.id, c.at + by)).collect();
    (!to.is_empty()).then_some(Edit::MoveCups { layout: view.layout.id, to })
}
