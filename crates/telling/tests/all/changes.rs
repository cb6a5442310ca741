//! Two sides that are set against each other.

use crate::common::*;
use analysis::Analyst;

use document::{Project, Worst};
use std::sync::Arc;
use telling::{Difference, difference, difference_text};
use units::UnitChoice;

/// The difference as a fresh analyst tells it.
pub fn between(old: &Project, new: &Project) -> Difference {
    difference(&mut Analyst::new(), old, new)
}

/// The same as plain text.
pub fn text(old: &Project, new: &Project, difference: &Difference) -> String {
    difference_text(old, new, difference, &UnitChoice::default())
}

/// Four round cups of 50 mm under 4 kg, lifted and stopped.
pub fn holding() -> Project {
    let mut stop = still(2, "Stop", 2.0);
    stop.acceleration.x = 6.0;
    stop.worst = Worst::Direction;
    let mut project = project(
        plate(600.0, 400.0, 4.0),
        model("round-50", round(50.0), 1.0),
        &corners((300.0, 200.0), 200.0, 100.0),
        vec![still(1, "Lift", 2.0), stop],
    );
    project.models.push(Arc::new(model("round-40", round(40.0), 1.0)));
    project
}
