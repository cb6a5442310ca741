//! The sentences: which is better for these motions, and the figures that decide.

use super::notes;
use analysis::{Judge, LongPair, Side, Support};
use analysis::{Lost, words, words::Words};
use document::Project;

/// One after the other: how much each holds, which is better, what the loss of a cup does, why a long cup or two round ones.
pub(super) fn sentences(
    project: &Project,
    sides: &[Side],
    support: &Support,
    pair: Option<&LongPair>,
    words: &Words<'_>,
) -> Vec<String> {
    let only = |says: &str| vec![says.to_owned()];
    let [first, second, ..] = sides else {
        return match sides {
            [] => only("No layout to compare."),
            _ => only("Only one layout: there is nothing to compare it with."),
        };
    };
    if project.motions.is_empty() {
        return only("There are no motions yet: add one to see which layout carries more.");
    }
    let mut all = vec![format!("{}.", words::capital(&holding(sides, words)))];
    if support.alike {
        let split = if sides.len() == 2 { split(project, first, second, support) } else { String::new() };
        all.push(format!("{}{split}.", ranked(sides, support)));
    } else {
        all.insert(0, over_parts(sides));
    }
    all.extend(losses(sides));
    all.extend(pair.map(|pair| notes::why(sides, pair, words)));
    all
}

/// "The layouts are over different parts and are not ranked: Two round on Narrow rail, sealed; Two round, leaking on Narrow
/// rail, raw."
fn over_parts(sides: &[Side]) -> String {
    let mut parts: Vec<(&str, Vec<String>)> = Vec::new();
    for side in sides {
        let part = side.report.part.as_ref().map_or("no part", |part| part.name.as_str());
        match parts.iter_mut().find(|(name, _)| *name == part) {
            Some((_, names)) => names.push(side.name().to_owned()),
            None => parts.push((part, vec![side.name().to_owned()])),
        }
    }
    let each: Vec<String> =
        parts.into_iter().map(|(part, names)| format!("{} on {part}", words::all(&names))).collect();
    format!("The layouts are over different parts and are not ranked: {}.", each.join("; "))
}

/// Which is the better one, where the inputs support that, and which meet the required factors.
fn ranked(sides: &[Side], support: &Support) -> String {
    let ratios: Vec<Option<f64>> =
        sides.iter().map(|side| side.least_ratio().map(|(ratio, _)| ratio)).collect();
    let names = |of: &dyn Fn(usize) -> bool| -> Vec<String> {
        (0..sides.len()).filter(|index| of(*index)).map(|index| sides[index].name().to_owned()).collect()
    };
    let none = if sides.len() == 2 { "Neither" } else { "None" };
    if ratios.iter().all(Option::is_none) {
        return format!("{none} has a result for every motion");
    }
    let holding = names(&|index| support.holds[index]);
    let short = names(&|index| ratios[index].is_some() && !support.holds[index]);
    let does = |names: &[String], one: &str, many: &str| {
        if names.len() == 1 { one.to_owned() } else { many.to_owned() }
    };
    if holding.is_empty() {
        return format!("{none} meets the required factors, so none is called better");
    }
    let fall = match short.as_slice() {
        [] => String::new(),
        short => format!("{} {} not", words::list(short), does(short, "does", "do")),
    };
    let unknown = names(&|index| ratios[index].is_none());
    if !unknown.is_empty() {
        let fall = if fall.is_empty() { String::new() } else { format!(", {fall}") };
        return format!(
            "{} {} the required factors{fall}",
            words::list(&holding),
            does(&holding, "meets", "meet")
        );
    }
    let first = support.first(Judge::Least, &ratios);
    if let [only] = first[..] {
        let fall =
            if fall.is_empty() { String::new() } else { format!("; {fall} meet the required factors") };
        return format!("{} is better for these motions{fall}", sides[only].name());
    }
    let known = || ratios.iter().flatten();
    let (least, most) =
        (known().fold(f64::INFINITY, |a, b| a.min(*b)), known().fold(0.0, |a: f64, b| a.max(*b)));
    if least >= most * (1.0 - 1e-9) {
        return "They carry the same at their worst motions".to_owned();
    }
    let told = match first.len() == sides.len() {
        true => "There is no difference between them that counts".to_owned(),
        false => format!(
            "{} are ahead, with no difference between them that counts",
            words::all(&names(&|index| first.contains(&index)))
        ),
    };
    let fall = if fall.is_empty() {
        String::new()
    } else {
        format!(
            "; as modelled {} {} the required factors, {fall}",
            words::list(&holding),
            does(&holding, "meets", "meet")
        )
    };
    format!("{told}: assumed inputs or rounding could account for it{fall}")
}

/// "Two round holds 1.42 times the required factor at its worst motion (carry across); One long 3.10 (carry along)": the motion
/// is said again where it is another one.
fn holding(sides: &[Side], words: &Words<'_>) -> String {
    let (mut held, mut other): (Vec<String>, Vec<String>) = (Vec::new(), Vec::new());
    let mut said = None;
    for side in sides {
        let name = side.name();
        match side.least_ratio() {
            None => other.push(format!("{name} has no result for every motion")),
            Some((ratio, _)) if ratio.is_infinite() => {
                other.push(format!("no multiple of any motion breaks a seal or makes a lip slide on {name}"));
            }
            Some((ratio, motion)) => {
                let (ratio, at) = (words.factor(ratio), words::inside(&motion.name));
                held.push(match said {
                    None => {
                        format!("{name} holds {ratio} times the required factor at its worst motion ({at})")
                    }
                    Some(first) if first == motion.id => format!("{name} {ratio}"),
                    Some(_) => format!("{name} {ratio} ({at})"),
                });
                said = said.or(Some(motion.id));
            }
        }
    }
    // Names have commas.
    held.into_iter().chain(other).collect::<Vec<_>>().join("; ")
}

/// Which motions each carries better, where that is not always the same one.
fn split(project: &Project, first: &Side, second: &Side, support: &Support) -> String {
    let mut ahead: [Vec<String>; 2] = [Vec::new(), Vec::new()];
    for motion in &project.motions {
        let factor = |side: &Side| {
            side.report.factor_of(side.report.motions.iter().find(|held| held.id == motion.id)?)
        };
        let factors = [factor(first), factor(second)];
        let holds = |index: &usize| factors[*index].is_some_and(|factor| factor >= motion.required_factor);
        if let Some(better) = support.best(Judge::Factor(motion.id), &factors).filter(holds) {
            ahead[better].push(words::inside(&motion.name));
        }
    }
    let [of_first, of_second] = ahead;
    if of_first.is_empty() || of_second.is_empty() {
        return String::new();
    }
    format!(
        "; {} holds more at {}, {} at {}",
        first.name(),
        words::list(&of_first),
        second.name(),
        words::list(&of_second)
    )
}

/// What the loss of one cup does, where that is not the same for all.
fn losses(sides: &[Side]) -> Option<String> {
    let told: Vec<(bool, String)> = sides
        .iter()
        .map(|side| {
            let loss = side.worst_loss()?;
            let tag = match &loss.lost {
                Lost::Cup(cup) => side.tag(*cup).to_owned(),
                Lost::Zone(zone) => format!("zone {zone}"),
            };
            Some(if loss.holds {
                (true, format!("{} holds the part", side.name()))
            } else {
                let at = words::inside(&loss.motion.name);
                (false, format!("{} drops the part (if {tag} fails at {at})", side.name()))
            })
        })
        .collect::<Option<_>>()?;
    let drop = told.iter().filter(|(holds, _)| !holds).count();
    if drop == 0 {
        return None;
    }
    let all: Vec<String> = told.into_iter().map(|(_, text)| text).collect();
    Some(format!("With one cup lost, {}.", all.join(", ")))
}
