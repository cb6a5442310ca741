//! Whether a layout was approved, and with what still to mend: worked out from the content and its report, never kept as text.

use analysis::{Finding, Report, Severity};
use document::{Outcome, Project};

/// An approval of the content as it stands.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Approval {
    /// Who approved it: in the review, or by the title block.
    pub by: String,
    /// When, as far as it is said.
    pub on: String,
    /// What fails and nobody accepted, as the findings say it; the approval is marked where there is any.
    pub open: Vec<String>,
    /// The verdict where it is none: what was approved without every figure being there.
    pub unchecked: Option<String>,
}

/// Approved although something fails that nobody accepted with a reason.
pub const WITH_OPEN_FAILURES: &str = "approved with open failures";
/// Approved although there is no verdict, or not on all of it.
pub const NOT_ALL_CHECKED: &str = "approved, not all checked";

impl Approval {
    /// What stands in red wherever the approval is told; `None` where all is checked and nothing is open.
    pub fn mark(&self) -> Option<&'static str> {
        match (&self.open[..], &self.unchecked) {
            ([], None) => None,
            ([], Some(_)) => Some(NOT_ALL_CHECKED),
            _ => Some(WITH_OPEN_FAILURES),
        }
    }

    /// Who approved it and what fails, line by line.
    pub fn told(&self) -> String {
        let open = if self.open.is_empty() { String::new() } else { format!(":\n{}", self.open.join("\n")) };
        format!("{}{open}", self.why())
    }

    /// The mark as the start of a line.
    pub fn headline(&self) -> String {
        self.mark().map_or_else(String::new, |mark| mark.replacen('a', "A", 1))
    }

    /// Who approved what is open, in a sentence without its full stop.
    pub fn why(&self) -> String {
        let on = if self.on.is_empty() { String::new() } else { format!(", {}", self.on) };
        let open = match self.open.len() {
            0 => match &self.unchecked {
                Some(verdict) => {
                    return format!("approved by {}{on}: {}", self.by, verdict.trim_end_matches('.'));
                }
                None => return format!("approved by {}{on}", self.by),
            },
            1 => "one finding still fails and is".to_owned(),
            n => format!("{n} findings still fail and are"),
        };
        format!("approved by {}{on}; {open} not accepted", self.by)
    }
}

/// Findings that fail and that nobody accepted with a reason.
pub fn open_failures(report: &Report) -> impl Iterator<Item = &Finding> {
    report.findings.iter().filter(|f| f.severity == Severity::Fail && f.accepted.is_none())
}

/// The approval that stands for this content: the last decision of the review on this very content, else who the title block
/// says has approved it. `None` where it was sent back, or where nobody approved it.
///
/// The report must be of this project; a report of another content would be told of the wrong approval.
pub fn approval(project: &Project, report: &Report) -> Option<Approval> {
    approval_of(project, &project.fingerprint(), report)
}

/// As [`approval`], where the project's [`Project::fingerprint`] is known already.
pub fn approval_of(project: &Project, fingerprint: &str, report: &Report) -> Option<Approval> {
    let decided = project.review.decisions.iter().rfind(|decision| decision.of == fingerprint);
    let (by, on) = match decided {
        Some(last) if last.outcome == Outcome::Accept => (last.by.trim(), last.on.trim()),
        Some(_) => return None,
        None if project.sheet.approved_by.trim().is_empty() => return None,
        None => (project.sheet.approved_by.trim(), ""),
    };
    let open = open_failures(report).map(|finding| finding.says.clone()).collect();
    let verdict = &report.verdict;
    let unchecked = (verdict.severity == Severity::NotChecked).then(|| verdict.sentence.clone());
    Some(Approval { by: by.to_owned(), on: on.to_owned(), open, unchecked })
}
