//! Inputs that the `check --json` object echoes are named as the file names them: each such key is held to its row of the
//! registry, with its unit; what is named otherwise stands here with the reason.

use super::published;
use document::{Field, Measure, field};
use serde_json::Value;
use std::collections::BTreeSet;
use units::Quantity;

/// A structure of the object that has inputs in it.
struct Echo {
    /// Its name in the schema.
    of: &'static str,
    /// Kinds of the registry whose fields it holds.
    kinds: &'static [&'static str],
    /// Inputs under another name: key, row, why.
    otherwise: &'static [(&'static str, &'static str, &'static str)],
    /// What is no input: objects of their own, names of lists, figures; `None` where most keys are figures.
    besides: Option<&'static [&'static str]>,
}

const SHEET: &str = "the file keeps g, the object has every mass in kg";
const BOTH: &str = "the cup's own height stands beside it";
const SIZE: &str = "one pair for rails and plates, where the file has a field for each side";
const CENTRE: &str = "of a piece the file has its start, of which the centre is calculated";
const SUM: &str = "worked out from the mass per length or area";
const LIMITS: &str = "spreads stand in an object of their own, so that the word is not repeated";

const ECHOES: &[Echo] = &[
    Echo { of: "Site", kinds: &["site"], otherwise: &[], besides: Some(&[]) },
    Echo {
        of: "Spread",
        kinds: &[],
        otherwise: &[
            ("friction", "rules.friction_spread", LIMITS),
            ("stiffness", "rules.stiffness_spread", LIMITS),
            ("lip", "rules.lip_spread", LIMITS),
        ],
        besides: Some(&[]),
    },
    Echo { of: "Part", kinds: &["part"], otherwise: &[], besides: None },
    Echo {
        of: "Cup",
        kinds: &["cup", "rules", "part"],
        otherwise: &[
            ("channel_mm", "model.channel_mm", "of the cup's model"),
            ("lip_width_mm", "model.lip_width_mm", "of the cup's model, the usual one where none is stated"),
            ("axial_n_mm", "model.axial_n_mm", "of the cup's model"),
            ("lateral_n_mm", "model.lateral_n_mm", "of the cup's model"),
            ("side_lever_mm", "model.side_lever_mm", "of the cup's model"),
            ("seal_minimum_n_mm", "model.seal_minimum_n_mm", "of the cup's model"),
            ("shape", "model.shape", "of the cup's model"),
            ("mass_kg", "model.mass_g", SHEET),
            ("model_height_mm", "model.height_mm", BOTH),
        ],
        besides: None,
    },
    Echo {
        of: "Motion",
        kinds: &["motion"],
        otherwise: &[
            ("tilt_to_deg", "motion.worst.TiltTo.deg", "a number has no place in a choice of the object"),
            (
                "stated_acceleration_m_s2",
                "motion.acceleration",
                "acceleration_m_s2 is the one at the worst instant",
            ),
        ],
        besides: None,
    },
    Echo {
        of: "Stroke",
        kinds: &["motion.stroke"],
        otherwise: &[("stroke_mm", "motion.stroke.mm", "a key says what it is, not its unit alone")],
        besides: Some(&["peak_m_s2"]),
    },
    Echo { of: "RobotLoad", kinds: &["tool", "site"], otherwise: &[], besides: None },
    Echo {
        of: "Frame",
        kinds: &["tool.frame"],
        otherwise: &[
            ("kind", "tool.frame.shape", "the word alone; its sides are size_mm"),
            ("centre_mm", "tool.frame.at", CENTRE),
            ("size_mm", "tool.frame.length_mm", SIZE),
            ("mass_kg", "tool.frame.kg_m", SUM),
        ],
        besides: Some(&["name"]),
    },
    Echo {
        of: "Mass",
        kinds: &["tool.masses"],
        otherwise: &[("centre_mm", "tool.masses.at", "as of every other body of the tool")],
        besides: Some(&["name"]),
    },
    Echo { of: "Cycle", kinds: &["cycle"], otherwise: &[], besides: Some(&[]) },
    Echo {
        of: "Supply",
        kinds: &["circuit.supply", "source"],
        otherwise: &[],
        besides: Some(&["restrictor", "filter", "valves", "area_gripper", "cell_closing", "operation"]),
    },
    Echo { of: "Restriction", kinds: &["circuit.supply.restriction"], otherwise: &[], besides: Some(&[]) },
    Echo {
        of: "Valve",
        kinds: &["circuit.supply.valves", "circuit.supply.restriction", "cup"],
        otherwise: &[],
        besides: Some(&[]),
    },
    Echo {
        of: "Cells",
        kinds: &["circuit.supply.area_gripper", "circuit.supply.restriction"],
        otherwise: &[],
        besides: Some(&[]),
    },
    Echo { of: "Closing", kinds: &["circuit.supply.cell_closing"], otherwise: &[], besides: Some(&[]) },
    Echo {
        of: "Operation",
        kinds: &["circuit.supply.operation", "source"],
        otherwise: &[],
        besides: Some(&["exhaust"]),
    },
    Echo {
        of: "BlowOff",
        kinds: &["circuit.supply.operation.blow_off", "circuit.supply.restriction"],
        otherwise: &[],
        besides: Some(&[]),
    },
    Echo {
        of: "ExhaustHose",
        kinds: &["circuit.supply.operation.exhaust"],
        otherwise: &[],
        besides: Some(&["silencer"]),
    },
    Echo {
        of: "Circuit",
        kinds: &["circuit"],
        otherwise: &[("wanted_level_kpa", "circuit.level_kpa", "the levels that come about stand beside it")],
        besides: None,
    },
    Echo {
        of: "Levels",
        kinds: &[],
        otherwise: &[(
            "switch_held_kpa",
            "circuit.thresholds.held_kpa",
            "what the switch waits for, not what is there",
        )],
        besides: None,
    },
    Echo {
        of: "Ringing",
        kinds: &["part"],
        otherwise: &[("limit_mm", "rules.ring_limit_mm", "it stands in the object of the ringing")],
        besides: None,
    },
    Echo { of: "RingStroke", kinds: &["motion.stroke"], otherwise: &[], besides: None },
    Echo { of: "OneStroke", kinds: &["motion.stroke"], otherwise: &[], besides: None },
    Echo { of: "Dust", kinds: &["circuit.supply.dust"], otherwise: &[], besides: None },
    Echo {
        of: "Seat",
        kinds: &["layout.seats"],
        otherwise: &[],
        besides: Some(&["name", "cups", "figures", "stops"]),
    },
    Echo {
        of: "Stops",
        kinds: &["layout.seats.stops"],
        // Which edges, not a place on each.
        otherwise: &[],
        besides: Some(&["off_mm"]),
    },
];

/// Keys that are figures and happen to be called like a field of a kind that stands in the same structure.
const FIGURES: &[(&str, &str)] = &[("RobotLoad", "mass_kg"), ("Part", "centre_of_gravity_mm")];

/// The row of which a key is the echo: as in the file, or with the unit that the file leaves out of a place.
fn row(echo: &Echo, key: &str) -> Option<&'static Field> {
    let bare = key.strip_suffix("_mm");
    echo.kinds.iter().find_map(|kind| {
        let named = |name: &str| field(&format!("{kind}.{name}"));
        named(key).or_else(|| named(bare?).filter(|row| row.measure.in_base().0 == Quantity::Length))
    })
}

/// How a key ends that holds a figure of this measure in the file's unit; none where it is a plain number or no number.
fn ending(measure: Measure) -> Option<&'static str> {
    match measure.in_base() {
        (Quantity::Length, 1.0) => Some("_mm"),
        (Quantity::Angle, 1.0) => Some("_deg"),
        (Quantity::Time, 1.0) => Some("_s"),
        (Quantity::VacuumLevel | Quantity::FeedPressure, 1.0) => Some("_kpa"),
        (Quantity::Flow, 1.0) => Some("_nl_min"),
        (Quantity::Volume, 1.0) => Some("_ml"),
        (Quantity::Mass, 1.0) => Some("_kg"),
        (Quantity::Permeance, 1.0) => Some("_um_pa_s"),
        (Quantity::Acceleration, 1.0) => Some("_m_s2"),
        _ => None,
    }
}

#[test]
fn inputs_are_named_as_in_the_file_and_end_in_their_unit() {
    let schema: Value = published::made::<super::keys::LineJson<'_>>();
    let mut echoed = 0;
    for echo in ECHOES {
        let keys = schema["$defs"][echo.of]["properties"].as_object();
        let keys: BTreeSet<&str> =
            keys.unwrap_or_else(|| panic!("{} is gone", echo.of)).keys().map(String::as_str).collect();
        for (key, from, why) in echo.otherwise {
            assert!(keys.contains(key) && !why.is_empty(), "{}.{key} is gone", echo.of);
            assert!(field(from).is_some(), "{}.{key}: no row {from}", echo.of);
            assert!(row(echo, key).is_none(), "{}.{key} has its name from the registry", echo.of);
        }
        for key in echo.besides.unwrap_or_default() {
            assert!(keys.contains(key) && row(echo, key).is_none(), "{}.{key}", echo.of);
        }
        for key in keys {
            let otherwise = echo.otherwise.iter().find(|(name, ..)| *name == key);
            let from = row(echo, key).or_else(|| otherwise.and_then(|(_, from, _)| field(from)));
            match from.filter(|_| !FIGURES.contains(&(echo.of, key))) {
                Some(row) => {
                    echoed += 1;
                    let unit = ending(row.measure).filter(|_| otherwise.is_none() && row.is_number());
                    assert!(unit.is_none_or(|unit| key.ends_with(unit)), "{}.{key} is in {unit:?}", echo.of);
                }
                None => assert!(
                    echo.besides.is_none_or(|besides| besides.contains(&key)),
                    "{}.{key} is no field of {:?}: give it the name of its row, or say why not",
                    echo.of,
                    echo.kinds
                ),
            }
        }
    }
    // A structure that lost its inputs, or a kind that was renamed, shows here.
    assert_eq!(echoed, 107);
}
