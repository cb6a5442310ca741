//! The rule that steps are taken by.

/// Stages of a step that are solved for; the one before them is the end of the last step.
pub(crate) const STAGES: usize = 5;
/// Weight of each stage in itself, the same for all, so that they share one matrix.
pub(crate) const OWN: f64 = 0.25;
/// Where in the step each stage lies.
pub(crate) const AT: [f64; STAGES] = [0.5, 83.0 / 250.0, 31.0 / 50.0, 17.0 / 20.0, 1.0];
/// Weights of the stages before each stage. The last stage is the end of the step.
///
/// # Source
/// ARK4(3)6L\[2\]SA, implicit half: Kennedy & Carpenter, *Additive Runge-Kutta schemes for convection-diffusion-reaction
/// equations*, Appl. Numer. Math. 44, 2003 (from memory; its order conditions are checked below). Fourth order, stiffly
/// accurate and L-stable: it neither rings nor blows up where a small volume hangs on a wide bore.
pub(crate) const BEFORE: [[f64; STAGES]; STAGES] = [
    [0.25, 0.0, 0.0, 0.0, 0.0],
    [8611.0 / 62_500.0, -1743.0 / 31_250.0, 0.0, 0.0, 0.0],
    [5_012_029.0 / 34_652_500.0, -654_441.0 / 2_922_500.0, 174_375.0 / 388_108.0, 0.0, 0.0],
    [
        15_267_082_809.0 / 155_376_265_600.0,
        -71_443_401.0 / 120_774_400.0,
        730_878_875.0 / 902_184_768.0,
        2_285_395.0 / 8_070_912.0,
        0.0,
    ],
    [82_889.0 / 524_892.0, 0.0, 15_625.0 / 83_664.0, 69_875.0 / 102_672.0, -2260.0 / 8211.0],
];
/// Weights of a step of the third order, by which the error is judged; the first is that of the end of the last step.
const THIRD: [f64; STAGES + 1] = [
    4_586_570_599.0 / 29_645_900_160.0,
    0.0,
    178_811_875.0 / 945_068_544.0,
    814_220_225.0 / 1_159_782_912.0,
    -3_700_637.0 / 11_593_932.0,
    61_727.0 / 225_920.0,
];

/// Weight of a stage in the error, 0 being the end of the last step.
pub(crate) fn error_weight(stage: usize) -> f64 {
    let fourth = if stage == STAGES { OWN } else { BEFORE[STAGES - 1][stage] };
    fourth - THIRD[stage]
}

/// By the share of a step that has passed, squared, cubed and to the fourth: how much of each stage has come in by then; of the
/// first also the share itself.
const WITHIN: [[f64; 3]; STAGES + 1] = [
    [-2_160_447_887.0 / 743_597_000.0, 123_861_731.0 / 35_980_500.0, -1_025_532_137.0 / 743_597_000.0],
    [0.0, 0.0, 0.0],
    [362_724_125.0 / 67_863_456.0, -2_361_631_375.0 / 237_522_096.0, 2_272_912_625.0 / 475_044_192.0],
    [-12_177_073.0 / 3_490_848.0, 546_083.0 / 56_304.0, -19_304_323.0 / 3_490_848.0],
    [177_862.0 / 166_175.0, -11_312_204.0 / 3_489_675.0, 2_205_534.0 / 1_163_225.0],
    [-61_191.0 / 2_839_000.0, 61_191.0 / 1_419_500.0, 648_559.0 / 2_839_000.0],
];

/// Weights of the stages within a step, 0 being the end of the last one: of the fourth order at every share of it, and smooth
/// from step to step. They are the only ones without the second stage (worked out from the conditions checked below).
pub(crate) fn within(share: f64) -> [f64; STAGES + 1] {
    std::array::from_fn(|stage| {
        let [second, third, fourth] = WITHIN[stage];
        let first = if stage == 0 { 1.0 } else { 0.0 };
        share * (first + share * (second + share * (third + share * fourth)))
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Stage times and the whole table with its first, explicit stage.
    fn table() -> ([f64; STAGES + 1], [[f64; STAGES + 1]; STAGES + 1]) {
        let (mut at, mut a) = ([0.0; STAGES + 1], [[0.0; STAGES + 1]; STAGES + 1]);
        for stage in 1..=STAGES {
            at[stage] = AT[stage - 1];
            a[stage][..STAGES].copy_from_slice(&BEFORE[stage - 1]);
            a[stage][stage] = OWN;
        }
        (at, a)
    }

    fn sum(b: &[f64; STAGES + 1], of: impl Fn(usize) -> f64) -> f64 {
        (0..=STAGES).map(|i| b[i] * of(i)).sum()
    }

    /// Conditions of Butcher up to the fourth order (any text on Runge-Kutta methods, e.g. Hairer, Nørsett & Wanner).
    #[test]
    fn the_rule_is_of_fourth_order_and_its_companion_of_third() {
        let (c, a) = table();
        for (stage, row) in a.iter().enumerate() {
            assert!((row.iter().sum::<f64>() - c[stage]).abs() < 1e-12, "{stage}");
        }
        let inner =
            |of: &dyn Fn(usize) -> f64, i: usize| -> f64 { (0..=STAGES).map(|j| a[i][j] * of(j)).sum() };
        let square = |j: usize| c[j] * c[j];
        let third = |b: &[f64; STAGES + 1]| {
            [
                sum(b, |_| 1.0) - 1.0,
                sum(b, |i| c[i]) - 1.0 / 2.0,
                sum(b, |i| c[i] * c[i]) - 1.0 / 3.0,
                sum(b, |i| inner(&|j| c[j], i)) - 1.0 / 6.0,
            ]
        };
        let fourth = |b: &[f64; STAGES + 1]| {
            [
                sum(b, |i| c[i].powi(3)) - 1.0 / 4.0,
                sum(b, |i| c[i] * inner(&|j| c[j], i)) - 1.0 / 8.0,
                sum(b, |i| inner(&square, i)) - 1.0 / 12.0,
                sum(b, |i| inner(&|j| inner(&|k| c[k], j), i)) - 1.0 / 24.0,
            ]
        };
        let last = a[STAGES];
        assert!(third(&last).iter().chain(&fourth(&last)).all(|miss| miss.abs() < 1e-12));
        assert!(third(&THIRD).iter().all(|miss| miss.abs() < 1e-12));
        assert!(fourth(&THIRD).iter().any(|miss| miss.abs() > 1e-4));
        for share in [0.0, 0.3, 0.77, 1.0] {
            let b = within(share);
            let part = |order: i32, of: f64| share.powi(order) * of;
            let misses = [
                sum(&b, |_| 1.0) - part(1, 1.0),
                sum(&b, |i| c[i]) - part(2, 1.0 / 2.0),
                sum(&b, |i| c[i] * c[i]) - part(3, 1.0 / 3.0),
                sum(&b, |i| inner(&|j| c[j], i)) - part(3, 1.0 / 6.0),
                sum(&b, |i| c[i].powi(3)) - part(4, 1.0 / 4.0),
                sum(&b, |i| c[i] * inner(&|j| c[j], i)) - part(4, 1.0 / 8.0),
                sum(&b, |i| inner(&square, i)) - part(4, 1.0 / 12.0),
                sum(&b, |i| inner(&|j| inner(&|k| c[k], j), i)) - part(4, 1.0 / 24.0),
            ];
            assert!(misses.iter().all(|miss| miss.abs() < 1e-12), "{share}");
        }
        assert!(within(1.0).iter().zip(&last).all(|(a, b)| (a - b).abs() < 1e-12));
    }
}
