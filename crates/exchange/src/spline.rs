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

    /// A smooth curve through points (a Catmull-Rom chain as a cubic spline), for splines given without control
    /// points.
    pub(crate) fn through(fit: &[DVec2], closed: bool) -> Option<Vec<[DVec2; 4]>> {
        let mut points = fit.to_vec();
        points.dedup_by(|a, b| a.distance(*b) < 1e-12);
        let loops = closed && points.len() > 2;
        if loops && points.first() == points.last() {
            points.pop();
        }
        let n = points.len();
        if n < 2 {
            return None;
        }
        let at = |i: isize| {
            let wrapped = if loops { i.rem_euclid(n as isize) } else { i.clamp(0, n as isize - 1) };
            points[wrapped as usize]
        };
        let spans = if loops { n } else { n - 1 } as isize;
        let span = |i: isize| {
            let (p0, p1, p2, p3) = (at(i - 1), at(i), at(i + 1), at(i + 2));
            [p1, p1 + (p2 - p0) / 6.0, p2 - (p3 - p1) / 6.0, p2]
        };
        Some((0..spans).map(span).collect())
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
