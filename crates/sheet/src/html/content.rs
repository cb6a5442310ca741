//! Sections of the sheet as elements: headings, tables, sentences and drawings, by their tags.

use super::figure;
use crate::block::{Block, Section, SectionId};
use crate::page::{Item, Role, Tag, Tone, Weight};
use crate::svg::escaped;
use std::fmt::Write as _;

/// What people wrote, as it may stand in the page: nothing in it is taken for an element, and nothing turns the line.
pub(super) fn said(text: &str) -> String {
    escaped(&telling::plain(text))
}

/// What an open element waits for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Open {
    Nothing,
    Table,
}

struct Writer<'a> {
    out: &'a mut String,
    open: Open,
    id: SectionId,
    heading: &'a str,
    ids: &'a mut usize,
}

/// One section with its heading.
pub(super) fn section(section: &Section, ids: &mut usize, out: &mut String) {
    let _ = writeln!(out, "<section class=\"{}\">", section.id.name().replace(' ', "-"));
    if !section.heading.is_empty() {
        let _ = writeln!(out, "<h3>{}</h3>", said(&section.heading));
    }
    let mut writer = Writer { out, open: Open::Nothing, id: section.id, heading: &section.heading, ids };
    for block in section.head.iter().chain(&section.rows) {
        writer.block(block);
    }
    writer.close();
    out.push_str("</section>\n");
}

impl Writer<'_> {
    fn block(&mut self, block: &Block) {
        // A drawing that fills its block is as high as that, so that one joins the next.
        if let [Item::Tagged { tag, items }] = block.items.as_slice()
            && tag.role == Role::Figure
        {
            self.close();
            *self.ids += 1;
            self.out.push_str(&figure::of_block(items, block.height, super::WIDTH, &tag.says, *self.ids));
            return;
        }
        self.items(&block.items);
    }

    fn items(&mut self, items: &[Item]) {
        for item in items {
            match item {
                Item::Tagged { tag, items } => self.tagged(tag, items),
                Item::Group { items, .. } => self.items(items),
                _ => {}
            }
        }
    }

    fn tagged(&mut self, tag: &Tag, items: &[Item]) {
        match tag.role {
            Role::Row => self.row(items),
            Role::Figure => {
                self.close();
                *self.ids += 1;
                self.out.push_str(&figure::alone(items, super::WIDTH, &tag.says, *self.ids));
            }
            Role::Paragraph | Role::Heading | Role::Title => {
                self.close();
                let _ = writeln!(self.out, "<p{}>{}</p>", class_of(tag, false), said(&tag.says));
            }
            Role::Label => {
                self.close();
                let tone = tone_of(tag.tone);
                let _ = writeln!(
                    self.out,
                    "<p class=\"label {tone}\"><span class=\"mark\" aria-hidden=\"true\">{}</span> {}</p>",
                    sign_of(tag.tone),
                    said(&tag.says)
                );
            }
            Role::Head | Role::Cell => {}
        }
    }

    fn row(&mut self, items: &[Item]) {
        let cells: Vec<&Tag> = items
            .iter()
            .filter_map(|item| match item {
                Item::Tagged { tag, .. } => Some(tag),
                _ => None,
            })
            .collect();
        let head = cells.first().is_some_and(|tag| tag.role == Role::Head);
        if head {
            self.close();
        }
        if self.open == Open::Nothing {
            let name = if self.id == SectionId::Holes { " id=\"holes\"" } else { "" };
            let class = if cells.iter().any(|tag| tag.by_hand) { "by-hand" } else { "sort" };
            let _ = write!(
                self.out,
                "<div class=\"scroll\"><table{name} class=\"{class}\"><caption>{}</caption>\n<thead>",
                said(self.heading)
            );
            if !head {
                self.out.push_str("</thead>\n<tbody>\n");
            }
            self.open = Open::Table;
        }
        self.out.push_str("<tr>");
        for (index, tag) in cells.iter().enumerate() {
            let element = if head || (index == 0 && self.id == SectionId::Holes) { "th" } else { "td" };
            let scope = match (element, head) {
                ("th", true) => " scope=\"col\"",
                ("th", false) => " scope=\"row\"",
                _ => "",
            };
            let says = tag.says.trim();
            let short = !head && !tag.figure && is_short(says);
            let _ = write!(self.out, "<{element}{scope}{}>{}</{element}>", class_of(tag, short), said(says));
        }
        self.out.push_str("</tr>\n");
        if head {
            self.out.push_str("</thead>\n<tbody>\n");
        }
    }

    fn close(&mut self) {
        if self.open == Open::Table {
            self.out.push_str("</tbody>\n</table></div>\n");
            self.open = Open::Nothing;
        }
    }
}

/// Whether a text stays on one line on a phone: dates, sizes, names of one word or two.
fn is_short(says: &str) -> bool {
    const LETTERS: usize = 12;
    says.contains([' ', '-']) && says.chars().count() <= LETTERS
}

fn class_of(tag: &Tag, short: bool) -> String {
    let mut classes = Vec::new();
    classes.extend(short.then_some("short"));
    classes.extend(tag.figure.then_some("figure"));
    classes.extend(match tag.weight {
        Weight::Regular => None,
        Weight::SemiBold => Some("strong"),
        Weight::Italic => Some("note"),
    });
    classes.extend(match tag.tone {
        Tone::Fail => Some("fail"),
        Tone::Watch => Some("watch"),
        Tone::Second => Some("second"),
        _ => None,
    });
    if classes.is_empty() { String::new() } else { format!(" class=\"{}\"", classes.join(" ")) }
}

fn tone_of(tone: Tone) -> &'static str {
    match tone {
        Tone::Fail => "fail",
        Tone::Watch => "watch",
        Tone::Second => "second",
        _ => "in-order",
    }
}

/// A sign beside the word, since a colour alone says nothing.
fn sign_of(tone: Tone) -> char {
    match tone {
        Tone::Fail => '\u{25cf}',
        Tone::Watch => '\u{25b3}',
        Tone::Second => '\u{25cc}',
        _ => '\u{2013}',
    }
}
