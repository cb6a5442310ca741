//! Cases from outside the project, each record with its source beside it.
//!
//! Most expected values are closed forms and results of other methods and libraries; few are figures that are printed
//! elsewhere and were seen there. A record's `basis` says which: *printed* in a source that was read, from *memory*, *computed* by
//! an independent method, or a *unit* test of one multiplication that code and case write alike, which shows that units and signs
//! are right and no more; its source says where. What code of the product is not called by the product has no case. The few
//! figures of `mechanics/leaking_channel.rs`, all from memory, stand there.

mod geometry;
mod mechanics;
mod vacuum;

/// Every record says what its figures rest on; few are printed elsewhere, and nobody is to think otherwise.
#[test]
fn every_case_says_what_its_figures_rest_on() {
    let records = [
        include_str!("geometry/masses.json"),
        include_str!("geometry/sections.json"),
        include_str!("mechanics/dynamic_start.json"),
        include_str!("mechanics/limit_strength.json"),
        include_str!("mechanics/load_sharing.json"),
        include_str!("mechanics/placement.json"),
        include_str!("mechanics/weight_split.json"),
        include_str!("mechanics/zones.json"),
        include_str!("vacuum/energy.json"),
        include_str!("vacuum/fittings.json"),
        include_str!("vacuum/networks.json"),
        include_str!("vacuum/porous.json"),
        include_str!("vacuum/restrictions.json"),
        include_str!("vacuum/transients.json"),
        include_str!("vacuum/tubes.json"),
    ];
    let mut counts = [0; 4];
    for record in records {
        let record: serde_json::Value = serde_json::from_str(record).unwrap();
        for case in record["cases"].as_array().unwrap() {
            let basis = case["basis"].as_str().unwrap_or_default();
            let at = ["printed", "memory", "computed", "unit"].iter().position(|known| *known == basis);
            counts[at.unwrap_or_else(|| panic!("{}: {basis:?}", case["name"]))] += 1;
        }
    }
    assert_eq!(counts, [3, 7, 65, 8], "printed, from memory, computed, unit tests");
}
