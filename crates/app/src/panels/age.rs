//! The note beside slow figures that do not belong to the plan.

use crate::{theme::Size, view::View};
use analysis::{Age, Slow};
use egui::{RichText, Ui};

/// Says which of some slow figures do not belong to the plan, and how far they are.
pub(super) fn age_note(ui: &mut Ui, view: &View, among: &[Slow]) {
    let ages = &view.report.ages;
    let mut hover: Vec<String> = Vec::new();
    hover.extend(ages.told(Age::Older, among).map(|figures| format!("From an earlier plan: {figures}.")));
    hover.extend(ages.told(Age::Absent, among).map(|figures| format!("Not available yet: {figures}.")));
    if hover.is_empty() {
        return;
    }
    let mut note = match among.iter().any(|slow| ages.of(*slow) == Age::Older) {
        true => "older than the plan".to_owned(),
        false => "calculating…".to_owned(),
    };
    if let Some((slow, share)) = view.slow_now {
        hover.push(format!("Being calculated: {}.", slow.name()));
        if share >= LEAST_TOLD && among.contains(&slow) {
            note = format!("{note} {} %", units::fixed(100.0 * share, 0, &view.units));
        }
    }
    ui.label(RichText::new(note).font(Size::Small.slanted()).color(view.tokens.second))
        .on_hover_text(hover.join(" "));
}

/// Progress below this is not told: most figures are there before it could be read.
const LEAST_TOLD: f64 = 0.05;
