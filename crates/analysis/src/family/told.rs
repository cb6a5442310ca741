//! The report on a tool from the reports on its parts.

use crate::{
    assemble, inputs, lower,
    report::{Age, Ages, Assumption, CupReport, Family, Finding, Report, SeatReport, Severity, Verdict},
    slow::Slow,
    words,
};
use document::{Cup, Layout};
use std::sync::Arc;

/// The seat with the worst verdict; of those the one with the least factor over required, then the first.
pub(super) fn worst(seats: &[SeatReport]) -> usize {
    let rank = |seat: &SeatReport| match seat.report.verdict.severity {
        Severity::Fail => 0,
        Severity::NotChecked => 1,
        Severity::Watch => 2,
        Severity::Ok | Severity::Advice => 3,
    };
    // A part without a figure is worse than any factor.
    let ratio = |seat: &SeatReport| seat.report.governing().map_or(f64::NEG_INFINITY, |(_, ratio)| ratio);
    let order = |a: &(usize, &SeatReport), b: &(usize, &SeatReport)| {
        rank(a.1).cmp(&rank(b.1)).then(ratio(a.1).total_cmp(&ratio(b.1)))
    };
    seats.iter().enumerate().min_by(order).map_or(0, |(index, _)| index)
}

/// The figures of the seat that governs, the verdict with its name, the findings of all.
pub(super) fn report(layout: &Layout, family: Family) -> Report {
    let Some(governing) = family.governing() else { return crate::assemble::no_such(layout.id) };
    let own = &governing.report;
    let verdict = Verdict {
        sentence: format!("{}: {}", governing.name, own.verdict.sentence),
        detail: detail(&family, &own.verdict),
        ..own.verdict.clone()
    };
    Report {
        verdict,
        findings: findings(&family.seats),
        assumptions: assumptions(&family.seats),
        ages: ages(&family.seats),
        family: Some(Arc::new(family.clone())),
        ..Report::clone(own)
    }
}

/// Every cup of the tool.
pub(super) fn cups(layout: &Layout, seats: &[SeatReport], governing: usize) -> Vec<CupReport> {
    let first = seats.get(governing);
    let held = |cup: &Cup| {
        let mut reports = first.into_iter().chain(seats).flat_map(|seat| &seat.report.cups);
        reports.find(|held| held.id == cup.id).cloned()
    };
    let missing: Vec<Cup> = layout.cups.iter().filter(|cup| held(cup).is_none()).cloned().collect();
    let bare = first.map(|seat| bare(layout, seat, missing)).unwrap_or_default();
    let of = |cup: &Cup| held(cup).or_else(|| bare.iter().find(|bare| bare.id == cup.id).cloned());
    layout.cups.iter().filter_map(of).collect()
}

/// Cups that hold no part, as they would be on this one.
fn bare(layout: &Layout, seat: &SeatReport, cups: Vec<Cup>) -> Vec<CupReport> {
    let project = &*seat.project;
    let Some(part) = project.part(seat.seat.part) else { return Vec::new() };
    if cups.is_empty() || project.site.altitude_m.is_nan() || part.out_of_range().is_some() {
        return Vec::new();
    }
    let own = Layout { cups, ..layout.clone() };
    let models = lower::models(project);
    let lowered = inputs::lower_cups(project, &own, part, &models);
    assemble::cup_reports(project, Some(part), &lowered, None, &[], &models, &[])
}

/// How the other parts stand, behind what is said of the one that governs.
fn detail(family: &Family, own: &Verdict) -> String {
    let others = family.seats.iter().enumerate().filter(|(index, _)| *index != family.governing);
    let holds: Vec<String> = others
        .map(|(_, seat)| {
            let held = match seat.report.verdict.severity {
                Severity::Ok | Severity::Advice | Severity::Watch => "holds as modelled",
                Severity::Fail => "does not hold as drawn",
                Severity::NotChecked => "is not checked",
            };
            format!("{} {held}", seat.name)
        })
        .collect();
    if holds.is_empty() {
        return own.detail.clone();
    }
    format!("{} {}", own.detail, words::sentence(&words::all(&holds))).trim_start().to_owned()
}

/// What is assumed for any part, each once.
fn assumptions(seats: &[SeatReport]) -> Vec<Assumption> {
    let mut all: Vec<Assumption> = Vec::new();
    for assumption in seats.iter().flat_map(|seat| &seat.report.assumptions) {
        if !all.contains(assumption) {
            all.push(assumption.clone());
        }
    }
    all
}

/// A figure is as old as the oldest of the parts'.
fn ages(seats: &[SeatReport]) -> Ages {
    Ages::by(|slow: Slow| {
        let each = seats.iter().map(|seat| seat.report.ages.of(slow));
        let oldest = each.max_by_key(|age| match age {
            Age::Current => 0,
            Age::Older => 1,
            Age::Absent => 2,
        });
        oldest.unwrap_or(Age::Absent)
    })
}

/// What is said of every part alike is said once; the rest bears the name of the part.
fn findings(seats: &[SeatReport]) -> Vec<Finding> {
    let alike = |a: &Finding, b: &Finding| {
        (a.rule, &a.says, &a.remedy, &a.subject, a.motion, &a.accepted)
            == (b.rule, &b.says, &b.remedy, &b.subject, b.motion, &b.accepted)
    };
    let mut all: Vec<Finding> = Vec::new();
    for (index, seat) in seats.iter().enumerate() {
        for finding in &seat.report.findings {
            let of_all = seats.len() > 1
                && seats.iter().all(|other| other.report.findings.iter().any(|held| alike(held, finding)));
            match (of_all, index) {
                (true, 0) => all.push(Finding { seat: None, ..finding.clone() }),
                (true, _) => {}
                (false, _) => {
                    let says = format!("{}: {}", seat.name, finding.says);
                    all.push(Finding { says, ..finding.clone() });
                }
            }
        }
    }
    all.sort_by(|a, b| {
        a.accepted
            .is_some()
            .cmp(&b.accepted.is_some())
            .then_with(|| b.severity.cmp(&a.severity))
            .then_with(|| b.off.total_cmp(&a.off))
    });
    all
}
