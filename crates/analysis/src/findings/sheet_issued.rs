//! `sheet.issued`: the file holds a revision otherwise than it was issued.
//!
//! Why: what was handed out bears a mark of its content; where the revision in the file has another mark, somebody changed it by
//! hand, and what is built from the paper is not what the file shows. No figure of the layout depends on it.
//! Limits: the mark is a short hash, which tells a slip or a change by hand, not a forgery. Remedy: put it back from a copy, or
//! issue anew.

use super::{Draft, Facts, RuleInfo};
use crate::{report::Severity, words};

pub(super) const INFO: RuleInfo = RuleInfo {
    id: "sheet.issued",
    title: "Issued revision altered",
    explains: "An issued sheet carries a mark of its content. If the revision in the file has a different \
        mark, someone changed it by hand, and the paper does not match the file.",
    fail: "",
    watch: "the content of an issued revision no longer has the mark it was issued with",
    remedy: "restore the revision from a copy, or issue again",
};

pub(super) fn find(facts: &Facts<'_>, out: &mut Vec<Draft>) {
    for altered in facts.project.issued.iter().filter_map(|issued| issued.altered()) {
        let says = format!("{}: it is not what was issued.", words::capital(&altered));
        let remedy = "Restore it from a copy of the file, or issue the content again and recall the paper.";
        out.push(Draft::new(INFO.id, Severity::Watch, says).remedy(remedy.to_owned()));
    }
}
