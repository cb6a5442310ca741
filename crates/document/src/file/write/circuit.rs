//! Circuits, sources and trial as text: a circuit with nothing but its level is one line, a supply one line for each of its parts.

use super::{Around, Text};
use crate::file::v4;

pub(super) fn circuit(out: &mut Text, (before, after): Around, c: &v4::Circuit) {
    if c.thresholds.is_none() && c.supply.is_none() {
        out.start();
        out.text.push_str(before);
        out.value(c);
        out.text.push_str(after);
        out.text.push_str(",\n");
        return;
    }
    out.open(before, "(");
    out.field("id", &c.id);
    out.field("name", &c.name);
    out.field("level_kpa", &c.level_kpa);
    if let Some(thresholds) = &c.thresholds {
        out.field("thresholds", thresholds);
    }
    if let Some(s) = &c.supply {
        out.open("supply: ", "(");
        out.field("source", &s.source);
        out.field("arrangement", &s.arrangement);
        if s.sources != 1 {
            out.field("sources", &s.sources);
        }
        out.field("feed_kpa", &s.feed_kpa);
        out.field("at", &s.at);
        out.field("main", &s.main);
        if !s.fitting_loss.is_plain() {
            out.field("fitting_loss", &s.fitting_loss);
        }
        out.field("manifold", &s.manifold);
        out.field("branch", &s.branch);
        out.lines("branches", &s.branches);
        out.field("restrictor", &s.restrictor);
        out.field("check_valve_at_cup", &s.check_valve_at_cup);
        out.field("filter", &s.filter);
        if s.filter_at_cup.is_some() {
            out.field("filter_at_cup", &s.filter_at_cup);
        }
        if s.dust.is_some() {
            out.field("dust", &s.dust);
        }
        out.lines("valves", &s.valves);
        out.field("lip_gap_um", &s.lip_gap_um);
        out.field("area_gripper", &s.area_gripper);
        if s.cell_closing.is_some() {
            out.field("cell_closing", &s.cell_closing);
        }
        if s.operation != v4::Operation::default() {
            out.field("operation", &s.operation);
        }
        out.close("),");
    }
    out.close(&format!("){after},"));
}

pub(super) fn trial(out: &mut Text, t: &v4::Trial) {
    out.open("trial: ", "(");
    out.lines("entries", &t.entries);
    out.lines("curves", &t.curves);
    out.close("),");
}
