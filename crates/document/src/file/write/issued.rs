//! Issued revisions as text: as the content of a project, with a line for each thing that an earlier revision has.

use super::{Around, Text, circuit, layout, part, sheet};
use crate::file::v4::{Content, Frozen, Issued, OwnPart};
use serde::Serialize;

const OWN: Around = ("Own(", ")");

pub(super) fn issued(out: &mut Text, i: &Issued) {
    out.open("", "(");
    out.field("index", &i.index);
    out.field("on", &i.on);
    out.field("by", &i.by);
    out.field("what", &i.what);
    out.field("program", &i.program);
    out.field("fingerprint", &i.fingerprint);
    out.field("form", &i.form);
    content(out, &i.content);
    out.close("),");
}

fn content(out: &mut Text, c: &Content) {
    out.open("content: ", "(");
    out.field("name", &c.name);
    out.field("last_id", &c.last_id);
    out.field("site", &c.site);
    out.field("rules", &c.rules);
    out.field("cycle", &c.cycle);
    sheet(out, &c.sheet);
    things(out, "parts", &c.parts, own_part);
    things(out, "circuits", &c.circuits, |out, own| circuit::circuit(out, OWN, own));
    out.lines("motions", &c.motions);
    things(out, "layouts", &c.layouts, |out, own| layout(out, OWN, own));
    circuit::trial(out, &c.trial);
    out.lines("accepted", &c.accepted);
    out.lines("models", &c.models);
    out.lines("sources", &c.sources);
    out.close("),");
}
/// What is written out takes several lines, what is taken over one.
fn things<T: Serialize>(out: &mut Text, name: &str, list: &[Frozen<T>], own: impl Fn(&mut Text, &T)) {
    out.list(name, list, |out, thing| match thing {
        Frozen::Own(thing) => own(out, thing),
        Frozen::As(..) => out.line(thing),
    });
}
fn own_part(out: &mut Text, own: &OwnPart) {
    out.open("", "Own((");
    out.field("outline", &own.outline);
    out.field("areas", &own.areas);
    part(out, "part: (", &own.part, "),");
    out.close(")),");
}
