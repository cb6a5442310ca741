//! Drawings printed as PDF: read at the page's size, chosen by page and layer, and refused in a sentence.

use exchange::{ImportError, ImportOptions, Instead, read_drawing_bytes};
use geometry::{Loop, Outline, Segment};
use glam::DVec2;
use std::f64::consts::PI;
use std::fmt::Write as _;
use std::path::PathBuf;

/// Points in a millimetre.
const PT: f64 = 72.0 / 25.4;

/// One page of a test file.
#[derive(Default, Clone)]
struct TestPage {
    content: String,
    /// Further entries of the page's dictionary.
    more: String,
    /// Entries of its resources.
    resources: String,
}

/// A whole file with these pages, A3 across, and further objects from number 100 on.
fn pdf(pages: &[TestPage], others: &[(u32, String)]) -> Vec<u8> {
    let mut objects: Vec<(u32, String)> = vec![(1, "<< /Type /Catalog /Pages 2 0 R >>".to_owned())];
    let kids: Vec<String> = (0..pages.len()).map(|i| format!("{} 0 R", 10 + 2 * i)).collect();
    objects.push((2, format!("<< /Type /Pages /Count {} /Kids [{}] >>", pages.len(), kids.join(" "))));
    for (i, page) in pages.iter().enumerate() {
        let (at, content) = (10 + 2 * i as u32, &page.content);
        objects.push((
            at,
            format!(
                "<< /Type /Page /Parent 2 0 R /MediaBox [0 0 {} {}] /Contents {} 0 R /Resources << {} >> {} >>",
                420.0 * PT,
                297.0 * PT,
                at + 1,
                page.resources,
                page.more
            ),
        ));
        objects.push((at + 1, format!("<< /Length {} >>\nstream\n{content}\nendstream", content.len())));
    }
    objects.extend(others.iter().cloned());
    objects.sort_by_key(|o| o.0);
    let mut out = String::from("%PDF-1.7\n");
    let mut places = Vec::new();
    for (number, body) in &objects {
        places.push((*number, out.len()));
        let _ = write!(out, "{number} 0 obj\n{body}\nendobj\n");
    }
    let start = out.len();
    let size = objects.last().map_or(1, |o| o.0 + 1);
    let _ = writeln!(out, "xref\n0 1\n0000000000 65535 f ");
    for (number, at) in places {
        let _ = writeln!(out, "{number} 1\n{at:010} 00000 n ");
    }
    let _ = write!(out, "trailer << /Size {size} /Root 1 0 R >>\nstartxref\n{start}\n%%EOF\n");
    out.into_bytes()
}

fn page(content: impl Into<String>) -> TestPage {
    TestPage { content: content.into(), ..TestPage::default() }
}

/// A loop as path operators, mm times `scale` from `shift`.
fn drawn(boundary: &Loop, shift: DVec2, scale: f64) -> String {
    let at = |p: DVec2| {
        let p = (p * scale + shift) * PT;
        format!("{:.4} {:.4}", p.x, p.y)
    };
    let mut out = String::new();
    for (index, segment) in boundary.segments().enumerate() {
        if index == 0 {
            let _ = writeln!(out, "{} m", at(segment.start()));
        }
        match segment {
            Segment::Line { to, .. } => {
                let _ = writeln!(out, "{} l", at(to));
            }
            Segment::Arc { centre, radius, start, sweep } => {
                let pieces = (sweep.abs() / (PI / 8.0)).ceil().max(1.0);
                let step = sweep / pieces;
                let handle = 4.0 / 3.0 * (step / 4.0).tan() * radius;
                for i in 0..pieces as usize {
                    let [a, b] = [i as f64, i as f64 + 1.0].map(|k| DVec2::from_angle(start + step * k));
                    let _ = writeln!(
                        out,
                        "{} {} {} c",
                        at(centre + a * radius + a.perp() * handle),
                        at(centre + b * radius - b.perp() * handle),
                        at(centre + b * radius)
                    );
                }
            }
        }
    }
    out + "h S\n"
}

fn plate() -> Outline {
    let outer = Loop::rounded_rectangle(DVec2::ZERO, DVec2::new(240.0, 150.0), 12.0);
    Outline { outer, holes: vec![Loop::circle(DVec2::new(60.0, 70.0), 15.0)] }
}

fn all_of(outline: &Outline, shift: DVec2, scale: f64) -> String {
    outline.loops().map(|boundary| drawn(boundary, shift, scale)).collect()
}

fn area(outline: &Outline) -> f64 {
    geometry::section(outline).expect("a section").area
}

fn options() -> ImportOptions {
    ImportOptions::default()
}

#[test]
fn a_page_is_read_at_its_own_size_whatever_its_turn_and_unit() {
    let plate = plate();
    let content = all_of(&plate, DVec2::new(40.0, 50.0), 1.0);
    for (more, times) in [("", 1.0), ("/Rotate 90", 1.0), ("/Rotate 180", 1.0), ("/UserUnit 2.5", 2.5)] {
        let file = pdf(&[TestPage { more: more.to_owned(), ..page(content.clone()) }], &[]);
        let read = read_drawing_bytes("plate.pdf", &file, &options()).expect("a drawing");
        assert_eq!((read.parts.len(), read.parts[0].outline.holes.len()), (1, 1), "{more}");
        assert_eq!(read.unit_from, exchange::UnitFrom::File, "{more}");
        let (found, kept) = (area(&read.parts[0].outline), area(&plate) * times * times);
        assert!((found / kept - 1.0).abs() < 2e-6, "{more}: {found} {kept}");
        let bounds = read.parts[0].outline.bounds().expect("bounds").size() / times;
        let wanted = if more.ends_with("90") { DVec2::new(150.0, 240.0) } else { DVec2::new(240.0, 150.0) };
        assert!(bounds.distance(wanted) < 1e-3, "{more}: {bounds}");
    }
}

#[test]
fn the_outline_of_every_demo_comes_back_from_paper() {
    let folder = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("../../demo-projects");
    let mut seen = 0;
    for entry in std::fs::read_dir(folder).expect("a folder") {
        let path = entry.expect("an entry").path();
        if path.extension().is_none_or(|e| e != "ron") {
            continue;
        }
        let (project, _) = document::open(&path).expect("a project");
        let outline = &project.parts[0].outline;
        let bounds = outline.bounds().expect("bounds");
        let scale = (360.0 / bounds.size().x).min(240.0 / bounds.size().y).min(1.0);
        let shift = DVec2::new(20.0, 20.0) - bounds.min * scale;
        let file = pdf(&[page(all_of(outline, shift, scale))], &[]);
        let options = ImportOptions { scale: Some(1.0 / scale), ..options() };
        let read = read_drawing_bytes("demo.pdf", &file, &options).expect("a drawing");
        let part = &read.parts[0].outline;
        assert_eq!(part.holes.len(), outline.holes.len(), "{}", path.display());
        let off = (area(part) / area(outline) - 1.0).abs();
        assert!(off < 2e-5, "{}: {off}", path.display());
        seen += 1;
    }
    assert!(seen >= 5);
}

#[test]
fn pages_are_chosen_and_the_other_one_is_offered() {
    let small = Outline { outer: Loop::rectangle(DVec2::ZERO, DVec2::new(80.0, 50.0)), holes: Vec::new() };
    let at = DVec2::new(30.0, 30.0);
    let file = pdf(&[page(all_of(&plate(), at, 1.0)), page(all_of(&small, at, 1.0))], &[]);
    let first = read_drawing_bytes("two.pdf", &file, &options()).expect("a drawing");
    let choice = first.choices.iter().find(|c| c.instead == Instead::Page(2)).expect("the other page");
    assert_eq!(choice.instead.argument(), "--page 2");
    let mut second = options();
    choice.instead.apply(&mut second);
    let second = read_drawing_bytes("two.pdf", &file, &second).expect("a drawing");
    assert!((area(&second.parts[0].outline) - 4000.0).abs() < 0.1);
    assert!(second.choices.iter().any(|c| c.instead == Instead::Page(1)));
    let third = ImportOptions { page: 3, ..options() };
    let says = read_drawing_bytes("two.pdf", &file, &third).expect_err("no such page").to_string();
    assert!(says.contains("page 3 was asked for, and the PDF has 2 pages"), "{says}");
}

#[test]
fn layers_dashes_and_clips_are_told_apart() {
    let at = DVec2::new(30.0, 30.0);
    let inner = Loop::rectangle(DVec2::new(100.0, 30.0), DVec2::new(200.0, 120.0));
    let content = format!(
        "/OC /L1 BDC\n{}EMC\n/OC /L2 BDC\n{}EMC\n[4 2] 0 d\n{}",
        all_of(&plate(), at, 1.0),
        drawn(&inner, at, 1.0),
        drawn(&Loop::circle(DVec2::new(200.0, 100.0), 10.0), at, 1.0)
    );
    let resources = "/Properties << /L1 100 0 R /L2 101 0 R >>".to_owned();
    let layer = |name: &str| format!("<< /Type /OCG /Name ({name}) >>");
    let others = [(100, layer("Visible edges")), (101, layer("Dimensions"))];
    let file = pdf(&[TestPage { resources, ..page(content) }], &others);
    let read = read_drawing_bytes("layers.pdf", &file, &options()).expect("a drawing");
    let names: Vec<&str> = read.layers.iter().map(|l| l.0.as_str()).collect();
    assert!(names.contains(&"Visible edges") && names.contains(&"Dimensions"), "{names:?}");
    // Neither the dimensions' layer nor the dashed circle are edges of the part.
    assert_eq!(read.parts[0].outline.holes.len(), 1);
    assert!(read.diagnostics.iter().any(|d| d.what.to_string().contains("dashed")), "{:?}", read.diagnostics);
    let dashed = ImportOptions { keep_dashed: true, ..options() };
    let read = read_drawing_bytes("layers.pdf", &file, &dashed).expect("a drawing");
    assert_eq!(read.parts[0].outline.holes.len(), 2);
    // What lies outside a clip is not on the paper.
    let clip = format!("q {} {} {} {} re W n\n", 0, 0, 300.0 * PT, 200.0 * PT);
    let outside = Loop::rectangle(DVec2::new(300.0, 100.0), DVec2::new(350.0, 200.0));
    let content = format!("{clip}{}{}Q", all_of(&plate(), at, 1.0), drawn(&outside, at, 1.0));
    let read = read_drawing_bytes("clip.pdf", &pdf(&[page(content)], &[]), &options()).expect("a drawing");
    assert_eq!(read.parts.len(), 1);
    assert!(read.diagnostics.iter().any(|d| d.what.to_string().contains("outside what is shown")));
}

#[test]
fn the_scale_of_a_title_block_is_found_in_letters_that_are_not_in_the_file() {
    let at = DVec2::new(60.0, 80.0);
    let frame = Loop::rectangle(DVec2::new(10.0, 10.0), DVec2::new(410.0, 287.0));
    let text = format!("BT /F1 10 Tf {} {} Td (Scale 1:2) Tj ET\n", 330.0 * PT, 15.0 * PT);
    let content = format!("{}{}{text}", drawn(&frame, DVec2::ZERO, 1.0), all_of(&plate(), at, 1.0));
    let resources = "/Font << /F1 << /Type /Font /Subtype /Type1 /BaseFont /Helvetica >> >>".to_owned();
    let file = pdf(&[TestPage { resources, ..page(content) }], &[]);
    let read = read_drawing_bytes("scaled.pdf", &file, &options()).expect("a drawing");
    assert!((read.scale - 2.0).abs() < 1e-9, "{} {:?}", read.scale, read.choices);
    assert!((area(&read.parts[0].outline) / area(&plate()) - 4.0).abs() < 1e-3);
}

/// A figure in the letters of the usual font, mm.
fn figure(at: (f64, f64), says: &str) -> String {
    format!("BT /F1 12 Tf {} {} Td ({says}) Tj ET\n", at.0 * PT, at.1 * PT)
}

#[test]
fn dimensions_of_a_page_tell_the_scale_as_those_of_a_dxf_do() {
    // Drawn at 1:2, as the dimensions over and beside it say.
    let at = DVec2::new(60.0, 80.0);
    let line =
        |[x0, y0, x1, y1]: [f64; 4]| format!("{} {} m {} {} l S\n", x0 * PT, y0 * PT, x1 * PT, y1 * PT);
    let dimensions = line([60.0, 60.0, 300.0, 60.0])
        + &line([40.0, 80.0, 40.0, 145.0])
        + &line([40.0, 165.0, 40.0, 230.0]);
    let with = |wide: &str, high: &str| {
        let content = format!(
            "{}{dimensions}{}{}",
            all_of(&plate(), at, 1.0),
            figure((176.0, 61.5), wide),
            figure((36.0, 153.0), high)
        );
        let resources = "/Font << /F1 << /Type /Font /Subtype /Type1 /BaseFont /Helvetica >> >>".to_owned();
        let file = pdf(&[TestPage { resources, ..page(content) }], &[]);
        read_drawing_bytes("dimensioned.pdf", &file, &options()).expect("a drawing")
    };
    let read = with("480", "300");
    assert!((read.scale - 2.0).abs() < 1e-9, "{} {:?}", read.scale, read.choices);
    assert!(
        read.choices.iter().any(|choice| choice.doubtful && choice.says.to_string().contains("480")),
        "{:?}",
        read.choices
    );
    assert!(read.picture.texts.iter().any(|text| text.says == "480"), "for a person who measures");
    // Full size asks nothing.
    let read = with("240", "150");
    assert!((read.scale - 1.0).abs() < 1e-9 && read.choices.is_empty(), "{:?}", read.choices);
}

#[test]
fn a_scan_an_empty_page_and_rubbish_are_refused_in_a_sentence() {
    let image = "<< /Type /XObject /Subtype /Image /Width 2 /Height 2 /ColorSpace /DeviceGray /BitsPerComponent 8 \
                 /Length 4 >>\nstream\nabcd\nendstream";
    let resources = "/XObject << /I 100 0 R >>".to_owned();
    let content = format!("q {} 0 0 {} 0 0 cm /I Do Q", 420.0 * PT, 297.0 * PT);
    let scanned = || TestPage { resources: resources.clone(), ..page(content.clone()) };
    let scan = pdf(&[scanned()], &[(100, image.to_owned())]);
    let says =
        |bytes: &[u8]| read_drawing_bytes("x.pdf", bytes, &options()).expect_err("no drawing").to_string();
    assert!(says(&scan).contains("is a picture (a scan)"), "{}", says(&scan));
    assert!(says(&scan).contains("lay the page under the plan and trace it"), "{}", says(&scan));
    // Of several pages the next one is named, and told to whoever offers it.
    let both = pdf(&[scanned(), page("")], &[(100, image.to_owned())]);
    assert!(says(&both).contains("the PDF has 2 pages, the next one is page 2"), "{}", says(&both));
    let told = read_drawing_bytes("page.pdf", &both, &ImportOptions::default());
    let is_scan =
        |error: &ImportError| matches!(error, ImportError::NoLines { page: 1, pages: 2, picture: true, .. });
    assert!(told.as_ref().is_err_and(is_scan), "{told:?}");
    assert!(says(&pdf(&[page("")], &[])).contains("has no lines"));
    for bytes in [&b"%PDF-1.7\n"[..], b"%PDF-1.4\n1 0 obj\n<<", b"%PDF-\xff\xff\xff\xff stream x\x9c"] {
        assert!(says(bytes).ends_with(": x.pdf"), "{}", says(bytes));
    }
    // Cut anywhere, it is read or refused, never more.
    let whole = pdf(&[page(all_of(&plate(), DVec2::splat(20.0), 1.0))], &[]);
    for cut in (0..whole.len()).step_by(97) {
        let _ = read_drawing_bytes("cut.pdf", &whole[..cut], &options());
    }
}

#[test]
fn shapes_that_draw_one_another_without_end_are_ended() {
    // Each form draws the next eight times: 8^12 lines.
    let forms: Vec<(u32, String)> = (0..12)
        .map(|i| {
            let content = if i == 11 { "0 0 m 10 10 l S".to_owned() } else { "/N Do ".repeat(8) };
            let next = format!("/XObject << /N {} 0 R >>", 101 + i);
            let body = format!(
                "<< /Type /XObject /Subtype /Form /BBox [0 0 900 900] /Resources << {next} >> /Length {} >>\nstream\n{content}\nendstream",
                content.len()
            );
            (100 + i, body)
        })
        .collect();
    let first = TestPage { resources: "/XObject << /N 100 0 R >>".to_owned(), ..page("/N Do") };
    let says = read_drawing_bytes("many.pdf", &pdf(std::slice::from_ref(&first), &forms), &options());
    let says = says.expect_err("too many").to_string();
    assert!(says.contains("too many entities"), "{says}");
    // One that draws itself.
    let own = "<< /Type /XObject /Subtype /Form /BBox [0 0 9 9] /Resources << /XObject << /N 100 0 R >> >> /Length 5 >>\nstream\n/N Do\nendstream";
    let says = read_drawing_bytes("own.pdf", &pdf(&[first], &[(100, own.to_owned())]), &options());
    assert!(says.expect_err("nothing drawn").to_string().contains("has no lines"));
}
