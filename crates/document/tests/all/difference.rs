//! What differs between two projects is told field by field, and nothing is passed over.
use crate::common;

use document::*;
use geometry::{Outline, Vertex};
use glam::DVec2;
use proptest::prelude::*;
use serde_json::json;
use std::sync::Arc;

fn after(project: &Project, edit: Edit) -> Project {
    edit.apply(project).unwrap()
}
fn only(changes: Vec<Change>) -> Change {
    let [change]: [Change; 1] = changes.try_into().unwrap();
    change
}
/// "changed cup C2 at", one a line.
fn told(changes: &[Change]) -> Vec<String> {
    let line = |c: &Change| format!("{:?} {} {}", c.kind, c.called, c.field).to_lowercase();
    changes.iter().map(|c| line(c).trim_end().to_owned()).collect()
}

#[test]
fn a_cup_that_was_moved_and_swapped_is_told_by_field() {
    let old = common::tray();
    let layout = &old.layouts[0];
    let mut cup = layout.cups[1].clone();
    cup.at = DVec2::new(240.0, 161.5);
    cup.model = layout.cups[3].model.clone();
    let id = cup.id;
    let edit = Edit::ChangeCups { layout: layout.id, cups: vec![cup], what: String::new() };
    let changes = difference(&old, &after(&old, edit));
    assert_eq!(told(&changes), ["changed cup c2 at", "changed cup c2 model"]);
    assert_eq!(changes[0].thing, Thing::Cup(layout.id, id));
    assert_eq!(
        (&changes[0].from, &changes[0].to),
        (&Some(json!([233.5, 160.0])), &Some(json!([240.0, 161.5])))
    );
}

#[test]
fn added_and_removed_things_are_told_whole() {
    let old = common::tray();
    let layout = old.layouts[0].id;
    let gone = old.layouts[0].cups[0].clone();
    let removed = after(&old, Edit::RemoveCups { layout, cups: vec![gone.id] });
    let changes = difference(&old, &removed);
    assert_eq!(told(&changes), ["removed cup c1", "removed acceptance of seat.overlap"]);
    assert_eq!(changes[0].from.as_ref().unwrap()["at"], json!([100.0, 80.0]));
    assert_eq!((changes[0].field.to_string().as_str(), &changes[0].to), ("", &None));
    let back = difference(&removed, &old);
    assert_eq!(told(&back), ["added cup c1", "added acceptance of seat.overlap"]);
    assert_eq!(back[0].to, changes[0].from);

    let copy = Layout { id: LayoutId(90), name: "Two round".into(), ..(*old.layouts[0]).clone() };
    let two = after(&old, Edit::AddLayout(Arc::new(copy)));
    let change = only(difference(&old, &two));
    assert_eq!((change.kind, &*change.called), (ChangeKind::Added, "layout Two round"));
    assert_eq!(change.to.unwrap()["cups"].as_array().unwrap().len(), 4);
}

#[test]
fn a_field_deep_inside_is_named_from_its_thing_on() {
    let old = common::tray();
    let mut circuit = (*old.circuits[0]).clone();
    let supply = Arc::make_mut(circuit.supply.as_mut().unwrap());
    supply.main.bore_mm = 9.0;
    supply.branches[0].line.bore_mm = 5.0;
    supply.main.length = LineLength::Typed { mm: 900.0 };
    supply.filter = None;
    supply.valves.clear();
    let circuit = Edit::ChangeCircuit { circuit: Arc::new(circuit), what: String::new() };
    let mut tool = (*old.layouts[0].tool).clone();
    tool.masses[1].mass_kg = 1.5;
    tool.masses.swap(0, 1);
    let tool = Edit::ChangeTool { layout: old.layouts[0].id, tool: Arc::new(tool), what: String::new() };
    let new = after(&old, Edit::Together { name: String::new(), edits: vec![circuit, tool] });
    let mut fields: Vec<String> = difference(&old, &new).into_iter().map(|c| c.field.to_string()).collect();
    fields.sort();
    let expected = [
        "masses.order",
        "masses[17].mass_kg",
        "supply.branches[14].line.bore_mm",
        "supply.filter",
        "supply.main.bore_mm",
        "supply.main.length",
        "supply.valves[A]",
    ];
    assert_eq!(fields, expected);
    let length =
        difference(&old, &new).into_iter().find(|c| c.field.to_string() == "supply.main.length").unwrap();
    assert_eq!(length.from, Some(json!({ "Plan": { "slack_mm": 120.0 } })));
    assert_eq!(length.to, Some(json!({ "Typed": { "mm": 900.0 } })));
    let filter = difference(&old, &new).into_iter().find(|c| c.field.to_string() == "supply.filter").unwrap();
    assert_eq!((filter.from, filter.to), (Some(json!({ "c_dm3_s_bar": 3.0, "b": 0.4 })), None));
}

#[test]
fn another_order_is_one_change_of_the_list() {
    let old = common::tray();
    let new = after(&old, Edit::MoveMotion(old.motions[2].id, 0));
    let change = only(difference(&old, &new));
    assert_eq!((&change.thing, &*change.field.to_string()), (&Thing::Project, "motions.order"));
    assert_eq!(change.from, Some(json!([6, 7, 8, 9, 10, 15])));
    assert_eq!(change.to, Some(json!([8, 6, 7, 9, 10, 15])));
    // Taking one out of the middle leaves the others in their order.
    let gone = after(&old, Edit::RemoveMotion(old.motions[2].id));
    assert_eq!(told(&difference(&old, &gone)), ["removed motion carry on edge"]);

    let mut cups = old.clone();
    Arc::make_mut(&mut cups.layouts[0]).cups.rotate_left(1);
    let change = only(difference(&old, &cups));
    assert_eq!((change.thing, &*change.field.to_string()), (Thing::Layout(old.layouts[0].id), "cups.order"));
}

#[test]
fn an_outline_is_told_in_short() {
    let old = common::tray();
    let mut part = (*old.parts[0]).clone();
    let mut outline = (*part.outline).clone();
    outline.outer.vertices.push(Vertex { at: DVec2::new(-5.0, 10.0), bulge: 0.0 });
    part.outline = Arc::new(outline);
    let mut area = (*part.keep_outs[0].area).clone();
    area.vertices[0].bulge = 0.25;
    part.keep_outs[0].area = Arc::new(area);
    let new = after(&old, Edit::ChangePart { part: Arc::new(part), what: String::new() });
    let changes = difference(&old, &new);
    let mut names = told(&changes);
    names.sort();
    assert_eq!(names, ["changed part tray blank keep_outs[2].area", "changed part tray blank outline"]);
    let outline = changes.iter().find(|c| c.field.to_string() == "outline").unwrap();
    let (from, to) = (outline.from.as_ref().unwrap(), outline.to.as_ref().unwrap());
    assert_eq!((&from["vertices"], &to["vertices"], &to["holes"]), (&json!(11), &json!(12), &json!(1)));
    assert_ne!(from["checksum"], to["checksum"]);
    // The same vertices in another place of memory are no change.
    let mut twin = old.clone();
    let part = Arc::make_mut(&mut twin.parts[0]);
    part.outline = Arc::new(Outline::clone(&part.outline));
    assert_eq!(difference(&old, &twin), []);
}

#[test]
fn what_was_measured_is_told_by_what_was_measured() {
    let old = common::tray();
    let mut trial = (*old.trial).clone();
    trial.entries[0].value = 57.0;
    let dropped = trial.entries.remove(3);
    trial.entries.push(TrialEntry { on: "2026-04-01".into(), ..dropped });
    trial.curves[1].points.push((90.0, 51.0));
    let new = after(&old, Edit::ChangeTrial { trial: Arc::new(trial), what: String::new() });
    let expected = [
        "changed trial, the level at the cup (cup c4), at commissioning value",
        "added trial, the friction of the slide test (nitrile rubber), at commissioning",
        "removed trial, the friction of the slide test (nitrile rubber), at commissioning",
        "changed trial, leak-down curve (circuit 1), later, in the field points",
    ];
    assert_eq!(told(&difference(&old, &new)), expected);
}

#[test]
fn what_is_no_content_is_no_difference() {
    let old = common::tray();
    let said = Remark {
        id: RemarkId(old.next_id()),
        pin: Pin::Whole,
        called: "the project".into(),
        text: "Why two zones?".into(),
        by: "M. Huber".into(),
        on: "2026-03-01".into(),
        of: old.fingerprint(),
        answers: Vec::new(),
        resolved: None,
    };
    let new = after(&old, Edit::AddRemark(said));
    assert_ne!(old, new);
    assert_eq!(difference(&old, &new), []);
    let counted = Project { last_id: old.last_id + 5, ..old.clone() };
    assert_eq!(difference(&old, &counted), []);
}

/// One digit of the file after the other is replaced: whatever the reader takes for another project is told.
#[test]
fn no_figure_of_the_file_is_passed_over() {
    let old = common::tray();
    let text = to_text(&old);
    let start = text.find("\n(").unwrap();
    let mut differing = 0;
    let digits = text.bytes().enumerate().skip(start).filter(|(_, b)| b.is_ascii_digit());
    for (at, digit) in digits.step_by(3) {
        let other = if digit == b'7' { '8' } else { '7' };
        let changed = format!("{}{other}{}", &text[..at], &text[at + 1..]);
        let Ok(new) = from_text(&changed, "tray.ron") else { continue };
        let same = Project { last_id: old.last_id, ..new.content() } == old.content();
        let line = text[..at].lines().count();
        assert_eq!(difference(&old, &new).is_empty(), same, "line {line}");
        assert_eq!(difference(&new, &old).is_empty(), same, "line {line}");
        differing += usize::from(!same);
    }
    assert!(differing > 200, "{differing}");
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(32))]

    #[test]
    fn there_is_a_difference_exactly_between_what_differs(a in common::project(), b in common::project()) {
        prop_assert_eq!(difference(&a, &a), vec![]);
        prop_assert_eq!(difference(&a, &a.clone()), vec![]);
        let same = Project { last_id: a.last_id, ..b.content() } == a.content();
        let changes = difference(&a, &b);
        prop_assert_eq!(changes.is_empty(), same);
        // The other way round the same things differ, with the sides swapped.
        let key = |c: &Change| format!("{:?} {:?}", c.thing, c.field);
        let mut there: Vec<_> = changes.iter().map(|c| (key(c), c.from.clone(), c.to.clone())).collect();
        let mut back: Vec<_> = difference(&b, &a).iter().map(|c| (key(c), c.to.clone(), c.from.clone())).collect();
        there.sort_by(|a, b| format!("{a:?}").cmp(&format!("{b:?}")));
        back.sort_by(|a, b| format!("{a:?}").cmp(&format!("{b:?}")));
        prop_assert_eq!(there, back);
    }

    /// Each part of an arbitrary project, put into another, is told.
    #[test]
    fn every_list_and_field_counts(a in common::project(), b in common::project(), which in 0usize..12) {
        let mut new = a.clone();
        match which {
            0 => new.name = b.name,
            1 => new.parts = b.parts,
            2 => new.layouts = b.layouts,
            3 => new.motions = b.motions,
            4 => new.circuits = b.circuits,
            5 => new.models = b.models,
            6 => new.sources = b.sources,
            7 => new.cycle = b.cycle,
            8 => new.trial = b.trial,
            9 => new.site = b.site,
            10 => (new.rules, new.sheet) = (b.rules, b.sheet),
            _ => new.accepted = b.accepted,
        }
        prop_assert_eq!(difference(&a, &new).is_empty(), a == new);
    }
}
