//! The rows of the table.

use super::{CompareFigure, CompareRow};
use analysis::{Judge, Side, Support};
use analysis::{LimitFigure, MotionReport, Rings, Severity, StrokeFigures, words};
use document::{MotionId, Project};
use units::Quantity;

/// A figure and what it counts in the comparison, more being better.
type Cell = (CompareFigure, Option<f64>);

/// Which of two figures is better.
#[derive(Clone, Copy)]
enum Better {
    More,
    Less,
    Neither,
}

pub(super) fn rows(project: &Project, sides: &[Side], support: &Support) -> Vec<CompareRow> {
    let motions: Vec<(MotionId, &str)> =
        project.motions.iter().map(|motion| (motion.id, motion.name.as_str())).collect();
    rows_of(&motions, sides, support)
}

/// The same for motions that not every side may have.
pub(crate) fn rows_of(motions: &[(MotionId, &str)], sides: &[Side], support: &Support) -> Vec<CompareRow> {
    let mut rows = Vec::new();
    let mut add = |name: String, quantity: Quantity, judge: Judge, cells: Vec<Cell>, of_motions: bool| {
        let scores: Vec<Option<f64>> = cells.iter().map(|(_, score)| *score).collect();
        let figures: Vec<CompareFigure> = cells.into_iter().map(|(figure, _)| figure).collect();
        // What does not hold is never the better one.
        let holds = |index: &usize| match (&figures[*index], judge) {
            (CompareFigure::Factor { factor, required }, Judge::Factor(_)) => factor >= required,
            (CompareFigure::Factor { factor, required }, _) => factor >= required && support.holds[*index],
            _ => support.holds[*index],
        };
        let better = support.best(judge, &scores).filter(holds);
        let motion = if let Judge::Factor(motion) = judge { Some(motion) } else { None };
        rows.push(CompareRow { name, quantity, figures, better, motion, of_motions });
    };
    let each = |cell: &dyn Fn(&Side) -> Cell| sides.iter().map(cell).collect::<Vec<Cell>>();

    add("Required factors met".to_owned(), Quantity::Ratio, Judge::Exact, each(&met), true);
    for (id, name) in motions {
        let name = format!("Factor, {}", words::inside(name));
        add(name, Quantity::Ratio, Judge::Factor(*id), each(&|side| factor(side, *id)), false);
    }
    let least = |side: &Side| {
        side.least_ratio().map_or_else(|| absent("no result"), |(ratio, _)| number(ratio, Better::More))
    };
    add("Lowest factor over required".to_owned(), Quantity::Ratio, Judge::Least, each(&least), true);
    add("Lowest limit factor over required".to_owned(), Quantity::Ratio, Judge::Like, each(&limit), true);
    let mut add = |name: &str, quantity: Quantity, judge: Judge, cells: Vec<Cell>| {
        add(name.to_owned(), quantity, judge, cells, false);
    };
    add("One cup lost", Quantity::Ratio, Judge::Exact, each(&lost));
    add("First lip with one cup lost", Quantity::Ratio, Judge::Like, each(&first_lip));
    add("Smallest clearance", Quantity::Length, Judge::Exact, each(&clearance));
    add(
        "Acceleration held in the weakest direction",
        Quantity::Acceleration,
        Judge::Like,
        each(&|side| {
            side.report.envelope.as_ref().map_or_else(
                || absent("not even still"),
                |held| number(held.weakest.acceleration, Better::More),
            )
        }),
    );
    // Rows of the circuit only where some side has one worked out.
    if sides.iter().any(|side| side.report.circuits.iter().any(|circuit| !circuit.cups.is_empty())) {
        add("Level at the worst cup", Quantity::VacuumLevel, Judge::Like, each(&worst_level));
        add("Compressed air while on", Quantity::Flow, Judge::Exact, each(&air));
    }
    // Rows of a part that bends only where some side has one.
    if sides.iter().any(|side| side.report.bending.is_some()) {
        add("Largest sag", Quantity::Length, Judge::Like, each(&sag));
        add("Largest ringing left by a stroke", Quantity::Length, Judge::Like, each(&ringing));
        add("Longest time to rest", Quantity::Time, Judge::Like, each(&wait));
    }
    add(
        "Mass of the tool",
        Quantity::Mass,
        Judge::Exact,
        each(&|side| {
            let empty = side.report.robot.as_ref().and_then(|robot| robot.empty.as_ref());
            empty.map_or_else(|| unknown("not stated"), |empty| number(empty.mass_kg, Better::Less))
        }),
    );
    add("Cups", Quantity::Ratio, Judge::Exact, each(&|side| count(side.report.cups.len(), Better::Neither)));
    add(
        "Area inside the lips",
        Quantity::Area,
        Judge::Exact,
        each(&|side| number(side.report.cups.iter().map(|cup| cup.line.area).sum(), Better::Neither)),
    );
    add("Findings that fail", Quantity::Ratio, Judge::Exact, each(&|side| count(side.fails(), Better::Less)));
    add("Verdict", Quantity::Ratio, Judge::Exact, each(&verdict));
    rows
}

fn number(value: f64, better: Better) -> Cell {
    let score = match better {
        Better::More => Some(value),
        Better::Less => Some(-value),
        Better::Neither => None,
    };
    if value.is_finite() {
        (CompareFigure::Number(value), score)
    } else {
        (CompareFigure::Words("no limit".to_owned()), score)
    }
}

fn of_factor(factor: f64, required: f64) -> Cell {
    match number(factor, Better::More) {
        (CompareFigure::Number(factor), score) => (CompareFigure::Factor { factor, required }, score),
        words => words,
    }
}

/// What there is no figure for loses against what there is one for.
fn absent(word: &str) -> Cell {
    (CompareFigure::Words(word.to_owned()), None)
}

/// What was not entered is neither better nor worse than a figure.
fn unknown(word: &str) -> Cell {
    (CompareFigure::Unknown(word.to_owned()), None)
}

fn worded(words: String, score: Option<f64>) -> Cell {
    (CompareFigure::Words(words), score)
}

/// A count stands as whole figures.
fn count(count: usize, better: Better) -> Cell {
    let (_, score) = number(count as f64, better);
    worded(count.to_string(), score)
}

fn met(side: &Side) -> Cell {
    let motions = &side.report.motions;
    let meets = |motion: &&MotionReport| {
        side.report.factor_of(motion).is_some_and(|factor| factor >= motion.required_factor)
    };
    let met = motions.iter().filter(meets).count();
    worded(format!("{met} of {}", motions.len()), Some(met as f64 / motions.len().max(1) as f64))
}

fn factor(side: &Side, motion: MotionId) -> Cell {
    let held = side.report.motions.iter().find(|held| held.id == motion);
    match held.map(|held| held.outcome.as_ref()) {
        Some(Ok(outcome)) => {
            let factor = held.and_then(|held| side.report.factor_of(held)).unwrap_or(outcome.factor);
            of_factor(factor, held.map_or(1.0, |held| held.required_factor))
        }
        Some(Err(_)) => absent("no result"),
        None => unknown("not there"),
    }
}

fn limit(side: &Side) -> Cell {
    let mut least = f64::INFINITY;
    for motion in &side.report.motions {
        let slow = motion.outcome.as_ref().ok().and_then(|outcome| outcome.slow.as_ref());
        match slow.map(|slow| &slow.limit) {
            Some(LimitFigure::Factor(value)) => least = least.min(*value / motion.required_factor),
            Some(LimitFigure::Unlimited) => {}
            Some(LimitFigure::Missing(_) | LimitFigure::Pending) | None => return absent("no result"),
        }
    }
    if side.report.motions.is_empty() { absent("no result") } else { number(least, Better::More) }
}

/// "stays", "drops at C3".
fn lost(side: &Side) -> Cell {
    match side.worst_loss() {
        None => absent("no result"),
        Some(loss) if loss.holds => worded("part held".to_owned(), Some(1.0)),
        Some(loss) => {
            let tag = match &loss.lost {
                analysis::Lost::Cup(cup) => side.tag(*cup).to_owned(),
                analysis::Lost::Zone(zone) => format!("zone {zone}"),
            };
            worded(format!("drops at {tag}"), Some(0.0))
        }
    }
}

fn first_lip(side: &Side) -> Cell {
    match side.worst_loss() {
        None => absent("no result"),
        Some(loss) => loss
            .factor
            .map_or_else(|| worded("no cups left".to_owned(), Some(0.0)), |factor| of_factor(factor, 1.0)),
    }
}

fn clearance(side: &Side) -> Cell {
    let distances = side.report.cups.iter().map(|cup| cup.clearance.map(|clearance| clearance.distance));
    let least = distances.collect::<Option<Vec<f64>>>().filter(|all| !all.is_empty());
    least.map_or_else(
        || absent("no result"),
        |all| number(all.into_iter().fold(f64::INFINITY, f64::min), Better::More),
    )
}

/// Of circuits with a stated level that level counts, as for the factors.
fn worst_level(side: &Side) -> Cell {
    let least = side.report.cups.iter().map(|cup| cup.level_kpa).fold(f64::INFINITY, f64::min);
    let blocked = side.report.circuits.iter().any(|circuit| circuit.status.no_figure().is_some());
    if blocked || !least.is_finite() { unknown("no result") } else { number(least, Better::More) }
}

fn air(side: &Side) -> Cell {
    let circuits = &side.report.circuits;
    if circuits.is_empty() || circuits.iter().any(|circuit| circuit.cups.is_empty()) {
        return unknown("no result");
    }
    number(circuits.iter().filter_map(|circuit| circuit.air_nl_min).sum(), Better::Less)
}

fn sag(side: &Side) -> Cell {
    match &side.report.bending {
        None => absent("rigid"),
        Some(Err(_)) => absent("not checked"),
        Some(Ok(bending)) => bending
            .deepest()
            .map_or_else(|| absent("no result"), |deepest| number(deepest.sag_mm.abs(), Better::Less)),
    }
}

/// What every stroke across a part that bends does; `None` without a figure.
fn strokes(side: &Side) -> Option<Vec<StrokeFigures>> {
    let ring = side.report.ringing.as_ref()?.as_ref().ok()?;
    let strokes = ring.motions.iter().filter_map(|motion| match &motion.rings {
        Rings::Stroke(stroke) => Some(stroke.stated),
        Rings::InPlane | Rings::Sudden(_) => None,
    });
    Some(strokes.collect())
}

fn ringing(side: &Side) -> Cell {
    match strokes(side) {
        None => absent("no result"),
        Some(strokes) if strokes.is_empty() => absent("no stroke across it"),
        Some(strokes) => {
            number(strokes.iter().map(|stroke| stroke.left_mm).fold(0.0, f64::max), Better::Less)
        }
    }
}

fn wait(side: &Side) -> Cell {
    match strokes(side) {
        None => absent("no result"),
        Some(strokes) if strokes.is_empty() => absent("no stroke across it"),
        Some(strokes) => {
            let waits: Option<Vec<f64>> = strokes.iter().map(|stroke| stroke.wait_s).collect();
            waits.map_or_else(
                || absent("never"),
                |waits| number(waits.into_iter().fold(0.0, f64::max), Better::Less),
            )
        }
    }
}

fn verdict(side: &Side) -> Cell {
    let (word, score) = match side.report.verdict.severity {
        Severity::Ok | Severity::Advice => ("meets", Some(2.0)),
        Severity::Watch => ("meets, with warnings", Some(1.0)),
        Severity::NotChecked => ("nothing to judge", None),
        Severity::Fail => ("does not meet", Some(0.0)),
    };
    worded(word.to_owned(), score)
}
