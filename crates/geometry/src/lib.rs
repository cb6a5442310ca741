//! Shapes of the part and of the lips, and what is exact about them.
//!
//! Lengths mm, areas mm², second moments mm⁴, angles rad, masses kg, densities kg/m³, inertia kg·mm² unless a name
//! says otherwise. Axes: x right, y up, seen from the robot side; turns counter-clockwise.
//!
//! | question | answered by |
//! | --- | --- |
//! | what is the part's shape | [`Outline`], [`Loop`], [`Segment`] |
//! | is the outline sound | [`validate`] |
//! | area, centroid, second moments | [`section`] |
//! | area of a ring of corners, and what lies in it | [`ring_area`], [`ring_contains`] |
//! | mass, centre of gravity, inertia | [`MassProperties`] |
//! | a lip's outline and its line | [`LipShape`], [`LipLine`] |
//! | how far is a lip from the next edge, hole or keep-out | [`SoundSurface::clearance`] |
//! | which part of it hangs over | [`SoundSurface::overhang`] |
//! | where may its centre be | [`landing_region`] |
//! | do two lips overlap | [`gap`] |
//! | where does a part lie against three stops | [`three_stops`] |
//! | where may a text stand among drawn things | [`Placer`] |
//!
//! No files, no serialisation, no threads, no clock: plain numbers in, plain numbers out. A number that is not finite
//! gives no answer (`None` or empty) rather than another such number.

mod around;
mod clearance;
mod cover;
mod deep;
mod depth;
mod edge;
mod gap;
mod hull;
mod landing;
mod lettering;
mod lip;
mod mass;
mod outline;
mod overhang;
mod pose;
mod ring;
mod section;
mod segment;
mod sketch;
mod surface;
mod triangulate;
mod unsound;
mod validate;

pub use clearance::Clearance;
pub use cover::{Cover, cover};
pub use gap::gap;
pub use hull::{hull, inside_hull, is_in_hull};
pub use landing::{FlatPolygon, LandingIndex, LandingRegion, landing_corners, landing_region};
pub use lettering::{Held, Leader, Mark, Place, Placer, Wanted, around};
pub use lip::{Lip, LipLine, LipShape};
pub use mass::{MassProperties, areal_mass};
pub use outline::{Bounds, Loop, Outline, Vertex};
pub use overhang::Overhang;
pub use pose::{Edge, NoPlace, Pose, three_stops};
pub use ring::{ring_area, ring_contains};
pub use section::{Principal, Section, section};
pub use segment::{Meets, Segment};
pub use surface::{Limit, SoundSurface};
pub use triangulate::{Triangles, triangulate, triangulate_flat};
pub use validate::{OutlineProblem, Ring, validate};
