//! Greys that are made fewer while they come in.

use document::Traced;

/// Rows of greys from the top, 0 black.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Greys {
    pub wide: u32,
    pub high: u32,
    pub dots: Vec<u8>,
    /// Dots of the picture along a side that one stands for.
    pub fewer: u32,
    /// Width and height of the picture as it was read.
    pub source: [u32; 2],
}

/// Takes rows of a picture and gives means of squares of them.
pub(super) struct Gather {
    source_wide: usize,
    by: usize,
    wide: usize,
    sums: Vec<u32>,
    rows: usize,
    dots: Vec<u8>,
    source: [u32; 2],
}

/// How many dots along a side go into one, so that a picture can be kept.
pub(super) fn fewer(wide: u32, high: u32) -> u32 {
    (1..)
        .find(|by| {
            let (w, h) = (wide.div_ceil(*by), high.div_ceil(*by));
            w.max(h) <= Traced::MOST_SIDE && u64::from(w) * u64::from(h) <= Traced::MOST_DOTS
        })
        .unwrap_or(u32::MAX)
}

impl Gather {
    pub fn new(wide: u32, high: u32) -> Self {
        let by = fewer(wide, high) as usize;
        let out = (wide as usize).div_ceil(by);
        let dots = Vec::with_capacity(out * (high as usize).div_ceil(by));
        Self {
            source_wide: wide as usize,
            by,
            wide: out,
            sums: vec![0; out],
            rows: 0,
            dots,
            source: [wide, high],
        }
    }

    /// One more row of greys.
    pub fn row(&mut self, greys: impl Iterator<Item = u8>) {
        for (x, grey) in greys.take(self.source_wide).enumerate() {
            self.sums[x / self.by] += u32::from(grey);
        }
        self.rows += 1;
        if self.rows == self.by {
            self.close();
        }
    }

    fn close(&mut self) {
        for (x, sum) in self.sums.iter_mut().enumerate() {
            let across = self.by.min(self.source_wide - x * self.by);
            self.dots.push((*sum / (across * self.rows) as u32) as u8);
            *sum = 0;
        }
        self.rows = 0;
    }

    pub fn finish(mut self) -> Greys {
        if self.rows > 0 {
            self.close();
        }
        let high = self.dots.len() / self.wide.max(1);
        Greys {
            wide: self.wide as u32,
            high: high as u32,
            dots: self.dots,
            fewer: self.by as u32,
            source: self.source,
        }
    }
}

impl Greys {
    /// Half as many dots along both sides.
    pub fn halved(&self) -> Self {
        let (wide, high) = (self.wide.div_ceil(2), self.high.div_ceil(2));
        let at = |x: u32, y: u32| {
            let (x, y) = (x.min(self.wide - 1), y.min(self.high - 1));
            u32::from(self.dots[(y * self.wide + x) as usize])
        };
        let mean = |x: u32, y: u32| (at(x, y) + at(x + 1, y) + at(x, y + 1) + at(x + 1, y + 1)) / 4;
        let dots = (0..high).flat_map(|y| (0..wide).map(move |x| (2 * x, 2 * y)));
        let dots = dots.map(|(x, y)| mean(x, y) as u8).collect();
        Self { wide, high, dots, fewer: self.fewer * 2, source: self.source }
    }
}

/// How light a colour looks (ITU-R BT.601; from memory).
pub(super) fn grey(red: u8, green: u8, blue: u8) -> u8 {
    ((299 * u32::from(red) + 587 * u32::from(green) + 114 * u32::from(blue)) / 1000) as u8
}

/// A grey seen through on white paper.
pub(super) fn on_paper(grey: u8, alpha: u8) -> u8 {
    let alpha = u32::from(alpha);
    ((u32::from(grey) * alpha + 255 * (255 - alpha)) / 255) as u8
}
