//! Proposed layouts in words: the question, a table, what is proved.

use crate::batch::table;
use analysis::{Kind, Proposal, Proposals};
use units::{Quantity, UnitChoice};

/// Whether a proposal meets everything that was asked.
pub fn any_meets(found: &Proposals) -> bool {
    found.proposals.iter().any(|of| of.kind != Kind::Present && of.meets)
}

/// The question, one line a proposal, and how sure that is.
pub fn proposals_text(found: &Proposals, units: &UnitChoice) -> String {
    let header = ["kind", "cups", "lowest factor", "with one cup lost", "vacuum force", "X + Y", "air", ""];
    let mut rows: Vec<[String; 8]> = vec![header.map(str::to_owned)];
    rows.extend(found.proposals.iter().map(|of| row(of, units)));
    let mut lines = vec![found.says.clone()];
    lines.extend(table(&rows).lines().map(str::to_owned));
    lines.push(found.why_not_better.clone());
    if !found.why_not_fewer.is_empty() {
        lines.push(found.why_not_fewer.clone());
    }
    lines.extend(found.beside.iter().map(|why| format!("Not proposed: {why}")));
    for of in found.proposals.iter().filter(|of| of.kind != Kind::Present) {
        let at = |v: f64| units::figure(v, 1);
        let cups: Vec<String> = of
            .layout
            .cups
            .iter()
            .map(|cup| format!("{} {}, {}", cup.tag, at(cup.at.x), at(cup.at.y)))
            .collect();
        lines.push(format!("{}, mm: {}", analysis::words::capital(of.kind.name()), cups.join("; ")));
    }
    if !found.whole {
        lines.push("Stopped: this is the best so far.".to_owned());
    }
    lines.join("\n")
}

fn row(of: &Proposal, units: &UnitChoice) -> [String; 8] {
    let figures = &of.figures;
    let cups: Vec<String> = figures.models.iter().map(|(name, count)| format!("{count} × {name}")).collect();
    let factor = figures.factor.map_or_else(
        || "none".to_owned(),
        |factor| {
            let times =
                figures.least.map_or_else(String::new, |least| format!(" ({} ×)", units::figure(least, 3)));
            format!("{}{times} {}", units::figure(factor, 3), figures.motion_name)
        },
    );
    let lost = match (figures.one_lost, figures.holds_lost) {
        (_, Some(false)) => "drops".to_owned(),
        (Some(factor), _) if factor.is_finite() => units::figure(factor, 3),
        (Some(_), _) => "no limit".to_owned(),
        (None, _) => "–".to_owned(),
    };
    let show = |value: f64, quantity: Quantity| units::show(value, quantity, units).to_string();
    [
        of.kind.name().to_owned(),
        cups.join(", "),
        factor,
        lost,
        show(figures.force_n, Quantity::Force),
        format!("{} + {}", figures.different[0], figures.different[1]),
        figures.air_nl_min.map_or_else(|| "–".to_owned(), |air| show(air, Quantity::Flow)),
        if of.meets { String::new() } else { "does not meet the requirements".to_owned() },
    ]
}
