//! Snaps while placing and dragging: grid, the part's centre lines and centre of gravity, other cups' rows and columns.

use glam::DVec2;
use units::LengthUnit;

/// A line that the moved thing has come onto.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Guide {
    /// Vertical line x = at, else horizontal line y = at.
    pub vertical: bool,
    /// mm.
    pub at: f64,
    /// What it is the line of.
    pub of: SnapTo,
}

/// What a guide is the line of.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SnapTo {
    /// Middle of the part.
    Centre,
    /// Through the centre of gravity.
    Gravity,
    /// Another cup's row or column.
    Cup,
    /// The grid (drawn already, so no guide line is drawn for it).
    Grid,
}

/// Lines to snap to.
#[derive(Debug, Clone, Default)]
pub struct SnapLines {
    /// x of vertical lines.
    pub xs: Vec<(f64, SnapTo)>,
    /// y of horizontal lines.
    pub ys: Vec<(f64, SnapTo)>,
    /// Grid pitch, mm; 0 = none.
    pub grid: f64,
}

fn nearest(lines: &[(f64, SnapTo)], grid: f64, value: f64, reach: f64) -> Option<(f64, SnapTo)> {
    let line = lines
        .iter()
        .copied()
        .filter(|(at, _)| (at - value).abs() <= reach)
        .min_by(|a, b| (a.0 - value).abs().total_cmp(&(b.0 - value).abs()));
    // A named line wins over the grid: a person sees it drawn and means it.
    line.or_else(|| {
        (grid > 0.0)
            .then(|| ((value / grid).round() * grid, SnapTo::Grid))
            .filter(|(at, _)| (at - value).abs() <= reach.max(grid / 2.0))
    })
}

impl SnapLines {
    /// The place to go instead of `at`, and the guides that hold it; `reach` in mm.
    pub fn snap(&self, at: DVec2, reach: f64) -> (DVec2, Vec<Guide>) {
        let mut to = at;
        let mut guides = Vec::new();
        if let Some((x, of)) = nearest(&self.xs, self.grid, at.x, reach) {
            to.x = x;
            guides.push(Guide { vertical: true, at: x, of });
        }
        if let Some((y, of)) = nearest(&self.ys, self.grid, at.y, reach) {
            to.y = y;
            guides.push(Guide { vertical: false, at: y, of });
        }
        (to, guides)
    }
}

/// Step of the grid in mm while nobody states another: what people drill to, 5 mm or a quarter of an inch (common
/// practice, no source). It does not depend on the zoom.
pub fn usual_step(unit: LengthUnit) -> f64 {
    match unit {
        LengthUnit::Inch => 6.35,
        _ => 5.0,
    }
}

/// How far an arrow key moves a cup, mm: 1 mm, or a twentieth of an inch.
pub fn nudge_step(unit: LengthUnit) -> f64 {
    match unit {
        LengthUnit::Inch => 1.27,
        _ => 1.0,
    }
}

/// Spacing of the grid's lines in mm: the step, or as many of them (1, 2, 5, 10 ...) as keep lines 9 points apart.
pub fn grid_pitch(scale: f64, step_mm: f64) -> f64 {
    let least = (9.0 / scale / step_mm).max(1.0);
    let power = 10f64.powf(least.log10().floor());
    let times = [1.0, 2.0, 5.0, 10.0]
        .into_iter()
        .map(|m| m * power)
        .find(|s| *s >= least - 1e-12)
        .unwrap_or(10.0 * power);
    times * step_mm
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_cup_row_wins_over_the_grid() {
        let lines = SnapLines { xs: vec![(71.0, SnapTo::Cup)], ys: vec![], grid: 5.0 };
        let (to, guides) = lines.snap(DVec2::new(70.2, 42.4), 2.0);
        assert_eq!(to, DVec2::new(71.0, 40.0).with_y(40.0));
        assert_eq!(guides[0].of, SnapTo::Cup);
        assert_eq!(guides[1].of, SnapTo::Grid);
    }

    #[test]
    fn pitch_is_round_and_wide_enough() {
        for scale in [0.01, 0.3, 1.0, 7.7, 120.0] {
            let pitch = grid_pitch(scale, 1.0);
            assert!(pitch * scale >= 9.0 - 1e-9, "{pitch} at {scale}");
            assert!(pitch * scale <= 25.0 || pitch == 1.0);
            // A multiple of the step, so that what snaps lies on a line or between two.
            let times = grid_pitch(scale, 6.35) / 6.35;
            assert!((times - times.round()).abs() < 1e-9 && times >= 1.0);
        }
    }
}
