//! Between the project and its form in the file (format 4), field by field, without loss.

// Modules come after the macros that they use.
use super::v4;
use crate::{model as m, tidy};
use geometry::{LipShape, Loop, Outline, Vertex};
use glam::{DVec2, DVec3};
use std::sync::Arc;

/// Both directions of an enum whose variants have the same names.
macro_rules! same_variants {
    ($($name:ident { $($variant:ident),+ })+) => { $(
        impl From<m::$name> for v4::$name {
            fn from(x: m::$name) -> Self { match x { $(m::$name::$variant => Self::$variant),+ } }
        }
        impl From<v4::$name> for m::$name {
            fn from(x: v4::$name) -> Self { match x { $(v4::$name::$variant => Self::$variant),+ } }
        })+ };
}
same_variants! {
    Origin { Measured, Stated, Assumed }
    Texture { Smooth, Structured, Porous, Film }
    Wetness { Dry, Damp, Oily }
    MotionKind { LevelLift, LevelCarry, OnEdge, TurnOver, EmergencyStop, Swing, StrokeAndTime, Free }
    MoveProfile { Trapezoid, Cycloid, Quintic }
    StartStop { Both, AsStated }
    Tolerances { Positions, Fine, Medium, Coarse, VeryCoarse }
    LipKind { Plain, ThinFilm, Foam }
    Pattern { Free, Mirrored, Rows, Frame, Ring }
    Prefer { Cups, Reserve, Positions, Models, Air }
    DatumOn { Corner, Edges, Hole }
}

/// Both directions of a struct whose fields have the same names and convert into each other.
macro_rules! same_fields {
    ($($domain:ident = $format:ident { $($field:ident),+ })+) => { $(
        impl From<&m::$domain> for v4::$format {
            fn from(x: &m::$domain) -> Self { Self { $($field: x.$field.clone().out()),+ } }
        }
        impl From<v4::$format> for m::$domain {
            fn from(x: v4::$format) -> Self { Self { $($field: x.$field.back()),+ } }
        })+ };
}
same_fields! {
    Site = Site { altitude_m, temperature_c, payload_kg }
    Rules = Rules {
        gap_watch_mm, factor_watch, centroid_offset_share, most_over_mean, slide_share, payload_watch, friction_spread,
        stiffness_spread, lip_spread,
        supply_margin, level_spread, element_loss, favourable_weight, sag_watch_mm, ring_limit_mm
    }
    SheetFields = Sheet {
        title, owner, number, revision, created_by, approved_by, date, document_type, tolerances,
        position_tolerance_mm, revisions
    }
    Revision = Revision { index, date, by, what }
    Surface = Surface { texture, wetness }
    Placement = Placement { position_mm, turn_deg, drawing_mm }
    Attached = Attached { id, name, mass_kg, at, size, turn_deg }
    KeepOut = KeepOut { id, name, area }
    Part = Part {
        id, name, material, thickness_mm, mass, centre_of_gravity, surface, friction, pairs, permeance_um_pa_s,
        modulus_n_mm2, poisson, modulus_across_n_mm2, along_deg, allowable_n_mm2, damping, stiff_blocks, uneven_mm, placement, attached, keep_outs, datum, drawing, outline
    }
    Datum = Datum { on, at }
    Traced = Traced { name, at, turn_deg, dot_mm, strength, locked, png }
    FrictionPair = Pair { lip_material, friction }
    Motion = Motion {
        id, name, kind, required_factor, tilt_deg, lowest_deg, acceleration, stroke, inertia_times, turn_rate_deg_s,
        turn_acceleration_deg_s2, pivot_mm, worst, start_stop
    }
    Stroke = Stroke { mm, time_s, profile, pause_s }
    Tool = Tool { flange, masses, frame }
    FramePiece = FramePiece { id, name, at, turn_deg, height_mm, shape }
    Cup = Cup { id, tag, model, at, turn_deg, height_mm, circuit, zone, locked }
    Seat = Seat { id, part, at, turn_deg, shut, left_out, may_stay_shut, share, stops }
    Stops = Stops { edges, at }
    Accepted = Accepted { rule, layout, seat, subject, motion, reason, by, on }
    CupModel = Model {
        id, name, shape, sealing_share, bore_mm, height_mm, travel_mm, channel_mm, free_ml, folds, axial_n_mm, lateral_n_mm,
        tilt_reduction, side_lever_mm, lip_width_mm, hardness_shore_a, lip, lip_life_picks, seal_minimum_n_mm, closes_mm, allowed, material,
        thread, drill_mm, mass_g
    }
}

impl From<&m::Project> for v4::Project {
    fn from(p: &m::Project) -> Self {
        Self {
            format: super::FORMAT,
            name: p.name.clone(),
            last_id: p.last_id,
            site: p.site.out(),
            rules: p.rules.out(),
            cycle: p.cycle.clone().out(),
            sheet: p.sheet.clone().out(),
            parts: p.parts.clone().out(),
            circuits: p.circuits.clone().out(),
            motions: p.motions.clone().out(),
            layouts: p.layouts.iter().map(|l| (&**l).into()).collect(),
            trial: p.trial.clone().out(),
            accepted: p.accepted.clone().out(),
            models: p.models.clone().out(),
            sources: p.sources.clone().out(),
            question: (&*p.question).into(),
            review: (&*p.review).into(),
            traced: p.traced.clone().out(),
            issued: issued::freeze(p),
        }
    }
}
// Without the issued revisions: see `thaw`.
impl From<v4::Project> for m::Project {
    fn from(p: v4::Project) -> Self {
        let parts: Vec<Arc<m::Part>> = p.parts.back();
        let layouts = p.layouts.into_iter().map(|l| layout(l, &parts)).collect();
        Self {
            name: p.name,
            parts,
            layouts,
            motions: p.motions.back(),
            circuits: p.circuits.back(),
            models: p.models.back(),
            sources: p.sources.back(),
            cycle: p.cycle.back(),
            trial: p.trial.back(),
            site: p.site.back(),
            rules: p.rules.back(),
            accepted: p.accepted.back(),
            sheet: p.sheet.back(),
            question: Arc::new(p.question.into()),
            issued: Vec::new(),
            review: Arc::new(p.review.into()),
            traced: p.traced.back(),
            last_id: p.last_id,
        }
    }
}

impl From<&m::Question> for v4::Question {
    fn from(q: &m::Question) -> Self {
        let number = |count: usize| u32::try_from(count).unwrap_or(u32::MAX);
        let (cups, most) = match q.count {
            m::HowMany::Exactly(count) => (Some(number(count)), number(m::Question::default().count.most())),
            m::HowMany::Fewest { most } => (None, number(most)),
        };
        Self {
            models: q.models.iter().map(|id| id.0.to_string()).collect(),
            cups,
            most,
            pattern: q.pattern.map(Into::into),
            one_lost: q.one_lost,
            zone_lost: q.zone_lost,
            lost_factor: q.lost_factor,
            low_end: q.low_end,
            mixed: q.mixed,
            step_mm: q.step_mm,
            spacing_mm: q.spacing_mm,
            prefer: q.prefer.into(),
            seed: q.seed,
        }
    }
}
impl From<v4::Question> for m::Question {
    fn from(q: v4::Question) -> Self {
        let most = m::HowMany::Fewest { most: q.most as usize };
        Self {
            models: q.models.iter().map(|id| m::ModelId(id.as_str().into())).collect(),
            count: q.cups.map_or(most, |count| m::HowMany::Exactly(count as usize)),
            pattern: q.pattern.map(Into::into),
            one_lost: q.one_lost,
            zone_lost: q.zone_lost,
            lost_factor: q.lost_factor,
            low_end: q.low_end,
            mixed: q.mixed,
            step_mm: q.step_mm,
            spacing_mm: q.spacing_mm,
            prefer: q.prefer.into(),
            seed: q.seed,
        }
    }
}

/// A layout of one of these parts.
fn layout(l: v4::Layout, parts: &[Arc<m::Part>]) -> Arc<m::Layout> {
    let part: m::PartId = l.part.back();
    let preset = || parts.iter().find(|p| p.id == part).map(|p| m::Tool::preset(p));
    let tool = Arc::new(l.tool.map(Back::back).or_else(preset).unwrap_or_default());
    Arc::new(m::Layout {
        id: l.id.back(),
        name: l.name,
        part,
        seats: l.seats.back(),
        cups: l.cups.back(),
        tool,
        proposed: l.proposed,
    })
}

impl From<&m::Layout> for v4::Layout {
    fn from(l: &m::Layout) -> Self {
        let tool = Some(v4::Tool::from(&*l.tool));
        Self {
            id: l.id.out(),
            name: l.name.clone(),
            part: l.part.out(),
            seats: l.seats.clone().out(),
            cups: l.cups.clone().out(),
            tool,
            proposed: l.proposed.clone(),
        }
    }
}

/// To the form in the file.
trait Out<F> {
    fn out(self) -> F;
}
/// Back from it.
trait Back<D> {
    fn back(self) -> D;
}

macro_rules! plain {
    ($($type:ty),+) => { $(
        impl Out<$type> for $type { fn out(self) -> $type { self } }
        impl Back<$type> for $type { fn back(self) -> $type { self } })+ };
}
plain!(String, bool, u8);
// -0 and 0 are one number; only 0 is written.
impl Out<f64> for f64 {
    fn out(self) -> f64 {
        self + 0.0
    }
}
impl Back<f64> for f64 {
    fn back(self) -> f64 {
        self
    }
}
macro_rules! by_from {
    ($($domain:ident = $format:ident),+) => { $(
        impl Out<v4::$format> for m::$domain { fn out(self) -> v4::$format { (&self).into() } }
        impl Out<v4::$format> for Arc<m::$domain> { fn out(self) -> v4::$format { (&*self).into() } }
        impl Back<m::$domain> for v4::$format { fn back(self) -> m::$domain { self.into() } }
        impl Back<Arc<m::$domain>> for v4::$format { fn back(self) -> Arc<m::$domain> { Arc::new(self.into()) } })+ };
}
by_from!(
    Site = Site,
    Rules = Rules,
    SheetFields = Sheet,
    Revision = Revision,
    Surface = Surface,
    Placement = Placement,
    Attached = Attached,
    KeepOut = KeepOut,
    Datum = Datum,
    Traced = Traced,
    Part = Part,
    FrictionPair = Pair,
    Motion = Motion,
    Stroke = Stroke,
    Tool = Tool,
    FramePiece = FramePiece,
    Cup = Cup,
    Seat = Seat,
    Stops = Stops,
    Accepted = Accepted,
    CupModel = Model
);
macro_rules! enums {
    ($($name:ident),+) => { $(
        impl Out<v4::$name> for m::$name { fn out(self) -> v4::$name { self.into() } }
        impl Back<m::$name> for v4::$name { fn back(self) -> m::$name { self.into() } })+ };
}
enums!(Origin, Texture, Wetness, MotionKind, MoveProfile, StartStop, Tolerances, LipKind, DatumOn);
macro_rules! ids {
    ($($name:ident),+) => { $(
        impl Out<u32> for m::$name { fn out(self) -> u32 { self.0 } }
        impl Back<m::$name> for u32 { fn back(self) -> m::$name { m::$name(self) } })+ };
}
mod circuit;
mod issued;
mod review;
ids!(PartId, LayoutId, CupId, MotionId, CircuitId, KeepOutId, AttachedId, FrameId, RemarkId, SeatId);
pub(super) use issued::thaw;

impl<D: Out<F>, F> Out<Vec<F>> for Vec<D> {
    fn out(self) -> Vec<F> {
        self.into_iter().map(Out::out).collect()
    }
}
impl<F: Back<D>, D> Back<Vec<D>> for Vec<F> {
    fn back(self) -> Vec<D> {
        self.into_iter().map(Back::back).collect()
    }
}
impl<D: Out<F>, F> Out<Option<F>> for Option<D> {
    fn out(self) -> Option<F> {
        self.map(Out::out)
    }
}
impl<F: Back<D>, D> Back<Option<D>> for Option<F> {
    fn back(self) -> Option<D> {
        self.map(Back::back)
    }
}
impl<D: Out<F>, F> Out<v4::Sourced<F>> for m::Sourced<D> {
    fn out(self) -> v4::Sourced<F> {
        v4::Sourced(self.value.out(), self.origin.into(), self.on)
    }
}
impl<F: Back<D>, D> Back<m::Sourced<D>> for v4::Sourced<F> {
    fn back(self) -> m::Sourced<D> {
        m::Sourced { value: self.0.back(), origin: self.1.into(), on: self.2 }
    }
}
impl Out<v4::Packed> for Arc<[u8]> {
    fn out(self) -> v4::Packed {
        v4::Packed(self)
    }
}
impl Back<Arc<[u8]>> for v4::Packed {
    fn back(self) -> Arc<[u8]> {
        self.0
    }
}
impl Out<v4::Two> for DVec2 {
    fn out(self) -> v4::Two {
        (self.x.out(), self.y.out())
    }
}
impl Back<DVec2> for v4::Two {
    fn back(self) -> DVec2 {
        self.into()
    }
}
impl Out<v4::Three> for DVec3 {
    fn out(self) -> v4::Three {
        (self.x.out(), self.y.out(), self.z.out())
    }
}
impl Back<DVec3> for v4::Three {
    fn back(self) -> DVec3 {
        self.into()
    }
}
impl Out<String> for m::ModelId {
    fn out(self) -> String {
        self.0.as_ref().to_owned()
    }
}
impl Back<m::ModelId> for String {
    fn back(self) -> m::ModelId {
        m::ModelId(self.into())
    }
}
// A machine's folders never reach the file.
impl Out<v4::Drawing> for m::DrawingOrigin {
    fn out(self) -> v4::Drawing {
        let file_name = tidy::file_name(&self.file_name).to_owned();
        v4::Drawing { file_name, sha256: self.sha256, unit: self.unit }
    }
}
impl Back<m::DrawingOrigin> for v4::Drawing {
    fn back(self) -> m::DrawingOrigin {
        m::DrawingOrigin { file_name: self.file_name, sha256: self.sha256, unit: self.unit }
    }
}
impl Out<v4::Mass> for m::MassBy {
    fn out(self) -> v4::Mass {
        match self {
            Self::Density { kg_m3: s } => v4::Mass::Density(s.value.out(), s.origin.into(), s.on),
            Self::Areal { kg_m2: s } => v4::Mass::Areal(s.value.out(), s.origin.into(), s.on),
            Self::Stated { kg: s } => v4::Mass::Stated(s.value.out(), s.origin.into(), s.on),
        }
    }
}
impl Back<m::MassBy> for v4::Mass {
    fn back(self) -> m::MassBy {
        let sourced = |value, origin: v4::Origin, on| m::Sourced { value, origin: origin.into(), on };
        match self {
            Self::Density(value, origin, on) => m::MassBy::Density { kg_m3: sourced(value, origin, on) },
            Self::Areal(value, origin, on) => m::MassBy::Areal { kg_m2: sourced(value, origin, on) },
            Self::Stated(value, origin, on) => m::MassBy::Stated { kg: sourced(value, origin, on) },
        }
    }
}
impl Out<v4::Worst> for m::Worst {
    fn out(self) -> v4::Worst {
        match self {
            Self::AsStated => v4::Worst::AsStated,
            Self::Direction => v4::Worst::Direction,
            Self::Lowest => v4::Worst::Lowest,
            Self::TiltTo { deg } => v4::Worst::TiltTo { deg: deg.out() },
        }
    }
}
impl Back<m::Worst> for v4::Worst {
    fn back(self) -> m::Worst {
        match self {
            Self::AsStated => m::Worst::AsStated,
            Self::Direction => m::Worst::Direction,
            Self::Lowest => m::Worst::Lowest,
            Self::TiltTo { deg } => m::Worst::TiltTo { deg },
        }
    }
}
impl Out<v4::FrameShape> for m::FrameShape {
    fn out(self) -> v4::FrameShape {
        match self {
            Self::Rail { length_mm, width_mm, pitch_mm, first_mm, kg_m } => v4::FrameShape::Rail {
                length_mm: length_mm.out(),
                width_mm: width_mm.out(),
                pitch_mm: pitch_mm.out(),
                first_mm: first_mm.out(),
                kg_m: kg_m.out(),
            },
            Self::Plate { length_mm, width_mm, pitch_mm, first_mm, kg_m2 } => v4::FrameShape::Plate {
                length_mm: length_mm.out(),
                width_mm: width_mm.out(),
                pitch_mm: pitch_mm.out(),
                first_mm: first_mm.out(),
                kg_m2: kg_m2.out(),
            },
        }
    }
}
impl Back<m::FrameShape> for v4::FrameShape {
    fn back(self) -> m::FrameShape {
        match self {
            Self::Rail { length_mm, width_mm, pitch_mm, first_mm, kg_m } => {
                m::FrameShape::Rail { length_mm, width_mm, pitch_mm, first_mm, kg_m }
            }
            Self::Plate { length_mm, width_mm, pitch_mm, first_mm, kg_m2 } => m::FrameShape::Plate {
                length_mm,
                width_mm,
                pitch_mm: pitch_mm.into(),
                first_mm: first_mm.into(),
                kg_m2,
            },
        }
    }
}
impl Out<v4::Shape> for LipShape {
    fn out(self) -> v4::Shape {
        match self {
            Self::Round { diameter } => v4::Shape::Round { diameter: diameter.out() },
            Self::Long { length, width } => v4::Shape::Long { length: length.out(), width: width.out() },
            Self::Rectangle { length, width, corner } => {
                v4::Shape::Rectangle { length: length.out(), width: width.out(), corner: corner.out() }
            }
        }
    }
}
impl Back<LipShape> for v4::Shape {
    fn back(self) -> LipShape {
        match self {
            Self::Round { diameter } => LipShape::Round { diameter },
            Self::Long { length, width } => LipShape::Long { length, width },
            Self::Rectangle { length, width, corner } => LipShape::Rectangle { length, width, corner },
        }
    }
}
impl Out<Vec<v4::Vertex>> for &Loop {
    fn out(self) -> Vec<v4::Vertex> {
        self.vertices.iter().map(|v| v4::Vertex(v.at.x.out(), v.at.y.out(), v.bulge.out())).collect()
    }
}
impl Back<Loop> for Vec<v4::Vertex> {
    fn back(self) -> Loop {
        Loop { vertices: self.into_iter().map(|v| Vertex { at: DVec2::new(v.0, v.1), bulge: v.2 }).collect() }
    }
}
impl Out<Vec<v4::Vertex>> for Arc<Loop> {
    fn out(self) -> Vec<v4::Vertex> {
        (&*self).out()
    }
}
impl Back<Arc<Loop>> for Vec<v4::Vertex> {
    fn back(self) -> Arc<Loop> {
        Arc::new(self.back())
    }
}
impl Out<v4::Outline> for Arc<Outline> {
    fn out(self) -> v4::Outline {
        v4::Outline { outer: (&self.outer).out(), holes: self.holes.iter().map(Out::out).collect() }
    }
}
impl Back<Arc<Outline>> for v4::Outline {
    fn back(self) -> Arc<Outline> {
        Arc::new(Outline { outer: self.outer.back(), holes: self.holes.back() })
    }
}
