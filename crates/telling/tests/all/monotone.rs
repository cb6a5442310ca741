//! More of what helps never lowers a factor, through the whole stack.

use crate::common;

use analysis::{Analyst, LimitFigure};
use common::*;
use document::{Circuit, MassBy, Motion, MotionId, MotionKind, Project, Sourced};
use proptest::prelude::*;
use std::sync::Arc;

fn factors(project: &Project) -> Vec<f64> {
    let report = Analyst::new().check(project, layout(project));
    report.motions.iter().map(|motion| motion.outcome.as_ref().expect("a figure").factor).collect()
}

fn motions() -> Vec<Motion> {
    [
        MotionKind::LevelLift,
        MotionKind::LevelCarry,
        MotionKind::OnEdge,
        MotionKind::EmergencyStop,
        MotionKind::TurnOver,
    ]
    .iter()
    .enumerate()
    .map(|(i, kind)| Motion::preset(MotionId(10 + i as u32), *kind))
    .chain([Motion {
        acceleration: glam::DVec3::ZERO,
        ..Motion::preset(MotionId(20), MotionKind::LevelLift)
    }])
    .collect()
}

fn not_lower(less: &[f64], more: &[f64]) -> Result<(), TestCaseError> {
    for (less, more) in less.iter().zip(more) {
        prop_assert!(*more >= less * (1.0 - 1e-4), "{more} is below {less}");
    }
    Ok(())
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 24, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn helps(
        places in proptest::collection::vec((60.0..540.0f64, 60.0..340.0f64), 3..7),
        kg in 0.5..6.0f64,
        more in 1.05..1.6f64,
    ) {
        let spread = places.iter().any(|(x, y)| {
            let (x0, y0) = places[0];
            let (x1, y1) = places[1];
            ((x - x0) * (y1 - y0) - (y - y0) * (x1 - x0)).abs() > 1e3
        });
        prop_assume!(spread);
        let base = project(plate(600.0, 400.0, kg), model("round-40", round(40.0), 1.0), &places, motions());
        let plain = factors(&base);

        let mut deeper = base.clone();
        let circuit = Circuit { level_kpa: Sourced::stated(LEVEL * more), ..Circuit::clone(&deeper.circuits[0]) };
        deeper.circuits[0] = Arc::new(circuit);
        not_lower(&plain, &factors(&deeper))?;

        let mut rougher = base.clone();
        edit_part(&mut rougher, |part| part.friction = Sourced::stated(0.5 * more));
        not_lower(&plain, &factors(&rougher))?;

        let mut larger = base.clone();
        Arc::make_mut(&mut larger.models[0]).shape = round(40.0 * more);
        not_lower(&plain, &factors(&larger))?;

        let mut heavier = base.clone();
        edit_part(&mut heavier, |part| part.mass = MassBy::Stated { kg: Sourced::stated(kg * more) });
        not_lower(&factors(&heavier), &plain)?;

        // Twice the load halves every factor: the limits are of first degree in load where no seal minimum is asked. Where
        // the weight is counted once while the motion is multiplied it leaves less, down to nothing.
        let mut twice = base.clone();
        edit_part(&mut twice, |part| part.mass = MassBy::Stated { kg: Sourced::stated(kg * 2.0) });
        for (motion, (single, double)) in base.motions.iter().zip(plain.iter().zip(factors(&twice))) {
            let moves = [motion.acceleration, motion.turn_rate_deg_s, motion.turn_acceleration_deg_s2];
            let still = moves == [glam::DVec3::ZERO; 3] && motion.stroke.is_none();
            let share = if still { single / 2.0 - double } else { (double - single / 2.0).max(0.0) };
            prop_assert!(share.abs() <= 1e-4 * single, "{}: {single} {double}", motion.name);
        }

        let mut higher = base;
        higher.site.altitude_m = 1500.0;
        not_lower(&factors(&higher), &plain)?;
    }
}

fn limits(project: &Project) -> Vec<f64> {
    let report = Analyst::new().check_whole(project, layout(project));
    let of = |motion: &analysis::MotionReport| {
        let outcome = motion.outcome.as_ref().expect("a figure");
        match &outcome.slow.as_ref().expect("slow figures").limit {
            LimitFigure::Factor(value) => *value,
            LimitFigure::Unlimited => f64::INFINITY,
            LimitFigure::Missing(why) => panic!("{why}"),
            LimitFigure::Pending => panic!("not calculated"),
        }
    };
    report.motions.iter().map(of).collect()
}

#[test]
fn a_round_lip_that_is_one_only_to_the_last_digit_is_solved() {
    // Found by the test below: the lip's hull came out with a core of 4e-15 mm.
    let places =
        [(137.225_917_213_679_9, 127.366_506_925_557_97), (450.0, 100.0), (420.0, 320.0), (120.0, 300.0)];
    let chosen: Vec<Motion> = motions().into_iter().take(3).collect();
    let mut project = project(plate(600.0, 400.0, 0.5), model("round-40", round(40.0), 1.0), &places, chosen);
    let plain = limits(&project);
    edit_part(&mut project, |part| part.friction = Sourced::stated(0.5 * 1.05));
    // On edge friction carries all of it.
    let rougher = limits(&project);
    assert!((rougher[2] / plain[2] - 1.05).abs() < 1e-4, "{plain:?} {rougher:?}");
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 5, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn helps_the_limit_factor_too(
        at in (100.0..250.0f64, 80.0..180.0f64),
        kg in 0.5..6.0f64,
        more in 1.05..1.6f64,
    ) {
        let places = [at, (450.0, 100.0), (420.0, 320.0), (120.0, 300.0)];
        let chosen: Vec<Motion> = motions().into_iter().take(3).collect();
        let base = project(plate(600.0, 400.0, kg), model("round-40", round(40.0), 1.0), &places, chosen);
        // The worst instant of a sweep is found to within two hundredths as a rule.
        let not_lower = |less: &[f64], more: &[f64]| -> Result<(), TestCaseError> {
            for (less, more) in less.iter().zip(more) {
                prop_assert!(*more >= less * (1.0 - 1e-3), "{more} is below {less}");
            }
            Ok(())
        };
        let plain = limits(&base);
        let mut deeper = base.clone();
        let circuit = Circuit { level_kpa: Sourced::stated(LEVEL * more), ..Circuit::clone(&deeper.circuits[0]) };
        deeper.circuits[0] = Arc::new(circuit);
        not_lower(&plain, &limits(&deeper))?;
        let mut rougher = base.clone();
        edit_part(&mut rougher, |part| part.friction = Sourced::stated(0.5 * more));
        not_lower(&plain, &limits(&rougher))?;
        let mut larger = base.clone();
        Arc::make_mut(&mut larger.models[0]).shape = round(40.0 * more);
        not_lower(&plain, &limits(&larger))?;
        let mut heavier = base;
        edit_part(&mut heavier, |part| part.mass = MassBy::Stated { kg: Sourced::stated(kg * more) });
        not_lower(&limits(&heavier), &plain)?;
    }
}
