//! The `check --json` object: valid against its schema, the same bytes twice, no path, no null.

use crate::common;

use analysis::{Analyst, Report};

use common::*;
use document::{Accepted, Attached, AttachedId, Project};
use geometry::LipShape;
use glam::{DVec2, DVec3};
use serde_json::Value;
use std::sync::Arc;
use telling::{exit_code, to_json};

fn validator() -> jsonschema::Validator {
    let schema: Value =
        serde_json::from_str(include_str!("../../schema/check.schema.json")).expect("a JSON text");
    jsonschema::draft202012::new(&schema).expect("a schema")
}

fn reports(project: &Project) -> Vec<Arc<Report>> {
    let mut analyst = Analyst::new();
    project.layouts.iter().map(|layout| analyst.check_whole(project, layout.id)).collect()
}

fn checked(project: &Project) -> Value {
    let text = to_json("/home/someone/tray.ron", project, &reports(project));
    assert!(!text.contains('\n'), "JSON Lines");
    assert!(!text.contains("someone"), "no path");
    assert!(!text.contains("null") && !text.contains("NaN") && !text.contains("-0.0,"), "{text}");
    let value: Value = serde_json::from_str(&text).expect("JSON");
    let problems: Vec<String> =
        validator().iter_errors(&value).map(|e| format!("{}: {e}", e.instance_path())).collect();
    assert!(problems.is_empty(), "{problems:#?}");
    value
}

fn holding() -> Project {
    let mut edge = still(2, "On edge", 1.5);
    edge.tilt_deg = 90.0;
    project(
        plate(600.0, 400.0, 4.0),
        model("round-50", round(50.0), 1.0),
        &corners((300.0, 200.0), 200.0, 100.0),
        vec![still(1, "Lift", 2.0), edge],
    )
}

#[test]
fn a_layout_that_holds() {
    let project = holding();
    let value = checked(&project);
    assert_eq!(value["format"], 2);
    assert_eq!(value["file"], "tray.ron");
    // Friction alone carries on edge, where less than 4 is asked.
    assert_eq!(value["verdict"]["severity"], "watch");
    let layout = &value["layouts"][0];
    assert_eq!(layout["cups"][0]["tag"], "C1");
    assert_eq!(layout["cups"][0]["outer_mm"], serde_json::json!([50.0, 50.0]));
    assert_eq!(layout["cups"][0]["nearest"], "edge");
    assert_eq!(layout["motions"][0]["governing_cup"], "C1");
    for what in ["sheet flexing", "vacuum circuit"] {
        let named =
            layout["not_checked"].as_array().expect("a list").iter().any(|entry| entry["what"] == what);
        assert!(named, "{what} is not calculated and not named");
    }
    assert_eq!(exit_code(&reports(&project)), 0);
}

#[test]
fn a_reader_can_redo_the_arithmetic() {
    let value = checked(&holding());
    let layout = &value["layouts"][0];
    let number = |value: &Value| value.as_f64().expect("a number");
    let motion = &layout["motions"][0];
    let mass = number(&layout["parts"][0]["mass_kg"]);
    let gravity = number(&motion["gravity_m_s2"][2]);
    assert!((number(&motion["force_n"][2]) - mass * gravity).abs() < 1e-9);
    for (cup, load) in
        layout["cups"].as_array().expect("cups").iter().zip(motion["cups"].as_array().expect("loads"))
    {
        let force = number(&cup["level_kpa"]) * 1e-3 * number(&cup["lip_area_mm2"]);
        assert!((force - number(&cup["vacuum_force_n"])).abs() < 1e-9 * force);
        let factor = number(&cup["vacuum_force_n"]) / number(&load["pull_n"]);
        assert!((factor - number(&load["factor"])).abs() < 1e-9 * factor);
    }
    let pulls: f64 =
        motion["cups"].as_array().expect("loads").iter().map(|load| number(&load["pull_n"])).sum();
    assert!((pulls + number(&motion["force_n"][2])).abs() < 1e-9 * pulls);
}

#[test]
fn every_shape_findings_and_accepted_ones() {
    let mut project = holding();
    let rectangle = model("foam", LipShape::Rectangle { length: 80.0, width: 40.0, corner: 8.0 }, 0.8);
    let long = model("long", LipShape::Long { length: 90.0, width: 30.0 }, 1.0);
    let (foam, slot) = (rectangle.id.clone(), long.id.clone());
    project.models.extend([Arc::new(rectangle), Arc::new(long)]);
    edit_layout(&mut project, |layout| {
        layout.cups[0].model = foam;
        layout.cups[1].model = slot;
        layout.cups[2].at = DVec2::new(590.0, 200.0);
        layout.cups[3].at = DVec2::new(540.0, 200.0);
    });
    edit_part(&mut project, |part| {
        part.uneven_mm = 2.0;
        part.friction = document::Sourced::assumed(0.3);
        part.attached = vec![Attached {
            id: AttachedId(9),
            name: "Box".to_owned(),
            mass_kg: 3.0,
            at: DVec3::new(100.0, 50.0, -40.0),
            size: DVec3::splat(80.0),
            turn_deg: 0.0,
        }];
    });
    let first = reports(&project)[0].findings[0].clone();
    project.accepted.push(Accepted {
        rule: first.rule.to_owned(),
        subject: first.subject.clone(),
        motion: first.motion,
        layout: layout(&project),
        reason: "Tried on the real part".to_owned(),
        by: "RB".to_owned(),
        on: "2026-01-31".to_owned(),
        seat: None,
    });
    let value = checked(&project);
    let findings = value["layouts"][0]["findings"].as_array().expect("a list");
    assert_eq!(findings.last().expect("findings")["accepted"], "Tried on the real part");
    assert_eq!(value["layouts"][0]["cups"][0]["shape"], "rectangle");
    assert_eq!(value["layouts"][0]["cups"][0]["corner_mm"], 8.0);
    assert_eq!(value["layouts"][0]["cups"][1]["shape"], "long");
    assert_eq!(exit_code(&reports(&project)), 1);
}

#[test]
fn without_cups_or_with_bad_input_it_does_not_hold() {
    let mut empty = holding();
    edit_layout(&mut empty, |layout| layout.cups.clear());
    assert_eq!(checked(&empty)["verdict"]["severity"], "fail");
    assert_eq!(exit_code(&reports(&empty)), 1);

    for spoil in [
        |part: &mut document::Part| {
            part.mass = document::MassBy::Stated { kg: document::Sourced::stated(0.0) }
        },
        |part: &mut document::Part| {
            part.mass = document::MassBy::Stated { kg: document::Sourced::stated(f64::NAN) }
        },
        |part: &mut document::Part| part.friction = document::Sourced::stated(0.0),
        |part: &mut document::Part| part.outline = Arc::default(),
        |part: &mut document::Part| part.placement.position_mm = f64::NAN,
    ] {
        let mut project = holding();
        edit_part(&mut project, spoil);
        let value = checked(&project);
        assert_eq!(value["verdict"]["severity"], "fail");
        assert!(value["layouts"][0]["motions"][0].get("factor").is_none());
        let not_checked = value["layouts"][0]["not_checked"].as_array().expect("a list");
        assert!(not_checked.iter().any(|entry| entry["what"] == "factor, Lift"));
        assert_eq!(exit_code(&reports(&project)), 1);
    }
    assert_eq!(exit_code(&[]), 1);
}

#[test]
fn a_lip_that_nothing_loads_has_no_factor_key() {
    let mut project = holding();
    // Turned over and still: the part lies on the cups.
    let mut over = still(1, "Upside down", 2.0);
    over.tilt_deg = 180.0;
    project.motions = vec![Arc::new(over)];
    let value = checked(&project);
    let motion = &value["layouts"][0]["motions"][0];
    assert!(motion.get("factor").is_none());
    assert_eq!(motion["governing_cup"], "C1");
    assert_eq!(value["verdict"]["severity"], "ok");
}

#[test]
fn the_same_bytes_from_another_analyst_and_for_several_layouts() {
    let mut project = holding();
    let mut second = document::Layout::clone(&project.layouts[0]);
    second.id = document::LayoutId(900);
    second.name = "B".to_owned();
    second.cups[0].at = DVec2::new(10.0, 10.0);
    project.layouts.push(Arc::new(second));
    let once = to_json("tray.ron", &project, &reports(&project));
    let again = to_json("tray.ron", &project, &reports(&project));
    assert_eq!(once, again);
    let value = checked(&project);
    assert_eq!(value["layouts"].as_array().map(Vec::len), Some(2));
    assert_eq!(value["verdict"]["severity"], "fail");
    assert!(value["verdict"]["sentence"].as_str().is_some_and(|sentence| sentence.starts_with("B: ")));
}

#[test]
fn slow_figures_envelope_and_tool_can_be_redone_too() {
    let mut project = holding();
    edit_part(&mut project, |part| {
        part.permeance_um_pa_s = Some(document::Sourced::stated(1.0));
        part.friction = document::Sourced::assumed(0.5);
    });
    Arc::make_mut(&mut project.models[0]).channel_mm = document::Sourced::stated(0.1);
    edit_layout(&mut project, |layout| {
        layout.cups[0].zone = "B".to_owned();
        layout.cups[1].zone = "B".to_owned();
        layout.tool = Arc::new(document::Tool {
            flange: DVec3::new(300.0, 200.0, 150.0),
            masses: vec![Attached::point(AttachedId(9), "Valve", 0.5, DVec3::new(300.0, 200.0, 90.0))],
            frame: vec![document::FramePiece::rail(
                document::FrameId(8),
                "Rail",
                DVec2::new(50.0, 100.0),
                500.0,
                0.0,
            )],
        });
    });
    project.site.payload_kg = Some(10.0);
    let value = checked(&project);
    let layout = &value["layouts"][0];
    let number = |value: &Value| value.as_f64().unwrap_or_else(|| panic!("{value}"));
    let list = |value: &Value| value.as_array().cloned().unwrap_or_else(|| panic!("{value}"));
    let ages = layout["slow_figures"].as_object().expect("ages");
    assert!(ages.len() == analysis::Slow::COUNT && ages.values().all(|age| age == "current"));

    for cup in list(&layout["cups"]) {
        let channel = &cup["channel"];
        let nl = number(&channel["fall_per_m"]) * number(&channel["half_length_mm"]) * 1e-3;
        assert!((number(&channel["end_share"]) - nl.cosh().recip()).abs() < 1e-9);
        assert!((number(&channel["mean_share"]) - nl.tanh() / nl).abs() < 1e-9);
        let force =
            number(&cup["level_kpa"]) * 1e-3 * number(&cup["lip_area_mm2"]) * number(&channel["mean_share"]);
        assert!((force - number(&cup["vacuum_force_n"])).abs() < 1e-9 * force);
    }

    // Mass and centre of the loaded tool from its pieces.
    let pieces = list(&layout["tool"]["frame"]).into_iter().chain(list(&layout["tool"]["masses"]));
    let mut bodies: Vec<(f64, f64)> =
        pieces.map(|piece| (number(&piece["mass_kg"]), number(&piece["centre_mm"][2]))).collect();
    bodies.extend(list(&layout["cups"]).iter().map(|cup| {
        (number(&cup["mass_kg"]), number(&cup["height_mm"]) + 0.5 * number(&cup["model_height_mm"]))
    }));
    let part = &layout["parts"][0];
    bodies.push((number(&part["mass_kg"]), number(&part["centre_of_gravity_mm"][2])));
    let mass: f64 = bodies.iter().map(|(kg, _)| kg).sum();
    let robot = &layout["robot_load"];
    assert!((mass - number(&robot["mass_kg"])).abs() < 1e-9);
    assert_eq!(robot["mass_kg"], robot["loaded"]["mass_kg"]);
    let height = bodies.iter().map(|(kg, z)| kg * z).sum::<f64>() / mass - number(&robot["flange_mm"][2]);
    assert!((height - number(&robot["centre_mm"][2])).abs() < 1e-9);
    assert!(number(&robot["empty"]["mass_kg"]) < mass);

    let edge = &layout["motions"][1];
    assert!(number(&edge["limit_factor"]) >= number(&edge["factor"]));
    assert!(number(&edge["factor_range"]["least"]) < number(&edge["factor"]));
    assert_eq!(edge["tilt_deg"], 90.0);
    let lost = list(&edge["one_cup_lost"]);
    assert_eq!(lost.len(), 4);
    assert_eq!(lost[0]["tag"], "C1");
    assert!(lost.iter().all(|lost| number(&lost["limit_factor"]) <= number(&edge["limit_factor"])));
    assert_eq!(list(&edge["zone_lost"])[0]["zone"], "B");

    let curve = list(&layout["envelope_m_s2"]);
    assert!(curve.len() >= 72);
    let least = curve.iter().map(|point| number(&point[1])).fold(f64::INFINITY, f64::min);
    assert!(number(&layout["envelope"]["weakest"]["acceleration_m_s2"]) <= least * (1.0 + 1e-9));
}

#[test]
fn odd_values_of_the_cycle_follow_the_schema_too() {
    use document::{Cycle, Sourced};
    type Pick = fn(&mut Cycle) -> &mut Sourced<f64>;
    let fields: [Pick; 6] = [
        |cycle| &mut cycle.picks_per_hour,
        |cycle| &mut cycle.hold_s,
        |cycle| &mut cycle.hours_per_year,
        |cycle| &mut cycle.air_price_per_m3,
        |cycle| &mut cycle.energy_price_per_kwh,
        |cycle| &mut cycle.compressor_kwh_per_m3,
    ];
    for (at, field) in fields.iter().enumerate() {
        for odd in [-1.0, -0.0, 1e-300, -1e300, 1e308] {
            let mut project = common::circuits::fed();
            field(&mut project.cycle).value = odd;
            let value = checked(&project);
            let circuit = &value["layouts"][0]["vacuum"]["circuits"][0];
            if let Some(cost) = circuit["cost_per_year"].as_f64() {
                assert!(cost >= 0.0 && odd > -0.5, "field {at} of {odd} gives {cost}");
            }
        }
    }
}

#[test]
fn odd_values_elsewhere_follow_the_schema_too() {
    let odd = [-1.0, 0.0, 1e-300, -1e300, 1e300];
    let edits: [fn(&mut Project, f64); 8] = [
        |project, v| project.site.altitude_m = v,
        |project, v| project.site.payload_kg = Some(v),
        |project, v| edit_layout(project, |layout| layout.cups[0].turn_deg = v),
        |project, v| edit_layout(project, |layout| layout.cups[0].at.x = v),
        |project, v| edit_layout(project, |layout| layout.cups[0].height_mm = v),
        |project, v| edit_part(project, |part| part.friction.value = v),
        |project, v| Arc::make_mut(&mut project.motions[0]).tilt_deg = v,
        |project, v| Arc::make_mut(&mut project.models[0]).height_mm = v,
    ];
    for edit in edits {
        for value in odd {
            let mut project = holding();
            edit(&mut project, value);
            checked(&project);
        }
    }
}

#[test]
fn a_file_that_was_not_read_is_an_object_of_its_own() {
    let value: Value =
        serde_json::from_str(&telling::unread_json("/home/someone/a.ron", "it is empty")).expect("JSON");
    assert!(validator().is_valid(&value), "{value}");
    assert_eq!(
        (value["file"].as_str(), value["verdict"]["severity"].as_str()),
        (Some("a.ron"), Some("fail"))
    );
    // It cannot be taken for one that was, nor the other way round.
    let mut project = checked(&holding());
    project["unread"] = "it is empty".into();
    assert!(!validator().is_valid(&project));
    let bare: Value = serde_json::json!({ "format": 1, "program": "cupwright 1", "file": "a.ron", "verdict": value["verdict"] });
    assert!(!validator().is_valid(&bare));
}

#[test]
fn upside_down_the_weight_is_not_multiplied_into_a_help_and_the_words_say_so() {
    let mut over = still(1, "Upside down", 4.0);
    over.tilt_deg = 180.0;
    over.acceleration = DVec3::new(0.0, 4.3, 0.0);
    let mut project = project(
        plate(600.0, 400.0, 10.0),
        model("round-40", round(40.0), 1.0),
        &corners((300.0, 200.0), 200.0, 100.0),
        vec![over],
    );
    // s mu (F + 0.9 m g) = t m a, evenly shared in the plane of the lips.
    let expected = 0.9 * 0.5 * (4.0 * holds(40.0, LEVEL) + 0.9 * 10.0 * 9.806_65) / (10.0 * 4.3);
    assert!(expected < 4.0);
    let report = reports(&project)[0].clone();
    let finding = report.findings.iter().find(|f| f.rule == "factor.under_required").expect("short");
    assert_eq!(
        finding.says,
        format!(
            "Upside down holds {expected:.2} of the 4.00 required, with the motion multiplied, the weight counted at 90 % where \
             it helps: C1 slides first."
        )
    );
    let motion = checked(&project)["layouts"][0]["motions"][0].clone();
    assert!((motion["factor"].as_f64().expect("a factor") - expected).abs() < 1e-6);
    assert!((motion["factor_weight_once"].as_f64().expect("a factor") - expected).abs() < 1e-6);
    assert_eq!(motion["governing_reading"], "favourable_weight");
    assert_eq!(motion["favourable_weight"], 0.9);
    // Multiplied with the motion the weight would hold any of it.
    assert!(motion.get("factor_whole_load").is_none(), "{motion}");

    // A required factor that is met: the second line of the verdict says how it is counted.
    Arc::make_mut(&mut project.motions[0]).required_factor = 2.0;
    let detail = &reports(&project)[0].verdict.detail;
    assert!(
        detail.starts_with(
            "Factors are at 60.0 kPa, the stated level. Factor with the motion multiplied, the weight \
            counted at 90 % where it helps."
        ),
        "{detail}"
    );

    // Held still it is only pressed on, and every lip says what is true of it.
    Arc::make_mut(&mut project.motions[0]).acceleration = DVec3::ZERO;
    let still = reports(&project)[0].clone();
    assert_eq!(
        still.verdict.sentence,
        "Meets the required factor as modelled: no motion pulls, slides or tilts a lip"
    );
}
