//! Two people's changes of one project, brought together thing by thing.

mod content;
mod keyed;
mod renumber;
mod review;
mod settle;

use crate::{Change, FieldPath, Project, Thing, difference, file};
use std::sync::Arc;

/// What two people made of one project, brought together as far as they did not change the same thing differently.
#[derive(Debug, Clone, PartialEq)]
pub struct Merge {
    /// What I changed since the base; my new things may have new numbers, see [`merge`].
    pub mine: Vec<Change>,
    /// What they changed since the base; their new things may have new numbers, see [`merge`].
    pub theirs: Vec<Change>,
    /// What both changed differently, in the order that [`Merge::project`] wants the choices in.
    pub conflicts: Vec<Conflict>,
    sides: Arc<Sides>,
}
/// One thing that both changed, each in another way, or that one changed and the other removed.
#[derive(Debug, Clone, PartialEq)]
pub struct Conflict {
    /// What it is about.
    pub thing: Thing,
    /// What it is called: "cup C4".
    pub called: String,
    /// What I made of it.
    pub mine: Vec<Change>,
    /// What they made of it.
    pub theirs: Vec<Change>,
}
/// Whose version of a thing is taken.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Choice {
    /// Mine.
    Mine,
    /// Theirs.
    Theirs,
}
/// Why no project came out of a merge.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum MergeError {
    /// Too few or too many choices.
    #[error("{given} choices were made for {wanted} conflicts; make one for each")]
    Choices {
        /// How many were made.
        given: usize,
        /// How many there must be.
        wanted: usize,
    },
    /// One of the projects contradicted itself from the start.
    #[error(
        "the merged project would contradict itself ({says}); correct the project it comes from, nothing was \
        changed"
    )]
    Contents {
        /// What is wrong.
        says: String,
    },
}

/// The three projects; new things that both added under one number are apart.
#[derive(Debug, PartialEq)]
struct Sides {
    base: Project,
    mine: Project,
    theirs: Project,
}

/// Brings together what two people made of `base`, by ids. A thing is one cup, motion, part, circuit, cup model, source,
/// layout, tool, acceptance or measurement; site, limits, cycle, title block and project name go by field. What one of them
/// changed is taken, what both changed alike is taken once, what both changed differently is a conflict. What goes with a
/// removed thing goes too; a part, circuit, cup model or source that the other one came to use stays. Things that both added
/// under one number get numbers, and cups tags, of their own. Remarks, answers and decisions of both are kept.
///
/// ```
/// # use std::sync::Arc;
/// # use document::{Edit, Part, PartId, Project, Site, merge};
/// let base = Project::new("Tray line 2", Part::from_outline(PartId(1), "Tray blank", Arc::default()));
/// let mine = Edit::RenameProject("Tray line 3".into()).apply(&base).unwrap();
/// let site = Site { altitude_m: 800.0, ..base.site };
/// let theirs = Edit::ChangeSite { site, what: String::new() }.apply(&base).unwrap();
/// let both = merge(&base, &mine, &theirs);
/// assert!(both.conflicts.is_empty());
/// let project = both.project(&[]).unwrap();
/// assert_eq!((&*project.name, project.site.altitude_m), ("Tray line 3", 800.0));
/// ```
pub fn merge(base: &Project, mine: &Project, theirs: &Project) -> Merge {
    let (mine, theirs) = renumber::apart(base, mine, theirs);
    let sides = Sides { base: base.clone(), mine, theirs };
    let (mine, theirs) = (difference(base, &sides.mine), difference(base, &sides.theirs));
    let mut run = Run { sides: &sides, mine: &mine, theirs: &theirs, choices: None, conflicts: Vec::new() };
    run.project();
    let conflicts = run.conflicts;
    Merge { mine, theirs, conflicts, sides: Arc::new(sides) }
}

impl Merge {
    /// The base, mine and theirs, as [`Merge::mine`] and [`Merge::theirs`] speak of them: things that both added under one
    /// number are apart.
    pub fn sides(&self) -> [&Project; 3] {
        [&self.sides.base, &self.sides.mine, &self.sides.theirs]
    }
    /// The project that comes out, with a choice for each of the conflicts.
    ///
    /// # Errors
    /// There are not as many choices as conflicts, or one of the projects was no sound one.
    pub fn project(&self, choices: &[Choice]) -> Result<Project, MergeError> {
        if choices.len() != self.conflicts.len() {
            return Err(MergeError::Choices { given: choices.len(), wanted: self.conflicts.len() });
        }
        let (sides, mine, theirs) = (&*self.sides, &*self.mine, &*self.theirs);
        let mut run = Run { sides, mine, theirs, choices: Some(choices.iter()), conflicts: Vec::new() };
        let mut project = run.project();
        project.last_id =
            file::checked(&project).map_err(|wrong| MergeError::Contents { says: wrong.says })?;
        Ok(project)
    }
}

/// One way through all things, in the same order each time: the first finds the conflicts, later ones take the choices.
struct Run<'a> {
    sides: &'a Sides,
    mine: &'a [Change],
    theirs: &'a [Change],
    choices: Option<std::slice::Iter<'a, Choice>>,
    conflicts: Vec<Conflict>,
}

impl Run<'_> {
    fn project(&mut self) -> Project {
        let Sides { base, mine, theirs } = self.sides;
        // Whoever changed nothing gets what the other one has, to the letter.
        if mine == base || mine == theirs {
            return theirs.clone();
        }
        if theirs == base {
            return mine.clone();
        }
        let mut project = self.content();
        self.review(&mut project);
        settle::settle(&mut project, self.sides);
        project
    }
    fn choose(&mut self, conflict: impl FnOnce(&Self) -> Conflict) -> Choice {
        if let Some(choices) = &mut self.choices {
            return choices.next().copied().unwrap_or(Choice::Mine);
        }
        let conflict = conflict(self);
        self.conflicts.push(conflict);
        Choice::Mine
    }
    /// A conflict about these changes of a thing.
    fn clash(&self, thing: Thing, called: String, about: impl Fn(&Change) -> bool) -> Conflict {
        let of = |side: &[Change]| side.iter().filter(|c| about(c)).cloned().collect();
        Conflict { thing, called, mine: of(self.mine), theirs: of(self.theirs) }
    }
    /// What a thing is called in the changes, or this.
    fn called(&self, thing: &Thing, otherwise: impl Into<String>) -> String {
        let change = self.theirs.iter().chain(self.mine).find(|c| c.thing == *thing);
        change.map_or_else(|| otherwise.into(), |c| c.called.clone())
    }
    /// Whose version of a whole thing.
    fn whose(&mut self, thing: &Thing, otherwise: &str) -> Choice {
        self.choose(|run| {
            let called = run.called(thing, otherwise);
            run.clash(thing.clone(), called, |c| c.thing == *thing)
        })
    }
    /// Whose version of one field of a thing.
    fn whose_field(&mut self, thing: &Thing, otherwise: &str, field: &FieldPath) -> Choice {
        self.choose(|run| {
            let called = run.called(thing, otherwise);
            run.clash(thing.clone(), called, |c| c.thing == *thing && c.field.is_within(field))
        })
    }
}

impl Choice {
    fn of<T>(self, mine: T, theirs: T) -> T {
        match self {
            Self::Mine => mine,
            Self::Theirs => theirs,
        }
    }
}
