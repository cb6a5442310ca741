//! What must hold for every layout on every paper.

use super::fixture_list::all;
use super::fixtures::{Fixture, tray};
use crate::compose::compose_as;
use crate::page::{Item, Page, Pen, Step, Text};
use crate::{Orientation, Paper, SheetOptions, frame, has_glyph, ink_bounds};
use glam::DVec2;
use std::sync::OnceLock;
use telling::Identity;
use units::{LengthUnit, UnitChoice};

/// What the sheet says of a fixture's content, with a mark that stays when the file format goes on.
fn identity(fixture: &Fixture) -> Identity {
    Identity { fingerprint: "7c1e-90af".to_owned(), ..Identity::of(&fixture.project, &[&fixture.report]) }
}

pub(crate) fn pages(fixture: &Fixture, paper: Paper, units: UnitChoice) -> Vec<Page> {
    let options = SheetOptions { paper, units, ..SheetOptions::default() };
    compose_as(&fixture.project, &fixture.report, &options, &identity(fixture))
}
fn inch() -> UnitChoice {
    UnitChoice { length: LengthUnit::Inch, ..UnitChoice::default() }
}
/// Every fixture on every paper, across and upright, in both units, mirrored on some; laid out once for all tests.
fn each(mut check: impl FnMut(&str, &SheetOptions, &[Page])) {
    static PAGES: OnceLock<Vec<(&str, SheetOptions, Vec<Page>)>> = OnceLock::new();
    let laid_out = PAGES.get_or_init(|| {
        let mut laid_out = Vec::new();
        for fixture in all() {
            for (index, paper) in Paper::ALL.into_iter().enumerate() {
                let upright = index % 2 == fixture.name.len() % 2;
                let both = [Paper::A4, Paper::A3].contains(&paper);
                for orientation in Orientation::ALL {
                    if !both && (orientation == Orientation::Portrait) != upright {
                        continue;
                    }
                    let mut options = SheetOptions { paper, orientation, ..SheetOptions::default() };
                    if paper == Paper::Letter || (both && upright) {
                        options.units = UnitChoice { decimal_comma: paper == Paper::A3, ..inch() };
                    }
                    options.mirrored = orientation == Orientation::Portrait;
                    options.checklist = upright;
                    let pages = compose_as(&fixture.project, &fixture.report, &options, &identity(&fixture));
                    laid_out.push((fixture.name, options, pages));
                }
            }
        }
        laid_out
    });
    for (name, options, pages) in laid_out {
        check(name, options, pages);
    }
}

/// No text lies on another.
pub(crate) fn check_texts(pages: &[Page], what: &str) {
    for page in pages {
        let boxes: Vec<(&Text, [DVec2; 2])> = page
            .texts()
            .into_iter()
            .filter_map(|text| ink_bounds(text).map(|bounds| (text, bounds)))
            .collect();
        let mut order: Vec<usize> = (0..boxes.len()).collect();
        order.sort_by(|a, b| boxes[*a].1[0].x.total_cmp(&boxes[*b].1[0].x));
        for (index, a) in order.iter().enumerate() {
            let (a, [a_min, a_max]) = &boxes[*a];
            for b in &order[index + 1..] {
                let (b, [b_min, b_max]) = &boxes[*b];
                if b_min.x > a_max.x {
                    break;
                }
                let apart = a_min.cmpgt(*b_max - 0.01).any() || b_min.cmpgt(*a_max - 0.01).any();
                assert!(apart, "{what}, {}: {:?} lies on {:?}", page.name, a.text, b.text);
            }
        }
    }
}

#[test]
fn no_text_lies_on_another() {
    each(|name, options, pages| check_texts(pages, &format!("{name} {options:?}")));
}

/// Corner points of everything drawn inside the border.
pub(crate) fn extent(items: &[Item], see: &mut dyn FnMut(&str, DVec2, DVec2)) {
    let around =
        |see: &mut dyn FnMut(&str, DVec2, DVec2), what: &str, points: &[DVec2], pen: Option<&Pen>| {
            let half = DVec2::splat(pen.map_or(0.0, |pen| pen.width / 2.0));
            for point in points {
                see(what, *point - half, *point + half);
            }
        };
    for item in items {
        match item {
            Item::Line { from, to, pen } => around(see, "line", &[*from, *to], Some(pen)),
            Item::Polyline { points, pen, .. } => around(see, "polyline", points, Some(pen)),
            Item::Path { contours, pen, .. } => {
                for contour in contours {
                    let ends = contour.steps.iter().filter_map(|step| match step {
                        Step::Line(to) => Some(*to),
                        Step::Arc { .. } => None,
                    });
                    let points: Vec<DVec2> = ends.chain([contour.from]).collect();
                    around(see, "path", &points, pen.as_ref());
                }
            }
            Item::Circle { centre, radius, pen, .. } => {
                around(see, "circle", &[*centre - *radius, *centre + *radius], pen.as_ref());
            }
            Item::Arc { centre, radius, pen, .. } => {
                around(see, "arc", &[*centre - *radius, *centre + *radius], Some(pen));
            }
            Item::Text(text) => {
                if let Some(bounds) = ink_bounds(text) {
                    around(see, &text.text, &bounds, None);
                }
            }
            Item::Group { clip: None, items, .. } | Item::Tagged { items, .. } => extent(items, see),
            // What a clip hides is not drawn; the clip itself lies inside the group that draws its edge.
            Item::Group { clip: Some(_), .. } | Item::Bookmark { .. } => {}
        }
    }
}

/// Nothing lies outside the border but what belongs there.
pub(crate) fn check_border(pages: &[Page], what: &str) {
    for page in pages {
        let area = frame::area(page.size_mm);
        for item in &page.items {
            if matches!(item, Item::Group { name, .. } if name == "frame") {
                continue;
            }
            let border = if matches!(item, Item::Group { name, .. } if name == "title block") {
                area.inset(-0.5)
            } else {
                area.inset(0.3)
            };
            extent(std::slice::from_ref(item), &mut |thing, min, max| {
                let inside = min.cmpge(border.min).all() && max.cmple(border.max).all();
                assert!(inside, "{what}, {}: {thing} at {min} {max}", page.name);
            });
        }
        let edge = frame::Rect::new(DVec2::ZERO, DVec2::from(page.size_mm)).inset(3.0);
        extent(&page.items, &mut |thing, min, max| {
            let inside = min.cmpge(edge.min).all() && max.cmple(edge.max).all();
            assert!(inside, "{what}, {}: {thing} leaves the paper at {min} {max}", page.name);
        });
    }
}

#[test]
fn nothing_lies_outside_the_border() {
    each(|name, options, pages| check_border(pages, &format!("{name} {options:?}")));
}

#[test]
fn every_character_has_a_glyph() {
    each(|name, options, pages| {
        for text in pages.iter().flat_map(Page::texts) {
            for c in text.text.chars() {
                assert!(has_glyph(c), "{name} {options:?}: {c:?} in {:?}", text.text);
            }
        }
    });
    for c in "0123456789.,-– ×°²³·µØ≥≤≠±→½¼¾…".chars() {
        assert!(has_glyph(c), "{c:?}");
    }
}

#[test]
fn no_word_promises_what_figures_cannot() {
    each(|name, options, pages| {
        for text in pages.iter().flat_map(Page::texts) {
            let says = text.text.to_lowercase();
            let number = says.split(|c: char| !c.is_alphanumeric()).all(|word| word != "nan");
            assert!(!says.contains("safe") && number, "{name} {options:?}: {says:?}");
        }
    });
}

#[test]
fn every_tag_stands_in_the_table_and_sheets_are_numbered() {
    let fixtures = all();
    each(|name, options, pages| {
        let fixture = fixtures.iter().find(|fixture| fixture.name == name).unwrap();
        for cup in &fixture.report.cups {
            let tag = crate::printable(&cup.tag);
            let whole = pages.iter().flat_map(Page::texts).any(|text| text.text == tag);
            assert!(whole, "{name} {options:?}: {tag} is missing");
        }
        for (index, page) in pages.iter().enumerate() {
            let number = format!("{} of {}", index + 1, pages.len());
            assert!(page.texts().iter().any(|text| text.text == number), "{name} {options:?}: {number}");
        }
    });
}

#[test]
fn chapters_follow_one_another_on_few_pages_and_on_fewer_of_a_large_paper() {
    let names = |paper: Paper| -> Vec<String> {
        pages(&tray(), paper, UnitChoice::default()).into_iter().map(|page| page.name).collect()
    };
    for (paper, most) in [(Paper::A4, 5), (Paper::A3, 3), (Paper::Tabloid, 3), (Paper::A1, 2)] {
        let names = names(paper);
        assert!(names[0] == "Plan" && names.len() <= most, "{paper:?}: {names:?}");
        let all = names[1..].join("; ");
        let at = |chapter: &str| all.find(chapter).unwrap_or_else(|| panic!("{paper:?}: no {chapter}"));
        assert!(at("Cups and parts list") < at("Factors"), "{all}");
        assert!(at("Factors") < at("Commissioning and maintenance"), "{all}");
    }
}

#[test]
fn the_first_page_carries_the_cautions_whole() {
    each(|name, options, pages| {
        let words: Vec<&str> = pages[0].texts().into_iter().map(|text| text.text.as_str()).collect();
        let all = words.join(" ");
        for caution in crate::CAUTIONS {
            assert!(all.contains(caution), "{name} {options:?}: {caution}");
        }
    });
}

#[test]
fn same_input_gives_the_same_pages() {
    let units = UnitChoice::default();
    assert_eq!(pages(&tray(), Paper::A3, units), pages(&tray(), Paper::A3, units));
}

#[test]
fn a_project_with_nothing_to_draw_still_makes_a_sheet() {
    let mut empty = tray();
    empty.report.cups.clear();
    empty.report.part = None;
    empty.report.balance = None;
    empty.report.motions.clear();
    empty.project.layouts.clear();
    let pages = pages(&empty, Paper::A4, UnitChoice::default());
    assert!(pages[0].texts().iter().any(|text| text.text.starts_with("Nothing to draw")));
}

#[test]
fn page_of_the_tray_is_as_committed() {
    let page = &pages(&tray(), Paper::A3, UnitChoice::default())[0];
    let now = page.describe();
    if std::env::var_os("CUPWRIGHT_WRITE_SNAPSHOT").is_some() {
        let path = concat!(env!("CARGO_MANIFEST_DIR"), "/src/tests/tray-a3.txt");
        std::fs::write(path, &now).unwrap();
        return;
    }
    let committed = include_str!("tray-a3.txt");
    for (number, (is, was)) in now.lines().zip(committed.lines()).enumerate() {
        assert_eq!(is, was, "line {}", number + 1);
    }
    assert_eq!(now.lines().count(), committed.lines().count());
}
