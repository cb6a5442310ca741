//! Colours, type and spacing: one set of tokens from `assets/theme.ron`, light and dark.

use egui::{
    Color32, CornerRadius, FontData, FontDefinitions, FontFamily, FontId, Margin, Stroke, TextStyle, Vec2,
};
use serde::Deserialize;
use std::sync::{Arc, OnceLock};

/// Colours by role. Fail, watch and the others are never used without a mark and a word beside them.
#[derive(Debug, Clone, Copy)]
pub struct Tokens {
    /// Whether this is the dark set.
    pub dark: bool,
    /// The drafting table.
    pub ground: Color32,
    /// Paper of the panels.
    pub panel: Color32,
    /// Text and main lines.
    pub ink: Color32,
    /// Labels, units, notes.
    pub second: Color32,
    /// Lines that part one thing from another.
    pub hairline: Color32,
    /// Grid of the plan.
    pub grid: Color32,
    /// Filled surface of the part.
    pub part: Color32,
    /// Outline of the part.
    pub part_line: Color32,
    /// Inside of a cup.
    pub cup: Color32,
    /// Actions and what is selected.
    pub working: Color32,
    /// A finding that fails.
    pub fail: Color32,
    /// A finding to watch.
    pub watch: Color32,
    /// In order.
    pub order: Color32,
    /// Where a cup's centre may be.
    pub landing: Color32,
    /// Ground of a selected row.
    pub selection: Color32,
    /// Demand ring of a cup that is in order.
    pub demand: Color32,
    /// Mark on top of the fail colour.
    pub on_fail: Color32,
    /// Shades of a figure over the part, from nothing to the largest: even steps of lightness, of one hue, so that no kind of
    /// colour vision loses them.
    pub sag: [Color32; 6],
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Written {
    ground: String,
    panel: String,
    ink: String,
    second: String,
    hairline: String,
    grid: String,
    part: String,
    part_line: String,
    cup: String,
    working: String,
    fail: String,
    watch: String,
    order: String,
    landing: String,
    selection: String,
    demand: String,
    on_fail: String,
    sag: [String; 6],
}

#[derive(Deserialize)]
struct Sets {
    light: Written,
    dark: Written,
}

fn colour(hex: &str) -> Color32 {
    // The file is compiled in and a test reads every entry; magenta would show a slip at once.
    Color32::from_hex(hex).unwrap_or(Color32::MAGENTA)
}

impl Written {
    fn tokens(&self, dark: bool) -> Tokens {
        Tokens {
            dark,
            ground: colour(&self.ground),
            panel: colour(&self.panel),
            ink: colour(&self.ink),
            second: colour(&self.second),
            hairline: colour(&self.hairline),
            grid: colour(&self.grid),
            part: colour(&self.part),
            part_line: colour(&self.part_line),
            cup: colour(&self.cup),
            working: colour(&self.working),
            fail: colour(&self.fail),
            watch: colour(&self.watch),
            order: colour(&self.order),
            landing: colour(&self.landing),
            selection: colour(&self.selection),
            demand: colour(&self.demand),
            on_fail: colour(&self.on_fail),
            sag: self.sag.each_ref().map(|shade| colour(shade)),
        }
    }
}

fn sets() -> &'static (Tokens, Tokens) {
    static SETS: OnceLock<(Tokens, Tokens)> = OnceLock::new();
    SETS.get_or_init(|| {
        #[expect(clippy::expect_used, reason = "compiled in; read by a test")]
        let sets: Sets = ron::from_str(include_str!("../../../assets/theme.ron")).expect("assets/theme.ron");
        (sets.light.tokens(false), sets.dark.tokens(true))
    })
}

/// The tokens of one set.
pub fn tokens(dark: bool) -> Tokens {
    let (light, dark_set) = sets();
    if dark { *dark_set } else { *light }
}

impl Tokens {
    /// The set the given style shows.
    pub fn of(ui: &egui::Ui) -> Self {
        tokens(ui.visuals().dark_mode)
    }

    /// Colour of a severity's mark and word.
    pub fn severity(&self, severity: analysis::Severity) -> Color32 {
        match severity {
            analysis::Severity::Ok => self.ink,
            analysis::Severity::Advice => self.working,
            analysis::Severity::NotChecked => self.second,
            analysis::Severity::Watch => self.watch,
            analysis::Severity::Fail => self.fail,
        }
    }
}

/// A colour that a drawing gives its lines: shown as it is, never used for anything of the window.
pub fn of_drawing([red, green, blue]: [u8; 3]) -> Color32 {
    Color32::from_rgb(red, green, blue)
}

/// The heavier weight of the one family.
pub fn semibold() -> FontFamily {
    FontFamily::Name("semibold".into())
}

/// The slanted cut, for notes and formulas.
pub fn italic() -> FontFamily {
    FontFamily::Name("italic".into())
}

/// A size of text in the plan and the panels, before the person's text size.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Size {
    /// Axes, notes.
    Small,
    /// Forms and tables.
    Body,
    /// Headings of a group.
    Heading,
    /// The verdict.
    Verdict,
}

impl Size {
    /// Points.
    pub fn points(self) -> f32 {
        match self {
            Self::Small => 11.5,
            Self::Body => 13.5,
            Self::Heading => 14.0,
            Self::Verdict => 19.0,
        }
    }

    /// The regular weight at this size.
    pub fn font(self) -> FontId {
        FontId::new(self.points(), FontFamily::Proportional)
    }

    /// The heavier weight at this size.
    pub fn strong(self) -> FontId {
        FontId::new(self.points(), semibold())
    }

    /// The slanted cut at this size.
    pub fn slanted(self) -> FontId {
        FontId::new(self.points(), italic())
    }
}

fn fonts() -> FontDefinitions {
    let mut fonts = FontDefinitions::default();
    let add = |fonts: &mut FontDefinitions, name: &str, bytes: &'static [u8]| {
        fonts.font_data.insert(name.to_owned(), Arc::new(FontData::from_static(bytes)));
    };
    add(&mut fonts, "regular", include_bytes!("../../../assets/fonts/SourceSans3-Regular.ttf"));
    add(&mut fonts, "semibold", include_bytes!("../../../assets/fonts/SourceSans3-SemiBold.ttf"));
    add(&mut fonts, "italic", include_bytes!("../../../assets/fonts/SourceSans3-Italic.ttf"));
    let fallback = fonts.families.get(&FontFamily::Proportional).cloned().unwrap_or_default();
    let with = |first: &str| {
        let mut list = vec![first.to_owned()];
        list.extend(fallback.iter().cloned());
        list
    };
    let (regular, strong, slanted) = (with("regular"), with("semibold"), with("italic"));
    fonts.families.insert(FontFamily::Proportional, regular.clone());
    fonts.families.insert(FontFamily::Monospace, regular);
    fonts.families.insert(semibold(), strong);
    fonts.families.insert(italic(), slanted);
    fonts
}

/// Sets fonts and both styles; called once per context.
pub fn install(ctx: &egui::Context) {
    ctx.set_fonts(fonts());
    // A desktop that does not say gets paper.
    ctx.options_mut(|options| {
        options.fallback_theme = egui::Theme::Light;
        // Ctrl and plus or minus zoom the plan; text size has its own commands.
        options.zoom_with_keyboard = false;
    });
    for (theme, dark) in [(egui::Theme::Light, false), (egui::Theme::Dark, true)] {
        let t = tokens(dark);
        ctx.style_mut_of(theme, |style| apply(style, &t));
    }
}

fn apply(style: &mut egui::Style, t: &Tokens) {
    style.text_styles = [
        (TextStyle::Small, Size::Small.font()),
        (TextStyle::Body, Size::Body.font()),
        (TextStyle::Button, Size::Body.font()),
        (TextStyle::Monospace, Size::Body.font()),
        (TextStyle::Heading, Size::Verdict.strong()),
    ]
    .into();
    let spacing = &mut style.spacing;
    spacing.item_spacing = Vec2::new(8.0, 4.0);
    spacing.button_padding = Vec2::new(8.0, 4.0);
    spacing.interact_size = Vec2::new(24.0, 24.0);
    spacing.window_margin = Margin::same(16);
    spacing.menu_margin = Margin::same(8);
    spacing.combo_width = 120.0;
    spacing.scroll = egui::style::ScrollStyle::thin();
    style.animation_time = 0.08;
    // An edge between two panels is found without aiming.
    style.interaction.resize_grab_radius_side = 5.0;

    let v = &mut style.visuals;
    v.dark_mode = t.dark;
    v.panel_fill = t.ground;
    v.window_fill = t.panel;
    v.window_stroke = Stroke::new(1.0, t.hairline);
    v.window_corner_radius = CornerRadius::same(4);
    v.menu_corner_radius = CornerRadius::same(4);
    let shadow = egui::Shadow {
        offset: [0, 4],
        blur: 16,
        spread: 0,
        color: Color32::from_black_alpha(if t.dark { 90 } else { 28 }),
    };
    v.window_shadow = shadow;
    v.popup_shadow = shadow;
    v.extreme_bg_color = t.panel;
    v.faint_bg_color = t.panel;
    v.code_bg_color = t.panel;
    v.hyperlink_color = t.working;
    v.warn_fg_color = t.watch;
    v.error_fg_color = t.fail;
    v.selection.bg_fill = t.selection;
    v.selection.stroke = Stroke::new(1.0, t.working);
    v.weak_text_color = Some(t.second);
    v.striped = false;
    let w = &mut v.widgets;
    for (widget, fill, line, text) in [
        (&mut w.noninteractive, t.ground, t.hairline, t.ink),
        // An empty box to tick is seen at rest, in both themes.
        (&mut w.inactive, t.panel, t.hairline.lerp_to_gamma(t.second, 0.5), t.ink),
        (&mut w.hovered, t.selection, t.working, t.ink),
        (&mut w.active, t.selection, t.working, t.ink),
        (&mut w.open, t.selection, t.hairline, t.ink),
    ] {
        widget.bg_fill = fill;
        widget.weak_bg_fill = fill;
        widget.bg_stroke = Stroke::new(1.0, line);
        widget.fg_stroke = Stroke::new(1.0, text);
        widget.corner_radius = CornerRadius::same(3);
        widget.expansion = 0.0;
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// WCAG 2.1 relative luminance and contrast ratio (W3C Recommendation 5 June 2018, definitions).
    fn contrast(a: Color32, b: Color32) -> f64 {
        let luminance = |c: Color32| {
            let lin = |v: u8| {
                let s = f64::from(v) / 255.0;
                if s <= 0.03928 { s / 12.92 } else { ((s + 0.055) / 1.055).powf(2.4) }
            };
            0.2126 * lin(c.r()) + 0.7152 * lin(c.g()) + 0.0722 * lin(c.b())
        };
        let (x, y) = (luminance(a), luminance(b));
        (x.max(y) + 0.05) / (x.min(y) + 0.05)
    }

    #[test]
    fn every_entry_is_a_colour() {
        let text = include_str!("../../../assets/theme.ron");
        assert_eq!(text.matches('#').count(), 46);
        for dark in [false, true] {
            let t = tokens(dark);
            for c in [t.ground, t.panel, t.ink, t.part, t.landing, t.selection, t.on_fail, t.grid] {
                assert_ne!(c, Color32::MAGENTA);
            }
        }
    }

    #[test]
    fn text_stands_out_on_both_grounds() {
        for dark in [false, true] {
            let t = tokens(dark);
            for ground in [t.ground, t.panel, t.selection, t.part] {
                for (name, text) in [
                    ("ink", t.ink),
                    ("working", t.working),
                    ("fail", t.fail),
                    ("watch", t.watch),
                    ("order", t.order),
                    ("second", t.second),
                ] {
                    let ratio = contrast(text, ground);
                    assert!(ratio >= 4.5, "{name} on {ground:?}, dark {dark}: {ratio:.2}");
                }
            }
            assert!(contrast(t.on_fail, t.fail) >= 4.5);
            assert!(contrast(t.ink, t.part) >= 4.5);
        }
    }

    /// Steps of CIE L* (CIE 15): even ones, so that equal steps of a figure look equal, also to who sees no hues.
    #[test]
    fn shades_are_even_steps_of_lightness_and_carry_text() {
        for dark in [false, true] {
            let t = tokens(dark);
            let lightness = |shade: &Color32| {
                // Against black a contrast is (Y + 0.05) / 0.05.
                let y = 0.05 * contrast(*shade, Color32::BLACK) - 0.05;
                116.0 * y.cbrt() - 16.0
            };
            let steps: Vec<f64> =
                t.sag.windows(2).map(|pair| (lightness(&pair[1]) - lightness(&pair[0])).abs()).collect();
            let mean = steps.iter().sum::<f64>() / steps.len() as f64;
            assert!(mean > 7.0 && steps.iter().all(|step| (step / mean - 1.0).abs() < 0.1), "{steps:?}");
            // Figures on contour lines stand on patches of the ground.
            assert!(contrast(t.ink, t.ground) >= 4.5);
        }
    }
}
