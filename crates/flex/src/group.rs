//! A bending sheet's cups as a way of sharing loads, for the search of the worst instant.

use crate::error::FlexError;
use crate::hung::Hung;
use crate::load::SheetLoad;
use faer::Mat;
use glam::{DVec2, DVec3};
use mechanics::{CupGroup, CupLoad, CupSpring, Instant, Sharing, Wrench};

/// m of a mm.
const MILLI: f64 = 1e-3;

/// Shares of a bending sheet as one matrix: pull and tilt from the sheet, slide and twist as on a rigid part, since a sheet is
/// stiff in its plane.
///
/// The shares add up to the wrench that is asked for to the last digit: where that is not the sheet's own (a stated mass or centre of
/// gravity), what is missing is spread over its masses like an acceleration.
pub struct FlexGroup {
    hung: Hung,
    rigid: CupGroup,
    springs: Vec<CupSpring>,
    /// Pull and spring tilt about x and y of every cup, N and N·m, per unit of every part of a load.
    shares: Mat<f64>,
}

impl Hung {
    /// All loads at once: the shares of every unit load. `rigid` is the group of the same springs.
    ///
    /// # Errors
    /// As for [`Hung::share`].
    pub fn group(&self, rigid: &CupGroup) -> Result<FlexGroup, FlexError> {
        let (masses, cups) = (self.sheet.attached.len(), self.cups.len());
        let none = SheetLoad { at_cups: vec![DVec2::ZERO; cups], ..SheetLoad::even(&self.sheet, 0.0) };
        let units = (0..3 + 3 * masses + 2 * cups).map(|i| {
            let mut load = none.clone();
            if i < 3 {
                load.specific[i] = 1.0;
            } else if i < 3 + 3 * masses {
                load.at_masses[(i - 3) / 3][(i - 3) % 3] = 1.0;
            } else {
                let k = i - 3 - 3 * masses;
                load.at_cups[k / 2][k % 2] = 1.0;
            }
            load
        });
        let found = self.share(&units.collect::<Vec<_>>(), &[])?;
        let springs: Vec<CupSpring> = self.cups.iter().map(|c| c.spring).collect();
        let shares = Mat::from_fn(3 * cups, found.len(), |row, load| {
            let (share, cup) = (&found[load], row / 3);
            // The side load's own moment is added for each load again.
            let side = self.side(&share.load, cup);
            match row % 3 {
                0 => share.cups[cup].pull,
                1 => (share.cups[cup].tilt - side).x,
                _ => (share.cups[cup].tilt - side).y,
            }
        });
        Ok(FlexGroup { hung: self.clone(), rigid: rigid.clone(), springs, shares })
    }
}

impl FlexGroup {
    /// The sheet on its cups.
    pub fn hung(&self) -> &Hung {
        &self.hung
    }

    /// The load of an instant with the slides of a rigid part, so that its resultant is the wrench.
    pub fn load(&self, instant: &Instant, wrench: &Wrench) -> SheetLoad {
        self.load_with(instant, wrench, &self.rigid.share(wrench))
    }

    fn load_with(&self, instant: &Instant, wrench: &Wrench, rigid: &[CupLoad]) -> SheetLoad {
        let sheet = self.hung.sheet();
        let mut load = SheetLoad::of(sheet, instant).with_slides(sheet, &self.springs, rigid);
        // Of the wrench, what pulls and springs against tilt must balance: the sides' own moments are not theirs.
        let sides: DVec2 =
            self.springs.iter().zip(rigid).map(|(s, r)| s.side_lever * MILLI * r.slide.perp()).sum();
        let wrench = wrench.moved_to(sheet.centre.extend(0.0));
        let moment = (wrench.moment.truncate() - sides) / MILLI;
        let asked = DVec3::new(-wrench.force.z, moment.y / sheet.length, -moment.x / sheet.length);
        let missing = asked - self.hung.total(&load, &[]);
        load.specific += sheet.inertia.inverse() * missing;
        load
    }
}

impl Sharing for FlexGroup {
    fn len(&self) -> usize {
        self.springs.len()
    }

    fn centre(&self) -> DVec2 {
        self.rigid.centre()
    }

    fn share_of(&self, instant: &Instant, wrench: &Wrench) -> Vec<CupLoad> {
        let mut rigid = self.rigid.share(wrench);
        let load = self.load_with(instant, wrench, &rigid);
        let parts: Vec<f64> =
            load.own_times().chain(load.at_cups.iter().flat_map(|c| c.to_array())).collect();
        let mut shares = vec![0.0; self.shares.nrows()];
        let columns = self.shares.col_iter().zip(&parts).filter(|(_, p)| **p != 0.0);
        for (column, part) in columns {
            shares.iter_mut().zip(column.iter()).for_each(|(s, c)| *s += part * c);
        }
        for ((cup, own), spring) in rigid.iter_mut().zip(shares.chunks_exact(3)).zip(&self.springs) {
            cup.pull = own[0];
            cup.tilt = DVec2::new(own[1], own[2]) + spring.side_lever * MILLI * cup.slide.perp();
        }
        rigid
    }
}
