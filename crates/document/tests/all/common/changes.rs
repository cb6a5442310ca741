//! Changes of [`super::tray`] that touch different things, for merges.

use document::*;
use glam::{DVec2, DVec3};
use std::sync::Arc;

/// Actions that touch different things each.
pub const ACTIONS: usize = 27;
/// Actions after those that add things under the next free number.
pub const COLLIDING: usize = 5;

/// `project` after an action; what it says is taken from `base`, so that it is the same for everybody.
pub fn act(project: &Project, base: &Project, action: usize, figure: u8) -> Project {
    edit(project, base, action, f64::from(figure)).apply(project).expect("it is sound")
}

fn edit(now: &Project, base: &Project, action: usize, figure: f64) -> Edit {
    let what = String::new();
    let layout = &base.layouts[0];
    let cups = &layout.cups;
    let cup = |i: usize| now.cup(layout.id, cups[i].id).unwrap_or(&cups[i]).clone();
    let next = now.next_id();
    let whole = |edits: Vec<Edit>| Edit::Together { name: String::new(), edits };
    match action {
        0 => Edit::RenameProject(format!("Tray {figure}")),
        1 => Edit::ChangeSite { site: Site { altitude_m: 100.0 + figure, ..now.site }, what },
        2 => Edit::ChangeSite { site: Site { payload_kg: Some(1.0 + figure), ..now.site }, what },
        3 => Edit::ChangeRules { rules: Rules { gap_watch_mm: 5.0 + figure, ..now.rules }, what },
        4 => {
            let picks_per_hour = Sourced::stated(100.0 + figure);
            Edit::ChangeCycle { cycle: Cycle { picks_per_hour, ..now.cycle.clone() }, what }
        }
        5 => Edit::ChangeSheet {
            sheet: SheetFields { title: format!("T{figure}"), ..now.sheet.clone() },
            what,
        },
        6 => Edit::ChangeSheet {
            sheet: SheetFields { owner: format!("O{figure}"), ..now.sheet.clone() },
            what,
        },
        7 => {
            let part = Part { thickness_mm: 2.0 + figure, ..(*now.parts[0]).clone() };
            Edit::ChangePart { part: Arc::new(part), what }
        }
        8 => {
            let motion = Motion { required_factor: 3.0 + figure, ..(*base.motions[0]).clone() };
            Edit::ChangeMotion { motion: Arc::new(motion), what }
        }
        9 => Edit::RemoveMotion(base.motions[2].id),
        10 => {
            let motion = Motion { tilt_deg: figure, ..Motion::preset(MotionId(1000), MotionKind::Free) };
            Edit::AddMotion(Arc::new(motion))
        }
        11 => Edit::MoveCups { layout: layout.id, to: vec![(cups[1].id, DVec2::new(figure, 7.0))] },
        12 => {
            let cups = vec![Cup { turn_deg: 30.0 + figure, ..cup(2) }];
            Edit::ChangeCups { layout: layout.id, cups, what }
        }
        13 => {
            let new = Cup { id: CupId(1001), tag: "X1".into(), height_mm: figure, ..cups[2].clone() };
            Edit::AddCups { layout: layout.id, cups: vec![new] }
        }
        14 => {
            let mut tool = (*layout.tool).clone();
            tool.flange = DVec3::splat(figure);
            Edit::ChangeTool { layout: layout.id, tool: Arc::new(tool), what }
        }
        15 => Edit::RenameLayout(layout.id, format!("Layout {figure}")),
        16 => {
            let level_kpa = Sourced::stated(30.0 + figure);
            let circuit = Circuit { level_kpa, ..(*base.circuits[1]).clone() };
            Edit::ChangeCircuit { circuit: Arc::new(circuit), what }
        }
        17 => {
            let model = CupModel { mass_g: 70.0 + figure, ..(*base.models[0]).clone() };
            Edit::ChangeModel { model: Arc::new(model), what }
        }
        18 => {
            let source = SourceModel { mass_g: 7.0 + figure, ..(*base.sources[0]).clone() };
            Edit::ChangeSource { source: Arc::new(source), what }
        }
        19 => Edit::Accept(Accepted {
            rule: "load.share".into(),
            subject: vec![cups[1].id],
            motion: None,
            layout: layout.id,
            reason: format!("For {figure}"),
            by: String::new(),
            on: String::new(),
            seat: None,
        }),
        20 => {
            let mut trial = (*now.trial).clone();
            trial.entries.push(TrialEntry {
                value: 1.0 + figure,
                by: "A".into(),
                ..base.trial.entries[1].clone()
            });
            Edit::ChangeTrial { trial: Arc::new(trial), what }
        }
        21 => Edit::AddRemark(remark(1002, figure)),
        22 => Edit::Tick(Tick {
            key: "level".into(),
            asked: String::new(),
            state: String::new(),
            by: String::new(),
            on: format!("2026-05-0{figure}"),
            remark: None,
        }),
        23 => Edit::RemoveCups { layout: layout.id, cups: vec![cups[3].id] },
        24 => {
            let tool = Arc::new(Tool { flange: DVec3::splat(figure), ..Tool::default() });
            let (id, part) = (LayoutId(1003), base.parts[0].id);
            Edit::AddLayout(Arc::new(Layout {
                id,
                name: "New".into(),
                part,
                cups: Vec::new(),
                tool,
                proposed: String::new(),
                seats: Vec::new(),
            }))
        }
        25 => {
            let part = Part { uneven_mm: figure, ..(*base.parts[0]).clone() };
            Edit::AddPart(Arc::new(Part { id: PartId(1004), ..part }))
        }
        26 => Edit::MoveMotion(base.motions[5].id, 0),
        27 => {
            let new = Cup {
                id: CupId(next),
                tag: now.next_tags(layout.id, 1).remove(0),
                height_mm: figure,
                ..cups[2].clone()
            };
            Edit::AddCups { layout: layout.id, cups: vec![new] }
        }
        28 => {
            let motion = Motion { tilt_deg: figure, ..Motion::preset(MotionId(next), MotionKind::Free) };
            Edit::AddMotion(Arc::new(motion))
        }
        29 => {
            let circuit = Circuit::preset(CircuitId(next), &format!("Circuit {figure}"));
            let tag = now.next_tags(layout.id, 1).remove(0);
            let cup = Cup { id: CupId(next + 1), tag, circuit: circuit.id, ..cups[2].clone() };
            let add = Edit::AddCups { layout: layout.id, cups: vec![cup] };
            whole(vec![Edit::AddCircuit(Arc::new(circuit)), add])
        }
        30 => {
            // A copy keeps the ids of the cups.
            let copy = Layout { id: LayoutId(next), ..(**now.layout(layout.id).expect("it stays")).clone() };
            Edit::AddLayout(Arc::new(Layout { name: format!("Copy {figure}"), ..copy }))
        }
        _ => whole(vec![
            Edit::AddRemark(remark(next, figure)),
            Edit::Tick(Tick {
                key: "new".into(),
                asked: String::new(),
                state: String::new(),
                by: String::new(),
                on: String::new(),
                remark: Some(RemarkId(next)),
            }),
        ]),
    }
}
fn remark(id: u32, figure: f64) -> Remark {
    Remark {
        id: RemarkId(id),
        pin: Pin::Whole,
        called: String::new(),
        text: format!("Say {figure}"),
        by: String::new(),
        on: String::new(),
        of: String::new(),
        answers: Vec::new(),
        resolved: None,
    }
}

/// With every list in the order of its ids: what is added to a list by two people may stand in either order.
pub fn normal(project: &Project) -> Project {
    let mut p = project.clone();
    p.parts.sort_by_key(|x| x.id);
    p.motions.sort_by_key(|x| x.id);
    p.circuits.sort_by_key(|x| x.id);
    p.layouts.sort_by_key(|x| x.id);
    for layout in &mut p.layouts {
        Arc::make_mut(layout).cups.sort_by_key(|c| c.id);
    }
    p.accepted.sort_by_key(|a| a.rule.clone());
    Arc::make_mut(&mut p.trial).entries.sort_by_key(|e| format!("{e:?}"));
    let review = Arc::make_mut(&mut p.review);
    review.remarks.sort_by_key(|r| r.id);
    review.ticks.sort_by_key(|t| t.key.clone());
    p
}

/// A line of the revision table of these words, from the last on.
pub fn revision(mut words: Vec<String>) -> Revision {
    let mut word = || words.pop().unwrap_or_default();
    Revision { index: word(), date: word(), by: word(), what: word() }
}
