//! What the pages say, and where.

use super::fixtures::{Fixture, failing, tray};
use super::pages::{check_border, check_texts, pages};
use crate::{Page, Paper};
use analysis::{Age, Ages, Slow};
use units::UnitChoice;

fn says(fixture: &Fixture, what: &str) -> bool {
    let pages = pages(fixture, Paper::A3, UnitChoice::default());
    let words: Vec<&str> = pages.iter().flat_map(Page::texts).map(|text| text.text.as_str()).collect();
    words.join(" ").contains(what)
}

#[test]
fn more_words_than_the_first_page_holds_follow_on_the_second() {
    let mut wordy = tray();
    wordy.report.verdict.sentence = "It holds, though there is much to say about it. ".repeat(120);
    let pages = pages(&wordy, Paper::A4, UnitChoice::default());
    check_texts(&pages, "wordy");
    check_border(&pages, "wordy");
    assert_eq!(pages[1].name, "Result, legend, cautions");
    let all: Vec<&str> = pages[1].texts().into_iter().map(|text| text.text.as_str()).collect();
    for caution in crate::CAUTIONS {
        assert!(all.join(" ").contains(caution), "{caution}");
    }
}

#[test]
fn early_revisions_move_to_the_parts_list() {
    let mut old = tray();
    old.project.sheet.revisions = (1..=30)
        .map(|number| document::Revision {
            index: format!("R{number}"),
            date: "2026-03-02".to_owned(),
            by: "AD".to_owned(),
            what: "moved a cup".to_owned(),
        })
        .collect();
    let pages = pages(&old, Paper::A3, UnitChoice::default());
    let has = |page: usize, index: &str| pages[page].texts().iter().any(|text| text.text == index);
    assert!(has(0, "R30") && has(0, "R25") && !has(0, "R24") && has(1, "R24") && has(1, "R1"));
}

#[test]
fn only_what_is_current_is_said_of_slow_figures() {
    let mut old = super::fixtures::whole();
    assert!(!says(&old, "earlier plan"));
    // Each by itself: what is current is not called older.
    let limits = |slow| if slow == Slow::Limits { Age::Older } else { Age::Current };
    old.report.ages = Ages::by(limits);
    assert!(says(&old, "From an earlier plan") && says(&old, "this sheet was made: limit factors."));
    assert!(says(&tray(), "Not calculated for this sheet: lost cups, limit factors and ranges."));
}

#[test]
fn factor_range_and_limit_stand_side_by_side_with_what_they_mean() {
    let whole = super::fixtures::whole();
    assert!(says(&whole, "The difference is reserve, not to be counted on"));
    let pages = pages(&whole, Paper::A3, UnitChoice::default());
    let on_line = |words: &[&str]| {
        let with = |page: &&crate::Page| page.texts().iter().any(|text| text.text == words[words.len() - 1]);
        let Some(page) = pages.iter().find(with) else { return false };
        let texts = page.texts();
        texts.iter().filter(|text| text.text == words[0]).any(|first| {
            words.iter().all(|word| texts.iter().any(|text| text.text == *word && text.at.y == first.at.y))
        })
    };
    // Factor 2.20, its range 0.8 to 1.18 times that, the limit 1.22 times it.
    assert!(on_line(&["Level lift", "2.00", "2.20", "1.76 to 2.60", "2.68", "C8 seal"]));
    assert!(on_line(&["Emergency stop", "no limit"]) && on_line(&["Swing about the axis", "none"]));
    assert!(on_line(&["Level carry", "as factor"]));
    assert!(!says(&whole, "no limit of"));
    assert!(says(&whole, "The limit factor ignores that a side load tilts a tall cup"));
    assert!(says(&whole, "No limit factor for Swing about the axis: the solver stopped before it was sure"));
}

#[test]
fn the_flange_has_its_own_columns_when_it_is_stated() {
    let table = |fixture: &Fixture| -> Vec<String> {
        let pages = pages(fixture, Paper::A3, UnitChoice::default());
        pages[..2].iter().flat_map(crate::Page::texts).map(|t| t.text.clone()).collect()
    };
    let stated = table(&super::fixtures::whole());
    assert!(stated.contains(&"from the flange".to_owned()));
    // C1 at 70, 70 and the flange at 380, 200.
    assert!(stated.contains(&"−310.0".to_owned()) && stated.contains(&"−130.0".to_owned()));
    assert!(!table(&tray()).contains(&"from the flange".to_owned()));
    let far = super::fixture_list::all().into_iter().find(|fixture| fixture.name == "Far datum").unwrap();
    // Its first cup at 10050, −4950 lies 50, 50 from the corner of the part.
    let far = table(&far);
    assert!(far.contains(&"from the datum".to_owned()) && far.contains(&"from the part's corner".to_owned()));
    assert!(far.contains(&"10050.0".to_owned()) && far.contains(&"50.0".to_owned()));
}

#[test]
fn says_that_it_meets_the_factor_only_when_it_does() {
    let met = tray();
    assert!(says(&met, "meets the required factor as modelled"));
    assert!(!says(&met, "does not meet"));
    let mut short = tray();
    short.report.motions[0].outcome.as_mut().unwrap().factor = 1.999;
    assert!(says(&short, "does not meet the required factor as modelled: < 2.00 of 2.00"));
    assert!(!says(&short, " meets the required"));
    let mut unknown = tray();
    unknown.report.motions[2].outcome = Err("no mass".to_owned());
    assert!(says(&unknown, "does not meet the required factor: On edge has no result"));
    let mut seat = tray();
    seat.report.findings[0].severity = analysis::Severity::Fail;
    assert!(says(&seat, "does not meet every check: 1 finding fails"));
    let mut strange = tray();
    strange.report.motions[0].outcome.as_mut().unwrap().factor = f64::NAN;
    assert!(!says(&strange, " meets the required") && says(&strange, "does not meet"));
    let mut bare = tray();
    bare.report.cups.clear();
    assert!(says(&bare, "does not meet the required factor: no result"));
}

#[test]
fn blank_fields_are_named_and_the_sheet_is_stamped() {
    assert!(!says(&tray(), "not for issue") && !says(&tray(), "not stated:"));
    let blank = failing();
    assert!(says(&blank, "not for issue"));
    assert!(says(&blank, "not stated: identification number, created by, approved by, date of issue"));
}

#[test]
fn an_accepted_finding_shows_its_reason_and_who() {
    assert!(says(&tray(), "Reason: the part pallet fixes the position (AD, 2026-03-01)"));
}

#[test]
fn wear_of_each_model_follows_from_its_life_and_the_cycle() {
    use document::{Origin, Sourced};
    use std::sync::Arc;
    let mut made = tray();
    let cycle = &mut made.project.cycle;
    cycle.picks_per_hour = Sourced::stated(600.0);
    cycle.hours_per_year = Sourced::assumed(4000.0);
    let life = |value: f64, origin: Origin| Sourced { value, origin, on: String::new() };
    Arc::make_mut(&mut made.project.models[0]).lip_life_picks = life(1.2e6, Origin::Measured);
    // 2 400 000 picks a year on each of eight cups: half a year a lip, sixteen lips a year.
    assert!(says(&made, "8 1 200 000 measured every 26 weeks 16.0"));
    assert!(says(&made, "45 996 cycles per week: 600 per hour (stated), 4000 hours per year (assumed)"));
    assert!(says(&made, "An assumed life is common practice, no source"));
    Arc::make_mut(&mut made.project.models[0]).lip_life_picks = life(1.2e4, Origin::Assumed);
    assert!(says(&made, "8 12 000 assumed more than once a week 1600.0"));
}

#[test]
fn what_was_measured_is_listed_with_its_date() {
    use document::{CircuitId, LayoutId, PartId, Stage, Trial, TrialEntry, TrialKind};
    let mut made = tray();
    assert!(!says(&made, "Measured so far"));
    let entry = |what: TrialKind, value: f64, stage: Stage| TrialEntry {
        what,
        value,
        stage,
        on: "2026-03-05".to_owned(),
        by: "AD".to_owned(),
    };
    let level = |layout: u32| TrialKind::Level { layout: LayoutId(layout), cup: document::CupId(4) };
    let circuit = CircuitId(200);
    let friction =
        |part: u32| TrialKind::Friction { part: PartId(part), lip_material: "silicone".to_owned() };
    let entries = vec![
        entry(level(500), 58.0, Stage::Baseline),
        entry(level(501), 11.0, Stage::Baseline),
        entry(TrialKind::TimeToLevel { circuit, level_kpa: 55.0 }, 0.42, Stage::Field),
        entry(TrialKind::LeakDown { circuit, from_kpa: 60.0, over_s: 30.0 }, 7.5, Stage::Field),
        entry(friction(300), 0.31, Stage::Baseline),
        entry(friction(301), 0.99, Stage::Baseline),
    ];
    made.project.trial = std::sync::Arc::new(Trial { entries, curves: Vec::new() });
    assert!(says(&made, "Level at C4, part on 58.0 kPa commissioning 2026-03-05 AD"));
    assert!(says(&made, "Main: time to 55.0 kPa 0.42 s later"));
    assert!(says(&made, "Main: level lost from 60.0 kPa in 30.00 s 7.5 kPa later"));
    assert!(says(&made, "Friction of silicone on the part 0.31 commissioning"));
    assert!(!says(&made, "11.0 kPa") && !says(&made, "0.99"));
}

#[test]
fn a_reason_longer_than_a_page_goes_on_in_the_next_column() {
    let mut long = tray();
    let reason =
        "The pallet of the part fixes the position, and the line has run like that for years. ".repeat(120);
    long.report.findings[1].accepted = Some(reason);
    long.report.findings[0].says = "C8 gets 9 % less vacuum than C1, and this is said at length. ".repeat(90);
    for paper in [Paper::A4, Paper::A1] {
        let pages = pages(&long, paper, UnitChoice::default());
        check_texts(&pages, "a long reason");
        check_border(&pages, "a long reason");
        let words: Vec<&str> = pages.iter().flat_map(Page::texts).map(|text| text.text.as_str()).collect();
        assert_eq!(words.join(" ").matches("has run like that").count(), 120, "{paper:?}");
    }
}
