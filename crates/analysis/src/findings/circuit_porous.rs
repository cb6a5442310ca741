//! `circuit.porous`: a part that is said to be porous, with no air reckoned to come through it.
//!
//! Why: reckoned airtight, a porous part comes to the deepest level of any source, which the real one never does.
//! Limit: fails where the surface is porous and nobody measured or stated how easily air comes through, and no figure is assumed
//! either. Remedy: a leak test, or a figure to begin with.

use super::{Draft, Facts, RuleInfo};
use crate::report::Severity;
use document::{Origin, Part, Texture};
use units::Quantity;

pub(super) const INFO: RuleInfo = RuleInfo {
    id: "circuit.porous",
    title: "Porous part treated as airtight",
    explains: "On a porous part, air passing through lowers the level; if it is treated as airtight, the \
        calculated level is far too deep.",
    fail: "the surface is porous and no air permeability is given",
    watch: "",
    remedy: "a leak test on the part, or a starting value",
};

pub(super) fn find(facts: &Facts<'_>, out: &mut Vec<Draft>) {
    let Some(part) = facts.part.filter(|part| is_open(part) && !facts.cups.is_empty()) else { return };
    let says = format!(
        "{} is porous but has no air permeability: every level is that of an airtight part.",
        part.name
    );
    let usual = facts.words.figure(document::POROUS_UM_PA_S, Quantity::Permeance);
    let remedy = format!(
        "Measure the leakage at a known level with one cup on the real part and enter the air permeability, \
        or start with {usual} as for single-wall corrugated board; enter 0 if a coating makes it airtight."
    );
    out.push(Draft::new(INFO.id, Severity::Fail, says).remedy(remedy));
}

/// Porous by its surface, and airtight by no more than nobody having said otherwise.
fn is_open(part: &Part) -> bool {
    let said = |origin: Origin| origin != Origin::Assumed;
    part.surface.texture == Texture::Porous
        && part.permeance_um_pa_s.as_ref().is_none_or(|held| held.value == 0.0 && !said(held.origin))
}
