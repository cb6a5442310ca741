//! The content: things by their ids, settings by their fields.

use super::{Choice, Run, Sides, keyed::Three};
use crate::{
    Cup, FieldPath, Layout, LayoutId, Project, Seat, SheetFields, Thing, Tool, Trial,
    difference::{acceptance, curve, curve_called, entry, entry_called, same_part},
    file::FromForm,
};
use serde_json::{Map, Value};
use std::{hash::Hash, sync::Arc};

/// Shared, or equal.
fn same<T: PartialEq>(a: &Arc<T>, b: &Arc<T>) -> bool {
    Arc::ptr_eq(a, b) || a == b
}
/// The same list of three projects.
fn three<'a, T>(sides: &'a Sides, of: impl Fn(&'a Project) -> &'a [T]) -> Three<'a, T> {
    Three { base: of(&sides.base), mine: of(&sides.mine), theirs: of(&sides.theirs) }
}

impl Run<'_> {
    /// What stands of the content; references may lead nowhere yet.
    pub(super) fn content(&mut self) -> Project {
        let Sides { base, mine, theirs } = self.sides;
        let sides = self.sides;
        let name = self.value([&base.name, &mine.name, &theirs.name], |run| {
            run.whose_field(&Thing::Project, "project", &FieldPath::of("name"))
        });
        let site = self.fields(&Thing::Site, [&base.site, &mine.site, &theirs.site]);
        let rules = self.fields(&Thing::Rules, [&base.rules, &mine.rules, &theirs.rules]);
        let cycle = self.fields(&Thing::Cycle, [&base.cycle, &mine.cycle, &theirs.cycle]);
        let sheet: SheetFields = self.fields(&Thing::Sheet, [&base.sheet, &mine.sheet, &theirs.sheet]);
        let parts = self.things(
            "parts",
            &three(sides, |p| &p.parts),
            |p| p.id,
            |p| (Thing::Part(p.id), format!("part {}", p.name)),
            same_part,
        );
        let circuits = self.things(
            "circuits",
            &three(sides, |p| &p.circuits),
            |c| c.id,
            |c| (Thing::Circuit(c.id), format!("circuit {}", c.name)),
            same,
        );
        let motions = self.things(
            "motions",
            &three(sides, |p| &p.motions),
            |m| m.id,
            |m| (Thing::Motion(m.id), format!("motion {}", m.name)),
            same,
        );
        let layouts = self.layouts(&three(sides, |p| &p.layouts));
        let trial = self.trial();
        let accepted = self.list(
            &three(sides, |p| &p.accepted),
            acceptance,
            |a, b| a == b,
            |run, key, [_, mine, theirs]| run.whose(key, "acceptance").of(mine, theirs).cloned(),
            |run| run.whose_field(&Thing::Project, "project", &FieldPath::of("accepted").order()),
        );
        let models = self.things(
            "models",
            &three(sides, |p| &p.models),
            |m| m.id.clone(),
            |m| (Thing::Model(m.id.clone()), format!("cup model {}", m.name)),
            same,
        );
        let sources = self.things(
            "sources",
            &three(sides, |p| &p.sources),
            |s| s.id.clone(),
            |s| (Thing::Source(s.id.clone()), format!("source {}", s.name)),
            same,
        );
        // Nothing follows from the question: where both put another one either will do, the same one whoever merges.
        let mut asked = [&mine.question, &theirs.question];
        asked.sort_by_key(|question| (**question == base.question, format!("{question:?}")));
        let [question, _] = asked;
        // An aid to drawing, and no content: mine, unless only theirs is another one.
        let traced = if mine.traced == base.traced { theirs } else { mine }.traced.clone();
        let last_id = base.last_id.max(mine.last_id).max(theirs.last_id);
        Project {
            name,
            parts,
            layouts,
            motions,
            circuits,
            models,
            sources,
            cycle,
            trial: Arc::new(trial),
            site,
            rules,
            accepted,
            sheet,
            question: Arc::clone(question),
            issued: Vec::new(),
            traced,
            review: Arc::default(),
            last_id,
        }
    }

    /// A value that is one thing.
    pub(super) fn value<T: Clone + PartialEq>(
        &mut self,
        [base, mine, theirs]: [&T; 3],
        clash: impl FnOnce(&mut Self) -> Choice,
    ) -> T {
        if mine == theirs || theirs == base {
            mine.clone()
        } else if mine == base {
            theirs.clone()
        } else {
            clash(self).of(mine, theirs).clone()
        }
    }

    /// Settings, field by field as the file has them.
    fn fields<T: FromForm + Clone + PartialEq>(&mut self, thing: &Thing, states: [&T; 3]) -> T {
        let [base, mine, theirs] = states;
        if mine == theirs || theirs == base {
            return mine.clone();
        }
        if mine == base {
            return theirs.clone();
        }
        let forms = states.map(|x| if let Value::Object(fields) = x.form() { fields } else { Map::new() });
        let mut merged = Map::new();
        // A side that leaves a field out has what is usual there: the fields of all three count.
        let names: std::collections::BTreeSet<&String> = forms.iter().flat_map(Map::keys).collect();
        for name in names {
            let states = forms.each_ref().map(|fields| fields.get(name).unwrap_or(&Value::Null));
            let value = match rows(states) {
                Some(rows) => self.rows(thing, name, &rows),
                None => self.value(states, |run| run.whose_field(thing, "settings", &FieldPath::of(name))),
            };
            if value != Value::Null || forms.iter().any(|fields| fields.get(name) == Some(&Value::Null)) {
                merged.insert(name.clone(), value);
            }
        }
        // It was put together of fields of the same kind, so it can always be read.
        T::from_form(Value::Object(merged)).unwrap_or_else(|| mine.clone())
    }
    /// Lines of the revision table, by index.
    fn rows(&mut self, thing: &Thing, name: &str, rows: &Three<'_, Value>) -> Value {
        let index = |row: &Value| row["index"].as_str().unwrap_or_default().to_owned();
        let merged = self.list(
            rows,
            index,
            |a, b| a == b,
            |run, index, [_, mine, theirs]| {
                run.whose_field(thing, "title block", &FieldPath::of(name).element(&index.to_string()))
                    .of(mine, theirs)
                    .cloned()
            },
            |run| run.whose_field(thing, "title block", &FieldPath::of(name).order()),
        );
        Value::Array(merged)
    }

    /// Things that are one whole each.
    fn things<T, K: Ord + Clone + Hash>(
        &mut self,
        list: &str,
        lists: &Three<'_, Arc<T>>,
        id: impl Fn(&T) -> K,
        thing: impl Fn(&T) -> (Thing, String),
        same: impl Fn(&Arc<T>, &Arc<T>) -> bool,
    ) -> Vec<Arc<T>> {
        self.list(
            lists,
            |x| id(x),
            same,
            |run, _, [_, mine, theirs]| {
                let (thing, called) = mine.or(theirs).map(|x| thing(x))?;
                run.whose(&thing, &called).of(mine, theirs).cloned()
            },
            |run| run.whose_field(&Thing::Project, "project", &FieldPath::of(list).order()),
        )
    }

    fn layouts(&mut self, lists: &Three<'_, Arc<Layout>>) -> Vec<Arc<Layout>> {
        self.list(
            lists,
            |l| l.id,
            same,
            |run, id, [base, mine, theirs]| match (mine, theirs) {
                (Some(mine), Some(theirs)) => Some(Arc::new(run.layout(base.map(|l| &**l), mine, theirs))),
                _ => {
                    let choice = run.choose(|run| {
                        let called = run.called(&Thing::Layout(*id), "layout");
                        run.clash(Thing::Layout(*id), called, |c| is_of(&c.thing, *id))
                    });
                    choice.of(mine, theirs).cloned()
                }
            },
            |run| run.whose_field(&Thing::Project, "project", &FieldPath::of("layouts").order()),
        )
    }
    fn layout(&mut self, base: Option<&Layout>, mine: &Layout, theirs: &Layout) -> Layout {
        let (id, thing) = (mine.id, Thing::Layout(mine.id));
        let called = mine.name.clone();
        // Without a base each side stands for a change of it.
        let name = self.value([base.map_or(&String::new(), |l| &l.name), &mine.name, &theirs.name], |run| {
            run.whose_field(&thing, &called, &FieldPath::of("name"))
        });
        let part = self.value([&base.map(|l| l.part), &Some(mine.part), &Some(theirs.part)], |run| {
            run.whose_field(&thing, &called, &FieldPath::of("part"))
        });
        let tools: [&Arc<Tool>; 3] = [base.map_or(&mine.tool, |l| &l.tool), &mine.tool, &theirs.tool];
        let tool = self.value(tools, |run| run.whose(&Thing::Tool(id), "tool"));
        let none: &[Cup] = &[];
        let cups = Three { base: base.map_or(none, |l| &l.cups), mine: &mine.cups, theirs: &theirs.cups };
        let cups = self.list(
            &cups,
            |c| c.id,
            |a, b| a == b,
            |run, cup, [_, mine, theirs]| run.whose(&Thing::Cup(id, *cup), "cup").of(mine, theirs).cloned(),
            |run| run.whose_field(&thing, &called, &FieldPath::of("cups").order()),
        );
        let none = String::new();
        let proposed = [base.map_or(&none, |l| &l.proposed), &mine.proposed, &theirs.proposed];
        let proposed =
            self.value(proposed, |run| run.whose_field(&thing, &called, &FieldPath::of("proposed")));
        let none: &[Seat] = &[];
        let seats = Three { base: base.map_or(none, |l| &l.seats), mine: &mine.seats, theirs: &theirs.seats };
        let seats = self.list(
            &seats,
            |s| s.id,
            |a, b| a == b,
            |run, seat, [_, mine, theirs]| {
                run.whose_field(&thing, &called, &FieldPath::of("seats").element(&seat.to_string()))
                    .of(mine, theirs)
                    .cloned()
            },
            |run| run.whose_field(&thing, &called, &FieldPath::of("seats").order()),
        );
        let mut layout = Layout { id, name, part: part.unwrap_or(mine.part), seats, cups, tool, proposed };
        layout.follow_seats();
        layout
    }

    fn trial(&mut self) -> Trial {
        let sides = self.sides;
        // Each side calls it by the names it has.
        let whose = |run: &mut Self, called: [String; 3]| {
            run.choose(|run| {
                let [_, mine, _] = called.clone();
                run.clash(Thing::Trial, mine, |c| c.thing == Thing::Trial && called.contains(&c.called))
            })
        };
        let each = [&sides.base, &sides.mine, &sides.theirs];
        let order = |run: &mut Self, list: &str| {
            run.whose_field(&Thing::Trial, "trial", &FieldPath::of(list).order())
        };
        let entries = self.list(
            &three(sides, |p| &p.trial.entries),
            entry,
            |a, b| a == b,
            |run, _, [_, mine, theirs]| {
                let entry = mine.or(theirs)?;
                whose(run, each.map(|p| entry_called(p, entry))).of(mine, theirs).cloned()
            },
            |run| order(run, "entries"),
        );
        let curves = self.list(
            &three(sides, |p| &p.trial.curves),
            curve,
            |a, b| a == b,
            |run, _, [_, mine, theirs]| {
                let curve = mine.or(theirs)?;
                whose(run, each.map(|p| curve_called(p, curve))).of(mine, theirs).cloned()
            },
            |run| order(run, "curves"),
        );
        Trial { entries, curves }
    }
}

/// Whether a change is of this layout or of something in it.
fn is_of(thing: &Thing, layout: LayoutId) -> bool {
    matches!(thing, Thing::Layout(l) | Thing::Tool(l) | Thing::Cup(l, _) if *l == layout)
}
/// A list whose lines are told apart by their index.
fn rows(states: [&Value; 3]) -> Option<Three<'_, Value>> {
    let mut lists = states.into_iter().map(|state| {
        let rows = state.as_array()?;
        let mut indices: Vec<&str> = rows.iter().map(|row| row["index"].as_str()).collect::<Option<_>>()?;
        let count = indices.len();
        indices.sort_unstable();
        indices.dedup();
        (indices.len() == count).then_some(rows.as_slice())
    });
    Some(Three { base: lists.next()??, mine: lists.next()??, theirs: lists.next()?? })
}
