//! How a sheet resists bending.

use crate::error::{FlexError, finite, positive};

/// Bending stiffness of a sheet.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Bending {
    /// The same in every direction.
    Isotropic {
        /// Modulus of elasticity, N/mm².
        modulus: f64,
        /// Poisson's ratio, -1 to 0.5.
        poisson: f64,
    },
    /// Two stiffnesses at right angles: board along and across its flute.
    Orthotropic {
        /// Bending stiffness per width along the first direction, N·mm.
        along: f64,
        /// Across it, N·mm.
        across: f64,
        /// Poisson's ratio of bending along: curvature across over curvature along, reversed.
        poisson: f64,
        /// Twisting stiffness per width, N·mm: twisting moment over 2 w_xy; `None` takes the usual (1 - √(ν₁ν₂))/2 · √(D₁D₂).
        twist: Option<f64>,
        /// Turn of the first direction from x, rad.
        turn: f64,
    },
}

impl Bending {
    /// Orthotropic stiffnesses from thickness and two moduli: D = E t³ / 12 (1 - ν₁ν₂), ν₂ = ν₁ E₂/E₁.
    ///
    /// # Units
    /// `thickness` mm, moduli N/mm², `turn` of the first direction from x, rad.
    ///
    /// # Source
    /// Timoshenko & Woinowsky-Krieger, *Theory of Plates and Shells*, 2nd ed., art. 85 (from memory).
    pub fn from_moduli(thickness: f64, along: f64, across: f64, poisson: f64, turn: f64) -> Self {
        let times = thickness.powi(3) / (12.0 * (1.0 - poisson * poisson * across / along));
        Self::Orthotropic { along: along * times, across: across * times, poisson, twist: None, turn }
    }

    /// Moments (m_xx, m_yy, m_xy) per curvature (w_xx, w_yy, 2 w_xy), N·mm, of a sheet so thick (mm).
    ///
    /// # Errors
    /// [`FlexError::BadInput`] for figures of no material.
    pub(crate) fn moments(&self, thickness: f64) -> Result<[[f64; 3]; 3], FlexError> {
        positive("the sheet's thickness in mm", thickness)?;
        match *self {
            Self::Isotropic { modulus, poisson } => {
                positive("the modulus of elasticity in N/mm²", modulus)?;
                ratio(poisson)?;
                if poisson > 0.5 {
                    return Err(FlexError::BadInput { what: RATIO, value: poisson, need: "enter -1 to 0.5" });
                }
                let d = modulus * thickness.powi(3) / (12.0 * (1.0 - poisson * poisson));
                let d = positive("the bending stiffness in N·mm", d)?;
                Ok([[d, poisson * d, 0.0], [poisson * d, d, 0.0], [0.0, 0.0, 0.5 * (1.0 - poisson) * d]])
            }
            Self::Orthotropic { along, across, poisson, twist, turn } => {
                positive("the bending stiffness along in N·mm", along)?;
                positive("the bending stiffness across in N·mm", across)?;
                finite("the turn of the stiffer direction in rad", turn)?;
                let both = poisson * poisson * across / along;
                finite(RATIO, poisson)?;
                if both >= 1.0 {
                    let need = "enter one whose square times the ratio of stiffnesses stays below 1";
                    return Err(FlexError::BadInput { what: RATIO, value: poisson, need });
                }
                let usual = 0.5 * (1.0 - both.sqrt()) * (along * across).sqrt();
                let twist = positive("the twisting stiffness in N·mm", twist.unwrap_or(usual))?;
                let coupled = poisson * across;
                Ok(turned([[along, coupled, 0.0], [coupled, across, 0.0], [0.0, 0.0, twist]], turn))
            }
        }
    }
}

const RATIO: &str = "Poisson's ratio";

fn ratio(poisson: f64) -> Result<(), FlexError> {
    if poisson > -1.0 && poisson < 1.0 {
        Ok(())
    } else {
        Err(FlexError::BadInput { what: RATIO, value: poisson, need: "enter -1 to 0.5" })
    }
}

/// Stiffness in the frame of the part of one that is stated in axes turned by `turn`: Tᵀ D T, T from curvatures of the part to
/// those along the axes.
fn turned(d: [[f64; 3]; 3], turn: f64) -> [[f64; 3]; 3] {
    let (s, c) = turn.sin_cos();
    let t = [[c * c, s * s, s * c], [s * s, c * c, -s * c], [-2.0 * s * c, 2.0 * s * c, c * c - s * s]];
    let mut out = [[0.0; 3]; 3];
    for (i, row) in out.iter_mut().enumerate() {
        for (j, value) in row.iter_mut().enumerate() {
            *value = (0..3)
                .flat_map(|k| (0..3).map(move |l| (k, l)))
                .map(|(k, l)| t[k][i] * d[k][l] * t[l][j])
                .sum();
        }
    }
    out
}

/// One stiffness that stands for all: the root of the product of the two.
pub(crate) fn mean_stiffness(moments: &[[f64; 3]; 3]) -> f64 {
    (moments[0][0] * moments[1][1]).sqrt()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn equal_stiffnesses_are_isotropic_at_any_turn() {
        let plain = Bending::Isotropic { modulus: 210_000.0, poisson: 0.3 }.moments(1.0).unwrap();
        for turn in [0.0, 0.4, 1.9] {
            let board = Bending::from_moduli(1.0, 210_000.0, 210_000.0, 0.3, turn).moments(1.0).unwrap();
            for (a, b) in plain.iter().flatten().zip(board.iter().flatten()) {
                assert!((a - b).abs() < 1e-9 * plain[0][0], "{turn}: {plain:?} {board:?}");
            }
        }
    }

    #[test]
    fn a_quarter_turn_swaps_the_directions() {
        let of = |turn| Bending::from_moduli(4.0, 3000.0, 1000.0, 0.2, turn).moments(4.0).unwrap();
        let (level, upright) = (of(0.0), of(std::f64::consts::FRAC_PI_2));
        assert!((level[0][0] - upright[1][1]).abs() < 1e-9 * level[0][0]);
        assert!((level[1][1] - upright[0][0]).abs() < 1e-9 * level[0][0]);
        assert!((level[0][0] / level[1][1] - 3.0).abs() < 1e-12);
    }

    #[test]
    fn figures_of_no_material_are_told() {
        let bad = |modulus, poisson, thickness| {
            Bending::Isotropic { modulus, poisson }.moments(thickness).unwrap_err().to_string()
        };
        assert_eq!(bad(210_000.0, 0.3, 0.0), "the sheet's thickness in mm is 0.0000: enter a number above 0");
        assert!(bad(f64::NAN, 0.3, 1.0).starts_with("the modulus"));
        assert!(bad(1.0, 0.6, 1.0).starts_with("Poisson"));
        assert!(Bending::from_moduli(1.0, 100.0, 2000.0, 0.3, 0.0).moments(1.0).is_err());
    }
}
