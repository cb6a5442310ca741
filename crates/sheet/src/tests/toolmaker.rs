//! What a toolmaker drills and mounts by: tolerance, places of the frame, posts.

use super::demos::demos;
use super::fixtures::tray;
use crate::page::{Dash, Item, Pen, Tone};
use crate::{Page, Paper, SheetOptions, compose};
use document::Tolerances;
use units::{Quantity, UnitChoice, show_given};

fn words(pages: &[Page]) -> Vec<String> {
    pages.iter().flat_map(Page::texts).map(|text| text.text.clone()).collect()
}

#[test]
fn the_general_tolerance_is_printed_once_and_follows_unit_and_class() {
    let made = tray();
    let printed = |project: &document::Project, units: UnitChoice| -> Vec<String> {
        let pages = compose(project, &made.report, &SheetOptions { units, ..SheetOptions::default() });
        words(&pages).into_iter().filter(|says| says.contains("eneral tolerance")).collect()
    };
    let mm = UnitChoice::default();
    assert_eq!(printed(&made.project, mm), ["General tolerance of positions ±0.2 mm."]);
    assert_eq!(
        printed(&made.project, UnitChoice::inch_pound()),
        ["General tolerance of positions ±0.008 in."]
    );
    let mut project = made.project.clone();
    project.sheet.position_tolerance_mm = 0.05;
    assert_eq!(printed(&project, mm), ["General tolerance of positions ±0.05 mm."]);
    project.sheet.tolerances = Tolerances::Medium;
    assert_eq!(printed(&project, mm), ["General tolerances ISO 2768-m."]);
}

#[test]
fn every_piece_of_frame_is_located_and_posts_are_counted_by_height() {
    let mut pieces = 0;
    for demo in demos() {
        for (layout, report) in demo.project.layouts.iter().zip(&demo.reports) {
            let all = words(&compose(&demo.project, report, &SheetOptions::default()));
            let says = |what: &str| all.iter().any(|text| text == what);
            let length = |mm: f64| show_given(mm, Quantity::Length, &UnitChoice::default()).number;
            if !layout.tool.frame.is_empty() {
                assert!(says("Position of the frame"), "{}", demo.stem);
            }
            for piece in &layout.tool.frame {
                for figure in [piece.at.x, piece.at.y, piece.height_mm, piece.size().x] {
                    assert!(says(&length(figure)), "{}: {} has no {figure}", demo.stem, piece.name);
                }
                pieces += 1;
            }
        }
    }
    assert!(pieces > 3, "{pieces} pieces");
    // Two posts alike and one of its own, as the hole table has them.
    let mut made = tray();
    for (cup, height) in made.report.cups.iter_mut().zip([12.5, 12.5, 40.0]) {
        cup.height_mm = height;
    }
    let all = words(&compose(&made.project, &made.report, &SheetOptions::default()));
    let at = all.iter().position(|says| says == "Parts list: posts").expect("a list of posts");
    let tags: Vec<&str> = made.report.cups.iter().map(|cup| cup.tag.as_str()).collect();
    let two = format!("{} {}", tags[0], tags[1]);
    let rows = ["2", "12.5", two.as_str(), "1", "40.0", tags[2]];
    assert!(all[at..].windows(rows.len()).any(|found| found == rows), "{:?}", &all[at..at + 12]);
}

/// The first sign of the legend has a dashed line where any lip of the plan has one, and says so.
#[test]
fn the_legend_has_no_sign_that_the_plan_is_too_small_for() {
    fn dashed(item: &Item) -> bool {
        let thin = |pen: &Option<Pen>| pen.is_some_and(|p| p.dash == Dash::Dashed && p.tone == Tone::Ink);
        match item {
            Item::Circle { pen, .. } | Item::Path { pen, .. } => thin(pen),
            Item::Group { name, items, .. } => name != "key" && items.iter().any(dashed),
            Item::Tagged { items, .. } => items.iter().any(dashed),
            _ => false,
        }
    }
    let mut without = 0;
    for demo in demos() {
        for paper in [Paper::A4, Paper::A1] {
            let options = SheetOptions { paper, ..SheetOptions::default() };
            // Of a tool with several parts each has a plan and a legend of its own.
            let pages = compose(&demo.project, &demo.reports[0], &options);
            let Some(says) = words(&pages[..1]).into_iter().find(|says| says.starts_with("outer lip")) else {
                continue;
            };
            let shown = pages[0].items.iter().any(dashed);
            assert_eq!(says.contains("dashed"), shown, "{} {}: {says}", demo.stem, paper.label());
            without += usize::from(!shown);
        }
    }
    assert!(without > 0, "some plan is that small");
}
