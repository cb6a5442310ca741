//! A part that bends on the plan: its sag as shades with contour lines, a section through it, its ringing played.

mod map;
mod section;
mod shown;
pub(super) mod state;
mod strip;

pub(super) use map::map;
pub(super) use section::{pick, profile};
use state::Bending;
pub(super) use strip::strip;

/// What is left of the plan's room above the section.
pub(super) fn room(bending: &Bending, whole: egui::Rect) -> egui::Rect {
    let mut rect = whole;
    if bending.section.is_some() {
        rect.max.y -= section::HIGH;
    }
    rect
}
