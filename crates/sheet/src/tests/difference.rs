//! Pages of what changed: ghosts where things were, every change, figure and finding.

use super::demos::{Demo, demos};
use super::pages::{check_border, check_texts};
use crate::{Dash, Item, Orientation, Page, Paper, SheetOptions, compose_difference};
use analysis::Analyst;

use document::{Cup, CupId, Edit, Project};
use glam::{DVec2, dvec2};
use std::sync::{Arc, OnceLock};
use telling::{CompareFigure, Difference};

struct Pair {
    demo: &'static Demo,
    new: Project,
    difference: Difference,
}

/// A demo and what somebody made of it: a cup moved, one turned, one gone, one new, a motion stricter.
fn pairs() -> &'static [Pair] {
    static PAIRS: OnceLock<Vec<Pair>> = OnceLock::new();
    PAIRS.get_or_init(|| {
        let wanted = ["moulded-tray", "glass-pane", "long-profile", "bracket-plate", "narrow-rail"];
        let of = |stem: &&str| demos().iter().find(|demo| demo.stem == **stem);
        wanted
            .iter()
            .filter_map(of)
            .map(|demo| {
                let mut new = demo.project.clone();
                let id = CupId(new.last_id + 1);
                new.last_id += 1;
                let layout = Arc::make_mut(&mut new.layouts[0]);
                let free = Cup { id, tag: "N1".to_owned(), ..layout.cups[0].clone() };
                layout.cups[0].at += dvec2(12.0, -5.0);
                layout.cups[1].turn_deg += 30.0;
                if layout.cups.len() > 3 {
                    layout.cups.remove(2);
                }
                layout.cups.push(Cup { at: free.at + dvec2(-60.0, 35.0), ..free });
                Arc::make_mut(&mut new.motions[0]).required_factor += 0.5;
                let difference = telling::difference(&mut Analyst::new(), &demo.project, &new);
                Pair { demo, new, difference }
            })
            .collect()
    })
}

fn pages(pair: &Pair, options: &SheetOptions) -> Vec<Page> {
    compose_difference(&pair.demo.project, &pair.new, &pair.difference, options)
}

fn words(pages: &[Page]) -> String {
    let words: Vec<&str> = pages.iter().flat_map(Page::texts).map(|text| text.text.as_str()).collect();
    words.join(" ")
}

/// What stands in groups of a name.
fn groups<'a>(items: &'a [Item], wanted: &str, into: &mut Vec<&'a [Item]>) {
    for item in items {
        match item {
            Item::Group { name, items, .. } => {
                if name == wanted {
                    into.push(items);
                }
                groups(items, wanted, into);
            }
            Item::Tagged { items, .. } => groups(items, wanted, into),
            _ => {}
        }
    }
}

#[test]
fn every_change_figure_finding_and_note_is_printed() {
    assert!(pairs().len() > 3);
    let mut marked = 0;
    for pair in pairs() {
        let pages = pages(pair, &SheetOptions::default());
        let says = words(&pages);
        let stem = &pair.demo.stem;
        assert!(says.contains(pair.difference.sentence.trim()), "{stem}: {}", pair.difference.sentence);
        assert!(!pair.difference.changes.is_empty() && !pair.difference.figures.is_empty());
        // A long sentence is wrapped in its cell; its beginning stands on one line.
        let start = |says: &str| says.split(' ').take(3).collect::<Vec<_>>().join(" ");
        for line in &pair.difference.changes {
            assert!(says.contains(&start(&line.says)), "{stem}: {}", line.says);
        }
        for note in &pair.difference.notes {
            assert!(says.contains(&start(note)), "{stem}: {note}");
        }
        for figure in &pair.difference.figures {
            for value in [&figure.from, &figure.to] {
                let written = match value {
                    CompareFigure::Number(value) | CompareFigure::Factor { factor: value, .. }
                        if value.is_finite() =>
                    {
                        units::show(*value, figure.quantity, &units::UnitChoice::default()).to_string()
                    }
                    CompareFigure::Number(_) | CompareFigure::Factor { .. } => continue,
                    CompareFigure::Words(says) | CompareFigure::Unknown(says) => start(says),
                };
                assert!(says.contains(&written), "{stem}: {written} of {}", figure.name);
            }
        }
        let found = &pair.difference.findings;
        for change in found.new.iter().chain(&found.gone).chain(&found.worse).chain(&found.better) {
            assert!(says.contains(&start(&change.latest().unwrap().says)), "{stem}: {change:?}");
        }
        marked += pages.iter().flat_map(Page::texts).filter(|text| text.text.starts_with("• ")).count();
        assert!(!says.to_lowercase().contains("safe"));
    }
    assert!(marked > 3, "{marked} figures are marked");
}

#[test]
fn ghosts_stand_where_the_cups_were_and_arrows_lead_to_where_they_are() {
    let pair = pairs().iter().find(|pair| pair.demo.stem == "moulded-tray").unwrap();
    let pages = pages(pair, &SheetOptions::default());
    let mut ghosts = Vec::new();
    groups(&pages[0].items, "as it was", &mut ghosts);
    assert_eq!(ghosts.len(), 1);
    let dashed = |item: &&Item| matches!(item, Item::Path { pen: Some(pen), .. } if pen.dash == Dash::Dashed);
    // Moved, turned and removed; the new one was nowhere.
    assert_eq!(ghosts[0].iter().filter(dashed).count(), 3);
    let lines: Vec<[DVec2; 2]> = ghosts[0]
        .iter()
        .filter_map(|item| match item {
            Item::Line { from, to, .. } => Some([*from, *to]),
            _ => None,
        })
        .collect();
    let [[from, to]] = lines[..] else { panic!("{} arrows", lines.len()) };
    let way = (to - from).normalize();
    assert!(way.distance(dvec2(12.0, -5.0).normalize()) < 1e-9, "{way}");
    let says = words(&pages[..1]);
    let removed = &pair.demo.project.layouts[0].cups[2].tag;
    for said in ["13.0 mm", "turned 30.0°", "new", &format!("{removed} removed")] {
        assert!(pages[0].texts().iter().any(|text| text.text == said), "{said:?} in {says}");
    }
}

#[test]
fn every_paper_has_it_in_order() {
    for (index, pair) in pairs().iter().enumerate() {
        for (number, paper) in Paper::ALL.into_iter().enumerate() {
            let orientation = Orientation::ALL[(index + number) % 2];
            let mut options = SheetOptions { paper, orientation, ..SheetOptions::default() };
            if number % 2 == index % 2 {
                options.units.length = units::LengthUnit::Inch;
            }
            let pages = pages(pair, &options);
            let what = format!("{} {} {}", pair.demo.stem, paper.label(), orientation.label());
            check_texts(&pages, &what);
            check_border(&pages, &what);
        }
    }
}

#[test]
fn what_is_the_same_says_so_without_a_plan() {
    let demo = &demos()[0];
    let difference = telling::difference(&mut Analyst::new(), &demo.project, &demo.project);
    let pages = compose_difference(&demo.project, &demo.project, &difference, &SheetOptions::default());
    assert_eq!(pages.len(), 1);
    let mut plans = Vec::new();
    groups(&pages[0].items, "plan", &mut plans);
    assert!(plans.is_empty() && words(&pages).contains("0 changes"));
    // Against what was issued: both are named.
    let [index, on, by, what, program] =
        ["B", "2026-03-03", "AD", "for the build", "cupwright 1"].map(str::to_owned);
    let issued = Edit::Issue { index, on, by, what, program }.apply(&demo.project).unwrap();
    let new = Edit::RenameProject("Another name".to_owned()).apply(&issued).unwrap();
    let old = &issued.issued[0].content;
    let difference = telling::difference(&mut Analyst::new(), old, &new);
    let pages = compose_difference(old, &new, &difference, &SheetOptions::default());
    let says = words(&pages);
    let marks = [old.fingerprint(), new.fingerprint()];
    assert!(says.contains(&format!("revision B, content {}", marks[0])), "{says}");
    assert!(says.contains(&format!("revision C, content {}", marks[1])), "{says}");
    assert!(pages[0].texts().iter().any(|text| text.text == "changed since revision B" && text.size > 4.0));
}

/// Writes the pages for a person to look at, in the folder that `CUPWRIGHT_SHEETS` names.
#[test]
fn pages_of_a_difference_can_be_looked_at() {
    let Some(folder) = std::env::var_os("CUPWRIGHT_SHEETS").map(std::path::PathBuf::from) else { return };
    for pair in pairs() {
        for (paper, orientation) in [(Paper::A3, Orientation::Landscape), (Paper::A4, Orientation::Portrait)]
        {
            let options = SheetOptions { paper, orientation, ..SheetOptions::default() };
            for (index, page) in pages(pair, &options).iter().enumerate() {
                let name = format!("difference-{}-{}-{}.png", pair.demo.stem, paper.label(), index + 1);
                std::fs::write(folder.join(name), crate::to_png(page, 110.0).unwrap()).unwrap();
            }
        }
    }
}
