//! What the sheet says of several parts on one tool besides the demos.

use super::{demos::demos, pages::check_texts};
use crate::{Page, SheetOptions, compose};
use analysis::Analyst;
use document::{Edit, Project, Seat, Stops};
use glam::DVec2;

/// The demo with its third part laid against three stops, and moved by hand afterwards.
fn laid(moved: DVec2) -> Project {
    let project = &demos().iter().find(|demo| demo.stem == "side-panels").unwrap().project;
    let layout = &project.layouts[0];
    let seat = layout.seats[2].clone();
    let part = project.part(seat.part).unwrap();
    let b = part.outline.bounds().unwrap();
    let edges = [DVec2::new(b.centre().x, b.min.y), DVec2::new(b.min.x, b.centre().y)];
    let at = [(311.25, 20.0), (520.0, 20.0), (240.0, 97.5)].map(DVec2::from);
    let seat = seat.by_stops(part, Stops { edges, at }).unwrap();
    let seat = Seat { at: seat.at + moved, ..seat };
    Edit::ChangeSeat { layout: layout.id, seat, what: String::new() }.apply(project).unwrap()
}
fn texts(project: &Project) -> Vec<String> {
    let report = Analyst::new().check(project, project.layouts[0].id);
    let pages = compose(project, &report, &SheetOptions::default());
    check_texts(&pages, "parts against stops");
    pages.iter().flat_map(Page::texts).map(|text| text.text.clone()).collect()
}

#[test]
fn stops_are_a_table_with_the_edges_that_they_touch() {
    let says = texts(&laid(DVec2::ZERO));
    let has = |text: &str| says.iter().any(|held| held == text);
    assert!(has("Stops"), "{says:?}");
    for figure in ["311.25", "97.5", "(0.0; 0.0) to (420.0; 0.0)", "(0.0; 240.0) to (0.0; 0.0)"] {
        assert!(has(figure), "{figure}: {says:?}");
    }
    let all = says.join(" ");
    assert!(!all.contains("does not lie against the stops marked"));
    // Moved by hand it no longer touches, and the table says so.
    let moved = texts(&laid(DVec2::new(3.0, 0.0))).join(" ");
    assert!(moved.contains("does not lie against the stops marked"), "{moved}");
    // Without stops there is no such table.
    let mut plain = demos().iter().find(|demo| demo.stem == "side-panels").unwrap().project.clone();
    let mut layout = document::Layout::clone(&plain.layouts[0]);
    layout.seats.iter_mut().for_each(|seat| seat.stops = None);
    plain.layouts[0] = std::sync::Arc::new(layout);
    assert!(!texts(&plain).iter().any(|held| held == "Stops"));
}

#[test]
fn signs_and_revisions_stand_once_where_the_plan_of_every_part_has_them() {
    let says = texts(&laid(DVec2::ZERO));
    let count = |heading: &str| says.iter().filter(|held| *held == heading).count();
    assert_eq!([count("Legend of the plan"), count("Revisions")], [3, 3]);
}

/// Later pages of each part look alike: factors of the left hand and of the right.
#[test]
fn every_page_about_one_part_says_which() {
    let demo = demos().iter().find(|demo| demo.stem == "side-panels").unwrap();
    for paper in [crate::Paper::A4, crate::Paper::A3] {
        let options = SheetOptions { paper, ..SheetOptions::default() };
        let pages = compose(&demo.project, &demo.reports[0], &options);
        check_texts(&pages, "pages of parts");
        let mut seen = 0;
        for page in &pages {
            let part = demo.project.parts.iter().find(|p| page.name.ends_with(&format!(", {}", p.name)));
            let Some(part) = part.filter(|_| !page.name.starts_with("Plan")) else { continue };
            seen += 1;
            let texts = page.texts();
            let says = texts.iter().map(|t| t.text.as_str()).collect::<Vec<_>>();
            assert!(says.contains(&part.name.as_str()), "{}: {says:?}", page.name);
        }
        assert!(seen >= 6, "{seen}");
        let factors = pages.iter().flat_map(Page::texts).filter(|t| t.text.starts_with("Factors: ")).count();
        assert_eq!(factors, 3);
    }
}
