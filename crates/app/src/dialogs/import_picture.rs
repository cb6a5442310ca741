//! The drawing as it is, with the part lit: a click takes another closed line, a box limits to one view, two points and a
//! length set the scale.

use super::import_keys;
use crate::{fields, plan::Camera, theme::Size, theme::Tokens, view::View};
use egui::{Pos2, Rect, RichText, Sense, Shape, Stroke, Ui};
use exchange::{Drawing, ImportOptions, ImportedPart, Lettering, Picture};
use geometry::{Bounds, Loop};
use glam::DVec2;
use std::sync::Arc;
use units::Quantity;

/// Height of the picture, points: with ten messages below it and the buttons in sight at 1280 x 800.
const HIGH: f32 = 300.0;
/// The same of the window's height, so that large text leaves room for what is below.
const SHARE: f32 = 0.375;
/// A lower one shows nothing.
const LEAST: f32 = 150.0;
/// Between the drawing and the edges of its picture, points.
const ROOM: f32 = 14.0;
/// Corners drawn, at most: the largest lines come first.
const MOST_DRAWN: usize = 100_000;
/// Open ends that are marked, at most.
const MOST_ENDS: usize = 400;
/// Heights of letters that can be read and do not hide the drawing, points.
const LEGIBLE: std::ops::RangeInclusive<f32> = 5.0..=40.0;
/// Nearer than this, points, a corner is meant.
const SNAP: f32 = 9.0;
const TRUE_LENGTH: &str = "True length";
/// Longest length that a person may type, mm.
const LONGEST: f64 = 1e6;

/// What a click on the drawing does.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub(super) enum Tool {
    #[default]
    Take,
    Box,
    Measure,
}

/// What the picture shows and holds besides the drawing.
#[derive(Debug, Clone, Default)]
pub(super) struct PictureState {
    tool: Tool,
    /// Only the part, as large as it fits.
    close: bool,
    /// Where a box begins, mm.
    from: Option<DVec2>,
    /// Places measured so far, mm.
    measured: Vec<DVec2>,
    /// Where the message that was clicked is, mm.
    pub(super) shown: Option<DVec2>,
    /// The closed line that the keys have come to.
    stepped: Option<usize>,
    flat: Option<Arc<Flat>>,
}

/// Lines of the drawing as points.
#[derive(Debug)]
struct Flat {
    part: usize,
    others: Vec<Vec<DVec2>>,
    open: Vec<Vec<DVec2>>,
    /// What is not read.
    beside: Vec<Vec<DVec2>>,
    texts: Vec<Lettering>,
    ends: Vec<DVec2>,
    lit: Vec<Vec<DVec2>>,
    keep_outs: Vec<Vec<DVec2>>,
    /// Corners and centres that a measurement snaps to.
    corners: Vec<DVec2>,
    all: Bounds,
    own: Bounds,
}

impl PictureState {
    /// Forgets what belongs to the drawing as it was read before.
    pub(super) fn read_again(&mut self) {
        (self.flat, self.from, self.shown, self.stepped) = (None, None, None, None);
        self.measured.clear();
    }

    fn flat(&mut self, drawing: &Drawing, part: usize) -> Option<Arc<Flat>> {
        if self.flat.as_ref().is_none_or(|f| f.part != part) {
            self.flat = Flat::of(&drawing.picture, drawing.parts.get(part), part).map(Arc::new);
        }
        self.flat.clone()
    }
}

impl Flat {
    fn of(picture: &Picture, part: Option<&ImportedPart>, at: usize) -> Option<Self> {
        let own = part.and_then(|part| part.outline.bounds());
        let open = || picture.open.iter().chain(&picture.beside).flatten().copied();
        let boxes = picture.closed.iter().filter_map(|c| c.line.bounds());
        let all = boxes.chain(Bounds::of(open())).chain(own).reduce(|a, b| a.union(&b))?;
        let own = own.unwrap_or(all);
        let tolerance = (all.size().max_element() / 2000.0).max(1e-6);
        // What is smaller than a dot is not drawn, nor more than a picture of this size can show.
        let mut left = MOST_DRAWN;
        let mut flatten = |lines: &mut dyn Iterator<Item = &Loop>| -> Vec<Vec<DVec2>> {
            let mut out = Vec::new();
            for l in lines {
                let points = l.flatten(tolerance);
                left = left.saturating_sub(points.len());
                if left == 0 {
                    break;
                }
                out.push(points);
            }
            out
        };
        let lit = flatten(&mut part.iter().flat_map(|part| part.outline.loops()));
        let keep_outs = flatten(&mut part.iter().flat_map(|part| &part.keep_outs).map(|k| &k.area));
        let others = flatten(&mut picture.closed.iter().map(|c| &c.line));
        let mut corners: Vec<DVec2> = picture.ends.clone();
        corners.extend(picture.closed.iter().flat_map(|c| &c.line.vertices).map(|v| v.at).take(MOST_DRAWN));
        let holes = part.iter().flat_map(|part| &part.outline.holes);
        corners.extend(holes.filter_map(Loop::bounds).map(|b| b.centre()));
        corners.extend(picture.open.iter().flatten().take(MOST_DRAWN));
        let (open, beside) = (picture.open.clone(), picture.beside.clone());
        let (texts, ends) = (picture.texts.clone(), picture.ends.clone());
        Some(Self { part: at, others, open, beside, texts, ends, lit, keep_outs, corners, all, own })
    }
}

/// Height of the picture, points.
fn high(ui: &Ui) -> f32 {
    (SHARE * ui.ctx().content_rect().height()).clamp(LEAST, HIGH)
}

/// Draws the picture and its tools; whether the options were changed.
pub(super) fn picture_ui(
    ui: &mut Ui,
    view: &View,
    state: &mut PictureState,
    options: &mut ImportOptions,
    drawing: &Drawing,
    at: usize,
) -> bool {
    let t = view.tokens;
    ui.horizontal(|ui| {
        for (tool, name, why) in [
            (
                Tool::Take,
                "Choose a line",
                "Click a closed line to use it as the part; with Shift, to add or remove a hole. Keys: arrows, then Enter or Shift+Enter",
            ),
            (Tool::Box, "Limit to a box", "Drag a box around one view: only what lies within it is read"),
            (Tool::Measure, "Set the scale", "Click two points whose true distance you know, then type it"),
        ] {
            if ui.selectable_label(state.tool == tool, name).on_hover_text(why).clicked() {
                state.tool = tool;
                state.measured.clear();
            }
        }
        ui.checkbox(&mut state.close, "close up").on_hover_text("Zooms to the part");
    });
    let (rect, response) =
        ui.allocate_exact_size(egui::vec2(ui.available_width(), high(ui)), Sense::click_and_drag());
    let part = drawing.parts.get(at);
    let size = part.and_then(|p| size_of(view, p)).map(|[x, y]| format!("{} × {y}", x.number));
    let mut changed = import_keys::step(ui, &response, &mut state.stepped, options, &drawing.picture);
    let named = format!(
        "Drawing, {} closed lines; the chosen part is {} with {}{}{}",
        drawing.picture.closed.len(),
        size.unwrap_or_default(),
        analysis::words::count_of(part.map_or(0, |p| p.outline.holes.len()), "hole"),
        state.shown.map_or_else(String::new, |at| { format!("; marked at {}", view.pair(at)) }),
        import_keys::says(view, state.stepped, &drawing.picture),
    );
    ui.ctx().accesskit_node_builder(response.id, |node| node.set_label(named));
    ui.painter().rect_filled(rect, 3.0, t.ground);
    let Some(flat) = state.flat(drawing, at) else { return false };
    let mut camera = Camera::default();
    camera.fit_evenly(rect, if state.close { &flat.own } else { &flat.all }, ROOM);
    paint(ui, rect, &camera, &flat, &t);
    let mark = |at: DVec2, colour| {
        let at = camera.screen_from_part(rect, at);
        ui.painter().with_clip_rect(rect).circle_stroke(at, 7.0, Stroke::new(2.0, colour));
    };
    state.measured.iter().for_each(|at| mark(*at, t.demand));
    state.shown.iter().for_each(|at| mark(*at, t.fail));
    import_keys::mark(
        ui,
        &response,
        state.stepped,
        &drawing.picture,
        |at| camera.screen_from_part(rect, at),
        &t,
    );
    let place = |at: Pos2| camera.part_from_screen(rect, at);
    match state.tool {
        Tool::Take => {
            if let Some(at) = response.interact_pointer_pos().filter(|_| response.clicked()) {
                if ui.input(|i| i.modifiers.shift) {
                    options.toggled.push(place(at));
                } else {
                    options.inside = Some(place(at));
                    options.toggled.clear();
                }
                changed = true;
            }
        }
        Tool::Box => {
            if let Some(at) = response.interact_pointer_pos() {
                if response.drag_started() {
                    state.from = ui.input(|i| i.pointer.press_origin()).map(place);
                }
                if let Some(from) = state.from {
                    let shown = Rect::from_two_pos(camera.screen_from_part(rect, from), at);
                    let stroke = Stroke::new(1.0, t.working);
                    ui.painter().with_clip_rect(rect).rect_stroke(
                        shown,
                        0.0,
                        stroke,
                        egui::StrokeKind::Middle,
                    );
                    if response.drag_stopped() {
                        (options.within, state.from, state.tool) =
                            (Some([from, place(at)]), None, Tool::Take);
                        changed = true;
                    }
                }
            }
        }
        Tool::Measure => {
            if let Some(at) = response.interact_pointer_pos().filter(|_| response.clicked()) {
                if state.measured.len() > 1 {
                    state.measured.clear();
                }
                state.measured.push(snapped(&flat, &camera, rect, at));
                if state.measured.len() == 2 {
                    fields::focus_on(ui.ctx(), TRUE_LENGTH);
                }
            }
        }
    }
    changed | scale_ui(ui, view, state, options, drawing) | picked_ui(ui, view, state, options)
}

fn paint(ui: &Ui, rect: Rect, camera: &Camera, flat: &Flat, t: &Tokens) {
    let painter = ui.painter().with_clip_rect(rect);
    let screen =
        |line: &[DVec2]| line.iter().map(|p| camera.screen_from_part(rect, *p)).collect::<Vec<Pos2>>();
    let grey = Stroke::new(1.0, t.second.gamma_multiply(0.55));
    let faint = Stroke::new(1.0, t.second.gamma_multiply(0.3));
    painter.extend(flat.beside.iter().map(|line| Shape::line(screen(line), faint)));
    painter.extend(flat.open.iter().map(|line| Shape::line(screen(line), grey)));
    painter.extend(flat.others.iter().map(|line| Shape::closed_line(screen(line), grey)));
    painter.extend(flat.lit.iter().map(|line| Shape::closed_line(screen(line), Stroke::new(2.0, t.working))));
    for line in &flat.keep_outs {
        let mut points = screen(line);
        points.extend(points.first().copied());
        painter.extend(Shape::dashed_line(&points, Stroke::new(1.4, t.second), 5.0, 3.0));
    }
    letters(&painter, rect, camera, flat, t);
    for end in flat.ends.iter().take(MOST_ENDS) {
        painter.circle_stroke(camera.screen_from_part(rect, *end), 3.0, Stroke::new(1.2, t.watch));
    }
}

/// What is written on the drawing, where it is tall enough to be read.
fn letters(painter: &egui::Painter, rect: Rect, camera: &Camera, flat: &Flat, t: &Tokens) {
    let ink = t.second.gamma_multiply(0.8);
    for text in &flat.texts {
        let at = camera.screen_from_part(rect, text.middle);
        let up = camera.screen_from_part(rect, text.middle + text.up) - at;
        if !rect.contains(at) || !LEGIBLE.contains(&up.length()) {
            continue;
        }
        let size = up.length();
        let galley = painter.layout_no_wrap(text.says.clone(), egui::FontId::proportional(size), ink);
        // Written to the right where `up` points up the screen.
        let turn = up.x.atan2(-up.y);
        let corner = egui::emath::Rot2::from_angle(turn) * (galley.size() / 2.0);
        let shape = egui::epaint::TextShape::new(at - corner, galley, ink).with_angle(turn);
        painter.add(shape);
    }
}

/// The drawing of which nothing could be read, with the ends that should meet.
pub(super) fn unread_picture(ui: &mut Ui, view: &View, picture: &Picture) {
    let Some(flat) = Flat::of(picture, None, 0) else { return };
    let (rect, response) = ui.allocate_exact_size(egui::vec2(ui.available_width(), high(ui)), Sense::hover());
    let named = format!("Drawing, {} open ends marked", flat.ends.len());
    ui.ctx().accesskit_node_builder(response.id, |node| node.set_label(named));
    ui.painter().rect_filled(rect, 3.0, view.tokens.ground);
    let mut camera = Camera::default();
    camera.fit_evenly(rect, &flat.all, ROOM);
    paint(ui, rect, &camera, &flat, &view.tokens);
}

/// The corner near a click, or the place itself.
fn snapped(flat: &Flat, camera: &Camera, rect: Rect, at: Pos2) -> DVec2 {
    let near = |c: &&DVec2| camera.screen_from_part(rect, **c).distance(at);
    let nearest = flat.corners.iter().min_by(|a, b| near(a).total_cmp(&near(b)));
    nearest.filter(|c| near(c) <= SNAP).copied().unwrap_or_else(|| camera.part_from_screen(rect, at))
}

/// What was measured, and the field for its true length.
fn scale_ui(
    ui: &mut Ui,
    view: &View,
    state: &mut PictureState,
    options: &mut ImportOptions,
    drawing: &Drawing,
) -> bool {
    if state.tool != Tool::Measure {
        return false;
    }
    let [a, b] = state.measured[..] else {
        let says =
            if state.measured.is_empty() { "Click the first point." } else { "Click the second point." };
        ui.label(RichText::new(says).font(Size::Small.font()).color(view.tokens.second));
        return false;
    };
    let length = a.distance(b);
    let why = "True distance of the two points on the part; the whole drawing is scaled to match";
    let bounds = (1e-3, LONGEST);
    let typed =
        fields::within(ui, "true length", TRUE_LENGTH, length, Quantity::Length, bounds, &view.units, why);
    let Some(typed) = typed.filter(|_| length > 0.0) else { return false };
    let by = typed / length;
    rescale(options, by);
    options.scale = Some(drawing.scale * by);
    state.tool = Tool::Take;
    true
}

/// Places that a person has picked, moved with a drawing that is taken so many times as large as before.
pub(super) fn rescale(options: &mut ImportOptions, by: f64) {
    options.inside = options.inside.map(|at| at * by);
    options.within = options.within.map(|corners| corners.map(|at| at * by));
    options.toggled.iter_mut().for_each(|at| *at *= by);
}

/// What a person has picked, and the way back.
fn picked_ui(ui: &mut Ui, view: &View, state: &mut PictureState, options: &mut ImportOptions) -> bool {
    let mut picked = Vec::new();
    if options.inside.is_some() {
        picked.push("a line chosen".to_owned());
    }
    if !options.toggled.is_empty() {
        let holes = analysis::words::count_of(options.toggled.len(), "hole");
        picked.push(format!("{holes} added or removed"));
    }
    if options.within.is_some() {
        picked.push("limited to a box".to_owned());
    }
    if options.divide {
        picked.push("the part cut apart".to_owned());
    }
    if options.scale.is_some() {
        picked.push("scale set".to_owned());
    }
    if picked.is_empty() {
        return false;
    }
    let text = format!("By hand: {}.", picked.join(", "));
    ui.horizontal(|ui| {
        ui.label(RichText::new(text).font(Size::Small.font()).color(view.tokens.second));
        let back = ui.link("Undo what was chosen").on_hover_text("The drawing as it was read at first");
        if back.clicked() {
            (options.inside, options.within, options.scale, options.divide) = (None, None, None, false);
            options.toggled.clear();
            state.tool = Tool::Take;
        }
        back.clicked()
    })
    .inner
}

/// The size of a part in one line, for what assistive technology reads.
pub(super) fn size_of(view: &View, part: &ImportedPart) -> Option<[units::Shown; 2]> {
    let size = part.outline.outer.bounds()?.size();
    Some([size.x, size.y].map(|side| view.show(side, Quantity::Length)))
}
