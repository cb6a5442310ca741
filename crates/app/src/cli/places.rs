//! Where outputs go: files, or standard output.

use super::{
    error::TaskError,
    printer::{Printer, tell},
};
use crate::outputs::{Made, NewFiles, Output, Permit, Subject, pdf, put};
use std::path::{Path, PathBuf};

/// Whether a path stands for standard output.
pub(super) fn is_standard_output(path: &Path) -> bool {
    path == Path::new("-")
}

/// Where outputs go.
pub(super) struct Places<'a> {
    pub(super) wanted: &'a [(Output, PathBuf)],
    pub(super) read: &'a [&'a Path],
    pub(super) force: bool,
}

impl Places<'_> {
    /// Asked before anything is calculated, so that a slip is told at once.
    pub(super) fn permitted(&self) -> Result<(), TaskError> {
        if self.wanted.iter().filter(|(_, path)| is_standard_output(path)).count() > 1 {
            return Err(TaskError::Asked(
                "only one of these can go to standard output; name files for the others".to_owned(),
            ));
        }
        let mut permit = Permit::new(self.read, self.force);
        for (output, path) in self.wanted.iter().filter(|(_, path)| !is_standard_output(path)) {
            permit.ask(path, output.kind_at(path)?)?;
        }
        Ok(())
    }

    /// Whether one goes to standard output in place of what is printed otherwise.
    pub(super) fn instead_of_text(&self, json: bool) -> Result<bool, TaskError> {
        let instead = self.wanted.iter().any(|(_, path)| is_standard_output(path));
        if instead && json {
            let says = "pages and JSON cannot both go to standard output; name a file for the pages";
            return Err(TaskError::Asked(says.to_owned()));
        }
        Ok(instead)
    }

    /// Works out all of them.
    pub(super) fn made(&self, subject: &mut Subject<'_>) -> Result<MadeFiles, TaskError> {
        let mut all = MadeFiles { files: Vec::new(), printed: None };
        for (output, path) in self.wanted {
            let made = output.make(subject)?;
            if is_standard_output(path) {
                all.printed = Some(match made {
                    Made::Pages { pages, name, .. } => pdf(&pages, &name, &subject.choices)?,
                    Made::Text(text) => text.into_bytes(),
                });
            } else {
                all.files.push(NewFiles::of(&made, output.kind(), path, &subject.choices)?);
            }
        }
        Ok(all)
    }

    /// Writes all or none, then prints what goes to standard output.
    pub(super) fn put(&self, out: &mut Printer<'_>, made: &MadeFiles) -> Result<(), TaskError> {
        for note in put(&mut Permit::new(self.read, self.force), &made.files)? {
            tell(&note);
        }
        if let Some(bytes) = &made.printed {
            out.file(bytes)?;
        }
        Ok(())
    }
}

/// What the outputs of one run come to.
pub(super) struct MadeFiles {
    files: Vec<NewFiles>,
    printed: Option<Vec<u8>>,
}

/// An output that is one line of JSON.
pub(super) fn object(output: Output, subject: &mut Subject<'_>) -> Result<String, TaskError> {
    match output.make(subject)? {
        Made::Text(text) => Ok(text.trim_end().to_owned()),
        Made::Pages { .. } => Err(TaskError::Inside(format!("{} is no object", output.title()))),
    }
}
