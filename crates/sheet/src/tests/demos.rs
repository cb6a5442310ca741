//! The finished projects that come with the program, through the engines to every page.

use super::pages::{check_border, check_texts};
use crate::{
    Orientation, Page, Paper, SheetOptions, compose, compose_comparison, has_glyph, to_html, to_pdf,
};
use analysis::{Analyst, Report};

use document::{LayoutId, Project};
use std::path::PathBuf;
use std::sync::{Arc, OnceLock};
use telling::Comparison;

pub(crate) struct Demo {
    pub stem: String,
    pub project: Project,
    /// One for each layout, everything worked out.
    pub reports: Vec<Arc<Report>>,
    /// Of all layouts, and of the first two where there are more.
    pub comparisons: Vec<Comparison>,
}

/// Every demo, worked out once for all tests.
pub(crate) fn demos() -> &'static [Demo] {
    static DEMOS: OnceLock<Vec<Demo>> = OnceLock::new();
    DEMOS.get_or_init(|| {
        let folder = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("../../demo-projects");
        let mut paths: Vec<PathBuf> =
            std::fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().path()).collect();
        paths.retain(|path| path.extension().is_some_and(|extension| extension == "ron"));
        paths.sort();
        assert!(paths.len() >= 5, "only {} demo projects", paths.len());
        paths
            .iter()
            .map(|path| {
                let (project, _) = document::open(path).unwrap();
                let mut analyst = Analyst::new();
                let ids: Vec<LayoutId> = project.layouts.iter().map(|layout| layout.id).collect();
                let reports = ids.iter().map(|id| analyst.check_whole(&project, *id)).collect();
                let all = (ids.len() > 1).then_some(&ids[..]);
                let two = (ids.len() > 2).then(|| &ids[..2]);
                let compared = all.into_iter().chain(two);
                let comparisons = compared.map(|ids| telling::compare(&mut analyst, &project, ids)).collect();
                let stem = path.file_stem().unwrap().to_string_lossy().into_owned();
                Demo { stem, project, reports, comparisons }
            })
            .collect()
    })
}

impl Demo {
    /// The sheet of every layout, then the comparison where there is one, each with a name.
    pub fn sets(&self, options: &SheetOptions) -> Vec<(String, Vec<Page>)> {
        let mut sets: Vec<(String, Vec<Page>)> = self
            .reports
            .iter()
            .enumerate()
            .map(|(index, report)| {
                (format!("{}-{}", self.stem, index + 1), compose(&self.project, report, options))
            })
            .collect();
        for comparison in &self.comparisons {
            let reports: Vec<&Report> = self.reports.iter().map(AsRef::as_ref).collect();
            let pages = compose_comparison(&self.project, comparison, &reports, options);
            sets.push((format!("{}-compared-{}", self.stem, comparison.layouts.len()), pages));
        }
        sets
    }
}

#[test]
fn every_page_of_every_demo_is_in_order_on_every_paper() {
    for demo in demos() {
        for paper in Paper::ALL {
            for orientation in Orientation::ALL {
                let options = SheetOptions { paper, orientation, ..SheetOptions::default() };
                for (name, pages) in demo.sets(&options) {
                    let what = format!("{name} {} {}", paper.label(), orientation.label());
                    check_texts(&pages, &what);
                    check_border(&pages, &what);
                    assert!(!pages.is_empty(), "{what}");
                    for svg in pages.iter().map(crate::to_svg) {
                        assert!(!svg.contains("NaN") && !svg.contains("inf\""), "{what}");
                    }
                    let mut letters = pages.iter().flat_map(Page::texts).flat_map(|text| text.text.chars());
                    assert!(letters.all(|letter| has_glyph(letter) && letter != '?'), "{what}");
                }
            }
        }
    }
}

/// The comparison prints what was compared: every figure's name, the sentence, the notes, each plan at one scale.
#[test]
fn comparisons_print_every_row_and_note_with_the_better_one_named() {
    let mut seen = 0;
    for demo in demos() {
        for comparison in &demo.comparisons {
            seen += 1;
            let reports: Vec<&Report> = demo.reports.iter().map(AsRef::as_ref).collect();
            let pages = compose_comparison(&demo.project, comparison, &reports, &SheetOptions::default());
            let texts: Vec<&crate::Text> = pages.iter().flat_map(Page::texts).collect();
            let all: Vec<&str> = texts.iter().map(|text| text.text.as_str()).collect();
            let joined = all.join(" ");
            assert!(joined.contains(comparison.sentence().trim()), "{}", comparison.sentence());
            for note in &comparison.notes {
                assert!(joined.contains(note.trim()), "{note}");
            }
            for row in &comparison.rows {
                assert!(joined.contains(units::capital(&row.name).split(' ').next().unwrap()));
            }
            let marked = all.iter().filter(|text| text.starts_with('•')).count();
            let better = comparison.rows.iter().filter(|row| row.better.is_some()).count();
            // One mark a row, and one in the note.
            assert_eq!(marked, better + 1, "{}", demo.stem);
            let scales: Vec<&&str> = all.iter().filter(|text| text.starts_with("Scale ")).collect();
            assert_eq!(scales.len(), comparison.layouts.len());
            assert!(scales.windows(2).all(|pair| pair[0] == pair[1]), "{scales:?}");
        }
    }
    assert!(seen >= 2, "no demo compares layouts");
}

#[test]
fn pages_are_counted_through_the_sheet_and_its_comparison() {
    let demo = demos().iter().find(|demo| !demo.comparisons.is_empty()).unwrap();
    let reports: Vec<&Report> = demo.reports.iter().map(AsRef::as_ref).collect();
    let options = SheetOptions::default();
    let pages = crate::compose_with_comparison(
        &demo.project,
        &demo.reports[0],
        &demo.comparisons[0],
        &reports,
        &options,
    );
    for (index, page) in pages.iter().enumerate() {
        let number = format!("{} of {}", index + 1, pages.len());
        assert!(page.texts().iter().any(|text| text.text == number), "{}: {number}", page.name);
    }
    assert!(
        pages.iter().any(|page| page.name == "Plan") && pages.iter().any(|page| page.name == "Comparison")
    );
}

#[test]
fn every_tag_of_every_demo_is_on_the_plan_and_in_the_table() {
    for demo in demos() {
        for report in &demo.reports {
            let pages = compose(&demo.project, report, &SheetOptions::default());
            for cup in &report.cups {
                // On the plan and in the hole table, which stands beside it or on the next page.
                let on = |page: &Page| page.texts().iter().filter(|text| text.text == cup.tag).count();
                assert!(on(&pages[0]) > 0 && on(&pages[0]) + on(&pages[1]) > 1, "{} {}", demo.stem, cup.tag);
            }
        }
    }
}

/// Writes every page for a person to look at, as PDF and for a browser, in the folder that `CUPWRIGHT_SHEETS` names: on two papers in millimetres, and on
/// three more in inches with the reviewer's questions.
#[test]
fn demo_pages_can_be_looked_at() {
    let Some(folder) = std::env::var_os("CUPWRIGHT_SHEETS").map(PathBuf::from) else { return };
    let inch = units::UnitChoice { length: units::LengthUnit::Inch, ..units::UnitChoice::default() };
    let (across, upright) = (Orientation::Landscape, Orientation::Portrait);
    let with = |paper, orientation| SheetOptions { paper, orientation, ..SheetOptions::default() };
    let more = |paper, orientation| SheetOptions {
        units: inch,
        checklist: true,
        mirrored: true,
        ..with(paper, orientation)
    };
    let all = [
        with(Paper::A3, across),
        with(Paper::A4, upright),
        more(Paper::A4, across),
        more(Paper::Letter, upright),
        more(Paper::A1, across),
    ];
    for demo in demos() {
        let html = to_html(&demo.project, &demo.reports[0], &SheetOptions::default(), &[]);
        std::fs::write(folder.join(format!("demo-{}.html", demo.stem)), html).unwrap();
        for options in &all {
            let paper = format!("{}-{}", options.paper.label(), options.orientation.label());
            for (name, pages) in demo.sets(options) {
                let pdf = to_pdf(&pages, &demo.project.name).unwrap();
                std::fs::write(folder.join(format!("demo-{name}-{paper}.pdf")), pdf).unwrap();
            }
        }
    }
}
