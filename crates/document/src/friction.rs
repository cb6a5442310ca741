//! Friction of a lip on a part: what is stated for the pair, and what a form suggests.

use crate::{FrictionPair, Part, Sourced, Texture, Wetness};

/// Friction of one lip material on one kind of surface, for the form: generic figures, each to be replaced by what is
/// measured or stated.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FrictionPreset {
    /// As [`crate::CupModel::material`] has it in the library.
    pub lip_material: &'static str,
    /// What it lands on.
    pub texture: Texture,
    /// Coefficient of friction when dry, damp, oily.
    pub friction: [f64; 3],
}

const fn pair(lip_material: &'static str, texture: Texture, friction: [f64; 3]) -> FrictionPreset {
    FrictionPreset { lip_material, texture, friction }
}

use Texture::{Film, Porous, Smooth, Structured};

const NITRILE: &str = "nitrile rubber";
const POLYURETHANE: &str = "polyurethane";
const NATURAL: &str = "natural rubber";
const SILICONE: &str = "silicone rubber";
const SPONGE: &str = "closed-cell sponge rubber";

/// Lip materials of the library on each kind of surface (common practice, no source; on the low side of what is usual).
pub const FRICTION_PAIRS: &[FrictionPreset] = &[
    pair(NITRILE, Smooth, [0.5, 0.25, 0.1]),
    pair(NITRILE, Structured, [0.5, 0.3, 0.12]),
    pair(NITRILE, Porous, [0.5, 0.3, 0.15]),
    pair(NITRILE, Film, [0.4, 0.2, 0.1]),
    pair(POLYURETHANE, Smooth, [0.5, 0.3, 0.15]),
    pair(POLYURETHANE, Structured, [0.55, 0.35, 0.18]),
    pair(POLYURETHANE, Porous, [0.55, 0.35, 0.2]),
    pair(POLYURETHANE, Film, [0.4, 0.2, 0.1]),
    pair(NATURAL, Smooth, [0.6, 0.3, 0.08]),
    pair(NATURAL, Structured, [0.6, 0.35, 0.1]),
    pair(NATURAL, Porous, [0.6, 0.35, 0.12]),
    pair(NATURAL, Film, [0.45, 0.2, 0.08]),
    pair(SILICONE, Smooth, [0.45, 0.2, 0.08]),
    pair(SILICONE, Structured, [0.45, 0.25, 0.1]),
    pair(SILICONE, Porous, [0.45, 0.25, 0.12]),
    pair(SILICONE, Film, [0.4, 0.2, 0.08]),
    pair(SPONGE, Smooth, [0.45, 0.25, 0.1]),
    pair(SPONGE, Structured, [0.5, 0.3, 0.12]),
    pair(SPONGE, Porous, [0.5, 0.3, 0.15]),
    pair(SPONGE, Film, [0.4, 0.2, 0.1]),
];

/// A suggestion for the friction of a lip on a surface, marked assumed. A lip material that [`FRICTION_PAIRS`] does not
/// know gets the lowest figure of those it knows.
///
/// ```
/// use document::{Origin, Texture, Wetness, friction_pair};
/// let oily = friction_pair("nitrile rubber", Texture::Smooth, Wetness::Oily);
/// assert_eq!((oily.value, oily.origin), (0.1, Origin::Assumed));
/// assert_eq!(friction_pair("something new", Texture::Smooth, Wetness::Oily).value, 0.08);
/// ```
pub fn friction_pair(lip_material: &str, texture: Texture, wetness: Wetness) -> Sourced<f64> {
    let when = match wetness {
        Wetness::Dry => 0,
        Wetness::Damp => 1,
        Wetness::Oily => 2,
    };
    let on = || FRICTION_PAIRS.iter().filter(|p| p.texture == texture);
    let known = on().find(|p| same_material(p.lip_material, lip_material)).map(|p| p.friction[when]);
    Sourced::assumed(known.unwrap_or_else(|| on().map(|p| p.friction[when]).fold(1.0, f64::min)))
}

/// Materials are typed by people: blanks around and capitals do not count.
fn same_material(a: &str, b: &str) -> bool {
    a.trim().to_lowercase() == b.trim().to_lowercase()
}

impl FrictionPair {
    /// Whether it is about lips of this material; capitals and blanks around it do not count.
    pub fn is_for(&self, lip_material: &str) -> bool {
        same_material(&self.lip_material, lip_material)
    }
}
impl Part {
    /// Friction of a lip of this material on the part: that of its pair, or that of every other lip.
    ///
    /// ```
    /// use document::{FrictionPair, Part, PartId, Sourced};
    /// let mut part = Part::rectangle(PartId(1), "Tray blank", 600.0, 400.0);
    /// let friction = Sourced::measured(0.38, "2026-02-03");
    /// part.pairs = vec![FrictionPair { lip_material: "nitrile rubber".into(), friction }];
    /// assert_eq!(part.friction_of("Nitrile rubber").value, 0.38);
    /// assert_eq!(part.friction_of("polyurethane").value, 0.5);
    /// ```
    pub fn friction_of(&self, lip_material: &str) -> &Sourced<f64> {
        self.pairs.iter().find(|p| p.is_for(lip_material)).map_or(&self.friction, |p| &p.friction)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_lip_of_the_library_is_known_on_every_surface() {
        for model in crate::library() {
            for texture in Texture::ALL {
                let pairs: Vec<_> = FRICTION_PAIRS
                    .iter()
                    .filter(|p| p.lip_material == model.material && p.texture == *texture)
                    .collect();
                let [pair] = pairs[..] else {
                    panic!("{} on {}: {pairs:?}", model.material, texture.label())
                };
                let [dry, damp, oily] = pair.friction;
                assert!(0.05 <= oily && oily <= damp && damp <= dry && dry <= 0.7, "{pair:?}");
                for (wetness, value) in Wetness::ALL.iter().zip(pair.friction) {
                    assert_eq!(friction_pair(&model.material, *texture, *wetness), Sourced::assumed(value));
                }
            }
        }
    }

    #[test]
    fn what_is_unknown_is_not_better_than_what_is_known() {
        for preset in FRICTION_PAIRS {
            for (wetness, value) in Wetness::ALL.iter().zip(preset.friction) {
                assert!(friction_pair("", preset.texture, *wetness).value <= value);
            }
        }
        let typed = friction_pair(" Silicone Rubber ", Texture::Smooth, Wetness::Damp);
        assert_eq!(typed, Sourced::assumed(0.2));
    }
}
