//! The level that a circuit guarantees: what its switch waits for before the machine moves, not the best it comes to.

use crate::report::{DesignFrom, DesignReport};
use document::{CupId, Thresholds};

/// Design level over the steady one where nobody stated what the switch waits for: wear, a low feed and a filter in use take
/// the rest, and every good pick must get past the switch (common practice, no source).
pub(crate) const SHARE: f64 = 0.85;

/// "85 % of the steady level", as every sentence has it.
#[must_use]
pub fn design_share() -> String {
    format!("{} % of the steady level", units::figure(SHARE * 100.0, 0))
}

/// Share of its steady level that each cup is counted with.
///
/// # Units
/// `level_kpa` at the switch of the cup's source.
fn share(thresholds: Option<&Thresholds>, level_kpa: f64) -> f64 {
    match thresholds {
        None => SHARE,
        Some(set) if level_kpa > set.held_kpa => set.held_kpa / level_kpa,
        Some(_) => 1.0,
    }
}

/// Levels at the cups when their sources' switches say that the part is held, kPa. A cup without a source of its own goes by the
/// first. Losses on the way are taken to fall with the level.
pub(crate) fn at_cups(
    thresholds: Option<&Thresholds>,
    sources: &[(Option<CupId>, f64)],
    steady: impl Iterator<Item = (CupId, f64)>,
) -> Vec<f64> {
    let first = sources.first().map_or(0.0, |(_, level)| *level);
    let at_switch =
        |cup: CupId| sources.iter().find(|(of, _)| *of == Some(cup)).map_or(first, |(_, level)| *level);
    steady.map(|(cup, level)| level * share(thresholds, at_switch(cup))).collect()
}

/// Levels at the first source's switch, for a circuit that comes to a steady level there, kPa.
pub(crate) fn worked_out(thresholds: Option<&Thresholds>, steady_kpa: f64) -> DesignReport {
    let from = if thresholds.is_some() { DesignFrom::Switch } else { DesignFrom::Share };
    of(thresholds, steady_kpa, steady_kpa * share(thresholds, steady_kpa), from)
}

/// Levels of a circuit of which only a level is stated: that is what it guarantees, unless its switch waits for less, kPa.
pub(crate) fn stated(thresholds: Option<&Thresholds>, level_kpa: f64) -> DesignReport {
    match thresholds {
        Some(set) if set.held_kpa < level_kpa => of(thresholds, level_kpa, set.held_kpa, DesignFrom::Switch),
        _ => of(thresholds, level_kpa, level_kpa, DesignFrom::Stated),
    }
}

fn of(thresholds: Option<&Thresholds>, steady_kpa: f64, design_kpa: f64, from: DesignFrom) -> DesignReport {
    let alarm_kpa =
        thresholds.and_then(|set| set.alarm_kpa).map_or(design_kpa, |alarm| alarm.min(design_kpa));
    DesignReport { steady_kpa, design_kpa, alarm_kpa, held_kpa: thresholds.map(|set| set.held_kpa), from }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn held(held_kpa: f64) -> Thresholds {
        Thresholds { held_kpa, alarm_kpa: Some(40.0), saving_off_kpa: 70.0, time_out_s: 1.0, hold_s: 1.0 }
    }

    #[test]
    fn the_switch_decides_and_never_gives_more_than_there_is() {
        let design = worked_out(Some(&held(50.0)), 80.0);
        assert_eq!((design.design_kpa, design.alarm_kpa, design.from), (50.0, 40.0, DesignFrom::Switch));
        let never = worked_out(Some(&held(90.0)), 80.0);
        assert_eq!((never.design_kpa, never.steady_kpa, never.held_kpa), (80.0, 80.0, Some(90.0)));
        let nobody = worked_out(None, 80.0);
        assert_eq!((nobody.design_kpa, nobody.alarm_kpa, nobody.from), (68.0, 68.0, DesignFrom::Share));
    }

    #[test]
    fn a_stated_level_counts_as_it_is_unless_the_switch_waits_for_less() {
        assert_eq!(stated(None, 60.0).design_kpa, 60.0);
        assert_eq!(stated(Some(&held(70.0)), 60.0).design_kpa, 60.0);
        assert_eq!(stated(Some(&held(45.0)), 60.0).design_kpa, 45.0);
    }

    #[test]
    fn each_cup_goes_by_the_switch_of_its_own_source() {
        let (a, b) = (CupId(1), CupId(2));
        let own = [(Some(a), 80.0), (Some(b), 40.0)];
        let levels = at_cups(Some(&held(50.0)), &own, [(a, 80.0), (b, 40.0)].into_iter());
        assert_eq!(levels, [50.0, 40.0]);
        let central = at_cups(Some(&held(50.0)), &[(None, 80.0)], [(a, 76.0), (b, 60.0)].into_iter());
        assert_eq!(central, [47.5, 37.5]);
    }
}
