//! A tool that carries several parts: each with its own figures, the valves, what is switched from one to the next.

use super::{
    cup as cup_json,
    keys::{CupJson, LayoutJson},
    known, layout, nearest, number, pair, triple,
};
use analysis::{ChangeOver, Cover, CupOnPart, CupReport, Family, PlannedZone, SeatReport, ValvePlan};
use document::{CupId, LayoutId, Project, Seat};
use serde::Serialize;
use serde_with::skip_serializing_none;
use std::collections::HashMap;

#[skip_serializing_none]
#[derive(Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
#[cfg_attr(test, schemars(extend("additionalProperties" = false)))]
pub(super) struct FamilyJson<'a> {
    /// The part whose verdict is that of the tool.
    governing: &'a str,
    /// In the order of the layout.
    seats: Vec<SeatJson<'a>>,
    valves: ValvesJson<'a>,
    /// From each part to the next and back to the first; of two parts one way only.
    change_overs: Vec<ChangeOverJson<'a>>,
    /// What a pick costs on the mean, each part by its share; absent while a part has no times and cost.
    mix: Option<MixJson>,
}

#[skip_serializing_none]
#[derive(Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
#[cfg_attr(test, schemars(extend("additionalProperties" = false)))]
struct MixJson {
    #[cfg_attr(test, schemars(range(min = 0)))]
    air_nl_per_pick: Option<f64>,
    #[cfg_attr(test, schemars(range(min = 0)))]
    energy_wh_per_pick: f64,
    #[cfg_attr(test, schemars(range(min = 0)))]
    cost_per_year: f64,
}

#[skip_serializing_none]
#[derive(Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
#[cfg_attr(test, schemars(extend("additionalProperties" = false)))]
struct SeatJson<'a> {
    /// Name of the part, with a number where it lies on the tool more than once.
    #[cfg_attr(test, schemars(length(min = 1)))]
    name: &'a str,
    part: &'a str,
    /// Place of the part's datum on the tool.
    at_mm: [f64; 2],
    /// Turn of the part about its datum, counter-clockwise.
    turn_deg: f64,
    /// How many of this part are picked for how many of the others.
    share: Option<f64>,
    /// Zones whose valve is shut for this part.
    shut: &'a [String],
    /// Motions that this part does not make.
    left_out: Vec<&'a str>,
    /// What the part was laid against, where it was placed by stops.
    stops: Option<StopsJson>,
    /// Every cup of the tool.
    cups: Vec<CupOnPartJson<'a>>,
    /// All that is known of this part alone, places in the tool's frame: its cups are those that hold it.
    figures: Box<LayoutJson<'a>>,
}

/// Three points on the tool: the first two touch one straight edge of the part, the third another.
#[skip_serializing_none]
#[derive(Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
#[cfg_attr(test, schemars(extend("additionalProperties" = false)))]
struct StopsJson {
    /// On the tool.
    at_mm: [[f64; 2]; 3],
    /// Both edges by their ends, in the frame of the part's drawing; absent where the part has them no more.
    edges_mm: Option<[[[f64; 2]; 2]; 2]>,
    /// How far the part lies off the stop that it is furthest from, from the edge's line or beyond its end; absent with edges_mm.
    #[cfg_attr(test, schemars(range(min = 0)))]
    off_mm: Option<f64>,
}

/// What a cup has on one part that it holds.
#[skip_serializing_none]
#[derive(Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
#[cfg_attr(test, schemars(extend("additionalProperties" = false)))]
pub(super) struct CupFiguresJson<'a> {
    #[cfg_attr(test, schemars(length(min = 1)))]
    part: &'a str,
    /// Lip to nearest boundary; negative = overhang.
    clearance_mm: Option<f64>,
    #[cfg_attr(test, schemars(range(min = 0)))]
    required_clearance_mm: Option<f64>,
    #[cfg_attr(test, schemars(extend("enum" = ["edge", "hole", "keep-out"])))]
    nearest: Option<&'static str>,
    #[cfg_attr(test, schemars(extend("exclusiveMinimum" = 0)))]
    level_kpa: f64,
    #[cfg_attr(test, schemars(extend("exclusiveMinimum" = 0)))]
    vacuum_force_n: f64,
    /// Smallest over the motions that the part makes; absent when nothing loads the lip.
    #[cfg_attr(test, schemars(range(min = 0)))]
    least_factor: Option<f64>,
    least_factor_motion: Option<&'a str>,
    least_factor_required: Option<f64>,
}

#[skip_serializing_none]
#[derive(Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
#[cfg_attr(test, schemars(extend("additionalProperties" = false)))]
struct CupOnPartJson<'a> {
    tag: &'a str,
    /// On: the whole lip on sound surface with the required clearance; off: the whole lip beside the part or within a hole with
    /// it; absent where it is not known.
    #[cfg_attr(test, schemars(extend("enum" = ["on", "partly", "off"])))]
    cover: Option<&'static str>,
    /// Signed distance of the lip to the nearest edge, hole or keep-out.
    clearance_mm: Option<f64>,
    required_clearance_mm: Option<f64>,
    /// Area within the sealing line that is open to the air.
    #[cfg_attr(test, schemars(range(min = 0)))]
    uncovered_mm2: Option<f64>,
    zone_on: bool,
    may_stay_shut: bool,
    /// Its zone is on and its lip lies wholly on sound surface: it carries a share of the part.
    holds: bool,
    /// Its zone is on and it stands open: a leak of its circuit.
    draws: bool,
}

#[derive(Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
#[cfg_attr(test, schemars(extend("additionalProperties" = false)))]
struct ValvesJson<'a> {
    /// A zone each, with a valve: the fewest that serve every part.
    fewest: Vec<PlannedZoneJson<'a>>,
    /// Whether every grouping was looked at, so that no fewer do.
    proved: bool,
    /// Times that a cup which may stay shut is kept shut, over all parts.
    kept_shut: usize,
    /// All hoses with the fewest valves, as the circuits lay theirs out; absent where a circuit has no hoses, or where further
    /// valves change nothing of it.
    #[cfg_attr(test, schemars(range(min = 0)))]
    #[serde(skip_serializing_if = "Option::is_none")]
    hose_mm: Option<f64>,
    /// What each further valve would buy.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    further: Vec<FurtherJson>,
    /// Cups that are on no part.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    never: Vec<&'a str>,
    /// Zones that the layout has.
    zones_now: usize,
    /// Whether these, switched as they are, open every cup that must be and shut every one that lies beside or partly on.
    now_serves: bool,
}

#[derive(Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
#[cfg_attr(test, schemars(extend("additionalProperties" = false)))]
struct PlannedZoneJson<'a> {
    valve: &'a str,
    cups: Vec<&'a str>,
    /// Parts for which it is open.
    open_for: Vec<&'a str>,
}

#[derive(Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
#[cfg_attr(test, schemars(extend("additionalProperties" = false)))]
struct FurtherJson {
    valves: usize,
    kept_shut: usize,
    /// As hose_mm beside it.
    #[cfg_attr(test, schemars(range(min = 0)))]
    #[serde(skip_serializing_if = "Option::is_none")]
    hose_mm: Option<f64>,
}

#[skip_serializing_none]
#[derive(Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
#[cfg_attr(test, schemars(extend("additionalProperties" = false)))]
struct ChangeOverJson<'a> {
    from: &'a str,
    to: &'a str,
    /// Zones that open.
    open: Vec<String>,
    /// Zones that shut.
    shut: Vec<String>,
    /// By how much the flange goes to meet the next part where the last one lay, drawings' datum and axes at one place, whose
    /// axes these are.
    offset_mm: [f64; 2],
    offset_turn_deg: f64,
    /// At the flange, tool and part.
    mass_before_kg: Option<f64>,
    mass_after_kg: Option<f64>,
    /// From the flange's centre.
    centre_before_mm: Option<[f64; 3]>,
    centre_after_mm: Option<[f64; 3]>,
}

/// Every cup that holds a part: with the figures on the part that governs, else on the first that it holds, and those on each.
pub(super) fn cups<'a>(project: &'a Project, family: &'a Family) -> Vec<CupJson<'a>> {
    let first = family.governing();
    let on = |seat: &'a SeatReport, id: CupId| seat.report.cups.iter().find(|cup| cup.id == id);
    let each = family.cups.iter().filter_map(|held| {
        let (seat, cup) =
            first.into_iter().chain(&family.seats).find_map(|seat| Some((seat, on(seat, held.id)?)))?;
        let all = family.seats.iter().filter_map(|seat| Some(figures(seat, on(seat, held.id)?)));
        Some(CupJson { on_parts: all.collect(), ..cup_json(cup, &seat.report, project) })
    });
    each.collect()
}

fn figures<'a>(seat: &'a SeatReport, cup: &CupReport) -> CupFiguresJson<'a> {
    let worst = cup.worst.filter(|(_, factor)| factor.value.is_finite());
    let motion = worst.and_then(|(index, _)| seat.report.motions.get(index));
    CupFiguresJson {
        part: &seat.name,
        clearance_mm: cup.clearance.and_then(|clearance| number(clearance.distance)),
        required_clearance_mm: number(cup.required_clearance_mm),
        nearest: nearest(cup),
        level_kpa: known(cup.level_kpa),
        vacuum_force_n: known(cup.vacuum_force_n),
        least_factor: worst.and_then(|(_, factor)| number(factor.value)),
        least_factor_motion: motion.map(|motion| motion.name.as_str()),
        least_factor_required: motion.and_then(|motion| number(motion.required_factor)),
    }
}

fn stops(project: &Project, seat: &Seat) -> Option<StopsJson> {
    let stops = seat.stops?;
    let part = project.part(seat.part)?;
    let edges = stops.edges_of(part).ok();
    let furthest = seat.off_stops(part).into_iter().flatten().fold(0.0, f64::max);
    Some(StopsJson {
        at_mm: stops.at.map(pair),
        edges_mm: edges.map(|edges| edges.map(|edge| [pair(edge.from), pair(edge.to)])),
        off_mm: edges.and_then(|_| number(furthest)),
    })
}

pub(super) fn family<'a>(project: &'a Project, id: LayoutId, held: &'a Family) -> FamilyJson<'a> {
    let own = project.layout(id);
    let tags: HashMap<CupId, &str> =
        own.iter().flat_map(|layout| &layout.cups).map(|cup| (cup.id, cup.tag.as_str())).collect();
    FamilyJson {
        governing: held.governing().map_or("", |seat| &seat.name),
        seats: held.seats.iter().map(|of| seat(project, of, &tags)).collect(),
        valves: valves(held, &held.valves, &tags),
        change_overs: change_overs(held),
        mix: held.mix().map(|mix| MixJson {
            air_nl_per_pick: mix.air_nl_per_pick.and_then(number),
            energy_wh_per_pick: known(mix.energy_wh_per_pick),
            cost_per_year: known(mix.cost_per_year),
        }),
    }
}

fn seat<'a>(project: &'a Project, held: &'a SeatReport, tags: &HashMap<CupId, &'a str>) -> SeatJson<'a> {
    let name = |id: &document::MotionId| project.motion(*id).map(|motion| motion.name.as_str());
    SeatJson {
        name: &held.name,
        part: project.name_of_part(held.seat.part),
        at_mm: pair(held.seat.at),
        turn_deg: known(held.seat.turn_deg),
        share: number(held.seat.share),
        shut: &held.seat.shut,
        left_out: held.seat.left_out.iter().filter_map(name).collect(),
        stops: stops(project, &held.seat),
        cups: held.cups.iter().map(|of| cup(of, tags)).collect(),
        figures: Box::new(LayoutJson { approval: None, ..layout(&held.project, &held.report) }),
    }
}

fn cup<'a>(held: &CupOnPart, tags: &HashMap<CupId, &'a str>) -> CupOnPartJson<'a> {
    let there = held.cover.is_some();
    CupOnPartJson {
        tag: tags.get(&held.id).copied().unwrap_or_default(),
        cover: held.cover.map(|cover| match cover {
            Cover::On => "on",
            Cover::Partly => "partly",
            Cover::Off => "off",
        }),
        clearance_mm: held.clearance_mm.and_then(number),
        required_clearance_mm: number(held.required_mm).filter(|_| there),
        uncovered_mm2: number(held.uncovered_mm2).filter(|_| there),
        zone_on: held.zone_on,
        may_stay_shut: held.may_stay_shut,
        holds: held.holds,
        draws: held.draws(),
    }
}

fn valves<'a>(family: &'a Family, plan: &'a ValvePlan, tags: &HashMap<CupId, &'a str>) -> ValvesJson<'a> {
    let named = |cups: &[CupId]| cups.iter().filter_map(|cup| tags.get(cup).copied()).collect::<Vec<_>>();
    let zone = |zone: &'a PlannedZone| PlannedZoneJson {
        valve: &zone.name,
        cups: named(&zone.cups),
        open_for: family
            .seats
            .iter()
            .zip(&zone.open)
            .filter(|(_, open)| **open)
            .map(|(seat, _)| seat.name.as_str())
            .collect(),
    };
    ValvesJson {
        fewest: plan.fewest.iter().map(zone).collect(),
        proved: plan.proved,
        kept_shut: plan.kept_shut,
        hose_mm: plan.hose_mm.and_then(number),
        further: plan
            .further
            .iter()
            .map(|more| FurtherJson {
                valves: more.valves,
                kept_shut: more.kept_shut,
                hose_mm: more.hose_mm.and_then(number),
            })
            .collect(),
        never: named(&plan.never),
        zones_now: plan.now,
        now_serves: plan.now_serves,
    }
}

fn change_overs(family: &Family) -> Vec<ChangeOverJson<'_>> {
    let each = family.change_overs().into_iter();
    each.map(|over| {
        let ChangeOver { from, to, open, shut, offset_mm, turn_deg, mass_kg, centre_mm } = over;
        let name = |index: usize| family.seats.get(index).map_or("", |seat| seat.name.as_str());
        ChangeOverJson {
            from: name(from),
            to: name(to),
            open,
            shut,
            offset_mm: offset_mm.map(known),
            offset_turn_deg: known(turn_deg),
            mass_before_kg: mass_kg[0].and_then(number),
            mass_after_kg: mass_kg[1].and_then(number),
            centre_before_mm: centre_mm[0].map(triple),
            centre_after_mm: centre_mm[1].map(triple),
        }
    })
    .collect()
}
