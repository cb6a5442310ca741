//! A file of every format ever written opens, with every value as it was meant; the newest is written as it was read.
use crate::common;

use document::*;
use geometry::{LipShape, Loop, Outline, Vertex};
use glam::{DVec2, DVec3};
use std::{
    path::{Path, PathBuf},
    sync::Arc,
};

fn fixtures() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/fixtures")
}
fn assumed(value: f64) -> Sourced<f64> {
    Sourced { value, origin: Origin::Assumed, on: String::new() }
}
fn boundary(vertices: &[(f64, f64, f64)]) -> Loop {
    let vertex = |(x, y, bulge): &(f64, f64, f64)| Vertex { at: DVec2::new(*x, *y), bulge: *bulge };
    Loop { vertices: vertices.iter().map(vertex).collect() }
}
fn motion(id: u32, name: &str, kind: MotionKind) -> Motion {
    Motion {
        id: MotionId(id),
        name: name.into(),
        required_factor: 2.0,
        kind,
        tilt_deg: 0.0,
        lowest_deg: -90.0,
        acceleration: DVec3::ZERO,
        stroke: None,
        inertia_times: 1.0,
        turn_rate_deg_s: DVec3::ZERO,
        turn_acceleration_deg_s2: DVec3::ZERO,
        pivot_mm: DVec3::ZERO,
        worst: Worst::AsStated,
        start_stop: StartStop::Both,
    }
}
fn cup(id: u32, tag: &str, model: &str, x: f64, y: f64) -> Cup {
    Cup {
        id: CupId(id),
        tag: tag.into(),
        model: model.into(),
        at: DVec2::new(x, y),
        turn_deg: 0.0,
        height_mm: 0.0,
        circuit: CircuitId(5),
        zone: "A".into(),
        locked: false,
    }
}

fn part_in_short() -> Part {
    const QUARTER: f64 = 0.414_213_562_373_095_03;
    let outer = boundary(&[
        (20.0, 0.0, 0.0),
        (580.0, 0.0, QUARTER),
        (600.0, 20.0, 0.0),
        (600.0, 380.0, QUARTER),
        (580.0, 400.0, 0.0),
        (20.0, 400.0, QUARTER),
        (0.0, 380.0, 0.0),
        (0.0, 300.0, 0.0),
        (0.0, 20.0, QUARTER),
    ]);
    let holes = vec![boundary(&[(270.0, 200.0, 1.0), (330.0, 200.0, 1.0)])];
    let area = boundary(&[(10.0, 10.0, 0.0), (60.5, 10.0, 0.0), (60.5, 40.0, 0.0)]);
    Part {
        id: PartId(1),
        name: "Tray blank".into(),
        outline: Arc::new(Outline { outer, holes }),
        keep_outs: vec![KeepOut { id: KeepOutId(2), name: "Print \"front\"".into(), area: Arc::new(area) }],
        drawing: Some(DrawingOrigin {
            file_name: "tray.dxf".into(),
            sha256: "5d41402abc4b2a76b9719d911017c592".into(),
            unit: "mm".into(),
        }),
        material: "Steel sheet".into(),
        thickness_mm: 1.0,
        mass: MassBy::Density { kg_m3: assumed(7850.0) },
        centre_of_gravity: None,
        attached: vec![Attached {
            id: AttachedId(3),
            name: "Bracket".into(),
            mass_kg: 0.35,
            at: DVec3::new(500.0, 300.0, -20.0),
            size: DVec3::ZERO,
            turn_deg: 0.0,
        }],
        surface: Surface { texture: Texture::Smooth, wetness: Wetness::Dry },
        friction: Sourced { value: 0.42, origin: Origin::Measured, on: "2026-01-31".into() },
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
        uneven_mm: 0.2,
        placement: Placement { position_mm: 1.0, turn_deg: 0.5, drawing_mm: 0.5 },
    }
}
fn models_in_short() -> [CupModel; 2] {
    let round = CupModel {
        sealing_share: assumed(0.9),
        bore_mm: 2.0,
        height_mm: 12.0,
        // Format 1 did not say where it came from, and knew no channel and no life of a lip.
        travel_mm: assumed(1.0),
        channel_mm: assumed(2.0),
        folds: 0,
        axial_n_mm: assumed(8.3),
        lateral_n_mm: assumed(4.6),
        tilt_reduction: assumed(1.0),
        side_lever_mm: None,
        free_ml: None,
        lip_width_mm: None,
        hardness_shore_a: 50.0,
        lip: LipKind::Plain,
        lip_life_picks: Sourced::assumed(1_000_000.0),
        seal_minimum_n_mm: assumed(0.009),
        closes_mm: 0.27,
        allowed: vec![Texture::Smooth],
        material: "nitrile rubber".into(),
        thread: "M5".into(),
        mass_g: 4.5,
        ..CupModel::unstated(
            "round-10-flat-medium".into(),
            "Round 10, flat, medium",
            LipShape::Round { diameter: 10.0 },
        )
    };
    let long = CupModel {
        id: "long-30x10-flat-medium".into(),
        name: "Long 30 × 10, flat, medium".into(),
        shape: LipShape::Long { length: 30.0, width: 10.0 },
        axial_n_mm: assumed(12.0),
        lateral_n_mm: assumed(6.4),
        seal_minimum_n_mm: assumed(0.0098),
        thread: "G1/8".into(),
        mass_g: 5.6,
        ..round.clone()
    };
    [round, long]
}
/// What format-3-short.ron holds, and what a file means where it says no more than it must.
fn project_in_short() -> Project {
    let lift =
        Motion { acceleration: DVec3::new(0.0, 0.0, 2.0), ..motion(6, "Level lift", MotionKind::LevelLift) };
    let carry = Motion {
        acceleration: DVec3::new(3.0, 0.0, 0.0),
        worst: Worst::Direction,
        ..motion(7, "Level carry", MotionKind::LevelCarry)
    };
    let edge = Motion {
        required_factor: 4.0,
        tilt_deg: 90.0,
        acceleration: DVec3::new(0.0, 1.0, 0.0),
        ..motion(8, "Carry on edge", MotionKind::OnEdge)
    };
    let stop = Motion {
        acceleration: DVec3::new(8.0, 0.0, 0.0),
        worst: Worst::Direction,
        ..motion(9, "Emergency stop", MotionKind::EmergencyStop)
    };
    let over = Motion {
        required_factor: 4.0,
        turn_rate_deg_s: DVec3::new(-60.0, 0.0, 0.0),
        turn_acceleration_deg_s2: DVec3::new(-120.0, 0.0, 0.0),
        pivot_mm: DVec3::new(0.0, 0.0, 200.0),
        worst: Worst::TiltTo { deg: 180.0 },
        ..motion(10, "Turn over", MotionKind::TurnOver)
    };
    let (round, long) = ("round-10-flat-medium", "long-30x10-flat-medium");
    let cups = vec![
        Cup { locked: true, ..cup(11, "C1", round, 100.0, 80.0) },
        cup(12, "C2", round, 233.5, 160.0),
        cup(13, "C3", round, 367.0, 80.0),
        Cup { turn_deg: 90.0, ..cup(14, "C4", long, 500.5, 160.0) },
    ];
    // The flange over the centre of gravity of part and attached mass, where a new project has it.
    // 240,000 mm² less its corners and a hole of 60 mm are 1.859 kg about (300, 200); 0.35 kg hang at (500, 300).
    let area = 240_000.0 - (4.0 - std::f64::consts::PI) * 400.0 - std::f64::consts::PI * 900.0;
    let share = 0.35 / (0.35 + area * 7.85e-6);
    let tidy = |v: f64| (v * 1e10).round() / 1e10;
    let flange = DVec3::new(tidy(300.0 + 200.0 * share), tidy(200.0 + 100.0 * share), 150.0);
    let tool = Tool { flange, masses: Vec::new(), frame: Vec::new() };
    let layout = Layout {
        id: LayoutId(4),
        name: "Layout A".into(),
        part: PartId(1),
        cups,
        tool: Arc::new(tool),
        proposed: String::new(),
        seats: Vec::new(),
    };
    Project {
        name: "Tray line 2".into(),
        parts: vec![Arc::new(part_in_short())],
        layouts: vec![Arc::new(layout)],
        motions: [lift, carry, edge, stop, over].map(Arc::new).to_vec(),
        circuits: vec![Arc::new(Circuit {
            id: CircuitId(5),
            name: "Circuit 1".into(),
            level_kpa: assumed(60.0),
            thresholds: None,
            supply: None,
        })],
        models: models_in_short().map(Arc::new).to_vec(),
        sources: Vec::new(),
        cycle: Cycle::default(),
        trial: Arc::default(),
        question: Arc::default(),
        issued: Vec::new(),
        traced: None,
        review: Arc::default(),
        site: Site { altitude_m: 0.0, temperature_c: 20.0, payload_kg: None },
        rules: Rules {
            gap_watch_mm: 2.0,
            factor_watch: 1.15,
            centroid_offset_share: 0.1,
            most_over_mean: 1.5,
            slide_share: 0.9,
            payload_watch: 0.85,
            friction_spread: 0.3,
            stiffness_spread: 0.3,
            lip_spread: 0.05,
            supply_margin: 0.25,
            level_spread: 0.05,
            element_loss: 0.1,
            favourable_weight: 0.9,
            sag_watch_mm: 10.0,
            ring_limit_mm: 1.0,
        },
        accepted: vec![Accepted {
            rule: "seat.overlap".into(),
            subject: vec![CupId(11), CupId(12)],
            motion: None,
            layout: LayoutId(4),
            reason: "Trial pick of 12 March held".into(),
            by: "M. Huber".into(),
            on: "2026-03-12".into(),
            seat: None,
        }],
        sheet: SheetFields { title: "Tray line 2".into(), ..SheetFields::default() },
        last_id: 14,
    }
}

#[test]
fn a_file_that_says_no_more_than_it_must_opens_with_every_value() {
    let path = fixtures().join("format-3-short.ron");
    let before = std::fs::read(&path).unwrap();
    let (project, stamp) = open(&path).unwrap();
    assert_eq!(project, project_in_short());
    assert_eq!(outside(&path, &stamp), Outside::Same, "opening does not write");
    assert_eq!(std::fs::read(&path).unwrap(), before);
    // Saved, it says everything, and stays what it was.
    assert_eq!(from_text(&to_text(&project), "tray.ron"), Ok(project));
}

#[test]
fn format_3_opens_with_every_value() {
    let path = fixtures().join("format-3-plain.ron");
    let text = std::fs::read_to_string(&path).unwrap();
    let (project, _) = open(&path).unwrap();
    assert_eq!(to_text(&project), of_today(&text), "but for its number it is written as it was read");
    assert_eq!((project.issued.len(), &*project.review), (0, &Review::default()));

    let part = &project.parts[0];
    assert_eq!(part.pairs.len(), 2);
    assert_eq!(part.pairs[0].lip_material, "nitrile rubber");
    assert_eq!(part.pairs[0].friction, Sourced::measured(0.38, "2026-02-03"));
    assert_eq!(part.pairs[1].friction, Sourced::stated(0.3));
    assert_eq!(part.permeance_um_pa_s, Some(assumed(0.25)));
    assert_eq!(project.site.payload_kg, Some(12.5));
    let motion = &project.motions[5];
    assert_eq!((motion.kind, motion.inertia_times), (MotionKind::StrokeAndTime, 2.0));
    let stroke = Stroke { mm: 650.5, time_s: 0.75, profile: MoveProfile::Cycloid, pause_s: 0.0 };
    assert_eq!(motion.stroke, Some(stroke));
    assert_eq!((project.motions[0].stroke, project.motions[0].inertia_times), (None, 1.0));
    let tool = &project.layouts[0].tool;
    assert_eq!(tool.flange, DVec3::new(300.0, 200.0, 150.5));
    assert_eq!(tool.masses.len(), 2);
    assert_eq!((tool.masses[1].id, tool.masses[1].mass_kg), (AttachedId(17), 1.2));
    assert_eq!(tool.masses[1].size, DVec3::new(80.0, 80.0, 40.0));
    assert_eq!((tool.frame[0].id, tool.frame[0].turn_deg, tool.frame[0].at.x), (FrameId(18), 4.5, 40.5));
    let rail =
        FrameShape::Rail { length_mm: 520.0, width_mm: 40.0, pitch_mm: 19.85, first_mm: 20.0, kg_m: 1.6 };
    assert_eq!(tool.frame[0].shape, rail);
    let (pitch_mm, first_mm) = (DVec2::splat(25.0), DVec2::splat(20.0));
    let plate = FrameShape::Plate { length_mm: 200.0, width_mm: 160.0, pitch_mm, first_mm, kg_m2: 27.0 };
    assert_eq!(tool.frame[1].shape, plate);
    let model = &project.models[0];
    let stated = Sourced { on: "2026-02-02".into(), ..Sourced::stated(1.0) };
    assert_eq!((&model.travel_mm, &model.channel_mm), (&stated, &Sourced::measured(0.8, "2026-02-03")));
    assert_eq!(project.sheet.revisions.len(), 2);
    assert_eq!(project.sheet.revisions[0].by, "M. Huber");
    assert_eq!(project.sheet.revisions[1].what, "C4 turned \"upright\"");
}

#[test]
fn what_feeds_a_circuit_is_read() {
    let (project, _) = open(&fixtures().join("format-3-plain.ron")).unwrap();
    let circuit = &project.circuits[0];
    // What the file does not have is as it is for everyone.
    let now = common::circuits::supply();
    let branch = Line { fittings: vec![FittingUse::new(FittingKind::Straight, 1)], ..now.branch.clone() };
    let then = Supply {
        sources: 1,
        fitting_loss: FittingLoss::default(),
        branch,
        filter_at_cup: None,
        dust: None,
        cell_closing: None,
        operation: Operation::default(),
        ..now
    };
    assert_eq!(circuit.supply.as_deref(), Some(&then));
    let thresholds =
        Thresholds { held_kpa: 45.0, alarm_kpa: None, saving_off_kpa: 62.5, time_out_s: 1.2, hold_s: 90.0 };
    assert_eq!(circuit.thresholds, Some(thresholds));
    assert_eq!(*project.circuits[1], Circuit::preset(CircuitId(20), "Circuit 2"));
    assert_eq!(
        project.sources.iter().map(|s| (**s).clone()).collect::<Vec<_>>(),
        [common::circuits::source()]
    );
    assert_eq!((project.cycle.picks_per_hour.value, &*project.cycle.currency), (720.0, "CHF"));
    let Trial { entries, curves } = &*project.trial;
    assert_eq!((entries.len(), curves.len()), (4, 2));
    assert_eq!(entries[0].what, TrialKind::Level { layout: LayoutId(4), cup: CupId(14) });
    assert_eq!((entries[0].value, &*entries[0].on, &*entries[0].by), (58.5, "2026-03-12", "M. Huber"));
    let circuit = CircuitId(5);
    assert_eq!(entries[2].what, TrialKind::LeakDown { circuit, from_kpa: 58.0, over_s: 60.0 });
    assert_eq!(entries[2].stage, Stage::Field);
    assert_eq!(curves[0].points, [(0.0, 0.0), (0.1, 31.5), (0.4, 57.0)]);
    assert_eq!((curves[1].kind, curves[1].cup), (CurveKind::LeakDown, None));
}

/// A file that says nothing of sources, cycle and trial means what a new project starts from.
#[test]
fn what_feeds_a_circuit_may_be_left_out() {
    let path = fixtures().join("format-3-plain.ron");
    let text = std::fs::read_to_string(&path).unwrap();
    let cut = |text: &str, from: &str, to: &str| {
        let start = text.find(from).unwrap();
        let end = start + text[start..].find(to).unwrap();
        format!("{}{}", &text[..start], &text[end..])
    };
    let text = cut(&text, "    cycle: ", "    sheet: ");
    let text = cut(&text, "    trial: ", "    accepted: ");
    let text = cut(&text, "            thresholds: ", "        ),\n        (id: 20");
    let end = text.find("    sources: ").unwrap();
    let text = format!("{})\n", &text[..end])
        .replace(", supply_margin: 0.25, level_spread: 0.05, element_loss: 0.1", "");
    let project = from_text(&text, "tray.ron").unwrap();
    assert_eq!(*project.circuits[0], Circuit::preset(CircuitId(5), "Circuit 1"));
    assert_eq!((&project.cycle, &*project.trial), (&Cycle::default(), &Trial::default()));
    // The spread of friction is stated in it.
    let rules = Rules { friction_spread: 0.2, ..Rules::default() };
    assert_eq!((project.sources.len(), project.rules), (0, rules));
}

#[test]
fn format_3_is_written_as_it_was_read_but_for_its_number() {
    let path = fixtures().join("format-3.ron");
    let text = std::fs::read_to_string(&path).unwrap();
    let (project, _) = open(&path).unwrap();
    assert_eq!(to_text(&project), of_today(&text), "the bytes do not drift");
    let (before, _) = open(&fixtures().join("format-3-plain.ron")).unwrap();
    assert_eq!(project, common::review::reviewed(&before));

    assert_eq!(project.issued.len(), 2);
    let [a, b] = [&project.issued[0], &project.issued[1]];
    assert_eq!((&*a.index, &*a.on, &*a.program), ("A", "2026-03-01", "cupwright 0.1.0"));
    assert_eq!((&*b.by, &*b.what), ("M. Huber", "C2 moved, \"thicker\" sheet"));
    // Printed on paper, so they never change.
    assert_eq!([&*a.fingerprint, &*b.fingerprint], ["60d7-063e", "9023-0c58"]);
    assert_eq!((a.content.parts[0].thickness_mm, b.content.parts[0].thickness_mm), (1.0, 1.5));
    assert_eq!(a.content.layouts[0].cups[1].at, DVec2::new(233.5, 160.0));
    let remarks = &project.review.remarks;
    assert_eq!((remarks.len(), project.review.decisions.len(), project.review.ticks.len()), (5, 2, 2));
    assert_eq!(remarks[0].pin, Pin::Cup(LayoutId(4), CupId(14)));
    assert_eq!((&*remarks[0].text, remarks[0].answers.len()), ("Why upright?\nIt shades the seam", 2));
    assert_eq!(remarks[1].pin, Pin::Place(LayoutId(4), DVec2::new(310.5, 20.0)));
    assert_eq!((remarks[0].resolved.is_some(), &remarks[1].resolved), (true, &None));
    assert_eq!(project.review.decisions[0].outcome, Outcome::SendBack);
    assert_eq!(project.review.ticks[0].remark, Some(remarks[3].id));
}

/// A tool of format 3 carries one part, its datum on the tool's, with every zone open and in every motion; the issued contents too.
#[test]
fn a_tool_of_format_3_carries_its_part_at_the_datum() {
    for name in ["format-3.ron", "format-3-plain.ron", "format-3-short.ron"] {
        let (project, _) = open(&fixtures().join(name)).unwrap();
        let issued = project.issued.iter().flat_map(|issued| &issued.content.layouts);
        for layout in project.layouts.iter().chain(issued) {
            assert_eq!(
                layout.all_seats(),
                [Seat::of(SeatId(0), layout.part)],
                "{name}, layout {}",
                layout.name
            );
        }
    }
}

#[test]
fn format_4_is_written_as_it_was_read_with_its_seats() {
    let text = std::fs::read_to_string(fixtures().join("format-4.ron")).unwrap();
    let project = from_text(&text, "format-4.ron").unwrap();
    assert_eq!(to_text(&project), text, "the bytes of format 4 do not drift");
    let (before, _) = open(&fixtures().join("format-3-plain.ron")).unwrap();
    assert_eq!(project, with_seats(&before));
}

/// The part of a project and its other hand on the tool, the latter elsewhere, turned and laid against three stops, with zone B shut.
fn with_seats(project: &Project) -> Project {
    let layout = project.layouts[0].id;
    let own = project.parts[0].id;
    let other = Seat {
        at: DVec2::new(12.5, -8.0),
        turn_deg: 180.0,
        shut: vec!["A".into()],
        left_out: vec![project.motions[1].id],
        may_stay_shut: vec![project.layouts[0].cups[0].id],
        share: 0.25,
        stops: Some(Stops {
            edges: [DVec2::new(300.0, 0.0), DVec2::new(0.0, 150.0)],
            at: [DVec2::new(-250.0, -8.0), DVec2::new(-100.0, -8.0), DVec2::new(12.5, -120.0)],
        }),
        ..Seat::of(SeatId(51), own)
    };
    let mut new = project.clone();
    let mut changed = Layout::clone(new.layouts.iter().find(|of| of.id == layout).unwrap());
    changed.seats = vec![Seat::of(SeatId(50), own), other];
    new.layouts[0] = Arc::new(changed);
    new.last_id = new.last_id.max(51);
    new
}

/// What this program writes of a text of format 3.
fn of_today(text: &str) -> String {
    text.replacen("format: 3,", &format!("format: {FORMAT},"), 1)
}

#[test]
fn there_is_a_file_of_every_format() {
    let first = 3;
    for format in first..=FORMAT {
        let path = fixtures().join(format!("format-{format}.ron"));
        assert!(open(&path).is_ok(), "{}", path.display());
    }
}
