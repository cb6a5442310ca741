//! What is typed into any field of any form is what is stored, and a field that was only entered changes nothing. The forms
//! are opened by their names, their fields are found by what they are, so that a new field is tried without being listed here.

use crate::hands::{Window, at, click, cup_centre, ready, type_into, window_in};
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

/// What a figure is typed as: nothing about it is round.
const TIMES: f64 = 0.987_654_321_012_3;
/// Typed where there was nothing.
const SMALL: f64 = 0.012_345_678_901_23;

/// A project in which every form has all of its fields.
fn full() -> Project {
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
struct Form {
    name: &'static str,
    open: fn(&mut Window<'_>),
    /// Whether every group of the main window is unfolded.
    unfolded: bool,
    /// How many fields it has. Another number means that the form is not the one that was meant, or has changed.
    fields: usize,
}

fn key(window: &mut Window<'_>, modifiers: Modifiers, key: Key) {
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

fn command(window: &mut Window<'_>, words: &str) {
    key(window, Modifiers::COMMAND, Key::K);
    window.get_by_label("Find a command").type_text(words);
    ready(window);
    key(window, Modifiers::NONE, Key::Enter);
}

fn source(window: &mut Window<'_>, kind: Option<&str>) {
    command(window, "sources");
    click(window, "New source…");
    if let Some(kind) = kind {
        click(window, "Kind");
        click(window, kind);
    }
}

fn measured(window: &mut Window<'_>, kind: &str) {
    command(window, "measurements");
    if kind != "slide test: friction" {
        click(window, "Measured");
        click(window, kind);
    }
}

fn sketch(window: &mut Window<'_>, form: &str) {
    command(window, "sketch");
    click(window, form);
}

/// The forms, the main window first: those of a dialog are told from the ones behind it.
fn forms() -> Vec<Form> {
    let form = |name, fields, open| Form { name, open, fields, unfolded: false };
    let whole = |name, fields, open| Form { name, open, fields, unfolded: true };
    vec![
        whole("inputs, stated motion", 140, |w| motion(w, "Stated")),
        form("motion in any direction", 16, |w| motion(w, "In any direction")),
        form("motion tilted over", 18, |w| motion(w, "Tilted over")),
        form("motion by stroke", 19, |w| motion(w, "By stroke")),
        form("cup", 6, |w| click(w, "Cup C1")),
        form("rows", 4, |w| command(w, "repeat in rows")),
        form("ring", 3, |w| command(w, "repeat on a ring")),
        form("title block", 17, |w| command(w, "title block")),
        form("finding limits", 14, |w| command(w, "finding limits")),
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
            command(w, "drag corners and edges");
            let corner = w.query_all_by_label_contains("Corner 1 of").next().unwrap().rect().center();
            at(w, corner);
        }),
        form("import", 2, |w| {
            let drawing = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("../demo-projects/moulded-tray.dxf");
            command(w, "import");
            type_into(w, "Path of the file", drawing.to_str().unwrap());
        }),
    ]
}

/// Fields in sight of a person: id and name.
fn fields(window: &Window<'_>) -> Vec<(String, String)> {
    let inputs =
        window.query_all_by_role(Role::TextInput).chain(window.query_all_by_role(Role::MultilineTextInput));
    inputs
        .map(|n| (format!("{:?}", n.accesskit_node().id()), n.accesskit_node().label().unwrap_or_default()))
        .collect()
}

fn value(window: &Window<'_>, id: &str) -> Option<String> {
    field(window, id).and_then(|n| n.value())
}

fn field<'w>(window: &'w Window<'_>, id: &str) -> Option<egui_kittest::Node<'w>> {
    window.query_all_by_role(Role::TextInput).find(|n| format!("{:?}", n.accesskit_node().id()) == id)
}

fn enter(window: &mut Window<'_>, id: &str) {
    field(window, id).unwrap().focus();
    window.step();
}

fn tab(window: &mut Window<'_>) {
    window.key_press(Key::Tab);
    window.run_steps(2);
}

/// A window on the full project with everything unfolded, and the form open; the fields that belong to the form.
fn opened(form: &Form, saved: &Path, units: Units) -> (Window<'static>, Vec<(String, String)>) {
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
enum Units {
    Metric,
    Inch,
    InchComma,
}

impl Units {
    /// As the button "Inch, pound" picks them.
    fn choice(self) -> units::UnitChoice {
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

fn saved(folder: &Path) -> PathBuf {
    let path = folder.join("full.ron");
    document::save(&full(), &path, None).unwrap();
    path
}

/// Every field of a form is entered and left: neither the project nor what any field shows is otherwise.
fn only_entered(forms: &[Form], units: Units) {
    let folder = tempfile::tempdir().unwrap();
    let saved = saved(folder.path());
    let mut odd = Vec::new();
    for form in forms {
        let (mut window, here) = opened(form, &saved, units);
        let before = window.state().project().clone();
        // A field in hand shows every digit; it is left out.
        let shown = |w: &Window<'_>| -> Vec<Option<String>> {
            let at_rest = here.iter().filter_map(|(id, _)| field(w, id)).filter(|n| !n.is_focused());
            at_rest.map(|n| n.value()).collect()
        };
        let rest = shown(&window);
        for (id, name) in &here {
            if field(&window, id).is_none() {
                continue;
            }
            enter(&mut window, id);
            tab(&mut window);
            assert!(
                Arc::ptr_eq(&before, window.state().project()),
                "{}: {name} was only entered: {:?}",
                form.name,
                document::difference(&before, window.state().project())
            );
        }
        if let Some((id, _)) = here.first()
            && let Some(first) = field(&window, id)
        {
            first.focus();
            ready(&mut window);
            assert_eq!(rest[1..], shown(&window)[..], "{}", form.name);
        }
        // A field that is added is tried without being counted; one that goes missing is noticed.
        if here.len() < form.fields {
            odd.push((form.name, here.len()));
        }
    }
    assert!(odd.is_empty(), "fewer fields than pinned: {odd:?}");
}

/// The figure that a text of a field stands for, in the field's own unit.
fn number(text: &str) -> Option<f64> {
    text.replace(',', ".").replace('\u{2212}', "-").parse().ok()
}

fn near(a: f64, b: f64) -> bool {
    (a - b).abs() <= 1e-12 * b.abs()
}

/// Whether a figure stands among the new values, in base units or in the size the file keeps it in (g, µm).
fn stored(changes: &[document::Change], figure: f64) -> bool {
    fn any(value: &serde_json::Value, figure: f64) -> bool {
        match value {
            serde_json::Value::Number(n) => {
                let v = n.as_f64().unwrap();
                [1.0, 1e3, 1e-3].iter().any(|size| near(v, figure * size))
            }
            serde_json::Value::Array(all) => all.iter().any(|v| any(v, figure)),
            serde_json::Value::Object(all) => all.values().any(|v| any(v, figure)),
            _ => false,
        }
    }
    changes.iter().any(|change| change.to.as_ref().is_some_and(|to| any(to, figure)))
}

/// Whether a corner of the part has this coordinate, mm.
fn is_a_corner(project: &document::Project, mm: f64) -> bool {
    let vertices = &project.parts[0].outline.outer.vertices;
    vertices.iter().any(|v| near(v.at.x, mm) || near(v.at.y, mm))
}

/// Into every figure of a form another one is typed, with every digit it has: what stands there afterwards, and in the project
/// where the form changes it, is that figure. One field in `apart` is tried; gives how many were.
fn typed(forms: &[Form], units: Units, apart: usize) -> usize {
    let folder = tempfile::tempdir().unwrap();
    let saved = saved(folder.path());
    let (mut tried, mut met) = (0, 0);
    for form in forms {
        let (mut window, here) = opened(form, &saved, units);
        for (id, name) in &here {
            met += 1;
            if met % apart != 0 {
                continue;
            }
            // A radius makes two corners of one and begins at nothing again.
            if field(&window, id).is_none() || name.starts_with("Round by") {
                continue;
            }
            let before = window.state().project().clone();
            enter(&mut window, id);
            window.step();
            let Some(now) = value(&window, id).as_deref().and_then(number) else {
                tab(&mut window);
                continue;
            };
            let mut figure = if now == 0.0 { SMALL } else { now * TIMES };
            let text = |figure: f64| match units {
                Units::InchComma => format!("{figure}").replace('.', ","),
                _ => format!("{figure}"),
            };
            replace(&mut window, id, &text(figure));
            if window.query_by_label_contains("enter a whole number").is_some() {
                figure = now + 1.0;
                enter(&mut window, id);
                replace(&mut window, id, &text(figure));
            }
            let after = window.state().project().clone();
            assert!(field(&window, id).is_some(), "{}: {name} went away", form.name);
            enter(&mut window, id);
            window.step();
            let back = value(&window, id).unwrap();
            assert!(
                number(&back).is_some_and(|v| near(v, figure)),
                "{}: {name}: {figure} was typed over {now}, {back} stands there",
                form.name
            );
            key(&mut window, Modifiers::NONE, Key::Escape);
            if !Arc::ptr_eq(&before, &after) {
                let scales = units::Quantity::ALL.map(|q| units::unit_of(q, &units.choice()));
                let unit = name.rsplit(", ").next().unwrap_or_default();
                let scale = scales.iter().find(|(_, u)| *u == unit && !u.is_empty()).map_or(1.0, |(s, _)| *s);
                let changes = document::difference(&before, &after);
                assert!(
                    stored(&changes, figure * scale)
                        // A difference tells an outline by its mark alone.
                        || name.contains("Corner") && is_a_corner(&after, figure * scale)
                        // A distance from another cup is kept as the place that it leads to; that it reads back is seen above.
                        || name.contains(" from C") && !changes.is_empty(),
                    "{}: {name}: {figure} was typed, stored is {changes:?}",
                    form.name
                );
                key(&mut window, Modifiers::COMMAND, Key::Z);
            }
            tried += 1;
        }
    }
    tried
}

fn replace(window: &mut Window<'_>, id: &str, text: &str) {
    window.key_press_modifiers(Modifiers::COMMAND, Key::A);
    window.step();
    field(window, id).unwrap().type_text(text);
    window.step();
    tab(window);
    window.run_steps(2);
}

#[test]
fn a_field_that_is_only_entered_changes_nothing_in_metric() {
    only_entered(&forms(), Units::Metric);
}

#[test]
fn a_field_that_is_only_entered_changes_nothing_in_inches() {
    only_entered(&forms(), Units::InchComma);
}

/// One field of many; all of them, in some minutes, with `CUPWRIGHT_TYPED=all`.
#[test]
fn what_is_typed_is_what_is_stored_in_every_form() {
    let (apart, least) = if std::env::var_os("CUPWRIGHT_TYPED").is_some() { (1, 250) } else { (11, 20) };
    let tried = typed(&forms(), Units::Inch, apart);
    assert!(tried >= least, "{tried}");
}

/// The cases that were first seen to go wrong.
#[test]
fn fractions_small_figures_and_places_keep_their_digits() {
    let mut window = window_in(None, None);
    click(&mut window, "Hide guide");
    let thickness = |w: &Window<'_>| w.state().project().parts[0].thickness_mm;
    for (text, mm, rests) in [
        ("3/8\"", 9.525, "9.525"),
        ("0.75 mm", 0.75, "0.75"),
        ("0.04 mm", 0.04, "0.04"),
        ("2,5", 2.5, "2.5"),
        ("1+1/4", 1.25, "1.25"),
        ("320", 320.0, "320.0"),
    ] {
        for leave in [Key::Tab, Key::Enter] {
            type_into(&mut window, "Thickness, mm", "7");
            window.get_by_label("Thickness, mm").focus();
            ready(&mut window);
            window.key_press_modifiers(Modifiers::COMMAND, Key::A);
            window.step();
            window.get_by_label("Thickness, mm").type_text(text);
            ready(&mut window);
            let draft = window.get_by_label("Thickness, mm").value();
            assert_eq!(draft.as_deref(), Some(text), "what was typed stands there");
            window.key_press(leave);
            ready(&mut window);
            assert_eq!(thickness(&window), mm, "{text} {leave:?}");
            assert_eq!(window.get_by_label("Thickness, mm").value().as_deref(), Some(rests));
        }
    }
    click(&mut window, "Cup C1");
    type_into(&mut window, "X, mm", "5 1/8\"");
    let x = |w: &Window<'_>| w.state().project().layouts[0].cups[0].at.x;
    assert_eq!(x(&window), 130.175);
    window.get_by_label("X, mm").focus();
    ready(&mut window);
    window.key_press(Key::Tab);
    window.key_press(Key::Tab);
    ready(&mut window);
    assert_eq!(x(&window), 130.175);
}

#[test]
fn escape_puts_the_figure_back_and_keeps_the_selection() {
    let mut window = window_in(None, None);
    click(&mut window, "Hide guide");
    click(&mut window, "Cup C1");
    let before = window.state().project().clone();
    window.get_by_label("X, mm").focus();
    ready(&mut window);
    window.get_by_label("X, mm").type_text("99");
    ready(&mut window);
    window.key_press(Key::Escape);
    ready(&mut window);
    assert!(Arc::ptr_eq(&before, window.state().project()));
    assert_eq!(window.state().selection().len(), 1, "Escape was for the field");
    // In a dialog it leaves the field, and closes the dialog only when it is pressed again.
    command(&mut window, "finding limits");
    window.get_by_label("Factor warning limit").focus();
    ready(&mut window);
    window.get_by_label("Factor warning limit").type_text("9");
    ready(&mut window);
    window.key_press(Key::Escape);
    ready(&mut window);
    window.get_by_label("Finding limits");
    window.key_press(Key::Escape);
    ready(&mut window);
    assert!(window.query_by_label("Finding limits").is_none());
    assert!(Arc::ptr_eq(&before, window.state().project()));
}

#[test]
fn what_is_being_typed_is_entered_before_it_is_saved_undone_or_left() {
    let folder = tempfile::tempdir().unwrap();
    let path = saved(folder.path());
    let mut window = window_in(None, Some(path.clone()));
    let typing = |w: &mut Window<'_>, text: &str| {
        w.get_by_label("Thickness, mm").focus();
        ready(w);
        w.key_press_modifiers(Modifiers::COMMAND, Key::A);
        w.step();
        w.get_by_label("Thickness, mm").type_text(text);
        ready(w);
    };
    typing(&mut window, "3.25");
    window.key_press_modifiers(Modifiers::COMMAND, Key::S);
    ready(&mut window);
    assert_eq!(document::open(&path).unwrap().0.parts[0].thickness_mm, 3.25);
    // A click on a cup ends it; the figure goes where it was typed, not to what is selected next.
    click(&mut window, "Cup C1");
    let places =
        |w: &Window<'_>| w.state().project().layouts[0].cups.iter().map(|c| c.at).collect::<Vec<_>>();
    let before = places(&window);
    window.get_by_label("X, mm").focus();
    ready(&mut window);
    window.key_press_modifiers(Modifiers::COMMAND, Key::A);
    window.step();
    window.get_by_label("X, mm").type_text("101.25");
    ready(&mut window);
    let other = cup_centre(&window, "C2");
    at(&mut window, other);
    let after = places(&window);
    assert_eq!(after[0].x, 101.25);
    assert_eq!(after[1..], before[1..]);
    // In a field that was only entered, undo is the project's, and the field shows what came of it.
    window.get_by_label("Thickness, mm").focus();
    ready(&mut window);
    window.key_press_modifiers(Modifiers::COMMAND, Key::Z);
    ready(&mut window);
    assert_eq!(places(&window), before);
    window.key_press_modifiers(Modifiers::COMMAND, Key::Z);
    ready(&mut window);
    assert_eq!(window.state().project().parts[0].thickness_mm, 9.525);
    assert_eq!(window.get_by_label("Thickness, mm").value().as_deref(), Some("9.525"));
    window.key_press(Key::Tab);
    ready(&mut window);
    assert_eq!(window.state().project().parts[0].thickness_mm, 9.525);
}

#[test]
fn what_cannot_be_read_or_is_out_of_bounds_is_said_and_changes_nothing() {
    let mut window = window_in(None, None);
    click(&mut window, "Hide guide");
    let before = window.state().project().clone();
    for (text, says) in [("5 kg", "Thickness is unchanged"), ("", "nothing to read")] {
        window.get_by_label("Thickness, mm").focus();
        ready(&mut window);
        window.key_press_modifiers(Modifiers::COMMAND, Key::A);
        window.key_press(Key::Delete);
        window.step();
        window.get_by_label("Thickness, mm").type_text(text);
        ready(&mut window);
        window.key_press(Key::Tab);
        ready(&mut window);
        window.get_by_label_contains(says);
        assert!(Arc::ptr_eq(&before, window.state().project()));
    }
    // A count is neither rounded nor cut off.
    click(&mut window, "Cup C1");
    command(&mut window, "repeat in rows");
    for text in ["2.5", "501", "0"] {
        type_into(&mut window, "Columns", text);
        window.get_by_label_contains("enter a whole number from 1 to 500");
        window.key_press(Key::Escape);
        ready(&mut window);
        assert_eq!(window.get_by_label("Columns").value().as_deref(), Some("2"));
    }
}

#[test]
fn a_material_is_found_by_what_people_call_it() {
    let mut window = window_in(None, None);
    click(&mut window, "Hide guide");
    for (words, name) in [("mdf", "Fibreboard, medium density"), ("aluminum", "Aluminium sheet")] {
        click(&mut window, "Material");
        window.get_by_label("Search material").type_text(words);
        ready(&mut window);
        window.get_by_label(name);
        window.key_press(Key::Enter);
        ready(&mut window);
        assert_eq!(window.state().project().parts[0].material, name);
        assert!(window.query_by_label("Search material").is_none(), "the list is closed");
    }
}
