//! The built-in library is there, plausible, and orderly in size. The figures are invented, so the ranges are common
//! practice, without a source.
use document::{CupModel, LipKind, Origin, Texture, library, models_from_text};
use geometry::LipShape;
use std::{collections::BTreeMap, f64::consts::PI, sync::Arc};

/// Largest and smallest size, mm.
fn sizes(model: &CupModel) -> (f64, f64) {
    match model.shape {
        LipShape::Round { diameter } => (diameter, diameter),
        LipShape::Long { length, width } | LipShape::Rectangle { length, width, .. } => (length, width),
    }
}
fn count(which: impl Fn(&CupModel) -> bool) -> usize {
    library().iter().filter(|m| which(m)).count()
}

#[test]
fn every_kind_is_there_in_several_sizes() {
    assert!(library().len() >= 28);
    let round = |folds: u8| {
        count(|m| m.folds == folds && m.lip == LipKind::Plain && matches!(m.shape, LipShape::Round { .. }))
    };
    assert!(round(0) >= 11 && round(1) >= 7 && round(2) >= 4 && round(3) + round(4) >= 3);
    assert!(count(|m| m.lip == LipKind::ThinFilm && m.allowed.contains(&Texture::Film)) >= 4);
    assert!(count(|m| m.lip == LipKind::Foam && matches!(m.shape, LipShape::Rectangle { .. })) >= 2);
    assert!(count(|m| m.folds == 0 && matches!(m.shape, LipShape::Long { .. })) >= 3);
    assert!(count(|m| m.folds > 0 && matches!(m.shape, LipShape::Long { .. })) >= 2);
    for hardness in [30.0, 40.0, 50.0, 60.0] {
        assert!(count(|m| m.hardness_shore_a == hardness) >= 3, "{hardness} Shore A");
    }
    let round: Vec<f64> = library().iter().map(|m| sizes(m).1).collect();
    assert_eq!(round.iter().copied().fold(f64::MAX, f64::min), 10.0);
    assert_eq!(round.iter().copied().fold(0.0, f64::max), 150.0);
}

#[test]
fn figures_are_plausible_and_marked_assumed() {
    for m in library() {
        let (length, width) = sizes(m);
        let id = &m.id;
        assert!(length >= width && m.bore_mm < 0.35 * width && m.bore_mm >= 1.5, "{id}");
        assert!((0.8..=0.95).contains(&m.sealing_share.value), "{id}");
        assert!(m.travel_mm.value > 0.0 && m.travel_mm.value < 0.6 * m.height_mm, "{id}");
        assert!(m.height_mm < 2.0 * width + 20.0, "{id}");
        assert!((0.3..100.0).contains(&m.axial_n_mm.value), "{id}");
        assert!(m.lateral_n_mm.value < m.axial_n_mm.value, "{id}");
        assert!(m.tilt_reduction.value > 0.0 && m.tilt_reduction.value <= 1.0, "{id}");
        assert!((20.0..=60.0).contains(&m.hardness_shore_a), "{id}");
        // 60 kPa on the sealing circle presses p d / 4 on each mm of lip; the minimum must leave most of that to use.
        let pressed = 0.060 * m.sealing_share.value * width / 4.0;
        assert!(
            m.seal_minimum_n_mm.value < 0.25 * pressed,
            "{id}: {} of {pressed}",
            m.seal_minimum_n_mm.value
        );
        assert!(m.closes_mm > 0.0 && m.closes_mm < 0.15 * width, "{id}");
        assert!((2.0..800.0).contains(&m.mass_g), "{id}");
        assert!(!m.allowed.is_empty() && !m.material.is_empty() && !m.thread.is_empty(), "{id}");
        assert!((0.5..=3.0).contains(&m.channel_mm.value) && m.channel_mm.value < 0.2 * width, "{id}");
        let sourced = [
            &m.sealing_share,
            &m.axial_n_mm,
            &m.lateral_n_mm,
            &m.tilt_reduction,
            &m.seal_minimum_n_mm,
            &m.travel_mm,
            &m.channel_mm,
        ];
        // No model states its lever: half its height, an assumption.
        let lever = m.side_lever();
        assert!(lever.origin == Origin::Assumed && lever.value == 0.5 * m.height_mm, "{id}");
        let is_date = |on: &str| on.len() == 10 && on.split('-').all(|n| n.parse::<u32>().is_ok());
        assert!(sourced.iter().all(|s| s.origin == Origin::Assumed && is_date(&s.on)), "{id}");
        let folded = m.folds > 0;
        assert_eq!(folded, m.tilt_reduction.value < 0.6, "{id}: bellows tilt easily");
        assert!(!(folded && m.name.contains("flat")), "{id}");
    }
}

/// Within one family a larger cup is higher, stiffer, heavier, gives more and has a bore at least as large.
#[test]
fn families_grow_with_size() {
    let mut families: BTreeMap<String, Vec<&Arc<CupModel>>> = BTreeMap::new();
    for m in library() {
        let shape = std::mem::discriminant(&m.shape);
        families
            .entry(format!("{shape:?} {} {:?} {}", m.folds, m.lip, m.hardness_shore_a))
            .or_default()
            .push(m);
    }
    assert!(families.len() >= 10);
    for models in families.values_mut() {
        models.sort_by(|a, b| sizes(a).0.total_cmp(&sizes(b).0));
        for pair in models.windows(2) {
            let grows = |of: fn(&CupModel) -> f64| of(pair[0]) <= of(pair[1]);
            let all = grows(|m| m.bore_mm)
                && grows(|m| m.height_mm)
                && grows(|m| m.travel_mm.value)
                && grows(|m| m.channel_mm.value)
                && grows(|m| m.axial_n_mm.value)
                && grows(|m| m.lateral_n_mm.value)
                && grows(|m| m.mass_g)
                && grows(|m| m.closes_mm);
            assert!(all, "{} and {}", pair[0].id, pair[1].id);
        }
    }
}

/// One long cup and two round ones of the same lip area, alike in all else, on a part as wide as either allows.
#[test]
fn a_long_cup_has_two_round_ones_of_equal_area() {
    let area = |m: &CupModel| match m.shape {
        LipShape::Round { diameter } => PI / 4.0 * diameter * diameter,
        LipShape::Long { length, width } => PI / 4.0 * width * width + (length - width) * width,
        LipShape::Rectangle { .. } => f64::NAN,
    };
    let of = |id: &str| library().iter().find(|m| &*m.id.0 == id).unwrap_or_else(|| panic!("no {id}"));
    let pairs = [
        ("long-75x20-flat-medium", "round-30-flat-medium"),
        ("long-90x30-flat-medium", "round-40-flat-medium"),
        ("long-150x40-flat-medium", "round-60-flat-medium"),
        ("long-210x50-flat-medium", "round-80-flat-medium"),
        ("long-90x30-flat-very-soft", "round-40-flat-very-soft"),
        ("long-150x40-flat-very-soft", "round-60-flat-very-soft"),
    ];
    for (long, round) in pairs {
        let (long, round) = (of(long), of(round));
        let share = area(long) / (2.0 * area(round));
        assert!((share - 1.0).abs() < 0.01, "{} and {}: {share}", long.id, round.id);
        assert_eq!(
            (&long.material, long.folds, &long.allowed),
            (&round.material, round.folds, &round.allowed)
        );
        assert_eq!(
            (&long.sealing_share, long.hardness_shore_a),
            (&round.sealing_share, round.hardness_shore_a)
        );
    }
    for (long, round) in [
        ("long-160x40-flat-medium", "round-40-flat-medium"),
        ("long-160x40-flat-very-soft", "round-40-flat-very-soft"),
    ] {
        assert_eq!(sizes(of(long)).1, sizes(of(round)).1, "of one width");
    }
}

#[test]
fn names_are_distinct_and_an_id_that_stands_twice_is_named() {
    let mut names: Vec<&str> = library().iter().map(|m| m.name.as_str()).collect();
    names.sort_unstable();
    names.dedup();
    assert_eq!(names.len(), library().len());
    let kept = include_str!("../../../../assets/library/cup-models.ron");
    let twice = kept.replace("round-15-flat-medium", "round-10-flat-medium");
    let error = models_from_text(&twice, "models.ron").unwrap_err().to_string();
    assert!(
        error.starts_with("line ") && error.contains(": cup model round-10-flat-medium occurs twice"),
        "{error}"
    );
}
