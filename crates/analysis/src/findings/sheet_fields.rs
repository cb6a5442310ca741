//! `sheet.fields`: mandatory fields of the title block are blank.
//!
//! Why: a sheet without owner, number, date or names cannot be told from another one, and nobody stands for it; it is stamped
//! not for issue. No figure depends on it, so that it is advice.
//! Limits: none. Remedy: the fields to fill in.

use super::{Draft, Facts, RuleInfo};
use crate::{report::Severity, title_fields::blank_title_fields, words};

pub(super) const INFO: RuleInfo = RuleInfo {
    id: "sheet.fields",
    title: "Blank fields of the title block",
    explains: "A sheet without owner, number, date and names cannot be identified; it is stamped not for issue.",
    fail: "",
    watch: "",
    remedy: "the fields to fill in",
};

pub(super) fn find(facts: &Facts<'_>, out: &mut Vec<Draft>) {
    let blank: Vec<String> = blank_title_fields(facts.project).into_iter().map(str::to_owned).collect();
    // Nothing is handed out before there is a cup.
    if blank.is_empty() || facts.layout.cups.is_empty() {
        return;
    }
    let says = format!("The title block does not state: {}.", blank.join(", "));
    let remedy = format!(
        "Fill in {} before the sheet is issued; until then every page is stamped not for issue.",
        words::all(&blank)
    );
    out.push(Draft::new(INFO.id, Severity::Advice, says).remedy(remedy));
}
