//! Proposed layouts in words: the question, a table, what is proved.

use crate::batch::table;
use analysis::{Kind, Proposal, Proposals};
use document::Question;
use units::{Quantity, UnitChoice};

/// Whether a proposal meets everything that was asked.
pub fn any_meets(found: &Proposals) -> bool {
    found.proposals.iter().any(|of| of.kind != Kind::Present && of.meets)
}

/// The question, one line a proposal, and how sure that is.
pub fn proposals_text(found: &Proposals, units: &UnitChoice) -> String {
    let question = &found.question;
    let mut header = vec!["kind", "cups", "lowest factor", "with one cup lost"];
    header.extend(question.zone_lost.then_some("with one zone lost"));
    header.extend(question.low_end.then_some("with assumed inputs at their worst"));
    header.extend(["vacuum force", "X + Y", "air", ""]);
    let mut rows: Vec<Vec<String>> = vec![header.into_iter().map(str::to_owned).collect()];
    rows.extend(found.proposals.iter().map(|of| row(of, question, units)));
    let mut lines = vec![found.says.clone()];
    lines.extend(table(&rows).lines().map(str::to_owned));
    lines.push(found.why_not_better.clone());
    if !found.why_not_fewer.is_empty() {
        lines.push(found.why_not_fewer.clone());
    }
    lines.extend(found.beside.iter().map(|why| format!("Not proposed: {why}")));
    for of in found.proposals.iter().filter(|of| of.kind != Kind::Present) {
        let (step, unit) = units::unit_of(Quantity::Length, units);
        let at = |v: f64| units::fixed(v / step, if unit == "in" { 3 } else { 1 }, units);
        let cups: Vec<String> = of
            .layout
            .cups
            .iter()
            .map(|cup| format!("{} {} / {}", cup.tag, at(cup.at.x), at(cup.at.y)))
            .collect();
        lines.push(format!(
            "{}, X / Y in {unit}: {}",
            analysis::words::capital(of.kind.name()),
            cups.join("; ")
        ));
        let zones = of.layout.zones();
        if of.figures.zones.is_some() {
            let cups = |zone: &str| {
                let tags = of.layout.cups.iter().filter(|cup| cup.zone == zone).map(|cup| cup.tag.as_str());
                tags.collect::<Vec<_>>().join(", ")
            };
            let each: Vec<String> = zones.iter().map(|zone| format!("{zone}: {}", cups(zone))).collect();
            lines.push(format!("  zones {}", each.join("; ")));
        }
    }
    if !found.whole {
        lines.push("Stopped: this is the best so far.".to_owned());
    }
    lines.join("\n")
}

fn row(of: &Proposal, question: &Question, units: &UnitChoice) -> Vec<String> {
    let figures = &of.figures;
    let cups: Vec<String> = figures.models.iter().map(|(name, count)| format!("{count} × {name}")).collect();
    let factor = figures.factor.map_or_else(
        || "none".to_owned(),
        |factor| {
            let times =
                figures.least.map_or_else(String::new, |least| format!(" ({} ×)", units::figure(least, 3)));
            format!("{}{times} {}", units::figure(factor, 3), figures.least_where())
        },
    );
    let lost = match (figures.one_lost, figures.holds_lost) {
        (_, Some(false)) => "drops".to_owned(),
        (Some(factor), _) if factor.is_finite() => units::figure(factor, 3),
        (Some(_), _) => "no limit".to_owned(),
        (None, _) => "–".to_owned(),
    };
    let plain = |value: Option<f64>| match value {
        Some(value) if value.is_finite() => units::figure(value, 3),
        Some(_) => "no limit".to_owned(),
        None => "–".to_owned(),
    };
    let show = |value: f64, quantity: Quantity| units::show(value, quantity, units).to_string();
    let mut cells = vec![of.kind.name().to_owned(), cups.join(", "), factor, lost];
    cells.extend(question.zone_lost.then(|| plain(figures.zone_lost)));
    cells.extend(question.low_end.then(|| plain(figures.low_end).replace("–", "none")));
    cells.extend([
        show(figures.force_n, Quantity::Force),
        format!("{} + {}", figures.different[0], figures.different[1]),
        figures.air_nl_min.map_or_else(|| "–".to_owned(), |air| show(air, Quantity::Flow)),
        match of.fails.as_slice() {
            _ if !of.meets => "does not meet the requirements".to_owned(),
            fails => fails.join(" "),
        },
    ]);
    cells
}
