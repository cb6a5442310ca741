//! A tool that carries several parts, in words and as text on the command line.

use analysis::{Cover, Family, FurtherValves, words};
use document::CupId;
use units::{Quantity, UnitChoice};

/// How few valves serve every part, what is kept shut for it, and what further ones would buy: cups that open, hose.
pub fn valves_in_words(family: &Family, units: &UnitChoice) -> String {
    let plan = &family.valves;
    let count = plan.fewest.len();
    let mut says = match (count, plan.proved) {
        (0, _) => return "No cup is on any part.".to_owned(),
        (1, _) => "One valve serves every part.".to_owned(),
        (_, true) => format!("{count} valves serve every part; no fewer do."),
        (_, false) => format!("{count} valves serve every part; whether fewer do was not found out."),
    };
    if plan.kept_shut > 0 {
        let times = words::count_of(plan.kept_shut, "time");
        says.push_str(&format!(" A cup that may stay shut is then kept shut {times}, over all parts."));
    }
    let length = |mm: f64| units::show(mm, Quantity::Length, units).to_string();
    if let Some(mm) = plan.hose_mm {
        says.push_str(&format!(" They take {} of hose.", length(mm)));
    }
    for FurtherValves { valves, kept_shut, hose_mm } in &plan.further {
        let kept = if *kept_shut == 0 { "never".to_owned() } else { words::count_of(*kept_shut, "time") };
        let hose = hose_mm.map_or_else(String::new, |mm| format!(", {} of hose", length(mm)));
        says.push_str(&format!(" With {valves} valves: {kept}{hose}."));
    }
    if !plan.never.is_empty() {
        let tags: Vec<String> = plan.never.iter().map(|cup| tag(family, *cup)).collect();
        let (are, need) = if tags.len() == 1 { ("is", "needs") } else { ("are", "need") };
        says.push_str(&format!(" {} {are} on no part and {need} no valve.", words::list(&tags)));
    }
    says
}

fn tag(family: &Family, id: CupId) -> String {
    family.cups.iter().find(|cup| cup.id == id).map_or_else(|| "?".to_owned(), |cup| cup.tag.clone())
}

/// What a pick costs on the mean of all parts, as a sentence; `None` where that is not known.
pub fn mix_in_words(family: &Family, currency: &str, units: &UnitChoice) -> Option<String> {
    let mix = family.mix()?;
    let air = mix
        .air_nl_per_pick
        .map_or(String::new(), |air| format!("{} of air and ", units::show(air, Quantity::AirVolume, units)));
    let energy = units::fixed(mix.energy_wh_per_pick, 3, units);
    let cost = units::fixed(mix.cost_per_year, 0, units);
    Some(format!("On average over the parts a cycle uses {air}{energy} Wh: {cost} {currency} per year."))
}

/// Parts, valves and change-over, a line each.
pub fn family_text(family: &Family, units: &UnitChoice) -> Vec<String> {
    let mut lines = Vec::new();
    for (index, seat) in family.seats.iter().enumerate() {
        let governs = if index == family.governing { ", governs" } else { "" };
        lines.push(format!("{}{governs}: {}", seat.name, seat.report.verdict.sentence));
        let with = |cover: Cover| -> Vec<String> {
            seat.cups.iter().filter(|cup| cup.cover == Some(cover)).map(|cup| tag(family, cup.id)).collect()
        };
        let listed = |word: &str, tags: Vec<String>| {
            (!tags.is_empty()).then(|| format!("{word} {}", words::all(&tags)))
        };
        let shut = listed("valves shut for it:", seat.seat.shut.clone());
        let told = [
            listed("on it", with(Cover::On)),
            listed("partly on it", with(Cover::Partly)),
            listed("beside it", with(Cover::Off)),
            shut,
        ];
        lines.push(format!("  {}", told.into_iter().flatten().collect::<Vec<_>>().join("; ")));
    }
    lines.push(valves_in_words(family, units));
    if !family.valves.now_serves || family.valves.fewest.len() < family.valves.now {
        for zone in &family.valves.fewest {
            let cups: Vec<String> = zone.cups.iter().map(|cup| tag(family, *cup)).collect();
            let seats = family.seats.iter().zip(&zone.open).filter(|(_, open)| **open);
            let open: Vec<String> = seats.map(|(seat, _)| seat.name.clone()).collect();
            let open = if open.is_empty() { "no part".to_owned() } else { words::all(&open) };
            lines.push(format!("  {}: {}; open for {open}", zone.name, words::all(&cups)));
        }
    }
    for over in family.change_overs() {
        let name = |index: usize| family.seats.get(index).map_or("", |seat| seat.name.as_str());
        let zones = |word: &str, zones: &[String]| {
            (!zones.is_empty()).then(|| format!("{word} {}", words::all(zones)))
        };
        let told: Vec<String> =
            [zones("open", &over.open), zones("shut", &over.shut)].into_iter().flatten().collect();
        let told = if told.is_empty() { "nothing to switch".to_owned() } else { told.join(", ") };
        lines.push(format!("from {} to {}: {told}", name(over.from), name(over.to)));
    }
    lines
}
