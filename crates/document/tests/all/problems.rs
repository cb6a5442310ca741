//! Every bad input is named, with what to do.
use document::*;
use geometry::{LipShape, Loop, Outline, Vertex};
use glam::{DVec2, DVec3};
use std::sync::Arc;

fn sound() -> Project {
    let part = Part::rectangle(PartId(1), "Tray blank", 600.0, 400.0);
    let project = Project::new("Tray line 2", part);
    let (layout, circuit) = (project.layouts[0].id, project.circuits[0].id);
    let model = library().iter().find(|m| &*m.id.0 == "round-40-flat-medium").unwrap().clone();
    let cups = (0..2).map(|i| Cup {
        id: CupId(project.next_id() + i),
        tag: format!("C{}", i + 1),
        model: model.id.clone(),
        at: DVec2::new(100.0 + 200.0 * f64::from(i), 100.0),
        turn_deg: 0.0,
        height_mm: 0.0,
        circuit,
        zone: FIRST_ZONE.into(),
        locked: false,
    });
    let place = vec![Edit::AddCups { layout, cups: cups.collect() }];
    let edits = [vec![Edit::AddModel(model)], place].concat();
    Edit::Together { name: "Place".into(), edits }.apply(&project).unwrap()
}
fn part(change: impl FnOnce(&mut Part)) -> Project {
    let mut project = sound();
    change(Arc::make_mut(&mut project.parts[0]));
    project
}
fn motion(change: impl FnOnce(&mut Motion)) -> Project {
    let mut project = sound();
    change(Arc::make_mut(&mut project.motions[0]));
    project
}
fn cup(change: impl FnOnce(&mut Cup)) -> Project {
    let mut project = sound();
    change(&mut Arc::make_mut(&mut project.layouts[0]).cups[1]);
    project
}
fn model(change: impl FnOnce(&mut CupModel)) -> Project {
    let mut project = sound();
    change(Arc::make_mut(&mut project.models[0]));
    project
}
fn project(change: impl FnOnce(&mut Project)) -> Project {
    let mut project = sound();
    change(&mut project);
    project
}
fn circuit(kpa: f64) -> Project {
    project(|p| Arc::make_mut(&mut p.circuits[0]).level_kpa.value = kpa)
}

#[test]
fn sound_inputs_have_no_problems() {
    assert_eq!(sound().problems(), []);
    for kind in MotionKind::ALL {
        let with = motion(|m| *m = Motion::preset(m.id, *kind));
        assert_eq!(with.problems(), [], "{}", kind.label());
    }
    for material in MATERIALS {
        assert_eq!(part(|p| material.apply_to(p)).problems(), [], "{}", material.name);
    }
    // A round hole of two half circles, as drawings give it.
    let hole =
        Loop { vertices: [100.0, 200.0].map(|x| Vertex { at: DVec2::new(x, 200.0), bulge: 1.0 }).to_vec() };
    let with_hole = part(|p| Arc::make_mut(&mut p.outline).holes.push(hole));
    assert_eq!(with_hole.problems(), []);
    let all = project(|p| p.models = library().to_vec());
    assert_eq!(all.problems(), []);
}

/// With the minus sign of the keyboard.
fn plain(says: &str) -> String {
    says.replace('\u{2212}', "-")
}

#[test]
fn each_bad_input_is_named_with_a_remedy() {
    let p = sound();
    let (part_id, layout) = (Subject::Part(PartId(1)), p.layouts[0].id);
    let second = Subject::Cup(layout, p.layouts[0].cups[1].id);
    let motion_id = Subject::Motion(p.motions[0].id);
    let circuit_id = Subject::Circuit(p.circuits[0].id);
    let model_id = Subject::Model(p.models[0].id.clone());
    let site = |altitude_m, temperature_c| {
        project(|p| p.site = Site { altitude_m, temperature_c, payload_kg: None })
    };
    let cases = [
        (part(|p| p.outline = Arc::default()), part_id.clone(), "part Tray blank has no outline"),
        (part(|p| p.thickness_mm = 0.0), part_id.clone(), "the thickness of part Tray blank is 0 mm"),
        (
            part(|p| p.mass = MassBy::Stated { kg: Sourced::stated(-2.0) }),
            part_id.clone(),
            "the mass of part Tray blank is -2 kg",
        ),
        (
            part(|p| p.mass = MassBy::Areal { kg_m2: Sourced::stated(0.0) }),
            part_id.clone(),
            "the mass per area of part Tray blank is 0 kg/m²",
        ),
        (
            part(|p| p.mass = MassBy::Density { kg_m3: Sourced::stated(f64::NAN) }),
            part_id.clone(),
            "the density of part Tray blank is not a number",
        ),
        (part(|p| p.friction.value = 0.0), part_id.clone(), "the friction of part Tray blank is 0"),
        (part(|p| p.friction.value = 2.5), part_id.clone(), "the friction of part Tray blank is 2.5"),
        (part(|p| p.uneven_mm = -1.0), part_id.clone(), "the height variation of part Tray blank is -1 mm"),
        (
            part(|p| p.placement.turn_deg = -1.0),
            part_id.clone(),
            "the turn tolerance of part Tray blank is -1°",
        ),
        (
            part(|p| {
                p.attached.push(Attached {
                    id: AttachedId(80),
                    name: "Bracket".into(),
                    mass_kg: 0.0,
                    at: DVec3::ZERO,
                    size: DVec3::ZERO,
                    turn_deg: 0.0,
                });
            }),
            part_id.clone(),
            "the mass of Bracket on part Tray blank is 0 kg",
        ),
        (
            part(|p| {
                p.keep_outs.push(KeepOut { id: KeepOutId(80), name: "Print".into(), area: Arc::default() });
            }),
            part_id.clone(),
            "keep-out Print of part Tray blank has no area",
        ),
        (
            motion(|m| m.required_factor = 0.0),
            motion_id.clone(),
            "the required factor of motion Level lift is 0",
        ),
        (
            motion(|m| m.required_factor = -2.0),
            motion_id.clone(),
            "the required factor of motion Level lift is -2",
        ),
        (
            motion(|m| m.acceleration.x = 9806.65),
            motion_id.clone(),
            "the acceleration of motion Level lift is 9806.65 m/s²",
        ),
        (
            motion(|m| m.turn_rate_deg_s.z = 1e5),
            motion_id.clone(),
            "the turn rate of motion Level lift is 100000 °/s",
        ),
        (motion(|m| m.tilt_deg = 400.0), motion_id.clone(), "the tilt of motion Level lift is 400°"),
        (
            motion(|m| m.worst = Worst::TiltTo { deg: f64::NAN }),
            motion_id.clone(),
            "the end tilt of motion Level lift is not a number",
        ),
        (motion(|m| m.pivot_mm = DVec3::NAN), motion_id, "the pivot of motion Level lift is not a number"),
        (circuit(0.0), circuit_id.clone(), "the vacuum level of Circuit 1 is 0 kPa"),
        (circuit(105.0), circuit_id, "the vacuum level of Circuit 1 is 105 kPa"),
        (
            cup(|c| c.model = "none".into()),
            second.clone(),
            "cup C2 of Layout A is of model none, which is not in",
        ),
        (
            cup(|c| c.circuit = CircuitId(99)),
            second.clone(),
            "cup C2 of Layout A is on a circuit that is not in",
        ),
        (cup(|c| c.at = DVec2::NAN), second.clone(), "the place of cup C2 of Layout A is not a number"),
        (cup(|c| c.tag = " ".into()), second.clone(), "a cup of Layout A has no tag"),
        (cup(|c| c.at.x = 100.001), second.clone(), "cups C1 and C2 of Layout A are at one point"),
        (cup(|c| c.height_mm = -5.0), second, "the post height of cup C2 of Layout A is -5 mm"),
        (cup(|c| c.tag = "C1".into()), Subject::Layout(layout), "2 cups of Layout A have the tag C1"),
        (
            project(|p| Arc::make_mut(&mut p.layouts[0]).part = PartId(9)),
            Subject::Layout(layout),
            "Layout A is for a part that is not in the project",
        ),
        (
            model(|m| m.bore_mm = 50.0),
            model_id.clone(),
            "the bore of cup model Round 40, flat, medium is 50 mm and its lip 40 mm",
        ),
        (
            model(|m| m.shape = LipShape::Round { diameter: 0.0 }),
            model_id.clone(),
            "the lip diameter of cup model",
        ),
        (
            model(|m| m.shape = LipShape::Long { length: 20.0, width: 30.0 }),
            model_id.clone(),
            "the lip of cup model",
        ),
        (
            model(|m| m.shape = LipShape::Rectangle { length: 80.0, width: 40.0, corner: 21.0 }),
            model_id.clone(),
            "the corner radius of cup model",
        ),
        (model(|m| m.sealing_share.value = 1.2), model_id.clone(), "the sealing line of cup model"),
        (
            model(|m| m.travel_mm.value = 300.0),
            model_id.clone(),
            "cup model Round 40, flat, medium has 300 mm of travel and is only",
        ),
        (model(|m| m.axial_n_mm.value = 0.0), model_id.clone(), "the axial stiffness of cup model"),
        (model(|m| m.hardness_shore_a = 120.0), model_id.clone(), "the hardness of cup model"),
        (model(|m| m.allowed.clear()), model_id, "cup model Round 40, flat, medium suits no surface"),
        (site(9000.0, 20.0), Subject::Site, "the altitude of the site is 9000 m"),
        (site(0.0, -300.0), Subject::Site, "the temperature of the site is -300 °C"),
        (project(|p| p.motions.clear()), Subject::Project, "there is no motion"),
        (project(|p| p.rules.slide_share = 0.0), Subject::Project, "the share of friction used is 0 %"),
        (
            project(|p| p.rules.favourable_weight = 1.1),
            Subject::Project,
            "the weight counted where it helps is 110 %",
        ),
        (project(|p| p.rules.factor_watch = 0.5), Subject::Project, "the factor warning limit is 0.5"),
    ];
    for (project, subject, says) in cases {
        let problems = project.problems();
        let found = problems.iter().find(|p| p.subject == subject && plain(&p.says).starts_with(says));
        let found = found.unwrap_or_else(|| panic!("{says}\nis not in {problems:#?}"));
        assert!(
            !found.remedy.is_empty() && !found.remedy.ends_with('.') && !found.says.ends_with('.'),
            "{found:?}"
        );
        assert!(problems.len() <= 3, "one bad input is not a flood: {problems:#?}");
    }
}

fn tool(change: impl FnOnce(&mut Tool)) -> Project {
    let mut project = sound();
    let layout = Arc::make_mut(&mut project.layouts[0]);
    let tool = Arc::make_mut(&mut layout.tool);
    tool.masses = vec![Attached::point(AttachedId(90), "Valve", 0.5, DVec3::new(300.0, 200.0, 90.0))];
    tool.frame = vec![
        FramePiece::rail(FrameId(91), "Rail 1", DVec2::new(0.0, 100.0), 600.0, 0.0),
        FramePiece::plate(FrameId(92), "Plate", DVec2::new(0.0, 200.0), 300.0, 200.0),
    ];
    change(tool);
    project
}
fn rail(change: impl FnOnce(&mut FrameShape)) -> Project {
    tool(|t| change(&mut t.frame[0].shape))
}
fn plate(pitch: [f64; 2], first: [f64; 2]) -> Project {
    tool(|t| {
        if let FrameShape::Plate { pitch_mm, first_mm, .. } = &mut t.frame[1].shape {
            (*pitch_mm, *first_mm) = (pitch.into(), first.into());
        }
    })
}
fn shape(length_mm: f64, pitch_mm: f64, first_mm: f64, kg_m: f64) -> FrameShape {
    FrameShape::Rail { length_mm, width_mm: 40.0, pitch_mm, first_mm, kg_m }
}
fn pairs(list: &[(&str, f64)]) -> Project {
    let pair = |(name, value): &(&str, f64)| FrictionPair {
        lip_material: (*name).to_owned(),
        friction: Sourced::stated(*value),
    };
    part(|p| p.pairs = list.iter().map(pair).collect())
}
fn stroke(mm: f64, time_s: f64) -> Project {
    let stroke = Stroke { mm, time_s, profile: MoveProfile::Quintic, pause_s: 0.0 };
    motion(|m| *m = Motion { stroke: Some(stroke), ..Motion::preset(m.id, MotionKind::StrokeAndTime) })
}

#[test]
fn a_sound_tool_and_sound_pairs_have_no_problems() {
    assert_eq!(tool(|_| {}).problems(), []);
    assert_eq!(rail(|s| *s = shape(600.0, 40.0, 20.0, 0.0)).problems(), []);
    assert_eq!(plate([0.0, 25.0], [0.0, 200.0]).problems(), []);
    assert_eq!(pairs(&[("nitrile rubber", 0.4), ("polyurethane", 0.5)]).problems(), []);
    assert_eq!(part(|p| p.permeance_um_pa_s = Some(Sourced::stated(20.0))).problems(), []);
    // Airtight, said outright.
    assert_eq!(part(|p| p.permeance_um_pa_s = Some(Sourced::stated(0.0))).problems(), []);
    assert_eq!(stroke(800.0, 0.8).problems(), []);
    assert_eq!(project(|p| p.site.payload_kg = Some(12.0)).problems(), []);
}

#[test]
fn each_bad_tool_stroke_pair_and_limit_is_named_with_a_remedy() {
    let p = sound();
    let (part_id, layout) = (Subject::Part(PartId(1)), Subject::Layout(p.layouts[0].id));
    let motion_id = Subject::Motion(p.motions[0].id);
    let model_id = Subject::Model(p.models[0].id.clone());
    let permeance = |value| part(|p| p.permeance_um_pa_s = Some(Sourced::stated(value)));
    let payload = |kg| project(|p| p.site.payload_kg = Some(kg));
    let rules = |change: fn(&mut Rules)| project(|p| change(&mut p.rules));
    let cases = [
        (stroke(0.0, 0.8), &motion_id, "the stroke of motion Move by stroke and time is 0 mm"),
        (stroke(800.0, 0.0), &motion_id, "the stroke time of motion Move by stroke and time is 0 s"),
        (stroke(800.0, -1.0), &motion_id, "the stroke time of motion Move by stroke and time is -1 s"),
        (
            stroke(5000.0, 0.2),
            &motion_id,
            "5000 mm in 0.2 s, the stroke of motion Move by stroke and time, needs at least 500 m/s², 51 \
            times gravity",
        ),
        (
            motion(|m| {
                let preset = Motion::preset(m.id, MotionKind::StrokeAndTime);
                *m = Motion { acceleration: DVec3::ZERO, ..preset };
            }),
            &motion_id,
            "the stroke of motion Move by stroke and time has no direction",
        ),
        (
            motion(|m| m.kind = MotionKind::StrokeAndTime),
            &motion_id,
            "motion Level lift is set by stroke and time but has neither",
        ),
        (motion(|m| m.inertia_times = 0.5), &motion_id, "the dynamic factor of motion Level lift is 0.5"),
        (
            motion(|m| m.inertia_times = f64::INFINITY),
            &motion_id,
            "the dynamic factor of motion Level lift is without limit",
        ),
        (permeance(-3.0), &part_id, "the air permeability of part Tray blank is -3 µm/(Pa·s)"),
        (
            pairs(&[("nitrile rubber", 0.0)]),
            &part_id,
            "the friction of nitrile rubber on part Tray blank is 0",
        ),
        (
            pairs(&[("nitrile rubber", 2.5)]),
            &part_id,
            "the friction of nitrile rubber on part Tray blank is 2.5",
        ),
        (
            pairs(&[("nitrile rubber", 0.4), ("Nitrile rubber ", 0.5)]),
            &part_id,
            "part Tray blank has two friction pairs for Nitrile rubber",
        ),
        (pairs(&[(" ", 0.4)]), &part_id, "a friction pair of part Tray blank names no lip material"),
        (
            model(|m| m.channel_mm.value = -0.1),
            &model_id,
            "the air gap of cup model Round 40, flat, medium is -0.1 mm",
        ),
        (payload(0.0), &Subject::Site, "the payload of the robot at the site is 0 kg"),
        (payload(-5.0), &Subject::Site, "the payload of the robot at the site is -5 kg"),
        (rules(|r| r.payload_watch = 0.0), &Subject::Project, "the payload warning limit is 0 %"),
        (rules(|r| r.friction_spread = -0.1), &Subject::Project, "the spread of assumed friction is -10 %"),
        (rules(|r| r.lip_spread = 1.0), &Subject::Project, "the spread of assumed lip values is 100 %"),
        (tool(|t| t.flange.z = -12.0), &layout, "the flange of Layout A is 12 mm below the lips"),
        (
            tool(|t| t.flange.x = f64::NAN),
            &layout,
            "the place of the flange of the tool of Layout A is not a number",
        ),
        (
            tool(|t| t.masses[0].mass_kg = -0.5),
            &layout,
            "the mass of Valve on the tool of Layout A is -0.5 kg",
        ),
        (tool(|t| t.masses[0].size.y = -1.0), &layout, "the size of Valve on the tool of Layout A is -1 mm"),
        (
            tool(|t| t.frame[0].height_mm = -1.0),
            &layout,
            "the height above the lips of Rail 1 of the tool of Layout A is -1 mm",
        ),
        (
            rail(|s| *s = shape(-600.0, 0.0, 20.0, 1.6)),
            &layout,
            "the length of Rail 1 of the tool of Layout A is -600 mm",
        ),
        (
            rail(|s| *s = shape(600.0, -40.0, 20.0, 1.6)),
            &layout,
            "the pitch of Rail 1 of the tool of Layout A is -40 mm",
        ),
        (
            rail(|s| *s = shape(600.0, 40.0, -20.0, 1.6)),
            &layout,
            "the first mounting position of Rail 1 of the tool of Layout A is -20 mm",
        ),
        (
            rail(|s| *s = shape(600.0, 40.0, 620.0, 1.6)),
            &layout,
            "the first mounting position of Rail 1 of Layout A is at 620 mm of a length of 600 mm",
        ),
        (
            rail(|s| *s = shape(600.0, 40.0, 20.0, -1.6)),
            &layout,
            "the mass per length of Rail 1 of the tool of Layout A is -1.6 kg/m",
        ),
        (
            plate([25.0, f64::NAN], [0.0, 0.0]),
            &layout,
            "the pitch of Plate of the tool of Layout A is not a number",
        ),
        (
            plate([25.0, 25.0], [0.0, 201.0]),
            &layout,
            "the first mounting position of Plate of Layout A is at 201 mm of a width of 200 mm",
        ),
    ];
    for (project, subject, says) in cases {
        let problems = project.problems();
        let [only] = &problems[..] else { panic!("{says}\nis not alone in {problems:#?}") };
        assert_eq!(&only.subject, subject, "{only:?}");
        assert!(plain(&only.says).starts_with(says), "{}\nis not\n{says}", only.says);
        assert!(!only.remedy.is_empty() && !only.remedy.ends_with('.') && !only.says.ends_with('.'));
    }
}

#[test]
fn a_bad_outline_is_named_by_what_geometry_finds() {
    let points = [DVec2::ZERO, DVec2::new(100.0, 100.0), DVec2::new(100.0, 0.0), DVec2::new(0.0, 100.0)];
    let crossing = Outline { outer: Loop::polygon(points), holes: vec![] };
    let found = geometry::validate(&crossing);
    let problems = part(|p| p.outline = Arc::new(crossing)).problems();
    assert!(!found.is_empty());
    assert_eq!(problems.len(), found.len());
    assert_eq!(problems[0].says, format!("part Tray blank: {}", found[0]));
}

#[test]
fn thousands_of_cups_are_compared_with_their_neighbours_only() {
    let mut project = sound();
    let layout = Arc::make_mut(&mut project.layouts[0]);
    let first = layout.cups[0].clone();
    layout.cups = (0..20_000u32)
        .map(|i| Cup {
            id: CupId(100 + i),
            tag: format!("C{i}"),
            at: DVec2::new(f64::from(i % 200), f64::from(i / 200)),
            ..first.clone()
        })
        .collect();
    layout.cups[19_999].at = DVec2::new(0.004, 0.004);
    let problems = project.problems();
    assert_eq!(problems.len(), 1);
    assert_eq!(problems[0].says, "cups C0 and C19999 of Layout A are at one point");
    assert_eq!(project.layout_problems(project.layouts[0].id), problems);
}
