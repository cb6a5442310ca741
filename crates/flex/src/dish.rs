//! Dishing: the sheet drawn into the lip by the vacuum.

use crate::error::{FlexError, finite, positive};
use crate::field::Moments;
use crate::material::Bending;
use crate::sag::{Validity, validity};
use geometry::LipShape;

/// N/mm² of a kPa.
const PER_KPA: f64 = 1e-3;

/// How far a sheet is drawn into a lip, between two bounds: its edge held square by the sheet around, and free to turn.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Dishing {
    /// Deflection in the middle with the edge held square, mm.
    pub held: f64,
    /// With the edge free to turn, mm.
    pub free: f64,
    /// Largest bending stress with the edge held square (there), N/mm².
    pub stress_held: f64,
    /// With the edge free to turn (in the middle), N/mm².
    pub stress_free: f64,
    /// What small deflections are worth for the smaller of the two.
    pub validity: Validity,
}

/// Dishing of a sheet of a thickness (mm) inside a sealing line under a vacuum level (kPa).
///
/// A round lip is a circular plate. A long or rectangular one is a strip as wide as the lip, which bounds it from above. A sheet
/// with two stiffnesses is taken with the smaller one.
///
/// # Source
/// Timoshenko & Woinowsky-Krieger, *Theory of Plates and Shells*, 2nd ed., art. 16, equations 62 and 68 (circular: p r⁴/64 D held,
/// (5+ν)/(1+ν) times that free, moments p r²/8 and (3+ν) p r²/16), art. 2 (strip: p b⁴/384 D and five times that, moments p b²/12
/// and p b²/8); from memory.
///
/// # Errors
/// [`FlexError::BadInput`] for figures of no sheet, lip or level.
///
/// ```
/// use flex::{Bending, dishing};
/// use geometry::LipShape;
/// let steel = Bending::Isotropic { modulus: 210_000.0, poisson: 0.3 };
/// let dish = dishing(&steel, 0.8, &LipShape::Round { diameter: 50.0 }, 60.0)?; // mm, kPa
/// assert!((dish.held - 0.037).abs() < 1e-3 && (dish.free / dish.held - 5.3 / 1.3).abs() < 1e-9); // mm
/// # Ok::<(), flex::FlexError>(())
/// ```
pub fn dishing(bending: &Bending, thickness: f64, line: &LipShape, level: f64) -> Result<Dishing, FlexError> {
    let m = bending.moments(thickness)?;
    let pressure = finite("the vacuum level in kPa", level)?.max(0.0) * PER_KPA;
    let across = positive("a lip's sealing line in mm", line.size().min_element())?;
    let (d, ratio) = (m[0][0].min(m[1][1]), m[0][1] / (m[0][0] * m[1][1]).sqrt());
    let (held, free, moment_held, moment_free) = match line {
        LipShape::Round { .. } => {
            let r = 0.5 * across;
            let held = pressure * r.powi(4) / (64.0 * d);
            let load = pressure * r * r;
            (held, held * (5.0 + ratio) / (1.0 + ratio), load / 8.0, load * (3.0 + ratio) / 16.0)
        }
        LipShape::Long { .. } | LipShape::Rectangle { .. } => {
            let held = pressure * across.powi(4) / (384.0 * d);
            let load = pressure * across * across;
            (held, 5.0 * held, load / 12.0, load / 8.0)
        }
    };
    let stress = |moment: f64| Moments { xx: moment, ..Moments::default() }.stress(thickness);
    Ok(Dishing {
        held,
        free,
        stress_held: stress(moment_held),
        stress_free: stress(moment_free),
        validity: validity(held, thickness),
    })
}
