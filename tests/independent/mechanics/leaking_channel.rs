//! A leaking channel against the straight fin, whose equation it shares: Incropera & DeWitt, *Fundamentals of Heat and
//! Mass Transfer*, section on fins of uniform cross-section (adiabatic tip) and the appendix with mathematical tables
//! (hyperbolic functions); from memory, as are the figures.

use mechanics::{Channel, air_viscosity};

/// x, cosh x, tanh x as the appendix prints them.
const HYPERBOLIC: [(f64, f64, f64); 6] = [
    (0.5, 1.1276, 0.46212),
    (1.0, 1.5431, 0.76159),
    (1.5, 2.3524, 0.90515),
    (2.0, 3.7622, 0.96403),
    (2.5, 6.1323, 0.98661),
    (3.0, 10.068, 0.99505),
];

/// A fin of 40 mm, or half a cup of that length, whose m l is `ml`.
fn channel(ml: f64) -> Channel {
    Channel { fall_per_m: ml / 0.040, half_length_mm: 40.0 }
}

#[test]
fn the_end_has_one_over_cosh_and_the_whole_the_fins_efficiency() {
    for (ml, cosh, tanh) in HYPERBOLIC {
        let channel = channel(ml);
        // The last printed digit of a cosh is half of 1e-4 at least.
        assert!((channel.share_at_end() * cosh - 1.0).abs() < 5e-5, "{ml}");
        // Fin efficiency tanh(m l)/(m l).
        assert!((channel.mean_share() - tanh / ml).abs() < 5e-6 / ml, "{ml}");
        let tight = channel.share_at(0.0);
        assert!((tight - 1.0).abs() < 1e-15);
    }
}

#[test]
fn between_port_and_end_it_is_cosh_over_cosh() {
    // Half way along fins of m l = 1, 2 and 3, both from the table.
    for (ml, half) in [(1.0, 0.5), (2.0, 1.0), (3.0, 1.5)] {
        let cosh = |x: f64| HYPERBOLIC.iter().find(|row| row.0 == x).unwrap().1;
        let expected = cosh(half) / cosh(ml);
        for side in [20.0, -20.0] {
            assert!((channel(ml).share_at(side) - expected).abs() < 1e-4 * expected, "{ml}");
        }
    }
}

/// The worked example of long rods of 5 mm in air (h = 100 W/(m² K)): a rod passes 99 % of what an endless one would when
/// m l = 2.65; copper (k = 398 W/(m K)) then needs 0.19 m, aluminium (180) 0.13 m, stainless steel (14) 0.04 m.
#[test]
fn rods_are_long_enough_at_the_printed_lengths() {
    for (conductivity, printed) in [(398.0, 0.19), (180.0, 0.13), (14.0, 0.04)] {
        let m = (4.0 * 100.0 / (conductivity * 0.005_f64)).sqrt();
        // The length at which tanh(m l) = 0.99, by halving with our mean share: tanh(m l) = m l x mean.
        let passes = |metres: f64| {
            let rod = Channel { fall_per_m: m, half_length_mm: metres * 1e3 };
            rod.mean_share() * m * metres
        };
        let (mut low, mut high) = (0.0, 1.0);
        for _ in 0..60 {
            let middle = 0.5 * (low + high);
            if passes(middle) < 0.99 { low = middle } else { high = middle }
        }
        assert!((low * m - 2.65).abs() < 0.005, "{low}");
        assert!((low - printed).abs() < 0.0051, "{low} {printed}");
    }
}

/// ISO 2533:1975, dynamic viscosity at 15 °C, -56.5 °C; from memory.
#[test]
fn air_has_the_viscosity_of_the_standard_atmosphere() {
    assert!((air_viscosity(288.15) - 1.7894e-5).abs() < 5e-10);
    assert!((air_viscosity(216.65) - 1.4216e-5).abs() < 5e-10);
}
