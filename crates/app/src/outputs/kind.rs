//! What a file holds, told by its contents.

use std::{
    fs::File,
    io::{self, Read as _},
    path::Path,
};

/// What a file that is written holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Kind {
    /// A project.
    Project,
    /// A table, CSV.
    Table,
    /// A DXF drawing.
    Dxf,
    /// Pages as PDF.
    Pdf,
    /// A page as SVG.
    Svg,
    /// A page as PNG.
    Png,
    /// A page for a browser.
    Html,
    /// Figures as JSON.
    Json,
}

/// What lies where something is to be written.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub(crate) enum Found {
    /// An empty file: there is nothing to lose.
    Nothing,
    /// One of the kinds that are written here.
    Known(Kind),
    /// A drawing, but not one of a layout that this program wrote: perhaps the part's.
    Drawing,
    /// Anything else.
    Other,
}

impl Kind {
    /// With its article, for a sentence.
    pub(crate) fn label(self) -> &'static str {
        match self {
            Self::Project => "a project",
            Self::Table => "a table",
            Self::Dxf => "a DXF drawing",
            Self::Pdf => "a PDF",
            Self::Svg => "an SVG picture",
            Self::Png => "a PNG picture",
            Self::Html => "a page for a browser",
            Self::Json => "figures as JSON",
        }
    }
}

impl Found {
    /// Whether it is of this kind.
    pub(crate) fn is(self, kind: Kind) -> bool {
        self == Self::Known(kind)
    }

    /// Whether something of this kind may take its place unasked: what can be worked out again at any time may, a project or
    /// another's drawing may be all there is of someone's work.
    pub(crate) fn gives_way_to(self, kind: Kind) -> bool {
        self == Self::Nothing || (self == Self::Known(kind) && kind != Kind::Project)
    }

    pub(crate) fn label(self) -> &'static str {
        match self {
            Self::Nothing => "an empty file",
            Self::Known(kind) => kind.label(),
            Self::Drawing => "a drawing not written by this program",
            Self::Other => "a file of another kind",
        }
    }
}

/// Bytes that are looked at.
const HEAD: u64 = 64 * 1024;
/// Rows of a table that are looked at.
const ROWS: usize = 20;

/// What a file holds; the ending counts only beside the contents.
pub(crate) fn found(path: &Path) -> io::Result<Found> {
    let mut head = Vec::new();
    File::open(path)?.take(HEAD).read_to_end(&mut head)?;
    Ok(told(&head, path))
}

fn told(head: &[u8], path: &Path) -> Found {
    if head.is_empty() {
        return Found::Nothing;
    }
    if head.starts_with(b"%PDF-") {
        return Found::Known(Kind::Pdf);
    }
    if head.starts_with(b"\x89PNG\r\n\x1a\n") {
        return Found::Known(Kind::Png);
    }
    if exchange::is_dxf(head) {
        return if exchange::is_layout_dxf(head) { Found::Known(Kind::Dxf) } else { Found::Drawing };
    }
    let text = String::from_utf8_lossy(head);
    let text = text.trim_start_matches('\u{feff}').trim_start();
    if text.starts_with('<') {
        if sheet::is_html(text) {
            return Found::Known(Kind::Html);
        }
        return if text.contains("<svg") && !text.contains("<html") {
            Found::Known(Kind::Svg)
        } else {
            Found::Other
        };
    }
    if text.starts_with("{\"format\":") && text.contains("\"program\":\"cupwright ") {
        return Found::Known(Kind::Json);
    }
    if document::looks_like_project(text) {
        return Found::Known(Kind::Project);
    }
    let ending = path.extension().map(|e| e.to_string_lossy().to_lowercase()).unwrap_or_default();
    if matches!(ending.as_str(), "csv" | "tsv") && !head.contains(&0) && is_table(text) {
        return Found::Known(Kind::Table);
    }
    Found::Other
}

/// Rows of equally many cells, two or more: prose, settings and programs do not look like that for long.
fn is_table(text: &str) -> bool {
    if text.starts_with(['{', '[', '(', '#', '/', '%']) {
        return false;
    }
    let rows = |separator: char| {
        let mut quoted = false;
        let mut counts = vec![1];
        for c in text.chars() {
            match c {
                '"' => quoted = !quoted,
                '\n' if !quoted && counts.len() == ROWS => break,
                '\n' if !quoted => counts.push(1),
                c if c == separator && !quoted => *counts.last_mut().unwrap_or(&mut 0) += 1,
                _ => {}
            }
        }
        // The last row may be cut, or the end of the file after a line break.
        if counts.len() > 1 {
            counts.pop();
        }
        counts
    };
    [',', ';', '\t'].into_iter().any(|separator| {
        // Prose ends a line with a comma; a row of headings has none that is empty.
        let headed = text.lines().next().is_some_and(|row| !row.trim_end().ends_with(separator));
        let counts = rows(separator);
        headed && counts[0] > 1 && counts.iter().all(|count| *count == counts[0])
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn contents_tell_the_kind_and_the_ending_alone_does_not() {
        let told = |text: &str, name: &str| told(text.as_bytes(), Path::new(name));
        let table = Found::Known(Kind::Table);
        assert_eq!(told("\"tag\",\"x mm\"\n\"C1\",12.000\n", "a.csv"), table);
        assert_eq!(told("tag;x mm\nC1;12,0\nC2;13,5", "a.tsv"), table);
        assert_eq!(told("\"one, two\",3\n\"a\nb\",4\n", "a.csv"), table);
        assert_eq!(told("\"tag\",\"x mm\"\n", "a.csv"), table);
        for (text, name) in [
            ("\"tag\",\"x mm\"\n\"C1\",12.000\n", "a.dat"),
            ("Dear all, this is a letter.\nIt has commas, here and there, and here.\n", "a.txt"),
            ("{\"a\": 1, \"b\": 2}\n{\"a\": 1, \"b\": 2}\n", "a.csv"),
            ("one\ntwo\n", "a.csv"),
            ("Dear all,\nthis stays, whatever happens.\n", "a.csv"),
            ("\"tag\",\"x mm\"\n\"C1\",12.000\n", "a.txt"),
            ("\u{0}a,b\n", "a.csv"),
            ("<html><body/></html>", "a.svg"),
            ("<!DOCTYPE html><html><body><svg/></body></html>", "a.html"),
            ("[(id: \"x\")]", "a.ron"),
        ] {
            assert_eq!(told(text, name), Found::Other, "{text}");
        }
        assert_eq!(told("", "a.csv"), Found::Nothing);
        let own = crate::start::demo_project();
        let report = analysis::Analyst::new().check(&own, own.layouts[0].id);
        let page = sheet::to_html(&own, &report, &sheet::SheetOptions::default(), &[]);
        assert_eq!(told(&page, "a.csv"), Found::Known(Kind::Html));
        let figures = telling::unread_json("a.ron", "it is empty");
        assert_eq!(told(&figures, "a.csv"), Found::Known(Kind::Json));
        assert_eq!(told("%PDF-1.7\n", "a.csv"), Found::Known(Kind::Pdf));
        assert_eq!(told("<?xml version=\"1.0\"?>\n<svg/>", "a.csv"), Found::Known(Kind::Svg));
        assert_eq!(told("0\nSECTION\n2\nHEADER\n", "a.csv"), Found::Drawing);
        assert_eq!(told("999\nnote\n0\nSECTION\n", "a.csv"), Found::Drawing);
        for (name, text) in crate::DEMOS {
            assert_eq!(told(text, "a.csv"), Found::Known(Kind::Project), "{name}");
        }
        let demo = crate::start::demo_project();
        let report = analysis::Analyst::new().check(&demo, demo.layouts[0].id);
        for version in [exchange::DxfVersion::R12, exchange::DxfVersion::R2000] {
            let options = exchange::DxfOptions { version, ..exchange::DxfOptions::default() };
            let layout = exchange::layout_dxf(&demo, &report, demo.layouts[0].id, &options).unwrap();
            assert_eq!(told(&layout, "a.dxf"), Found::Known(Kind::Dxf));
        }
        let project = document::to_text(&demo);
        assert_eq!(told(&project, "a.csv"), Found::Known(Kind::Project));
        assert_eq!(told(&format!("// mine\n\n{project}"), "a.csv"), Found::Known(Kind::Project));
    }
}
