//! What must hold for every layout on every paper.

use super::fixtures::{Fixture, all, failing, tray};
use crate::compose::compose_marked;
use crate::page::{Item, Page, Pen, Step, Text};
use crate::{Orientation, Paper, SheetOptions, frame, has_glyph, ink_bounds};
use glam::DVec2;
use std::sync::OnceLock;
use units::{LengthUnit, UnitChoice};

const MARK: &str = "7c1e90af33b2d4";

pub(crate) fn pages(fixture: &Fixture, paper: Paper, units: UnitChoice) -> Vec<Page> {
    let options = SheetOptions { paper, units, ..SheetOptions::default() };
    compose_marked(&fixture.project, &fixture.report, &options, MARK)
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
                    let pages = compose_marked(&fixture.project, &fixture.report, &options, MARK);
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
fn extent(items: &[Item], see: &mut dyn FnMut(&str, DVec2, DVec2)) {
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
            Item::Group { clip: None, items, .. } => extent(items, see),
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
fn plots_stand_alone_as_pictures() {
    use crate::{Plot, export_plot, to_png, to_svg};
    let whole = super::fixtures::whole();
    let motion = |index: usize| Plot::Loads(whole.report.motions[index].id);
    for plot in [Plot::Envelope, motion(0), motion(1)] {
        let page = export_plot(&whole.project, &whole.report, plot, &UnitChoice::default()).unwrap();
        check_texts(std::slice::from_ref(&page), "plot");
        extent(&page.items, &mut |thing, min, max| {
            let inside = min.cmpge(DVec2::ONE).all() && max.cmple(DVec2::from(page.size_mm) - 1.0).all();
            assert!(inside, "{}: {thing} at {min} {max}", page.name);
        });
        assert!(to_svg(&page).contains(&format!("<title>{}</title>", page.name)));
        assert!(to_png(&page, 60.0).unwrap().starts_with(b"\x89PNG"));
    }
    let bare = tray();
    let units = UnitChoice::default();
    assert_eq!(export_plot(&bare.project, &bare.report, Plot::Envelope, &units), None);
    let unknown = Plot::Loads(document::MotionId(9999));
    assert_eq!(export_plot(&whole.project, &whole.report, unknown, &units), None);
}

#[test]
fn the_envelope_is_drawn_to_its_own_rings() {
    let whole = super::fixtures::whole();
    let units = UnitChoice::default();
    let page = crate::export_plot(&whole.project, &whole.report, crate::Plot::Envelope, &units).unwrap();
    let (mut rings, mut curve) = (Vec::new(), Vec::new());
    fn collect(items: &[Item], rings: &mut Vec<(DVec2, f64)>, curve: &mut Vec<DVec2>) {
        for item in items {
            match item {
                Item::Circle { centre, radius, fill: None, .. } => rings.push((*centre, *radius)),
                Item::Polyline { points, closed: true, .. } => curve.clone_from(points),
                Item::Group { items, .. } => collect(items, rings, curve),
                _ => {}
            }
        }
    }
    collect(&page.items, &mut rings, &mut curve);
    // Rings every 2 m/s², the outermost 10: that is what is written beside it.
    assert!(page.texts().iter().any(|text| text.text == "10 m/s²"), "no outermost ring of 10");
    let (centre, outermost) = *rings.iter().max_by(|a, b| a.1.total_cmp(&b.1)).unwrap();
    let points = &whole.report.envelope.as_ref().unwrap().points;
    assert_eq!(curve.len(), points.len());
    for (drawn, point) in curve.iter().zip(points) {
        let reach = (*drawn - centre).length() / outermost * 10.0;
        assert!((reach - point.acceleration).abs() < 1e-9, "{reach} for {}", point.acceleration);
        let turn = (*drawn - centre).to_angle().to_degrees().rem_euclid(360.0);
        assert!((turn - point.direction_deg).abs() < 1e-6);
    }
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
            assert!(!says.contains("safe") && !says.contains("nan"), "{name} {options:?}: {says:?}");
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
fn an_ordinary_layout_has_a_page_for_each_chapter_and_a_large_paper_fewer() {
    let names = |paper: Paper| -> Vec<String> {
        pages(&tray(), paper, UnitChoice::default()).into_iter().map(|page| page.name).collect()
    };
    let each = ["Plan", "Cups and parts list", "What it holds", "Commissioning and upkeep"];
    for paper in [Paper::A3, Paper::Tabloid] {
        assert_eq!(names(paper), each, "{paper:?}");
    }
    assert_eq!(names(Paper::A1).len(), 2, "{:?}", names(Paper::A1));
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
fn more_words_than_the_first_page_holds_follow_on_the_second() {
    let mut wordy = tray();
    wordy.report.verdict.sentence = "It holds, though there is much to say about it. ".repeat(120);
    let pages = pages(&wordy, Paper::A4, UnitChoice::default());
    check_texts(&pages, "wordy");
    check_border(&pages, "wordy");
    assert_eq!(pages[1].name, "Result, signs, cautions");
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
    assert!(!says(&old, "of an earlier plan"));
    old.report.depth = analysis::DepthState::Older;
    assert!(says(&old, "are of an earlier plan"));
    assert!(says(&tray(), "were not worked out for this sheet"));
}

#[test]
fn factor_range_and_limit_stand_side_by_side_with_what_they_mean() {
    let whole = super::fixtures::whole();
    assert!(says(&whole, "The difference is reserve, not to be counted on"));
    let page = &pages(&whole, Paper::A3, UnitChoice::default())[2];
    let on_line = |words: &[&str]| {
        let texts = page.texts();
        texts.iter().filter(|text| text.text == words[0]).any(|first| {
            words.iter().all(|word| texts.iter().any(|text| text.text == *word && text.at.y == first.at.y))
        })
    };
    // Factor 2.20, its range 0.8 to 1.18 times that, the limit 1.22 times it.
    assert!(on_line(&["Level lift", "2.00", "2.20", "1.76 to 2.60", "2.68", "C8 seal"]));
    assert!(on_line(&["Emergency stop", "no limit"]) && on_line(&["Swing about the axis", "none"]));
    assert!(on_line(&["Level carry", "as factor"]));
    assert!(says(&whole, "No limit factor for Swing about the axis: the solver stopped before it was sure"));
}

#[test]
fn the_flange_has_its_own_columns_when_it_is_stated() {
    let table = |fixture: &Fixture| -> Vec<String> {
        pages(fixture, Paper::A3, UnitChoice::default())[1].texts().iter().map(|t| t.text.clone()).collect()
    };
    let stated = table(&super::fixtures::whole());
    assert!(stated.contains(&"from the flange".to_owned()));
    // C1 at 70, 70 and the flange at 380, 200.
    assert!(stated.contains(&"−310.0".to_owned()) && stated.contains(&"−130.0".to_owned()));
    assert!(!table(&tray()).contains(&"from the flange".to_owned()));
    let far = super::fixtures::all().into_iter().find(|fixture| fixture.name == "Far datum").unwrap();
    // Its first cup at 10050, −4950 lies 50, 50 from the corner of the part.
    let far = table(&far);
    assert!(far.contains(&"from the datum".to_owned()) && far.contains(&"from the part's corner".to_owned()));
    assert!(far.contains(&"10050.0".to_owned()) && far.contains(&"50.0".to_owned()));
}

fn says(fixture: &Fixture, what: &str) -> bool {
    let pages = pages(fixture, Paper::A3, UnitChoice::default());
    let words: Vec<&str> = pages.iter().flat_map(Page::texts).map(|text| text.text.as_str()).collect();
    words.join(" ").contains(what)
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
    assert!(says(&unknown, "does not meet the required factor: On edge has no figure"));
    let mut seat = tray();
    seat.report.findings[0].severity = analysis::Severity::Fail;
    assert!(says(&seat, "does not meet every check: 1 finding fails"));
    let mut strange = tray();
    strange.report.motions[0].outcome.as_mut().unwrap().factor = f64::NAN;
    assert!(!says(&strange, " meets the required") && says(&strange, "does not meet"));
    let mut bare = tray();
    bare.report.cups.clear();
    assert!(says(&bare, "does not meet the required factor: no figure"));
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
