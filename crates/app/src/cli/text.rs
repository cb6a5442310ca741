//! A report as text on the command line.

use super::printer::Printer;
use analysis::Report;

/// Verdict, motions and findings of one layout.
pub(super) fn print_report(
    out: &mut Printer<'_>,
    file: &str,
    project: &document::Project,
    report: &Report,
    several: bool,
) -> std::io::Result<()> {
    let layout = if several { format!(", {}", report.layout_name) } else { String::new() };
    out.line(&format!("{file}{layout}: {}", report.verdict.sentence))?;
    if !report.verdict.detail.is_empty() {
        out.line(&format!("  {}", report.verdict.detail))?;
    }
    if let Some(approval) = telling::approval(project, report).filter(|a| a.mark().is_some()) {
        out.line(&format!("  {}: {}.", approval.headline(), approval.why()))?;
    }
    if let Some(says) = report.counted_says() {
        out.line(&format!("  {says}"))?;
    }
    let usual = units::UnitChoice::default();
    for line in report.family.iter().flat_map(|family| telling::family_text(family, &usual)) {
        out.line(&format!("  {line}"))?;
    }
    let mix = |family| telling::mix_in_words(family, &project.cycle.currency, &usual);
    if let Some(says) = report.family.as_deref().and_then(mix) {
        out.line(&format!("  {says}"))?;
    }
    for motion in &report.motions {
        match &motion.outcome {
            Ok(outcome) => {
                let cup = report
                    .cups
                    .iter()
                    .find(|c| c.id == outcome.governing_cup)
                    .map_or("?", |c| c.tag.as_str());
                let limit =
                    if outcome.governing_limit == analysis::LipLimit::Seal { "seal" } else { "slide" };
                let required = motion.required_factor;
                let factor = if outcome.factor.is_finite() {
                    let says = plain(outcome.factor);
                    let short = outcome.factor < required && says == plain(required);
                    format!("{}{says}", if short { "< " } else { "" })
                } else {
                    "no limit".to_owned()
                };
                let counted = outcome
                    .counted_says(&units::UnitChoice::default())
                    .map_or(String::new(), |how| format!(", with {how}"));
                let governs = report.governing().is_some_and(|(governing, _)| governing.id == motion.id);
                let bends = bends(report, motion);
                out.line(&format!(
                    "  {}: factor {factor} of {}, {cup} {limit}{counted}{}{bends}{}",
                    motion.name,
                    plain(required),
                    reserve(report, outcome),
                    if governs { ", governs" } else { "" },
                ))?;
            }
            Err(reason) => out.line(&format!("  {}: no result, {reason}", motion.name))?,
        }
    }
    for says in of_bending(project, report) {
        out.line(&format!("  {says}"))?;
    }
    for finding in &report.findings {
        let word = analysis::words::severity(finding.severity);
        let remedy = match &finding.accepted {
            Some(reason) => format!("accepted: {reason}"),
            None => finding.remedy.clone(),
        };
        out.line(&format!("  {word}: {} {remedy} [{}]", finding.says, finding.rule))?;
    }
    Ok(())
}

/// Every figure that is taken where nobody gave one: value, range, reason.
pub(super) fn print_defaults(out: &mut Printer<'_>) -> std::io::Result<()> {
    let units = units::UnitChoice::default();
    out.line(
        "Defaults used where no value is entered: value (range) reason. Where a reason names no source: \
        common practice, no source.",
    )?;
    for one in document::customary() {
        let values: Vec<String> = one.values.iter().map(|value| one.field.shown(*value, &units)).collect();
        let values = match values.as_slice() {
            [first, .., last] if values.len() > 4 => format!("{first} to {last}"),
            _ => values.join(", "),
        };
        out.line(&format!(
            "  {}: {values} ({}); {}",
            one.field.key,
            one.field.range(&units),
            one.field.usual
        ))?;
    }
    for (what, value, why) in analysis::customary() {
        out.line(&format!("  {what}: {value}; {why}"))?;
    }
    Ok(())
}

/// To two decimals.
fn plain(figure: f64) -> String {
    units::fixed(figure, 2, &units::UnitChoice::default())
}

/// How the part bends and rings, in a line each.
fn of_bending(project: &document::Project, report: &Report) -> Vec<String> {
    let units = units::UnitChoice::default();
    let part = project.layout(report.layout).and_then(|layout| project.part(layout.part));
    let datum = part.map_or(glam::DVec2::ZERO, |part| part.datum_at());
    let mut says = Vec::new();
    match &report.bending {
        None => return says,
        Some(Err(reason)) => says.push(format!("bending is not checked: {reason}")),
        Some(Ok(bending)) => {
            says.push(format!("as it bends: {}", analysis::words::bending(bending, datum, &units)));
        }
    }
    let Some(Ok(ring)) = &report.ringing else { return says };
    let hz: Vec<String> = ring.modes.iter().take(3).map(|mode| units::figure(mode.hz, 1)).collect();
    says.push(format!("rings at {} Hz, damping ratio {}", hz.join(", "), plain(ring.damping)));
    for own in &ring.motions {
        let analysis::Rings::Stroke(stroke) = &own.rings else { continue };
        let name = report.motions.iter().find(|motion| motion.id == own.id).map_or("", |motion| &motion.name);
        let wait = stroke.stated.wait_s.map_or_else(
            || "never at rest".to_owned(),
            |wait| format!("at rest {} s after it", units::figure(wait, 2)),
        );
        says.push(format!(
            "{name}: {} mm left at the end of the stroke, {wait}",
            units::figure(stroke.stated.left_mm, 2)
        ));
    }
    says
}

/// What the part as it bends makes of the factor, beside that of a rigid part.
fn bends(report: &Report, motion: &analysis::MotionReport) -> String {
    let Some(Ok(bending)) = &report.bending else { return String::new() };
    if bending.as_good_as_rigid() {
        return ", effectively rigid".to_owned();
    }
    let Some(bent) = bending.of_motion(motion.id) else { return String::new() };
    let tag = report.cups.iter().find(|cup| cup.id == bent.governing_cup).map_or("?", |cup| cup.tag.as_str());
    let factor = if bent.factor.value.is_finite() {
        let says = plain(bent.factor.value);
        let short = bent.factor.value < motion.required_factor && says == plain(motion.required_factor);
        format!("{}{says}", if short { "< " } else { "" })
    } else {
        "without limit".to_owned()
    };
    format!(", as it bends {factor} at {tag}")
}

/// Range, limit factor and the worst loss of a motion, as the end of its line.
fn reserve(report: &Report, outcome: &analysis::MotionOutcome) -> String {
    let Some(slow) = &outcome.slow else { return String::new() };
    let mut text = String::new();
    if let Some(range) = &slow.range
        && range.most.is_finite()
    {
        text += &format!(" (with assumed inputs {} to {})", plain(range.least), plain(range.most));
    }
    match &slow.limit {
        analysis::LimitFigure::Factor(f) => text += &format!(", limit factor {}", plain(*f)),
        analysis::LimitFigure::Unlimited => text += ", no limit load",
        analysis::LimitFigure::Pending => {}
        analysis::LimitFigure::Missing(reason) => text += &format!(", no limit factor: {reason}"),
    }
    match slow.limit.at_least(slow.limit_at_least) {
        Some(proved) if proved > 0.0 => text += &format!(" (in every direction at least {})", plain(proved)),
        Some(_) => text += " (not proved in every direction)",
        None => {}
    }
    let worst = slow.lost.iter().min_by(|a, b| {
        let rank = |l: &analysis::LostReport| l.factor.unwrap_or(-1.0);
        a.holds.cmp(&b.holds).then(rank(a).total_cmp(&rank(b)))
    });
    if let Some(lost) = worst {
        let name = match &lost.lost {
            analysis::Lost::Cup(id) => {
                report.cups.iter().find(|c| c.id == *id).map_or("?".to_owned(), |c| c.tag.clone())
            }
            analysis::Lost::Zone(zone) => format!("zone {zone}"),
        };
        text += &match (lost.holds, lost.factor) {
            (false, _) => format!(", drops without {name}"),
            (true, Some(f)) => format!(", without {name} {}", plain(f)),
            (true, None) => String::new(),
        };
    }
    text
}
