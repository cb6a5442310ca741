//! What was mended, skipped or doubtful: nothing is guessed silently.

use crate::watch::Watch;
use glam::DVec2;
use std::collections::HashMap;
use units::Worded;

/// Entries told apart, at most: a file with more makes them up, and each takes memory.
const MOST_ENTRIES: usize = 2_000;

/// What stands for the entries beyond those told apart.
pub(crate) const OTHERS: &str = "other things, of too many kinds to list";

/// How a diagnostic is meant.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum DiagnosticSeverity {
    /// Put right; the outline is as it was meant.
    Mended,
    /// Left out on purpose.
    Skipped,
    /// Imported, but a person should look.
    Warning,
}

/// One thing that was mended or skipped, or that a person should look at.
#[derive(Debug, Clone, PartialEq)]
pub struct Diagnostic {
    /// How it is meant.
    pub severity: DiagnosticSeverity,
    /// What was done or found, as a sentence without a full stop.
    pub what: Worded,
    /// Where: entity kind, layer, handle, line, or coordinates; the first place when there are several.
    pub place: Worded,
    /// How many times.
    pub count: usize,
    /// The first place in the drawing, mm, where it has one.
    pub at: Option<DVec2>,
}

/// Collects diagnostics; the same thing at many places becomes one entry with a count.
#[derive(Debug)]
pub(crate) struct Notes<'w> {
    entries: Vec<Diagnostic>,
    index: HashMap<(DiagnosticSeverity, String), usize>,
    /// Who follows the reading.
    pub(crate) watch: &'w Watch,
}

impl<'w> Notes<'w> {
    pub(crate) fn new(watch: &'w Watch) -> Self {
        Self { entries: Vec::new(), index: HashMap::new(), watch }
    }

    /// Adds one; entries with equal severity and text are counted together, the first place stands.
    pub(crate) fn add<P: Into<Worded>>(
        &mut self,
        severity: DiagnosticSeverity,
        what: impl Into<Worded>,
        place: impl FnOnce() -> P,
    ) {
        self.add_many(severity, what, 1, place);
    }

    /// Adds `count` at once.
    pub(crate) fn add_many<P: Into<Worded>>(
        &mut self,
        severity: DiagnosticSeverity,
        what: impl Into<Worded>,
        count: usize,
        place: impl FnOnce() -> P,
    ) {
        self.counted(severity, what.into(), count, place);
    }

    /// Its entry.
    fn counted<P: Into<Worded>>(
        &mut self,
        severity: DiagnosticSeverity,
        what: Worded,
        count: usize,
        place: impl FnOnce() -> P,
    ) -> usize {
        let key = (severity, what.to_string());
        if let Some(&at) = self.index.get(&key) {
            self.entries[at].count += count;
            at
        } else if self.entries.len() >= MOST_ENTRIES && key.1 != OTHERS {
            self.counted(severity, OTHERS.into(), count, place)
        } else {
            let at = self.entries.len();
            self.index.insert(key, at);
            self.entries.push(Diagnostic { severity, what, place: place().into(), count, at: None });
            at
        }
    }

    /// As [`Notes::add_many`], with the place in mm.
    pub(crate) fn add_at<P: Into<Worded>>(
        &mut self,
        severity: DiagnosticSeverity,
        what: impl Into<Worded>,
        count: usize,
        at: DVec2,
        place: impl FnOnce() -> P,
    ) {
        let entry = self.counted(severity, what.into(), count, place);
        self.entries[entry].at.get_or_insert(at);
    }

    /// Places of all so far, in a drawing whose parts are so many times as large as drawn.
    pub(crate) fn scale(&mut self, by: f64) {
        self.entries.iter_mut().filter_map(|d| d.at.as_mut()).for_each(|at| *at *= by);
    }

    /// The first few in one line, for an error that stands alone.
    pub(crate) fn told(&self, most: usize) -> Worded {
        in_one_line(self.entries.iter(), most)
    }

    /// As [`Notes::told`] of what was left out and might have drawn an outline.
    pub(crate) fn left_out(&self, most: usize) -> Worded {
        let draws = |d: &&Diagnostic| {
            d.severity == DiagnosticSeverity::Skipped && !d.what.to_string().ends_with("it draws no outline")
        };
        in_one_line(self.entries.iter().filter(draws), most)
    }

    /// How many different things were told so far.
    pub(crate) fn count(&self) -> usize {
        self.entries.len()
    }

    /// As [`Notes::told`] of warnings, but for some of them.
    pub(crate) fn warned(&self, but: &std::ops::Range<usize>, most: usize) -> Worded {
        let warns =
            |(at, d): &(usize, &Diagnostic)| d.severity == DiagnosticSeverity::Warning && !but.contains(at);
        in_one_line(self.entries.iter().enumerate().filter(warns).map(|(_, d)| d), most)
    }

    /// All of them: warnings first, then what was mended, then what was skipped; otherwise in the order found.
    pub(crate) fn finish(mut self) -> Vec<Diagnostic> {
        self.entries.sort_by_key(|d| match d.severity {
            DiagnosticSeverity::Warning => 0,
            DiagnosticSeverity::Mended => 1,
            DiagnosticSeverity::Skipped => 2,
        });
        self.entries
    }
}

fn in_one_line<'d>(entries: impl Iterator<Item = &'d Diagnostic>, most: usize) -> Worded {
    let entries: Vec<&Diagnostic> = entries.collect();
    let one = |d: &&Diagnostic| {
        let times = if d.count > 1 { format!("{} × ", d.count) } else { String::new() };
        Worded::from(times).and(d.what.clone())
    };
    let more = entries.len().saturating_sub(most);
    let told = entries.iter().take(most).map(one);
    Worded::joined(told.chain((more > 0).then(|| format!("and {more} more").into())), "; ")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn same_thing_is_counted_and_warnings_come_first() {
        let watch = Watch::default();
        let mut notes = Notes::new(&watch);
        for i in 0..3 {
            notes.add(DiagnosticSeverity::Skipped, "TEXT left out", || format!("line {i}"));
        }
        notes.add(DiagnosticSeverity::Warning, "odd", String::new);
        let all = notes.finish();
        assert_eq!(all.len(), 2);
        assert_eq!((all[0].what.to_string().as_str(), all[0].count), ("odd", 1));
        assert_eq!((all[1].place.to_string().as_str(), all[1].count), ("line 0", 3));
    }
}
