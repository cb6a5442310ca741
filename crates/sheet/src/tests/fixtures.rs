//! Invented projects and reports, built by hand: the sheet prints what it is given, so no engine is asked.

use super::fixture_report::{add_slow, report};
use analysis::{Finding, Report, Severity};
use document::{
    Accepted, Attached, AttachedId, Circuit, CircuitId, Cup, CupId, CupModel, Cycle, FrameId, FramePiece,
    FrameShape, KeepOut, KeepOutId, Layout, LayoutId, LipKind, MassBy, Motion, MotionId, MotionKind, Origin,
    Part, PartId, Placement, Project, Revision, Rules, SheetFields, Site, Sourced, Surface, Texture, Tool,
    Wetness, Worst,
};
use geometry::{Clearance, Limit, LipShape, Loop, Outline, Vertex};
use glam::{DVec3, dvec2};
use std::sync::Arc;
use units::Quantity;

pub(crate) struct Fixture {
    pub name: &'static str,
    pub project: Project,
    pub report: Report,
}

fn sourced<T>(value: T, origin: Origin) -> Sourced<T> {
    Sourced { value, origin, on: "2026-03-02".to_owned() }
}

fn polygon(points: &[(f64, f64)]) -> Loop {
    Loop { vertices: points.iter().map(|(x, y)| Vertex { at: dvec2(*x, *y), bulge: 0.0 }).collect() }
}
pub(crate) fn rectangle(x0: f64, y0: f64, x1: f64, y1: f64) -> Loop {
    polygon(&[(x0, y0), (x1, y0), (x1, y1), (x0, y1)])
}
pub(crate) fn circle(x: f64, y: f64, r: f64) -> Loop {
    Loop { vertices: [r, -r].map(|dx| Vertex { at: dvec2(x + dx, y), bulge: 1.0 }).to_vec() }
}

pub(crate) fn model(id: &str, name: &str, shape: LipShape, folds: u8) -> Arc<CupModel> {
    Arc::new(CupModel {
        sealing_share: sourced(0.9, Origin::Assumed),
        bore_mm: match shape {
            LipShape::Round { diameter } => diameter * 0.16,
            LipShape::Long { width, .. } | LipShape::Rectangle { width, .. } => width * 0.16,
        },
        height_mm: 28.0,
        travel_mm: Sourced::assumed(9.0),
        channel_mm: Sourced::assumed(2.0),
        folds,
        axial_n_mm: sourced(4.0, Origin::Assumed),
        lateral_n_mm: sourced(3.0, Origin::Assumed),
        tilt_reduction: sourced(0.5, Origin::Assumed),
        hardness_shore_a: 50.0,
        lip: LipKind::Plain,
        lip_life_picks: Sourced::assumed(1_000_000.0),
        seal_minimum_n_mm: sourced(0.01, Origin::Assumed),
        closes_mm: 0.5,
        allowed: vec![Texture::Smooth],
        material: "silicone".to_owned(),
        thread: "G 1/4".to_owned(),
        mass_g: 30.0,
        ..CupModel::unstated(id.into(), name, shape)
    })
}

fn motion(id: u32, name: &str, kind: MotionKind, acceleration: DVec3, required: f64) -> Arc<Motion> {
    Arc::new(Motion {
        id: MotionId(id),
        name: name.to_owned(),
        required_factor: required,
        kind,
        tilt_deg: if kind == MotionKind::OnEdge { 90.0 } else { 0.0 },
        lowest_deg: 270.0,
        acceleration,
        stroke: None,
        inertia_times: 1.0,
        turn_rate_deg_s: if kind == MotionKind::Swing { DVec3::Z * 120.0 } else { DVec3::ZERO },
        turn_acceleration_deg_s2: DVec3::ZERO,
        pivot_mm: DVec3::ZERO,
        worst: if kind == MotionKind::LevelCarry { Worst::Direction } else { Worst::AsStated },
        start_stop: document::StartStop::Both,
    })
}

/// A project of one part, one model and cups at places, and a report whose every motion is met.
pub(crate) fn fixture(
    name: &'static str,
    outline: Outline,
    keep_outs: &[(&str, Loop)],
    shape: LipShape,
    places: &[(f64, f64, &str)],
) -> Fixture {
    let model = model("round-50-one-fold", "round 50, one fold, soft", shape, 1);
    let motions = vec![
        motion(101, "Level lift", MotionKind::LevelLift, DVec3::Z * 4.0, 2.0),
        motion(102, "Level carry", MotionKind::LevelCarry, DVec3::X * 6.0, 2.0),
        motion(103, "On edge", MotionKind::OnEdge, DVec3::X * 2.0, 4.0),
        motion(104, "Emergency stop", MotionKind::EmergencyStop, DVec3::X * 6.1, 2.0),
        motion(105, "Swing about the axis", MotionKind::Swing, DVec3::ZERO, 2.0),
    ];
    let cups: Vec<Cup> = places
        .iter()
        .enumerate()
        .map(|(index, (x, y, zone))| Cup {
            id: CupId(index as u32 + 1),
            tag: format!("C{}", index + 1),
            model: model.id.clone(),
            at: dvec2(*x, *y),
            turn_deg: 0.0,
            height_mm: 62.0,
            circuit: CircuitId(200),
            zone: (*zone).to_owned(),
            locked: false,
        })
        .collect();
    let part = Part {
        id: PartId(300),
        name: name.to_owned(),
        outline: Arc::new(outline),
        keep_outs: keep_outs
            .iter()
            .enumerate()
            .map(|(index, (name, area))| KeepOut {
                id: KeepOutId(400 + index as u32),
                name: (*name).to_owned(),
                area: Arc::new(area.clone()),
            })
            .collect(),
        drawing: None,
        material: "steel sheet".to_owned(),
        thickness_mm: 1.5,
        mass: MassBy::Stated { kg: sourced(3.4, Origin::Measured) },
        centre_of_gravity: None,
        attached: Vec::new(),
        surface: Surface { texture: Texture::Smooth, wetness: Wetness::Damp },
        friction: sourced(0.35, Origin::Assumed),
        pairs: Vec::new(),
        permeance_um_pa_s: None,
        modulus_n_mm2: None,
        poisson: None,
        modulus_across_n_mm2: None,
        along_deg: 0.0,
        allowable_n_mm2: None,
        damping: None,
        stiff_blocks: false,
        datum: None,
        uneven_mm: 0.5,
        placement: Placement { position_mm: 1.0, turn_deg: 0.2, drawing_mm: 0.5 },
    };
    let layout = Layout {
        id: LayoutId(500),
        name: "A".to_owned(),
        part: part.id,
        cups,
        tool: Arc::default(),
        proposed: String::new(),
        seats: Vec::new(),
    };
    let report = report(&part, &layout, &motions, &model);
    let project = Project {
        name: name.to_owned(),
        parts: vec![Arc::new(part)],
        layouts: vec![Arc::new(layout)],
        motions,
        circuits: vec![Arc::new(Circuit {
            id: CircuitId(200),
            name: "main".to_owned(),
            level_kpa: sourced(60.0, Origin::Stated),
            thresholds: None,
            supply: None,
        })],
        models: vec![model],
        sources: Vec::new(),
        cycle: Cycle::default(),
        trial: Arc::default(),
        question: Arc::default(),
        issued: Vec::new(),
        traced: None,
        review: Arc::default(),
        site: Site { altitude_m: 200.0, temperature_c: 20.0, payload_kg: None },
        rules: Rules {
            gap_watch_mm: 2.0,
            factor_watch: 1.15,
            centroid_offset_share: 0.1,
            most_over_mean: 1.5,
            slide_share: 0.9,
            ..Rules::default()
        },
        accepted: Vec::new(),
        sheet: SheetFields {
            title: format!("{name}: suction-cup layout"),
            owner: "Invented Tooling Works".to_owned(),
            number: "TB-0003-L".to_owned(),
            revision: "B".to_owned(),
            created_by: "A. Drafter".to_owned(),
            approved_by: "B. Checker".to_owned(),
            date: "2026-03-02".to_owned(),
            document_type: "layout sheet".to_owned(),
            ..SheetFields::default()
        },
        last_id: 600,
    };
    Fixture { name, project, report }
}

pub(crate) fn finding(severity: Severity, says: &str, remedy: &str, accepted: Option<&str>) -> Finding {
    Finding {
        seat: None,
        range: None,
        rule: "seat.overhang",
        severity,
        subject: vec![CupId(4)],
        motion: None,
        figure: Some(-6.2),
        limit: Some(0.0),
        quantity: Quantity::Length,
        says: says.to_owned(),
        remedy: remedy.to_owned(),
        accepted: accepted.map(str::to_owned),
        fix: None,
        off: 0.0,
    }
}

/// The tray of the drawing office: L shape, one round hole, one keep-out, eight cups in two zones.
pub(crate) fn tray() -> Fixture {
    let outline = Outline {
        outer: polygon(&[
            (0.0, 0.0),
            (840.0, 0.0),
            (840.0, 240.0),
            (560.0, 240.0),
            (560.0, 480.0),
            (0.0, 480.0),
        ]),
        holes: vec![circle(330.0, 250.0, 70.0)],
    };
    let places = [
        (70.0, 70.0, "A"),
        (70.0, 410.0, "A"),
        (490.0, 410.0, "A"),
        (430.0, 224.0, "B"),
        (280.0, 70.0, "A"),
        (490.0, 70.0, "B"),
        (770.0, 170.0, "B"),
        (770.0, 70.0, "B"),
    ];
    let keep_outs = [("print", rectangle(600.0, 132.0, 720.0, 200.0))];
    let mut made = fixture("Tray blank", outline, &keep_outs, LipShape::Round { diameter: 50.0 }, &places);
    made.report.findings = vec![
        finding(Severity::Watch, "C8 gets 9 % less vacuum than C1.", "Cut its hose to 840 mm.", None),
        finding(
            Severity::Watch,
            "The centre of gravity lies 38 mm from the centre of the cups.",
            "Move the group by (38.0, 4.1) mm.",
            Some("the part pallet fixes the position"),
        ),
    ];
    made.project.accepted = vec![Accepted {
        rule: "seat.overhang".to_owned(),
        subject: vec![CupId(4)],
        motion: None,
        layout: LayoutId(500),
        reason: "the part pallet fixes the position".to_owned(),
        by: "AD".to_owned(),
        on: "2026-03-01".to_owned(),
        seat: None,
    }];
    made
}

/// The tray with everything that a project can say of a tool, and with the slow figures.
pub(crate) fn whole() -> Fixture {
    let mut made = tray();
    made.name = "Whole tool";
    let rail =
        |id: u32, name: &str, at: (f64, f64), turn_deg: f64, length_mm: f64, pitch_mm: f64| FramePiece {
            id: FrameId(id),
            name: name.to_owned(),
            at: dvec2(at.0, at.1),
            turn_deg,
            height_mm: 90.0,
            shape: FrameShape::Rail { length_mm, width_mm: 40.0, pitch_mm, first_mm: 20.0, kg_m: 1.6 },
        };
    let plate = FramePiece {
        id: FrameId(704),
        name: "Flange plate".to_owned(),
        at: dvec2(300.0, 120.0),
        turn_deg: 0.0,
        height_mm: 110.0,
        shape: FrameShape::Plate {
            length_mm: 160.0,
            width_mm: 160.0,
            pitch_mm: dvec2(40.0, 40.0),
            first_mm: dvec2(20.0, 20.0),
            kg_m2: 22.0,
        },
    };
    let fitting = |id: u32, name: &str, mass_kg: f64, at: DVec3| Attached {
        id: AttachedId(id),
        name: name.to_owned(),
        mass_kg,
        at,
        size: DVec3::ZERO,
        turn_deg: 0.0,
    };
    let layout = Arc::make_mut(&mut made.project.layouts[0]);
    layout.tool = Arc::new(Tool {
        flange: DVec3::new(380.0, 200.0, 160.0),
        masses: vec![
            fitting(801, "Ejector block with silencer", 0.85, DVec3::new(350.0, 260.0, 120.0)),
            fitting(802, "Hoses and fittings", 0.6, DVec3::new(400.0, 200.0, 100.0)),
        ],
        frame: vec![
            rail(701, "Rail front", (40.0, 70.0), 0.0, 760.0, 40.0),
            rail(702, "Rail back", (40.0, 410.0), 0.0, 480.0, 0.0),
            rail(703, "Rail right", (770.0, 40.0), 90.0, 180.0, 0.0),
            plate,
        ],
    });
    made.project.site.payload_kg = Some(20.0);
    let revision = |index: &str, date: &str, what: &str| Revision {
        index: index.to_owned(),
        date: date.to_owned(),
        by: "AD".to_owned(),
        what: what.to_owned(),
    };
    made.project.sheet.revisions = vec![
        revision("A", "2026-02-11", "first issue"),
        revision("B", "2026-03-02", "C4 clear of the hole, C7 off the print, rail right added"),
    ];
    add_slow(&mut made.report);
    made
}

/// Overhanging and badly placed cups, blank title block, failing factors, a motion without a figure.
pub(crate) fn failing() -> Fixture {
    let mut made = tray();
    made.name = "failing";
    let layout = Arc::make_mut(&mut made.project.layouts[0]);
    layout.cups[0].at = dvec2(12.0, 70.0);
    made.report.cups[0].at = dvec2(12.0, 70.0);
    made.report.cups[0].clearance = Some(Clearance {
        distance: -13.0,
        limit: Limit::Edge,
        on_lip: dvec2(-13.0, 70.0),
        on_boundary: dvec2(0.0, 70.0),
    });
    layout.cups[3].at = dvec2(400.0, 250.0);
    made.report.cups[3].at = dvec2(400.0, 250.0);
    made.report.cups[3].clearance = Some(Clearance {
        distance: -25.0,
        limit: Limit::Hole(0),
        on_lip: dvec2(375.0, 250.0),
        on_boundary: dvec2(400.0, 250.0),
    });
    made.report.motions[1].outcome.as_mut().unwrap().factor = 1.996;
    made.report.motions[4].outcome =
        Err("the cups stand in line and cannot carry tipping about that line".to_owned());
    made.report.verdict.severity = Severity::Fail;
    made.report.verdict.sentence =
        "Does not hold: Swing about the axis has no result, and C1 overhangs the left edge by 13.0 mm."
            .to_owned();
    made.report.findings.insert(
        0,
        finding(
            Severity::Fail,
            "C1 overhangs the left edge by 13.0 mm.",
            "Move it 15.0 mm right, or use a lip of 24 mm or less.",
            None,
        ),
    );
    made.project.sheet = SheetFields { title: String::new(), ..SheetFields::default() };
    made.project.sheet.owner = "Invented Tooling Works".to_owned();
    made
}
