//! Layouts that nobody thought of: whatever a project holds, nothing overlaps and nothing leaves the border.

use super::fixture_report::add_slow;
use super::fixtures::{circle, fixture, rectangle};
use super::pages::{check_border, check_texts};
use crate::{Orientation, Paper, SheetOptions, compose};
use document::{FrameId, FramePiece, Layout, Tool};
use geometry::{LipShape, Outline};
use glam::{DVec3, dvec2};
use proptest::prelude::*;
use std::sync::Arc;
use units::{LengthUnit, UnitChoice};

#[derive(Debug, Clone)]
struct Odd {
    size: (f64, f64),
    at: (f64, f64),
    cups: Vec<(f64, f64, f64, usize)>,
    tags: Vec<String>,
    lip: (f64, f64),
    rails: Vec<(f64, f64, f64, f64)>,
    deep: bool,
    options: SheetOptions,
}

fn odd() -> impl Strategy<Value = Odd> {
    let share = || 0.0..1.0_f64;
    let cups = prop::collection::vec((share(), share(), 0.0..360.0_f64, 0..4_usize), 1..24);
    let options = (0..6_usize, 0..2_usize, any::<bool>(), any::<bool>(), any::<bool>()).prop_map(
        |(paper, turned, mirrored, inch, decimal_comma)| SheetOptions {
            paper: Paper::ALL[paper],
            orientation: Orientation::ALL[turned],
            units: UnitChoice {
                length: if inch { LengthUnit::Inch } else { LengthUnit::Millimetre },
                decimal_comma,
                ..UnitChoice::default()
            },
            mirrored,
            checklist: mirrored,
        },
    );
    let place = (-3000.0..3000.0_f64, -3000.0..3000.0_f64);
    let size = (15.0..3000.0_f64, 15.0..2000.0_f64);
    let rails = prop::collection::vec((share(), share(), 20.0..2000.0_f64, 0.0..180.0_f64), 0..4);
    let tags = prop::collection::vec("[A-Z][0-9]{1,3}|[a-zA-Z/ °Ø]{1,24}", 24);
    (size, place, cups, tags, (0.02..0.4_f64, 0.3..1.0_f64), rails, any::<bool>(), options).prop_map(
        |(size, at, cups, tags, lip, rails, deep, options)| Odd {
            size,
            at,
            cups,
            tags,
            lip,
            rails,
            deep,
            options,
        },
    )
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(24))]
    #[test]
    fn nothing_overlaps_and_nothing_leaves_the_border(odd in odd()) {
        let (width, height) = odd.size;
        let (x, y) = odd.at;
        let least = width.min(height);
        let hole = circle(x + width * 0.4, y + height * 0.5, least * 0.15);
        let outline = Outline { outer: rectangle(x, y, x + width, y + height), holes: vec![hole] };
        let keep_out = rectangle(x + width * 0.7, y + height * 0.1, x + width * 0.9, y + height * 0.4);
        let length = (least * odd.lip.0).max(4.0);
        let shape = match odd.cups.len() % 3 {
            0 => LipShape::Round { diameter: length },
            1 => LipShape::Long { length: length * 2.0, width: length * odd.lip.1 },
            _ => LipShape::Rectangle { length, width: length * odd.lip.1, corner: length * 0.1 },
        };
        let zones = ["A", "B", "north manifold", ""];
        let places: Vec<(f64, f64, &str)> =
            odd.cups.iter().map(|(cx, cy, _, zone)| (x + cx * width, y + cy * height, zones[*zone])).collect();
        let mut made = fixture("odd", outline, &[("seam of the second weld", keep_out)], shape, &places);
        let layout: &mut Layout = Arc::make_mut(&mut made.project.layouts[0]);
        for (index, (_, _, turn, _)) in odd.cups.iter().enumerate() {
            layout.cups[index].turn_deg = *turn;
            made.report.cups[index].turn_deg = *turn;
            layout.cups[index].tag.clone_from(&odd.tags[index]);
            made.report.cups[index].tag.clone_from(&odd.tags[index]);
        }
        if !odd.rails.is_empty() {
            let rail = |(index, (rx, ry, length, turn)): (usize, &(f64, f64, f64, f64))| {
                let at = dvec2(x + rx * width, y + ry * height);
                FramePiece::rail(FrameId(900 + index as u32), "Rail", at, *length, *turn)
            };
            layout.tool = Arc::new(Tool {
                flange: DVec3::new(x + width / 2.0, y + height / 2.0, 150.0),
                masses: Vec::new(),
                frame: odd.rails.iter().enumerate().map(rail).collect(),
            });
        }
        if odd.deep {
            add_slow(&mut made.report);
        }
        let pages = compose(&made.project, &made.report, &odd.options);
        let what = format!("{odd:?}");
        check_texts(&pages, &what);
        check_border(&pages, &what);
    }
}
