//! The files: the same bytes each time, positions true to scale, text that can be found.

use super::fixture_list::all;
use super::fixtures::tray;
use super::pages::pages;
use crate::pdf::write;
use crate::{
    Anchor, Contour, Item, Page, Paper, SheetError, Text, Tone, Weight, ink_bounds, to_pdf, to_png, to_svg,
};
use glam::{DVec2, dvec2};
use units::UnitChoice;

const POINT: f64 = 25.4 / 72.0;

fn tray_pages() -> Vec<Page> {
    pages(&tray(), Paper::A3, UnitChoice::default())
}

/// Paths of an uncompressed content stream: for each, the line width and its points, in points from the lower left.
fn paths(content: &str) -> Vec<(f64, Vec<DVec2>)> {
    // Only whole-page transforms matter here: the writer flips y once per page.
    let mut flip = None;
    let mut width = 1.0;
    let mut stack: Vec<f64> = Vec::new();
    let mut points: Vec<DVec2> = Vec::new();
    let mut found = Vec::new();
    for word in content.split_ascii_whitespace() {
        if let Ok(number) = word.parse::<f64>() {
            stack.push(number);
            continue;
        }
        let last = |n: usize| stack.len().checked_sub(n).map(|from| dvec2(stack[from], stack[from + 1]));
        match word {
            "cm" if flip.is_none() => flip = Some((stack[stack.len() - 3], stack[stack.len() - 1])),
            "w" => width = *stack.last().unwrap(),
            "m" | "l" => points.extend(last(2)),
            "c" => points.extend(last(2)),
            "S" | "s" | "B" | "b" | "f" | "f*" | "B*" | "b*" | "n" => {
                let (scale, up) = flip.unwrap_or((1.0, 0.0));
                let placed = points.iter().map(|p| dvec2(p.x, p.y * scale + up)).collect();
                found.push((width, placed));
                points.clear();
            }
            _ => {}
        }
        stack.clear();
    }
    found
}

fn content_of(pdf: &[u8]) -> String {
    let text = String::from_utf8_lossy(pdf);
    let streams = text.split("stream\n").filter_map(|rest| rest.split("endstream").next());
    streams.filter(|stream| stream.contains(" re\n") || stream.contains(" l\n")).collect()
}

/// The tray at 1:5, read back: corners of the outline, its hole, every lip, the check bar. `x` tells which way X runs.
fn check_positions(pages: &[Page], sheet: usize, x: f64) {
    let pdf = write(&pages[sheet..=sheet], "Tray", false, None).unwrap();
    let paths = paths(&content_of(&pdf));
    // The outline is the one path with six corners and a full circle (the hole): 840 x 480 at 1:5.
    let (_, outline) = paths
        .iter()
        .find(|(width, points)| (width * POINT - 0.5).abs() < 1e-3 && points.len() == 6 + 1 + 4)
        .expect("outline of the tray");
    let corner = outline[0] * POINT;
    let on_part = |p: DVec2| (p * POINT - corner) * 5.0 * dvec2(x, 1.0);
    let expected = [(840.0, 0.0), (840.0, 240.0), (560.0, 240.0), (560.0, 480.0), (0.0, 480.0)];
    for (got, (x, y)) in outline[1..6].iter().zip(expected) {
        assert!((on_part(*got) - dvec2(x, y)).length() < 0.01, "{} is not {x}, {y}", on_part(*got));
    }
    for got in &outline[6..] {
        let reach = on_part(*got).distance(dvec2(330.0, 250.0));
        assert!((reach - 70.0).abs() < 0.02, "the hole's edge is {reach} from its centre");
    }
    // Every lip: a circle of 50 mm about its cup.
    for cup in &tray().report.cups {
        let found = paths.iter().any(|(_, points)| {
            points.len() == 5 && points.iter().all(|p| ((on_part(*p) - cup.at).length() - 25.0).abs() < 0.01)
        });
        assert!(found, "lip of {} is not where the project has it", cup.tag);
    }
    // The check bar: ten fields of 10 mm of paper beside each other.
    let fields: Vec<f64> = paths
        .iter()
        .filter(|(_, points)| points.len() == 4)
        .map(|(_, points)| (points[0] * POINT, points[2] * POINT))
        .filter(|(low, high)| ((*high - *low).abs() - dvec2(10.0, 1.3)).length() < 0.01)
        .map(|(low, high)| low.x.min(high.x))
        .collect();
    let span = fields.iter().copied().fold(f64::NEG_INFINITY, f64::max)
        - fields.iter().copied().fold(f64::INFINITY, f64::min);
    assert!(fields.len() >= 10 && (span - 90.0).abs() < 0.01, "{fields:?}");
}

#[test]
fn positions_in_the_pdf_are_true_to_scale() {
    for orientation in [crate::Orientation::Landscape, crate::Orientation::Portrait] {
        let options = crate::SheetOptions { orientation, mirrored: true, ..Default::default() };
        let pages = crate::compose(&tray().project, &tray().report, &options);
        assert!(
            pages[0].texts().iter().any(|text| text.text == "1:5"),
            "{orientation:?} is at another scale"
        );
        check_positions(&pages, 0, 1.0);
        check_positions(&pages, 1, -1.0);
    }
}

#[test]
fn same_pages_give_the_same_bytes() {
    for fixture in [0, 3] {
        let fixture = &all()[fixture];
        let made = pages(fixture, Paper::A3, UnitChoice::default());
        assert_eq!(to_pdf(&made, "one").unwrap(), to_pdf(&made, "one").unwrap());
        assert_eq!(to_svg(&made[0]), to_svg(&made[0]));
    }
    let pdf = to_pdf(&tray_pages(), "one").unwrap();
    let text = String::from_utf8_lossy(&pdf);
    assert!(!text.contains("CreationDate") && !text.contains("ModDate") && !text.contains("CreateDate"));
}

#[test]
fn the_pdf_names_its_document_and_embeds_subsets_only() {
    let pdf = write(&tray_pages(), "Tray blank: suction-cup layout", false, None).unwrap();
    let text = String::from_utf8_lossy(&pdf);
    assert!(text.contains("Tray blank: suction-cup layout"));
    assert!(
        text.contains("+SourceSans3-Regular") && text.contains("+SourceSans3-SemiBold"),
        "no subset font"
    );
    assert!(text.contains("/Outlines") && text.contains("(Cups and holes)"), "no bookmarks");
    assert!(text.contains("/ToUnicode"), "text cannot be selected");
    assert!(to_pdf(&tray_pages(), "").unwrap().len() < 250_000, "fonts are not subset");
}

#[test]
fn no_page_is_an_error_and_not_an_empty_file() {
    assert_eq!(to_pdf(&[], "nothing"), Err(SheetError::NoPage));
    let flat = Page { name: String::new(), size_mm: [0.0, 297.0], items: Vec::new() };
    assert!(matches!(to_pdf(std::slice::from_ref(&flat), ""), Err(SheetError::PageSize { .. })));
    assert!(matches!(to_png(&flat, 100.0), Err(SheetError::PageSize { .. })));
    assert!(matches!(to_png(&tray_pages()[0], 1.0e5), Err(SheetError::TooManyDots { .. })));
    assert!(matches!(to_png(&tray_pages()[0], f64::NAN), Err(SheetError::PageSize { .. })));
}

#[test]
fn the_svg_is_in_millimetres_with_words_and_arcs() {
    let svg = to_svg(&tray_pages()[0]);
    assert!(svg.contains("width=\"420mm\" height=\"297mm\" viewBox=\"0 0 420 297\""));
    for cup in &tray().report.cups {
        assert!(svg.contains(&format!(">{}</text>", cup.tag)), "{}", cup.tag);
    }
    assert!(svg.contains("A14 14 0 "), "the hole of radius 70 at 1:5 is not an arc");
    let open = svg.matches("<g ").count();
    assert_eq!(open, svg.matches("</g>").count());
    assert!(!svg.contains("NaN") && !svg.contains("inf"));
}

#[test]
fn what_a_person_typed_cannot_break_the_svg() {
    let mut odd = tray();
    odd.project.sheet.title = "a < b & \"c\" > d \u{1} ]]>".to_owned();
    let svg = to_svg(&pages(&odd, Paper::A3, UnitChoice::default())[0]);
    assert!(svg.contains("a &lt; b &amp; &quot;c&quot; &gt; d   ]]&gt;"));
    assert!(!svg.contains('\u{1}'));
}

#[test]
fn the_picture_shows_surfaces_clips_and_letters_where_they_are() {
    let square = |x: f64, tone: Tone| Item::Path {
        contours: vec![Contour::rectangle(dvec2(x, 10.0), dvec2(x + 10.0, 20.0))],
        pen: None,
        fill: Some(tone),
    };
    let clip = Some(vec![Contour::rectangle(dvec2(0.0, 0.0), dvec2(35.0, 40.0))]);
    let clipped = Item::Group { name: "clipped".to_owned(), clip, items: vec![square(30.0, Tone::Watch)] };
    let letter = Text {
        at: dvec2(60.0, 10.0),
        text: "H".to_owned(),
        size: 20.0,
        weight: Weight::SemiBold,
        tone: Tone::Ink,
        anchor: Anchor::Start,
        turn_deg: 0.0,
    };
    let [low, high] = ink_bounds(&letter).unwrap();
    let items = vec![square(10.0, Tone::Fail), clipped, Item::Text(letter)];
    let page = Page { name: String::new(), size_mm: [80.0, 40.0], items };
    let picture = tiny_skia::Pixmap::decode_png(&to_png(&page, 254.0).unwrap()).unwrap();
    assert_eq!((picture.width(), picture.height()), (800, 400));
    let at = |x: f64, y: f64| {
        let pixel = picture.pixel((x * 10.0) as u32, ((40.0 - y) * 10.0) as u32).unwrap();
        [pixel.red(), pixel.green(), pixel.blue()]
    };
    assert_eq!(at(15.0, 15.0), Tone::Fail.rgb());
    assert_eq!(at(9.5, 15.0), Tone::Paper.rgb());
    assert_eq!(at(15.0, 20.5), Tone::Paper.rgb());
    assert_eq!(at(32.0, 15.0), Tone::Watch.rgb());
    assert_eq!(at(37.0, 15.0), Tone::Paper.rgb());
    // Both stems of the H and the paper between them above its bar.
    let top = high.y - 1.0;
    assert_eq!(at(low.x + 0.8, top), Tone::Ink.rgb());
    assert_eq!(at(high.x - 0.8, top), Tone::Ink.rgb());
    assert_eq!(at((low.x + high.x) / 2.0, top), Tone::Paper.rgb());
}

#[test]
fn every_fixture_can_be_written() {
    for fixture in all() {
        let made = pages(&fixture, Paper::A4, UnitChoice::default());
        let pdf = to_pdf(&made, fixture.name).unwrap();
        assert!(pdf.starts_with(b"%PDF-") && pdf.trim_ascii_end().ends_with(b"%%EOF"));
        assert!(made.iter().map(to_svg).all(|svg| svg.ends_with("</svg>\n")));
    }
}

/// Writes every page of every fixture for a person to look at, in the folder that `CUPWRIGHT_SHEETS` names; the papers
/// are those of `CUPWRIGHT_PAPERS`, "A4 A3" unless told.
#[test]
fn pages_can_be_looked_at() {
    let Some(folder) = std::env::var_os("CUPWRIGHT_SHEETS").map(std::path::PathBuf::from) else { return };
    let papers = std::env::var("CUPWRIGHT_PAPERS").unwrap_or_else(|_| "A4 A3".to_owned());
    for fixture in all() {
        for paper in Paper::ALL.into_iter().filter(|paper| papers.contains(paper.label())) {
            for orientation in crate::Orientation::ALL {
                let options =
                    crate::SheetOptions { paper, orientation, mirrored: true, ..Default::default() };
                let made = crate::compose(&fixture.project, &fixture.report, &options);
                for (index, page) in made.iter().enumerate() {
                    let name = format!("{}-{paper:?}-{}-{}", fixture.name, orientation.label(), index + 1);
                    let path = folder.join(format!("{}.png", name.replace(' ', "-")));
                    std::fs::write(path, to_png(page, 100.0).unwrap()).unwrap();
                }
            }
        }
    }
}
