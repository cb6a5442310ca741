//! A remedy: where one more cup lowers the sag most.

use crate::error::FlexError;
use crate::hung::{FlexCup, Hung, Share};
use glam::DVec2;

/// So many places are tried, the deepest first; the deepest is often at an edge, where a cup does little for the far one.
const TRIED: usize = 6;
/// Places that are tried are this share of the part's longest extent apart.
const APART: f64 = 0.15;

/// What one more cup would do.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct OneMore {
    /// Where it would stand, mm.
    pub at: DVec2,
    /// Largest sag now, over all loads, mm.
    pub before: f64,
    /// Largest sag with it, mm: solved, not estimated.
    pub after: f64,
}

impl Hung {
    /// Puts one more cup where the sheet leaves the plane of its lips most and solves the same loads with it: the best of a few
    /// of the deepest corners of the mesh, each with the place that `near` gives for it, mm, at which the lip lies on the sheet;
    /// `None` where there is none.
    ///
    /// # Errors
    /// As for [`Hung::share`].
    pub fn with_one_more(
        &self,
        shares: &[Share],
        like: &FlexCup,
        near: impl Fn(DVec2) -> Option<DVec2>,
    ) -> Result<Option<OneMore>, FlexError> {
        let largest = |hung: &Hung, shares: &[Share]| {
            let sags = hung.sag(shares).into_iter().map(|s| s.largest().0.abs()).enumerate();
            sags.fold((0, 0.0), |most, own| if own.1 > most.1 { own } else { most })
        };
        let (worst, before) = largest(self, shares);
        let Some(share) = shares.get(worst) else { return Ok(None) };
        let (field, plane) = (self.field(share), self.plane(share));
        let points = &self.sheet.mesh.points;
        let mut order: Vec<(f64, DVec2)> = field
            .at_corners(&self.sheet)
            .iter()
            .zip(points)
            .map(|(w, p)| ((w - plane.at(*p)).abs(), *p))
            .collect();
        order.sort_by(|a, b| b.0.total_cmp(&a.0));
        let loads: Vec<_> = shares.iter().map(|s| s.load.clone()).collect();
        let lost: Vec<usize> = (0..share.lost.len()).filter(|i| share.lost[*i]).collect();
        let mut tried: Vec<DVec2> = Vec::new();
        let mut best: Option<OneMore> = None;
        for at in order.into_iter().filter_map(|(_, corner)| near(corner)) {
            if tried.len() == TRIED {
                break;
            }
            if tried.iter().any(|p| p.distance(at) < APART * self.sheet.length) {
                continue;
            }
            let mut cup = *like;
            cup.spring.at = at;
            let mut cups = self.cups.clone();
            cups.push(cup);
            let more = match Hung::new(&self.sheet, &cups, Some(self)) {
                Err(FlexError::LipOff { .. }) => continue,
                other => other?,
            };
            tried.push(at);
            let (_, after) = largest(&more, &more.share(&loads, &lost)?);
            if best.is_none_or(|b| after < b.after) {
                best = Some(OneMore { at, before, after });
            }
        }
        Ok(best)
    }
}
