//! Files that cannot be read end in one clear sentence; bad entities in a diagnostic.

use exchange::{DiagnosticSeverity, Drawing, ImportError, ImportOptions, read_drawing, read_drawing_bytes};

fn dxf(entities: &str) -> String {
    format!("0\nSECTION\n2\nENTITIES\n{entities}0\nENDSEC\n0\nEOF\n")
}

fn line(a: (f64, f64), b: (f64, f64)) -> String {
    format!("0\nLINE\n5\n1F\n8\nCUT\n10\n{}\n20\n{}\n11\n{}\n21\n{}\n", a.0, a.1, b.0, b.1)
}

fn square(size: f64) -> String {
    let c = [(0.0, 0.0), (size, 0.0), (size, size), (0.0, size)];
    (0..4).map(|i| line(c[i], c[(i + 1) % 4])).collect()
}

fn read(text: &str) -> Result<Drawing, ImportError> {
    read_drawing_bytes("a.dxf", text.as_bytes(), &ImportOptions::default())
}

fn refused(bytes: &[u8]) -> String {
    read_drawing_bytes("a.dxf", bytes, &ImportOptions::default()).expect_err("should be refused").to_string()
}

fn note<'a>(drawing: &'a Drawing, words: &str) -> &'a exchange::Diagnostic {
    drawing
        .diagnostics
        .iter()
        .find(|d| d.what.to_string().contains(words))
        .unwrap_or_else(|| panic!("{:?}", drawing.diagnostics))
}

#[test]
fn what_is_no_drawing_is_said_in_one_sentence() {
    let expected: [(&[u8], &str); 7] = [
        (b"", "not a drawing: the file is empty"),
        (
            b"hello\nworld\n",
            "not a drawing: it is named like a DXF file, but does not begin with a group code",
        ),
        (b"%PDF-1.7", "the drawing is damaged: no page of the PDF can be found"),
        (b"AC1027\0\0", "not a drawing: it is a DWG file"),
        (b"PK\x03\x04", "not a drawing: it is an archive"),
        (b"<html></html>", "not a drawing: it is a marked-up text without an svg element"),
        (b"0\nHELLO\n0\nEOF\n", "not a drawing: it has group codes like a DXF file, but no section"),
    ];
    for (bytes, says) in expected {
        let found = refused(bytes);
        assert!(found.starts_with(says) && found.ends_with(": a.dxf"), "{found}");
    }
}

#[test]
fn binary_file_spoilt_by_a_transfer_in_text_mode_says_so() {
    let says = refused(b"AutoCAD Binary DXF\n\x1a\0\0SECTION\0\x02ENTITIES\0");
    assert_eq!(
        says,
        "the drawing is damaged: it is a binary DXF file whose line ends were changed, as a transfer in text \
        mode does, and its figures with them; export it again: a.dxf"
    );
}

#[test]
fn directory_and_missing_file() {
    let folder = tempfile::tempdir().expect("a folder");
    let says = read_drawing(folder.path(), &ImportOptions::default()).expect_err("a directory").to_string();
    assert!(
        says.starts_with("this is a directory, not a drawing; name a DXF, SVG or PDF file in it: "),
        "{says}"
    );
    let says = read_drawing(&folder.path().join("x.dxf"), &ImportOptions::default())
        .expect_err("missing")
        .to_string();
    assert!(says.starts_with("could not read the drawing: ") && says.ends_with("x.dxf"), "{says}");
}

#[test]
fn huge_file_is_refused_before_it_is_read() {
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("huge.dxf");
    // A sparse file: its size is stated, its bytes are not there.
    std::fs::File::create(&path).and_then(|f| f.set_len(300_000_000)).expect("a sparse file");
    let says = read_drawing(&path, &ImportOptions::default()).expect_err("too large").to_string();
    assert!(says.starts_with("the drawing is too large: 300 MB, at most 256 MB are read"), "{says}");
}

#[test]
fn truncated_file_says_where() {
    let whole = dxf(&square(100.0));
    let cut = &whole[..whole.find("21\n0\n").expect("a coordinate") + 3];
    let says = refused(cut.as_bytes());
    assert_eq!(
        says,
        "the drawing is cut off: it ends after the group code on line 17; copy or export it again: a.dxf"
    );
    let says = refused(&whole.as_bytes()[..whole.rfind("0\nENDSEC").expect("an end")]);
    assert!(
        says.starts_with("the drawing is cut off: it ends in the middle of a LINE that starts at line"),
        "{says}"
    );
}

#[test]
fn a_bad_figure_costs_its_entity_and_no_more() {
    let bad = line((0.0, 0.0), (50.0, 50.0)).replace("50\n21", "nan\n21");
    let text = dxf(&(bad + &square(100.0) + &line((1.0, 1.0), (2.0, 2.0)).replace("\n2\n", "\n1.#QNAN\n")));
    let drawing = read(&text).expect("the square");
    assert_eq!(drawing.parts.len(), 1);
    let d = note(&drawing, "LINE left out: group code 11 reads \"nan\", which is not a usable number");
    assert_eq!((d.severity, d.count), (DiagnosticSeverity::Skipped, 1));
    assert_eq!(d.place.to_string(), "LINE on layer CUT, handle 1F, line 5");
    note(&drawing, "1.#QNAN");
}

/// Which vertex a bulge belongs to cannot be told when none has begun: the polyline is left out, not guessed.
#[test]
fn a_bulge_before_the_first_vertex_costs_its_polyline() {
    let polyline = "0\nLWPOLYLINE\n8\nCUT\n70\n1\n42\n0.5\n10\n20\n20\n20\n10\n40\n20\n20\n10\n40\n20\n40\n";
    let drawing = read(&dxf(&(polyline.to_owned() + &square(100.0)))).expect("the square");
    assert_eq!((drawing.parts.len(), drawing.parts[0].outline.holes.len()), (1, 0));
    let d = note(&drawing, "LWPOLYLINE left out: it has values of a vertex before its first vertex");
    assert_eq!((d.severity, d.count), (DiagnosticSeverity::Skipped, 1));
    let drawing = read(&dxf(&(polyline.replace("42\n0.5\n", "") + &square(100.0)))).expect("both");
    assert_eq!(drawing.parts[0].outline.holes.len(), 1);
}

#[test]
fn nothing_closed_names_the_open_ends() {
    let says =
        refused(dxf(&(line((0.0, 0.0), (100.0, 0.0)) + &line((100.0, 0.0), (100.0, 50.0)))).as_bytes());
    assert_eq!(
        says,
        "no closed outline found: 2 curves were read and none close (open ends at (0, 0) mm and (100, 50) mm). Draw the \
         missing lines or raise the gap of 0.05 mm: a.dxf"
    );
    assert!(
        refused(dxf("").as_bytes()).starts_with("no closed outline found: no lines, arcs or curves to read")
    );
}

#[test]
fn nothing_closed_names_the_lines_that_could_not_be_read() {
    let sides = square(100.0).replacen("\n100\n", "\nnan\n", 1);
    let open = line((0.0, 0.0), (100.0, 0.0)) + &line((100.0, 0.0), (100.0, 100.0));
    let bad = line((100.0, 100.0), (0.0, 7.0)).replace("\n7\n", "\nnan\n");
    let other = line((0.0, 7.0), (0.0, 0.0)).replace("\n7\n", "\nnan\n");
    let says = refused(dxf(&(open + &bad + &other)).as_bytes());
    assert!(says.contains("2 curves were read and none close (open ends at"), "{says}");
    assert!(says.contains("Not read: LINE left out: group code 21 reads \"nan\", which is not a usable number; LINE left out: group code 20 reads \"nan\""), "{says}");
    // The outline itself is the one that cannot be read.
    assert!(refused(dxf(&sides).as_bytes()).contains("\"nan\""));
}

fn block(name: &str, inserts: &str) -> String {
    format!("0\nBLOCK\n8\n0\n2\n{name}\n70\n0\n10\n0\n20\n0\n{inserts}0\nENDBLK\n")
}

fn insert(name: &str, extra: &str) -> String {
    format!("0\nINSERT\n8\n0\n2\n{name}\n10\n0\n20\n0\n{extra}")
}

fn with_blocks(blocks: &str, entities: &str) -> String {
    format!("0\nSECTION\n2\nBLOCKS\n{blocks}0\nENDSEC\n{}", dxf(entities))
}

#[test]
fn blocks_that_contain_themselves_are_named() {
    let blocks = block("A", &insert("B", "")) + &block("B", &insert("a", ""));
    let says = refused(with_blocks(&blocks, &insert("A", "")).as_bytes());
    assert!(says.starts_with("block A contains itself; explode or purge it"), "{says}");
}

#[test]
fn blocks_nested_too_deep_are_refused() {
    let blocks: String =
        (0..40).map(|i| block(&format!("B{i}"), &insert(&format!("B{}", i + 1), ""))).collect();
    let says = refused(with_blocks(&blocks, &insert("B0", "")).as_bytes());
    assert!(says.contains("more than 32 blocks deep"), "{says}");
}

#[test]
fn blocks_that_multiply_are_refused_before_they_are_expanded() {
    let rows = "70\n1000\n71\n1000\n44\n1\n45\n1\n";
    let mut blocks = block("B0", &square(1.0));
    for i in 1..=8 {
        blocks += &block(&format!("B{i}"), &insert(&format!("B{}", i - 1), rows));
    }
    let says = refused(with_blocks(&blocks, &insert("B8", rows)).as_bytes());
    assert!(says.starts_with("the drawing has too many entities: more than can be counted"), "{says}");
    // Empty blocks multiply as well.
    let blocks = block("E", "") + &block("F", &insert("E", "70\n32000\n71\n32000\n"));
    assert!(refused(with_blocks(&blocks, &insert("F", "")).as_bytes()).contains("too many entities"));
}

#[test]
fn missing_block_is_a_diagnostic() {
    let drawing = read(&dxf(&(square(100.0) + &insert("GONE", "")))).expect("the square");
    note(&drawing, "INSERT left out: block GONE is not in the file");
}

#[test]
fn svg_that_is_bad_in_every_way() {
    let svg = |body: &str| {
        format!("<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"100mm\" height=\"100mm\">{body}</svg>")
    };
    let says = |text: &str| {
        read_drawing_bytes("a.svg", text.as_bytes(), &ImportOptions::default())
            .expect_err("refused")
            .to_string()
    };
    let found = says("<svg xmlns=\"http://www.w3.org/2000/svg\"><g><path d=\"M0 0");
    assert!(found.starts_with("the drawing is cut off: it ends at line 1"), "{found}");
    let found = says(&svg("<g id=\"a\"><use href=\"#b\"/></g><g id=\"b\"><use href=\"#a\"/></g>"));
    assert!(found.contains("contains a reference to itself"), "{found}");
    let deep = "<g>".repeat(5000) + &"</g>".repeat(5000);
    assert!(says(&svg(&deep)).contains("nest more than 100 deep"));
    let mut bomb = "<defs><g id=\"u0\"><rect width=\"1\" height=\"1\"/></g>".to_owned();
    for i in 1..=9 {
        bomb += &format!("<g id=\"u{i}\">{}</g>", format!("<use href=\"#u{}\"/>", i - 1).repeat(10));
    }
    let found = says(&svg(&(bomb.clone() + "</defs><use href=\"#u9\"/>")));
    assert!(found.starts_with("the drawing has too many entities"), "{found}");
    // What is said of the limit is the limit that was applied.
    let found = says(&svg(&(bomb + "</defs><use href=\"#u5\"/><use href=\"#u5\"/>")));
    let figure = |after: &str| -> usize {
        let (_, rest) = found.split_once(after).expect("the number");
        rest.split(' ').next().and_then(|word| word.parse().ok()).expect("a figure")
    };
    assert!(figure("too many entities: ") > figure("at most "), "{found}");
    let laughs = "<?xml version=\"1.0\"?><!DOCTYPE svg [<!ENTITY a \"ha\"><!ENTITY b \"&a;&a;&a;&a;&a;&a;&a;&a;&a;&a;\">\
        <!ENTITY c \"&b;&b;&b;&b;&b;&b;&b;&b;&b;&b;\"><!ENTITY d \"&c;&c;&c;&c;&c;&c;&c;&c;&c;&c;\">]>\
        <svg xmlns=\"http://www.w3.org/2000/svg\"><text>&d;</text></svg>";
    let found = says(laughs);
    assert!(found.contains("entity"), "{found}");
    assert!(says(&svg("<text>word</text>")).starts_with("no closed outline found: no lines"));
    assert!(
        says(&svg("<image href=\"/etc/passwd\" width=\"9\" height=\"9\"/>"))
            .starts_with("no closed outline found")
    );
}

#[test]
fn svg_with_figures_beyond_any_drawing_is_refused_before_its_arcs_are_cut_up() {
    let read = |body: &str| {
        let text = format!(
            "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"200mm\" height=\"100mm\" \
             viewBox=\"0 0 200 100\">\n{body}\n</svg>"
        );
        read_drawing_bytes("a.svg", text.as_bytes(), &ImportOptions::default())
    };
    let says = |body: &str| read(body).expect_err("refused").to_string();
    // An arc of this size comes to millions of curves, which took the library more than ten seconds.
    assert_eq!(
        says("<path id=\"rim\" d=\"M0 0H1e38A50 50 0 0 1 100 50Z\"/>"),
        "the drawing is damaged: path \"rim\", line 2, contains the number 1e38; numbers up to 1e9 are read; \
        export it again: a.svg"
    );
    for body in [
        "<path d=\"M0 0H-1.5E+38A50 50 0 0 1 100 50Z\"/>",
        "<path d=\"M0 0H40000000000A50 50 0 0 1 100 50Z\"/>",
        "<rect width=\"1e30\" height=\"1e30\" rx=\"5e29\"/>",
        "<circle r=\"2e9\"/>",
        "<ellipse rx=\"2e9\" ry=\"1\"/>",
        "<polygon points=\"0,0 1e20,0 0,1e20\"/>",
        "<g transform=\"scale(1e30 1)\"><circle r=\"2\"/></g>",
        "<use x=\"1e30\" href=\"#a\"/><circle id=\"a\" r=\"2\"/>",
    ] {
        assert!(says(body).contains("numbers up to 1e9 are read"), "{}", says(body));
    }
    // Texts, names and exponents that make a figure small are none of its business.
    let fine = "<g id=\"e99\" class=\"1e99\"><path d=\"M1e1 1000e-2h8.e1v5e+1h-80z\"/></g><desc x-y=\"1e99\">1e99</desc>";
    assert_eq!(read(fine).expect("a rectangle").parts.len(), 1);
}

/// Found in another library's drawings: an error stands alone, so it says what was left out.
#[test]
fn a_drawing_of_texts_says_that_they_are_texts() {
    let text =
        "0\nSECTION\n2\nENTITIES\n0\nMTEXT\n8\nA\n1\nLorem\n0\nMTEXT\n8\nA\n1\nipsum\n0\nENDSEC\n0\nEOF\n";
    let error = exchange::read_drawing_bytes("t.dxf", text.as_bytes(), &exchange::ImportOptions::default());
    assert_eq!(
        error.expect_err("no outline").to_string(),
        "no closed outline found: no lines, arcs or curves to read \
         (2 × MTEXT on layer A left out: it draws no outline): t.dxf"
    );
}
