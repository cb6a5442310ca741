use super::*;
use proptest::prelude::*;

fn kpa(kpa: f64) -> AbsolutePressure {
    AbsolutePressure::from_kpa(kpa)
}

#[test]
fn laminar_loss_falls_with_the_fourth_power_of_the_bore() {
    let slope = |bore: f64| {
        Line::hose(Hose::new(1000.0, bore)).parts(&Air::default(), Friction::Churchill).drop(1e-5).0
    };
    assert!((slope(4.0) / slope(6.0) - 1.5_f64.powi(4)).abs() < 1e-6);
}

#[test]
fn losses_of_the_parts_add_up() {
    let line = Line::hose(Hose {
        coil: Some(Coil { length_mm: 500.0, diameter_mm: 100.0 }),
        ..Hose::new(2000.0, 6.0)
    })
    .with(Fitting::new(FittingKind::Elbow90, 6.0))
    .with(Fitting::new(FittingKind::TeeBranch, 4.0));
    let (air, law) = (Air::default(), Friction::Churchill);
    let flow = line.flow(kpa(50.0), kpa(42.0), &air, law);
    let losses = line.losses(flow.nl_min, kpa(50.0), &air, law);
    let sum: f64 = losses.iter().map(|loss| loss.loss_kpa).sum();
    assert!((sum - 8.0).abs() < 1e-6, "{sum}");
    assert!(losses.iter().all(|loss| loss.loss_kpa > 0.0) && losses.len() == 3);
}

#[test]
fn an_open_end_passes_less_than_the_same_line_without_acceleration() {
    let line = Line::hose(Hose::new(150.0, 6.0));
    let flow = |line: &Line| line.flow(kpa(101.325), kpa(20.0), &Air::default(), Friction::Churchill);
    let open = flow(&line.clone().open_ended());
    assert_eq!(open.regime, Regime::Choked);
    assert!(open.outlet.kpa() > 20.0 && open.kg_s < 0.7 * flow(&line).kg_s);
}

proptest! {
    #[test]
    fn slope_is_that_of_the_drop(
        length in 20.0..5000.0_f64, bore in 2.0..25.0_f64, m in -5e-3..5e-3_f64, coil in 0.0..1.0_f64, k in 0.0..5.0_f64,
    ) {
        prop_assume!(m.abs() > 1e-7);
        let wound = Coil { length_mm: coil * length, diameter_mm: 10.0 * bore };
        let line = Line::hose(Hose { coil: Some(wound), ..Hose::new(length, bore) })
            .with(Fitting::stated(k, bore)).with(Fitting::new(FittingKind::Elbow90, 0.8 * bore));
        let parts = line.parts(&Air::default(), Friction::Churchill);
        let h = m.abs() * 1e-6;
        let expected = (parts.drop(m + h).0 - parts.drop(m - h).0) / (2.0 * h);
        let slope = parts.drop(m).1;
        prop_assert!((slope - expected).abs() <= 2e-3 * slope, "{slope} {expected}");
        prop_assert!(slope > 0.0);
    }

    #[test]
    fn flow_loses_what_there_is_to_lose(
        length in 20.0..5000.0_f64, bore in 2.0..25.0_f64, up in 30.0..101.0_f64, share in 0.2..0.99_f64,
    ) {
        let line = Line::hose(Hose::new(length, bore));
        let (air, law) = (Air::default(), Friction::Churchill);
        let flow = line.flow(kpa(up), kpa(share * up), &air, law);
        let lost: f64 = line.losses(flow.nl_min, kpa(up), &air, law).iter().map(|l| l.loss_kpa).sum();
        prop_assert!((lost - (1.0 - share) * up).abs() < 1e-6);
    }
}
