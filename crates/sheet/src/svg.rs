//! One page as SVG. Text stays text: the family is named with plain fallbacks and every text carries its width, so a
//! machine without the font still shows each word in its place. The font is not embedded, which keeps files small.

use crate::page::{Anchor, Contour, Item, Page, Pen, Step, Text, Tone, Weight};
use crate::text_width::text_width;
use glam::DVec2;
use std::f64::consts::{PI, TAU};
use std::fmt::Write as _;

/// One page as SVG, in millimetres and true to scale.
///
/// # Units
/// The view box is in mm, y downwards as SVG has it.
pub fn to_svg(page: &Page) -> String {
    let [width, height] = page.size_mm;
    let mut out = String::from("<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n");
    let _ = writeln!(
        out,
        "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{w}mm\" height=\"{h}mm\" viewBox=\"0 0 {w} {h}\" \
         font-family=\"'Source Sans 3','Source Sans Pro',Arial,Helvetica,sans-serif\">",
        w = number(width),
        h = number(height)
    );
    let _ = writeln!(
        out,
        "<rect width=\"{}\" height=\"{}\" fill=\"{}\"/>",
        number(width),
        number(height),
        colour(Tone::Paper)
    );
    if !page.name.is_empty() {
        let _ = writeln!(out, "<title>{}</title>", escaped(&page.name));
    }
    let mut writer = Writer { height, out, clips: 0, prefix: String::new(), colour };
    writer.items(&page.items);
    writer.out.push_str("</svg>\n");
    writer.out
}

/// Items of a drawing `size` large as the elements of an SVG that stands in another page, colours by the page's names.
/// Names of what is referred to begin with `prefix`, so that several drawings can stand in one page.
pub(crate) fn within(items: &[Item], height: f64, prefix: &str) -> String {
    let mut writer =
        Writer { height, out: String::new(), clips: 0, prefix: prefix.to_owned(), colour: named_colour };
    writer.items(items);
    writer.out
}

/// The data of a path along contours in a drawing of that height.
pub(crate) fn data(contours: &[Contour], height: f64) -> String {
    let colour = named_colour;
    Writer { height, out: String::new(), clips: 0, prefix: String::new(), colour }.contours(contours)
}

/// A colour by its name in the page's style.
fn named_colour(tone: Tone) -> String {
    format!("var(--{})", tone.word())
}

struct Writer {
    height: f64,
    out: String,
    clips: usize,
    prefix: String,
    colour: fn(Tone) -> String,
}

impl Writer {
    fn items(&mut self, items: &[Item]) {
        for item in items {
            self.item(item);
        }
    }
    fn x_y(&self, at: DVec2) -> String {
        format!("{} {}", number(at.x), number(self.height - at.y))
    }
    fn item(&mut self, item: &Item) {
        match item {
            Item::Line { from, to, pen } => {
                let d = format!("M{}L{}", self.x_y(*from), self.x_y(*to));
                self.path(&d, Some(pen), None);
            }
            Item::Polyline { points, closed, pen } => {
                let mut d = String::new();
                for (index, at) in points.iter().enumerate() {
                    let _ = write!(d, "{}{}", if index == 0 { 'M' } else { 'L' }, self.x_y(*at));
                }
                if *closed {
                    d.push('Z');
                }
                self.path(&d, Some(pen), None);
            }
            Item::Path { contours, pen, fill } => {
                let d = self.contours(contours);
                self.path(&d, pen.as_ref(), *fill);
            }
            Item::Circle { centre, radius, pen, fill } => {
                let _ = writeln!(
                    self.out,
                    "<circle cx=\"{}\" cy=\"{}\" r=\"{}\"{}/>",
                    number(centre.x),
                    number(self.height - centre.y),
                    number(*radius),
                    self.paint(pen.as_ref(), *fill)
                );
            }
            Item::Arc { centre, radius, start, sweep, pen } => {
                let from = *centre + DVec2::from_angle(*start) * *radius;
                let step = Step::Arc { centre: *centre, radius: *radius, start: *start, sweep: *sweep };
                let d = self.contours(&[Contour { from, steps: vec![step], closed: false }]);
                self.path(&d, Some(pen), None);
            }
            Item::Text(text) => self.text(text),
            Item::Group { name, clip, items } => {
                let clip = clip.as_ref().map(|contours| {
                    self.clips += 1;
                    let id = format!("{}clip{}", self.prefix, self.clips);
                    let d = self.contours(contours);
                    let _ = writeln!(
                        self.out,
                        "<clipPath id=\"{id}\"><path clip-rule=\"evenodd\" d=\"{d}\"/></clipPath>"
                    );
                    format!(" clip-path=\"url(#{id})\"")
                });
                let _ = writeln!(
                    self.out,
                    "<g data-name=\"{}\"{}>",
                    escaped(name),
                    clip.as_deref().unwrap_or_default()
                );
                self.items(items);
                self.out.push_str("</g>\n");
            }
            Item::Tagged { items, .. } => self.items(items),
            Item::Bookmark { .. } => {}
        }
    }
    fn path(&mut self, d: &str, pen: Option<&Pen>, fill: Option<Tone>) {
        let _ = writeln!(self.out, "<path d=\"{d}\"{}/>", self.paint(pen, fill));
    }
    fn contours(&self, contours: &[Contour]) -> String {
        let mut d = String::new();
        for contour in contours {
            let _ = write!(d, "M{}", self.x_y(contour.from));
            for step in &contour.steps {
                match *step {
                    Step::Line(to) => {
                        let _ = write!(d, "L{}", self.x_y(to));
                    }
                    Step::Arc { centre, radius, start, sweep } => {
                        // A full turn has no end point of its own: two halves.
                        let halves = if sweep.abs() > TAU - 1e-6 { 2 } else { 1 };
                        let part = sweep / f64::from(halves);
                        for half in 1..=halves {
                            let end = centre + DVec2::from_angle(start + part * f64::from(half)) * radius;
                            let _ = write!(
                                d,
                                "A{r} {r} 0 {} {} {}",
                                u8::from(part.abs() > PI),
                                u8::from(sweep < 0.0),
                                self.x_y(end),
                                r = number(radius)
                            );
                        }
                    }
                }
            }
            if contour.closed {
                d.push('Z');
            }
        }
        d
    }
    fn paint(&self, pen: Option<&Pen>, fill: Option<Tone>) -> String {
        let mut out = match fill {
            Some(tone) => format!(" fill=\"{}\" fill-rule=\"evenodd\"", (self.colour)(tone)),
            None => " fill=\"none\"".to_owned(),
        };
        if let Some(pen) = pen {
            let _ =
                write!(out, " stroke=\"{}\" stroke-width=\"{}\"", (self.colour)(pen.tone), number(pen.width));
            let pattern: Vec<String> = pen.dash.pattern().iter().map(|mm| number(*mm)).collect();
            if !pattern.is_empty() {
                let _ = write!(out, " stroke-dasharray=\"{}\"", pattern.join(" "));
            }
        }
        out
    }
    fn text(&mut self, text: &Text) {
        if text.text.is_empty() {
            return;
        }
        let (x, y) = (number(text.at.x), number(self.height - text.at.y));
        let mut style = match text.anchor {
            Anchor::Start => String::new(),
            Anchor::Middle => " text-anchor=\"middle\"".to_owned(),
            Anchor::End => " text-anchor=\"end\"".to_owned(),
        };
        match text.weight {
            Weight::Regular => {}
            Weight::SemiBold => style.push_str(" font-weight=\"600\""),
            Weight::Italic => style.push_str(" font-style=\"italic\""),
        }
        if text.turn_deg != 0.0 {
            let _ = write!(style, " transform=\"rotate({} {x} {y})\"", number(-text.turn_deg));
        }
        let _ = writeln!(
            self.out,
            "<text x=\"{x}\" y=\"{y}\" font-size=\"{}\" fill=\"{}\" textLength=\"{}\" \
             lengthAdjust=\"spacingAndGlyphs\"{style}>{}</text>",
            number(text.size),
            (self.colour)(text.tone),
            number(text_width(&text.text, text.weight, text.size)),
            escaped(&text.text)
        );
    }
}

pub(crate) fn number(value: f64) -> String {
    let text = format!("{value:.3}");
    let text = units::trimmed(&text);
    if text == "-0" { "0".to_owned() } else { text.to_owned() }
}
fn colour(tone: Tone) -> String {
    let [r, g, b] = tone.rgb();
    format!("#{r:02x}{g:02x}{b:02x}")
}
pub(crate) fn escaped(text: &str) -> String {
    text.chars().fold(String::with_capacity(text.len()), |mut out, c| {
        match c {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            // Characters that XML forbids even as entities.
            c if c.is_control() || matches!(c, '\u{fffe}' | '\u{ffff}') => out.push(' '),
            c => out.push(c),
        }
        out
    })
}
