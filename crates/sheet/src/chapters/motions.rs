//! Every motion with what it asks and what is held: factor, range and limit factor side by side.

use super::{append, body, by_reason, note, note_after};
use crate::block::{Section, SectionId, Setting, long_paragraph, paragraph};
use crate::context::{Context, met};
use crate::page::{Tone, Weight};
use crate::style::Style;
use crate::tables::{Cell, figures, flexible, table, words};
use analysis::{Age, LimitFigure, LipLimit, MotionOutcome, MotionReport, Slow};
use document::{Motion, MotionKind, StartStop, Worst};
use units::Quantity;

/// What the difference between the two factors means.
const FACTOR_AND_LIMIT: &str = "The factor is reached when the first lip fails with the load as it is really \
    shared; the limit factor is the most any sharing could carry. The difference is reserve, not to be \
    counted on: the factor is what is compared with the required one.";

/// What fails, in a word.
pub(crate) fn limit_words(limit: LipLimit) -> &'static str {
    match limit {
        LipLimit::Seal => "seal",
        LipLimit::Slide => "slide",
    }
}

pub(super) fn section(context: &Context, width: f64, style: &Style) -> Section {
    let columns = [
        flexible("motion"),
        figures("acceleration"),
        figures("tilt"),
        figures("required"),
        figures("factor"),
        figures("range"),
        figures("limit factor"),
        words("governs"),
    ];
    let report = context.report;
    let rows: Vec<Vec<Cell>> = report.motions.iter().map(|motion| row(context, motion)).collect();
    let (head, mut rows) = table(&columns, &rows, width, style);
    if rows.is_empty() {
        return super::nothing(SectionId::Other("loads"));
    }
    append(&mut rows, note_after(FACTOR_AND_LIMIT, width, style));
    let more = remarks(context);
    rows.extend(more.iter().map(|says| paragraph(says, note(style), 0.0, width)));
    Section { id: SectionId::Other("loads"), heading: String::new(), head, rows }
}

/// The answer in one sentence.
pub(super) fn verdict(context: &Context, width: f64, style: &Style) -> Section {
    let verdict = &context.report.verdict;
    if verdict.sentence.trim().is_empty() || context.report.motions.is_empty() {
        return super::nothing(SectionId::Other("verdict"));
    }
    let tone = match verdict.severity {
        analysis::Severity::Fail => Tone::Fail,
        analysis::Severity::Watch => Tone::Watch,
        _ => Tone::Ink,
    };
    let bold = Setting { weight: Weight::SemiBold, tone, ..body(style) };
    let rows = long_paragraph(&verdict.sentence, bold, width);
    Section { id: SectionId::Other("verdict"), heading: "Factors".to_owned(), head: Vec::new(), rows }
}

fn row(context: &Context, motion: &MotionReport) -> Vec<Cell> {
    let asked = context.motion(motion.id);
    let mut row = vec![
        Cell::plain(&motion.name),
        Cell::plain(asked.map_or(String::new(), |m| acceleration(context, m))),
        Cell::plain(asked.map_or(String::new(), |m| tilt(context, m))),
        Cell::plain(context.ratio(motion.required_factor)),
    ];
    match &motion.outcome {
        Ok(outcome) => {
            let counts = context.report.factor_of(motion).unwrap_or(outcome.factor);
            let mut factor = Cell::bold(context.factor(counts, motion.required_factor));
            if counts < motion.required_factor || !met(motion) {
                factor.tone = Tone::Fail;
            }
            row.push(factor);
            row.extend(slow(context, outcome, motion.required_factor));
            let limit = limit_words(outcome.governing_limit);
            row.push(Cell::plain(format!("{} {limit}", context.tag(outcome.governing_cup))));
        }
        Err(_) => row.extend([
            Cell { tone: Tone::Fail, ..Cell::bold("none") },
            Cell::plain("–"),
            Cell::plain("–"),
            Cell::second("not checked"),
        ]),
    }
    row
}

/// Range and limit factor.
fn slow(context: &Context, outcome: &MotionOutcome, required: f64) -> [Cell; 2] {
    let Some(slow) = &outcome.slow else {
        return [Cell::second("–"), Cell::second("–")];
    };
    let range = slow.range.as_ref().map_or_else(
        || Cell::plain("as factor"),
        |range| {
            let says = format!("{} to {}", context.factor(range.least, required), context.ratio(range.most));
            let tone = if range.least < required { Tone::Watch } else { Tone::Ink };
            Cell { tone, ..Cell::plain(says) }
        },
    );
    let limit = match &slow.limit {
        LimitFigure::Factor(factor) => Cell::plain(match slow.limit.at_least(slow.limit_at_least) {
            Some(proved) => format!("{} to {}", context.ratio(proved), context.ratio(*factor)),
            None => context.ratio(*factor),
        }),
        LimitFigure::Unlimited => Cell::plain("no limit"),
        LimitFigure::Missing(_) | LimitFigure::Pending => Cell::second("none"),
    };
    [range, limit]
}

/// What stands under the table: reasons, moves behind an acceleration, what the ranges are about.
fn remarks(context: &Context) -> Vec<String> {
    let report = context.report;
    let mut reasons: Vec<(String, String)> = Vec::new();
    let mut limits: Vec<(String, String)> = Vec::new();
    let mut inputs: Vec<&str> = Vec::new();
    for motion in &report.motions {
        match &motion.outcome {
            Err(reason) => reasons.push((motion.name.clone(), reason.clone())),
            Ok(outcome) => {
                let Some(slow) = &outcome.slow else { continue };
                if let LimitFigure::Missing(why) = &slow.limit {
                    limits.push((motion.name.clone(), why.clone()));
                }
                for input in slow.range.iter().flat_map(|range| &range.inputs) {
                    if !inputs.contains(&input.as_str()) {
                        inputs.push(input);
                    }
                }
            }
        }
    }
    let mut says: Vec<String> = report.counted_says().into_iter().collect();
    says.extend(report.motions.iter().filter_map(|motion| {
        let how = motion.outcome.as_ref().ok()?.counted_says(context.units)?;
        Some(format!("{}: factor with {how}.", motion.name))
    }));
    says.extend(report.motions.iter().filter_map(|motion| {
        let governs = motion.outcome.as_ref().ok()?.governs.as_deref()?;
        Some(format!("{}: worst {governs}.", motion.name))
    }));
    says.extend(
        by_reason(&reasons).into_iter().map(|(motions, why)| format!("{}: {why}", motions.join("; "))),
    );
    says.extend(
        by_reason(&limits)
            .into_iter()
            .map(|(motions, why)| format!("No limit factor for {}: {why}", motions.join("; "))),
    );
    let limited = report.motions.iter().filter_map(|motion| motion.outcome.as_ref().ok()?.slow.as_ref());
    if limited.into_iter().any(|slow| matches!(slow.limit, LimitFigure::Factor(_))) {
        says.extend(report.limit_leaves_out().map(str::to_owned));
    }
    let open = report.motions.iter().filter_map(|motion| Some((motion, motion.outcome.as_ref().ok()?)));
    let open = open.filter(|(_, outcome)| {
        outcome.slow.as_ref().is_some_and(|slow| slow.limit.at_least(slow.limit_at_least).is_some())
    });
    let open: Vec<&str> = open.map(|(motion, _)| motion.name.as_str()).collect();
    if !open.is_empty() {
        says.push(format!(
            "Limit factor of {}: no direction is below the smaller value, some may be below the larger.",
            open.join("; ")
        ));
    }
    if !inputs.is_empty() {
        says.push(format!("The range comes from these assumed inputs: {}.", inputs.join("; ")));
    }
    if let Some(figures) = report.ages.told(Age::Older, &Slow::OF_MOTIONS) {
        says.push(format!("From an earlier plan; not recalculated yet when this sheet was made: {figures}."));
    }
    if let Some(figures) = report.ages.told(Age::Absent, &Slow::OF_MOTIONS) {
        says.push(format!("Not calculated for this sheet: {figures}."));
    }
    says.extend(
        report
            .motions
            .iter()
            .filter_map(|motion| context.motion(motion.id))
            .filter_map(|m| of_move(context, m)),
    );
    says
}

/// How an acceleration came about, when it is not the one that stands there.
fn of_move(context: &Context, motion: &Motion) -> Option<String> {
    let mut says = Vec::new();
    if let Some(stroke) = motion.stroke {
        says.push(format!(
            "peak of {} in {}, {}",
            context.given(stroke.mm, Quantity::Length),
            context.given(stroke.time_s, Quantity::Time),
            stroke.profile.label()
        ));
    }
    if motion.inertia_times != 1.0 {
        says.push(format!("inertia counted {} times", context.ratio(motion.inertia_times)));
    }
    if motion.start_stop == StartStop::AsStated {
        says.push("start and stop as stated only".to_owned());
    }
    (!says.is_empty()).then(|| format!("{}: {}.", motion.name, says.join("; ")))
}

pub(super) fn acceleration(context: &Context, motion: &Motion) -> String {
    let mut says = Vec::new();
    let linear = analysis::acceleration_of(motion).length();
    let (rate, turning) = (motion.turn_rate_deg_s.length(), motion.turn_acceleration_deg_s2.length());
    if linear > 0.0 || (rate == 0.0 && turning == 0.0) {
        says.push(context.figure(linear, Quantity::Acceleration));
    }
    if rate > 0.0 {
        says.push(context.figure(rate, Quantity::TurnRate));
    }
    if turning > 0.0 {
        says.push(context.figure(turning, Quantity::TurnAcceleration));
    }
    let mut says = says.join(" + ");
    if motion.worst == Worst::Direction && motion.kind != MotionKind::Swing {
        says.push_str(", any direction");
    }
    says
}

pub(super) fn tilt(context: &Context, motion: &Motion) -> String {
    let from = context.number(motion.tilt_deg, Quantity::Angle);
    match motion.worst {
        Worst::TiltTo { deg } => format!("{from}–{}°", context.number(deg, Quantity::Angle)),
        _ if motion.tilt_deg == 0.0 => "level".to_owned(),
        _ => format!("{from}°"),
    }
}

/// How the cups stand about the centre of gravity.
pub(super) fn balance(context: &Context, width: f64, style: &Style) -> Section {
    let Some(balance) = &context.report.balance else { return super::nothing(SectionId::Other("balance")) };
    let unit = context.length_unit();
    let inside = if balance.inside_hull { "inside" } else { "outside" };
    let mut says = format!(
        "Centre of the cups at {} {unit}; the centre of gravity lies {} {unit} from it and {inside} the cups' hull",
        context.point(balance.cup_centre),
        context.way(balance.centroid_offset),
    );
    if let Some(most) = balance.most_over_mean {
        says.push_str(&format!("; the most loaded cup carries {} × the mean", context.ratio(most)));
        if let Some(motion) = balance.most_over_mean_motion.and_then(|id| context.motion(id)) {
            says.push_str(&format!(" in {}", motion.name));
        }
    }
    says.push('.');
    let rows = vec![paragraph(&says, body(style), 0.0, width)];
    Section { id: SectionId::Other("balance"), heading: "Balance".to_owned(), head: Vec::new(), rows }
}
