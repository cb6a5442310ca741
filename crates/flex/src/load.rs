//! What a motion asks of a sheet: its loads normal to it.

use crate::sheet::Sheet;
use glam::{DVec2, DVec3};
use mechanics::{CupLoad, CupSpring, Instant};

const MILLI: f64 = 1e-3;

/// Loads normal to a sheet, and couples that turn it, in one instant. Linear: loads add up, see [`SheetLoad::plus`].
#[derive(Debug, Clone, PartialEq)]
pub struct SheetLoad {
    /// Specific force away from the cups, N/kg: at the centre of the bare sheet, and what it grows by over the part's longest
    /// extent along x and along y.
    pub(crate) specific: DVec3,
    /// At each attached mass besides: force away from the cups, N, and couples that go with the slopes along x and y, N·mm.
    pub(crate) at_masses: Vec<DVec3>,
    /// Couples that go with the slopes along x and y, N·mm, at each cup.
    pub(crate) at_cups: Vec<DVec2>,
}

impl SheetLoad {
    /// An even specific force away from the cups: 9.80665 N/kg for a level part that hangs still.
    pub fn even(sheet: &Sheet, specific: f64) -> Self {
        Self {
            specific: DVec3::new(specific, 0.0, 0.0),
            at_masses: vec![DVec3::ZERO; sheet.attached.len()],
            at_cups: Vec::new(),
        }
    }

    /// What an instant of a motion does: weight, acceleration along z, turning about x and y, and what forces in the plane do to
    /// masses that stand off the sheet.
    ///
    /// Left out: the inertia of a block's own height against turning about its own centre.
    ///
    /// # Source
    /// Specific force g - a - e × r - w × (w × r) of a rigid part, the same as [`mechanics::load`] sums up.
    pub fn of(sheet: &Sheet, instant: &Instant) -> Self {
        let specific = |at: DVec3| {
            let r = (at - instant.pivot) * MILLI;
            let spin = instant.turn_rate;
            instant.gravity
                - instant.acceleration
                - instant.turn_acceleration.cross(r)
                - spin.cross(spin.cross(r))
        };
        let middle = -0.5 * sheet.thickness();
        let normal = |d: DVec2| -specific((sheet.centre + d * sheet.length).extend(middle)).z;
        let even = normal(DVec2::ZERO);
        let at_masses = sheet.attached.iter().map(|mass| {
            let own = specific(mass.at.extend(mass.height));
            let extra = specific(mass.at.extend(middle)).z - own.z;
            let couple = (mass.height - middle) * own.truncate();
            mass.mass * couple.extend(extra)
        });
        Self {
            specific: DVec3::new(even, normal(DVec2::X) - even, normal(DVec2::Y) - even),
            at_masses: at_masses.map(|v| DVec3::new(v.z, v.x, v.y)).collect(),
            at_cups: Vec::new(),
        }
    }

    /// Adds what the cups' side loads do to the sheet: they act at the height of their levers above the lips, and the sheet's
    /// middle lies half a thickness below. Side loads are shared as on a rigid part, since a sheet is stiff in its plane.
    pub fn with_slides(mut self, sheet: &Sheet, springs: &[CupSpring], shares: &[CupLoad]) -> Self {
        let couple = |(spring, share): (&CupSpring, &CupLoad)| {
            -(spring.side_lever + 0.5 * sheet.thickness()) * share.slide
        };
        self.at_cups = springs.iter().zip(shares).map(couple).collect();
        self
    }

    /// How often it holds each of the sheet's own loads, in the order of [`Sheet::own_answers`].
    pub(crate) fn own_times(&self) -> impl Iterator<Item = f64> {
        self.specific.to_array().into_iter().chain(self.at_masses.iter().flat_map(|m| m.to_array()))
    }

    /// This and `times` another.
    pub fn plus(&self, times: f64, other: &Self) -> Self {
        let pairs = |a: &[DVec3], b: &[DVec3]| a.iter().zip(b).map(|(a, b)| *a + times * *b).collect();
        let longest = self.at_cups.len().max(other.at_cups.len());
        let at = |cups: &[DVec2], i: usize| cups.get(i).copied().unwrap_or_default();
        Self {
            specific: self.specific + times * other.specific,
            at_masses: pairs(&self.at_masses, &other.at_masses),
            at_cups: (0..longest).map(|i| at(&self.at_cups, i) + times * at(&other.at_cups, i)).collect(),
        }
    }
}
