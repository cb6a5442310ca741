//! Where things are while nobody has placed them.

use crate::{Cup, MassBy, Part, Project, tidy};
use glam::{DVec2, DVec3};
use std::sync::Arc;

/// Height of a new tool's flange above the plane of the lips, mm: cups, a rail and a coupling (an invented, generic figure);
/// posts come on top.
const FLANGE_HEIGHT_MM: f64 = 150.0;

/// Where a flange is while nobody has placed it: over the part's centre of gravity, as high as a tool commonly is and as much
/// higher as the tallest post.
pub(crate) fn flange(part: &Part, cups: &[Cup]) -> DVec3 {
    let posts = cups.iter().map(|cup| cup.height_mm).filter(|h| h.is_finite()).fold(0.0, f64::max);
    tidy::point(part.gravity_on_plan().unwrap_or_default()).extend(tidy::number(FLANGE_HEIGHT_MM + posts))
}

/// Moves the flange of every layout that still has it where it is by default: with the centre of gravity of a part that was
/// changed, with the posts of cups that were changed.
pub(crate) fn follow(before: &Project, after: &mut Project) {
    for layout in &mut after.layouts {
        let Some(was) = before.layout(layout.id) else { continue };
        // Over which of several parts it would go nobody knows.
        if !was.seats.is_empty() || !layout.seats.is_empty() {
            continue;
        }
        let (Some(old), Some(new)) =
            (before.part(was.part), after.parts.iter().find(|p| p.id == layout.part))
        else {
            continue;
        };
        let same_posts = was.cups.len() == layout.cups.len()
            && was.cups.iter().zip(&layout.cups).all(|(a, b)| a.height_mm == b.height_mm);
        if (Arc::ptr_eq(old, new) && same_posts)
            || layout.tool.flange != was.tool.flange
            || was.tool.flange != flange(old, &was.cups)
        {
            continue;
        }
        let to = flange(new, &layout.cups);
        if to != layout.tool.flange {
            Arc::make_mut(&mut Arc::make_mut(layout).tool).flange = to;
        }
    }
}

impl Part {
    /// Where its centre of gravity lies on the plan: as stated, else of outline and attached masses. `None` without an outline
    /// that has an area.
    ///
    /// # Units
    /// mm.
    ///
    /// ```
    /// use document::{Part, PartId};
    /// let part = Part::rectangle(PartId(1), "Tray blank", 600.0, 400.0);
    /// assert_eq!(part.gravity_on_plan().unwrap().to_array(), [300.0, 200.0]);
    /// ```
    pub fn gravity_on_plan(&self) -> Option<DVec2> {
        if let Some(stated) = &self.centre_of_gravity {
            return Some(stated.value.truncate()).filter(|at| at.is_finite());
        }
        let section = geometry::section(&self.outline)?;
        let own = match &self.mass {
            MassBy::Density { kg_m3 } => {
                section.area * 1e-6 * geometry::areal_mass(kg_m3.value, self.thickness_mm)
            }
            MassBy::Areal { kg_m2 } => section.area * 1e-6 * kg_m2.value,
            MassBy::Stated { kg } => kg.value,
        };
        let bodies = self.attached.iter().map(|a| (a.mass_kg, a.at.truncate()));
        let (mass, moment) =
            bodies.fold((own, own * section.centroid), |(m, f), (kg, at)| (m + kg, f + kg * at));
        let at = moment / mass;
        Some(if mass > 0.0 && at.is_finite() { at } else { section.centroid })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{Attached, AttachedId, CupId, Edit, PartId, Sourced, Tool};
    use geometry::{Loop, Outline};

    fn project() -> Project {
        Project::new("P", Part::from_outline(PartId(1), "Blank", Arc::default()))
    }

    fn change(project: &Project, change: impl FnOnce(&mut Part)) -> Project {
        let mut part = (*project.parts[0]).clone();
        change(&mut part);
        Edit::ChangePart { part: Arc::new(part), what: "outline".into() }.apply(project).unwrap()
    }

    fn flange_of(project: &Project) -> [f64; 3] {
        project.layouts[0].tool.flange.to_array()
    }

    /// An L of 300 by 200 with 200 by 100 cut off its upper right: two rectangles, 100 x 200 about (50, 100) and
    /// 200 x 100 about (200, 50), have their common centre at (125, 75).
    fn angle() -> Arc<Outline> {
        let corners =
            [(0.0, 0.0), (300.0, 0.0), (300.0, 100.0), (100.0, 100.0), (100.0, 200.0), (0.0, 200.0)];
        Arc::new(Outline::solid(Loop::polygon(corners.map(DVec2::from))))
    }

    #[test]
    fn a_new_outline_takes_the_flange_to_the_centre_of_gravity() {
        let first = project();
        assert_eq!(flange_of(&first), [0.0, 0.0, 150.0]);
        let drawn = change(&first, |p| p.outline = angle());
        assert_eq!(flange_of(&drawn), [125.0, 75.0, 150.0], "not the middle of its bounds, (150, 100)");
        // Another outline moves it again; so does a mass that is attached: 1 mm of steel weighs 314 g.
        let again = change(&drawn, |p| {
            *p = Part { outline: p.outline.clone(), ..Part::rectangle(p.id, "B", 1.0, 1.0) }
        });
        assert_eq!(flange_of(&again), [125.0, 75.0, 150.0]);
        let heavy = change(&drawn, |p| {
            p.attached =
                vec![Attached::point(AttachedId(90), "Bracket", 0.314, DVec3::new(225.0, 75.0, 0.0))];
        });
        assert_eq!(flange_of(&heavy), [175.0, 75.0, 150.0]);
        let stated =
            change(&heavy, |p| p.centre_of_gravity = Some(Sourced::assumed(DVec3::new(10.0, 20.0, 0.0))));
        assert_eq!(flange_of(&stated), [10.0, 20.0, 150.0]);
    }

    #[test]
    fn a_flange_that_was_placed_stays() {
        let drawn = change(&project(), |p| p.outline = angle());
        let layout = drawn.layouts[0].id;
        let tool = Arc::new(Tool { flange: DVec3::new(125.0, 80.0, 150.0), ..Tool::default() });
        let placed = Edit::ChangeTool { layout, tool, what: "flange".into() }.apply(&drawn).unwrap();
        let moved =
            change(&placed, |p| p.outline = Arc::new(Outline::solid(Loop::circle(DVec2::ZERO, 50.0))));
        assert_eq!(flange_of(&moved), [125.0, 80.0, 150.0]);
        // What nobody described at all stays so.
        let tool = Arc::new(Tool::default());
        let none = Edit::ChangeTool { layout, tool, what: "none".into() }.apply(&drawn).unwrap();
        assert_eq!(flange_of(&change(&none, |p| p.thickness_mm = 3.0)), [0.0; 3]);
    }

    #[test]
    fn posts_count_in_the_height_of_a_flange_that_nobody_placed() {
        let drawn = change(&project(), |p| p.outline = angle());
        let layout = drawn.layouts[0].id;
        let model = crate::library()[0].clone();
        let cup = |id, height_mm| Cup {
            id: CupId(id),
            tag: format!("C{id}"),
            model: model.id.clone(),
            at: DVec2::new(50.0, 50.0 + f64::from(id)),
            turn_deg: 0.0,
            height_mm,
            circuit: drawn.circuits[0].id,
            zone: "A".into(),
            locked: false,
        };
        let edits = vec![
            Edit::AddModel(model.clone()),
            Edit::AddCups { layout, cups: vec![cup(50, 0.0), cup(51, 62.0)] },
        ];
        let placed = Edit::Together { name: "cups".into(), edits }.apply(&drawn).unwrap();
        assert_eq!(flange_of(&placed), [125.0, 75.0, 212.0]);
        let gone = Edit::RemoveCups { layout, cups: vec![CupId(51)] }.apply(&placed).unwrap();
        assert_eq!(flange_of(&gone), [125.0, 75.0, 150.0]);
    }
}
