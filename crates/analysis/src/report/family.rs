//! What is known of a tool that carries several parts: every part's own report, which cups are on which, and the valves.

use super::{CupReport, Report};
use document::{CupId, Project, Seat, SeatId};
pub use geometry::Cover;
use std::sync::Arc;

/// All parts of one tool.
#[derive(Debug, Clone, PartialEq)]
pub struct Family {
    /// In the order of the layout.
    pub seats: Vec<SeatReport>,
    /// The seat whose verdict is that of the tool: the worst, the first of equals.
    pub governing: usize,
    /// Every cup of the tool, in the order of the layout: as on the part that governs, else on the first that it holds; of one
    /// that holds none without a factor. Of cups that cannot be worked with there is none.
    pub cups: Vec<CupReport>,
    /// The fewest valves, and what further ones would buy.
    pub valves: ValvePlan,
}

/// One part on the tool.
#[derive(Debug, Clone, PartialEq)]
pub struct SeatReport {
    /// As the layout has it.
    pub seat: Seat,
    /// Its part, with a number where that lies on the tool more than once.
    pub name: String,
    /// The project of this part alone: the part as it lies on the tool, the cups that hold it, the motions that it makes.
    /// Whatever tells a report tells this one with it.
    pub project: Arc<Project>,
    /// What is known of it, with places in the tool's frame.
    pub report: Arc<Report>,
    /// Beside the cups of the layout.
    pub cups: Vec<CupOnPart>,
}

/// How one cup of the tool is to one part.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CupOnPart {
    /// The cup.
    pub id: CupId,
    /// On, partly on or off; `None` where part or cup cannot be worked with.
    pub cover: Option<Cover>,
    /// Signed clearance of its lip to edges, holes and keep-outs, mm; negative where it hangs over or lies beside the part.
    pub clearance_mm: Option<f64>,
    /// The clearance that a lip on the part, or beside it, must have, mm.
    pub required_mm: f64,
    /// Area within its sealing line that is open to the air, mm².
    pub uncovered_mm2: f64,
    /// Whether its zone is on for this part.
    pub zone_on: bool,
    /// Whether the part may do without it.
    pub may_stay_shut: bool,
    /// Whether it carries a share of the part: its zone is on and its lip lies wholly on sound surface.
    pub holds: bool,
}

impl CupOnPart {
    /// Whether it draws air from beside the part: its zone is on, and it does not hold.
    pub fn draws(&self) -> bool {
        self.zone_on && !self.holds && self.cover.is_some_and(|cover| cover != Cover::On)
    }
}

/// Which cups may hang on one valve.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct ValvePlan {
    /// The fewest valves that serve every part.
    pub fewest: Vec<PlannedZone>,
    /// Whether the search looked at every grouping.
    pub proved: bool,
    /// Times that a cup which could help a part is kept shut with the fewest valves, over all parts.
    pub kept_shut: usize,
    /// Hose that the fewest valves take, mm: every hose as its circuit lays it out; `None` where a circuit has no hoses, or where
    /// further valves change nothing of it.
    pub hose_mm: Option<f64>,
    /// What each further valve would buy.
    pub further: Vec<FurtherValves>,
    /// Cups that are on no part.
    pub never: Vec<CupId>,
    /// Zones that the layout has now.
    pub now: usize,
    /// Whether the zones of the layout, switched as they are, are such a grouping: no cup that is not on a part has its zone
    /// on, and every cup that is and must not stay shut has.
    pub now_serves: bool,
}

/// The tool with more valves than the fewest.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FurtherValves {
    /// How many.
    pub valves: usize,
    /// Times that a cup which could help a part is then kept shut, over all parts.
    pub kept_shut: usize,
    /// Hose that they take, as [`ValvePlan::hose_mm`].
    pub hose_mm: Option<f64>,
}

/// A zone of the plan.
#[derive(Debug, Clone, PartialEq)]
pub struct PlannedZone {
    /// "V1".
    pub name: String,
    /// Its cups, in the order of the layout.
    pub cups: Vec<CupId>,
    /// Beside the seats: whether its valve is open.
    pub open: Vec<bool>,
}

/// What is to be switched from one part to the next.
#[derive(Debug, Clone, PartialEq)]
pub struct ChangeOver {
    /// Seats by their place in [`Family::seats`].
    pub from: usize,
    /// See `from`.
    pub to: usize,
    /// Zones whose valve opens.
    pub open: Vec<String>,
    /// Zones whose valve shuts.
    pub shut: Vec<String>,
    /// By how much the flange goes along x and y, mm, and turns, degrees, to meet the next part where the last one lay: both with
    /// their datum and axes at one place, whose axes these are.
    pub offset_mm: [f64; 2],
    /// See `offset_mm`.
    pub turn_deg: f64,
    /// Mass at the flange before and after, kg; `None` where it is not known.
    pub mass_kg: [Option<f64>; 2],
    /// Centre of tool and part from the flange before and after, mm.
    pub centre_mm: [Option<glam::DVec3>; 2],
}

/// What a pick costs on the mean of all parts, each by its share of the picks.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MixOfParts {
    /// Compressed air, L ANR a pick; `None` where no part takes any.
    pub air_nl_per_pick: Option<f64>,
    /// Wh a pick.
    pub energy_wh_per_pick: f64,
    /// A year, in the project's currency.
    pub cost_per_year: f64,
}

impl Family {
    /// What a pick costs on the mean, each part by its share; `None` while a part has no times and cost, or none has a source.
    pub fn mix(&self) -> Option<MixOfParts> {
        let all: f64 = self.seats.iter().map(|seat| seat.seat.share).sum();
        let mut mix = MixOfParts { air_nl_per_pick: None, energy_wh_per_pick: 0.0, cost_per_year: 0.0 };
        let mut any = false;
        for seat in &self.seats {
            let weight = seat.seat.share / all;
            let fed = seat.report.circuits.iter().filter(|circuit| circuit.source_level_kpa.is_some());
            for circuit in fed {
                let slow = circuit.slow.as_ref()?;
                any = true;
                if let Some(air) = slow.air_nl_per_pick {
                    *mix.air_nl_per_pick.get_or_insert(0.0) += weight * air;
                }
                mix.energy_wh_per_pick += weight * slow.energy_wh_per_pick?;
                mix.cost_per_year += weight * slow.cost_per_year?;
            }
        }
        let finite = mix.energy_wh_per_pick.is_finite() && mix.cost_per_year.is_finite();
        (any && finite).then_some(mix)
    }

    /// The seat whose verdict is that of the tool.
    pub fn governing(&self) -> Option<&SeatReport> {
        self.seats.get(self.governing)
    }

    /// One seat.
    pub fn seat(&self, id: SeatId) -> Option<&SeatReport> {
        self.seats.iter().find(|held| held.seat.id == id)
    }

    /// How many parts a cup holds.
    pub fn used_by(&self, cup: CupId) -> usize {
        let holds = |seat: &&SeatReport| seat.cups.iter().any(|held| held.id == cup && held.holds);
        self.seats.iter().filter(holds).count()
    }

    /// From each seat to the next, and from the last to the first.
    pub fn change_overs(&self) -> Vec<ChangeOver> {
        let count = self.seats.len();
        if count < 2 {
            return Vec::new();
        }
        // Two parts are changed over there and back; what differs is the same.
        let pairs = if count == 2 { 1 } else { count };
        (0..pairs).filter_map(|from| self.change_over(from, (from + 1) % count)).collect()
    }

    /// Zones with a name, sorted.
    pub fn zones(&self) -> Vec<&str> {
        let mut zones: Vec<&str> = Vec::new();
        for zone in self.cups.iter().map(|cup| cup.zone.as_str()).filter(|zone| !zone.is_empty()) {
            if !zones.contains(&zone) {
                zones.push(zone);
            }
        }
        zones.sort_unstable();
        zones
    }

    /// What is to be switched from one seat to another, by their places in [`Family::seats`].
    pub fn change_over(&self, from: usize, to: usize) -> Option<ChangeOver> {
        let (before, after) = (self.seats.get(from)?, self.seats.get(to)?);
        let switched = |on: bool| -> Vec<String> {
            let differs = |zone: &&str| after.seat.is_on(zone) == on && before.seat.is_on(zone) != on;
            self.zones().into_iter().filter(differs).map(str::to_owned).collect()
        };
        let carried = |seat: &SeatReport| seat.report.robot.as_ref().map(|robot| robot.loaded);
        let centre = |seat: &SeatReport| carried(seat).map(|carried| carried.centre_mm);
        // Both parts lie with datum and axes at one place: the flange goes from where it is in the frame of the one part to where
        // it is in that of the other.
        let flange = |seat: &SeatReport| {
            let layout = seat.project.layouts.first();
            seat.seat.in_part(layout.map_or(glam::DVec2::ZERO, |layout| layout.tool.flange.truncate()))
        };
        let offset = (flange(after) - flange(before)).map(units::tidied);
        Some(ChangeOver {
            from,
            to,
            open: switched(true),
            shut: switched(false),
            offset_mm: offset.to_array(),
            turn_deg: before.seat.turn_deg - after.seat.turn_deg,
            mass_kg: [before, after].map(|seat| carried(seat).map(|carried| carried.mass_kg)),
            centre_mm: [before, after].map(centre),
        })
    }
}
