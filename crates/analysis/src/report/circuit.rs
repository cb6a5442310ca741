//! What is known about the vacuum circuits of a layout.

use super::CircuitElement;
use super::{DesignReport, DustReport, Severity};
use document::{CircuitId, CupId, Thresholds};
use glam::DVec3;
use units::Worded;

/// One circuit that cups of the layout hang on.
#[derive(Debug, Clone, PartialEq)]
pub struct CircuitReport {
    /// The circuit.
    pub id: CircuitId,
    /// Its name.
    pub name: String,
    /// Whether its levels were worked out, and if not, why.
    pub status: CircuitStatus,
    /// Level that was asked for, at the site's atmosphere, kPa: the circuit's stated level.
    pub wanted_kpa: f64,
    /// The levels that it comes to, that factors are worked out at, and that raise the alarm; `None` without figures.
    pub design: Option<DesignReport>,
    /// Level at the first source, kPa.
    pub source_level_kpa: Option<f64>,
    /// Air drawn by all sources, L/min ANR.
    pub flow_nl_min: Option<f64>,
    /// Compressed air used while the sources run, L/min ANR; `None` without an ejector.
    pub air_nl_min: Option<f64>,
    /// Electric power of pumps and blowers, W; `None` without one.
    pub power_w: Option<f64>,
    /// In the order of the layout.
    pub cups: Vec<CircuitCup>,
    /// Hoses part by part, valves, restrictors, filters; from the cups towards the source.
    pub elements: Vec<CircuitElement>,
    /// Where its sources draw.
    pub sources: Vec<CircuitSource>,
    /// Levels along each manifold, port by port.
    pub manifolds: Vec<CircuitManifold>,
    /// Hoses to cut.
    pub hoses: Vec<HoseRow>,
    /// Zones that cups of the circuit are in, for the controls.
    pub zones: Vec<ZoneRow>,
    /// Slow figures; `None` when there are none yet. Whether they belong to this plan is [`super::Report::ages`].
    pub slow: Option<CircuitSlow>,
}

impl CircuitReport {
    /// The cup with the lowest level.
    pub fn worst_cup(&self) -> Option<&CircuitCup> {
        self.cups.iter().min_by(|a, b| a.level_kpa.total_cmp(&b.level_kpa))
    }
}

/// Whether the levels of a circuit were worked out.
#[derive(Debug, Clone, PartialEq)]
pub enum CircuitStatus {
    /// It has no source, hoses and valves: its stated level counts.
    Stated,
    /// The levels at its cups are worked out.
    Solved,
    /// No steady state was found; there is no figure.
    NotConverged,
    /// Nothing decides the level, as a sentence; there is no figure.
    Undetermined(String),
    /// Inputs that no circuit can have, each as a sentence; there is no figure.
    Invalid(Vec<String>),
}

impl CircuitStatus {
    /// Why there is no level at its cups, as a sentence without its final stop; `None` where there is one.
    pub fn no_figure(&self) -> Option<String> {
        match self {
            Self::Stated | Self::Solved => None,
            Self::NotConverged => {
                Some("no steady state was found; check the values of the circuit".to_owned())
            }
            Self::Undetermined(says) => Some(says.clone()),
            Self::Invalid(says) => {
                Some(says.first().cloned().unwrap_or_else(|| "its inputs cannot be used".to_owned()))
            }
        }
    }

    /// One word for it, as `--json` prints it.
    pub fn word(&self) -> &'static str {
        match self {
            Self::Stated => "stated",
            Self::Solved => "solved",
            Self::NotConverged => "not converged",
            Self::Undetermined(_) => "undetermined",
            Self::Invalid(_) => "invalid",
        }
    }
}

/// One cup of a circuit.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CircuitCup {
    /// The cup.
    pub id: CupId,
    /// Level in it that the circuit comes to, kPa.
    pub level_kpa: f64,
    /// Level in it when the switch says that the part is held, kPa: what factors are worked out at.
    pub design_kpa: f64,
    /// Air that enters at it through the part, under its lip and through cells that lie off the part, L/min ANR.
    pub leak_nl_min: f64,
    /// Its level against [`CircuitReport::wanted_kpa`], as the finding `circuit.level` judges it: `Fail` below, `Watch` where the source
    /// has little flow to spare at that level, else `Ok`.
    pub against_wanted: Severity,
    /// Cells of an area gripper in it.
    pub cells: Option<CellsReport>,
}

/// Cells of an area gripper in one cup.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct CellsReport {
    /// Those that lie off the part, past an edge or over a hole, and draw air from outside.
    pub open: u32,
    /// All of them.
    pub all: u32,
    /// Of `open`, those that have closed because they drew too much.
    pub closed: u32,
}

/// Where a source draws.
#[derive(Debug, Clone, PartialEq)]
pub struct CircuitSource {
    /// Name of its model, with the cup where it sits on one.
    pub name: String,
    /// The cup it sits at.
    pub cup: Option<CupId>,
    /// Level at its port, kPa.
    pub level_kpa: f64,
    /// What it draws, L/min ANR.
    pub flow_nl_min: f64,
    /// The deepest level it reaches here, kPa.
    pub deepest_kpa: f64,
    /// What hose and silencer behind it take; `None` where it blows out freely.
    pub exhaust: Option<vacuum::ExhaustTakes>,
    /// Where it sits, mm.
    pub at: Option<DVec3>,
    /// Level kPa and flow L/min ANR, at this site and feed.
    pub curve: Vec<(f64, f64)>,
    /// What the circuit leaks when its port is kept at each level, kPa and L/min ANR; it crosses `curve` at the working
    /// point. Empty where other sources draw from the same cups.
    pub leak_curve: Vec<(f64, f64)>,
}

/// Levels along a manifold.
#[derive(Debug, Clone, PartialEq)]
pub struct CircuitManifold {
    /// "manifold", with its zone where it is one zone's own.
    pub name: String,
    /// Its ports from end to end: place in mm and level in kPa.
    pub ports: Vec<(DVec3, f64)>,
}

/// Slow figures of one circuit.
#[derive(Debug, Clone, PartialEq)]
pub struct CircuitSlow {
    /// Each cup open in turn, all others on the part.
    pub open: Vec<OpenCupReport>,
    /// How many cups may be open, in each meaning of it, in the order of [`OpenMeaning::ALL`].
    pub open_until: [OpenUntil; 3],
    /// Level at each cup from the signal to start, the valve's response included, in the order of the cups.
    pub evacuation: Vec<EvacuationCurve>,
    /// From the signal to stop the source until the level at every cup is below a twentieth of what it was, s: air comes in through the
    /// zones' valves, and back through the source; `None` where it takes longer than a minute, as behind check valves, or could not be
    /// followed.
    pub release_s: Option<f64>,
    /// Followed for a minute without air blown in, some cup still holds.
    pub still_held: bool,
    /// With compressed air blown in at the valves or the source, through the blow-off valve; `None` without one, and where check
    /// valves keep its air from the cups.
    pub release_blow_off_s: Option<f64>,
    /// Compressed air that one blow-off takes, litres ANR.
    pub blow_off_nl_per_pick: Option<f64>,
    /// One pick from switching on until the part is released, by blow-off where there is one, s.
    pub pick_s: Option<f64>,
    /// How long the source draws in one pick, s; less than the time under vacuum where air is saved.
    pub running_s: Option<f64>,
    /// How long motors run in one pick, s; `None` without a motor.
    pub motors_run_s: Option<f64>,
    /// After the feed fails, without a check valve at the source, from the design level until the factor of some motion reaches 1, s; infinite where
    /// that takes more than ten minutes, `None` where some factor is below 1 already.
    pub hold_s: Option<f64>,
    /// The same with a check valve at the source.
    pub hold_with_check_s: Option<f64>,
    /// Share of its level that each cup has when the factor of some motion reaches 1: what is held to; `None` without a motion, or
    /// where some factor is below 1 already.
    pub hold_level_share: Option<f64>,
    /// Level at the worst cup after the feed fails, s and kPa, with a check valve at the source.
    pub leak_down: Vec<(f64, f64)>,
    /// Compressed air of one pick, litres ANR.
    pub air_nl_per_pick: Option<f64>,
    /// Energy of one pick, at the compressor or the motor, Wh.
    pub energy_wh_per_pick: Option<f64>,
    /// kWh.
    pub energy_kwh_per_year: Option<f64>,
    /// In the project's currency.
    pub cost_per_year: Option<f64>,
    /// Central against one source per cup.
    pub against: Option<ArrangementCost>,
    /// What one change would give, most first; each is solved anew.
    pub helps: Vec<HelpReport>,
    /// What the controls can be set to; `None` where some required factor is not met.
    pub controls: Option<ControlsReport>,
    /// What dust makes of the level; `None` without dust or filter.
    pub dust: Option<DustReport>,
    /// What all this follows from.
    pub network: super::CircuitNetwork,
}

/// What comes about when more and more cups are open.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum OpenMeaning {
    /// Some motion has less than its required factor.
    RequiredMissed,
    /// The part comes off in some motion.
    PartDrops,
    /// Another cup of the circuit has less than the level asked for.
    LevelLost,
}

impl OpenMeaning {
    /// In the order in which they are printed.
    pub const ALL: [Self; 3] = [Self::RequiredMissed, Self::PartDrops, Self::LevelLost];

    /// What is counted, after "open cups": the words of window, sheet and JSON.
    pub fn says(self) -> &'static str {
        match self {
            Self::RequiredMissed => "until a required factor is missed",
            Self::PartDrops => "until the part drops",
            Self::LevelLost => "until the level is lost",
        }
    }

    /// What that means, as a sentence.
    pub fn why(self) -> &'static str {
        match self {
            Self::RequiredMissed => {
                "A motion falls below its required factor; an open cup carries nothing and draws air."
            }
            Self::PartDrops => {
                "An open cup carries nothing and draws air; lips below a factor of 1 fail one after another until the \
                 rest holds or the part drops."
            }
            Self::LevelLost => {
                "Another cup of the circuit falls below the required level, whatever the load."
            }
        }
    }
}

/// How many cups are open when something comes about.
#[derive(Debug, Clone, PartialEq)]
pub struct OpenUntil {
    /// What comes about.
    pub what: OpenMeaning,
    /// With which cups open.
    pub at: OpenAt,
}

/// With which cups open something comes about, the one that hurts most first.
#[derive(Debug, Clone, PartialEq)]
pub enum OpenAt {
    /// With these; none of them when it is so with every cup on the part.
    With(Vec<CupId>),
    /// Not as long as there is a cup left to tell of.
    Never,
    /// There is no motion to tell by.
    NoFigure,
}

impl OpenUntil {
    /// "0, with none open", "2 (C3, C1)", "never", "no motion".
    pub fn shown<'t>(&self, tag: impl Fn(CupId) -> &'t str) -> String {
        match &self.at {
            OpenAt::With(cups) if cups.is_empty() => "0, with none open".to_owned(),
            OpenAt::With(cups) => {
                const TOLD: usize = 5;
                let mut tags: Vec<&str> = cups.iter().take(TOLD).map(|cup| tag(*cup)).collect();
                if cups.len() > TOLD {
                    tags.push("\u{2026}");
                }
                format!("{} ({})", cups.len(), tags.join(", "))
            }
            OpenAt::Never => "never".to_owned(),
            OpenAt::NoFigure => "no motion".to_owned(),
        }
    }
}

/// What follows when one cup is off the part.
#[derive(Debug, Clone, PartialEq)]
pub struct OpenCupReport {
    /// The cup.
    pub cup: CupId,
    /// Lowest level at the others of the circuit, kPa.
    pub least_level_kpa: f64,
    /// Where that is.
    pub least_at: CupId,
    /// Cups that let go because of it in the motion that is worst, in their order.
    pub then_lost: Vec<CupId>,
    /// Whether the part stays on the tool in every motion.
    pub holds: bool,
}

/// How the level at a cup comes.
#[derive(Debug, Clone, PartialEq)]
pub struct EvacuationCurve {
    /// The cup.
    pub cup: CupId,
    /// s and kPa.
    pub points: Vec<(f64, f64)>,
    /// Time from the signal until 60 % of its working level, s.
    pub to_60_s: Option<f64>,
    /// Until 75 %, s.
    pub to_75_s: Option<f64>,
    /// Until 90 %, s.
    pub to_90_s: Option<f64>,
}

/// One way to arrange sources, and what it takes.
#[derive(Debug, Clone, PartialEq)]
pub struct ArrangementFigures {
    /// "central", "one source per cup".
    pub name: String,
    /// How many sources.
    pub sources: usize,
    /// Level at the worst cup, kPa.
    pub worst_level_kpa: f64,
    /// Time until 90 % of the working level at the slowest cup, s.
    pub to_90_s: Option<f64>,
    /// Compressed air of a pick with the source on all the time, litres ANR.
    pub air_nl_per_pick: f64,
    /// With the air stopped while the level is there.
    pub air_nl_per_pick_saving: f64,
    /// Energy a year, source on all the time, kWh.
    pub energy_kwh_per_year: f64,
    /// With air saving, kWh.
    pub energy_kwh_per_year_saving: f64,
    /// Cost a year, source on all the time.
    pub cost_per_year: f64,
    /// With air saving.
    pub cost_per_year_saving: f64,
}

/// Central and one source per cup side by side, with the same source model.
#[derive(Debug, Clone, PartialEq)]
pub struct ArrangementCost {
    /// One source for all cups.
    pub central: ArrangementFigures,
    /// One on each cup.
    pub per_cup: ArrangementFigures,
}

/// What one change would give.
#[derive(Debug, Clone, PartialEq)]
pub struct HelpReport {
    /// The change: what it says, and the edit that makes it.
    pub change: super::HelpChange,
    /// Level at the worst cup now, kPa.
    pub worst_level_kpa_from: f64,
    /// With the change, kPa.
    pub worst_level_kpa_to: f64,
    /// Level at the worst other cup with the worst cup open, now, kPa; `None` with one cup only.
    pub open_level_kpa_from: Option<f64>,
    /// With the change, kPa.
    pub open_level_kpa_to: Option<f64>,
}

/// What the controls can be set to, worked out.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ControlsReport {
    /// Level at the source's switch from which the part may count as held, kPa: the larger of `alarm_kpa` and 85 % of the steady
    /// level.
    pub held_kpa: f64,
    /// Least level there at which every factor is as required, kPa.
    pub alarm_kpa: f64,
    /// Level at which the air-saving switch stops the source, kPa.
    pub saving_off_kpa: f64,
    /// From the signal until the control knows that the part is held, s: response of the valve, evacuation to the held level at the
    /// slowest cup, delay of the switch; `None` where that takes longer than half a minute.
    pub held_s: Option<f64>,
    /// Twice that time, at least half a second, s.
    pub time_out_s: Option<f64>,
    /// How long the level lasts after the feed fails, with check valve, s.
    pub hold_s: Option<f64>,
}

impl ControlsReport {
    /// As thresholds to state: held and alarm level rounded up and the others down as far as a switch can be set; a time in which a
    /// part can be set down is asked for after the feed fails, unless the level does not last that long.
    ///
    /// ```
    /// let found = analysis::ControlsReport {
    ///     held_kpa: 51.234, // kPa
    ///     alarm_kpa: 41.234, // kPa
    ///     saving_off_kpa: 58.08, // kPa
    ///     held_s: Some(0.256), // s
    ///     time_out_s: Some(0.512), // s
    ///     hold_s: Some(f64::INFINITY), // s
    /// };
    /// let stated = found.thresholds();
    /// assert_eq!((stated.held_kpa, stated.alarm_kpa, stated.saving_off_kpa), (51.3, Some(41.3), 58.0));
    /// assert_eq!((stated.time_out_s, stated.hold_s), (0.6, 10.0));
    /// ```
    pub fn thresholds(&self) -> Thresholds {
        let up = |of: f64| (of * 10.0).ceil() / 10.0;
        let down = |of: f64| (of * 10.0).floor() / 10.0;
        let usual = Thresholds::preset(self.held_kpa);
        Thresholds {
            held_kpa: up(self.held_kpa),
            alarm_kpa: Some(up(self.alarm_kpa)),
            saving_off_kpa: down(self.saving_off_kpa),
            time_out_s: self.time_out_s.map_or(usual.time_out_s, up),
            hold_s: self.hold_s.map_or(usual.hold_s, |lasts| down(lasts).min(usual.hold_s)),
        }
    }
}

/// All hoses of a layout's circuits, for the sheet and for a table.
pub fn hose_schedule(report: &super::Report) -> Vec<HoseRow> {
    report.circuits.iter().flat_map(|circuit| circuit.hoses.iter().cloned()).collect()
}

/// Flow at a level on a curve of levels (kPa, rising) and flows (L/min ANR), between its points by straight lines; `None`
/// beyond its ends.
///
/// ```
/// let curve = [(0.0, 80.0), (40.0, 50.0), (85.0, 0.0)]; // kPa, L/min ANR
/// assert_eq!(analysis::level_curve_at(&curve, 20.0), Some(65.0));
/// assert_eq!(analysis::level_curve_at(&curve, 90.0), None);
/// ```
pub fn level_curve_at(curve: &[(f64, f64)], level_kpa: f64) -> Option<f64> {
    let after = curve.iter().position(|(level, _)| *level >= level_kpa)?;
    let (level, flow) = curve[after];
    if after == 0 {
        return (level == level_kpa).then_some(flow);
    }
    let (before, flow_before) = curve[after - 1];
    Some(flow_before + (flow - flow_before) * (level_kpa - before) / (level - before))
}

/// A zone of a circuit: what switches it, and what it switches.
#[derive(Debug, Clone, PartialEq)]
pub struct ZoneRow {
    /// Name of the zone.
    pub zone: String,
    /// Its cups.
    pub cups: Vec<CupId>,
    /// Name of its valve, as [`CircuitElement::name`] has it, or "feed valve zone A" of one that switches the feed of the
    /// zone's own sources; `None` for a zone that is always on.
    pub valve: Option<String>,
    /// Whether a check valve keeps its level when the source loses its own.
    pub check_valve: bool,
}

/// A hose as the build team cuts it.
#[derive(Debug, Clone, PartialEq)]
pub struct HoseRow {
    /// Name of the circuit.
    pub circuit: String,
    /// "branch C4".
    pub name: String,
    /// The cup that it leads to, of a branch.
    pub cup: Option<CupId>,
    /// Where it starts: a cup's tag, "manifold port 3".
    pub from: String,
    /// Where it ends.
    pub to: String,
    /// Clear bore, mm.
    pub bore_mm: f64,
    /// Length to cut, coil included, mm.
    pub cut_length_mm: f64,
    /// "2 × elbow 90°, tee, branch"; empty without.
    pub fittings: Worded,
}
