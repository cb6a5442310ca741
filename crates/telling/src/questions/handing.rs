//! What handing the sheet over wants.

use super::{Asking, QuestionGroup};
use analysis::{blank_title_fields, words};
use document::{Outcome, Stage, Standing};

pub(super) fn ask(asking: &mut Asking<'_>) {
    let project = asking.project;
    let blank = blank_title_fields(project);
    if !blank.is_empty() {
        let says = format!("The title block does not state: {}.", blank.join(", "));
        let why = "Until it does, every page is stamped not for issue.";
        asking.ask(QuestionGroup::Issue, "handing over/title block".to_owned(), asking.whole(), says, why);
    }
    let (by, approved) = (project.sheet.created_by.trim(), project.sheet.approved_by.trim());
    if !by.is_empty() && by.to_lowercase() == approved.to_lowercase() {
        let says = format!("{by} has both made and approved it.");
        let why = "Has a second person looked at it?";
        asking.ask(QuestionGroup::Issue, "handing over/one person".to_owned(), asking.whole(), says, why);
    }
    if !project.trial.entries.iter().any(|entry| entry.stage == Stage::Baseline) {
        let says = "No trial pick with the real part is recorded.".to_owned();
        let why = "The figures assist a person\u{2019}s judgement and do not replace a trial. When will it be, and who \
                   measures friction and level?";
        asking.ask(QuestionGroup::Issue, "handing over/trial".to_owned(), asking.whole(), says, why);
    }
    if let Standing::Changed { since, next } = project.standing() {
        let says = format!("It was changed since revision {since} was issued, as a draft of {next}.");
        let why = "Check the changes since then; the shop floor still has the revision before.";
        asking.ask(QuestionGroup::Issue, "handing over/changed".to_owned(), asking.whole(), says, why);
    }
    for altered in project.issued.iter().filter_map(|issued| issued.altered()) {
        let says = format!("{}.", words::capital(&altered));
        let why = "Who changed it, and which of the two was built?";
        asking.ask(QuestionGroup::Issue, "handing over/altered".to_owned(), asking.whole(), says, why);
    }
    if let Some(last) = project.review.decisions.last().filter(|last| last.outcome == Outcome::SendBack) {
        let on = if last.on.is_empty() { String::new() } else { format!(" on {}", last.on) };
        let text = match last.text.trim() {
            "" => String::new(),
            text => format!(": \u{201c}{text}\u{201d}"),
        };
        let says = format!("{} sent it back{on}{text}.", last.by);
        let why = "Has the reason for sending it back been fixed?";
        asking.ask(QuestionGroup::Issue, "handing over/sent back".to_owned(), asking.whole(), says, why);
    }
    let open: Vec<String> = project
        .review
        .remarks
        .iter()
        .filter(|remark| remark.resolved.is_none())
        .map(|remark| remark.called.clone())
        .collect();
    if !open.is_empty() {
        let remarks = if open.len() == 1 { "A remark is" } else { "Remarks are" };
        let says = format!("{remarks} still open, on {}.", words::list(&open));
        let why = "Answer or settle each before issue.";
        asking.ask(QuestionGroup::Issue, "handing over/remarks".to_owned(), asking.whole(), says, why);
    }
}
