//! What holds for the ringing of every sheet.

use crate::laws::{STEEL, attached, bracket, made, six};
use crate::record::cup;
use flex::{FlexCup, Hung, SheetLoad, Stroke};
use geometry::{Loop, Outline};
use glam::DVec2;
use mechanics::MoveProfile;

/// A stroke over the modes of a sheet: what one mode does by itself, scaled by how much of it the middle has.
#[test]
fn a_stroke_rings_as_its_modes_do() {
    let outline = Outline::solid(Loop::rectangle(DVec2::ZERO, DVec2::new(800.0, 600.0)));
    let sheet = made(&outline, 1.0, STEEL, 3.768, &[], 900);
    let cups: Vec<FlexCup> = [(150., 130.), (650., 130.), (650., 470.), (150., 470.)]
        .map(|at| cup(at.into(), 30.0, 20.0, 0.0))
        .to_vec();
    let hung = Hung::new(&sheet, &cups, None).unwrap();
    let ring = hung.ring(6, &[]).unwrap();
    let stroke = Stroke { profile: MoveProfile::Trapezoid, length: 500.0, time: 0.9 };
    let one = ring.clone().lowest(1);
    let response = hung.response(&one, &stroke, 0.01, 0.5).unwrap();
    let swing = flex::Oscillator::new(ring.modes[0].frequency, 0.01).unwrap();
    let shape = ring.modes[0].shape.at_corners(&sheet).iter().fold(0.0_f64, |m, w| m.max(w.abs()));
    let expected = shape * ring.modes[0].participation.x.abs() * swing.left_after(&stroke).unwrap();
    assert!((response.left / expected - 1.0).abs() < 1e-9);
    // The envelope of a free swing falls as exp(-zeta omega t) (Clough and Penzien, free vibration; from memory).
    let falls = 0.01 * std::f64::consts::TAU * ring.modes[0].frequency;
    assert!(expected > 0.5 && (response.wait.unwrap() - (expected / 0.5).ln() / falls).abs() < 1e-6);
    // With more modes it rings more at the end of a hard stroke, and lasts longer.
    let all = hung.response(&ring, &stroke, 0.01, 0.5).unwrap();
    assert!(all.left >= response.left && all.wait >= response.wait && all.most.abs() > 0.0);
    assert!(hung.response(&ring, &stroke, 0.0, 0.5).unwrap().wait.is_none());
    assert!(hung.response(&ring, &stroke, 0.01, 1e4).unwrap().wait == Some(0.0));
    // The even profile leaves less than the trapezoid.
    let smooth = Stroke { profile: MoveProfile::Quintic, ..stroke };
    assert!(hung.response(&ring, &smooth, 0.01, 0.5).unwrap().left < all.left);
    // A very slow stroke deflects by what its acceleration does at rest, 4.5 s/T².
    let slow = Stroke { profile: MoveProfile::Quintic, length: 500.0, time: 20.0 };
    let found = hung.response(&ring, &slow, 0.01, 0.5).unwrap().most.abs();
    let peak = MoveProfile::Quintic.peak_acceleration(500.0, 20.0);
    let still = hung.share(&[SheetLoad::even(&sheet, peak)], &[]).unwrap().remove(0);
    let still = hung.field(&still).at_corners(&sheet).iter().fold(0.0_f64, |m, w| m.max(w.abs()));
    assert!((found / still - 1.0).abs() < 0.01, "{found} {still}");
}

/// Every cup of a symmetric sheet is stopped alike; suddenly at most twice, slowly not at all.
#[test]
fn a_stop_doubles_at_most_what_it_asks() {
    let outline = Outline::solid(Loop::rectangle(DVec2::ZERO, DVec2::new(800.0, 600.0)));
    let sheet = made(&outline, 3.0, STEEL, 11.3, &[], 500);
    let cups: Vec<FlexCup> = [(150., 130.), (650., 130.), (650., 470.), (150., 470.)]
        .map(|at| cup(at.into(), 30.0, 5.0, 0.0))
        .to_vec();
    let hung = Hung::new(&sheet, &cups, None).unwrap();
    let ring = hung.ring(6, &[]).unwrap();
    let stop = hung.stop(&ring, 0.0, 0.0).unwrap();
    // Nearly a rigid plate on springs: one mode, twice.
    assert!(stop.pulls.iter().all(|p| (p - 2.0).abs() < 0.1), "{stop:?}");
    assert!((stop.sag - 2.0).abs() < 0.1, "{stop:?}");
    let heave =
        ring.modes.iter().max_by(|a, b| a.participation.x.abs().total_cmp(&b.participation.x.abs())).unwrap();
    let rise = 10.0 / heave.frequency;
    assert!(hung.stop(&ring, 0.02, rise).unwrap().pulls.iter().all(|p| *p < 1.05));
}

/// Modes have no mass in common, the masses that move with them sum up to no more than the part's.
#[test]
fn modes_are_of_one_family() {
    let sheet = made(&bracket(), 1.0, STEEL, 3.9, &attached(), 500);
    let hung = Hung::new(&sheet, &six(), None).unwrap();
    let ring = hung.ring(12, &[]).unwrap();
    let moving: f64 = ring.modes.iter().map(|m| m.participation.x.powi(2)).sum();
    assert!(
        moving <= sheet.mass() * (1.0 + 1e-9) && moving > 0.9 * sheet.mass(),
        "{moving} {}",
        sheet.mass()
    );
    assert!(ring.modes.windows(2).all(|m| m[0].frequency <= m[1].frequency));
    // With a cup lost it rings lower.
    assert!(hung.ring(1, &[1]).unwrap().modes[0].frequency < ring.modes[0].frequency);
}
