//! What issuing a revision and reviewing one makes of a project.

use super::{
    Edit, EditError,
    apply::{Outcome, missing},
};
use crate::{Issued, Project, Remark, RemarkId, Review, Revision};
use std::sync::Arc;

impl Edit {
    /// Whether it says something of the content and changes none: what a reviewer may do to a file under review.
    pub fn is_review(&self) -> bool {
        match self {
            Self::Ask(_)
            | Self::AddRemark(_)
            | Self::AnswerRemark(..)
            | Self::ResolveRemark(..)
            | Self::RemoveRemark(_)
            | Self::Decide(_)
            | Self::Tick(_)
            | Self::Untick { .. } => true,
            Self::Together { edits, .. } => !edits.is_empty() && edits.iter().all(Self::is_review),
            _ => false,
        }
    }
}

pub(super) fn change(edit: &Edit, p: &mut Project) -> Outcome {
    if let Edit::Issue { index, on, by, what, program } = edit {
        return issue(p, [index, on, by, what, program].map(String::as_str));
    }
    let last_id = p.last_id;
    let review = Arc::make_mut(&mut p.review);
    match edit {
        Edit::AddRemark(new) => {
            if review.remarks.iter().any(|r| r.id == new.id) {
                return Err(EditError::Duplicate { what: format!("remark {}", new.id) });
            }
            said(&new.text, "remark")?;
            review.remarks.push(new.clone());
            p.last_id = last_id.max(new.id.0);
        }
        Edit::AnswerRemark(id, answer) => {
            said(&answer.text, "answer")?;
            remark(review, *id)?.answers.push(answer.clone());
        }
        Edit::ResolveRemark(id, resolved) => remark(review, *id)?.resolved.clone_from(resolved),
        Edit::RemoveRemark(id) => {
            remark(review, *id)?;
            review.remarks.retain(|r| r.id != *id);
            for tick in &mut review.ticks {
                tick.remark = tick.remark.filter(|r| r != id);
            }
        }
        Edit::Decide(decision) => review.decisions.push(decision.clone()),
        Edit::Tick(tick) => match review.ticks.iter_mut().find(|t| t.key == tick.key) {
            Some(earlier) => *earlier = tick.clone(),
            None => review.ticks.push(tick.clone()),
        },
        Edit::Untick { key } => {
            let before = review.ticks.len();
            review.ticks.retain(|t| &t.key != key);
            if review.ticks.len() == before {
                return Err(missing("that tick of the review"));
            }
        }
        _ => {}
    }
    Ok(())
}

fn remark(review: &mut Review, id: RemarkId) -> Result<&mut Remark, EditError> {
    review.remarks.iter_mut().find(|r| r.id == id).ok_or_else(|| missing(format!("remark {id}")))
}

fn said(text: &str, what: &'static str) -> Outcome {
    if text.trim().is_empty() { Err(EditError::NothingSaid { what }) } else { Ok(()) }
}

fn issue(p: &mut Project, [index, on, by, what, program]: [&str; 5]) -> Outcome {
    let index = index.trim();
    if index.is_empty() {
        return Err(EditError::NothingSaid { what: "revision index" });
    }
    if p.issued.iter().any(|i| i.index == index) {
        return Err(EditError::Duplicate { what: format!("revision {index}") });
    }
    index.clone_into(&mut p.sheet.revision);
    on.clone_into(&mut p.sheet.date);
    let [index, date, by, what] = [index, on, by, what].map(str::to_owned);
    p.sheet.revisions.push(Revision {
        index: index.clone(),
        date: date.clone(),
        by: by.clone(),
        what: what.clone(),
    });
    let (fingerprint, content) = (p.fingerprint(), Arc::new(p.content()));
    let program = program.to_owned();
    p.issued.push(Arc::new(Issued { index, on: date, by, what, program, fingerprint, found: None, content }));
    Ok(())
}
