//! How far drawn things reach.

use crate::page::{Anchor, Item, Step};
use crate::text_width::text_width;
use glam::{DVec2, dvec2};

/// The box around what is drawn; a clip bounds what is inside it.
pub(crate) fn extent(items: &[Item]) -> Option<[DVec2; 2]> {
    let mut points = Vec::new();
    collect(items, &mut points);
    let first = *points.first()?;
    let (min, max) = points.iter().fold((first, first), |(min, max), at| (min.min(*at), max.max(*at)));
    (min.is_finite() && max.is_finite()).then_some([min, max])
}

fn collect(items: &[Item], into: &mut Vec<DVec2>) {
    let around = |centre: DVec2, radius: f64| [centre - radius, centre + radius];
    for item in items {
        match item {
            Item::Line { from, to, .. } => into.extend([*from, *to]),
            Item::Polyline { points, .. } => into.extend(points),
            Item::Path { contours, .. } => {
                for contour in contours {
                    into.push(contour.from);
                    for step in &contour.steps {
                        match *step {
                            Step::Line(to) => into.push(to),
                            Step::Arc { centre, radius, .. } => into.extend(around(centre, radius)),
                        }
                    }
                }
            }
            Item::Circle { centre, radius, .. } | Item::Arc { centre, radius, .. } => {
                into.extend(around(*centre, *radius));
            }
            Item::Text(text) => {
                let wide = text_width(&text.text, text.weight, text.size);
                let from = match text.anchor {
                    Anchor::Start => 0.0,
                    Anchor::Middle => -wide / 2.0,
                    Anchor::End => -wide,
                };
                let turn = DVec2::from_angle(text.turn_deg.to_radians());
                for corner in [dvec2(from, text.size), dvec2(from + wide, -text.size * 0.3)] {
                    into.push(text.at + turn.rotate(corner));
                }
            }
            Item::Group { clip: Some(clip), .. } => into.extend(clip.iter().flat_map(crate::outline::flat)),
            Item::Group { items, .. } | Item::Tagged { items, .. } => collect(items, into),
            Item::Bookmark { .. } => {}
        }
    }
}
