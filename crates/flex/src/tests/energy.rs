//! What a load does to a sheet on cups is kept in the sheet and in the cups, and nowhere else.

use crate::{Attached, Bending, FlexCup, Hung, Sheet, SheetInput, SheetLoad};
use faer::Mat;
use geometry::{LipShape, Loop, Outline};
use glam::DVec2;
use mechanics::CupSpring;
use std::sync::Arc;

#[test]
fn work_of_the_load_is_what_sheet_and_cups_keep() {
    let outline = Outline {
        outer: Loop::rounded_rectangle(DVec2::ZERO, DVec2::new(900.0, 500.0), 30.0),
        holes: vec![Loop::circle(DVec2::new(520.0, 300.0), 80.0)],
    };
    let board = Bending::from_moduli(2.0, 9_000.0, 4_000.0, 0.2, 0.4);
    let motor = Attached { mass: 1.5, at: DVec2::new(300.0, 350.0), height: -30.0, footprint: None };
    for bending in [Bending::Isotropic { modulus: 70_000.0, poisson: 0.33 }, board] {
        let input = SheetInput {
            outline: &outline,
            thickness: 2.0,
            bending,
            mass: 3.0,
            attached: &[motor],
            corners: 400,
        };
        let sheet = Arc::new(Sheet::new(&input).unwrap());
        let line = LipShape::Round { diameter: 50.0 };
        let cups: Vec<FlexCup> = [(80.0, 80.0), (820.0, 90.0), (430.0, 430.0), (90.0, 410.0), (810.0, 420.0)]
            .map(|(x, y)| FlexCup {
                spring: CupSpring::along_lip(DVec2::new(x, y), 0.0, 18.0, 9.0, &line.line(), 1.0),
                line,
            })
            .into();
        let hung = Hung::new(&sheet, &cups, None).unwrap();
        let load = SheetLoad::even(&sheet, 9.80665);
        let share = hung.share(std::slice::from_ref(&load), &[]).unwrap().remove(0);
        let values = hung.field(&share).values;
        let column = Mat::from_fn(values.len(), 1, |i, _| values[i]);
        let bent = sheet.pattern.times_all(&sheet.stiffness, column.as_ref());
        let sheet_keeps: f64 = values.iter().enumerate().map(|(i, w)| w * bent[(i, 0)]).sum();
        // Without couples at the lips the forces on the sheet are the cups' pulls turned round.
        let springs = share.forces.iter().zip(&hung.yields);
        let cups_keep: f64 = springs.map(|(force, yields)| force * force * yields.unwrap_or(0.0)).sum();
        let done: f64 = sheet.unit[0].iter().zip(&values).map(|(f, w)| 9.80665 * f * w).sum();
        assert!(
            (sheet_keeps + cups_keep - done).abs() < 1e-8 * done,
            "{sheet_keeps} + {cups_keep} is not {done}"
        );
        assert!(sheet_keeps > 0.01 * done && cups_keep > 0.01 * done);
    }
}
