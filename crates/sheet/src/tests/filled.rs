//! How pages are filled: what stands on the first one, and that none is nearly empty or breaks a table with one row.

use super::demos::{Demo, demos};
use super::pages::extent;
use crate::page::{Item, Role};
use crate::{Page, Paper, Scale, SheetOptions, compose, frame};
use units::{LengthUnit, UnitChoice};

fn options() -> [SheetOptions; 3] {
    let inch = UnitChoice { length: LengthUnit::Inch, ..UnitChoice::default() };
    let on = |paper| SheetOptions { paper, ..SheetOptions::default() };
    [on(Paper::A3), on(Paper::A4), SheetOptions { units: inch, ..on(Paper::Letter) }]
}

fn each(mut check: impl FnMut(&Demo, &SheetOptions, &[Page])) {
    for demo in demos() {
        for options in &options() {
            check(demo, options, &compose(&demo.project, &demo.reports[0], options));
        }
    }
}

/// Groups of a page by their names, in order.
fn groups(page: &Page) -> Vec<(&str, &Item)> {
    fn named(item: &Item) -> Option<(&str, &Item)> {
        match item {
            Item::Group { name, .. } => Some((name.as_str(), item)),
            _ => None,
        }
    }
    page.items.iter().filter_map(named).collect()
}

/// Rows of a table, without its head, in a group.
fn rows(item: &Item) -> usize {
    match item {
        Item::Tagged { tag, items } if tag.role == Role::Row => {
            let head = |item: &Item| matches!(item, Item::Tagged { tag, .. } if tag.role == Role::Head);
            usize::from(!items.iter().any(head))
        }
        Item::Group { items, .. } | Item::Tagged { items, .. } => items.iter().map(rows).sum(),
        _ => 0,
    }
}

fn says(item: &Item, wanted: &str) -> bool {
    match item {
        Item::Text(text) => text.text == wanted,
        Item::Group { items, .. } | Item::Tagged { items, .. } => items.iter().any(|item| says(item, wanted)),
        _ => false,
    }
}

#[test]
fn no_page_between_the_first_and_the_last_is_under_a_third_full() {
    each(|demo, options, pages| {
        // Of a tool that carries several parts the pages of each begin anew.
        let of_part = |page: &Page| {
            let mut parts = demo.project.parts.iter().map(|part| part.name.as_str());
            parts.rfind(|name| page.name.ends_with(&format!(", {name}"))).map(str::to_owned)
        };
        for pair in pages.windows(2).skip(1) {
            let page = &pair[0];
            let least = if of_part(page) == of_part(&pair[1]) { 1.0 / 3.0 } else { 0.2 };
            let area = frame::area(page.size_mm);
            let mut lowest = area.max.y;
            for (name, item) in groups(page) {
                if !["frame", "title block", "stamp"].contains(&name) {
                    extent(std::slice::from_ref(item), &mut |_, min, _| lowest = lowest.min(min.y));
                }
            }
            let full = (area.max.y - lowest) / area.height();
            let what = format!("{} {} {}", demo.stem, options.paper.label(), page.name);
            assert!(full > least, "{what}: {full:.2}");
        }
    });
}

#[test]
fn no_table_is_broken_with_one_row() {
    each(|demo, options, pages| {
        let all: Vec<(&str, &Item)> = pages.iter().flat_map(groups).collect();
        for (index, (name, item)) in all.iter().enumerate() {
            let goes_on =
                all.get(index + 1).is_some_and(|(next, item)| next == name && says(item, "continued"));
            let broken = goes_on || says(item, "continued");
            let what = format!("{} {}: {name}", demo.stem, options.paper.label());
            assert!(!broken || rows(item) != 1, "{what}");
        }
    });
}

/// The largest scale of the list at which the part and the room round it fit beside the words; the hole table beside it on the
/// usual paper.
#[test]
fn the_first_page_has_a_large_plan_and_the_hole_table() {
    let (mut beside, mut all) = (0, 0);
    each(|demo, options, pages| {
        let scale = pages[0].texts().iter().find_map(|text| {
            let says = text.text.strip_prefix("Scale ")?;
            Some(says.split(',').next()?.to_owned())
        });
        let what = format!("{} {}: {scale:?}", demo.stem, options.paper.label());
        let part = demo.project.parts[0].outline.bounds().unwrap().size();
        // Half the page for the plan, less what dimensions take, is always there.
        let area = frame::area(pages[0].size_mm);
        let least = Scale::fitting(part.to_array(), [area.width() * 0.42, area.height() * 0.3]);
        let [paper, of]: [f64; 2] = scale
            .as_deref()
            .and_then(|scale| scale.split_once(':'))
            .map(|(paper, of)| [paper, of].map(|figure| figure.parse().unwrap()))
            .expect("a scale");
        assert!(paper / of >= least.ratio() - 1e-9, "{what}, {least}");
        all += 1;
        let several = demo.reports[0].family.is_some();
        beside += usize::from(several || groups(&pages[0]).iter().any(|(name, _)| *name == "cups"));
        // It stands once.
        let tables =
            pages.iter().flat_map(groups).filter(|(name, item)| *name == "cups" && !says(item, "continued"));
        assert_eq!(tables.count(), 1, "{what}");
    });
    // Where a plan takes all of a page, the table is on the next one.
    assert!(3 * beside >= 2 * all, "{beside} of {all} first pages have the hole table");
}
