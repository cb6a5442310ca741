//! Proposals and the layout that there is, side by side: a row each, the best of each column marked.

use super::card::{Best, lost_says};
use crate::{
    theme::{Size, Tokens},
    view::View,
};
use analysis::{Kind, Proposals};
use egui::{Color32, Grid, Label, RichText, Ui};
use units::Quantity;

/// From this width on there is room for the air.
const WIDE: f32 = 340.0;

pub(super) fn table_ui(ui: &mut Ui, view: &View, found: &Proposals, order: &[usize], best: &Best) {
    let t = view.tokens;
    let question = &found.question;
    let air =
        ui.available_width() >= WIDE && found.proposals.iter().any(|of| of.figures.air_nl_min.is_some());
    ui.add_space(6.0);
    ui.label(RichText::new("Side by side").font(Size::Body.strong()));
    Grid::new("proposals side by side").spacing([10.0, 3.0]).show(ui, |ui| {
        let mut heads = vec![(String::new(), ""), ("cups".to_owned(), "")];
        heads.push(("factor ×".to_owned(), "Lowest factor over required"));
        heads.push(("one lost".to_owned(), "Factor of the remaining cups with the worst cup lost"));
        if question.zone_lost {
            heads.push(("zone lost".to_owned(), "Factor of the remaining cups with the worst zone lost"));
        }
        if question.low_end {
            heads.push((
                "inputs at worst".to_owned(),
                "Lowest factor over required with assumed inputs at their worst",
            ));
        }
        heads.push(("X + Y".to_owned(), "Different X and different Y of the cups"));
        heads.push(("force".to_owned(), "Vacuum force of all cups"));
        if air {
            heads.push(("air".to_owned(), "Air drawn by the circuits"));
        }
        for (head, why) in heads {
            let label = ui.add(Label::new(RichText::new(head).font(Size::Small.font()).color(t.second)));
            if !why.is_empty() {
                label.on_hover_text(why);
            }
        }
        ui.end_row();
        for (place, of) in order.iter().map(|at| &found.proposals[*at]).enumerate() {
            let figures = &of.figures;
            let name = if of.kind == Kind::Present { "as it is".to_owned() } else { (place + 1).to_string() };
            cell(ui, &t, name, false, None);
            cell(ui, &t, figures.cups.to_string(), best.fewest(figures), None);
            let short = figures.least.is_none_or(|least| least < 1.0 - 1e-9);
            let least = figures.least.map_or_else(|| "none".to_owned(), |least| view.factor(least));
            cell(ui, &t, least, best.most_reserve(figures), short.then_some(t.fail));
            let drops = figures.holds_lost == Some(false);
            cell(ui, &t, lost_says(view, figures), best.most_left(figures), drops.then_some(t.fail));
            let plain =
                |value: Option<f64>| value.map_or_else(|| "none".to_owned(), |value| view.factor(value));
            if question.zone_lost {
                cell(ui, &t, plain(figures.zone_lost), false, None);
            }
            if question.low_end {
                let short = figures.low_end.is_none_or(|low| low < 1.0 - 1e-9);
                cell(ui, &t, plain(figures.low_end), false, short.then_some(t.fail));
            }
            let spread = format!("{} + {}", figures.different[0], figures.different[1]);
            cell(ui, &t, spread, best.least_spread(figures), None);
            cell(ui, &t, view.text(figures.force_n, Quantity::Force), false, None);
            if air {
                let says =
                    figures.air_nl_min.map_or_else(|| "–".to_owned(), |air| view.text(air, Quantity::Flow));
                cell(ui, &t, says, best.least_air(figures), None);
            }
            ui.end_row();
        }
    });
}

/// The best of a column is printed strong, as on the cards.
fn cell(ui: &mut Ui, t: &Tokens, says: String, best: bool, fails: Option<Color32>) {
    let font = if best { Size::Small.strong() } else { Size::Small.font() };
    let colour = fails.unwrap_or(if best { t.order } else { t.ink });
    ui.add(Label::new(RichText::new(says).font(font).color(colour)));
}
