//! How a drawing is read: unit, layers, gaps, tolerance, with what each choice makes of it.

use crate::{
    fields,
    theme::{self, Size},
    view::View,
};
use egui::{RichText, Ui};
use exchange::{Drawing, DrawingUnit, ImportOptions, ImportedPart, LayerUse, UnitFrom};
use units::Quantity;

/// Widest gap and tolerance that a slider offers, mm.
const WIDEST: f64 = 2.0;

/// Draws the choices; whether the drawing is to be read again with them.
pub fn options_ui(ui: &mut Ui, view: &View, options: &mut ImportOptions, drawing: &Drawing) -> bool {
    unit_ui(ui, view, options, drawing)
        | scale_ui(ui, view, options, drawing)
        | tolerance_ui(ui, view, options)
        | layers_ui(ui, view, options, drawing)
}

/// The start of a text from a drawing: a layer's name may be as long as the file, and every letter laid out takes room.
pub(super) fn start_of(text: &str) -> String {
    const LONGEST: usize = 240;
    match text.char_indices().nth(LONGEST) {
        Some((end, _)) => format!("{}…", &text[..end]),
        None => text.to_owned(),
    }
}

fn unit_ui(ui: &mut Ui, view: &View, options: &mut ImportOptions, drawing: &Drawing) -> bool {
    let t = view.tokens;
    let units = DrawingUnit::ALL.map(|unit| (unit, unit.name()));
    let why = "What one unit of the file means";
    if let Some(unit) = fields::choice(ui, "import unit", "Unit of the drawing", drawing.unit, &units, why) {
        options.unit = Some(unit);
        return true;
    }
    let from = match drawing.unit_from {
        UnitFrom::File => "the file says so",
        UnitFrom::Option => "your choice",
        UnitFrom::Guess => "the file does not say: check the size above",
    };
    let guess = drawing.unit_from == UnitFrom::Guess;
    fields::row(ui, "", "", |ui| {
        let colour = if guess { t.watch } else { t.second };
        ui.label(RichText::new(from).font(Size::Small.slanted()).color(colour));
    });
    let mut changed = false;
    if let Some(check) = &drawing.scale_check {
        ui.add(egui::Label::new(RichText::new(check.says.says(&view.units)).color(t.watch)).wrap());
        if ui.link(format!("read it in {}", check.unit.name())).clicked() {
            options.unit = Some(check.unit);
            changed = true;
        }
    }
    changed
}

/// Scales that a sheet may be drawn in.
const SCALES: (f64, f64) = (1e-4, 1e4);

fn scale_ui(ui: &mut Ui, view: &View, options: &mut ImportOptions, drawing: &Drawing) -> bool {
    let why = "1 if the part is drawn full size, 2 on a sheet of 1:2";
    let (name, ratio) = ("Times larger than drawn", Quantity::Ratio);
    let typed = fields::within(ui, "import scale", name, drawing.scale, ratio, SCALES, &view.units, why);
    if let Some(scale) = typed {
        super::import_picture::rescale(options, scale / drawing.scale);
        options.scale = Some(scale);
    }
    typed.is_some()
}

fn tolerance_ui(ui: &mut Ui, view: &View, options: &mut ImportOptions) -> bool {
    let (mut changed, mut by_hand) = (false, false);
    let rows: [(&'static str, &'static str, &mut f64, &'static str); 2] = [
        (
            "import gap",
            "Join gaps up to",
            &mut options.gap_mm,
            "Ends of lines and arcs closer than this are joined",
        ),
        (
            "import tolerance",
            "Simplify within",
            &mut options.simplify_mm,
            "Uses fewer lines and true arcs within this distance of the drawing; 0 leaves it as drawn",
        ),
    ];
    for (salt, name, value, why) in rows {
        let bounds = (0.0, 50.0);
        if let Some(v) = fields::within(ui, salt, name, *value, Quantity::Length, bounds, &view.units, why) {
            *value = v;
            changed = true;
            // A gap that a person has typed is the widest.
            by_hand |= salt == "import gap";
        }
        // The rail of a slider is otherwise drawn in the colour of its ground.
        ui.visuals_mut().widgets.inactive.bg_fill = view.tokens.hairline;
        let mut slid = *value;
        let slider = egui::Slider::new(&mut slid, 0.0..=WIDEST)
            .logarithmic(true)
            .smallest_positive(0.001)
            // A wider gap can be typed; the slider then stands at its end and leaves it alone.
            .clamping(egui::SliderClamping::Edits)
            .show_value(false);
        ui.spacing_mut().slider_width = (ui.available_width() - 12.0).clamp(60.0, 400.0);
        let response = ui.add(slider);
        ui.ctx().accesskit_node_builder(response.id, |node| node.set_label(format!("{name}, slider")));
        // A large drawing is read once, when the slider is let go.
        if response.drag_stopped() || (response.changed() && !response.dragged()) {
            *value = (slid * 1000.0).round() / 1000.0;
            changed = true;
            by_hand |= salt == "import gap";
        } else if response.dragged() {
            *value = (slid * 1000.0).round() / 1000.0;
        }
        if salt == "import gap" {
            let why = format!(
                "Also joins gaps of up to {} where only that closes an outline; each one is listed",
                view.given(WIDEST, Quantity::Length)
            );
            changed |= fields::tick(ui, "and what closes an outline", &mut options.auto_gap, &why);
        }
    }
    if by_hand {
        options.auto_gap = false;
    }
    changed
}

/// What became of the lines: how many there were, what was joined, what is left.
pub fn counts_ui(ui: &mut Ui, view: &View, drawing: &Drawing, part: &ImportedPart) {
    let t = view.tokens;
    let c = &drawing.counts;
    let now: usize =
        std::iter::once(&part.outline.outer).chain(&part.outline.holes).map(|l| l.vertices.len()).sum();
    let count = analysis::words::count_of;
    let mut text = format!(
        "{} read, {}, {} closed, {} left open; {now} lines and arcs in this part.",
        count(c.curves, "curve"),
        count(c.open_ends, "open end"),
        count(c.gaps_closed, "gap"),
        c.left_open,
    );
    if !part.keep_outs.is_empty() {
        text += &format!(" {}, dashed.", count(part.keep_outs.len(), "keep-out"));
    }
    ui.add(egui::Label::new(RichText::new(text).font(Size::Small.font()).color(t.second)).wrap());
}

const USES: [(LayerUse, &str); 3] =
    [(LayerUse::Outline, "edges"), (LayerUse::KeepOut, "keep-outs"), (LayerUse::LeftOut, "left out")];

/// Whether other layers were chosen.
fn layers_ui(ui: &mut Ui, view: &View, options: &mut ImportOptions, drawing: &Drawing) -> bool {
    let t = view.tokens;
    let mut uses: Vec<LayerUse> = drawing.layer_infos.iter().map(|l| l.used).collect();
    if drawing.layer_infos.len() > 1 {
        ui.add_space(4.0);
        ui.label(RichText::new("Layers").color(t.second));
        egui::ScrollArea::vertical().id_salt("layers").max_height(118.0).show(ui, |ui| {
            for (layer, used) in drawing.layer_infos.iter().zip(&mut uses).filter(|(l, _)| l.entities > 0) {
                let kinds: Vec<String> = layer.kinds.iter().map(|(kind, n)| format!("{n} {kind}")).collect();
                let why = format!("Looks like {}: {}", layer.guess.label(), kinds.join(", "));
                let name = format!("{} ({})", start_of(&layer.name), layer.entities);
                let salt = ("layer", layer.name.as_str());
                ui.horizontal(|ui| {
                    // The colour it has in the drawing, by which a person knows it.
                    let (dot, _) = ui.allocate_exact_size(egui::vec2(10.0, 10.0), egui::Sense::hover());
                    let colour = layer.colour.map_or(t.ink, theme::of_drawing);
                    ui.painter().rect_filled(dot, 2.0, colour);
                    ui.painter().rect_stroke(
                        dot,
                        2.0,
                        egui::Stroke::new(1.0, t.hairline),
                        egui::StrokeKind::Outside,
                    );
                    ui.vertical(|ui| {
                        if let Some(v) = fields::choice(ui, salt, &name, *used, &USES, &why) {
                            *used = v;
                        }
                    });
                });
            }
        });
        let chosen = |what: LayerUse| -> Vec<String> {
            let named = drawing.layer_infos.iter().zip(&uses).filter(|(_, used)| **used == what);
            named.map(|(l, _)| l.name.clone()).collect()
        };
        if drawing.layer_infos.iter().zip(&uses).any(|(l, used)| l.used != *used) {
            options.layers = Some(chosen(LayerUse::Outline));
            options.keep_out_layers = Some(chosen(LayerUse::KeepOut));
            return true;
        }
    }
    let why = "Centre and hidden lines are recognised by their line type";
    let dashed = ui.checkbox(&mut options.keep_dashed, "dashed lines are edges too").on_hover_text(why);
    dashed.changed()
}
