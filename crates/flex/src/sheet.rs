//! A sheet by itself: mesh, one factor, and its answers to the loads that every motion is made of.

use crate::attached::{Attached, Sitting};
use crate::element::UNKNOWNS;
use crate::error::{FlexError, positive};
use crate::locate::Locator;
use crate::material::{Bending, mean_stiffness};
use crate::matrix::{Factor, Pattern, element, unknowns, unknowns_of};
use crate::mesh::Mesh;
use faer::{Mat, MatRef, Scale};
use geometry::{Outline, Section};
use glam::{DMat3, DVec2, DVec3};
use std::sync::OnceLock;

/// Corners of triangles that a sheet is cut into unless told otherwise: with the middles of their sides some 4,000 nodes, 6,000
/// unknowns. Sag of the reference cases then errs by less than 0.1 %.
pub const USUAL_CORNERS: usize = 1_000;
/// A stiff block bends this many times less than the sheet below it: rigid to a figure's third digit, and no worse to factorise.
const STIFF_BLOCK: f64 = 1e3;
/// What may be left over of a load once its equations are solved, as a share of it: forces of that size, here and there, move no
/// figure that is shown. Rounding leaves some 1e-9 of a usual mesh, more below a stiff block.
const SETTLED: f64 = 1e-6;

/// What a sheet is made of.
#[derive(Debug, Clone, Copy)]
pub struct SheetInput<'a> {
    /// Its shape, mm.
    pub outline: &'a Outline,
    /// mm.
    pub thickness: f64,
    /// How it resists bending.
    pub bending: Bending,
    /// Mass of the bare sheet, spread evenly, kg.
    pub mass: f64,
    /// What it carries.
    pub attached: &'a [Attached],
    /// About how many corners its triangles have; [`USUAL_CORNERS`].
    pub corners: usize,
}

/// A sheet that knows no cups: mesh, factor and unit loads. Worked out once a part.
///
/// Deflection `w` counts away from the cups, mm: down for a level part that hangs.
///
/// # Source
/// Kirchhoff's plate; flexibility (force) method with three corners held, e.g. Przemieniecki, *Theory of Matrix Structural
/// Analysis*, 1968, chapter 8 (from memory).
pub struct Sheet {
    pub(crate) mesh: Mesh,
    pub(crate) locator: Locator,
    pub(crate) pattern: Pattern,
    pub(crate) stiffness: Vec<f64>,
    pub(crate) factor: Factor,
    /// Moments per curvature, N·mm.
    pub(crate) moments: [[f64; 3]; 3],
    thickness: f64,
    area: f64,
    /// Where the linear fields are nought, and the length by which they count.
    pub(crate) centre: DVec2,
    pub(crate) length: f64,
    /// Loads of an acceleration of 1 m/s² on all masses: even, growing with x, with y.
    pub(crate) unit: [Vec<f64>; 3],
    /// What the free sheet, held at three corners, answers to them.
    pub(crate) unit_answers: [Vec<f64>; 3],
    /// Force and moments of the unit loads against the three rigid motions: the mass and its moments.
    pub(crate) inertia: DMat3,
    pub(crate) sittings: Vec<Sitting>,
    pub(crate) attached: Vec<Attached>,
    /// Loads of 1 N, and of couples of 1 N·mm along x and y, at each attached mass, and the answers to them.
    pub(crate) at_masses: Vec<[Vec<f64>; 3]>,
    pub(crate) mass_answers: Vec<[Vec<f64>; 3]>,
    /// Mass per area that weighs as the outline does, kg/mm².
    areal_mass: f64,
    mass_values: OnceLock<Vec<f64>>,
}

impl Sheet {
    /// Cuts a sheet into triangles, factorises its stiffness and solves its unit loads.
    ///
    /// # Errors
    /// [`FlexError`]: an outline, material or mass that no figure can be given for.
    pub fn new(input: &SheetInput) -> Result<Self, FlexError> {
        let moments = input.bending.moments(input.thickness)?;
        positive("the sheet's mass in kg", input.mass)?;
        let section = geometry::section(input.outline).ok_or(FlexError::NothingLeft)?;
        let step = (section.area / input.corners.max(16) as f64).sqrt();
        let marks: Vec<DVec2> = input.attached.iter().flat_map(|a| a.marks(step)).collect();
        let mesh = Mesh::new(input.outline, input.corners, &marks)?;
        Self::meshed(input, mesh, moments, &section)
    }

    fn meshed(
        input: &SheetInput,
        mesh: Mesh,
        moments: [[f64; 3]; 3],
        section: &Section,
    ) -> Result<Self, FlexError> {
        let length = input.outline.bounds().map_or(1.0, |b| b.size().max_element());
        // Chords lie this far inside their arcs at most.
        let locator = Locator::new(&mesh, 0.001 * length);
        let pattern = Pattern::new(&mesh);
        let stiffness = pattern.stiffness(&mesh, &moments, |t| {
            let [a, b, c] = mesh.corners(t);
            let middle = (a + b + c) / 3.0;
            if input.attached.iter().any(|m| m.stiffens(middle)) { STIFF_BLOCK } else { 1.0 }
        });
        let factor = Factor::new(&pattern, &stiffness, &held(&mesh))?;
        let sittings = input.attached.iter().enumerate().map(|(i, a)| a.sit(i, &mesh, &locator));
        let sittings: Vec<Sitting> = sittings.collect::<Result<_, _>>()?;
        let centre = section.centroid;
        let linear = |p: DVec2| DVec3::new(1.0, (p.x - centre.x) / length, (p.y - centre.y) / length);
        let areal_mass = input.mass / section.area;
        let unit = unit_loads(&mesh, section, length, areal_mass, &sittings);
        let at_masses: Vec<[Vec<f64>; 3]> = sittings
            .iter()
            .map(|sitting| {
                sitting.forms.each_ref().map(|form| {
                    let mut load = vec![0.0; unknowns(&mesh)];
                    form.iter().for_each(|(times, sample)| sample.add_to(*times, &mut load));
                    load
                })
            })
            .collect();
        let exact = exact_moments(section, length) * areal_mass;
        let inertia = sittings.iter().flat_map(|s| &s.shares).fold(exact, |sum, (mass, at, _)| {
            let l = linear(*at);
            sum + *mass * DMat3::from_cols(l * l.x, l * l.y, l * l.z)
        });
        let mut sheet = Self {
            mesh,
            locator,
            pattern,
            stiffness,
            factor,
            moments,
            thickness: input.thickness,
            area: section.area,
            centre,
            length,
            unit_answers: unit.clone(),
            unit,
            inertia,
            sittings,
            attached: input.attached.to_vec(),
            mass_answers: at_masses.clone(),
            at_masses,
            areal_mass,
            mass_values: OnceLock::new(),
        };
        sheet.unit_answers = three(sheet.answers(sheet.unit.to_vec())?);
        let mut flat = sheet.answers(sheet.at_masses.iter().flatten().cloned().collect())?.into_iter();
        for answers in &mut sheet.mass_answers {
            for answer in answers {
                *answer = flat.next().unwrap_or_default();
            }
        }
        Ok(sheet)
    }

    /// What the sheet, held at three corners, answers to loads; each is put back into the equations.
    pub(crate) fn answers(&self, loads: Vec<Vec<f64>>) -> Result<Vec<Vec<f64>>, FlexError> {
        let mut answers = loads.clone();
        self.factor.solve(&mut answers);
        let left_of = |load: &[f64], answer: &[f64]| -> Vec<f64> {
            let own = self.pattern.times(&self.stiffness, answer);
            load.iter().zip(own).map(|(f, k)| f - k).collect()
        };
        for (load, answer) in loads.iter().zip(&mut answers) {
            let whole = self.force(load, false);
            let mut left = left_of(load, answer);
            if self.force(&left, true) > SETTLED * whole {
                let mut step = [left];
                self.factor.solve(&mut step);
                step.iter().flatten().zip(answer.iter_mut()).for_each(|(s, a)| *a += s);
                left = left_of(load, answer);
            }
            let left = self.force(&left, true);
            // What is no number did not settle either.
            let settled = left <= SETTLED * whole;
            if !settled {
                return Err(FlexError::Unsettled { left: left / whole });
            }
        }
        Ok(answers)
    }

    /// Sum of the sizes of forces, N; moments at slopes count over the mesh's length. Without those at held unknowns if asked.
    fn force(&self, load: &[f64], without_held: bool) -> f64 {
        let corners = self.mesh.points.len();
        let size: f64 = load[..corners].iter().map(|f| f.abs()).sum::<f64>()
            + load[corners..].iter().map(|m| m.abs()).sum::<f64>() / self.mesh.length;
        let held = self.factor.held().iter().map(|i| load[*i].abs()).sum::<f64>();
        if without_held { size - held } else { size }
    }

    /// Answers to the three unit accelerations, then to the three loads at each attached mass.
    pub(crate) fn own_answers(&self) -> impl Iterator<Item = &Vec<f64>> {
        self.unit_answers.iter().chain(self.mass_answers.iter().flatten())
    }

    /// Its triangles.
    pub fn mesh(&self) -> &Mesh {
        &self.mesh
    }

    /// Thickness, mm.
    pub fn thickness(&self) -> f64 {
        self.thickness
    }

    /// Unknowns of its equations.
    pub fn unknowns(&self) -> usize {
        self.pattern.size()
    }

    /// One bending stiffness for all directions, √(D₁D₂), N·mm.
    pub fn mean_stiffness(&self) -> f64 {
        mean_stiffness(&self.moments)
    }

    /// Area of the outline, mm².
    pub fn area(&self) -> f64 {
        self.area
    }

    /// Mass with all that is attached, kg.
    pub fn mass(&self) -> f64 {
        self.inertia.x_axis.x
    }

    /// 1 and the place from the centre over the length.
    pub(crate) fn linear(&self, p: DVec2) -> DVec3 {
        let d = (p - self.centre) / self.length;
        DVec3::new(1.0, d.x, d.y)
    }

    /// A rigid motion in its three parts by unknown.
    pub(crate) fn add_rigid(&self, q: DVec3, field: &mut [f64]) {
        let corners = self.mesh.points.len();
        let slope = DVec2::new(q.y, q.z) / self.length;
        for (i, p) in self.mesh.points.iter().enumerate() {
            field[i] += q.dot(self.linear(*p));
            field[corners + 2 * i] += slope.x;
            field[corners + 2 * i + 1] += slope.y;
        }
        for (e, [a, b]) in self.mesh.edges.iter().enumerate() {
            let way = self.mesh.points[*b as usize] - self.mesh.points[*a as usize];
            field[3 * corners + e] += way.perp().normalize().dot(slope);
        }
    }

    /// Mass times several fields, N for m/s².
    pub(crate) fn mass_times_all(&self, fields: MatRef<f64>) -> Mat<f64> {
        let values = self.mass_values.get_or_init(|| self.pattern.mass(&self.mesh));
        let mut out = self.pattern.times_all(values, fields) * Scale(self.areal_mass);
        for (mass, _, sample) in self.sittings.iter().flat_map(|s| &s.shares) {
            for (mut to, from) in out.col_iter_mut().zip(fields.col_iter()) {
                let parts = || sample.unknowns.iter().zip(sample.values);
                let own: f64 = parts().map(|(u, v)| v * from[*u as usize]).sum();
                parts().for_each(|(u, v)| to[*u as usize] += mass * own * v);
            }
        }
        out
    }
}

/// Three corners far apart, held in deflection only: statically determinate.
fn held(mesh: &Mesh) -> [usize; 3] {
    let points = &mesh.points;
    let farthest = |by: &dyn Fn(DVec2) -> f64| {
        let found = (0..points.len()).max_by(|a, b| by(points[*a]).total_cmp(&by(points[*b])));
        found.unwrap_or(0)
    };
    let first = farthest(&|p| -p.x - p.y);
    let second = farthest(&|p| p.distance_squared(points[first]));
    let way = points[second] - points[first];
    let third = farthest(&|p| way.perp_dot(p - points[first]).abs());
    [first, second, third]
}

/// ∫ of the products of 1, x, y about the centroid over `length`, mm², of the true outline.
fn exact_moments(section: &Section, length: f64) -> DMat3 {
    let l2 = length * length;
    DMat3::from_cols(
        DVec3::new(section.area, 0.0, 0.0),
        DVec3::new(0.0, section.iy / l2, section.ixy / l2),
        DVec3::new(0.0, section.ixy / l2, section.ix / l2),
    )
}

/// Loads of the three unit accelerations. Chords cut a little off arcs: the three fields of the mesh are mixed so that force and
/// moments are those of the true outline.
fn unit_loads(
    mesh: &Mesh,
    section: &Section,
    length: f64,
    areal_mass: f64,
    sittings: &[Sitting],
) -> [Vec<f64>; 3] {
    let linear =
        |p: DVec2| DVec3::new(1.0, (p.x - section.centroid.x) / length, (p.y - section.centroid.y) / length);
    let size = unknowns(mesh);
    let mut fields = [vec![0.0; size], vec![0.0; size], vec![0.0; size]];
    let mut meshed = DMat3::ZERO;
    for t in 0..mesh.triangles.len() {
        let corners = mesh.corners(t);
        let l = corners.map(linear);
        let triangle = element(mesh, t);
        let places = unknowns_of(mesh, t);
        for (d, field) in fields.iter_mut().enumerate() {
            let load = triangle.load(l.map(|l| l[d]));
            for k in 0..UNKNOWNS {
                field[places[k]] += load[k];
            }
        }
        // ∫ a b = area/12 (Σ a_i b_i + Σ a_i Σ b_i).
        let area = 0.5 * (corners[1] - corners[0]).perp_dot(corners[2] - corners[0]);
        let outer = |v: DVec3| DMat3::from_cols(v * v.x, v * v.y, v * v.z);
        meshed += (area / 12.0) * (outer(l[0]) + outer(l[1]) + outer(l[2]) + outer(l[0] + l[1] + l[2]));
    }
    let mix = meshed.inverse() * exact_moments(section, length) * areal_mass;
    let mut unit = [vec![0.0; size], vec![0.0; size], vec![0.0; size]];
    for (d, load) in unit.iter_mut().enumerate() {
        for (e, field) in fields.iter().enumerate() {
            let times = mix.col(d)[e];
            for (l, f) in load.iter_mut().zip(field) {
                *l += times * f;
            }
        }
        for (mass, at, sample) in sittings.iter().flat_map(|s| &s.shares) {
            sample.add_to(mass * linear(*at)[d], load);
        }
    }
    unit
}

fn three(answers: Vec<Vec<f64>>) -> [Vec<f64>; 3] {
    let mut answers = answers.into_iter();
    [(); 3].map(|()| answers.next().unwrap_or_default())
}
