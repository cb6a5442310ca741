//! What the ratio of the factors of two layouts may be when what is assumed is off.
//!
//! What both assume - the friction on the same part, say - is off by the same in both; what only one assumes is taken at its
//! worse end there and against it at the better end, and the other way round.

use super::ranges::{TOGETHER, Work};
use crate::{assumed::Input, snapshot::Snapshot};
use document::MotionId;
use mechanics::LoadCase;
use std::sync::atomic::AtomicBool;

/// A layout, with the names of its assumed inputs.
pub(crate) struct Known<'a> {
    pub snapshot: &'a Snapshot,
    pub names: &'a [String],
}

/// A ratio as entered, and what it may be at least and at most.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Ratio {
    pub entered: f64,
    pub least: f64,
    pub most: f64,
}

impl Ratio {
    fn at(entered: f64) -> Self {
        Self { entered, least: entered, most: entered }
    }

    fn widen(&mut self, ratio: f64) {
        self.least = self.least.min(ratio);
        self.most = self.most.max(ratio);
    }

    /// How far it may go either way, as a share of it.
    pub(crate) fn margin(&self) -> f64 {
        let up = self.most / self.entered;
        let down = self.entered / self.least;
        let margin = up.max(down) - 1.0;
        if margin.is_nan() { 0.0 } else { margin.max(0.0) }
    }
}

/// Ratios of the first layout's figures to those of the second.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Ratios {
    /// Of the factors of each motion that both have.
    pub motions: Vec<(MotionId, Ratio)>,
    /// Of the least factors over required.
    pub least: Ratio,
}

/// One input of either or of both.
struct Joint {
    a: Option<usize>,
    b: Option<usize>,
    /// What it is times at the ends that make the ratio least, and most; `None` where that is not known beforehand.
    ends: Option<[f64; 2]>,
    kind: Input,
}

/// Works them out; `None` where the two have no motion in common.
pub(crate) fn ratios(a: &Known<'_>, b: &Known<'_>) -> Option<Ratios> {
    let case = |of: &Known<'_>, id: MotionId| of.snapshot.case(id).copied();
    let ids: Vec<MotionId> = a.snapshot.cases.iter().map(|(id, _)| *id).collect();
    let ids: Vec<MotionId> = ids.into_iter().filter(|id| case(b, *id).is_some()).collect();
    let cases = |of: &Known<'_>| ids.iter().filter_map(|id| case(of, *id)).collect::<Vec<LoadCase>>();
    let required: Vec<f64> = ids
        .iter()
        .map(|id| {
            let index = a.snapshot.cases.iter().position(|(held, _)| held == id);
            index.and_then(|index| a.snapshot.required_of.get(index).copied()).unwrap_or(1.0)
        })
        .collect();
    if ids.is_empty() {
        return None;
    }
    let cancel = AtomicBool::new(false);
    let (cases_a, cases_b) = (cases(a), cases(b));
    let mut work_a = Work::new(a.snapshot, &cases_a, &cancel);
    let mut work_b = Work::new(b.snapshot, &cases_b, &cancel);
    let joints = joints(a, b, &mut work_a, &mut work_b);
    let counts = [a.snapshot.assumed.len(), b.snapshot.assumed.len()];
    let mut at = |choice: &dyn Fn(usize, &Joint) -> [f64; 2]| -> Option<(Vec<f64>, f64)> {
        let mut of_a = vec![1.0; counts[0]];
        let mut of_b = vec![1.0; counts[1]];
        for (index, joint) in joints.iter().enumerate() {
            let [times_a, times_b] = choice(index, joint);
            if let Some(place) = joint.a {
                of_a[place] = times_a;
            }
            if let Some(place) = joint.b {
                of_b[place] = times_b;
            }
        }
        let (fa, fb) = (work_a.factors(&of_a)?, work_b.factors(&of_b)?);
        let least = |factors: &[f64]| {
            let ratios = factors.iter().zip(&required).map(|(factor, required)| factor / required);
            ratios.fold(f64::INFINITY, f64::min)
        };
        let each = fa.iter().zip(&fb).map(|(a, b)| over(*a, *b)).collect();
        Some((each, over(least(&fa), least(&fb))))
    };
    let (each, least) = at(&|_, _| [1.0, 1.0])?;
    let mut found = Ratios {
        motions: ids.iter().copied().zip(each.into_iter().map(Ratio::at)).collect(),
        least: Ratio::at(least),
    };
    let groups = groups(&joints);
    let fixed = joints.iter().any(|joint| joint.ends.is_some());
    for bits in 0..1_usize << groups.len() {
        for side in if fixed { 0..2 } else { 0..1 } {
            let (each, least) = at(&|index, joint| {
                if let Some(ends) = joint.ends {
                    return [ends[side]; 2];
                }
                let high = groups
                    .iter()
                    .position(|group| group.contains(&index))
                    .is_some_and(|group| bits >> group & 1 == 1);
                let end = |of: &Known<'_>, place: Option<usize>| {
                    let input = place.and_then(|place| of.snapshot.assumed.get(place));
                    input.map_or(1.0, |input| if high { input.most } else { input.least })
                };
                [end(a, joint.a), end(b, joint.b)]
            })?;
            for ((_, ratio), found) in found.motions.iter_mut().zip(each) {
                ratio.widen(found);
            }
            found.least.widen(least);
        }
    }
    Some(found)
}

/// Factors that nothing ends are equal, and so are two that hold nothing.
fn over(a: f64, b: f64) -> f64 {
    match (a.is_finite(), b.is_finite()) {
        (false, false) => 1.0,
        (true, false) => 0.0,
        _ if a <= 0.0 && b <= 0.0 => 1.0,
        _ => a / b,
    }
}

fn joints(a: &Known<'_>, b: &Known<'_>, work_a: &mut Work<'_>, work_b: &mut Work<'_>) -> Vec<Joint> {
    let key = |of: &Known<'_>, index: usize| {
        (of.snapshot.assumed[index].input, of.names.get(index).cloned().unwrap_or_default())
    };
    let all_b: Vec<(Input, String)> = (0..b.snapshot.assumed.len()).map(|index| key(b, index)).collect();
    let mut out: Vec<Joint> = Vec::new();
    for index in 0..a.snapshot.assumed.len() {
        let own = key(a, index);
        let shared = all_b.iter().position(|held| *held == own && !own.1.is_empty());
        let ends = match shared {
            Some(_) => None,
            None => work_a.ends(index).map(|(worse, better)| [worse, better]),
        };
        out.push(Joint { a: Some(index), b: shared, ends, kind: own.0 });
    }
    for (index, (kind, _)) in all_b.iter().enumerate() {
        if out.iter().any(|joint| joint.b == Some(index)) {
            continue;
        }
        let ends = work_b.ends(index).map(|(worse, better)| [better, worse]);
        out.push(Joint { a: None, b: Some(index), ends, kind: *kind });
    }
    out
}

/// What goes together: the kind, and which of the two layouts have it.
type Alike = (Input, (bool, bool));

/// Inputs that are tried at all their ends with one another; of many, those of a kind go together - but not the sealing
/// lines of models that only one of the two uses: they decide most, and one may be off where the other is not.
fn groups(joints: &[Joint]) -> Vec<Vec<usize>> {
    let open: Vec<usize> = (0..joints.len()).filter(|index| joints[*index].ends.is_none()).collect();
    if open.len() <= TOGETHER {
        return open.iter().map(|index| vec![*index]).collect();
    }
    let apart = |joint: &Joint| match joint.kind {
        Input::SealingLine => (joint.a.is_some(), joint.b.is_some()),
        _ => (true, true),
    };
    let mut groups: Vec<(Alike, Vec<usize>)> = Vec::new();
    for index in open {
        let key = (joints[index].kind, apart(&joints[index]));
        match groups.iter_mut().find(|(held, _)| *held == key) {
            Some((_, group)) => group.push(index),
            None => groups.push((key, vec![index])),
        }
    }
    groups.into_iter().map(|(_, group)| group).collect()
}
