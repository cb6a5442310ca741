//! A sheet on its cups: forces, and what follows from them.

use crate::error::FlexError;
use crate::load::SheetLoad;
use crate::seat::{LipPlace, Seat, along};
use crate::sheet::Sheet;
use crate::small::Small;
use geometry::LipShape;
use glam::{DMat3, DVec2, DVec3};
use mechanics::CupSpring;
use std::sync::Arc;

/// A rigid motion that the cups resist this little against their stiffest counts as free.
const FREE: f64 = 1e-12;
/// N·mm of an N·m.
const KILO: f64 = 1e3;

/// A cup under a sheet.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FlexCup {
    /// Its springs, as on a rigid part. A stiffness of nothing carries nothing; one without end (`f64::INFINITY`) does not yield.
    pub spring: CupSpring,
    /// Its sealing line.
    pub line: LipShape,
}

impl FlexCup {
    fn place(&self) -> LipPlace {
        LipPlace { line: self.line, at: self.spring.at, turn: self.spring.turn }
    }
}

/// What one cup gets from a sheet that bends.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct CupShare {
    /// Force away from the cup, N.
    pub pull: f64,
    /// Moment of the part on the cup about x and y, N·m, with that of the side load at its lever; as [`mechanics::CupLoad`].
    pub tilt: DVec2,
    /// Mean deflection along the lip, mm.
    pub sink: f64,
    /// Slope of the plane that fits the lip best, along x and y, rad.
    pub slope: DVec2,
}

/// One load shared by a sheet's cups.
#[derive(Debug, Clone, PartialEq)]
pub struct Share {
    /// Every cup, a lost one with nothing.
    pub cups: Vec<CupShare>,
    /// Rigid part of the motion.
    pub(crate) rigid: DVec3,
    /// What the sheet gets at each cup: one force and two moments over the lip's mean radius, N.
    pub(crate) forces: Vec<f64>,
    pub(crate) load: SheetLoad,
    /// Whether a cup is lost.
    pub(crate) lost: Vec<bool>,
}

/// A sheet on its cups, ready to share any load. Made anew when a cup moves; what has stayed is taken over.
#[derive(Clone)]
pub struct Hung {
    pub(crate) sheet: Arc<Sheet>,
    pub(crate) cups: Vec<FlexCup>,
    pub(crate) seats: Vec<Arc<Seat>>,
    /// Answer at every form of every cup to every form of every cup, mm/N.
    pub(crate) between: Vec<Vec<f64>>,
    /// Rigid motions at every form.
    pub(crate) rigid: Vec<DVec3>,
    /// Yield of every form, mm/N; `None` where nothing resists.
    pub(crate) yields: Vec<Option<f64>>,
}

impl Hung {
    /// Puts a sheet on cups. Cups that stood in the same place `before` keep what was worked out for them.
    ///
    /// # Errors
    /// [`FlexError::LipOff`] for a lip that reaches over an edge, [`FlexError::BadInput`] for figures of no cup.
    pub fn new(sheet: &Arc<Sheet>, cups: &[FlexCup], before: Option<&Hung>) -> Result<Self, FlexError> {
        for cup in cups {
            let named = [
                ("a cup's stiffness in N/mm", cup.spring.axial),
                ("a cup's tilt stiffness in N·m/rad", cup.spring.tilt[0]),
                ("a cup's tilt stiffness in N·m/rad", cup.spring.tilt[1]),
            ];
            if let Some((what, value)) = named.into_iter().find(|(_, v)| v.is_nan() || *v < 0.0) {
                return Err(FlexError::BadInput { what, value, need: "enter 0 or more" });
            }
        }
        let before = before.filter(|b| Arc::ptr_eq(&b.sheet, sheet));
        let known: Vec<Option<(&Hung, usize)>> = cups
            .iter()
            .map(|cup| before.and_then(|b| Some((b, b.seats.iter().position(|s| s.place == cup.place())?))))
            .collect();
        let new: Vec<(usize, LipPlace)> = cups
            .iter()
            .enumerate()
            .filter(|(i, _)| known[*i].is_none())
            .map(|(i, c)| (i, c.place()))
            .collect();
        let mut laid = Seat::several(sheet, &new)?.into_iter().map(Arc::new);
        let kept = |k: &Option<(&Hung, usize)>| k.map(|(b, i)| b.seats[i].clone());
        let seats: Vec<Arc<Seat>> = known.iter().filter_map(|k| kept(k).or_else(|| laid.next())).collect();
        let between = (0..3 * cups.len())
            .map(|a| {
                let own = |b: usize| match (known[a / 3], known[b / 3]) {
                    (Some((before, i)), Some((_, k))) => before.between[3 * i + a % 3][3 * k + b % 3],
                    _ => along(&seats[a / 3].forms[a % 3], &seats[b / 3].answers[b % 3]),
                };
                (0..3 * cups.len()).map(own).collect()
            })
            .collect();
        let rigid = seats.iter().flat_map(|seat| rigid_at(sheet, seat)).collect();
        let yields = cups.iter().zip(&seats).flat_map(|(cup, seat)| yields(cup, seat.radius)).collect();
        Ok(Self { sheet: sheet.clone(), cups: cups.to_vec(), seats, between, rigid, yields })
    }

    /// The sheet.
    pub fn sheet(&self) -> &Arc<Sheet> {
        &self.sheet
    }

    /// The cups.
    pub fn cups(&self) -> &[FlexCup] {
        &self.cups
    }

    /// Stiffness of the cups against the sheet's: k L⁴/D with k the cups' stiffness per area of the sheet, L their mean spacing
    /// (√ of the area a cup has) and D the mean bending stiffness. Far below 1 the sheet is as good as rigid; far above, cups get
    /// what lies round them.
    ///
    /// # Source
    /// Plate on an elastic foundation, Timoshenko & Woinowsky-Krieger, art. 57 (from memory): k L⁴/D is its only number.
    pub fn relative_stiffness(&self) -> f64 {
        let axial: f64 = self.cups.iter().map(|c| c.spring.axial).sum();
        let area = self.sheet.area() / self.cups.len().max(1) as f64;
        axial / self.cups.len().max(1) as f64 * area / self.sheet.mean_stiffness()
    }

    /// Shares loads among the cups, but for those lost.
    ///
    /// # Errors
    /// [`FlexError::NotHeld`] where the cups that are left let the sheet tip or fall, [`FlexError::Unsettled`] where the equations
    /// leave something over.
    pub fn share(&self, loads: &[SheetLoad], lost: &[usize]) -> Result<Vec<Share>, FlexError> {
        let small = self.small(lost)?;
        if loads.is_empty() {
            return Ok(Vec::new());
        }
        let free: Vec<(Vec<f64>, DVec3)> = loads.iter().map(|load| self.free(load, lost)).collect();
        let found = small.solve(&free)?;
        let shares = loads.iter().enumerate().map(|(l, load)| {
            let (pulls, rigid) = &found[l];
            self.told(load, &free[l].0, lost, pulls, *rigid)
        });
        Ok(shares.collect())
    }

    /// The small equations of the cups that are not lost, factorised.
    pub(crate) fn small(&self, lost: &[usize]) -> Result<Small, FlexError> {
        let gone = |form: usize| lost.contains(&(form / 3));
        let active: Vec<usize> =
            (0..self.yields.len()).filter(|f| self.yields[*f].is_some() && !gone(*f)).collect();
        self.check_held(&active, lost)?;
        let size = active.len() + 3;
        let matrix = faer::Mat::from_fn(size, size, |i, j| match (active.get(i), active.get(j)) {
            (Some(&a), Some(&b)) => {
                let own = if a == b { self.yields[a].unwrap_or(0.0) } else { 0.0 };
                // Of two that should be equal, the mean: rounding leaves them apart.
                own + 0.5 * (self.between[a][b] + self.between[b][a])
            }
            (Some(&a), None) => -self.rigid[a][j - active.len()],
            (None, Some(&b)) => -self.rigid[b][i - active.len()],
            (None, None) => 0.0,
        });
        let factor = matrix.partial_piv_lu();
        Ok(Small { forms: self.yields.len(), active, matrix, factor })
    }

    /// Couples of a load at the lips of cups, as forces over the lips' mean radius.
    fn couples(&self, load: &SheetLoad, lost: &[usize]) -> Vec<f64> {
        let mut forces = vec![0.0; self.yields.len()];
        for (cup, couple) in load.at_cups.iter().enumerate().take(self.cups.len()) {
            if !lost.contains(&cup) {
                let seat = &self.seats[cup];
                let axis = DVec2::from_angle(seat.place.turn);
                forces[3 * cup + 1] = couple.dot(axis) / seat.radius;
                forces[3 * cup + 2] = couple.dot(axis.perp()) / seat.radius;
            }
        }
        forces
    }

    /// What a load without the cups does: deflection of every form with three corners held, and force and moments.
    fn free(&self, load: &SheetLoad, lost: &[usize]) -> (Vec<f64>, DVec3) {
        let couples = self.couples(load, lost);
        let own = |seat: &Seat| {
            let mut sum = [0.0; 3];
            for (answers, times) in seat.own.iter().zip(load.own_times()) {
                for (s, answer) in sum.iter_mut().zip(answers) {
                    *s += times * answer;
                }
            }
            sum
        };
        let own = self.seats.iter().flat_map(|s| own(s));
        let at_forms = own
            .zip(&self.between)
            .map(|(own, between)| own + between.iter().zip(&couples).map(|(b, c)| b * c).sum::<f64>());
        let at_forms = at_forms.collect();
        let total = self.total(load, lost);
        (at_forms, total)
    }

    /// Force and moments of a load against the three rigid motions.
    pub(crate) fn total(&self, load: &SheetLoad, lost: &[usize]) -> DVec3 {
        let sheet = &*self.sheet;
        let masses =
            sheet.attached.iter().zip(&load.at_masses).map(|(mass, own)| {
                own.x * sheet.linear(mass.at) + DVec3::new(0.0, own.y, own.z) / sheet.length
            });
        let couples = self.couples(load, lost);
        let cups = self.rigid.iter().zip(&couples).map(|(r, c)| *r * *c);
        sheet.inertia * load.specific + masses.sum::<DVec3>() + cups.sum::<DVec3>()
    }

    /// Moment about x and y, N·m, that a cup's side load has about its lip.
    pub(crate) fn side(&self, load: &SheetLoad, cup: usize) -> DVec2 {
        let lever = self.cups[cup].spring.side_lever;
        let couple = load.at_cups.get(cup).copied().unwrap_or_default();
        // The couple is that of the slide at the lever and half the thickness.
        (-couple / (lever + 0.5 * self.sheet.thickness())).perp() * lever / KILO
    }

    /// Whether the forms that act hold the three rigid motions.
    fn check_held(&self, active: &[usize], lost: &[usize]) -> Result<(), FlexError> {
        let sum = active.iter().fold(DMat3::ZERO, |sum, form| {
            let r = self.rigid[*form];
            sum + DMat3::from_cols(r * r.x, r * r.y, r * r.z)
        });
        // Pivots of its factor, against the largest entry.
        let most = (0..3).map(|d| sum.col(d)[d]).fold(0.0, f64::max);
        let mut m = sum;
        for d in 0..3 {
            let pivot = m.col(d)[d];
            let held = pivot > FREE * most;
            if !held {
                return Err(FlexError::NotHeld { cups: self.cups.len() - lost.len().min(self.cups.len()) });
            }
            for c in d + 1..3 {
                let times = m.col(c)[d] / pivot;
                let from = m.col(d);
                *m.col_mut(c) -= times * from;
            }
        }
        Ok(())
    }

    /// Figures of the cups from the solution.
    fn told(&self, load: &SheetLoad, free: &[f64], lost: &[usize], pulls: &[f64], rigid: DVec3) -> Share {
        let couples = self.couples(load, lost);
        let forces: Vec<f64> = couples.iter().zip(pulls).map(|(c, p)| c - p).collect();
        let deflection = |form: usize| {
            let answers: f64 = self.between[form].iter().zip(pulls).map(|(b, p)| b * p).sum();
            free[form] - answers + self.rigid[form].dot(rigid)
        };
        let gone = |cup: usize| lost.contains(&cup);
        let cups = (0..self.cups.len()).map(|cup| {
            let seat = &self.seats[cup];
            let axis = DVec2::from_angle(seat.place.turn);
            let in_frame = |x: f64, y: f64| axis * x + axis.perp() * y;
            let slope = in_frame(deflection(3 * cup + 1), deflection(3 * cup + 2)) / seat.radius;
            let moment = in_frame(pulls[3 * cup + 1], pulls[3 * cup + 2]) * seat.radius / KILO;
            // Slopes of w, which counts against z: about x it is -w_y, about y it is w_x.
            let mut tilt = DVec2::new(-moment.y, moment.x);
            if !gone(cup) {
                tilt += self.side(load, cup);
            }
            CupShare { pull: pulls[3 * cup], tilt, sink: deflection(3 * cup), slope }
        });
        let lost = (0..self.cups.len()).map(gone).collect();
        Share { cups: cups.collect(), rigid, forces, load: load.clone(), lost }
    }
}

/// Rigid motions at the three forms of a lip.
fn rigid_at(sheet: &Sheet, seat: &Seat) -> [DVec3; 3] {
    let axis = DVec2::from_angle(seat.place.turn);
    let centre: DVec2 = seat.points.iter().zip(&seat.shares).map(|((p, _), s)| *s * *p).sum();
    let mean = sheet.linear(seat.place.at + axis.rotate(centre));
    let slope = |way: DVec2| DVec3::new(0.0, way.x, way.y) * (seat.radius / sheet.length);
    [mean, slope(axis), slope(axis.perp())]
}

/// Yields of the three forms of a cup, mm/N: along its axis, and of slopes along the lip's length and width over its mean radius.
fn yields(cup: &FlexCup, radius: f64) -> [Option<f64>; 3] {
    let of = |stiffness: f64| (stiffness > 0.0).then(|| stiffness.recip());
    let tilting = |stiffness: f64| of(stiffness * KILO / (radius * radius));
    // A slope along the length turns about the width axis.
    [of(cup.spring.axial), tilting(cup.spring.tilt[1]), tilting(cup.spring.tilt[0])]
}
