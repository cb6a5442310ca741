//! Which content is shown: its short mark, how it stands to what was issued, and what keeps it from going out. Sheet, drawing,
//! tables, page and window say it in these words.

use analysis::Report;

use crate::{Approval, approval};
use document::{Project, SheetFields, Standing};

/// Worked out once for all pages.
#[derive(Debug, Clone, PartialEq)]
pub struct Identity {
    /// [`Project::fingerprint`].
    pub fingerprint: String,
    /// How it stands to what was issued.
    pub standing: Standing,
    /// [`standing_words`].
    pub words: String,
    /// [`Project::revision_shown`].
    pub revision: String,
    /// Mandatory fields of the title block that nobody filled in.
    pub missing: Vec<&'static str>,
    /// Who approved this content, and with what still to mend.
    pub approval: Option<Approval>,
    /// What is said of a revision that the file holds otherwise than it was issued.
    pub altered: Option<String>,
}

/// Words over every page, and why they stand there.
#[derive(Debug, Clone, PartialEq)]
pub struct Stamp {
    /// "not for issue".
    pub words: String,
    /// What makes it so, a clause.
    pub why: String,
}

/// How a content stands to what was issued, on paper and in the window: "revision B as issued", "changed since revision B, not
/// issued". A title block that names who approved speaks for itself until something is issued: nothing then says that it was not.
pub fn standing_words(standing: &Standing, sheet: &SheetFields) -> String {
    match standing {
        Standing::NeverIssued if sheet.approved_by.trim().is_empty() => "not issued yet".to_owned(),
        Standing::NeverIssued => {
            let revision = sheet.revision.trim();
            let revision =
                if revision.is_empty() { "no revision".to_owned() } else { format!("revision {revision}") };
            format!("{revision}, from the title block")
        }
        Standing::AsIssued { index } => format!("revision {index} as issued"),
        Standing::Changed { since, .. } => format!("changed since revision {since}, not issued"),
        Standing::Altered { since, .. } => format!("revision {since} is not as it was issued"),
    }
}

impl Identity {
    /// For a plot of its own, which has no title block.
    pub const NONE: Self = Self {
        fingerprint: String::new(),
        standing: Standing::NeverIssued,
        words: String::new(),
        revision: String::new(),
        missing: Vec::new(),
        approval: None,
        altered: None,
    };

    /// Of a project, for pages that show these of its layouts.
    pub fn of(project: &Project, reports: &[&Report]) -> Self {
        let mut approved: Option<Approval> = None;
        for found in reports.iter().filter_map(|report| approval(project, report)) {
            match &mut approved {
                None => approved = Some(found),
                Some(all) => {
                    all.open.extend(found.open);
                    all.unchecked = all.unchecked.take().or(found.unchecked);
                }
            }
        }
        Self {
            fingerprint: project.fingerprint(),
            words: standing_words(&project.standing(), &project.sheet),
            standing: project.standing(),
            revision: project.revision_shown(),
            missing: analysis::blank_title_fields(project),
            altered: project.issued.iter().find_map(|issued| issued.altered()),
            approval: approved,
        }
    }
    /// "content 3f2a-91c4, revision B as issued".
    pub fn content(&self) -> String {
        format!("content {}", self.mark())
    }
    /// "3f2a-91c4, revision B as issued".
    pub fn mark(&self) -> String {
        format!("{}, {}", self.fingerprint, self.words)
    }
    /// What a later page says for itself: what is stamped on it, else how its content stands.
    pub fn status(&self) -> String {
        let stamps: Vec<String> = self.stamps().into_iter().map(|stamp| stamp.words).collect();
        if stamps.is_empty() { self.words.clone() } else { stamps.join("; ") }
    }
    /// Whether what the title block says of the last issue is no longer true of this content.
    pub fn changed_since(&self) -> Option<&str> {
        match &self.standing {
            Standing::Changed { since, .. } | Standing::Altered { since, .. } => Some(since),
            Standing::NeverIssued | Standing::AsIssued { .. } => None,
        }
    }
    /// What a table says of itself below its rows, in the words of the sheet: which content it is of, revision and date, what is
    /// stamped on it, and the cautions.
    pub fn lines(&self, sheet: &SheetFields) -> Vec<String> {
        let date = if self.changed_since().is_some() { "not issued" } else { sheet.date.trim() };
        let fields = [("number ", sheet.number.trim()), ("revision ", self.revision.trim()), ("date ", date)];
        let stated: Vec<String> = fields
            .iter()
            .filter(|(_, value)| !value.is_empty())
            .map(|(of, value)| format!("{of}{value}"))
            .collect();
        let stamps = self.stamps().into_iter().map(|stamp| format!("{}: {}", stamp.words, stamp.why));
        std::iter::once(self.content())
            .chain((!stated.is_empty()).then(|| stated.join(", ")))
            .chain(stamps)
            .chain(crate::CAUTIONS.iter().map(|caution| (*caution).to_owned()))
            .collect()
    }
    /// A project that was never issued gets no stamp for that: it carries the revision that somebody typed, and the line
    /// beside the mark says the rest.
    pub fn stamps(&self) -> Vec<Stamp> {
        let mut stamps = Vec::new();
        if let Some((approval, mark)) = self.approval.as_ref().and_then(|a| Some((a, a.mark()?))) {
            stamps.push(Stamp { words: mark.to_owned(), why: approval.why() });
        }
        if !self.missing.is_empty() {
            let why = format!("not stated: {}", self.missing.join(", "));
            stamps.push(Stamp { words: "not for issue".to_owned(), why });
        }
        if let Some(why) = &self.altered {
            stamps.push(Stamp { words: "not as issued".to_owned(), why: why.clone() });
        }
        if let Standing::Changed { since, .. } = &self.standing {
            let words = format!("changed since revision {since}");
            stamps.push(Stamp { words, why: format!("this content, {}, was not issued", self.fingerprint) });
        }
        stamps
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use document::{Edit, Part, PartId};

    /// As if all were checked: an approval of what is not has a stamp of its own.
    fn report(project: &Project) -> std::sync::Arc<Report> {
        let mut report = analysis::Analyst::new().check(project, project.layouts[0].id);
        std::sync::Arc::make_mut(&mut report).verdict.severity = analysis::Severity::Ok;
        report
    }

    #[test]
    fn standing_is_said_in_words_and_only_what_changed_since_an_issue_is_stamped() {
        let part = Part::rectangle(PartId(1), "Cover plate", 600.0, 400.0);
        let mut project = Project::new("Cover plate", part);
        let sheet = &mut project.sheet;
        for field in [&mut sheet.owner, &mut sheet.number, &mut sheet.created_by, &mut sheet.approved_by] {
            "as stated".clone_into(field);
        }
        "2026-03-02".clone_into(&mut sheet.date);
        let never = Identity::of(&project, &[&report(&project)]);
        let says = format!("content {}, no revision, from the title block", project.fingerprint());
        assert_eq!(never.content(), says);
        assert_eq!(never.status(), "no revision, from the title block");
        let mut open = project.clone();
        open.sheet.approved_by.clear();
        let open = Identity::of(&open, &[&report(&open)]);
        assert!(open.content().ends_with(", not issued yet"));
        assert_eq!(open.status(), "not for issue");
        assert_eq!(never.stamps(), []);
        let [index, on, by, what, program] =
            ["B", "2026-03-03", "AD", "first issue", "cupwright"].map(str::to_owned);
        let project = Edit::Issue { index, on, by, what, program }.apply(&project).unwrap();
        let issued = Identity::of(&project, &[&report(&project)]);
        // The JSON object says it in the same words.
        let json = crate::to_json("a.ron", &project, &[report(&project)]);
        for says in [&issued.fingerprint, &issued.revision, &issued.words] {
            assert!(json.contains(&format!("\"{says}\"")), "{says}: {json}");
        }
        assert_eq!(issued.content(), format!("content {}, revision B as issued", project.fingerprint()));
        assert_eq!((issued.revision.as_str(), issued.stamps()), ("B", Vec::new()));
        let project = Edit::RenameProject("Cover plate, left".to_owned()).apply(&project).unwrap();
        let changed = Identity::of(&project, &[&report(&project)]);
        assert!(changed.content().ends_with(", changed since revision B, not issued"));
        assert_eq!(changed.revision, "C");
        let stamps = changed.stamps();
        assert_eq!(stamps.len(), 1);
        assert_eq!(stamps[0].words, "changed since revision B");
        assert!(stamps[0].why.contains(&project.fingerprint()));
    }

    #[test]
    fn the_stamp_names_what_the_finding_names() {
        let part = Part::rectangle(PartId(1), "Cover plate", 600.0, 400.0);
        let project = Project::new("Cover plate", part);
        let identity = Identity::of(&project, &[&report(&project)]);
        assert_eq!(identity.missing, analysis::blank_title_fields(&project));
        let stamps = identity.stamps();
        assert_eq!(stamps[0].words, "not for issue");
        assert!(identity.missing.iter().all(|field| stamps[0].why.contains(field)));
    }
}
