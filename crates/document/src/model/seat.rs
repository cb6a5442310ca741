//! Seats: the parts that one tool carries one after another, and where each lies on it.

use super::{CupId, KeepOut, Layout, LayoutId, MotionId, Part, PartId, Project, SeatId, Stops};
use geometry::{Bounds, Pose};
use glam::{DVec2, DVec3};
use std::sync::Arc;

/// A part on the tool. The tool's frame is that of the plan, its datum at 0, 0; the part's frame is that of its drawing, its
/// datum where the seat puts it.
#[derive(Debug, Clone, PartialEq)]
pub struct Seat {
    /// Unique within the layout.
    pub id: SeatId,
    /// What lies there.
    pub part: PartId,
    /// Where the part's datum lies on the tool, mm.
    pub at: DVec2,
    /// Turn of the part about its datum, degrees, counter-clockwise.
    pub turn_deg: f64,
    /// Zones whose valve is shut while this part is carried; every other is on.
    pub shut: Vec<String>,
    /// Motions that this part does not make; it makes every other.
    pub left_out: Vec<MotionId>,
    /// Cups on the part that it does not need: their valve may be shut.
    pub may_stay_shut: Vec<CupId>,
    /// How many of this part are picked for how many of the others; weighed against each other.
    pub share: f64,
    /// What it was laid against, where it was placed by stops.
    pub stops: Option<Stops>,
}

impl Seat {
    /// A part with its datum on that of the tool, all zones on, all motions.
    pub fn of(id: SeatId, part: PartId) -> Self {
        Self {
            id,
            part,
            at: DVec2::ZERO,
            turn_deg: 0.0,
            shut: Vec::new(),
            left_out: Vec::new(),
            may_stay_shut: Vec::new(),
            share: 1.0,
            stops: None,
        }
    }
    /// Whether nothing was decided of it but its part.
    pub fn is_usual(&self) -> bool {
        *self == Self::of(self.id, self.part)
    }
    /// Whether the valve of a zone is open for this part. Cups without a zone hang on no valve: they are always on.
    pub fn is_on(&self, zone: &str) -> bool {
        zone.is_empty() || !self.shut.iter().any(|shut| shut == zone)
    }
    /// Where the part's frame lies on the tool.
    pub fn pose(&self) -> Pose {
        Pose::new(self.at, self.turn_deg)
    }
    /// A point of the part on the tool, mm.
    pub fn on_tool(&self, in_part: DVec2) -> DVec2 {
        self.pose().out(in_part)
    }
    /// A point of the tool in the part's frame, mm.
    pub fn in_part(&self, on_tool: DVec2) -> DVec2 {
        self.pose().back(on_tool)
    }
    /// The part as it lies on the tool, everything of it in the tool's frame; the same object where its datum lies on the tool's.
    pub fn place(&self, part: &Arc<Part>) -> Arc<Part> {
        if self.at == DVec2::ZERO && self.turn_deg == 0.0 {
            return Arc::clone(part);
        }
        Arc::new(moved(part, self.turn_deg, &|at| self.on_tool(at), false))
    }
}

/// A part with everything of it put elsewhere.
fn moved(part: &Part, turn_deg: f64, put: &dyn Fn(DVec2) -> DVec2, mirror: bool) -> Part {
    let of = |boundary: &geometry::Loop| {
        let vertex = |v: &geometry::Vertex| geometry::Vertex {
            at: put(v.at),
            bulge: if mirror { -v.bulge } else { v.bulge },
        };
        let moved = geometry::Loop { vertices: boundary.vertices.iter().map(vertex).collect() };
        // A mirrored boundary runs the other way round.
        if mirror && !moved.vertices.is_empty() { moved.reversed() } else { moved }
    };
    let place = |at: DVec3| put(at.truncate()).extend(at.z);
    let turned = |deg: f64| if mirror { turn_deg - deg } else { turn_deg + deg };
    let mut new = part.clone();
    new.outline = Arc::new(geometry::Outline {
        outer: of(&part.outline.outer),
        holes: part.outline.holes.iter().map(of).collect(),
    });
    new.keep_outs =
        part.keep_outs.iter().map(|k| KeepOut { area: Arc::new(of(&k.area)), ..k.clone() }).collect();
    if let Some(datum) = &mut new.datum {
        datum.at = put(datum.at);
    }
    if let Some(centre) = &mut new.centre_of_gravity {
        centre.value = place(centre.value);
    }
    for attached in &mut new.attached {
        attached.at = place(attached.at);
        attached.turn_deg = turned(attached.turn_deg);
    }
    new.along_deg = turned(part.along_deg);
    new
}

impl Layout {
    /// Its seats; of a tool with one part that nobody placed that part at the datum, under [`SeatId`] 0.
    ///
    /// ```
    /// # use document::{Part, PartId, Project, SeatId};
    /// let project = Project::new("Tray line 2", Part::rectangle(PartId(1), "Tray blank", 600.0, 400.0));
    /// let seats = project.layouts[0].all_seats();
    /// assert_eq!((seats.len(), seats[0].id, seats[0].is_usual()), (1, SeatId(0), true));
    /// ```
    pub fn all_seats(&self) -> Vec<Seat> {
        if self.seats.is_empty() { vec![Seat::of(SeatId(0), self.part)] } else { self.seats.clone() }
    }
    /// One of the seats that the file keeps.
    pub fn seat(&self, id: SeatId) -> Option<&Seat> {
        self.seats.iter().find(|seat| seat.id == id)
    }
    /// Parts that it carries, each once, in the order of the seats.
    pub fn parts(&self) -> Vec<PartId> {
        let mut parts = vec![self.part];
        for seat in &self.seats {
            if !parts.contains(&seat.part) {
                parts.push(seat.part);
            }
        }
        parts
    }
    /// Zones with a name, in the order of their first cup.
    pub fn zones(&self) -> Vec<&str> {
        let mut zones: Vec<&str> = Vec::new();
        for zone in self.cups.iter().map(|cup| cup.zone.as_str()).filter(|zone| !zone.is_empty()) {
            if !zones.contains(&zone) {
                zones.push(zone);
            }
        }
        zones
    }
    /// Keeps the part that the layout is for in step with its first seat; one seat of which nothing was decided is none to keep.
    pub(crate) fn follow_seats(&mut self) {
        if let Some(first) = self.seats.first() {
            self.part = first.part;
        }
        if let [only] = self.seats.as_slice()
            && only.is_usual()
        {
            self.seats.clear();
        }
    }
}

impl Project {
    /// What a part is called.
    pub fn name_of_part(&self, id: PartId) -> &str {
        self.part(id).map_or("part", |part| part.name.as_str())
    }
    /// What a seat is called: its part, with a number where that part lies on the tool more than once.
    pub fn seat_name(&self, layout: LayoutId, id: SeatId) -> String {
        let seats = self.layout(layout).map(|layout| layout.all_seats()).unwrap_or_default();
        let Some(seat) = seats.iter().find(|seat| seat.id == id) else { return "part".to_owned() };
        let name = self.name_of_part(seat.part);
        let alike: Vec<SeatId> =
            seats.iter().filter(|s| self.name_of_part(s.part) == name).map(|s| s.id).collect();
        match alike.as_slice() {
            [_] => name.to_owned(),
            several => {
                let place = several.iter().position(|held| *held == id).unwrap_or(0);
                format!("{name} ({})", place + 1)
            }
        }
    }
    /// The edits that put the other hand of a seat's part on the tool: its mirror image about the upright line through its
    /// middle, at the same place, under ids of their own. `None` without that seat, or for a part without an outline.
    pub fn other_hand(&self, layout: LayoutId, seat: SeatId) -> Option<crate::Edit> {
        let held = self.layout(layout)?.all_seats().into_iter().find(|held| held.id == seat)?;
        let part = self.part(held.part)?;
        let id = PartId(self.next_id());
        let image = part.mirrored(id, &self.free_part_name(&format!("{}, other hand", part.name)))?;
        let next = image.attached.iter().map(|a| a.id.0).chain(image.keep_outs.iter().map(|k| k.id.0));
        let next = next.fold(id.0, u32::max).saturating_add(1);
        // The image has its edges elsewhere.
        let new = Seat { id: SeatId(next), part: id, stops: None, ..held };
        Some(crate::Edit::Together {
            name: format!("Add the other hand of {} to the tool", part.name),
            edits: vec![crate::Edit::AddPart(Arc::new(image)), crate::Edit::AddSeat { layout, seat: new }],
        })
    }
    /// `wanted`, or with the first number behind it that no part has.
    pub fn free_part_name(&self, wanted: &str) -> String {
        let taken = |name: &str| self.parts.iter().any(|part| part.name == name);
        let numbered = (2u64..).map(|n| format!("{wanted} {n}"));
        let mut names = std::iter::once(wanted.to_owned()).chain(numbered);
        names.find(|name| !taken(name)).unwrap_or_default()
    }
}

impl Part {
    /// Its mirror image about the upright line through the middle of its outline; no drawing is its origin. `None` without an
    /// outline.
    ///
    /// ```
    /// # use document::{Part, PartId};
    /// # use glam::DVec2;
    /// let part = Part::rectangle(PartId(1), "Panel", 600.0, 400.0);
    /// let image = part.mirrored(PartId(2), "Panel, other hand").unwrap();
    /// assert_eq!(image.outline.bounds().unwrap().max, DVec2::new(600.0, 400.0));
    /// ```
    pub fn mirrored(&self, id: PartId, name: &str) -> Option<Self> {
        let Bounds { min, max } = self.outline.bounds()?;
        let twice = min.x + max.x;
        let mut image = moved(self, 0.0, &|at| DVec2::new(twice - at.x, at.y), true);
        image.id = id;
        name.clone_into(&mut image.name);
        image.drawing = None;
        Some(image)
    }
}
