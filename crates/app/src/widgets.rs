//! Small things that many panels and dialogs draw alike.

use crate::theme::{Size, Tokens};
use egui::{Color32, FontId, Galley, Label, Pos2, Rect, Response, RichText, Stroke, Ui, Vec2, emath::Rot2};
use std::sync::Arc;

/// How far the ground of a row stands out at both sides, so that its text keeps the edge of the form.
const ROW_AIR: f32 = 6.0;

/// The part of a circle that is turned through from an angle on, clockwise on the screen, by its points.
pub(crate) fn arc(middle: Pos2, radius: f32, from: f32, turned: f32) -> Vec<Pos2> {
    /// How far a straight piece may run inside the circle, points.
    const WITHIN: f32 = 0.1;
    let step = 2.0 * (1.0 - WITHIN / radius.max(1.0)).acos();
    let count = (turned.abs() / step).ceil().max(1.0);
    // From one to the next by the same turn: one sine for all of them.
    let turn = Rot2::from_angle(turned / count);
    let first = radius * Vec2::angled(from);
    let ways = std::iter::successors(Some(first), |way| Some(turn * *way));
    ways.take(count as usize + 1).map(|way| middle + way).collect()
}

/// The ground of a row that can be clicked: marked, or under the pointer or the keyboard.
pub(crate) fn row_ground(ui: &Ui, rect: Rect, marked: bool, response: &Response) {
    if marked || response.hovered() || response.has_focus() {
        let t = Tokens::of(ui);
        let fill = if marked { t.selection } else { t.panel };
        ui.painter().rect_filled(rect.expand2(Vec2::new(ROW_AIR, 0.0)), 3.0, fill);
    }
}

/// A text on one line, cut with an ellipsis where it would be wider, to be painted.
pub(crate) fn one_line(ui: &Ui, text: &str, width: f32, font: FontId, colour: Color32) -> Arc<Galley> {
    let mut job = egui::text::LayoutJob::simple(text.to_owned(), font, colour, width.max(20.0));
    job.wrap.max_rows = 1;
    job.wrap.break_anywhere = true;
    ui.painter().layout_job(job)
}

/// A text on two lines at most, cut with an ellipsis where it would take more, to be painted.
pub(crate) fn two_lines(ui: &Ui, text: &str, width: f32, font: FontId, colour: Color32) -> Arc<Galley> {
    let mut job = egui::text::LayoutJob::simple(text.to_owned(), font, colour, width.max(20.0));
    job.wrap.max_rows = 2;
    ui.painter().layout_job(job)
}

/// A label of one line that gives way with an ellipsis; then it shows all under the pointer.
pub(crate) fn line_label(ui: &mut Ui, text: impl Into<RichText>) -> Response {
    // The toolkit's label shows what was cut by itself.
    ui.add(Label::new(text.into()).truncate())
}

/// As [`line_label`] in a place as wide as its text, and no wider than this.
pub(crate) fn line_within(ui: &mut Ui, text: &str, font: FontId, colour: Color32, widest: f32) -> Response {
    let width = ui.painter().layout_no_wrap(text.to_owned(), font.clone(), colour).size().x;
    let label = Label::new(RichText::new(text).font(font).color(colour)).truncate();
    ui.add_sized([width.min(widest) + 2.0, 24.0], label)
}

/// The text, cut with an ellipsis where it would be wider: for what takes a text only.
pub(crate) fn elided(ui: &Ui, text: &str, width: f32) -> String {
    let fits = |text: &str| fits(ui, text, width);
    if fits(text) {
        return text.to_owned();
    }
    let mut cut: String = text.to_owned();
    while cut.pop().is_some() && !fits(&format!("{}…", cut.trim_end())) {}
    format!("{}…", cut.trim_end())
}

fn fits(ui: &Ui, text: &str, width: f32) -> bool {
    let galley = ui.painter().layout_no_wrap(text.to_owned(), Size::Body.font(), Color32::PLACEHOLDER);
    galley.size().x <= width
}

/// As [`elided`], cut in its middle: names that begin alike differ at their ends.
pub(crate) fn elided_within(ui: &Ui, text: &str, width: f32) -> String {
    let fits = |text: &str| fits(ui, text, width);
    if fits(text) {
        return text.to_owned();
    }
    let letters: Vec<char> = text.chars().collect();
    let cut = |kept: usize| {
        // Two fifths from the start, the rest from the end.
        let start: String = letters[..kept * 2 / 5].iter().collect();
        let end: String = letters[letters.len() - (kept - kept * 2 / 5)..].iter().collect();
        format!("{}…{}", start.trim_end(), end.trim_start())
    };
    let kept = (0..letters.len()).rev().find(|kept| fits(&cut(*kept))).unwrap_or(0);
    cut(kept)
}

/// A hairline under a heading row.
pub(crate) fn hairline(ui: &Ui, t: &Tokens) {
    let rect = ui.available_rect_before_wrap();
    ui.painter().hline(rect.x_range(), rect.top(), Stroke::new(1.0, t.hairline));
}

/// Gives the keyboard to a field or button when its dialog or panel opens; from then on Tab may leave it.
pub(crate) fn first_focus(ui: &Ui, field: &Response) {
    let (frame, id) = (ui.ctx().cumulative_frame_nr(), field.id.with("drawn"));
    let last = ui.data_mut(|data| {
        let last = data.get_temp::<u64>(id);
        data.insert_temp(id, frame);
        last
    });
    if last.is_none_or(|last| frame.saturating_sub(last) > 1) {
        field.request_focus();
    }
}
