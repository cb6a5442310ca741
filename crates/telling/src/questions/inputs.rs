//! The part, the cups, the site and the limits: what is plausible and may still be wrong.

use super::{Asking, QuestionGroup};
use analysis::words;
use document::{MassBy, Part, Pin, Rules, Site};
use units::Quantity;

pub(super) fn ask(asking: &mut Asking<'_>) {
    if let Some(part) = asking.part {
        size(asking, part);
        weight(asking, part);
        surface(asking, part);
        placement(asking, part);
    }
    locked(asking);
    if asking.project.layouts.len() == 1 {
        let says = format!("{} is the only layout considered.", asking.layout.name);
        let why = "Would one cup fewer, a larger lip or another arrangement be enough? Copy the layout and \
            compare.";
        asking.ask(QuestionGroup::Inputs, "inputs/one layout".to_owned(), asking.whole(), says, why);
    }
    robot(asking);
    if asking.project.site == (Site { payload_kg: asking.project.site.payload_kg, ..Site::default() }) {
        let says = format!(
            "The site is still at its defaults: {} above sea level, {}.",
            asking.words.figure(asking.project.site.altitude_m, Quantity::Altitude),
            asking.words.figure(asking.project.site.temperature_c, Quantity::Temperature),
        );
        let why = "Every vacuum level depends on the atmosphere at the site: where will the tool run?";
        asking.ask(QuestionGroup::Inputs, "inputs/site".to_owned(), asking.whole(), says, why);
    }
    rules(asking);
}

fn on_part(part: &Part) -> (Pin, String) {
    (Pin::Whole, part.name.clone())
}

fn size(asking: &mut Asking<'_>, part: &Part) {
    let Some(held) = &asking.report.part else { return };
    let [x0, y0, x1, y1] = held.bounds_mm;
    let words = asking.words;
    let over_all = format!("{} by {} over all", words.length(x1 - x0), words.length(y1 - y0));
    let says = match &part.drawing {
        Some(drawing) => format!(
            "{} is {over_all}, read from {} in {}.",
            part.name,
            drawing.file_name,
            if drawing.unit.is_empty() { "an unnamed unit" } else { drawing.unit.as_str() }
        ),
        None => format!("{} is {over_all}, drawn by hand.", part.name),
    };
    let why =
        "Does that agree with the real part and with its latest drawing, seen from the side of the tool?";
    asking.ask(QuestionGroup::Inputs, format!("inputs/part {}/size", part.id), on_part(part), says, why);
}

fn weight(asking: &mut Asking<'_>, part: &Part) {
    let Some(held) = &asking.report.part else { return };
    let words = asking.words;
    if !matches!(part.mass, MassBy::Stated { .. }) {
        let by = match part.mass {
            MassBy::Areal { .. } => "from its mass per area".to_owned(),
            _ => format!(
                "from {} of thickness and its density",
                words.given(part.thickness_mm, Quantity::Length)
            ),
        };
        let says =
            format!("{} weighs {}, calculated {by}.", part.name, words.figure(held.mass_kg, Quantity::Mass));
        let why = "Has one been weighed, at the upper end of its thickness, and as it comes: wet, oiled, with its \
                   film?";
        asking.ask(QuestionGroup::Inputs, format!("inputs/part {}/mass", part.id), on_part(part), says, why);
    }
    if part.centre_of_gravity.is_none() {
        let centre = held.centre_of_gravity_mm;
        let from = if part.attached.is_empty() {
            "its outline alone"
        } else {
            "its outline and what is attached to it"
        };
        let says = format!(
            "The centre of gravity of {} is taken from {from}: {} on the plan, {} towards the tool.",
            part.name,
            words.pair(centre.truncate() - part.datum_at()),
            words.length(centre.z),
        );
        let why = "Is there a bracket, an insert, a product or a liquid that moves it? Balance one, or take it from the \
                   model of the part.";
        asking.ask(
            QuestionGroup::Inputs,
            format!("inputs/part {}/centre", part.id),
            on_part(part),
            says,
            why,
        );
    }
}

fn surface(asking: &mut Asking<'_>, part: &Part) {
    let project = asking.project;
    let flat = |id: &document::ModelId| {
        project.model(id).is_some_and(|model| model.folds == 0 && model.lip != document::LipKind::Foam)
    };
    let cups: Vec<_> = asking.layout.cups.iter().filter(|cup| flat(&cup.model)).map(|cup| cup.id).collect();
    if part.uneven_mm == 0.0 && !cups.is_empty() {
        let tags = words::list(&asking.tags(&cups));
        let (verb, lips) = if cups.len() == 1 { ("has", "a flat lip") } else { ("have", "flat lips") };
        let says = format!("{} is assumed to be even, and {tags} {verb} {lips}.", part.name);
        let why = "Is it flat under every lip and from lip to lip, also while hanging? Enter its height \
            variation, or use bellows.";
        let key = format!("inputs/part {}/even", part.id);
        asking.ask(QuestionGroup::Inputs, key, on_part(part), says, why);
    }
}

fn placement(asking: &mut Asking<'_>, part: &Part) {
    let place = &part.placement;
    if place.position_mm == 0.0 && place.turn_deg == 0.0 {
        let says = format!("{} is assumed to lie exactly in place every time.", part.name);
        let why =
            "How far can it be off and turned when the tool comes down? Lips near an edge then overhang it.";
        let key = format!("inputs/part {}/placement", part.id);
        asking.ask(QuestionGroup::Inputs, key, on_part(part), says, why);
    }
}

/// A cup that the tools for rows and moves leave where it is.
fn locked(asking: &mut Asking<'_>) {
    let project_layout = asking.layout;
    for cup in project_layout.cups.iter().filter(|cup| cup.locked) {
        let off = off_whole(asking, cup.at.x) || off_whole(asking, cup.at.y);
        let place = asking.words.pair(cup.at - asking.datum());
        let says = if off {
            format!("{} is locked at {place}, which is not a round dimension.", cup.tag)
        } else {
            format!("{} is locked at {place}.", cup.tag)
        };
        let why = if off {
            "Is it fixed by something real, such as an existing hole? If not, unlock it and put it where it \
            can be drilled and measured."
        } else {
            "What holds it there? Moves and arrays leave it where it is."
        };
        let pin = Pin::Cup(project_layout.id, cup.id);
        let key = format!("inputs/layout {}/cup {}/locked", project_layout.id, cup.id);
        asking.ask(QuestionGroup::Inputs, key, (pin, cup.tag.clone()), says, why);
    }
}

/// Whether a place is off the whole millimetres and the sixteenths of an inch.
fn off_whole(asking: &Asking<'_>, mm: f64) -> bool {
    const NEAR: f64 = 1e-3;
    let step = match asking.words.choice.length {
        units::LengthUnit::Inch => 25.4 / 16.0,
        _ => 1.0,
    };
    let steps = mm / step;
    (steps - steps.round()).abs() * step > NEAR
}

fn robot(asking: &mut Asking<'_>) {
    let Some(robot) = &asking.report.robot else { return };
    let loaded = asking.words.figure(robot.loaded.mass_kg, Quantity::Mass);
    if asking.project.site.payload_kg.is_none() {
        let says = format!("What the robot may carry is not stated; tool and part weigh {loaded}.");
        let why = "State its payload, and check the centre and inertia at the flange against its diagram.";
        asking.ask(QuestionGroup::Inputs, "inputs/payload".to_owned(), asking.whole(), says, why);
    }
    if !robot.left_out.is_empty() {
        let says = format!(
            "The robot load, {loaded}, leaves out what has no stated mass: {}.",
            words::list(&robot.left_out)
        );
        let why = "How much do they weigh, and where? A frame often weighs more than its cups.";
        let key = format!("inputs/layout {}/left out", asking.layout.id);
        asking.ask(QuestionGroup::Inputs, key, (Pin::Whole, asking.layout.name.clone()), says, why);
    }
}

/// Limits that somebody moved.
fn rules(asking: &mut Asking<'_>) {
    let words = asking.words;
    let moved: Vec<String> = asking
        .project
        .rules
        .numbers()
        .into_iter()
        .zip(Rules::default().numbers())
        .filter(|((_, now), (_, usual))| now != usual)
        .map(|((field, now), (_, usual))| {
            let value = |value: f64| words.measured(value, field.measure);
            format!("{} {} instead of {}", field.name, value(now), value(usual))
        })
        .collect();
    if moved.is_empty() {
        return;
    }
    let says = format!("Finding limits were changed: {}.", moved.join("; "));
    let why = "Who changed them and why? What they no longer catch does not appear among the findings.";
    asking.ask(QuestionGroup::Inputs, "inputs/limits".to_owned(), asking.whole(), says, why);
}
