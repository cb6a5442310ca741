//! What lies on the plan: outline, keep-outs, cups, centre of gravity, datum, and the texts beside them.

use crate::context::Context;
use crate::cups;
use crate::frame::Rect;
use crate::frame_pieces;
use crate::ghosts;
use crate::labels::{AROUND, Label, Labels};
use crate::outline::{contour_of, flat};
use crate::page::{Contour, Dash, Item, Pen, Tone, Weight};
use crate::plan_symbols::{
    FLANGE, GRAVITY, centre_of_gravity, datum_sign, flange_sign, hatched, hole_centre,
};
use crate::style::{NOTE, Style, TAG, THICK, THIN, left, text};
use crate::text_width::printable;
use crate::view::View;
use geometry::{Limit, Lip, Loop, SoundSurface};
use glam::{DVec2, dvec2};
use telling::Elsewhere;

/// Where the plan lies and where texts may stand on it.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Place {
    pub view: View,
    /// The lower left of what is drawn, on the page.
    pub lower_left: DVec2,
    /// Where texts may stand.
    pub room: Rect,
    /// Size of the signs over the usual one: less on a part that is hardly larger than they are.
    pub signs: f64,
}

fn closed(contour: &Contour) -> Vec<DVec2> {
    let mut points = flat(contour);
    points.push(contour.from);
    points
}

/// The other parts of a tool, thin and dashed, and its cups that do not hold this one, thin.
fn beside(context: &Context, place: &Place, items: &mut Vec<Item>) -> Vec<Vec<DVec2>> {
    let mut lines = Vec::new();
    let mut drawn = Vec::new();
    let pen = |dash: Dash| Some(Pen { width: THIN, dash, tone: Tone::Second });
    for (_, part) in context.parts_beside() {
        for boundary in part.outline.loops() {
            let Some(contour) = contour_of(boundary, &place.view) else { continue };
            lines.push(closed(&contour));
            drawn.push(Item::Path { contours: vec![contour], pen: pen(Dash::Dashed), fill: None });
        }
    }
    for cup in context.cups_beside() {
        let Some(contour) = cups::lip_contour(cup, cup.shape, &place.view) else { continue };
        lines.push(closed(&contour));
        drawn.push(Item::Path { contours: vec![contour], pen: pen(Dash::Solid), fill: None });
    }
    if !drawn.is_empty() {
        items.push(Item::Group { name: "other parts of the tool".to_owned(), clip: None, items: drawn });
    }
    lines
}

/// Draws everything on the plan; returns how many tags found no room.
pub(crate) fn draw(
    context: &Context,
    place: &Place,
    ghosts: &Elsewhere,
    datum_shown: bool,
    style: &Style,
    items: &mut Vec<Item>,
) -> usize {
    let mut lines: Vec<Vec<DVec2>> = Vec::new();
    let mut solids: Vec<Vec<DVec2>> = Vec::new();
    if let Some(part) = context.part() {
        let contours: Vec<Contour> = std::iter::once(&part.outline.outer)
            .chain(&part.outline.holes)
            .filter_map(|boundary| contour_of(boundary, &place.view))
            .collect();
        lines.extend(contours.iter().map(closed));
        items.push(Item::Path {
            contours,
            pen: Some(Pen::solid(THICK, Tone::Ink)),
            fill: Some(Tone::Surface),
        });
        for hole in &part.outline.holes {
            for mark in hole_centre(hole, &place.view) {
                if let Item::Line { from, to, .. } = &mark {
                    lines.push(vec![*from, *to]);
                }
                items.push(mark);
            }
        }
        for keep_out in &part.keep_outs {
            if let Some(contour) = contour_of(&keep_out.area, &place.view) {
                solids.push(closed(&contour));
                items.push(hatched(contour));
            }
        }
    }
    lines.extend(frame_pieces::draw(context, &place.view, items));
    let mut boxes = Vec::new();
    let zone_names = context.zones();
    let zone_of = |cup: &analysis::CupReport| {
        (zone_names.len() > 1).then(|| zone_names.iter().position(|zone| *zone == cup.zone.trim())).flatten()
    };
    for cup in &context.report.cups {
        let drawn = cups::draw(cup, context.model_of(cup.id), &place.view, zone_of(cup));
        lines.extend(drawn.iter().filter_map(|item| match item {
            Item::Line { from, to, .. } => Some(vec![*from, *to]),
            _ => None,
        }));
        items.extend(drawn);
        let contour = cups::lip_contour(cup, cup.shape, &place.view);
        let (min, max) =
            contour.as_ref().map_or((place.view.at(cup.at), place.view.at(cup.at)), cups::half_box);
        boxes.push(Rect::new(min, max));
        solids.extend(contour.as_ref().map(closed));
    }
    lines.extend(beside(context, place, items));
    lines.extend(ghosts::draw(ghosts, &place.view, items));
    let overhangs = overhangs(context, place, items, &mut lines);
    let gravity = context.report.part.as_ref().map(|part| {
        let at = place.view.at(part.centre_of_gravity_mm.truncate());
        items.push(centre_of_gravity(at, GRAVITY * place.signs));
        let ring = Rect::new(at - GRAVITY * place.signs, at + GRAVITY * place.signs);
        solids.push(closed(&Contour::rectangle(ring.min, ring.max)));
        ring
    });
    let flange = context.stated_tool().map(|tool| {
        let at = place.view.at(tool.flange.truncate());
        items.push(flange_sign(at, FLANGE * place.signs));
        let ring = Rect::new(at - FLANGE * place.signs, at + FLANGE * place.signs);
        solids.push(closed(&Contour::rectangle(ring.min, ring.max)));
        ring
    });
    let datum = datum_shown.then(|| {
        let at = place.view.at(context.datum());
        items.push(datum_sign(at));
        let ring = Rect::new(at - 1.5, at + 1.5);
        solids.push(closed(&Contour::rectangle(ring.min, ring.max)));
        ring
    });
    let mut labels = Labels::new(place.room, &lines, solids);
    let tags_left_out = tags(context, &boxes, &mut labels, style, items);
    // Tags of cups that do not hold this part stand where there is room: the hole table has them all.
    for cup in context.cups_beside() {
        let Some(contour) = cups::lip_contour(cup, cup.shape, &place.view) else { continue };
        let (min, max) = cups::half_box(&contour);
        let says = printable(&cup.tag);
        let (size, weight, of) = (style.small, Weight::Regular, Rect::new(min, max));
        let label = Label { says: &says, size, weight, tone: Tone::Second, of };
        items.extend(labels.place(&label, &AROUND, false).into_iter().flatten());
    }
    ghosts::names(context, ghosts, &place.view, &mut labels, style, items);
    for (says, at) in overhangs {
        let of = Rect::new(at - 0.4, at + 0.4);
        let label = Label { says: &says, size: style.small, weight: Weight::SemiBold, tone: Tone::Fail, of };
        items.extend(labels.place(&label, &AROUND, true).unwrap_or_default());
    }
    if let (Some(of), Some(part)) = (gravity, &context.report.part) {
        let says = context.point(part.centre_of_gravity_mm.truncate());
        let label = Label { says: &says, size: style.small, weight: Weight::Regular, tone: Tone::Second, of };
        items.extend(labels.place(&label, &AROUND, true).unwrap_or_default());
    }
    if let Some(of) = flange {
        let label =
            Label { says: "flange", size: style.small, weight: Weight::SemiBold, tone: Tone::Ink, of };
        items.extend(labels.place(&label, &AROUND, true).unwrap_or_default());
    }
    if let Some(of) = datum {
        if !place.view.mirrored && (of.min + 1.5 - place.lower_left).abs().max_element() < 1e-6 {
            // In the corner between the two rows of figures there is always room.
            let at = place.lower_left - dvec2(3.0, 5.4);
            let anchor = crate::page::Anchor::End;
            items.push(text(at, "datum", style.small * 1.06, Weight::SemiBold, Tone::Ink, anchor));
        } else {
            let label =
                Label { says: "datum", size: style.small, weight: Weight::SemiBold, tone: Tone::Ink, of };
            items.extend(labels.place(&label, &AROUND, true).unwrap_or_default());
        }
    }
    keep_out_names(context, place, &mut labels, style, items);
    frame_pieces::names(context, &place.view, &mut labels, style, items);
    if zone_names.len() > 1 {
        zones(context, &boxes, &mut labels, style, items);
    }
    tags_left_out
}

/// All tags in one manner as long as there is one that suits all: beside the cups in one direction, beside them in any,
/// inside the lips, each from large to small letters; only then each as it finds room, on a leader if need be.
fn tags(
    context: &Context,
    boxes: &[Rect],
    labels: &mut Labels,
    style: &Style,
    items: &mut Vec<Item>,
) -> usize {
    let says: Vec<String> = context.report.cups.iter().map(|cup| printable(&cup.tag)).collect();
    let label = |index: usize, size: f64| Label {
        says: &says[index],
        size,
        weight: Weight::SemiBold,
        tone: Tone::Ink,
        of: boxes[index],
    };
    let usual = (style.body * 1.06).max(TAG);
    for size in [usual, TAG] {
        for direction in AROUND {
            let places: Vec<Rect> = (0..says.len()).map(|i| label(i, size).beside(direction)).collect();
            if places.iter().all(|place| labels.clear(place)) && apart(&places) {
                for (index, place) in places.iter().enumerate() {
                    labels.take(place);
                    items.push(label(index, size).item(*place));
                }
                return 0;
            }
        }
        let any = |labels: &mut Labels| -> Option<Vec<Item>> {
            let placed: Option<Vec<Vec<Item>>> =
                (0..says.len()).map(|index| labels.place(&label(index, size), &AROUND, false)).collect();
            Some(placed?.concat())
        };
        let within = |labels: &mut Labels| -> Option<Vec<Item>> {
            let placed: Option<Vec<Vec<Item>>> = (0..says.len())
                .map(|index| labels.place_within(&label(index, size), Tone::Surface))
                .collect();
            Some(placed?.concat())
        };
        if let Some(placed) = labels.attempt(any).or_else(|| labels.attempt(within)) {
            items.extend(placed);
            return 0;
        }
    }
    let each = |labels: &mut Labels, leaders: bool| -> (Vec<Item>, usize) {
        let one = |index: usize| {
            let tag = label(index, TAG);
            labels
                .place(&tag, &AROUND, false)
                .or_else(|| labels.place_within(&tag, Tone::Surface))
                .or_else(|| leaders.then(|| labels.place(&tag, &AROUND, true)).flatten())
        };
        let placed: Vec<Vec<Item>> = (0..says.len()).filter_map(one).collect();
        let left_out = says.len() - placed.len();
        (placed.concat(), left_out)
    };
    // A few on leaders among many without any are a tangle that tags nothing: then those beside their cups, or none.
    let few =
        |(placed, left_out): (Vec<Item>, usize)| (2 * left_out <= says.len()).then_some((placed, left_out));
    let (placed, left_out) =
        labels.attempt(|labels| few(each(labels, true))).unwrap_or_else(|| each(labels, false));
    items.extend(placed);
    left_out
}

/// Whether no two boxes touch.
fn apart(places: &[Rect]) -> bool {
    let mut order: Vec<&Rect> = places.iter().collect();
    order.sort_by(|a, b| a.min.x.total_cmp(&b.min.x));
    order.iter().enumerate().all(|(index, a)| {
        order[index + 1..]
            .iter()
            .take_while(|b| b.min.x < a.max.x + 0.4)
            .all(|b| b.min.y > a.max.y + 0.3 || a.min.y > b.max.y + 0.3)
    })
}

/// Zone letters stand in one manner where they can, else each where it finds a place.
fn zones(context: &Context, boxes: &[Rect], labels: &mut Labels, style: &Style, items: &mut Vec<Item>) {
    const BELOW_FIRST: [(f64, f64); 4] = [(1.0, -1.0), (-1.0, -1.0), (1.0, 1.0), (-1.0, 1.0)];
    let says: Vec<(String, Rect)> = context
        .report
        .cups
        .iter()
        .zip(boxes)
        .map(|(cup, of)| (printable(cup.zone.trim()), *of))
        .filter(|(says, _)| !says.is_empty())
        .collect();
    let size = (style.small * 0.95).max(NOTE);
    let label = |index: usize| {
        let (says, of): &(String, Rect) = &says[index];
        Label { says, size, weight: Weight::Regular, tone: Tone::Second, of: *of }
    };
    let near = |labels: &mut Labels, around: &[(f64, f64)]| -> Option<Vec<Item>> {
        let mut placed = Vec::new();
        for index in 0..says.len() {
            let label = label(index);
            let place = around.iter().map(|direction| label.beside(*direction)).find(|p| labels.clear(p))?;
            labels.take(&place);
            placed.push(label.item(place));
        }
        Some(placed)
    };
    let manners = BELOW_FIRST.iter().map(std::slice::from_ref).chain([BELOW_FIRST.as_slice()]);
    for around in manners {
        if let Some(placed) = labels.attempt(|labels| near(labels, around)) {
            items.extend(placed);
            return;
        }
    }
    // The hatching tells zones apart where not every letter finds a place close by.
    for index in 0..says.len() {
        items.extend(labels.place(&label(index), &AROUND, false).unwrap_or_default());
    }
}

fn keep_out_names(
    context: &Context,
    place: &Place,
    labels: &mut Labels,
    style: &Style,
    items: &mut Vec<Item>,
) {
    const UNDER_FIRST: [(f64, f64); 4] = [(0.0, -1.0), (0.0, 1.0), (1.0, 0.0), (-1.0, 0.0)];
    for keep_out in context.part().iter().flat_map(|part| &part.keep_outs) {
        let Some(bounds) = keep_out.area.bounds() else { continue };
        let of = Rect::new(place.view.at(bounds.min), place.view.at(bounds.max));
        let name = keep_out.name.trim();
        let says =
            printable(&if name.is_empty() { "keep-out".to_owned() } else { format!("keep-out: {name}") });
        let width = (place.room.width() * 0.6).max(20.0);
        let says = crate::text_width::cut_to(&says, Weight::Italic, style.small, width);
        let label = Label { says: &says, size: style.small, weight: Weight::Italic, tone: Tone::Second, of };
        items.extend(
            labels
                .place(&label, &UNDER_FIRST, false)
                .or_else(|| labels.place_within(&label, Tone::Surface))
                .or_else(|| labels.place(&label, &UNDER_FIRST, true))
                .unwrap_or_default(),
        );
    }
}

/// Heavy dashes along each lip that hangs over, and the figure for its worst place.
fn overhangs(
    context: &Context,
    place: &Place,
    items: &mut Vec<Item>,
    lines: &mut Vec<Vec<DVec2>>,
) -> Vec<(String, DVec2)> {
    let over: Vec<_> = context
        .report
        .cups
        .iter()
        .filter_map(|cup| {
            let clearance = cup.clearance.filter(|clearance| clearance.distance < 0.0)?;
            Some((cup, clearance))
        })
        .collect();
    let Some(part) = context.part().filter(|_| !over.is_empty()) else { return Vec::new() };
    let keep_outs: Vec<Loop> = part.keep_outs.iter().map(|k| k.area.as_ref().clone()).collect();
    let surface = SoundSurface::new(&part.outline, &keep_outs);
    let pen = Pen { width: 0.8, dash: Dash::Overhang, tone: Tone::Fail };
    let mut figures = Vec::new();
    for (cup, clearance) in over {
        let lip = Lip { shape: cup.shape, at: cup.at, turn: cup.turn_deg.to_radians() };
        let mut worst: Option<DVec2> = None;
        for piece in surface.overhang(&lip) {
            let points: Vec<DVec2> = piece.points.iter().map(|at| place.view.at(*at)).collect();
            worst = worst.or_else(|| points.get(points.len() / 2).copied());
            lines.push(points.clone());
            items.push(Item::Polyline { points, closed: false, pen });
        }
        let over_what = match clearance.limit {
            Limit::Edge => "over the edge",
            Limit::Hole(_) => "over a hole",
            Limit::KeepOut(_) => "on a keep-out",
        };
        let says = format!("{} {over_what}", context.length(-clearance.distance));
        figures.push((says, worst.unwrap_or_else(|| place.view.at(clearance.on_lip))));
    }
    figures
}

/// What stands in the plan's place when there is nothing to draw.
pub(crate) fn nothing(rect: Rect, style: &Style) -> Item {
    let at = rect.upper_left() + dvec2(6.0, -14.0);
    let says = "Nothing to draw: the part has no outline and no cups are placed.";
    let says = crate::text_width::cut_to(says, Weight::Regular, style.body, rect.width() - 8.0);
    left(at, &says, style.body, Weight::Regular, Tone::Second)
}
