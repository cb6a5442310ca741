//! One tool for several parts: which cups are on which, and the fewest zones, of `zones.json` (topic H).
//!
//! The record says of each case how it was computed: distances by an own exact formula and by shapely, zones by trying every
//! parting of the cups and by an integer programme. Any grouping with the fewest zones is right; ours is held against the rule.

use super::{cases, number};
use geometry::{Cover, Lip, LipShape, Loop, Outline, SoundSurface, cover};
use glam::DVec2;
use mechanics::valves::{Need, fewest};
use serde_json::Value;

const RECORD: &str = include_str!("zones.json");

struct Case {
    id: String,
    lips: Vec<Lip>,
    names: Vec<String>,
    parts: Vec<SoundSurface>,
    on_mm: f64,
    off_mm: f64,
    optional: Vec<(usize, String)>,
    expected: Value,
}

impl Case {
    fn all() -> Vec<Self> {
        cases(RECORD, 5).iter().map(Self::of).collect()
    }

    fn of(record: &Value) -> Self {
        let inputs = &record["inputs"];
        let list = |value: &Value| value.as_array().cloned().unwrap_or_default();
        let lip = |value: &Value| Lip {
            shape: LipShape::Round { diameter: 2.0 * number(&value[2]) },
            at: DVec2::new(number(&value[0]), number(&value[1])),
            turn: 0.0,
        };
        let parts = list(&inputs["parts"]);
        Self {
            id: record["id"].as_str().unwrap().to_owned(),
            lips: list(&inputs["cups_x_y_lip_radius_mm"]).iter().map(lip).collect(),
            names: parts.iter().map(|part| part["name"].as_str().unwrap().to_owned()).collect(),
            parts: parts.iter().map(part).collect(),
            on_mm: number(&inputs["clearance_on_mm"]),
            off_mm: number(&inputs["clearance_off_mm"]),
            optional: list(&inputs["optional_cup_part"])
                .iter()
                .map(|pair| (pair[0].as_u64().unwrap() as usize, pair[1].as_str().unwrap().to_owned()))
                .collect(),
            expected: record["expected"].clone(),
        }
    }

    fn covers(&self, cup: usize) -> Vec<Cover> {
        let of = |part: &SoundSurface| cover(part, part, &self.lips[cup], self.on_mm, self.off_mm).unwrap();
        self.parts.iter().map(of).collect()
    }

    fn needs(&self, optional: bool) -> Vec<Vec<Need>> {
        let need = |cup: usize, part: usize, cover: &Cover| {
            let may = optional && self.optional.contains(&(cup, self.names[part].clone()));
            match cover {
                Cover::On if may => Need::Either,
                Cover::On => Need::Open,
                Cover::Partly | Cover::Off => Need::Shut,
            }
        };
        (0..self.lips.len())
            .map(|cup| self.covers(cup).iter().enumerate().map(|(part, c)| need(cup, part, c)).collect())
            .collect()
    }
}

/// A part of the record where its pose puts it.
fn part(record: &Value) -> SoundSurface {
    let corner = |p: &Value| (number(&p[0]), number(&p[1]));
    let ring = |points: &Value| {
        let points: Vec<(f64, f64)> = points.as_array().unwrap().iter().map(corner).collect();
        Loop {
            vertices: points
                .iter()
                .map(|(x, y)| geometry::Vertex { at: DVec2::new(*x, *y), bulge: 0.0 })
                .collect(),
        }
    };
    let list = |name: &str| record[name].as_array().cloned().unwrap_or_default();
    let round = |hole: &Value| Loop::circle(DVec2::new(number(&hole[0]), number(&hole[1])), number(&hole[2]));
    let holes = list("holes_mm").iter().map(ring).chain(list("round_holes_mm").iter().map(round)).collect();
    let outline = Outline { outer: ring(&record["outline_mm"]), holes };
    let pose = &record["pose"];
    let shift = DVec2::new(number(&pose[0]), number(&pose[1]));
    SoundSurface::new(&outline.transformed(number(&pose[2]).to_radians(), false, shift), &[])
}

#[test]
fn every_cup_is_on_partly_on_or_off_as_the_record_has_it() {
    for case in Case::all() {
        let states = case.expected["state_cup_by_part"]["value"].as_array().unwrap();
        let clearances = &case.expected["clearance_signed_mm"];
        let allowed = number(&clearances["tol_abs"]);
        assert_eq!(states.len(), case.lips.len());
        for (cup, states) in states.iter().enumerate() {
            let word = |cover: &Cover| match cover {
                Cover::On => "on",
                Cover::Partly => "partial",
                Cover::Off => "off",
            };
            let found: Vec<&str> = case.covers(cup).iter().map(word).collect();
            let wanted: Vec<&str> =
                states.as_array().unwrap().iter().map(|state| state.as_str().unwrap()).collect();
            assert_eq!(found, wanted, "{} cup {cup}", case.id);
            for (part, surface) in case.parts.iter().enumerate() {
                let wanted = number(&clearances["value"][cup][part]);
                // The record measures from the lip's centre: on the material the distance, beside it how far the lip is off.
                let lip = &case.lips[cup];
                let found = match surface.contains(lip.at) {
                    true => surface.clearance(lip).unwrap().distance,
                    false => match surface.off_by(lip) {
                        Some(distance) => -distance,
                        None => continue,
                    },
                };
                assert!(
                    (found - wanted).abs() <= allowed,
                    "{} cup {cup} part {part}: {found}, {wanted}",
                    case.id
                );
            }
        }
    }
}

#[test]
fn the_fewest_zones_are_those_of_the_record() {
    for case in Case::all() {
        for (optional, name) in [(true, "fewest_zones"), (false, "fewest_zones_if_nothing_optional")] {
            let needs = case.needs(optional);
            let found = fewest(&needs);
            assert!(found.proved, "{}", case.id);
            assert_eq!(found.zones.len() as f64, number(&case.expected[name]["value"]), "{} {name}", case.id);
            // A zone that is open for a part holds no cup that must be shut for it.
            for (part, _) in case.parts.iter().enumerate() {
                for zone in &found.zones {
                    let has = |need: Need| zone.iter().any(|cup| needs[*cup][part] == need);
                    assert!(!(has(Need::Open) && has(Need::Shut)), "{} {zone:?}", case.id);
                }
            }
            let mut placed: Vec<usize> = found.zones.concat();
            placed.sort_unstable();
            let never: Vec<usize> = case.expected["cups_never_on"]["value"]
                .as_array()
                .unwrap()
                .iter()
                .map(|cup| cup.as_u64().unwrap() as usize)
                .collect();
            let on: Vec<usize> = (0..case.lips.len()).filter(|cup| !never.contains(cup)).collect();
            assert_eq!(placed, on, "{}", case.id);
        }
    }
}

/// Where the record knows of one grouping only, it is ours, with the zones open that must be.
#[test]
fn the_only_grouping_is_found_with_what_is_open_for_each_part() {
    let mut looked_at = 0;
    for case in Case::all() {
        if number(&case.expected["number_of_optimal_groupings"]["value"]) != 1.0 {
            continue;
        }
        looked_at += 1;
        let needs = case.needs(true);
        let found = fewest(&needs);
        let wanted: Vec<Vec<usize>> = case.expected["one_optimal_grouping"]["value"]
            .as_array()
            .unwrap()
            .iter()
            .map(|zone| zone.as_array().unwrap().iter().map(|cup| cup.as_u64().unwrap() as usize).collect())
            .collect();
        assert_eq!(found.zones, wanted, "{}", case.id);
        let open = &case.expected["open_zones_per_part_for_that_grouping"]["value"];
        for (part, name) in case.names.iter().enumerate() {
            // Those that must be open; one whose cups all may be either may be open besides.
            let must: Vec<usize> = (0..found.zones.len())
                .filter(|zone| found.zones[*zone].iter().any(|cup| needs[*cup][part] == Need::Open))
                .collect();
            let wanted: Vec<usize> =
                open[name].as_array().unwrap().iter().map(|zone| zone.as_u64().unwrap() as usize).collect();
            assert_eq!(must, wanted, "{} {name}", case.id);
            assert!(must.iter().all(|zone| found.is_open(&needs, *zone, part)), "{} {name}", case.id);
        }
    }
    assert!(looked_at > 0);
}
