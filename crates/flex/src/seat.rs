//! One lip on a sheet: its line by the shape functions, and the sheet's answer to what it pulls and tilts.

use crate::error::FlexError;
use crate::locate::{Sample, value_in};
use crate::sheet::Sheet;
use geometry::{Lip, LipShape};
use glam::DVec2;

/// About how many points a lip's line is taken at; twelve would do for its force, the gap wants its extremes.
const POINTS: f64 = 48.0;
/// No piece of a lip's line has fewer.
const FEWEST: f64 = 3.0;

/// Where a lip's sealing line lies on the sheet.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LipPlace {
    /// The sealing line about its centre.
    pub line: LipShape,
    /// Its centre, mm.
    pub at: DVec2,
    /// Turn of its length axis from x, rad.
    pub turn: f64,
}

/// A lip on a sheet, with the sheet's answers to a pull and two tilts spread along its line.
///
/// Generalised deflections: the mean of w along the line, and the slopes of the plane that fits the line best along the lip's two
/// axes, times its mean radius. Generalised forces go with them: spread evenly, and growing with the distance from an axis.
pub(crate) struct Seat {
    pub place: LipPlace,
    /// Points of the line about its centre in the lip's axes, mm, and the deflection there.
    pub points: Vec<(DVec2, Sample)>,
    /// Deflection, slope along the length and along the width as sums over unknowns.
    pub forms: [Vec<(u32, f64)>; 3],
    /// Answers of the sheet held at three corners to 1 N each.
    pub answers: [Vec<f64>; 3],
    /// The three forms of the sheet's own answers: to the three unit accelerations, then to the three loads at each mass.
    pub own: Vec<[f64; 3]>,
    /// Mean radius of the line, mm.
    pub radius: f64,
    /// Share of the line at each point.
    pub shares: Vec<f64>,
}

impl Seat {
    /// Points along the line with their shares of its length.
    fn line(place: &LipPlace) -> Vec<(DVec2, f64)> {
        let outline = place.line.outline();
        let length = outline.perimeter();
        let mut points = Vec::new();
        for piece in outline.segments() {
            let count = (POINTS * piece.length() / length).round().max(FEWEST);
            points.extend(
                (0..count as usize)
                    .map(|i| (piece.point_at((i as f64 + 0.5) / count), piece.length() / length / count)),
            );
        }
        points
    }

    /// The lip without the sheet's answers.
    fn laid(sheet: &Sheet, cup: usize, place: LipPlace) -> Result<Self, FlexError> {
        if !(place.at.is_finite() && place.turn.is_finite() && place.line.size().is_finite()) {
            let need = "enter a position, a turn and a size";
            return Err(FlexError::BadInput { what: "a lip's place or size", value: f64::NAN, need });
        }
        let line = Self::line(&place);
        if line.is_empty() {
            let need = "enter a size above 0";
            return Err(FlexError::BadInput { what: "a lip's sealing line in mm", value: 0.0, need });
        }
        let lip = Lip { shape: place.line, at: place.at, turn: place.turn };
        let turned = DVec2::from_angle(lip.turn);
        let mut points = Vec::with_capacity(line.len());
        let mut known: Vec<(usize, crate::element::Triangle)> = Vec::new();
        for (local, _) in &line {
            let at = turned.rotate(*local) + lip.at;
            let t = sheet.locator.triangle(&sheet.mesh, at).ok_or(FlexError::LipOff { cup, at })?;
            if !known.iter().any(|k| k.0 == t) {
                known.push((t, crate::matrix::element(&sheet.mesh, t)));
            }
            let sample = match known.iter().find(|k| k.0 == t) {
                Some((_, element)) => Sample {
                    unknowns: crate::matrix::unknowns_of(&sheet.mesh, t).map(|u| u as u32),
                    values: element.value(at),
                },
                None => value_in(&sheet.mesh, t, at),
            };
            points.push((*local, sample));
        }
        let shares: Vec<f64> = line.iter().map(|l| l.1).collect();
        let moment = |by: fn(DVec2) -> f64| line.iter().map(|(p, s)| s * by(*p)).sum::<f64>();
        let (xx, yy) = (moment(|p| p.x * p.x), moment(|p| p.y * p.y));
        let radius = moment(DVec2::length);
        let form = |weight: &dyn Fn(DVec2) -> f64| {
            let mut sum: Vec<(u32, f64)> = Vec::with_capacity(12 * points.len());
            for ((local, sample), share) in points.iter().zip(&shares) {
                let times = share * weight(*local);
                sum.extend(sample.unknowns.iter().zip(sample.values).map(|(u, v)| (*u, times * v)));
            }
            // Stable, so that equal lips sum in equal order.
            sum.sort_by_key(|s| s.0);
            let mut merged: Vec<(u32, f64)> = Vec::new();
            for (u, v) in sum {
                match merged.last_mut() {
                    Some(last) if last.0 == u => last.1 += v,
                    _ => merged.push((u, v)),
                }
            }
            merged
        };
        let forms = [form(&|_| 1.0), form(&|p| radius * p.x / xx), form(&|p| radius * p.y / yy)];
        let own =
            sheet.own_answers().map(|answer| forms.each_ref().map(|form| along(form, answer))).collect();
        Ok(Self { place, points, forms, answers: Default::default(), own, radius, shares })
    }

    /// Lips with the sheet's answers, three solutions each; several at once, so that the factor is passed once for them.
    pub fn several(sheet: &Sheet, places: &[(usize, LipPlace)]) -> Result<Vec<Self>, FlexError> {
        let mut seats = Vec::with_capacity(places.len());
        for (cup, place) in places {
            seats.push(Self::laid(sheet, *cup, *place)?);
        }
        for few in seats.chunks_mut(AT_ONCE) {
            let loads = few.iter().flat_map(|seat: &Self| &seat.forms).map(|form| {
                let mut load = vec![0.0; sheet.unknowns()];
                form.iter().for_each(|(u, v)| load[*u as usize] = *v);
                load
            });
            let mut answers = sheet.answers(loads.collect())?.into_iter();
            for seat in few {
                seat.answers = [(); 3].map(|()| answers.next().unwrap_or_default());
            }
        }
        Ok(seats)
    }
}

/// Lips whose answers are worked out together.
const AT_ONCE: usize = 8;

/// A sum over unknowns of a field.
pub(crate) fn along(form: &[(u32, f64)], field: &[f64]) -> f64 {
    form.iter().map(|(u, v)| v * field[*u as usize]).sum()
}

impl Seat {
    /// Largest minus smallest deflection along the line over the plane that fits it best, mm.
    pub fn gap(&self, field: &[f64]) -> f64 {
        let [mean, x, y] = self.forms.each_ref().map(|form| along(form, field));
        let over = self
            .points
            .iter()
            .map(|(local, sample)| sample.of(field) - mean - (x * local.x + y * local.y) / self.radius);
        let (low, high) = over.fold((f64::INFINITY, f64::NEG_INFINITY), |(l, h), v| (l.min(v), h.max(v)));
        high - low
    }
}
