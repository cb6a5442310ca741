use crate::samples::{any_strength, cup_load, solid, springs, strength};
use crate::*;
use glam::{DMat3, DVec2, DVec3};
use proptest::prelude::*;
use std::f64::consts::{FRAC_PI_2, PI, TAU};

const G: f64 = 9.80665;

// An oracle that shares nothing with the engine but the load of one cup (`CupGroup::share`) and what that uses of a lip
// (`LipStrength::demand`): every direction is tried, every multiple is found by halving.

fn used(lip: &LipStrength, load: &CupLoad) -> f64 {
    let ((seal, slide), (need_seal, need_slide)) = (lip.available(), lip.demand(load));
    if seal <= 0.0 || slide <= 0.0 { f64::INFINITY } else { (need_seal / seal).max(need_slide / slide) }
}

fn sum(a: f64, x: &CupLoad, b: f64, y: &CupLoad) -> CupLoad {
    CupLoad {
        pull: a * x.pull + b * y.pull,
        slide: a * x.slide + b * y.slide,
        tilt: a * x.tilt + b * y.tilt,
        twist: a * x.twist + b * y.twist,
    }
}

/// Largest t in [0, most] at which `carried` still holds, by halving.
fn largest(carried: impl Fn(f64) -> bool, most: f64) -> f64 {
    if !carried(0.0) {
        return 0.0;
    }
    if carried(most) {
        return f64::INFINITY;
    }
    let (mut low, mut high) = (0.0, most);
    for _ in 0..75 {
        let middle: f64 = 0.5 * (low + high);
        if carried(middle) { low = middle } else { high = middle }
    }
    low
}

const MOST: f64 = 1e7;

/// Factor of one lip at one instant: the worse of t (G + A) and share G + t A, share 1 and the favourable one.
fn by_halving(lip: &LipStrength, weight: &CupLoad, motion: &CupLoad, favourable: f64) -> f64 {
    let whole = largest(|t| used(lip, &sum(t, weight, t, motion)) <= 1.0, MOST);
    if *motion == CupLoad::default() {
        return whole;
    }
    let kept = |share: f64| largest(|t| used(lip, &sum(share, weight, t, motion)) <= 1.0, MOST);
    whole.min(kept(1.0)).min(kept(favourable))
}

/// Weight and motion of every cup at one instant, from two loads of the body.
fn split(body: &Body, instant: &Instant, group: &CupGroup) -> Vec<(CupLoad, CupLoad)> {
    let about = DVec3::ZERO;
    let weight = load(body, &Instant::still(instant.gravity), about);
    let motion = load(body, &Instant { gravity: DVec3::ZERO, ..*instant }, about);
    group.share(&weight).into_iter().zip(group.share(&motion)).collect()
}

/// The smallest of a function of the direction over a sweep: dense samples, then golden sections about the best ones.
fn least_over(sweep: &Sweep, value: &dyn Fn(f64) -> f64) -> f64 {
    const SAMPLES: usize = 120;
    let span = (sweep.to - sweep.from).min(TAU);
    let at = |i: usize| sweep.from + span * i as f64 / SAMPLES as f64;
    let values: Vec<f64> = (0..=SAMPLES).map(|i| value(at(i))).collect();
    let mut least = values.iter().copied().fold(f64::INFINITY, f64::min);
    let near = least * 1.05;
    for i in 0..=SAMPLES {
        let (before, after) = (i.saturating_sub(1), (i + 1).min(SAMPLES));
        if values[i] > near || values[before] < values[i] || values[after] < values[i] {
            continue;
        }
        let (mut low, mut high) = (at(before), at(after));
        let golden = 0.5 * (5.0_f64.sqrt() - 1.0);
        for _ in 0..32 {
            let (a, b) = (high - golden * (high - low), low + golden * (high - low));
            if value(a) < value(b) { high = b } else { low = a }
        }
        least = least.min(value(0.5 * (low + high)));
    }
    least
}

fn one_cup(lip: &LipStrength) -> CupGroup {
    CupGroup::new(&[CupSpring::along_lip(DVec2::ZERO, 0.0, 20.0, 10.0, &lip.line, 1.0)]).unwrap()
}

fn block(mass: f64) -> Body {
    Body { mass, centre: DVec3::ZERO, inertia: DMat3::ZERO }
}

fn every_direction(gravity: DVec3, a: f64) -> LoadCase {
    let sweep = Sweep {
        gravity_along: DVec3::ZERO,
        gravity_across: DVec3::ZERO,
        acceleration_along: DVec3::X * a,
        acceleration_across: DVec3::Y * a,
        from: 0.0,
        to: TAU,
    };
    LoadCase::swept(Instant::still(gravity), sweep)
}

#[test]
fn carried_upside_down_the_weight_is_not_multiplied_into_a_help() {
    // Friction of vacuum and nine tenths of the weight against m a, worked by hand: t = s μ (F + 0.9 m g)/(m a).
    let lip = LipStrength { slide_share: 0.9, ..strength(20.0, 0.0) };
    let (group, mass, a) = (one_cup(&lip), 2.5, 4.3);
    for favourable in [1.0, 0.9, 0.5] {
        let case = LoadCase { favourable_weight: favourable, ..every_direction(DVec3::Z * G, a) };
        let expected = 0.9 * 0.5 * (lip.vacuum_force + favourable * mass * G) / (mass * a);
        let result = worst_case(&block(mass), &case, &group, &[lip]);
        assert!(
            (result.factor().value - expected).abs() < 1e-9 * expected,
            "{:?} {expected}",
            result.factor()
        );
        assert_eq!(result.factor().limit, LipLimit::Slide);
        assert_eq!(result.factor().reading, Reading::FavourableWeight);
        assert!((result.least_factor - expected).abs() < 1e-7 * expected);
        assert_eq!(result.readings.weight_kept, result.factor());
        // Multiplied with the motion, weight and vacuum hold: s μ F/(m a - s μ m g).
        let whole = 0.45 * lip.vacuum_force / (mass * a - 0.45 * mass * G);
        let whole = if whole > 0.0 { whole } else { f64::INFINITY };
        assert_eq!(result.readings.whole_load.value.is_finite(), whole.is_finite());
        // The factor is what it says: so much of the acceleration just drops it.
        let more = case.with_accelerations_scaled(expected * (1.0 + 1e-6));
        let loads = worst_case(&block(mass), &more, &group, &[lip]).split_loads().next().unwrap();
        let dropped = sum(favourable, &loads.weight, 1.0, &loads.motion);
        assert!(used(&lip, &dropped) > 1.0);
    }
}

#[test]
fn a_level_lift_and_a_carry_on_edge_keep_the_shop_formulas() {
    let lip = strength(20.0, 0.0);
    let (group, f) = (one_cup(&lip), lip.vacuum_force);
    // Held level: F/(m g). On edge: μ F/(m g).
    let level = worst_case(&block(2.0), &LoadCase::single(Instant::still(DVec3::NEG_Z * G)), &group, &[lip]);
    assert!((level.factor().value - f / (2.0 * G)).abs() < 1e-12 * f);
    let edge = worst_case(&block(2.0), &LoadCase::single(Instant::still(DVec3::X * G)), &group, &[lip]);
    assert!((edge.factor().value - 0.5 * f / (2.0 * G)).abs() < 1e-12 * f);
    for held in [level, edge] {
        assert_eq!(held.factor().reading, Reading::WholeLoad);
        assert_eq!(held.readings.weight_kept.value, f64::INFINITY); // no motion
    }
    // Lifted with 3 m/s²: F/(m (g + a)), and by the motion alone (F - m g)/(m a), which is more from 1 on.
    let up = Instant { acceleration: DVec3::Z * 3.0, ..Instant::still(DVec3::NEG_Z * G) };
    let lift = worst_case(&block(2.0), &LoadCase::single(up), &group, &[lip]);
    assert!((lift.factor().value - f / (2.0 * (G + 3.0))).abs() < 1e-12 * f);
    assert!((lift.readings.weight_kept.value - (f - 2.0 * G) / 6.0).abs() < 1e-9 * f);
}

#[test]
fn a_part_too_heavy_to_be_lifted_leaves_nothing_for_the_motion() {
    let lip = strength(20.0, 0.0);
    let mass = lip.vacuum_force * 1.1 / G;
    let up = Instant { acceleration: DVec3::Z, ..Instant::still(DVec3::NEG_Z * G) };
    let lift = worst_case(&block(mass), &LoadCase::single(up), &one_cup(&lip), &[lip]);
    assert_eq!((lift.factor().value, lift.factor().reading), (0.0, Reading::WeightOnce));
    assert!(lift.readings.whole_load.value > 0.8);
    let carried = worst_case(&block(mass), &every_direction(DVec3::NEG_Z * G, 1.0), &one_cup(&lip), &[lip]);
    assert_eq!((carried.factor().value, carried.least_factor), (0.0, 0.0));
    // Between the weight and the whole load: the motion alone has (F - m g)/(m a) below 1.
    let mass = lip.vacuum_force * 0.95 / G;
    let lift = worst_case(&block(mass), &LoadCase::single(up), &one_cup(&lip), &[lip]);
    let expected = (lip.vacuum_force - mass * G) / mass;
    assert!(expected < 1.0 && (lift.factor().value - expected).abs() < 1e-9);
    assert_eq!(lift.factor().reading, Reading::WeightOnce);
}

#[test]
fn pressed_on_by_weight_and_motion_nothing_ends_it() {
    let lip = strength(20.0, 0.0);
    let down = Instant { acceleration: DVec3::NEG_Z * 5.0, ..Instant::still(DVec3::Z * G) };
    let result = worst_case(&block(2.0), &LoadCase::single(down), &one_cup(&lip), &[lip]);
    assert_eq!(result.factor().value, f64::INFINITY);
    assert!(result.loads[0].pull < 0.0); // and yet it is loaded
}

fn sheet(mass: f64) -> Body {
    let inertia = DMat3::from_diagonal(DVec3::new(0.08, 0.12, 0.2) * 1e6 * mass);
    Body { mass, centre: DVec3::new(20.0, -10.0, -12.0), inertia }
}

fn tool() -> impl Strategy<Value = (Vec<CupSpring>, Vec<LipStrength>)> {
    springs(1..6).prop_flat_map(|springs| {
        let strengths = prop::collection::vec(any_strength(), springs.len());
        (Just(springs), strengths)
    })
}

/// A part held at any tilt, upside down among them, and shaken, turned or tilted on.
fn any_case() -> impl Strategy<Value = LoadCase> {
    let held = (0.0..PI, -3.0..3.0f64, 0..4u8, 0.5..1.0f64);
    (held, solid(), solid(), solid(), 0.5..12.0f64, 0.3..6.0f64).prop_map(
        |((tilt, toward, kind, share), a, rate, spin, shaken, span)| {
            let fixed = Instant {
                acceleration: a * 4.0,
                turn_rate: rate * 1.5,
                turn_acceleration: spin * 3.0,
                pivot: DVec3::new(-300.0, 200.0, 100.0),
                ..Instant::still(gravity_when_tilted(G, tilt, toward))
            };
            let none = DVec3::ZERO;
            let varies = |gravity: [DVec3; 2], acceleration: [DVec3; 2], from: f64, to: f64| Sweep {
                gravity_along: gravity[0],
                gravity_across: gravity[1],
                acceleration_along: acceleration[0],
                acceleration_across: acceleration[1],
                from,
                to,
            };
            let case = match kind {
                0 => LoadCase::single(fixed),
                1 => {
                    let sweep = varies([none; 2], [DVec3::X * shaken, DVec3::Y * shaken], 0.0, TAU);
                    LoadCase::swept(Instant { acceleration: none, ..fixed }, sweep)
                }
                2 => {
                    let along = gravity_when_tilted(G, FRAC_PI_2, toward);
                    let sweep = varies([DVec3::NEG_Z * G, along], [none; 2], tilt - 1.0, tilt - 1.0 + span);
                    LoadCase::swept(Instant { gravity: none, ..fixed }, sweep)
                }
                _ => {
                    let sides = [DVec3::X, DVec3::Y].map(|axis| axis * G * tilt.sin());
                    let sweep = varies(sides, [none; 2], 0.0, TAU);
                    LoadCase::swept(Instant { gravity: DVec3::NEG_Z * G * tilt.cos(), ..fixed }, sweep)
                }
            };
            LoadCase { favourable_weight: share, ..case }
        },
    )
}

fn close(found: f64, expected: f64, precision: f64) -> bool {
    found == expected
        || (found > 0.99 * MOST && expected > 0.99 * MOST)
        || (found - expected).abs() <= precision * expected.abs() + 1e-9
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(256))]

    #[test]
    fn one_lip_at_one_instant_is_as_halving_finds_it(
        lip in any_strength(), weight in cup_load(), motion in cup_load(), share in 0.1..1.0f64,
    ) {
        let found = lip.readings(&SplitLoad { weight, motion }, share);
        let worse = found.worse();
        prop_assert!(close(worse.value, by_halving(&lip, &weight, &motion, share), 1e-9), "{:?}", found);
        if worse.value.is_finite() && worse.value > 0.0 {
            // The limit it names is the one that is met there.
            let there = SplitLoad { weight, motion }.counted(worse.reading, worse.value, share);
            let ((seal, slide), (need_seal, need_slide)) = (lip.available(), lip.demand(&there));
            let met = match worse.limit {
                LipLimit::Seal => need_seal / seal,
                LipLimit::Slide => need_slide / slide,
            };
            prop_assert!((met - 1.0).abs() < 1e-9, "{} {:?}", met, found);
        }
    }

    #[test]
    fn weight_once_is_never_worse_than_its_share_from_1_on(
        lip in any_strength(), weight in cup_load(), motion in cup_load(), share in 0.1..1.0f64,
    ) {
        // What the sweeps rely on: 1 lies between the share and any multiple above 1.
        let load = SplitLoad { weight, motion };
        let found = lip.readings(&load, share).worse();
        if found.value >= 1.0 {
            prop_assert!(found.reading != Reading::WeightOnce);
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(16))]

    #[test]
    fn every_cup_in_every_direction_and_reading_is_as_dense_samples_find_it(
        (springs, strengths) in tool(), case in any_case(), mass in 0.3..6.0f64,
    ) {
        let (group, body) = (CupGroup::new(&springs).unwrap(), sheet(mass));
        let result = worst_case(&body, &case, &group, &strengths);
        let mut least = f64::INFINITY;
        for (cup, lip) in strengths.iter().enumerate() {
            let at = |t: f64| {
                let (weight, motion) = split(&body, &case.at(t), &group)[cup];
                by_halving(lip, &weight, &motion, case.favourable_weight)
            };
            let expected = match &case.sweep {
                Some(sweep) => least_over(sweep, &at),
                None => at(0.0),
            };
            let (t, found) = result.cup_worst[cup];
            prop_assert!(close(found.value, expected, 1e-7), "cup {cup}: {found:?} {expected}");
            // Where it is said to be, it is.
            prop_assert!(close(at(t), found.value, 1e-7), "cup {cup} at {t}: {} {found:?}", at(t));
            least = least.min(expected);
        }
        prop_assert!(close(result.factor().value, least, 1e-7));
        prop_assert!(result.least_factor <= least * (1.0 + 1e-7));
        prop_assert!(close(result.least_factor, least, 1e-6), "{} {least}", result.least_factor);
        let readings = result.readings;
        prop_assert!(close(readings.worse().value, result.factor().value, 1e-8), "{readings:?}");
    }
}
