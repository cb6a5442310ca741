//! The forms of the window and how each is opened, on a project in which they have all of their fields.

use crate::hands::{Window, at, click, ready, run_command, type_into, window_in};
use document::{
    Arrangement, Attached, AttachedId, BlowOff, BranchLine, Cells, Coil, Exhaust, FrameId, FramePiece,
    FrictionPair, LineLength, MassBy, Motion, MotionId, MotionKind, Project, Restriction, Sourced, Supply,
    Thresholds, Worst, ZoneValve,
};
use egui::{Key, Modifiers, Role};
use egui_kittest::kittest::{NodeT as _, Queryable as _};
use glam::{DVec2, DVec3};
use std::{
    path::{Path, PathBuf},
    sync::Arc,
};

/// A project in which every form has all of its fields.
pub(super) fn full() -> Project {
    let demo = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("../demo-projects/tray-blank.ron");
    let (mut project, _) = document::open(&demo).unwrap();
    let mut next = project.last_id;
    let mut id = || {
        next += 1;
        next
    };
    let mass = |id, name: &str| Attached {
        size: DVec3::new(30.0, 20.0, 1.0 / 3.0),
        ..Attached::point(AttachedId(id), name, 1.0 / 7.0, DVec3::new(516.667, 743.075, 10.0))
    };
    let part = Arc::make_mut(&mut project.parts[0]);
    part.thickness_mm = 9.525;
    part.mass = MassBy::Density { kg_m3: Sourced::assumed(7850.0 / 7.0) };
    part.attached = vec![mass(id(), "Label")];
    part.permeance_um_pa_s = Some(Sourced::assumed(0.001_234_567));
    part.pairs = vec![FrictionPair { lip_material: "NBR".into(), friction: Sourced::assumed(0.5 / 0.7) }];
    let circuit = project.circuits[0].id;
    let layout = Arc::make_mut(&mut project.layouts[0]);
    layout.cups[0].at = DVec2::new(516.667 / 3.0, 743.075 / 7.0);
    layout.cups[1].zone = "B".into();
    let (layout, cup) = (layout.id, layout.cups[0].id);
    let tool = Arc::make_mut(&mut Arc::make_mut(&mut project.layouts[0]).tool);
    tool.flange = DVec3::new(1000.0 / 3.0, 200.0, 150.0);
    tool.masses = vec![mass(id(), "Valve")];
    tool.frame = vec![
        FramePiece::rail(FrameId(id()), "Rail 1", DVec2::new(0.0, 60.0), 500.0 / 3.0, 1.0 / 3.0),
        FramePiece::plate(FrameId(id()), "Plate 1", DVec2::new(0.0, 60.0), 500.0, 300.0),
    ];
    let mut motion = |name: &str, change: &dyn Fn(&mut Motion)| {
        let mut motion = Motion::preset(MotionId(id()), MotionKind::Free);
        motion.name = name.into();
        motion.tilt_deg = 100.0 / 3.0;
        motion.acceleration = DVec3::new(1.0 / 3.0, 2.0, 0.0);
        motion.inertia_times = 2.0;
        change(&mut motion);
        Arc::new(motion)
    };
    let motions = [
        motion("Stated", &|_| {}),
        motion("In any direction", &|m| m.worst = Worst::Direction),
        motion("Tilted over", &|m| m.worst = Worst::TiltTo { deg: 500.0 / 3.0 }),
        motion("By stroke", &|m| m.stroke = Motion::preset(m.id, MotionKind::StrokeAndTime).stroke),
    ];
    project.motions.extend(motions);
    project.last_id = next;
    let source = document::sources()[0].clone();
    project.sources.push(source.clone());
    let mut supply = Supply::preset(&project, layout, circuit, &source, Arrangement::Central).unwrap();
    let valve = Restriction { c_dm3_s_bar: 1.0 / 3.0, b: 0.3 };
    supply.restrictor = Some(valve);
    supply.filter = Some(valve);
    supply.valves = ["A", "B"]
        .map(|zone| ZoneValve { zone: zone.into(), restriction: valve, check_valve: true, manifold: None })
        .to_vec();
    supply.area_gripper = Some(Cells { count: 24, bore_mm: 4.0, restrictor: valve });
    supply.main.coil = Some(Coil { turns: 5.5, diameter_mm: 50.0 });
    supply.operation.blow_off = BlowOff::Valve { restriction: valve, feed_kpa: 400.0 };
    supply.operation.vessel_ml = 1000.0 / 3.0;
    supply.operation.exhaust = Some(Exhaust { silencer: Some(valve), ..Exhaust::preset(12.0) });
    let mut line = supply.branch.clone();
    line.length = LineLength::Typed { mm: 1000.0 / 3.0 };
    supply.branches = vec![BranchLine { cup, line }];
    let circuit = Arc::make_mut(&mut project.circuits[0]);
    circuit.supply = Some(Arc::new(supply));
    circuit.thresholds = Some(Thresholds::preset(50.0));
    project
}

/// Where the window stands open for a run of fields.
pub(super) struct Form {
    pub(super) name: &'static str,
    open: fn(&mut Window<'_>),
    /// Whether every group of the main window is unfolded.
    unfolded: bool,
    /// How many fields it has. Another number means that the form is not the one that was meant, or has changed.
    pub(super) fields: usize,
}

pub(super) fn key(window: &mut Window<'_>, modifiers: Modifiers, key: Key) {
    window.key_press_modifiers(modifiers, key);
    ready(window);
}

fn motion(window: &mut Window<'_>, name: &str) {
    click(window, &format!("Motion {name}"));
}

fn library(window: &mut Window<'_>, lip: &str) {
    key(window, Modifiers::COMMAND, Key::L);
    click(window, "New model…");
    click(window, "Lip");
    window.get_all_by_label(lip).last().unwrap().click();
    ready(window);
}

fn source(window: &mut Window<'_>, kind: Option<&str>) {
    run_command(window, "sources");
    click(window, "New source…");
    if let Some(kind) = kind {
        click(window, "Kind");
        click(window, kind);
    }
}

fn measured(window: &mut Window<'_>, kind: &str) {
    run_command(window, "measurements");
    if kind != "slide test: friction" {
        click(window, "Measured");
        click(window, kind);
    }
}

fn sketch(window: &mut Window<'_>, form: &str) {
    run_command(window, "sketch");
    click(window, form);
}

/// The forms, the main window first: those of a dialog are told from the ones behind it.
pub(super) fn forms() -> Vec<Form> {
    let form = |name, fields, open| Form { name, open, fields, unfolded: false };
    let whole = |name, fields, open| Form { name, open, fields, unfolded: true };
    vec![
        whole("inputs, stated motion", 140, |w| motion(w, "Stated")),
        form("motion in any direction", 16, |w| motion(w, "In any direction")),
        form("motion tilted over", 18, |w| motion(w, "Tilted over")),
        form("motion by stroke", 19, |w| motion(w, "By stroke")),
        form("cup", 6, |w| click(w, "Cup C1")),
        form("rows", 4, |w| run_command(w, "repeat in rows")),
        form("ring", 3, |w| run_command(w, "repeat on a ring")),
        form("title block", 17, |w| run_command(w, "title block")),
        form("finding limits", 14, |w| run_command(w, "finding limits")),
        form("round cup model", 21, |w| library(w, "round")),
        form("long cup model", 22, |w| library(w, "long")),
        form("rectangular cup model", 23, |w| library(w, "rectangle")),
        form("ejector", 35, |w| source(w, None)),
        form("pump", 15, |w| source(w, Some("pump"))),
        form("friction measured", 3, |w| measured(w, "slide test: friction")),
        form("level measured", 2, |w| measured(w, "level at a cup")),
        form("time measured", 3, |w| measured(w, "time to a level")),
        form("leak-down measured", 4, |w| measured(w, "leak-down")),
        form("rounded sketch", 5, |w| sketch(w, "Rounded")),
        form("angle sketch", 6, |w| sketch(w, "L")),
        form("ring sketch", 4, |w| sketch(w, "Ring")),
        form("polygon sketch", 2, |w| sketch(w, "Polygon")),
        form("corner", 3, |w| {
            run_command(w, "drag corners and edges");
            let corner = w.query_all_by_label_contains("Corner 1 of").next().unwrap().rect().center();
            at(w, corner);
        }),
        form("import", 2, |w| {
            let drawing = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("../demo-projects/moulded-tray.dxf");
            run_command(w, "import");
            type_into(w, "Path of the file", drawing.to_str().unwrap());
        }),
    ]
}

/// Fields in sight of a person: id and name.
pub(super) fn fields(window: &Window<'_>) -> Vec<(String, String)> {
    let inputs =
        window.query_all_by_role(Role::TextInput).chain(window.query_all_by_role(Role::MultilineTextInput));
    inputs
        .map(|n| (format!("{:?}", n.accesskit_node().id()), n.accesskit_node().label().unwrap_or_default()))
        .collect()
}

pub(super) fn value(window: &Window<'_>, id: &str) -> Option<String> {
    field(window, id).and_then(|n| n.value())
}

pub(super) fn field<'w>(window: &'w Window<'_>, id: &str) -> Option<egui_kittest::Node<'w>> {
    window.query_all_by_role(Role::TextInput).find(|n| format!("{:?}", n.accesskit_node().id()) == id)
}

pub(super) fn enter(window: &mut Window<'_>, id: &str) {
    field(window, id).unwrap().focus();
    window.step();
}

pub(super) fn tab(window: &mut Window<'_>) {
    window.key_press(Key::Tab);
    window.run_steps(2);
}

/// A window on the full project with everything unfolded, and the form open; the fields that belong to the form.
pub(super) fn opened(form: &Form, saved: &Path, units: Units) -> (Window<'static>, Vec<(String, String)>) {
    let mut window = window_in(None, Some(saved.to_owned()));
    if units != Units::Metric {
        key(&mut window, Modifiers::COMMAND, Key::U);
        click(&mut window, "Inch, pound");
        if units == Units::InchComma {
            click(&mut window, "Decimal comma");
        }
        click(&mut window, "Close");
    }
    if form.unfolded {
        let mut unfold = |label: &str, last: bool| {
            let found = |w: &Window<'_>| {
                let all: Vec<egui::Rect> = w.query_all_by_label(label).map(|n| n.rect()).collect();
                if last { all.len() - 1 } else { 0 }
            };
            let at = found(&window);
            window.get_all_by_label(label).nth(at).unwrap().scroll_to_me();
            ready(&mut window);
            window.get_all_by_label(label).nth(at).unwrap().click();
            ready(&mut window);
        };
        unfold("more…", false);
        unfold("details…", true);
        unfold("details…", false);
        crate::hands::unfold(&mut window);
    }
    if matches!(form.name, "rows" | "ring") {
        click(&mut window, "Cup C1");
    }
    let before = fields(&window);
    (form.open)(&mut window);
    ready(&mut window);
    let mut here = fields(&window);
    if form.name != "inputs, stated motion" {
        here.retain(|f| !before.contains(f));
    }
    (window, here)
}

#[derive(Clone, Copy, PartialEq, Debug)]
pub(super) enum Units {
    Metric,
    Inch,
    InchComma,
}

impl Units {
    /// As the button "Inch, pound" picks them.
    pub(super) fn choice(self) -> units::UnitChoice {
        match self {
            Self::Metric => units::UnitChoice::default(),
            Self::Inch | Self::InchComma => units::UnitChoice {
                length: units::LengthUnit::Inch,
                pressure: units::PressureUnit::InchMercury,
                force: units::ForceUnit::PoundForce,
                mass: units::MassUnit::Pound,
                acceleration: units::AccelerationUnit::Gravity,
                flow: units::FlowUnit::StandardCubicFootPerMinute,
                decimal_comma: self == Self::InchComma,
            },
        }
    }
}

pub(super) fn saved(folder: &Path) -> PathBuf {
    let path = folder.join("full.ron");
    document::save(&full(), &path, None).unwrap();
    path
}
