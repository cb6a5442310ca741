//! Splines of drawings: non-uniform, possibly rational.

use glam::{DAffine2, DVec2};

/// A non-uniform rational B-spline.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Spline {
    pub(crate) degree: usize,
    pub(crate) knots: Vec<f64>,
    pub(crate) points: Vec<DVec2>,
    /// As many as points.
    pub(crate) weights: Vec<f64>,
}

/// Higher degrees are not drawn by any program, and each costs time.
const HIGHEST_DEGREE: usize = 11;

impl Spline {
    /// Checks that the figures belong together; says what is wrong otherwise.
    pub(crate) fn new(
        degree: usize,
        knots: Vec<f64>,
        points: Vec<DVec2>,
        weights: Vec<f64>,
    ) -> Result<Self, String> {
        let count = points.len();
        if degree == 0 || degree > HIGHEST_DEGREE {
            return Err(format!("has degree {degree}, degrees 1 to {HIGHEST_DEGREE} are read"));
        }
        if count <= degree {
            return Err(format!("has {count} control points, too few for degree {degree}"));
        }
        if knots.len() != count + degree + 1 {
            return Err(format!("has {} knots where {} belong", knots.len(), count + degree + 1));
        }
        if knots.windows(2).any(|k| k[1] < k[0]) || knots[count] <= knots[degree] {
            return Err("has knots out of order".to_owned());
        }
        let weights = if weights.is_empty() { vec![1.0; count] } else { weights };
        if weights.len() != count || weights.iter().any(|w| *w <= 0.0) {
            return Err("has weights that do not fit its control points".to_owned());
        }
        Ok(Self { degree, knots, points, weights })
    }

    /// The smooth curve through points of a spline given without control points, as cubics: twice continuously
    /// differentiable, with the chords as parameter. Ends run straight (no curvature) unless their tangent is given.
    ///
    /// # Source
    /// C. de Boor, A Practical Guide to Splines, revised edition 2001, chapter IV; from memory. That drawing programs
    /// take chords as parameter and free ends: common practice, no source.
    pub(crate) fn through(
        fit: &[DVec2],
        closed: bool,
        tangents: [Option<DVec2>; 2],
    ) -> Option<Vec<[DVec2; 4]>> {
        let mut points = fit.to_vec();
        let size = points.iter().fold(0.0, |size: f64, p| size.max(p.abs().max_element()));
        let apart = 1e-12 * (1.0 + size);
        points.dedup_by(|a, b| a.distance(*b) <= apart);
        if closed && points.len() > 2 && points.first()?.distance(*points.last()?) <= apart {
            points.pop();
        }
        if points.len() < 2 {
            return None;
        }
        if !closed || points.len() < 3 {
            return Some(cubics(&points, tangents));
        }
        // Going round: what lies further away than some twenty points has no weight left, so the curve is drawn
        // through as many before the first and after the last, and these are cut off.
        const AROUND: usize = 24;
        let n = points.len();
        let before = AROUND.div_ceil(n) * n;
        let many: Vec<DVec2> = (0..=2 * before + n).map(|i| points[i % n]).collect();
        let all = cubics(&many, [None, None]);
        Some(all[before..before + n].to_vec())
    }

    pub(crate) fn transformed(&self, map: &DAffine2) -> Self {
        Self { points: self.points.iter().map(|p| map.transform_point2(*p)).collect(), ..self.clone() }
    }

    /// Parameter ranges between distinct knots: inside one the curve is smooth.
    pub(crate) fn spans(&self) -> impl Iterator<Item = (f64, f64)> + '_ {
        self.knots[self.degree..=self.points.len()].windows(2).filter(|k| k[1] > k[0]).map(|k| (k[0], k[1]))
    }

    /// The point at a parameter, by de Boor's recursion in homogeneous coordinates.
    ///
    /// # Source
    /// C. de Boor, A Practical Guide to Splines, revised edition 2001, chapter X; from memory.
    pub(crate) fn at(&self, t: f64) -> DVec2 {
        let p = self.degree;
        let upper = self.knots[p + 1..self.points.len()].partition_point(|k| *k <= t);
        let span = p + upper;
        let mut d: Vec<(DVec2, f64)> = (0..=p)
            .map(|j| {
                let i = span - p + j;
                (self.points[i] * self.weights[i], self.weights[i])
            })
            .collect();
        for r in 1..=p {
            for j in (r..=p).rev() {
                let i = span - p + j;
                let width = self.knots[i + p + 1 - r] - self.knots[i];
                let a = if width > 0.0 { (t - self.knots[i]) / width } else { 0.0 };
                d[j] = (d[j - 1].0 * (1.0 - a) + d[j].0 * a, d[j - 1].1 * (1.0 - a) + d[j].1 * a);
            }
        }
        d[p].0 / d[p].1
    }
}

/// The cubic spline through points (neighbours apart) with free ends or given tangents there.
fn cubics(points: &[DVec2], tangents: [Option<DVec2>; 2]) -> Vec<[DVec2; 4]> {
    let n = points.len();
    let chord: Vec<f64> = points.windows(2).map(|p| p[0].distance(p[1])).collect();
    // Unknown are the slopes at the points; rows of (before, own, after | right side).
    let rows = (0..n).map(|i| {
        let end = if i == 0 { Some(0) } else { (i == n - 1).then_some(1) };
        if let Some(tangent) = end.and_then(|e| tangents[e]) {
            return (0.0, 1.0, 0.0, tangent.normalize_or_zero());
        }
        let side = |k: usize| {
            let h = chord[k];
            (1.0 / h, 3.0 * (points[k + 1] - points[k]) / (h * h))
        };
        let (a, from) = if i > 0 { side(i - 1) } else { (0.0, DVec2::ZERO) };
        let (b, to) = if i < n - 1 { side(i) } else { (0.0, DVec2::ZERO) };
        (a, 2.0 * (a + b), b, from + to)
    });
    // Elimination without pivots: every row is dominated by its middle.
    let mut reduced: Vec<(f64, DVec2)> = Vec::with_capacity(n);
    for (before, own, after, right) in rows {
        let (c, d) = reduced.last().copied().unwrap_or((0.0, DVec2::ZERO));
        let pivot = own - before * c;
        reduced.push((after / pivot, (right - before * d) / pivot));
    }
    let mut slope = vec![DVec2::ZERO; n];
    for i in (0..n).rev() {
        let next = slope.get(i + 1).copied().unwrap_or(DVec2::ZERO);
        slope[i] = reduced[i].1 - reduced[i].0 * next;
    }
    (0..n - 1)
        .map(|i| {
            let third = chord[i] / 3.0;
            let (a, b) = (points[i], points[i + 1]);
            [a, a + slope[i] * third, b - slope[i + 1] * third, b]
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A quarter circle as a rational quadratic is exact: weights 1, √½, 1.
    #[test]
    fn rational_quadratic_is_a_circle() {
        let s = Spline::new(
            2,
            vec![0.0, 0.0, 0.0, 1.0, 1.0, 1.0],
            vec![DVec2::new(10.0, 0.0), DVec2::new(10.0, 10.0), DVec2::new(0.0, 10.0)],
            vec![1.0, 0.5f64.sqrt(), 1.0],
        )
        .expect("a valid spline");
        for i in 0..=20 {
            assert!((s.at(f64::from(i) / 20.0).length() - 10.0).abs() < 1e-12);
        }
        assert_eq!(s.spans().count(), 1);
    }

    /// A straight row stays straight, and a cubic with given tangents comes back as itself.
    #[test]
    fn curve_through_points_reproduces_what_it_can() {
        let row = [0.0, 1.0, 5.0, 6.0].map(|x| DVec2::new(x, 2.0 * x));
        for c in Spline::through(&row, false, [None, None]).expect("a curve") {
            for p in c {
                assert!((p.y - 2.0 * p.x).abs() < 1e-12, "{p}");
            }
        }
        let two = [DVec2::ZERO, DVec2::new(10.0, 0.0)];
        let c = Spline::through(&two, false, [Some(DVec2::Y), Some(DVec2::NEG_Y)]).expect("a curve")[0];
        assert!(c[1].distance(DVec2::new(0.0, 10.0 / 3.0)) < 1e-12, "{c:?}");
        assert!(c[2].distance(DVec2::new(10.0, 10.0 / 3.0)) < 1e-12, "{c:?}");
        assert!(Spline::through(&[DVec2::ONE; 3], true, [None, None]).is_none());
        // Three points going round: the joints are as smooth as the rest.
        let three = [DVec2::ZERO, DVec2::new(4.0, 0.0), DVec2::new(0.0, 3.0)];
        let c = Spline::through(&three, true, [None, None]).expect("a curve");
        assert_eq!(c.len(), 3);
        for i in 0..3 {
            let (a, b) = (c[i], c[(i + 1) % 3]);
            let (ha, hb) = (a[0].distance(a[3]), b[0].distance(b[3]));
            assert!(((a[3] - a[2]) / ha).distance((b[1] - b[0]) / hb) < 1e-9);
            let bend = |c: [DVec2; 3], h: f64| (c[0] - 2.0 * c[1] + c[2]) / (h * h);
            assert!(bend([a[1], a[2], a[3]], ha).distance(bend([b[0], b[1], b[2]], hb)) < 1e-9);
        }
    }

    #[test]
    fn figures_that_do_not_belong_together_are_named() {
        let points = vec![DVec2::ZERO, DVec2::X, DVec2::Y, DVec2::ONE];
        let says =
            |degree, knots| Spline::new(degree, knots, points.clone(), Vec::new()).expect_err("refused");
        assert!(says(3, vec![0.0; 7]).contains("7 knots where 8"));
        assert!(says(3, vec![0.0; 8]).contains("out of order"));
        assert!(says(4, vec![0.0; 9]).contains("too few"));
        assert!(says(40, vec![]).contains("degree 40"));
    }
}
