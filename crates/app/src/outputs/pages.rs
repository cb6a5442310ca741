//! The files that an output comes to: their kinds, the names of further pages, what of them is there already, and putting
//! all of them in their places or none.

use super::{
    OutputError,
    guard::{Permit, Target},
    kind::{Kind, found},
    subject::{Choices, Made},
    together::write_together,
};
use crate::files::FileKind;
use std::{
    fmt,
    path::{Path, PathBuf},
};

/// What a file of this name would hold; of pages the ending decides.
///
/// # Errors
/// [`OutputError::Ending`].
pub(super) fn kind_at(kind: FileKind, path: &Path) -> Result<Kind, OutputError> {
    match kind {
        FileKind::Project => return Ok(Kind::Project),
        FileKind::Table => return Ok(Kind::Table),
        FileKind::Dxf => return Ok(Kind::Dxf),
        FileKind::Json => return Ok(Kind::Json),
        FileKind::Pages | FileKind::Sheet | FileKind::Drawing => {}
    }
    let ending = path.extension().map(|e| e.to_string_lossy().to_lowercase()).unwrap_or_default();
    match ending.as_str() {
        "pdf" => Ok(Kind::Pdf),
        "svg" => Ok(Kind::Svg),
        "png" => Ok(Kind::Png),
        "html" if kind == FileKind::Sheet => Ok(Kind::Html),
        _ => {
            let choices = kind.decides().unwrap_or(".pdf, .svg or .png");
            Err(OutputError::Ending { ending, choices, path: path.to_owned() })
        }
    }
}

/// Where a page of this number, counted from 0, goes: further pages of SVG and PNG get a number.
fn page_path(path: &Path, page: usize) -> PathBuf {
    if page == 0 {
        return path.to_owned();
    }
    let [stem, ending] =
        [path.file_stem(), path.extension()].map(|part| part.unwrap_or_default().to_string_lossy());
    path.with_file_name(format!("{stem}-{}.{ending}", page + 1))
}

/// Pages as a PDF of the kind that was chosen; one for an archive carries today's date.
pub(crate) fn pdf(pages: &[sheet::Page], name: &str, choices: &Choices) -> Result<Vec<u8>, OutputError> {
    Ok(if choices.archival {
        sheet::to_archival_pdf(pages, name, crate::this_day())?
    } else {
        sheet::to_pdf(pages, name)?
    })
}

/// The files of one output, ready to be written.
pub struct NewFiles {
    path: PathBuf,
    kind: Kind,
    /// The first goes to `path`.
    contents: Vec<Vec<u8>>,
}

impl fmt::Debug for NewFiles {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let count = self.contents.len();
        f.debug_struct("NewFiles").field("path", &self.path).field("count", &count).finish_non_exhaustive()
    }
}

impl NewFiles {
    /// The files that this comes to under that name, as was chosen.
    ///
    /// # Errors
    /// The ending says nothing, or a page cannot be drawn.
    pub(crate) fn of(
        made: &Made,
        kind: FileKind,
        path: &Path,
        choices: &Choices,
    ) -> Result<Self, OutputError> {
        let kind = kind_at(kind, path)?;
        let contents = match (made, kind) {
            (Made::Text(text), _) => vec![text.clone().into_bytes()],
            (Made::Pages { in_browser: Some(page), .. }, Kind::Html) => vec![page.clone().into_bytes()],
            (Made::Pages { pages, name, .. }, Kind::Pdf) => vec![pdf(pages, name, choices)?],
            (Made::Pages { pages, .. }, Kind::Png) => {
                pages.iter().map(|page| sheet::to_png(page, choices.dpi)).collect::<Result<_, _>>()?
            }
            (Made::Pages { pages, .. }, _) => {
                pages.iter().map(|page| sheet::to_svg(page).into_bytes()).collect()
            }
        };
        Ok(Self { path: path.to_owned(), kind, contents })
    }

    fn places(&self) -> impl Iterator<Item = PathBuf> {
        (0..self.contents.len()).map(|page| page_path(&self.path, page))
    }

    /// What would be replaced, see [`would_replace`].
    pub(crate) fn would_replace(&self, agreed: Option<&Path>) -> Option<String> {
        would_replace(&self.places().collect::<Vec<_>>(), self.kind, agreed)
    }

    /// A page with the next number that is there: it is of other pages, and is to be told of.
    fn left_over(&self) -> Option<String> {
        let next = page_path(&self.path, self.contents.len());
        let paged = matches!(self.kind, Kind::Svg | Kind::Png);
        (paged && next.exists())
            .then(|| format!("{} is not one of these pages; it was there before", next.display()))
    }
}

/// Puts all files of all outputs in their places, or none; gives what there is to tell of pages that were there before.
///
/// # Errors
/// One of them may not be written there, see [`Permit::ask`], or [`OutputError::Write`] with what the operating system said.
pub(crate) fn put(permit: &mut Permit, outputs: &[NewFiles]) -> Result<Vec<String>, OutputError> {
    let mut files: Vec<(Target, &[u8])> = Vec::new();
    let mut told = Vec::new();
    for new in outputs {
        let targets: Vec<Target> =
            new.places().map(|place| permit.ask(&place, new.kind)).collect::<Result<_, _>>()?;
        told.extend(new.left_over());
        files.extend(targets.into_iter().zip(new.contents.iter().map(Vec::as_slice)));
    }
    write_together(&files)?;
    Ok(told)
}

/// What of these files would be replaced by one of this kind, as sentences; `None` when nothing is there, or when the
/// desktop's own dialog asked about the one that is, and it is of the very kind.
pub(crate) fn would_replace(places: &[PathBuf], kind: Kind, agreed: Option<&Path>) -> Option<String> {
    let (mut same, mut others) = (Vec::new(), Vec::new());
    for place in places.iter().filter(|place| place.is_file()) {
        let name = place.display().to_string();
        match found(place) {
            Ok(found) if agreed == Some(place.as_path()) && found.gives_way_to(kind) => {}
            Ok(found) if found.is(kind) => same.push(name),
            Ok(found) => {
                others.push(format!("{name} is {}; {} would replace it.", found.label(), kind.label()));
            }
            Err(_) => {
                others.push(format!("{name} cannot be read; {} would replace it.", kind.label()));
            }
        }
    }
    let same = match same.as_slice() {
        [] => None,
        [one] => Some(format!("{one} would be replaced.")),
        several => Some(format!("These pages exist and would be replaced: {}.", several.join(", "))),
    };
    let says: Vec<String> = same.into_iter().chain(others).collect();
    (!says.is_empty()).then(|| says.join(" "))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn table(path: &Path, text: &str) -> Result<Vec<String>, OutputError> {
        let made = Made::Text(text.to_owned());
        put(&mut Permit::new(&[], true), &[NewFiles::of(&made, FileKind::Table, path, &Choices::default())?])
    }

    #[test]
    fn what_is_written_can_be_read_by_others_and_replaces_whole() {
        let folder = tempfile::tempdir().unwrap();
        let file = folder.path().join("sheet.csv");
        table(&file, "one").unwrap();
        #[cfg(unix)]
        {
            use std::os::unix::fs::PermissionsExt as _;
            let plain = folder.path().join("plain");
            std::fs::write(&plain, "").unwrap();
            let mode = |path: &Path| std::fs::metadata(path).unwrap().permissions().mode();
            assert_eq!(mode(&file), mode(&plain));
        }
        table(&file, "two").unwrap();
        assert_eq!(std::fs::read(&file).unwrap(), b"two");
        assert_eq!(std::fs::read_dir(folder.path()).unwrap().count(), 2, "no temporary file is left");
        let says = table(folder.path(), "x").unwrap_err().to_string();
        assert!(says.contains("this is a folder"), "{says}");
        let says = table(&folder.path().join("no/where.csv"), "x").unwrap_err().to_string();
        assert!(says.contains("the folder does not exist"), "{says}");
    }

    #[test]
    fn every_page_that_is_there_is_named_and_no_other() {
        let folder = tempfile::tempdir().unwrap();
        let at = |name: &str| folder.path().join(name);
        let places: Vec<PathBuf> = (0..3).map(|page| page_path(&at("a.svg"), page)).collect();
        assert_eq!(would_replace(&places, Kind::Svg, None), None);
        // The first is not there, the third is: a gap in the numbers hides nothing.
        for name in ["a-3.svg", "a-4.svg"] {
            std::fs::write(at(name), "<svg/>").unwrap();
        }
        let says = would_replace(&places, Kind::Svg, Some(&places[0])).unwrap();
        assert!(says.contains("a-3.svg would be replaced") && !says.contains("a-4.svg"), "{says}");
        std::fs::write(at("a.svg"), "<svg/>").unwrap();
        std::fs::write(at("a-2.svg"), "Dear all,\n").unwrap();
        let says = would_replace(&places, Kind::Svg, Some(&places[0])).unwrap();
        assert!(!says.contains("a.svg would"), "the desktop asked about the first: {says}");
        assert!(says.contains("a-2.svg is a file of another kind; an SVG picture would"), "{says}");
        let says = would_replace(&places, Kind::Svg, None).unwrap();
        assert!(says.contains("a.svg, ") && says.contains("a-3.svg."), "{says}");
    }
}
