//! Sums of long vectors, several at a time.

/// Adds many columns, each so many times. Four go together, so that the sum is read and written a quarter as often.
pub(crate) fn add_all<'a>(to: &mut [f64], parts: impl Iterator<Item = (f64, &'a [f64])>) {
    let mut parts = parts.filter(|p| p.0 != 0.0);
    loop {
        let few = [parts.next(), parts.next(), parts.next(), parts.next()];
        if let [Some((p, a)), Some((q, b)), Some((r, c)), Some((s, d))] = few {
            for ((((t, a), b), c), d) in to.iter_mut().zip(a).zip(b).zip(c).zip(d) {
                *t += (p * a + q * b) + (r * c + s * d);
            }
        } else {
            few.into_iter().flatten().for_each(|(times, from)| add(to, times, from));
            return;
        }
    }
}

/// Adds a column so many times.
pub(crate) fn add(to: &mut [f64], times: f64, from: &[f64]) {
    for (t, f) in to.iter_mut().zip(from) {
        *t += times * f;
    }
}

/// Σ a b.
pub(crate) fn dot(a: &[f64], b: &[f64]) -> f64 {
    // Eight sums side by side, which a processor does at once.
    let mut sums = [0.0; 8];
    let (a8, b8) = (a.chunks_exact(8), b.chunks_exact(8));
    let rest: f64 = a8.remainder().iter().zip(b8.remainder()).map(|(a, b)| a * b).sum();
    for (a, b) in a8.zip(b8) {
        for k in 0..8 {
            sums[k] += a[k] * b[k];
        }
    }
    sums.iter().sum::<f64>() + rest
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn sums_of_any_length_and_number() {
        for length in [0, 1, 7, 8, 9, 40] {
            let column = |k: usize| (0..length).map(|i| (i + 3 * k) as f64).collect::<Vec<f64>>();
            let columns: Vec<Vec<f64>> = (0..11).map(column).collect();
            for count in 0..=11 {
                let mut sum = column(1);
                let mut plain = column(1);
                add_all(&mut sum, columns[..count].iter().enumerate().map(|(i, c)| (i as f64, c.as_slice())));
                columns[..count].iter().enumerate().for_each(|(i, c)| add(&mut plain, i as f64, c));
                assert_eq!(sum, plain);
            }
            let expected: f64 = column(1).iter().zip(column(2)).map(|(a, b)| a * b).sum();
            assert_eq!(dot(&column(1), &column(2)), expected);
        }
    }
}
