//! The page for a browser: well-formed, of itself, and every figure that of the report.

use super::demos::demos;
use super::fixture_list::all;
use crate::context::Context;
use crate::{CAUTIONS, SheetOptions, is_html, to_html};
use analysis::{Report, Severity};
use document::Project;
use roxmltree::{Document, Node, ParsingOptions};
use units::{LengthUnit, Quantity, UnitChoice, show, show_given};

fn parsed(page: &str) -> Document<'_> {
    let options = ParsingOptions { allow_dtd: true, ..ParsingOptions::default() };
    Document::parse_with_options(page, options).unwrap_or_else(|error| panic!("{error}"))
}

fn by_id<'a>(document: &'a Document, id: &str) -> Option<Node<'a, 'a>> {
    document.descendants().find(|node| node.attribute("id") == Some(id))
}

fn text(node: Node) -> String {
    node.descendants().filter(Node::is_text).filter_map(|n| n.text()).collect()
}

/// Rows of the body, cell by cell.
fn rows(table: Node) -> Vec<Vec<String>> {
    let body = table.children().find(|node| node.has_tag_name("tbody")).unwrap();
    body.children()
        .filter(Node::is_element)
        .map(|row| row.children().filter(Node::is_element).map(text).collect())
        .collect()
}

fn heads(table: Node) -> Vec<String> {
    table
        .descendants()
        .filter(|n| n.has_tag_name("th") && n.attribute("scope") == Some("col"))
        .map(text)
        .collect()
}

/// Every demo and every fixture in both units.
fn each(check: impl Fn(&str, &Project, &Report, &SheetOptions, &str)) {
    let inch = UnitChoice { length: LengthUnit::Inch, decimal_comma: true, ..UnitChoice::default() };
    let check_in_both = |name: &str, project: &Project, report: &Report| {
        for units in [UnitChoice::default(), inch] {
            let options = SheetOptions { units, ..SheetOptions::default() };
            check(name, project, report, &options, &to_html(project, report, &options, &[]));
        }
    };
    let mut seen = 0;
    for demo in demos() {
        for report in &demo.reports {
            check_in_both(&demo.stem, &demo.project, report);
            seen += 1;
        }
    }
    for made in all() {
        check_in_both(made.name, &made.project, &made.report);
    }
    assert!(seen >= 10);
}

#[test]
fn the_page_is_well_formed_and_asks_for_nothing_from_elsewhere() {
    each(|name, _, _, _, page| {
        assert!(is_html(page));
        assert!(!page.contains("http://") && !page.contains("https://") && !page.contains("//cdn"), "{name}");
        let document = parsed(page);
        let mut ids = std::collections::HashSet::new();
        for node in document.descendants().filter(Node::is_element) {
            for attribute in node.attributes() {
                let (key, value) = (attribute.name(), attribute.value());
                assert!(!["src", "srcset", "action", "data", "background"].contains(&key), "{name}: {key}");
                assert!(key != "href" || value.starts_with('#'), "{name}: {value}");
                assert!(!key.starts_with("on"), "{name}: {key}");
                if value.starts_with("url(") {
                    assert!(value.starts_with("url(#"), "{name}: {value}");
                }
                if key == "id" {
                    assert!(ids.insert(value.to_owned()), "{name}: two elements are called {value}");
                }
            }
        }
        for link in document.descendants().filter_map(|node| node.attribute("href")) {
            assert!(ids.contains(link.trim_start_matches('#')), "{name}: {link} leads nowhere");
        }
        // Figures that are none; the script has a test for them by that name.
        let shown = page.split("<script>").next().unwrap();
        assert!(!page.contains("@import") && !shown.contains("NaN") && !shown.contains("inf<"), "{name}");
    });
}

#[test]
fn places_and_factors_are_those_of_the_report() {
    each(|name, _, report, options, page| {
        let document = parsed(page);
        if report.cups.is_empty() {
            assert!(by_id(&document, "holes").is_none());
            return;
        }
        let holes = by_id(&document, "holes").unwrap();
        let names = heads(holes);
        let column = |head: &str| names.iter().position(|n| n.starts_with(head)).unwrap();
        let (x, y) = (column("X"), column("Y"));
        let table = rows(holes);
        assert_eq!(table.len(), report.cups.len(), "{name}");
        for (cup, row) in report.cups.iter().zip(&table) {
            assert_eq!(row[0], telling::plain(cup.tag.trim()), "{name}");
            for (of, at) in [(x, cup.at.x), (y, cup.at.y)] {
                let shown = show_given((at * 1e6).round() / 1e6, Quantity::Length, &options.units).number;
                assert!(at.abs() >= 1e9 || row[of] == shown, "{name}: {} is not {shown}", row[of]);
            }
        }
        let motions: Vec<_> = report.motions.iter().filter(|m| m.outcome.is_ok()).collect();
        let Some(factors) = by_id(&document, "factors") else {
            assert!(motions.is_empty(), "{name}");
            return;
        };
        let low = |node: Node| node.attribute("class").is_some_and(|class| class.contains("fail"));
        let cells: Vec<Node> = factors.descendants().filter(|n| n.has_tag_name("td")).collect();
        assert_eq!(cells.len(), motions.len() * report.cups.len(), "{name}");
        for (index, cell) in cells.into_iter().enumerate() {
            let (cup, motion) = (index / motions.len(), motions[index % motions.len()]);
            let of = motion.outcome.as_ref().unwrap().cups.get(cup);
            let Some(of) = of.filter(|of| of.id == report.cups[cup].id) else { continue };
            assert_eq!(low(cell), of.factor.value < motion.required_factor, "{name}");
            let printed = text(cell).replace(',', ".").trim_start_matches("< ").to_owned();
            match printed.parse::<f64>() {
                Ok(shown) if shown.abs() < 1000.0 => {
                    assert!((shown - of.factor.value).abs() <= 0.00501, "{name}: {printed}");
                }
                Ok(_) => {}
                // From a thousand on figures are set in groups.
                Err(_) => assert!(of.factor.value >= 1000.0, "{name}: {printed}"),
            }
        }
        // What stands on the plan is what stands in the table.
        let shown = by_id(&document, "motion").unwrap();
        let shown = shown.descendants().find(|n| n.attribute("selected").is_some()).unwrap();
        let shown: usize = shown.attribute("value").unwrap().parse().unwrap();
        let table = rows(factors);
        for group in
            document.descendants().filter(|n| n.attribute("class").is_some_and(|c| c.starts_with("cup")))
        {
            let Some(cup) = group.attribute("data-cup") else { continue };
            let factor = group.children().find(|n| n.has_tag_name("text")).map(text);
            if let Some(factor) = factor {
                assert_eq!(factor, table[cup.parse::<usize>().unwrap()][shown + 1], "{name}");
            }
        }
    });
}

#[test]
fn verdict_findings_motions_and_cautions_are_said_in_full() {
    each(|name, project, report, options, page| {
        let document = parsed(page);
        let all = text(document.root_element());
        let says = |what: &str| {
            let what = telling::plain(what.trim()).into_owned();
            assert!(all.contains(&what), "{name}: the page does not say: {what}");
        };
        says(&report.verdict.sentence);
        for finding in report.findings.iter().filter(|f| f.severity != Severity::Ok) {
            says(&finding.says);
            if let Some(reason) = &finding.accepted {
                says(reason);
            }
            if finding.accepted.is_none() {
                says(analysis::words::severity(finding.severity));
            }
        }
        for motion in &report.motions {
            says(&motion.name);
        }
        CAUTIONS.iter().for_each(|caution| says(caution));
        says(&project.fingerprint());
        if let Some(part) = &report.part {
            says(&show(part.mass_kg, Quantity::Mass, &options.units).to_string());
        }
    });
}

#[test]
fn what_people_wrote_is_text_and_never_an_element() {
    const EVIL: &str = "</script><script>alert(1)</script><img src=x onerror='a'>&amp;\"'`\u{202e}]]>--><!--";
    let made = super::fixtures::tray();
    let (mut project, mut report) = (made.project, made.report);
    EVIL.clone_into(&mut project.name);
    for field in [&mut project.sheet.owner, &mut project.sheet.title, &mut project.sheet.number] {
        EVIL.clone_into(field);
    }
    for cup in &mut report.cups {
        cup.tag = format!("{}{EVIL}", cup.tag);
        EVIL.clone_into(&mut cup.model);
        EVIL.clone_into(&mut cup.zone);
    }
    for motion in &mut report.motions {
        EVIL.clone_into(&mut motion.name);
    }
    for finding in &mut report.findings {
        EVIL.clone_into(&mut finding.says);
        finding.accepted = Some(EVIL.to_owned());
    }
    EVIL.clone_into(&mut report.verdict.sentence);
    let page = to_html(&project, &report, &SheetOptions::default(), &["Layout A", "Six <cups>"]);
    assert!(page.contains("The comparison of layouts Layout A and Six &lt;cups&gt; is not on this page"));
    let document = parsed(&page);
    let count = |name: &str| document.descendants().filter(|n| n.has_tag_name(name)).count();
    assert_eq!((count("script"), count("img"), page.matches("<script").count()), (1, 0, 1));
    assert_eq!(page.matches("</script>").count(), 1);
    assert!(!page.contains('\u{202e}'));
    let title = document.descendants().find(|n| n.has_tag_name("h1")).map(text).unwrap();
    assert_eq!(title, EVIL.replace('\u{202e}', ""));
}

/// Nothing stands twice, and no part is left to the sheet on paper.
#[test]
fn a_tool_with_several_parts_has_plan_and_factors_of_each() {
    each(|name, _, report, options, page| {
        let document = parsed(page);
        let headings: Vec<String> = document
            .descendants()
            .filter(|n| n.has_tag_name("h2") || n.has_tag_name("h3"))
            .map(text)
            .collect();
        let count = |what: &str| headings.iter().filter(|h| *h == what).count();
        for once in ["Legend of the plan", "Revisions", "Before use"] {
            assert!(count(once) <= 1, "{name}: {once} stands {} times", count(once));
        }
        let mut ids: Vec<&str> = document.descendants().filter_map(|n| n.attribute("id")).collect();
        let all = ids.len();
        ids.sort_unstable();
        ids.dedup();
        assert_eq!(ids.len(), all, "{name}: an id stands twice");
        let Some(family) = &report.family else { return };
        let whole = text(document.root_element());
        for seat in &family.seats {
            let called = telling::plain(seat.name.trim());
            for of in ["Plan", "Factors"] {
                assert_eq!(count(&format!("{of}: {called}")), 1, "{name}: {headings:?}");
            }
            assert!(whole.contains(telling::plain(seat.report.verdict.sentence.trim()).as_ref()), "{name}");
            for motion in &seat.report.motions {
                let Ok(outcome) = &motion.outcome else { continue };
                let shown = Context {
                    project: &seat.project,
                    report: &seat.report,
                    units: &options.units,
                    identity: &telling::Identity::of(&seat.project, &[&seat.report]),
                    checklist: false,
                    on_tool: None,
                    plan: None,
                };
                let factor = shown.factor(outcome.factor, motion.required_factor);
                assert!(whole.contains(&factor), "{name}: {called}: {factor}");
            }
        }
    });
}
