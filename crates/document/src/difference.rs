//! What differs between two projects: pairs things by their ids and their fields by the names the file gives them.

mod named;
mod parts;
mod walk;

use crate::{
    Accepted, BaselineCurve, CircuitId, Cup, CupId, FieldPath, Layout, LayoutId, ModelId, MotionId, PartId,
    Project, SeatId, SourceId, Trial, TrialEntry, file::Form,
};
pub(crate) use named::{curve as curve_called, entry as entry_called, titled};
pub(crate) use parts::{bare, same_area, same_outline, same_part};
use serde_json::Value;
use std::{collections::HashMap, hash::Hash, sync::Arc};
use walk::fields;

/// One thing added or removed, or one of its fields changed.
#[derive(Debug, Clone, PartialEq)]
pub struct Change {
    /// Added, removed or changed.
    pub kind: ChangeKind,
    /// What it is about.
    pub thing: Thing,
    /// What it is called, in the newer project where it is there: "cup C4", "motion Level lift", "site".
    pub called: String,
    /// As in the file; the order of a list where only that differs. Empty when the whole thing was added or removed.
    pub field: FieldPath,
    /// As in the file, or `None` where there was nothing. Of an outline or a keep-out area only how many vertices it has, and
    /// a checksum.
    pub from: Option<Value>,
    /// As `from`, for what is there now.
    pub to: Option<Value>,
}
/// What became of a thing.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum ChangeKind {
    /// It is new.
    Added,
    /// It is gone.
    Removed,
    /// A field of it is otherwise.
    Changed,
}
/// What a change is about.
#[derive(Debug, Clone, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Thing {
    /// Its name, and the order of its lists.
    Project,
    /// Where the tool works.
    Site,
    /// Limits of the findings.
    Rules,
    /// Picks, hours and prices.
    Cycle,
    /// Title block and revision table.
    Sheet,
    /// An entry or a curve of the trial.
    Trial,
    /// A part.
    Part(PartId),
    /// A layout as a whole, its name, the part it carries, or the order of its cups.
    Layout(LayoutId),
    /// What carries the cups of a layout.
    Tool(LayoutId),
    /// A cup of a layout.
    Cup(LayoutId, CupId),
    /// A motion.
    Motion(MotionId),
    /// A circuit with what feeds it.
    Circuit(CircuitId),
    /// A cup model.
    Model(ModelId),
    /// A source.
    Source(SourceId),
    /// A finding taken on.
    Acceptance {
        /// Where.
        layout: LayoutId,
        /// Name of the rule.
        rule: String,
        /// Cups it is about.
        subject: Vec<CupId>,
        /// Motion it is about.
        motion: Option<MotionId>,
        /// Part on the tool that it is about.
        seat: Option<SeatId>,
    },
    /// Remarks, decisions, ticks and issued revisions: they are no content, and differ in a merge only.
    Review,
}

/// What changed from `old` to `new`, in the order of the file: of the content only, not of issued revisions or of what is
/// said in review. Empty when the contents are the same; the counter of ids does not count. What both share costs nothing.
///
/// ```
/// # use std::sync::Arc;
/// # use document::{ChangeKind, Edit, Part, PartId, Project, difference};
/// let old = Project::new("Tray line 2", Part::from_outline(PartId(1), "Tray blank", Arc::default()));
/// let mut lift = old.motions[0].as_ref().clone();
/// lift.required_factor = 2.5;
/// let new = Edit::ChangeMotion { motion: Arc::new(lift), what: String::new() }.apply(&old).unwrap();
/// let changes = difference(&old, &new);
/// assert_eq!(changes.len(), 1);
/// assert_eq!((changes[0].kind, &*changes[0].called), (ChangeKind::Changed, "motion Level lift"));
/// assert_eq!((changes[0].field.is("required_factor"), &changes[0].to), (true, &Some(2.5.into())));
/// ```
pub fn difference(old: &Project, new: &Project) -> Vec<Change> {
    // Taken apart here, so that a list or field that is new in a project cannot be forgotten.
    let Project {
        name,
        parts,
        layouts,
        motions,
        circuits,
        models,
        sources,
        cycle,
        trial,
        site,
        rules,
        accepted,
        sheet,
        question: _,
        issued: _,
        review: _,
        traced: _,
        last_id: _,
    } = new;
    let mut found = Found(Vec::new());
    if *name != old.name {
        let (from, to) = (Some(old.name.as_str().into()), Some(name.as_str().into()));
        found.changed(&Thing::Project, "project", FieldPath::of("name"), from, to);
    }
    found.one(&Thing::Site, "site", &old.site, site);
    found.one(&Thing::Rules, "finding limits", &old.rules, rules);
    found.one(&Thing::Cycle, "cycle", &old.cycle, cycle);
    found.one(&Thing::Sheet, "title block", &old.sheet, sheet);
    found.parts(&old.parts, parts);
    found.list("circuits", &old.circuits, circuits, |c| c.id, |c| Thing::Circuit(c.id));
    found.list("motions", &old.motions, motions, |m| m.id, |m| Thing::Motion(m.id));
    found.layouts(&old.layouts, layouts);
    found.trial(old, new, trial);
    found.accepted(&old.accepted, accepted);
    found.list("models", &old.models, models, |m| m.id.clone(), |m| Thing::Model(m.id.clone()));
    found.list("sources", &old.sources, sources, |s| s.id.clone(), |s| Thing::Source(s.id.clone()));
    found.0
}

/// What two lists have in common and what not, by keys; a key that is there twice is paired in the order of the list.
pub(crate) struct Paired<'a, T> {
    /// In the order of the newer list.
    pub both: Vec<(&'a T, &'a T)>,
    /// Only in the newer one.
    pub added: Vec<&'a T>,
    /// Only in the older one.
    pub removed: Vec<&'a T>,
    /// Whether what both have stands in another order.
    pub reordered: bool,
}
impl<'a, T> Paired<'a, T> {
    /// Pairs by this key.
    pub fn new<K: Hash + Eq>(old: &'a [T], new: &'a [T], key: impl Fn(&T) -> K) -> Self {
        let mut places: HashMap<K, Vec<usize>> = HashMap::new();
        for (i, thing) in old.iter().enumerate().rev() {
            places.entry(key(thing)).or_default().push(i);
        }
        let mut paired = Self { both: Vec::new(), added: Vec::new(), removed: Vec::new(), reordered: false };
        let mut gone = vec![true; old.len()];
        let mut last = 0;
        for thing in new {
            match places.get_mut(&key(thing)).and_then(Vec::pop) {
                Some(i) => {
                    paired.reordered |= i < last;
                    last = i;
                    gone[i] = false;
                    paired.both.push((&old[i], thing));
                }
                None => paired.added.push(thing),
            }
        }
        paired.removed = old.iter().zip(gone).filter(|(_, gone)| *gone).map(|(thing, _)| thing).collect();
        paired
    }
}

/// What was found so far.
struct Found(Vec<Change>);

impl Found {
    fn changed(
        &mut self,
        thing: &Thing,
        called: &str,
        field: FieldPath,
        from: Option<Value>,
        to: Option<Value>,
    ) {
        let (thing, called) = (thing.clone(), called.to_owned());
        self.0.push(Change { kind: ChangeKind::Changed, thing, called, field, from, to });
    }
    fn added(&mut self, thing: Thing, called: String, to: Value) {
        let to = Some(to);
        self.0.push(Change {
            kind: ChangeKind::Added,
            thing,
            called,
            field: FieldPath::default(),
            from: None,
            to,
        });
    }
    fn removed(&mut self, thing: Thing, called: String, from: Value) {
        let from = Some(from);
        self.0.push(Change {
            kind: ChangeKind::Removed,
            thing,
            called,
            field: FieldPath::default(),
            from,
            to: None,
        });
    }
    /// Fields of one thing.
    fn fields(&mut self, thing: &Thing, called: &str, old: &Value, new: &Value) {
        fields(FieldPath::default(), old, new, &mut |field, from, to| {
            self.changed(thing, called, field, from, to)
        });
    }
    /// A thing that is there once.
    fn one<T: Form + PartialEq>(&mut self, thing: &Thing, called: &str, old: &T, new: &T) {
        if old != new {
            self.fields(thing, called, &old.form(), &new.form());
        }
    }
    /// The order of a list, where it is not that of the older one; things that one of the two lacks are left out.
    fn order<T, K: Into<Value>>(
        &mut self,
        (thing, called): (&Thing, &str),
        list: &str,
        old: &[T],
        new: &[T],
        paired: &Paired<'_, T>,
        key: impl Fn(&T) -> K,
    ) {
        if paired.reordered {
            let to: Vec<Value> = paired.both.iter().map(|(_, new)| key(new).into()).collect();
            let common = |x: &&T| !paired.removed.iter().any(|gone| std::ptr::eq(*gone, *x));
            let from: Vec<Value> = old.iter().filter(common).map(|x| key(x).into()).collect();
            debug_assert!(from.len() == to.len() && new.len() >= to.len());
            self.changed(thing, called, FieldPath::of(list).order(), Some(from.into()), Some(to.into()));
        }
    }
    /// Things with ids that are compared field by field.
    fn list<T: Form + PartialEq + named::Named, K: Hash + Eq + Into<Value>>(
        &mut self,
        list: &str,
        old: &[Arc<T>],
        new: &[Arc<T>],
        id: impl Fn(&T) -> K,
        thing: impl Fn(&T) -> Thing,
    ) {
        let paired = Paired::new(old, new, |x| id(x));
        for (old, new) in &paired.both {
            if !Arc::ptr_eq(old, new) && old != new {
                self.fields(&thing(new), &new.called(), &old.form(), &new.form());
            }
        }
        for new in &paired.added {
            self.added(thing(new), new.called(), new.form());
        }
        for old in &paired.removed {
            self.removed(thing(old), old.called(), old.form());
        }
        self.order((&Thing::Project, "project"), list, old, new, &paired, |x| id(x));
    }

    fn layouts(&mut self, old: &[Arc<Layout>], new: &[Arc<Layout>]) {
        let paired = Paired::new(old, new, |l| l.id);
        for (old, new) in &paired.both {
            if !Arc::ptr_eq(old, new) {
                self.layout(old, new);
            }
        }
        for new in &paired.added {
            self.added(Thing::Layout(new.id), titled("layout", &new.name), new.form());
        }
        for old in &paired.removed {
            self.removed(Thing::Layout(old.id), titled("layout", &old.name), old.form());
        }
        self.order((&Thing::Project, "project"), "layouts", old, new, &paired, |l| l.id);
    }
    fn layout(&mut self, old: &Layout, new: &Layout) {
        // Cups and tool are things of their own.
        let bare = |l: &Layout| Layout { cups: Vec::new(), tool: Arc::default(), ..l.clone() }.form();
        let (thing, called) = (Thing::Layout(new.id), titled("layout", &new.name));
        self.fields(&thing, &called, &bare(old), &bare(new));
        if !Arc::ptr_eq(&old.tool, &new.tool) {
            self.one(&Thing::Tool(new.id), &format!("tool of {called}"), &*old.tool, &*new.tool);
        }
        let paired = Paired::new(&old.cups, &new.cups, |c| c.id);
        let cup = |c: &Cup| (Thing::Cup(new.id, c.id), titled("cup", &c.tag));
        for (old, new) in &paired.both {
            let (thing, called) = cup(new);
            self.one(&thing, &called, *old, *new);
        }
        for new in &paired.added {
            let (thing, called) = cup(new);
            self.added(thing, called, new.form());
        }
        for old in &paired.removed {
            let (thing, called) = cup(old);
            self.removed(thing, called, old.form());
        }
        self.order((&thing, &called), "cups", &old.cups, &new.cups, &paired, |c| c.id);
    }

    fn trial(&mut self, was: &Project, is: &Project, new: &Trial) {
        let old = &*was.trial;
        if std::ptr::eq(old, new) || old == new {
            return;
        }
        self.measured("entries", (was, &old.entries), (is, &new.entries), entry, named::entry);
        self.measured("curves", (was, &old.curves), (is, &new.curves), curve, named::curve);
    }
    fn measured<T: Form + PartialEq, K: Hash + Eq>(
        &mut self,
        list: &str,
        (was, old): (&Project, &[T]),
        (is, new): (&Project, &[T]),
        what: impl Fn(&T) -> K,
        called: fn(&Project, &T) -> String,
    ) {
        let paired = Paired::new(old, new, what);
        for (old, new) in &paired.both {
            self.one(&Thing::Trial, &called(is, new), *old, *new);
        }
        for new in &paired.added {
            self.added(Thing::Trial, called(is, new), new.form());
        }
        for old in &paired.removed {
            self.removed(Thing::Trial, called(was, old), old.form());
        }
        self.order((&Thing::Trial, "trial"), list, old, new, &paired, |x| called(is, x));
    }

    fn accepted(&mut self, old: &[Accepted], new: &[Accepted]) {
        let paired = Paired::new(old, new, acceptance);
        let called = |a: &Accepted| format!("acceptance of {}", a.rule);
        for (old, new) in &paired.both {
            self.one(&acceptance(new), &called(new), *old, *new);
        }
        for new in &paired.added {
            self.added(acceptance(new), called(new), new.form());
        }
        for old in &paired.removed {
            self.removed(acceptance(old), called(old), old.form());
        }
        self.order((&Thing::Project, "project"), "accepted", old, new, &paired, |a| a.rule.clone());
    }
}

/// The finding that was taken on.
pub(crate) fn acceptance(a: &Accepted) -> Thing {
    Thing::Acceptance {
        layout: a.layout,
        rule: a.rule.clone(),
        subject: a.subject.clone(),
        motion: a.motion,
        seat: a.seat,
    }
}
/// What tells entries of the trial apart: what was measured, when and by whom.
pub(crate) fn entry(e: &TrialEntry) -> impl Hash + Ord + Clone + use<> {
    (format!("{:?}", e.what), e.stage as u8, e.on.clone(), e.by.clone())
}
/// What tells curves of the trial apart.
pub(crate) fn curve(c: &BaselineCurve) -> impl Hash + Ord + Clone + use<> {
    (c.circuit, c.cup, c.kind as u8, c.stage as u8, c.on.clone())
}
