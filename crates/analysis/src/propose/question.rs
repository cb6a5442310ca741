//! The question in words.

use document::{HowMany, Pattern, Question};

/// The question as a sentence, as a layout keeps it: "Fewest cups, in any pattern, every motion held with one cup lost."
pub(super) fn says(question: &Question, names: &[String], parts: usize) -> String {
    let cups = match question.count {
        HowMany::Exactly(1) => "One cup".to_owned(),
        HowMany::Exactly(count) => format!("{count} cups"),
        HowMany::Fewest { .. } => "Fewest cups".to_owned(),
    };
    let models = if question.models.is_empty() {
        "of any model that suits".to_owned()
    } else {
        format!("of {}", crate::words::all(names))
    };
    let pattern = question.pattern.map_or("in any pattern", |pattern| match pattern {
        Pattern::Free => "anywhere",
        Pattern::Mirrored => "mirrored",
        Pattern::Rows => "in rows and columns",
        Pattern::Frame => "on the frame",
        Pattern::Ring => "in a ring",
    });
    let motions =
        if parts > 1 { format!("every motion of all {parts} parts") } else { "every motion".to_owned() };
    let held = match (question.one_lost, question.zone_lost) {
        (false, false) => "",
        (true, false) => " with any one cup lost",
        (false, true) => " with any one zone lost",
        (true, true) => " with any one cup or zone lost",
    };
    let low = if question.low_end { ", with assumed inputs at their worst" } else { "" };
    format!("{cups} {models}, {pattern}, {motions} held{held}{low}.")
}
