//! A newer drawing for a part that has cups on it: what changed, what moved under them, and the edit that takes it.

use crate::project::origin;
use crate::{Drawing, ImportedPart};
use analysis::words::count_of;
use document::{CupId, Edit, KeepOutId, LayoutId, MassBy, Part, PartId, Project};
use geometry::{Clearance, Lip, Loop, Outline, SoundSurface};
use glam::DVec2;
use std::sync::Arc;
use units::UnitChoice;

/// Outlines that differ by less than this all along are the same, mm: finer than drawings are written.
const SAME_MM: f64 = 1e-4;
/// A change of clearance below this is none, mm.
const UNMOVED_MM: f64 = 1e-6;

/// A lip of a layout, for [`compare_outline`].
#[derive(Debug, Clone, PartialEq)]
pub struct PlacedLip {
    /// Its layout.
    pub layout: LayoutId,
    /// Its cup.
    pub cup: CupId,
    /// "C4".
    pub tag: String,
    /// The outer lip where it stands, mm.
    pub lip: Lip,
}

/// What a new outline does under one cup.
#[derive(Debug, Clone, PartialEq)]
pub struct Moved {
    /// The cup.
    pub of: PlacedLip,
    /// To the nearest edge, hole or keep-out of the old outline; `None` when there is no figure.
    pub before: Option<Clearance>,
    /// To that of the new one.
    pub after: Option<Clearance>,
}

impl Moved {
    /// Whether the whole lip landed before.
    #[must_use]
    pub fn landed(&self) -> bool {
        self.before.is_some_and(|c| c.distance >= 0.0)
    }

    /// Whether the whole lip lands on the new outline.
    #[must_use]
    pub fn lands(&self) -> bool {
        self.after.is_some_and(|c| c.distance >= 0.0)
    }

    /// By how much the clearance changes, mm; `None` without both figures.
    #[must_use]
    pub fn change(&self) -> Option<f64> {
        Some(self.after?.distance - self.before?.distance)
    }
}

/// A keep-out or attached mass that no longer lies on the part.
#[derive(Debug, Clone, PartialEq)]
pub struct KeptArea {
    /// Number of the keep-out; `None` for an attached mass.
    pub keep_out: Option<KeepOutId>,
    /// Its name.
    pub name: String,
}

/// What a newer drawing changes.
#[derive(Debug, Clone, PartialEq)]
pub struct Reimport {
    /// Whether the outline differs at all, holes included.
    pub outline_changed: bool,
    /// Set when the new outline is the old one moved by this (mm): another origin of the drawing, not another part.
    pub shifted: Option<DVec2>,
    /// Area before and after, mm².
    pub area_mm2: [f64; 2],
    /// Mass of the part without what is attached, before and after, kg. A stated mass stays.
    pub mass_kg: [f64; 2],
    /// Holes of the old outline (index) that the new one does not have.
    pub holes_gone: Vec<usize>,
    /// Holes of the new outline (index) that the old one does not have.
    pub holes_new: Vec<usize>,
    /// Cups whose clearance changes; those that land no longer first, then by how much they lose.
    pub moved_under: Vec<Moved>,
    /// Keep-outs and attached masses that lie outside the new outline and did not outside the old one.
    pub left_behind: Vec<KeptArea>,
}

impl Reimport {
    /// One sentence, in the units picked.
    ///
    /// ```
    /// use document::{Part, PartId};
    /// let part = Part::rectangle(PartId(1), "Tray blank", 600.0, 400.0); // mm
    /// let same = exchange::compare_outline(&part, &part.outline, &[]);
    /// assert_eq!(same.sentence(&units::UnitChoice::default()), "the outline is the same");
    /// ```
    #[must_use]
    pub fn sentence(&self, units: &UnitChoice) -> String {
        if let Some(by) = self.shifted {
            let by = units::Part::Place(by.to_array());
            return units::Worded::new("the outline is the same, moved by {}", [by]).says(units);
        }
        if !self.outline_changed {
            return "the outline is the same".to_owned();
        }
        let lost = self.moved_under.iter().filter(|m| m.landed() && !m.lands()).count();
        let cups = |n: usize| count_of(n, "cup");
        let [before, after] = self.area_mm2;
        let change = if before > 0.0 { (after / before - 1.0) * 100.0 } else { 0.0 };
        let change = match change {
            // A drawing in another unit is a thousand times as large.
            times if times > 1000.0 => format!("{} times its area", units::fixed(after / before, 0, units)),
            more if more > 0.0 => format!("+{} % of its area", units::fixed(more, 1, units)),
            less => format!("{} % of its area", units::fixed(less, 1, units)),
        };
        let mut says = format!(
            "the outline changes: {change}, {} gone, {} new; the clearance of {} changes",
            count_of(self.holes_gone.len(), "hole"),
            self.holes_new.len(),
            cups(self.moved_under.len()),
        );
        if lost > 0 {
            says += &format!(", {} no longer land{}", cups(lost), if lost == 1 { "s" } else { "" });
        }
        says
    }
}

/// The lips of all layouts that carry a part, in their order. Cups of a model that is not in the project are left out.
#[must_use]
pub fn placed_lips(project: &Project, part: PartId) -> Vec<PlacedLip> {
    let layouts = project.layouts.iter().filter(|l| l.part == part);
    layouts
        .flat_map(|l| l.cups.iter().map(move |c| (l.id, c)))
        .filter_map(|(layout, cup)| {
            let lip =
                Lip { shape: project.model(&cup.model)?.shape, at: cup.at, turn: cup.turn_deg.to_radians() };
            Some(PlacedLip { layout, cup: cup.id, tag: cup.tag.clone(), lip })
        })
        .collect()
}

/// Compares the outline of a part with a newer one, and looks at what each cup stands on before and after. The keep-outs
/// are those of the part, as they stay when the outline is replaced by [`reimport_edit`].
///
/// # Units
/// mm, mm², kg
///
/// ```
/// use document::{Part, PartId};
/// use exchange::{PlacedLip, compare_outline};
/// use geometry::{Lip, LipShape, Loop, Outline};
/// let part = Part::rectangle(PartId(1), "Tray blank", 600.0, 400.0); // mm
/// let shorter = Outline::solid(Loop::rectangle((0.0, 0.0).into(), (560.0, 400.0).into())); // mm
/// let lip = Lip { shape: LipShape::Round { diameter: 60.0 }, at: (550.0, 200.0).into(), turn: 0.0 };
/// let cup = PlacedLip { layout: document::LayoutId(2), cup: document::CupId(4), tag: "C4".into(), lip };
/// let new = compare_outline(&part, &shorter, &[cup]);
/// assert!(new.outline_changed && new.moved_under[0].landed() && !new.moved_under[0].lands());
/// ```
#[must_use]
pub fn compare_outline(old: &Part, new: &Outline, cups: &[PlacedLip]) -> Reimport {
    let shifted = shift_of(&old.outline, new);
    let outline_changed = !alike(&old.outline, new, DVec2::ZERO);
    let (holes_gone, holes_new) = holes_between(&old.outline.holes, &new.holes);
    let keep_outs: Vec<Loop> = old.keep_outs.iter().map(|k| (*k.area).clone()).collect();
    let mut moved_under = Vec::new();
    if outline_changed && !cups.is_empty() {
        let surfaces = [&old.outline, new].map(|o| SoundSurface::new(o, &keep_outs));
        for of in cups {
            let [before, after] = surfaces.each_ref().map(|s| s.clearance(&of.lip));
            let moved = Moved { of: of.clone(), before, after };
            if moved.change().is_none_or(|by| by.abs() > UNMOVED_MM) && (before.is_some() || after.is_some())
            {
                moved_under.push(moved);
            }
        }
        let rank = |m: &Moved| (m.lands() || !m.landed(), m.change().unwrap_or(f64::NEG_INFINITY));
        moved_under.sort_by(|a, b| {
            let (a, b) = (rank(a), rank(b));
            a.0.cmp(&b.0).then(a.1.total_cmp(&b.1))
        });
    }
    let area_mm2 = [&old.outline, new].map(|o| geometry::section(o).map_or(0.0, |s| s.area));
    Reimport {
        outline_changed,
        shifted: shifted.filter(|by| by.length() > SAME_MM),
        area_mm2,
        mass_kg: area_mm2.map(|area| mass(old, area)),
        holes_gone,
        holes_new,
        moved_under,
        left_behind: left_behind(old, new),
    }
}

fn mass(part: &Part, area_mm2: f64) -> f64 {
    match &part.mass {
        MassBy::Density { kg_m3 } => geometry::areal_mass(kg_m3.value, part.thickness_mm) * area_mm2 / 1e6,
        MassBy::Areal { kg_m2 } => kg_m2.value * area_mm2 / 1e6,
        MassBy::Stated { kg } => kg.value,
    }
}

fn left_behind(old: &Part, new: &Outline) -> Vec<KeptArea> {
    let on = |outline: &Outline, area: &Loop| {
        area.segments().flat_map(|s| [s.start(), s.point_at(0.5)]).any(|p| outline.outer.contains(p))
    };
    let areas = old.keep_outs.iter().filter(|k| on(&old.outline, &k.area) && !on(new, &k.area));
    let masses = old.attached.iter().filter(|a| {
        let at = a.at.truncate();
        old.outline.outer.contains(at) && !new.outer.contains(at)
    });
    let areas = areas.map(|k| KeptArea { keep_out: Some(k.id), name: k.name.clone() });
    areas.chain(masses.map(|a| KeptArea { keep_out: None, name: a.name.clone() })).collect()
}

/// The move that lays the old outline on the new one, when there is one.
fn shift_of(old: &Outline, new: &Outline) -> Option<DVec2> {
    let (a, b) = old.bounds().zip(new.bounds())?;
    let by = b.min - a.min;
    alike(old, new, by).then_some(by)
}

/// Whether two outlines differ by less than [`SAME_MM`] everywhere, once the first is moved.
fn alike(old: &Outline, new: &Outline, by: DVec2) -> bool {
    if old.holes.len() != new.holes.len() || old.is_empty() != new.is_empty() {
        return false;
    }
    let moved = old.transformed(0.0, false, by);
    let (gone, more) = holes_between(&moved.holes, &new.holes);
    gone.is_empty() && more.is_empty() && same_loop(&moved.outer, &new.outer)
}

/// Boxes and areas first, as most loops differ there; then every corner and middle against the other boundary.
fn same_loop(a: &Loop, b: &Loop) -> bool {
    if a.vertices.is_empty() && b.vertices.is_empty() {
        return true;
    }
    let Some((ba, bb)) = a.bounds().zip(b.bounds()) else { return false };
    let boxes = (ba.min - bb.min).abs().max((ba.max - bb.max).abs()).max_element();
    if boxes > SAME_MM || (a.signed_area().abs() - b.signed_area().abs()).abs() > SAME_MM * a.perimeter() {
        return false;
    }
    // The same corners in the same order is the rule and is quick to see.
    let corners = |l: &Loop| l.vertices.iter().map(|v| (v.at, v.bulge)).collect::<Vec<_>>();
    let (ca, cb) = (corners(a), corners(b));
    if ca.len() == cb.len()
        && ca.iter().zip(&cb).all(|(a, b)| a.0.distance(b.0) <= SAME_MM && (a.1 - b.1).abs() <= 1e-9)
    {
        return true;
    }
    let surface = |l: &Loop| SoundSurface::new(&Outline::solid(l.clone()), &[]);
    let off = |l: &Loop, other: &SoundSurface| {
        l.segments().flat_map(|s| [s.start(), s.point_at(0.5)]).all(|at| {
            let point = Lip { shape: geometry::LipShape::Round { diameter: 0.0 }, at, turn: 0.0 };
            other.clearance(&point).is_some_and(|c| c.distance.abs() <= SAME_MM)
        })
    };
    off(a, &surface(b)) && off(b, &surface(a))
}

/// Holes that only the first has, and those that only the second has.
fn holes_between(old: &[Loop], new: &[Loop]) -> (Vec<usize>, Vec<usize>) {
    // By the left edge of their boxes, so that each is held against few.
    let left = |l: &Loop| l.bounds().map_or(f64::MAX, |b| b.min.x);
    let mut order: Vec<(f64, usize)> = new.iter().enumerate().map(|(i, h)| (left(h), i)).collect();
    order.sort_by(|a, b| a.0.total_cmp(&b.0));
    let mut taken = vec![false; new.len()];
    let mut gone = Vec::new();
    for (i, hole) in old.iter().enumerate() {
        let at = left(hole);
        let from = order.partition_point(|(x, _)| *x < at - SAME_MM);
        let near = order[from..].iter().take_while(|(x, _)| *x <= at + SAME_MM).map(|(_, j)| *j);
        match near.into_iter().find(|j| !taken[*j] && same_loop(hole, &new[*j])) {
            Some(j) => taken[j] = true,
            None => gone.push(i),
        }
    }
    (gone, (0..new.len()).filter(|j| !taken[*j]).collect())
}

/// The edit that takes a newer outline: outline and origin of the drawing are replaced; cups, keep-outs and attached
/// masses stay where they are. `shift` (mm) moves the new outline first, for a drawing with another origin (the negative
/// of [`Reimport::shifted`]). `None` when the part is not in the project.
///
/// ```
/// # let svg = br#"<svg xmlns="http://www.w3.org/2000/svg" width="120mm" height="80mm" viewBox="0 0 120 80">
/// #   <rect x="10" y="10" width="100" height="60"/></svg>"#;
/// use exchange::{ImportOptions, read_drawing_bytes, reimport_edit};
/// # use document::{Part, PartId, Project};
/// let project = Project::new("Line 2", Part::rectangle(PartId(1), "Blank", 90.0, 60.0)); // mm
/// let drawing = read_drawing_bytes("blank-b.svg", svg, &ImportOptions::default())?;
/// let edit = reimport_edit(&project, PartId(1), &drawing, &drawing.parts[0], glam::DVec2::ZERO).expect("a part");
/// let after = edit.apply(&project).expect("a change");
/// assert_eq!(after.parts[0].drawing.as_ref().map(|d| d.file_name.as_str()), Some("blank-b.svg"));
/// # Ok::<(), exchange::ImportError>(())
/// ```
#[must_use]
pub fn reimport_edit(
    project: &Project,
    part: PartId,
    drawing: &Drawing,
    new: &ImportedPart,
    shift: DVec2,
) -> Option<Edit> {
    let old = project.part(part)?;
    let outline =
        if shift == DVec2::ZERO { new.outline.clone() } else { new.outline.transformed(0.0, false, shift) };
    let part = Part { outline: Arc::new(outline), drawing: Some(origin(drawing)), ..(**old).clone() };
    let what = format!("Replace the outline of {} from {}", old.name, drawing.file_name);
    Some(Edit::ChangePart { part: Arc::new(part), what })
}
