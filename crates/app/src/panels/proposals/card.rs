//! One proposal as a card: a small plan, its figures with the best of each column marked, and the button that takes it.

use crate::{
    theme::Size,
    view::{Action, View},
    widgets::{hairline, one_line},
};
use analysis::{Kind, Proposal, ProposalFigures, Proposals};
use document::Question;
use egui::{Align2, Color32, Pos2, Rect, RichText, Role, Sense, Shape, Stroke, Ui, Vec2, WidgetInfo};
use units::Quantity;

/// Size of the small plan.
const PLAN: Vec2 = Vec2::new(112.0, 84.0);
/// Height of a line of figures.
const LINE: f32 = 17.0;
/// Figures this close are equal, relative.
const EQUAL: f64 = 5e-4;

/// Draws it; whether the pointer or the keyboard is on it.
pub(super) fn card_ui(
    ui: &mut Ui,
    view: &View,
    of: &Proposal,
    question: &Question,
    (place, at): (usize, usize),
    best: &Best,
    actions: &mut Vec<Action>,
) -> bool {
    let t = view.tokens;
    hairline(ui, &t);
    ui.add_space(6.0);
    let lines = lines(view, of, question, best);
    let height = (22.0 + LINE * lines.len() as f32).max(PLAN.y) + 2.0;
    let (rect, response) = ui.allocate_exact_size(Vec2::new(ui.available_width(), height), Sense::click());
    let title = format!("{}, {} cups", analysis::words::capital(of.kind.name()), of.figures.cups);
    let spoken =
        lines.iter().map(|line| format!("{} {}", line.name, line.says)).collect::<Vec<_>>().join("; ");
    let name = if of.kind == Kind::Present {
        "Layout as it is".to_owned()
    } else {
        format!("Proposal {}", place + 1)
    };
    response.widget_info(|| WidgetInfo::labeled(Role::Button, true, format!("{name}: {title}; {spoken}")));
    let on = response.hovered() || response.has_focus();
    if on {
        ui.painter().rect_filled(rect.expand(4.0), 3.0, t.panel);
    }
    small_plan(ui, view, of, Rect::from_min_size(rect.min + Vec2::new(0.0, 2.0), PLAN));
    let left = rect.left() + PLAN.x + 14.0;
    let width = rect.right() - left;
    let numbered = if of.kind == Kind::Present { title } else { format!("{}  {title}", place + 1) };
    let heading = one_line(ui, &numbered, width, Size::Body.strong(), t.ink);
    ui.painter().galley(Pos2::new(left, rect.top()), heading, t.ink);
    for (index, line) in lines.iter().enumerate() {
        let y = rect.top() + 22.0 + LINE * index as f32;
        line.draw(ui, view, Rect::from_min_size(Pos2::new(left, y), Vec2::new(width, LINE)));
    }
    ui.add_space(2.0);
    let fails = match of.fails.as_slice() {
        [] => None,
        [only] => Some(only.clone()),
        [first, more @ ..] => Some(format!("{first} And {} more.", more.len())),
    };
    if let Some(says) = fails {
        let says = RichText::new(says).font(Size::Small.font()).color(t.fail);
        ui.add(egui::Label::new(says).wrap()).on_hover_text(of.fails.join("\n"));
    }
    if of.kind != Kind::Present {
        ui.horizontal(|ui| {
            if !of.meets {
                let says =
                    RichText::new("does not meet the requirements").font(Size::Small.font()).color(t.fail);
                ui.label(says);
            }
            ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
                let button = ui.button("Use as new layout");
                ui.ctx().accesskit_node_builder(button.id, |node| {
                    node.set_label(format!("Use proposal {} as new layout", place + 1));
                });
                if button.on_hover_text("Adds it as an alternative; your layout is not changed").clicked() {
                    actions.push(Action::TakeProposal(at));
                }
            });
        });
    }
    ui.add_space(6.0);
    on
}

struct Line {
    name: &'static str,
    says: String,
    best: bool,
    fails: bool,
}

impl Line {
    fn draw(&self, ui: &Ui, view: &View, rect: Rect) {
        let t = view.tokens;
        let painter = ui.painter();
        let name =
            painter.text(rect.left_center(), Align2::LEFT_CENTER, self.name, Size::Small.font(), t.second);
        let mark = if self.best { 12.0 } else { 0.0 };
        let font = if self.best { Size::Small.strong() } else { Size::Small.font() };
        let colour = if self.fails { t.fail } else { t.ink };
        let room = rect.right() - name.right() - 10.0 - mark;
        let says = one_line(ui, &self.says, room, font, colour);
        let at = Pos2::new(rect.right() - mark - says.size().x, rect.center().y - says.size().y / 2.0);
        painter.galley(at, says, colour);
        if self.best {
            tick(ui, Pos2::new(rect.right() - 5.0, rect.center().y), t.order);
        }
    }
}

fn lines(view: &View, of: &Proposal, question: &Question, best: &Best) -> Vec<Line> {
    let ProposalFigures {
        models,
        least,
        factor,
        holds_lost,
        zone_lost,
        low_end,
        force_n,
        different,
        zones,
        air_nl_min,
        ..
    } = &of.figures;
    let line = |name, says, best, fails| Line { name, says, best, fails };
    let cups: Vec<String> = models.iter().map(|(name, count)| format!("{count} × {name}")).collect();
    let factor_says = match (factor, least) {
        (Some(factor), Some(least)) => {
            format!("{} ({} ×) {}", view.factor(*factor), view.factor(*least), of.figures.least_where())
        }
        _ => "none".to_owned(),
    };
    let mut lines = vec![
        line("cups", cups.join(", "), best.fewest(&of.figures), false),
        line(
            "lowest factor",
            factor_says,
            best.most_reserve(&of.figures),
            least.is_none_or(|least| least < 1.0 - 1e-9),
        ),
        line(
            "one cup lost",
            lost_says(view, &of.figures),
            best.most_left(&of.figures),
            *holds_lost == Some(false),
        ),
        line("vacuum force", view.text(*force_n, Quantity::Force), false, false),
        line(
            "different X, Y",
            format!("{} and {}", different[0], different[1]),
            best.least_spread(&of.figures),
            false,
        ),
    ];
    if let Some(zones) = zones {
        lines.push(line("zones", zones.to_string(), false, false));
    }
    if let Some(air) = air_nl_min {
        lines.push(line("air", view.text(*air, Quantity::Flow), best.least_air(&of.figures), false));
    }
    let plain = |value: Option<f64>| value.map_or_else(|| "none".to_owned(), |value| view.factor(value));
    if question.low_end {
        let short = low_end.is_none_or(|low| low < 1.0 - 1e-9);
        lines.insert(2, line("inputs at their worst", format!("{} ×", plain(*low_end)), false, short));
    }
    if question.zone_lost {
        let short = zone_lost.is_none_or(|factor| factor < question.lost_factor * (1.0 - 1e-9));
        lines.insert(3, line("one zone lost", plain(*zone_lost), false, short));
    }
    lines
}

/// Factor of what is left with the worst cup lost, or that the part drops.
pub(super) fn lost_says(view: &View, figures: &ProposalFigures) -> String {
    match (figures.one_lost, figures.holds_lost) {
        (_, Some(false)) => "drops".to_owned(),
        (Some(factor), _) => view.factor(factor),
        (None, _) => "–".to_owned(),
    }
}

fn tick(ui: &Ui, at: Pos2, colour: Color32) {
    let points = vec![at + Vec2::new(-4.0, 0.0), at + Vec2::new(-1.0, 3.0), at + Vec2::new(4.0, -4.0)];
    ui.painter().add(Shape::line(points, Stroke::new(1.8, colour)));
}

/// What the tool carries and the lips, to a scale of their own.
fn small_plan(ui: &Ui, view: &View, of: &Proposal, rect: Rect) {
    let t = view.tokens;
    let Some(bounds) = crate::plan::seats::bounds(view) else { return };
    let size = bounds.size();
    let scale = (f64::from(rect.width()) / size.x).min(f64::from(rect.height()) / size.y).max(1e-9);
    let middle = (bounds.min + bounds.max) / 2.0;
    let at = |p: glam::DVec2| {
        let from = (p - middle) * scale;
        rect.center() + Vec2::new(from.x as f32, -from.y as f32)
    };
    let painter = ui.painter_at(rect.expand(2.0));
    let others = view.family.iter().flat_map(|held| &held.family.seats);
    let others = others.filter_map(|seat| seat.project.part(seat.seat.part)).map(|part| &part.outline);
    for outline in others.chain(std::iter::once(&view.lying.outline)) {
        for (index, boundary) in outline.loops().enumerate() {
            let points: Vec<Pos2> = boundary.flatten(0.5 / scale).into_iter().map(at).collect();
            let colour = if index == 0 { t.ink } else { t.second };
            painter.add(Shape::closed_line(points, Stroke::new(1.0, colour)));
        }
    }
    for (cup, model) in of.cups() {
        let lip = geometry::Lip { shape: model.shape, at: cup.at, turn: cup.turn_deg.to_radians() };
        let points: Vec<Pos2> = lip.outline().flatten(0.5 / scale).into_iter().map(at).collect();
        painter.add(Shape::convex_polygon(points, t.cup, Stroke::new(1.4, t.working)));
    }
}

/// The best of each column, over what is proposed and what there is.
pub(super) struct Best {
    cups: usize,
    least: f64,
    lost: f64,
    different: usize,
    air: Option<f64>,
    several: bool,
}

impl Best {
    pub(super) fn of(found: &Proposals) -> Self {
        let all = || found.proposals.iter().map(|of: &Proposal| &of.figures);
        let most = |values: &mut dyn Iterator<Item = f64>| values.fold(0.0, f64::max);
        Self {
            cups: all().map(|of| of.cups).min().unwrap_or(0),
            least: most(&mut all().filter_map(|of| of.least)),
            lost: most(&mut all().filter_map(|of| of.one_lost)),
            different: all().map(|of| of.different.iter().sum()).min().unwrap_or(0),
            air: all().filter_map(|of| of.air_nl_min).reduce(f64::min),
            several: found.proposals.len() > 1,
        }
    }

    pub(super) fn fewest(&self, of: &ProposalFigures) -> bool {
        self.several && of.cups == self.cups
    }

    pub(super) fn most_reserve(&self, of: &ProposalFigures) -> bool {
        self.high(of.least, self.least)
    }

    pub(super) fn most_left(&self, of: &ProposalFigures) -> bool {
        self.high(of.one_lost, self.lost)
    }

    pub(super) fn least_spread(&self, of: &ProposalFigures) -> bool {
        self.several && of.different.iter().sum::<usize>() == self.different
    }

    pub(super) fn least_air(&self, of: &ProposalFigures) -> bool {
        let least = |air: f64| self.air.is_some_and(|least| air <= least * (1.0 + EQUAL));
        self.several && of.air_nl_min.is_some_and(least)
    }

    fn high(&self, value: Option<f64>, most: f64) -> bool {
        self.several && value.is_some_and(|value| value > 0.0 && value >= most * (1.0 - EQUAL))
    }
}
