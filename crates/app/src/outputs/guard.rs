//! What may be written where: never over what is being read, never over someone's work unasked, never to what is no file.

use super::{
    OutputError,
    kind::{self, Found, Kind},
};
use std::{
    ffi::OsString,
    fs, io,
    path::{Path, PathBuf},
};

/// A file that may be written, as [`Permit`] found it; links are followed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Target {
    /// As it was asked for, for messages.
    pub(crate) asked: PathBuf,
    /// Where the bytes go.
    pub(crate) path: PathBuf,
}

/// Looks at the places that one run writes before it writes any of them.
#[derive(Debug, Default)]
pub(crate) struct Permit {
    /// What is read, and what was already permitted.
    taken: Vec<(PathBuf, Identity, bool)>,
    /// Whether what is there may be replaced whatever it is.
    force: bool,
}

/// What makes two paths one file.
#[derive(Debug, Clone, PartialEq, Eq)]
enum Identity {
    /// One that is there: disk and number on it.
    #[cfg(unix)]
    There(u64, u64),
    /// By its place; the name in lower case, since many disks do not tell cases apart.
    Place(PathBuf, String),
}

fn folder_of(path: &Path) -> &Path {
    path.parent().filter(|p| !p.as_os_str().is_empty()).unwrap_or(Path::new("."))
}

/// Every way in which a path can be the same file as another.
fn identities(path: &Path) -> Vec<Identity> {
    let mut found = Vec::new();
    #[cfg(unix)]
    if let Ok(about) = fs::metadata(path) {
        use std::os::unix::fs::MetadataExt as _;
        found.push(Identity::There(about.dev(), about.ino()));
    }
    let whole = fs::canonicalize(path).or_else(|_| {
        let name = path.file_name().map(OsString::from).unwrap_or_default();
        fs::canonicalize(folder_of(path)).map(|folder| folder.join(name))
    });
    if let Ok(whole) = whole {
        let name = whole.file_name().map(|n| n.to_string_lossy().to_lowercase()).unwrap_or_default();
        found.push(Identity::Place(folder_of(&whole).to_owned(), name));
    }
    found
}

/// Whether two paths are one file, by whatever name.
pub(crate) fn same_file(one: &Path, other: &Path) -> bool {
    let there = identities(other);
    identities(one).iter().any(|identity| there.contains(identity))
}

impl Permit {
    /// For a run that reads these files; `force` takes away every question but those that stand for a slip.
    pub(crate) fn new(read: &[&Path], force: bool) -> Self {
        let mut permit = Self { taken: Vec::new(), force };
        for path in read {
            permit.take(path, true);
        }
        permit
    }

    fn take(&mut self, path: &Path, read: bool) {
        self.taken.extend(identities(path).into_iter().map(|i| (path.to_owned(), i, read)));
    }

    /// Whether a file of this kind may be written there, and where that leads.
    ///
    /// # Errors
    /// It is read by this run, or written by it already; it is no ordinary file, or protected; or it holds what may not be
    /// replaced unasked.
    pub(crate) fn ask(&mut self, path: &Path, kind: Kind) -> Result<Target, OutputError> {
        let asked = || path.to_owned();
        let fail = |error: io::Error| OutputError::Write { path: asked(), error };
        let mine = identities(path);
        if let Some((other, _, read)) = self.taken.iter().find(|(_, identity, _)| mine.contains(identity)) {
            let other = other.clone();
            return Err(if *read {
                OutputError::ReadHere { path: asked(), other }
            } else {
                OutputError::Twice { path: asked(), other }
            });
        }
        // What a descriptor leads to has no path of its own.
        if fs::metadata(path).is_ok_and(|about| !about.is_file() && !about.is_dir()) {
            return Err(OutputError::NotAFile { path: asked() });
        }
        let whole = match fs::canonicalize(path) {
            Ok(whole) => whole,
            Err(_) if fs::symlink_metadata(path).is_ok_and(|about| about.is_symlink()) => {
                return Err(OutputError::BrokenLink { path: asked() });
            }
            Err(error) if error.kind() == io::ErrorKind::NotFound => {
                if !folder_of(path).is_dir() {
                    return Err(fail(error));
                }
                asked()
            }
            Err(error) => return Err(fail(error)),
        };
        if let Ok(about) = fs::metadata(&whole) {
            if about.is_dir() {
                return Err(fail(io::ErrorKind::IsADirectory.into()));
            }
            if about.permissions().readonly() {
                return Err(OutputError::Protected { path: asked() });
            }
            if !self.force {
                // What cannot be looked at cannot be known to be of no worth.
                let found = kind::found(&whole).unwrap_or(Found::Other);
                if !found.gives_way_to(kind) {
                    return Err(OutputError::There {
                        path: asked(),
                        found: found.label(),
                        kind: kind.label(),
                    });
                }
            }
        }
        self.take(path, false);
        Ok(Target { asked: asked(), path: whole })
    }
}

#[cfg(unix)]
#[cfg(test)]
mod tests {
    use super::*;
    use std::os::unix::fs::symlink;

    const TABLE: &str = "\"tag\",\"x mm\"\n\"C1\",1.000\n";

    fn says(outcome: Result<Target, OutputError>) -> String {
        outcome.map_or_else(|error| error.to_string(), |target| panic!("permitted: {target:?}"))
    }

    #[test]
    fn what_is_read_is_never_written_by_whatever_name() {
        let folder = tempfile::tempdir().unwrap();
        let at = |name: &str| folder.path().join(name);
        fs::write(at("own.ron"), crate::DEMOS[0].1).unwrap();
        fs::create_dir(at("deep")).unwrap();
        fs::hard_link(at("own.ron"), at("hard.csv")).unwrap();
        symlink(at("own.ron"), at("soft.csv")).unwrap();
        symlink(at("deep"), at("other")).unwrap();
        for force in [false, true] {
            for name in
                ["own.ron", "hard.csv", "soft.csv", "deep/../own.ron", "./own.ron", "other/../own.ron"]
            {
                let mut permit = Permit::new(&[&at("own.ron")], force);
                assert!(says(permit.ask(&at(name), Kind::Table)).contains("is read"), "{name}");
            }
            // Where cases are not told apart this is one file.
            let mut permit = Permit::new(&[&at("own.ron")], force);
            assert!(says(permit.ask(&at("OWN.ron"), Kind::Project)).contains("is read"));
        }
        assert!(same_file(&at("own.ron"), &at("hard.csv")) && !same_file(&at("own.ron"), &at("deep")));
    }

    #[test]
    fn two_outputs_are_two_files() {
        let folder = tempfile::tempdir().unwrap();
        let at = |name: &str| folder.path().join(name);
        fs::create_dir(at("deep")).unwrap();
        for (one, other) in [("a.csv", "a.csv"), ("a.csv", "deep/../a.csv"), ("a.csv", "A.csv")] {
            let mut permit = Permit::new(&[], true);
            permit.ask(&at(one), Kind::Table).unwrap();
            assert!(says(permit.ask(&at(other), Kind::Table)).contains("twice"), "{other}");
        }
    }

    #[test]
    fn only_what_can_be_made_again_gives_way_unasked() {
        let folder = tempfile::tempdir().unwrap();
        let at = |name: &str| folder.path().join(name);
        for (name, text) in [
            ("a.csv", TABLE),
            ("empty", ""),
            ("notes.txt", "Dear all,\nthis stays.\n"),
            ("a.ron", crate::DEMOS[0].1),
            ("part.dxf", "0\nSECTION\n2\nENTITIES\n0\nENDSEC\n0\nEOF\n"),
        ] {
            fs::write(at(name), text).unwrap();
        }
        let ask = |name: &str, kind, force| Permit::new(&[], force).ask(&at(name), kind);
        assert!(ask("a.csv", Kind::Table, false).is_ok() && ask("empty", Kind::Pdf, false).is_ok());
        assert!(ask("new.csv", Kind::Table, false).is_ok());
        for (name, kind) in [
            ("a.csv", Kind::Pdf),
            ("notes.txt", Kind::Table),
            ("a.ron", Kind::Table),
            ("a.ron", Kind::Project),
            ("part.dxf", Kind::Dxf),
        ] {
            assert!(says(ask(name, kind, false)).contains("--force"), "{name}");
            assert!(ask(name, kind, true).is_ok(), "{name}");
        }
    }

    #[test]
    fn links_are_followed_and_what_is_no_file_is_refused() {
        use std::os::unix::fs::PermissionsExt as _;
        let folder = tempfile::tempdir().unwrap();
        let at = |name: &str| folder.path().join(name);
        fs::write(at("a.csv"), TABLE).unwrap();
        symlink(at("a.csv"), at("link.csv")).unwrap();
        symlink(at("nowhere.csv"), at("broken.csv")).unwrap();
        fs::write(at("kept.csv"), TABLE).unwrap();
        fs::set_permissions(at("kept.csv"), fs::Permissions::from_mode(0o444)).unwrap();
        let ask = |path: &Path| Permit::new(&[], true).ask(path, Kind::Table);
        assert_eq!(ask(&at("link.csv")).unwrap().path, fs::canonicalize(at("a.csv")).unwrap());
        for (path, words) in [
            (at("broken.csv"), "leads nowhere"),
            (at("kept.csv"), "write-protected"),
            ("/dev/null".into(), "not an ordinary file"),
            ("/dev/full".into(), "not an ordinary file"),
            (folder.path().to_owned(), "folder"),
            (at("missing/a.csv"), "folder does not exist"),
        ] {
            assert!(says(ask(&path)).contains(words), "{}", path.display());
        }
    }
}
