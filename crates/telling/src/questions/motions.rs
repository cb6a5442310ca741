//! Motions: which are there, how hard they are, and what they must hold.

use super::{Asking, QuestionGroup};
use analysis::{upright, words};
use document::{Motion, MotionKind, StartStop};

/// Least required factor of the trade (common practice, no source); where friction alone carries, a finding asks for more.
const USUAL: f64 = 2.0;

pub(super) fn ask(asking: &mut Asking<'_>) {
    let motions = &asking.project.motions;
    if motions.is_empty() {
        return;
    }
    if !motions.iter().any(|motion| motion.kind == MotionKind::EmergencyStop) {
        let says = format!(
            "None of the motions is an emergency stop: {}.",
            words::list(&motions.iter().map(|motion| words::inside(&motion.name)).collect::<Vec<_>>())
        );
        let why = "The robot brakes hardest when a door is opened, and in any direction. Add it with the \
            robot\u{2019}s own value, or say why it cannot happen.";
        asking.ask(QuestionGroup::Inputs, "inputs/emergency stop".to_owned(), asking.whole(), says, why);
    }
    for motion in motions {
        required(asking, motion);
        preset(asking, motion);
        as_stated_only(asking, motion);
    }
}

fn required(asking: &mut Asking<'_>, motion: &Motion) {
    if motion.required_factor >= USUAL || upright(motion) {
        return;
    }
    let words = asking.words;
    let says = format!(
        "{} requires a factor of {}; {} is common practice.",
        words::capital(&motion.name),
        words.factor(motion.required_factor),
        words.factor(USUAL),
    );
    let why =
        "Common practice, no source. Who agreed to less, and on what grounds: a test, a guard, a slow robot?";
    asking.ask(
        QuestionGroup::Inputs,
        format!("inputs/motion {}/required", motion.id),
        asking.motion(motion.id),
        says,
        why,
    );
}

/// What starts also stops, unless somebody knows better.
fn as_stated_only(asking: &mut Asking<'_>, motion: &Motion) {
    if motion.start_stop == StartStop::Both {
        return;
    }
    let says = format!("{} is checked as stated only.", words::capital(&motion.name));
    let why =
        "Its stop, the return and standing still along it are then not checked. Why can they not occur?";
    asking.ask(
        QuestionGroup::Inputs,
        format!("inputs/motion {}/as stated", motion.id),
        asking.motion(motion.id),
        says,
        why,
    );
}

/// A motion as the program proposes it is nobody's robot.
fn preset(asking: &mut Asking<'_>, motion: &Motion) {
    let proposed = Motion::preset(motion.id, motion.kind);
    if motion.kind == MotionKind::Free || *motion != (Motion { name: motion.name.clone(), ..proposed }) {
        return;
    }
    let peak = analysis::acceleration_of(motion).length();
    let says = if peak > 0.0 {
        let acceleration = asking.words.acceleration(peak);
        format!("{} is still at its defaults, with {acceleration}.", words::capital(&motion.name))
    } else {
        format!("{} is still at its defaults.", words::capital(&motion.name))
    };
    let why =
        "Is that what this robot does at this speed? Take it from its program or measure it at the tool.";
    asking.ask(
        QuestionGroup::Inputs,
        format!("inputs/motion {}/proposed", motion.id),
        asking.motion(motion.id),
        says,
        why,
    );
}
