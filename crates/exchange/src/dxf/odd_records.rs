//! Records of entities with odd figures: missing, repeated and foreign group codes, figures out of any sense, every flag,
//! normals that point anywhere. The same seed gives the same records.

use super::super::scan::{Kind, SENTINEL, kind};
use std::fmt::Write;

/// The three ways to write a pair of group code and value.
#[derive(Clone, Copy, PartialEq)]
pub(super) enum Encoding {
    Text,
    /// Binary up to release 12: group codes of one byte.
    Narrow,
    /// Binary since release 13: of two.
    Wide,
}

enum Value {
    Word(&'static str),
    Figure(f64),
}

/// Pairs of a whole drawing.
pub(super) struct Records {
    pairs: Vec<(i32, Value)>,
    state: u64,
}

/// Figures that coordinates take besides plain ones.
const ODD: [f64; 14] =
    [0.0, -0.0, 1e-9, -1e-9, 1e-300, 9.9e11, -9.9e11, 1e12, 1e300, f64::NAN, f64::INFINITY, 1.0, -1.0, 0.5];
/// Flags and counts likewise.
const WHOLE: [i16; 16] = [0, 1, 1, 2, 3, 4, 5, 8, 9, 16, 17, 64, 128, -1, 300, i16::MIN];

impl Records {
    /// A drawing of so many records.
    pub(super) fn new(seed: u64, count: usize) -> Self {
        let mut records = Self { pairs: Vec::new(), state: seed };
        records.section("BLOCKS");
        records.word(0, "BLOCK");
        records.word(2, "B");
        (0..2).for_each(|_| records.record());
        records.word(0, "ENDBLK");
        records.word(0, "ENDSEC");
        records.section("ENTITIES");
        (0..count).for_each(|_| records.record());
        records.word(0, "ENDSEC");
        records.word(0, "EOF");
        records
    }

    /// Steele, Lea and Flood's SplitMix64, from memory.
    fn random(&mut self) -> u64 {
        self.state = self.state.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.state;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^ (z >> 31)
    }

    fn below(&mut self, count: usize) -> usize {
        (self.random() % count as u64) as usize
    }

    fn chance(&mut self, one_in: usize) -> bool {
        self.below(one_in) == 0
    }

    fn section(&mut self, name: &'static str) {
        self.word(0, "SECTION");
        self.word(2, name);
    }

    fn word(&mut self, code: i32, word: &'static str) {
        self.pairs.push((code, Value::Word(word)));
    }

    fn figure(&mut self, code: i32, value: f64) {
        self.pairs.push((code, Value::Figure(value)));
    }

    /// A figure that suits the group code, or now and then one that does not; sometimes none, or two.
    fn any(&mut self, code: i32) {
        if self.chance(12) {
            return;
        }
        let value = if kind(code) == Some(Kind::Short) {
            f64::from(WHOLE[self.below(WHOLE.len())])
        } else if self.chance(40) {
            ODD[self.below(ODD.len())]
        } else {
            // In eighths, which text holds to the last bit.
            (self.below(1600) as f64 - 400.0) / 8.0
        };
        self.figure(code, value);
        if self.chance(20) {
            self.any(code);
        }
    }

    fn all(&mut self, codes: &[i32]) {
        codes.iter().for_each(|code| self.any(*code));
    }

    /// The normal of the plane: mostly none, else up, down or anywhere.
    fn normal(&mut self) {
        match self.below(8) {
            0 => self.figure(230, -1.0),
            1 => self.all(&[210, 220, 230]),
            2 => (0..3).for_each(|axis| self.figure(210 + 10 * axis, 0.0)),
            _ => {}
        }
    }

    fn record(&mut self) {
        let kinds = [
            "LINE",
            "3DLINE",
            "ARC",
            "CIRCLE",
            "ELLIPSE",
            "SPLINE",
            "LWPOLYLINE",
            "POLYLINE",
            "INSERT",
            "POINT",
        ];
        let kind = kinds[self.below(kinds.len())];
        self.word(0, kind);
        self.word(8, "0");
        if self.chance(10) {
            self.normal();
        }
        match kind {
            "LINE" | "3DLINE" => self.all(&[10, 20, 30, 11, 21, 31]),
            "ARC" => self.all(&[10, 20, 30, 40, 50, 51]),
            "CIRCLE" => self.all(&[10, 20, 30, 40]),
            "ELLIPSE" => self.all(&[10, 20, 30, 11, 21, 31, 40, 41, 42]),
            "SPLINE" => self.spline(),
            "LWPOLYLINE" => self.light_polyline(),
            "POLYLINE" => self.polyline(),
            "INSERT" => {
                let block = if self.chance(9) { "NONE" } else { "B" };
                self.word(2, block);
                self.all(&[10, 20, 30, 41, 42, 43, 50, 44, 45]);
                // Few copies: these come to many.
                for code in [70, 71] {
                    let count = [0.0, 1.0, 2.0, -3.0][self.below(4)];
                    self.figure(code, count);
                }
            }
            _ => self.all(&[10, 20, 30]),
        }
        self.normal();
        if self.chance(6) {
            // Codes that most kinds do not have.
            let foreign = [12, 15, 38, 39, 43, 48, 59, 62, 72, 74, 79, 91, 110, 145, 211, 370];
            let code = foreign[self.below(foreign.len())];
            self.figure(code, 3.0);
        }
        if self.chance(60) {
            let (code, flag) = [(60, 1.0), (67, 1.0)][self.below(2)];
            self.figure(code, flag);
        }
    }

    fn spline(&mut self) {
        let degree = 1 + self.below(4);
        let points = if self.chance(4) { 0 } else { degree + 1 + self.below(4) };
        let fit = if points == 0 { self.below(5) } else { 0 };
        let weights = if self.chance(3) { points } else { 0 };
        self.all(&[70]);
        self.figure(71, degree as f64);
        for code in [72, 73, 74] {
            self.any(code);
        }
        if self.chance(4) {
            self.all(&[12, 22, 32, 13, 23, 33]);
        }
        let knots = if points == 0 { 0 } else { points + degree + 1 };
        for knot in 0..knots {
            let inner = knot.clamp(degree, points) - degree;
            self.figure(40, inner as f64 / 2.0);
        }
        (0..weights).for_each(|_| {
            let weight = (1 + self.below(16)) as f64 / 8.0;
            self.figure(41, weight);
        });
        for _ in 0..points {
            self.point(10);
        }
        for _ in 0..fit {
            self.point(11);
        }
        if self.chance(15) {
            self.all(&[10, 20, 40, 41, 42, 43, 44]);
        }
    }

    /// A point whose figures are all there, mostly.
    fn point(&mut self, first: i32) {
        for code in [first, first + 10, first + 20] {
            let odd = self.chance(60);
            if odd || (code == first + 20 && self.chance(2)) {
                self.any(code);
            } else {
                let value = (self.below(1600) as f64 - 400.0) / 8.0;
                self.figure(code, value);
            }
        }
    }

    fn light_polyline(&mut self) {
        if self.chance(12) {
            self.all(&[42, 20, 40]);
        }
        self.all(&[90, 70, 43, 38]);
        for _ in 0..self.below(6) {
            self.all(&[10, 20]);
            if self.chance(3) {
                self.all(&[40, 41, 42, 91]);
            }
        }
        if self.chance(8) {
            self.all(&[70, 38, 50]);
        }
    }

    fn polyline(&mut self) {
        self.all(&[66, 10, 20, 30, 70, 40, 41, 71, 75]);
        for _ in 0..self.below(6) {
            self.word(0, "VERTEX");
            self.word(8, "0");
            self.all(&[10, 20, 30]);
            if self.chance(2) {
                self.all(&[40, 41, 42, 70, 50, 71]);
            }
        }
        if !self.chance(5) {
            self.word(0, "SEQEND");
        }
    }

    /// The drawing as a file holds it.
    pub(super) fn bytes(&self, encoding: Encoding) -> Vec<u8> {
        if encoding == Encoding::Text {
            let mut text = String::new();
            for (code, value) in &self.pairs {
                let _ = match value {
                    Value::Word(word) => writeln!(text, "{code:>3}\n{word}"),
                    Value::Figure(value) => writeln!(text, "{code:>3}\n{value:?}"),
                };
            }
            return text.into_bytes();
        }
        let mut out = SENTINEL.to_vec();
        for (code, value) in &self.pairs {
            match (encoding, u8::try_from(*code)) {
                (Encoding::Narrow, Ok(code)) => out.push(code),
                (Encoding::Narrow, Err(_)) => {
                    out.push(255);
                    out.extend((*code as i16).to_le_bytes());
                }
                _ => out.extend((*code as i16).to_le_bytes()),
            }
            match (value, kind(*code)) {
                (Value::Word(word), _) => {
                    out.extend(word.as_bytes());
                    out.push(0);
                }
                (Value::Figure(value), Some(Kind::Short)) => out.extend((*value as i16).to_le_bytes()),
                (Value::Figure(value), Some(Kind::Integer)) => out.extend((*value as i32).to_le_bytes()),
                (Value::Figure(value), _) => out.extend(value.to_le_bytes()),
            }
        }
        out
    }
}
