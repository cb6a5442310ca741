//! The panels around the plan, one file each: read-only state in, actions out.

mod age;
mod change;
mod charts;
mod checklist;
mod circuit_charts;
mod circuit_dust;
mod circuit_figures;
mod circuit_operation;
mod circuit_parts;
mod circuits;
mod compare;
mod cycle;
mod envelope;
mod findings;
mod frame;
mod guide;
mod inputs;
mod layouts;
mod line_fittings;
mod lines;
mod masses;
mod menu;
mod motion_card;
mod motions;
mod origin;
mod part;
mod places;
mod properties;
mod proposals;
mod remarks;
mod reserve;
mod review;
mod rows;
mod schematic;
mod seats;
mod severity;
mod state;
mod status;
mod surface;
mod thresholds;
mod tool;
mod verdict;

pub use proposals::sentence;
pub use remarks::show as show_remark;
pub use reserve::lost_name;
pub use seats::seat_part;
pub use state::{PanelState, ReviewTab, Status};

use crate::{
    plan::{self, PlanState},
    theme::Tokens,
    view::{Action, View},
};
use document::CupId;
use egui::{Frame, Margin, Panel, Ui};
use frame::{Edged, Side};
use std::collections::HashMap;

fn paper(t: &Tokens, x: i8, y: i8) -> Frame {
    Frame::new().fill(t.ground).inner_margin(Margin::symmetric(x, y))
}

/// Lays the window out.
pub fn window_ui(
    ui: &mut Ui,
    view: &View,
    state: &mut PanelState,
    plan: &mut PlanState,
    overhangs: &HashMap<CupId, Vec<geometry::Overhang>>,
    status: &Status,
    actions: &mut Vec<Action>,
) {
    let t = view.tokens;
    state.preview.clear();
    ui.spacing_mut().item_spacing.y = 2.0;
    Panel::top("title bar")
        .exact_size(44.0)
        .frame(paper(&t, 20, 6))
        .show(ui, |ui| menu::title_ui(ui, view, status, actions));
    Panel::top("verdict")
        .exact_size(verdict::height(ui))
        .frame(paper(&t, 20, 8))
        .show(ui, |ui| verdict::verdict_ui(ui, view, actions));
    // Under everything: at the plan's width what it says would be cut.
    Panel::bottom("status")
        .exact_size(30.0)
        .frame(paper(&t, 20, 4))
        .show(ui, |ui| status::status_ui(ui, view, plan, status, actions));
    if !state.plan_alone {
        sides_ui(ui, view, state, plan, actions);
    }
    if !state.plan_alone {
        bottom_ui(ui, view, state, actions);
    }
    Panel::top("layouts")
        .exact_size(layouts::STRIP)
        .frame(paper(&t, 20, 0))
        .show(ui, |ui| layouts::layouts_ui(ui, view, plan.show.loads && !state.circuit, actions));
    if let (None, Some(review)) = (&view.compare, &view.review) {
        // A file that cannot be edited is never taken for one that can: its band has a colour of its own.
        let band =
            if review.sealed { paper(&t, 20, 4).fill(t.working) } else { paper(&t, 20, 4).fill(t.selection) };
        Panel::top("review strip")
            .exact_size(40.0)
            .frame(band)
            .show(ui, |ui| review::strip_ui(ui, view, review, actions));
    }
    if let Some(other) = &view.compare {
        let half = ui.available_width() / 2.0;
        // Each plan under its name: over the part it would be struck out by the outline.
        let heads = Frame::new().fill(t.ground).inner_margin(Margin::symmetric(16, 0));
        Panel::top("names of the plans")
            .exact_size(plan::HEAD)
            .frame(heads)
            .show(ui, |ui| plan::heads_ui(ui, view, other));
        Panel::right("other plan").exact_size(half).resizable(false).frame(Frame::new().fill(t.ground)).show(
            ui,
            |ui| {
                plan::other_ui(ui, view, other, plan, actions);
            },
        );
    }
    if state.circuit && view.compare.is_none() && view.review.is_none() {
        let half = ui.available_width() * 0.5;
        Panel::right("schematic").exact_size(half).resizable(false).frame(Frame::new().fill(t.ground)).show(
            ui,
            |ui| {
                schematic::schematic_ui(ui, view, actions);
            },
        );
    }
    plan.show.circuit = state.circuit;
    plan.preview.append(&mut state.preview);
    egui::CentralPanel::no_frame().frame(Frame::new().fill(t.ground)).show(ui, |ui| {
        plan::plan_ui(ui, view, plan, overhangs, actions);
    });
}

/// Below this width, points, the right side is folded until a person opens it: a small screen, or large text.
const CROWDED: f32 = 1100.0;

/// Inputs at the left, what is selected at the right.
fn sides_ui(
    ui: &mut Ui,
    view: &View,
    state: &mut PanelState,
    plan: &mut PlanState,
    actions: &mut Vec<Action>,
) {
    let t = view.tokens;
    // Wider in a large window; the plan has the most of every one.
    let window = ui.ctx().content_rect().width();
    let wide = |small: f32, large: f32| egui::remap_clamp(window, 1280.0..=2560.0, small..=large).round();
    let inputs = Edged {
        name: "inputs",
        title: "Inputs",
        side: Side::Left,
        usual: wide(272.0, 400.0),
        least: 250.0,
        most: (0.34 * window).min(560.0),
        frame: paper(&t, 0, 0),
        empty: false,
        // Beside the proposals the plan shows what they are.
        crowded: window < CROWDED && view.propose.is_some(),
    };
    inputs.show(
        ui,
        state,
        |_, _| (),
        |ui, state| {
            scroll(ui, "inputs scroll", |ui| inputs::inputs_ui(ui, view, state, plan, actions));
        },
    );
    if let Some(propose) = &view.propose {
        let proposals = Edged {
            name: "proposals",
            title: "Proposed layouts",
            side: Side::Right,
            usual: wide(350.0, 440.0),
            least: 320.0,
            most: (0.4 * window).min(620.0),
            frame: paper(&t, 0, 0),
            empty: false,
            crowded: false,
        };
        proposals.show(
            ui,
            state,
            |_, _| (),
            |ui, _| {
                scroll(ui, "proposals scroll", |ui| {
                    proposals::proposals_ui(ui, view, propose, plan, actions);
                });
            },
        );
        return;
    }
    let properties = Edged {
        name: "properties",
        title: "What is selected",
        side: Side::Right,
        usual: wide(286.0, 420.0),
        least: 260.0,
        most: (0.36 * window).min(620.0),
        frame: paper(&t, 0, 0),
        empty: false,
        // With both sides open the plan would have less than they; first steps are read there.
        crowded: window < CROWDED && !state.guide,
    };
    properties.show(
        ui,
        state,
        |_, _| (),
        |ui, state| {
            scroll(ui, "properties scroll", |ui| {
                if state.guide {
                    guide::guide_ui(ui, view, state);
                }
                properties::properties_ui(ui, view, state, actions);
            });
        },
    );
}

/// Findings, or what takes their place.
fn bottom_ui(ui: &mut Ui, view: &View, state: &mut PanelState, actions: &mut Vec<Action>) {
    let t = view.tokens;
    let height = ui.available_height();
    // The table of a comparison needs more room than the findings; each keeps its own size.
    let findings = view.compare.is_none() && view.review.is_none() && !state.circuit;
    let (name, title, share) = match (view.compare.is_some(), view.review.is_some()) {
        _ if findings => ("findings", "Findings", 0.27),
        (true, _) => ("comparison", "Comparison", 0.46),
        (_, true) => ("review", "Review", 0.36),
        _ => ("circuit", "Circuit", 0.46),
    };
    // While something is dragged a panel that comes and goes would make the plan jump.
    if !view.dragging {
        state.no_findings = findings && findings::nothing_to_list(view, state);
    }
    let panel = Edged {
        name,
        title,
        side: Side::Bottom,
        // At large text in a low window the plan keeps the larger half.
        usual: (height * share)
            .clamp(150.0_f32.min(0.36 * height).max(110.0), 260.0_f32.max(height * (share - 0.05)))
            .round(),
        least: 110.0,
        most: (height * 0.6).max(120.0),
        frame: paper(&t, 20, 8),
        empty: findings && state.no_findings,
        crowded: false,
    };
    if !panel.empty {
        state.opened_empty = None;
    }
    panel.show(
        ui,
        state,
        |ui, state| match findings {
            true => findings::heading_ui(ui, view, state),
            false => {
                ui.label(egui::RichText::new(title).font(crate::theme::Size::Heading.strong()));
            }
        },
        |ui, state| match (&view.compare, &view.review) {
            (Some(other), _) => compare::compare_ui(ui, view, other, actions),
            (None, Some(review)) => review::review_ui(ui, view, review, state, actions),
            (None, None) if state.circuit => circuit_figures::figures_ui(ui, view, actions),
            (None, None) => findings::findings_ui(ui, view, state, actions),
        },
    );
}

fn scroll(ui: &mut Ui, id: &str, add: impl FnOnce(&mut Ui)) {
    egui::ScrollArea::vertical().id_salt(id).auto_shrink([false, false]).show(ui, |ui| {
        Frame::new().inner_margin(Margin { left: 20, right: 20, top: 10, bottom: 16 }).show(ui, |ui| {
            ui.spacing_mut().item_spacing.y = 0.0;
            add(ui);
        });
    });
}
