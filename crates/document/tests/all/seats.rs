//! Parts on one tool: added, placed, switched, taken off, mirrored, merged, kept in the file.

use crate::common::tray;
use document::*;
use glam::DVec2;
use std::sync::Arc;

/// The tray with a second, smaller part in the project.
fn two_parts() -> Project {
    let project = tray();
    let id = PartId(project.next_id());
    Edit::AddPart(Arc::new(Part::rectangle(id, "Small blank", 200.0, 120.0))).apply(&project).unwrap()
}
fn layout(p: &Project) -> &Layout {
    &p.layouts[0]
}
/// The small blank on the tool beside the tray.
fn seated() -> Project {
    let p = two_parts();
    let small = p.parts.last().unwrap().id;
    let seat = Seat { at: DVec2::new(40.0, 25.5), ..Seat::of(SeatId(p.next_id()), small) };
    Edit::AddSeat { layout: layout(&p).id, seat }.apply(&p).unwrap()
}
fn last(p: &Project) -> Seat {
    layout(p).seats.last().unwrap().clone()
}
fn change(p: &Project, change: impl FnOnce(&mut Seat)) -> Edit {
    let mut seat = last(p);
    change(&mut seat);
    Edit::ChangeSeat { layout: layout(p).id, seat, what: String::new() }
}

#[test]
fn a_tool_with_one_part_keeps_no_seat() {
    let p = tray();
    assert!(layout(&p).seats.is_empty());
    assert!(!to_text(&p).contains("seats"));
    let [only] = &layout(&p).all_seats()[..] else { panic!("one seat") };
    assert!(only.is_usual() && only.part == layout(&p).part);
    // Placed elsewhere it is kept; put back it is none to keep, and the mark is the one of before.
    let moved = Seat { at: DVec2::new(5.0, 0.0), ..only.clone() };
    let edit = Edit::ChangeSeat { layout: layout(&p).id, seat: moved, what: String::new() };
    assert!(edit.name(&p).starts_with("Place "), "{}", edit.name(&p));
    let moved = edit.apply(&p).unwrap();
    assert_eq!(last(&moved).at, DVec2::new(5.0, 0.0));
    assert_ne!(moved.fingerprint(), p.fingerprint());
    let back = change(&moved, |seat| seat.at = DVec2::ZERO).apply(&moved).unwrap();
    assert_eq!(back.fingerprint(), p.fingerprint());
    assert!(layout(&back).seats.is_empty());
}

#[test]
fn seats_are_added_changed_and_taken_off_by_name() {
    let p = seated();
    let of = layout(&p).id;
    assert_eq!(layout(&p).seats.len(), 2);
    assert_eq!(layout(&p).seats[0].part, layout(&p).part);
    assert!(layout(&p).seats[0].is_usual());
    let name = |edit: Edit| edit.name(&p);
    assert_eq!(name(change(&p, |s| s.at.x += 1.0)), "Place Small blank on the tool");
    assert_eq!(name(change(&p, |s| s.turn_deg = 90.0)), "Turn Small blank on the tool");
    assert_eq!(name(change(&p, |s| s.shut.push("A".into()))), "Shut zone A for Small blank");
    assert_eq!(name(change(&p, |s| s.share = 3.0)), "Change Small blank on the tool");
    let shut = change(&p, |s| s.shut.push("A".into())).apply(&p).unwrap();
    assert_eq!(change(&shut, |s| s.shut.clear()).name(&shut), "Open zone A for Small blank");
    let off = Edit::RemoveSeat { layout: of, seat: last(&p).id };
    assert_eq!(off.name(&p), "Remove Small blank from the tool");
    let off = off.apply(&p).unwrap();
    assert!(layout(&off).seats.is_empty());
    // The last one stays, the first one may go.
    let first = layout(&p).seats[0].id;
    let other = Edit::RemoveSeat { layout: of, seat: first }.apply(&p).unwrap();
    assert_eq!(layout(&other).part, last(&p).part);
    let error = Edit::RemoveSeat { layout: of, seat: last(&p).id }.apply(&other).unwrap_err();
    assert!(error.to_string().contains("is the last part on the tool"), "{error}");
}

#[test]
fn what_a_seat_names_must_be_there() {
    let p = seated();
    let says = |edit: Edit| edit.apply(&p).unwrap_err().to_string();
    assert!(says(change(&p, |s| s.part = PartId(999))).starts_with("part 999 of seat"));
    assert!(says(change(&p, |s| s.left_out = vec![MotionId(999)])).starts_with("motion 999 of seat"));
    assert!(says(change(&p, |s| s.may_stay_shut = vec![CupId(999)])).starts_with("cup 999 of seat"));
    assert!(says(change(&p, |s| s.shut = vec!["A".into(), "A".into()])).starts_with("zone A among those"));
    let says_nan = says(change(&p, |s| s.at.x = f64::NAN));
    assert!(says_nan.starts_with("seats.at of seat"), "{says_nan}");
    // A part that a seat uses stays.
    let small = last(&p).part;
    assert_eq!(
        says(Edit::RemovePart(small)),
        format!(
            "part Small blank is used by layout {}, nothing was changed; remove it from their tools first",
            layout(&p).name
        )
    );
    let gone = Edit::RemovePart(small)
        .apply(&Edit::RemoveSeat { layout: layout(&p).id, seat: last(&p).id }.apply(&p).unwrap());
    assert!(gone.is_ok());
}

#[test]
fn what_goes_leaves_the_seats() {
    let p = seated();
    let (cup, motion) = (layout(&p).cups[0].id, p.motions[0].id);
    let p = change(&p, |s| {
        s.may_stay_shut = vec![cup];
        s.left_out = vec![motion];
    })
    .apply(&p)
    .unwrap();
    let without = Edit::RemoveCups { layout: layout(&p).id, cups: vec![cup] }.apply(&p).unwrap();
    assert!(last(&without).may_stay_shut.is_empty() && last(&without).left_out == [motion]);
    let without = Edit::RemoveMotion(motion).apply(&without).unwrap();
    assert!(last(&without).left_out.is_empty());
    assert_eq!(from_text(&to_text(&p), "tray.ron").unwrap(), p);
}

#[test]
fn a_zone_without_cups_and_a_seat_without_a_zone_are_told_and_kept() {
    let p = seated();
    let p = change(&p, |s| s.shut = vec!["Z".into()]).apply(&p).unwrap();
    let says: Vec<String> = p.layout_problems(layout(&p).id).into_iter().map(|x| x.says).collect();
    let wanted = format!("Small blank shuts zone Z, which has no cup in {}", layout(&p).name);
    assert!(says.contains(&wanted), "{says:?}");
    assert_eq!(from_text(&to_text(&p), "tray.ron").unwrap(), p);
    let zones: Vec<String> = layout(&p).zones().into_iter().map(str::to_owned).collect();
    let all = change(&p, |s| s.shut = zones).apply(&p).unwrap();
    let says: Vec<String> = all.layout_problems(layout(&p).id).into_iter().map(|x| x.says).collect();
    assert!(says.iter().any(|says| says.contains("so nothing holds it")), "{says:?}");
}

#[test]
fn a_file_whose_seats_lead_nowhere_is_refused_where_it_is_wrong() {
    let text = to_text(&seated());
    let small = last(&seated()).part;
    let line = text.lines().find(|line| line.contains(&format!("part: {small}, at: "))).unwrap();
    let refused = |new: &str| from_text(&text.replace(line, new), "tray.ron").unwrap_err().to_string();
    let says = refused(&line.replace(&format!("part: {small}"), "part: 999"));
    assert!(says.contains("carries part 999, which is not in the file"), "{says}");
    let says = refused(&line.replace("at: ", "shut: [\"A\", \"A\"], at: "));
    assert!(says.contains("zone A among those that seat"), "{says}");
    let says = refused(&line.replace("at: ", "left_out: [999], at: "));
    assert!(says.contains("leaves out motion 999"), "{says}");
}

#[test]
fn the_other_hand_lies_at_the_same_place_under_numbers_of_its_own() {
    let p = seated();
    let before = last(&p);
    let edit = p.other_hand(layout(&p).id, before.id).unwrap();
    assert_eq!(edit.name(&p), "Add the other hand of Small blank to the tool");
    let both = edit.apply(&p).unwrap();
    let new = last(&both);
    assert_eq!((new.at, layout(&both).seats.len()), (before.at, 3));
    let image = both.part(new.part).unwrap();
    assert_eq!(image.name, "Small blank, other hand");
    let (a, b) = (p.part(before.part).unwrap().outline.bounds(), image.outline.bounds());
    assert_eq!(a, b);
    assert!(image.outline.outer.signed_area() > 0.0);
    // Twice mirrored is as before, corner by corner.
    let again = image.mirrored(PartId(77), "Small blank").unwrap();
    let old = &p.part(before.part).unwrap().outline.outer;
    assert!(
        again.outline.outer.vertices.iter().all(|v| old.vertices.iter().any(|o| o.at.distance(v.at) < 1e-12))
    );
}

#[test]
fn a_seat_puts_everything_of_a_part_on_the_tool() {
    let p = tray();
    let part = &p.parts[0];
    assert!(Arc::ptr_eq(&Seat::of(SeatId(1), part.id).place(part), part));
    let seat = Seat { at: DVec2::new(100.0, -20.0), turn_deg: 90.0, ..Seat::of(SeatId(1), part.id) };
    let placed = seat.place(part);
    for (old, new) in part.outline.outer.vertices.iter().zip(&placed.outline.outer.vertices) {
        assert_eq!(new.at, DVec2::new(100.0 - old.at.y, -20.0 + old.at.x));
        assert_eq!(seat.in_part(new.at), old.at);
    }
    for (old, new) in part.attached.iter().zip(&placed.attached) {
        assert_eq!(new.at.truncate(), seat.on_tool(old.at.truncate()));
        assert_eq!(new.turn_deg, old.turn_deg + 90.0);
    }
    assert_eq!(placed.along_deg, part.along_deg + 90.0);
}

/// The lower and the left edge of the small blank, 200 x 120 mm, against stops.
fn stops() -> Stops {
    Stops {
        edges: [(100.0, 0.0), (0.0, 60.0)].map(DVec2::from),
        at: [(60.0, 30.0), (180.0, 30.0), (40.0, 100.0)].map(DVec2::from),
    }
}
fn small(p: &Project) -> Arc<Part> {
    p.part(last(p).part).unwrap().clone()
}
fn by_stops(p: &Project, stops: Stops) -> Project {
    let seat = last(p).by_stops(&small(p), stops).unwrap();
    Edit::ChangeSeat { layout: layout(p).id, seat, what: String::new() }.apply(p).unwrap()
}

#[test]
fn a_part_laid_against_three_stops_keeps_them() {
    let p = seated();
    let edit = Edit::ChangeSeat {
        layout: layout(&p).id,
        seat: last(&p).by_stops(&small(&p), stops()).unwrap(),
        what: String::new(),
    };
    assert_eq!(edit.name(&p), "Place Small blank by its stops");
    let placed = edit.apply(&p).unwrap();
    assert_eq!((last(&placed).at, last(&placed).turn_deg), (DVec2::new(40.0, 30.0), 0.0));
    assert_eq!(from_text(&to_text(&placed), "tray.ron").unwrap(), placed);
    assert!(placed.layout_problems(layout(&p).id).is_empty(), "{:?}", placed.layout_problems(layout(&p).id));
    // One stop moved turns it; every touch stays on its edge as the file keeps the place.
    let mut turned = stops();
    turned.at[1].y += 4.0;
    let turned = by_stops(&placed, turned);
    assert!((last(&turned).turn_deg - (4.0f64 / 120.0).atan().to_degrees()).abs() < 1e-9);
    let kept = from_text(&to_text(&turned), "tray.ron").unwrap();
    let off = last(&kept).off_stops(&small(&kept));
    assert!(off.len() == 3 && off.iter().all(|mm| mm.unwrap() < 1e-9), "{off:?}");
    let says = |p: &Project| -> Vec<String> {
        p.layout_problems(layout(p).id).into_iter().map(|problem| problem.says).collect()
    };
    // Moved by hand it no longer lies against them: told, and the stops stay.
    let dragged = change(&placed, |seat| seat.at.x += 5.0);
    assert_eq!(dragged.name(&placed), "Place Small blank on the tool");
    let dragged = dragged.apply(&placed).unwrap();
    assert_eq!(says(&dragged), ["Small blank does not lie against stop 3"]);
    assert_eq!(last(&dragged).stops, Some(stops()));
    // An edge that is gone is named.
    let round = Arc::new(Part {
        outline: Arc::new(geometry::Outline::solid(geometry::Loop::circle(DVec2::new(100.0, 60.0), 60.0))),
        ..(*small(&placed)).clone()
    });
    let round = Edit::ChangePart { part: round, what: String::new() }.apply(&placed).unwrap();
    assert_eq!(says(&round), ["Small blank has no straight edge any more at its stops"]);
    let without = change(&placed, |seat| seat.stops = None);
    assert_eq!(without.name(&placed), "Remove the stops of Small blank");
    assert!(!to_text(&without.apply(&placed).unwrap()).contains("stops"));
}

#[test]
fn stops_are_told_in_a_difference_and_merged() {
    let p = seated();
    let placed = by_stops(&p, stops());
    let fields: Vec<String> = difference(&p, &placed).iter().map(|change| change.field.to_string()).collect();
    assert!(fields.iter().any(|field| field.ends_with("stops")), "{fields:?}");
    let mut other = stops();
    other.at[0].x += 10.0;
    let moved = by_stops(&placed, other);
    let fields: Vec<String> =
        difference(&placed, &moved).iter().map(|change| change.field.to_string()).collect();
    assert!(fields.len() == 1 && fields[0].ends_with("stops.at"), "{fields:?}");
    // One lays the small blank against stops, the other turns the tray: both stay.
    let first = Seat { turn_deg: 180.0, ..layout(&p).seats[0].clone() };
    let theirs = Edit::ChangeSeat { layout: layout(&p).id, seat: first, what: String::new() };
    let both = merge(&p, &placed, &theirs.apply(&p).unwrap());
    assert!(both.conflicts.is_empty());
    let both = both.project(&[]).unwrap();
    assert_eq!((layout(&both).seats[0].turn_deg, last(&both).stops), (180.0, Some(stops())));
    // Both lay it against stops of their own: a conflict.
    assert_eq!(merge(&p, &placed, &moved).conflicts.len(), 1);
}

#[test]
fn stops_that_give_no_place_say_why() {
    let p = seated();
    let units = units::UnitChoice::default();
    let says = |change: &dyn Fn(&mut Stops)| {
        let mut stops = stops();
        change(&mut stops);
        last(&p).by_stops(&small(&p), stops).unwrap_err().says(&units)
    };
    assert!(
        says(&|stops| stops.edges[1] = DVec2::new(100.0, 120.0))
            .starts_with("The two edges run the same way")
    );
    assert!(says(&|stops| stops.at[1] = stops.at[0]).starts_with("Stops 1 and 2 are 0.0 mm apart"));
    assert!(
        says(&|stops| stops.edges[0] = DVec2::new(50.0, 50.0))
            .starts_with("Stops 1 and 2 touch no straight edge")
    );
    assert!(says(&|stops| stops.at[2].y = 160.0).starts_with("Stop 3 would touch 10.0 mm beyond the end"));
    assert!(says(&|stops| stops.at[2].x = f64::NAN).starts_with("A stop has no place"));
    // Figures that are none are refused with the seat itself.
    let mut bad = stops();
    bad.at[0].x = f64::INFINITY;
    let error = change(&p, |seat| seat.stops = Some(bad)).apply(&p).unwrap_err().to_string();
    assert!(error.starts_with("seats.stops.at of seat"), "{error}");
    // The other hand has its edges elsewhere.
    let placed = by_stops(&p, stops());
    let hand = placed.other_hand(layout(&placed).id, last(&placed).id).unwrap().apply(&placed).unwrap();
    assert_eq!(last(&hand).stops, None);
}

#[test]
fn two_people_seat_parts_and_both_stay() {
    let base = two_parts();
    let small = base.parts.last().unwrap().id;
    let add = |id: u32, x: f64| {
        let seat = Seat { at: DVec2::new(x, 0.0), ..Seat::of(SeatId(id), small) };
        Edit::AddSeat { layout: base.layouts[0].id, seat }.apply(&base).unwrap()
    };
    let one = add(base.next_id() + 10, 10.0);
    let changes = difference(&base, &one);
    assert!(changes.iter().any(|c| c.field.to_string().starts_with("seats")), "{changes:?}");
    // The same seat, placed by one and switched by the other, is a conflict; different seats are not.
    let mine = change(&one, |s| s.at.x = 30.0).apply(&one).unwrap();
    let theirs = change(&one, |s| s.shut = vec!["A".into()]).apply(&one).unwrap();
    assert_eq!(merge(&one, &mine, &theirs).conflicts.len(), 1);
    let first = Seat { turn_deg: 180.0, ..layout(&one).seats[0].clone() };
    let theirs = Edit::ChangeSeat { layout: layout(&one).id, seat: first, what: String::new() };
    let both = merge(&one, &mine, &theirs.apply(&one).unwrap());
    assert!(both.conflicts.is_empty(), "{:?}", both.conflicts);
    let both = both.project(&[]).unwrap();
    assert_eq!((layout(&both).seats[0].turn_deg, last(&both).at.x), (180.0, 30.0));
    // A part that one takes out of the project stays where the other came to seat it.
    let without = Edit::RemovePart(small).apply(&base).unwrap();
    let both = merge(&base, &one, &without).project(&[]).unwrap();
    assert!(both.part(small).is_some() && layout(&both).seats.len() == 2);
}
