//! Mass, centre of gravity and inertia.

use glam::{DMat3, DVec3};

use crate::Section;

/// Mass, centre of gravity and inertia about it (tensor with minus signs off the diagonal).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MassProperties {
    /// kg.
    pub mass: f64,
    /// Centre of gravity, mm; z from the face the lips land on, towards the tool.
    pub centre: DVec3,
    /// Inertia tensor about the centre of gravity, kg·mm².
    pub inertia: DMat3,
}

impl MassProperties {
    /// A flat plate between z = 0 (the face the lips land on) and z = -thickness with the given total mass.
    ///
    /// # Units
    /// Section in mm, thickness mm, mass kg; inertia kg·mm².
    ///
    /// # Source
    /// I_x = m (i_x / A + t²/12) and so on: a prism's inertia from its section, any dynamics text.
    pub fn plate(section: &Section, thickness: f64, mass: f64) -> Self {
        let spread = |i: f64| mass * i / section.area;
        let through = mass * thickness * thickness / 12.0;
        let (x, y, xy) = (spread(section.ix), spread(section.iy), spread(section.ixy));
        MassProperties {
            mass,
            centre: section.centroid.extend(-thickness / 2.0),
            inertia: DMat3::from_cols(
                DVec3::new(x + through, -xy, 0.0),
                DVec3::new(-xy, y + through, 0.0),
                DVec3::new(0.0, 0.0, x + y),
            ),
        }
    }

    /// A mass without extent, kg, at a place in mm.
    pub fn point(mass: f64, at: DVec3) -> Self {
        MassProperties { mass, centre: at, inertia: DMat3::ZERO }
    }

    /// Homogeneous block of `mass` kg centred `at` mm with sides `size` mm along the axes.
    ///
    /// # Source
    /// I_x = m (b² + c²) / 12, any dynamics text.
    pub fn block(mass: f64, at: DVec3, size: DVec3) -> Self {
        let s = size * size;
        let diagonal = mass / 12.0 * DVec3::new(s.y + s.z, s.z + s.x, s.x + s.y);
        MassProperties { mass, centre: at, inertia: DMat3::from_diagonal(diagonal) }
    }

    /// The same body turned about an upright line through its centre of gravity, rad, counter-clockwise seen from the tool.
    ///
    /// # Source
    /// R I Rᵀ, any dynamics text.
    #[must_use]
    pub fn turned(self, turn: f64) -> Self {
        // Exactly as it was where nothing turns.
        if turn == 0.0 {
            return self;
        }
        let turn = DMat3::from_rotation_z(turn);
        MassProperties { inertia: turn * self.inertia * turn.transpose(), ..self }
    }

    /// All bodies as one; `None` when they have no mass together.
    pub fn combined(bodies: impl IntoIterator<Item = MassProperties>) -> Option<Self> {
        let bodies: Vec<MassProperties> = bodies.into_iter().collect();
        let mass: f64 = bodies.iter().map(|b| b.mass).sum();
        if !mass.is_finite() || mass <= 0.0 {
            return None;
        }
        // From the first body, so that a group far from the origin keeps its digits.
        let origin = bodies.first()?.centre;
        let centre = origin + bodies.iter().map(|b| b.mass * (b.centre - origin)).sum::<DVec3>() / mass;
        let inertia = bodies.iter().map(|b| b.inertia_about(centre)).fold(DMat3::ZERO, |sum, i| sum + i);
        Some(MassProperties { mass, centre, inertia })
    }

    /// Inertia about another point, kg·mm².
    ///
    /// # Source
    /// Parallel axes (Steiner): I + m (d·d E - d dᵀ).
    pub fn inertia_about(&self, point: DVec3) -> DMat3 {
        let d = self.centre - point;
        let outer = DMat3::from_cols(d * d.x, d * d.y, d * d.z);
        self.inertia + self.mass * (DMat3::from_diagonal(DVec3::splat(d.length_squared())) - outer)
    }
}

/// kg/m² of a sheet: density kg/m³ times thickness mm.
pub fn areal_mass(density_kg_m3: f64, thickness_mm: f64) -> f64 {
    density_kg_m3 * thickness_mm / 1000.0
}
