//! The drawing of an import by keys alone: arrows step through its closed lines, the largest first, Enter uses one as the part,
//! Shift+Enter adds or removes it as a hole.

use crate::{theme::Tokens, view::View};
use egui::{Key, Pos2, Response, Shape, Stroke, Ui};
use exchange::{ImportOptions, Picture};
use glam::DVec2;
use units::Quantity;

/// Follows the keys while the picture has the focus; whether the options were changed.
pub(super) fn step(
    ui: &Ui,
    response: &Response,
    stepped: &mut Option<usize>,
    options: &mut ImportOptions,
    picture: &Picture,
) -> bool {
    let count = picture.closed.len();
    if !response.has_focus() || count == 0 {
        return false;
    }
    let arrows = egui::EventFilter { horizontal_arrows: true, vertical_arrows: true, ..Default::default() };
    ui.memory_mut(|m| m.set_focus_lock_filter(response.id, arrows));
    let pressed = |keys: [Key; 2]| ui.input(|i| keys.into_iter().any(|key| i.key_pressed(key)));
    if pressed([Key::ArrowRight, Key::ArrowDown]) {
        *stepped = Some(stepped.map_or(0, |at| (at + 1) % count));
    }
    if pressed([Key::ArrowLeft, Key::ArrowUp]) {
        *stepped = Some(stepped.map_or(count - 1, |at| (at + count - 1) % count));
    }
    // Of the press itself: a quick hand has let go of Shift before the frame ends.
    let entered = ui.input(|i| {
        i.events.iter().find_map(|event| match event {
            egui::Event::Key { key: Key::Enter, pressed: true, modifiers, .. } => Some(modifiers.shift),
            _ => None,
        })
    });
    let place = stepped.and_then(|at| picture.place_in(at));
    let (Some(place), Some(shift)) = (place, entered) else { return false };
    if shift {
        options.toggled.push(place);
    } else {
        options.inside = Some(place);
        options.toggled.clear();
    }
    true
}

/// What the picture is called besides, for who does not see it.
pub(super) fn says(view: &View, stepped: Option<usize>, picture: &Picture) -> String {
    let Some(at) = stepped else { return String::new() };
    let Some(bounds) = picture.closed.get(at).and_then(|c| c.line.bounds()) else { return String::new() };
    let [x, y] = bounds.size().to_array().map(|side| view.text(side, Quantity::Length));
    format!(
        "; line {} of {} is marked, {x} by {y}: Enter uses it as the part, Shift+Enter adds or removes it as a hole",
        at + 1,
        picture.closed.len()
    )
}

/// Marks the line that the keys have come to, and the picture while it has the focus.
pub(super) fn mark(
    ui: &Ui,
    response: &Response,
    stepped: Option<usize>,
    picture: &Picture,
    screen: impl Fn(DVec2) -> Pos2,
    t: &Tokens,
) {
    if !response.has_focus() {
        return;
    }
    let painter = ui.painter().with_clip_rect(response.rect);
    let frame = response.rect.shrink(1.0);
    painter.rect_stroke(frame, 3.0, Stroke::new(2.0, t.working), egui::StrokeKind::Inside);
    if let Some(line) = stepped.and_then(|at| picture.closed.get(at)) {
        let size = line.line.bounds().map_or(1.0, |b| b.size().max_element());
        let points: Vec<Pos2> =
            line.line.flatten((size / 1000.0).max(1e-6)).into_iter().map(screen).collect();
        painter.add(Shape::closed_line(points, Stroke::new(3.0, t.demand)));
    }
}
