//! Where a cup may stand on a tool that carries several parts.

use super::is_family;
use crate::stages::Analyst;
use document::{LayoutId, ModelId, Project, Seat};
use geometry::LandingRegion;
use glam::DVec2;
use std::sync::Arc;

/// Where the centre of a cup may be.
#[derive(Debug, Clone, PartialEq)]
pub struct Landing {
    /// Where it lands on every part that it is open for; where it is open for none, on any.
    pub every: Arc<LandingRegion>,
    /// Where it lands on any part of the tool; `None` where the tool carries one.
    pub any: Option<Arc<LandingRegion>>,
    /// Parts of several that it is open for, by name, each with where it lands on it.
    pub parts: Arc<[(String, Arc<LandingRegion>)]>,
}

impl Landing {
    /// Whether two are the same objects.
    pub fn is(&self, other: &Self) -> bool {
        let all = match (&self.any, &other.any) {
            (Some(a), Some(b)) => Arc::ptr_eq(a, b) && Arc::ptr_eq(&self.parts, &other.parts),
            (None, None) => true,
            _ => false,
        };
        all && Arc::ptr_eq(&self.every, &other.every)
    }
    /// Names of the parts that it is open for and does not land on at a place.
    pub fn misses(&self, at: DVec2) -> Vec<&str> {
        let missed = self.parts.iter().filter(|(_, region)| !region.contains(at));
        missed.map(|(name, _)| name.as_str()).collect()
    }
}

/// A part's name, whether the cup is open for it, and where it lands on it.
type OfPart = (String, bool, Arc<LandingRegion>);

/// The landing asked for last, with what it was made from.
#[derive(Default)]
pub(super) struct LandingStage {
    held: Option<(Vec<OfPart>, Landing)>,
    made: u64,
}

impl LandingStage {
    fn get(&mut self, of: Vec<OfPart>) -> Landing {
        let same = |held: &[OfPart]| {
            let alike = |(a, b): (&OfPart, &OfPart)| (&a.0, a.1) == (&b.0, b.1) && Arc::ptr_eq(&a.2, &b.2);
            held.len() == of.len() && held.iter().zip(&of).all(alike)
        };
        if let Some((held, landing)) = &self.held
            && same(held)
        {
            return landing.clone();
        }
        self.made += 1;
        let any = Arc::new(LandingRegion::in_any(of.iter().map(|(.., region)| &**region)));
        let open: Vec<&OfPart> = of.iter().filter(|(_, open, _)| *open).collect();
        let every = match open.as_slice() {
            [] => Arc::clone(&any),
            [(.., only)] => Arc::clone(only),
            several => Arc::new(LandingRegion::in_every(several.iter().map(|(.., region)| &**region))),
        };
        let parts = open.iter().map(|(name, _, region)| (name.clone(), Arc::clone(region))).collect();
        let landing = Landing { every, any: Some(any), parts };
        self.held = Some((of, landing.clone()));
        landing
    }
}

impl Analyst {
    /// Where the centre of a cup of a model may be with the clearance that the placement asks for anywhere on each part: on every
    /// part for which the valve of `zone` is open, and on any. `None` when a part that it is open for, or the model, cannot be
    /// worked with, or has too many corners for it. The same objects as before as long as no part was moved or edited.
    pub fn landing(
        &mut self,
        project: &Project,
        layout: LayoutId,
        model: &ModelId,
        turn_deg: f64,
        zone: &str,
    ) -> Option<Landing> {
        if !is_family(project, layout) {
            let every = self.landing_region(project, layout, model, turn_deg)?;
            return Some(Landing { every, any: None, parts: Arc::default() });
        }
        let report = self.check(project, layout);
        let family = report.family.as_ref()?;
        let mut of = Vec::with_capacity(family.seats.len());
        for held in &family.seats {
            let seat: &Seat = &held.seat;
            let stage = self.family.seats.get_mut(&(layout, seat.id))?;
            let region = stage.analyst.landing_region(&held.project, layout, model, turn_deg);
            match (region, seat.is_on(zone)) {
                (Some(region), open) => of.push((held.name.clone(), open, region)),
                (None, true) => return None,
                (None, false) => {}
            }
        }
        Some(self.family.landing.get(of))
    }

    /// How many times regions of parts were put together.
    #[cfg(test)]
    pub(crate) fn landings_made(&self) -> u64 {
        self.family.landing.made
    }
}
