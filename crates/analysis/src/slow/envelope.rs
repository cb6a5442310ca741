//! Largest accelerations with the part held level.

use super::figure::{Figure, On, Slow};
use crate::{envelopes, loads, report::EnvelopeReport, snapshot::Snapshot};
use document::CupId;

/// `None` when gravity alone is too much.
pub(super) struct LevelEnvelope(pub Option<EnvelopeReport>);

impl Figure for LevelEnvelope {
    const SLOW: Slow = Slow::Envelope;

    fn same_inputs(a: &Snapshot, b: &Snapshot) -> bool {
        let of = |snapshot: &Snapshot| (snapshot.body, snapshot.required, snapshot.favourable_weight);
        of(a) == of(b) && a.cups == b.cups
    }

    fn work_out(on: &On<'_>) -> Option<Self> {
        if on.stopped() {
            return None;
        }
        let snapshot = on.snapshot;
        let Ok(group) = loads::factored(&snapshot.springs()) else { return Some(Self(None)) };
        let ids: Vec<CupId> = snapshot.cups.iter().map(|cup| cup.id).collect();
        let strengths = snapshot.strengths();
        let held = envelopes::Held { body: &snapshot.body, group: &group, strengths: &strengths, ids: &ids };
        Some(Self(held.level(snapshot.required, snapshot.favourable_weight)))
    }
}
