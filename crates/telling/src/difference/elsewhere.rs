//! What stood elsewhere on the plan of a layout: for window and paper to draw alike.

use analysis::words::Words;
use document::{Cup, CupId, LayoutId, Project};
use geometry::{Lip, LipShape, Outline};
use glam::DVec2;
use std::sync::Arc;
use units::{Quantity, UnitChoice, show};

/// Places and turns nearer than this are the same, mm or degrees.
const SAME: f64 = 1e-6;

/// What of a layout was otherwise in an older project.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Elsewhere {
    /// Of the older layout first, in its order, then those that are new.
    pub cups: Vec<CupElsewhere>,
    /// The part's outline as it was, where it was another one.
    pub outline: Option<Arc<Outline>>,
}

/// A cup that was otherwise.
#[derive(Debug, Clone, PartialEq)]
pub struct CupElsewhere {
    /// Which.
    pub cup: CupId,
    /// What became of it.
    pub fate: Fate,
    /// Its lip as it was; none of a cup that is new.
    pub lip: Option<Lip>,
    /// Where it was, or is when it is new, mm.
    pub at: DVec2,
    /// Where it went, when it moved, mm.
    pub to: Option<DVec2>,
    /// How far it moved, in the picked units.
    pub distance: Option<String>,
    /// "new", "C4 removed", "turned 15°", "was Round 40, flat".
    pub words: Vec<String>,
}

impl CupElsewhere {
    /// Distance and words in one text.
    pub fn says(&self) -> String {
        self.distance.iter().chain(&self.words).map(String::as_str).collect::<Vec<_>>().join(", ")
    }
}

/// What became of a cup.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Fate {
    /// It was not there.
    New,
    /// It is not there any more.
    Removed,
    /// It moved, turned, or is of another model or zone.
    Changed,
}

impl Elsewhere {
    /// Whether nothing of the plan was otherwise.
    pub fn is_empty(&self) -> bool {
        self.cups.is_empty() && self.outline.is_none()
    }
}

/// What of a layout that both projects have was otherwise in the older one; cups are paired by their ids.
///
/// # Units
/// Millimetres in places; `distance` and `words` in those of `units`.
///
/// ```
/// use telling::{Fate, elsewhere};
/// use document::{Part, PartId, Project};
/// use units::UnitChoice;
///
/// let project = Project::new("Tray line 2", Part::rectangle(PartId(1), "Tray blank", 600.0, 400.0)); // mm
/// assert!(elsewhere(&project, &project, project.layouts[0].id, &UnitChoice::default()).is_empty());
/// ```
pub fn elsewhere(old: &Project, new: &Project, layout: LayoutId, units: &UnitChoice) -> Elsewhere {
    let (Some(before), Some(after)) = (old.layout(layout), new.layout(layout)) else {
        return Elsewhere::default();
    };
    let mut cups = Vec::new();
    for was in &before.cups {
        match after.cups.iter().find(|cup| cup.id == was.id) {
            Some(is) => cups.extend(changed(old, new, was, is, units)),
            None => cups.push(CupElsewhere {
                cup: was.id,
                fate: Fate::Removed,
                lip: Some(lip(old, was)),
                at: was.at,
                to: None,
                distance: None,
                words: vec![format!("{} removed", was.tag.trim())],
            }),
        }
    }
    for is in after.cups.iter().filter(|cup| !before.cups.iter().any(|was| was.id == cup.id)) {
        let (fate, words) = (Fate::New, vec!["new".to_owned()]);
        cups.push(CupElsewhere { cup: is.id, fate, lip: None, at: is.at, to: None, distance: None, words });
    }
    let outline = |project: &Project, part| project.part(part).map(|part| part.outline.clone());
    let outline = outline(old, before.part).filter(|was| {
        outline(new, after.part).is_some_and(|is| !Arc::ptr_eq(&is, was) && is.as_ref() != was.as_ref())
    });
    Elsewhere { cups, outline }
}

fn lip(project: &Project, cup: &Cup) -> Lip {
    let shape = project.model(&cup.model).map_or(LipShape::Round { diameter: 0.0 }, |model| model.shape);
    Lip { shape, at: cup.at, turn: cup.turn_deg.to_radians() }
}

/// A cup that is in both: moved, turned, of another model or in another zone.
fn changed(old: &Project, new: &Project, was: &Cup, is: &Cup, units: &UnitChoice) -> Option<CupElsewhere> {
    let words = Words { choice: units };
    let moved = was.at.distance(is.at);
    let distance = (moved > SAME).then(|| words.length(moved));
    let mut said = Vec::new();
    // The short way round: from 350° to 10° is 20°, not 340° back.
    let turned = (is.turn_deg - was.turn_deg + 180.0).rem_euclid(360.0) - 180.0;
    if turned.abs() > SAME {
        said.push(format!("turned {}", show(turned, Quantity::Angle, units)));
    }
    if was.model != is.model || lip(old, was).shape != lip(new, is).shape {
        let name = old.model(&was.model).map_or("another model", |model| model.name.trim());
        said.push(format!("was {name}"));
    }
    if was.zone != is.zone {
        said.push(format!("was in zone {}", was.zone.trim()));
    }
    (distance.is_some() || !said.is_empty()).then(|| CupElsewhere {
        cup: is.id,
        fate: Fate::Changed,
        lip: Some(lip(old, was)),
        at: was.at,
        to: distance.is_some().then_some(is.at),
        distance,
        words: said,
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use document::{Edit, ModelId, Part, PartId, library};

    /// Three cups in a row: C1, C2, C3.
    fn project() -> Project {
        let project = Project::new("Tray", Part::rectangle(PartId(1), "Blank", 600.0, 400.0));
        let (layout, circuit) = (project.layouts[0].id, project.circuits[0].id);
        let model = library()[0].clone();
        let cup = |n: u32| Cup {
            id: CupId(100 + n),
            tag: format!("C{n}"),
            model: model.id.clone(),
            at: DVec2::new(100.0 * f64::from(n), 200.0),
            turn_deg: 350.0,
            height_mm: 0.0,
            circuit,
            zone: "A".into(),
            locked: false,
        };
        let cups = (1..=3).map(cup).collect();
        let edits = vec![Edit::AddModel(model), Edit::AddCups { layout, cups }];
        Edit::Together { name: String::new(), edits }.apply(&project).unwrap()
    }

    #[test]
    fn what_moved_turned_came_and_went_is_told_once_with_its_words() {
        let old = project();
        let layout = old.layouts[0].id;
        let mut cups = old.layouts[0].cups.clone();
        cups[0].at += DVec2::new(30.0, 40.0);
        cups[1].turn_deg = 10.0;
        cups[1].zone = "B".into();
        let new_cup = Cup { id: CupId(200), tag: "C4".into(), ..cups[2].clone() };
        let edits = vec![
            Edit::ChangeCups { layout, cups: cups[..2].to_vec(), what: String::new() },
            Edit::RemoveCups { layout, cups: vec![cups[2].id] },
            Edit::AddCups { layout, cups: vec![new_cup] },
        ];
        let new = Edit::Together { name: String::new(), edits }.apply(&old).unwrap();
        let found = elsewhere(&old, &new, layout, &UnitChoice::default());
        let told: Vec<_> = found.cups.iter().map(|cup| (cup.fate, cup.says())).collect();
        let wanted = [
            (Fate::Changed, "50.0 mm"),
            (Fate::Changed, "turned 20.0°, was in zone A"),
            (Fate::Removed, "C3 removed"),
            (Fate::New, "new"),
        ];
        assert_eq!(told, wanted.map(|(fate, says)| (fate, says.to_owned())));
        assert_eq!(found.cups[0].to, Some(DVec2::new(130.0, 240.0)));
        assert_eq!((found.cups[1].to, found.cups[3].lip), (None, None));
        assert!(found.outline.is_none());
        assert!(elsewhere(&new, &new, layout, &UnitChoice::default()).is_empty());
    }

    #[test]
    fn another_model_is_named_and_a_layout_that_one_side_lacks_has_no_ghosts() {
        let old = project();
        let layout = old.layouts[0].id;
        let other = library().iter().find(|model| model.id != old.models[0].id).unwrap().clone();
        let mut cup = old.layouts[0].cups[0].clone();
        cup.model = ModelId::clone(&other.id);
        let edits =
            vec![Edit::AddModel(other), Edit::ChangeCups { layout, cups: vec![cup], what: String::new() }];
        let new = Edit::Together { name: String::new(), edits }.apply(&old).unwrap();
        let found = elsewhere(&old, &new, layout, &UnitChoice::default());
        assert_eq!(found.cups[0].says(), format!("was {}", old.models[0].name));
        assert!(elsewhere(&old, &new, LayoutId(9999), &UnitChoice::default()).is_empty());
    }
}
