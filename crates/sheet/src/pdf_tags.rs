//! Tags of a PDF: what is a heading, a table, a sentence or a drawing, in the order of reading; the rest is decoration.

use crate::extent::extent;
use crate::outline::moves;
use crate::page::{Item, Role, Tag as Said};
use crate::pdf::{Paper, points};
use krilla::geom::Rect;
use krilla::paint::FillRule;
use krilla::surface::Surface;
use krilla::tagging::{
    Artifact, ArtifactType, BBox, ContentTag, Identifier, Node, SpanTag, TableHeaderScope, Tag, TagGroup,
};
use std::num::NonZeroU16;

/// What is being drawn outside of any tag.
#[derive(Default)]
struct Open {
    decoration: bool,
}

impl Open {
    fn decoration(&mut self, surface: &mut Surface) {
        if !self.decoration {
            surface.start_tagged(ContentTag::Artifact(Artifact::with_kind(ArtifactType::Other)));
            self.decoration = true;
        }
    }
    fn close(&mut self, surface: &mut Surface) {
        if self.decoration {
            surface.end_tagged();
            self.decoration = false;
        }
    }
}

impl Paper<'_> {
    /// Draws a page; gives what is on it in the order of reading.
    pub(crate) fn tagged(&self, items: &[Item], page: usize, surface: &mut Surface) -> Vec<Node> {
        let mut open = Open::default();
        let mut nodes = Vec::new();
        self.nodes(items, page, surface, &mut open, &mut nodes);
        open.close(surface);
        nodes
    }

    fn nodes(
        &self,
        items: &[Item],
        page: usize,
        surface: &mut Surface,
        open: &mut Open,
        into: &mut Vec<Node>,
    ) {
        let mut table: Option<TagGroup> = None;
        for item in items {
            match item {
                Item::Tagged { tag, items } if tag.role == Role::Row => {
                    let row = self.row(items, surface, open);
                    table.get_or_insert_with(|| TagGroup::new(Tag::Table)).push(row);
                }
                Item::Tagged { tag, items } if tag.role == Role::Figure && tag.says.is_empty() => {
                    self.decoration(items, surface, open);
                }
                Item::Tagged { tag, items } => {
                    into.extend(table.take().map(Node::Group));
                    into.push(self.leaf(tag, items, page, surface, open));
                }
                Item::Group { clip: None, items, .. } => {
                    into.extend(table.take().map(Node::Group));
                    self.nodes(items, page, surface, open, into);
                }
                Item::Group { clip: Some(clip), items, .. } => {
                    into.extend(table.take().map(Node::Group));
                    open.close(surface);
                    let clip = self.path(&moves(clip));
                    if let Some(path) = &clip {
                        surface.push_clip_path(path, &FillRule::EvenOdd);
                    }
                    self.nodes(items, page, surface, open, into);
                    open.close(surface);
                    if clip.is_some() {
                        surface.pop();
                    }
                }
                Item::Bookmark { .. } => {}
                _ => {
                    open.decoration(surface);
                    self.draw_item(item, surface);
                }
            }
        }
        into.extend(table.map(Node::Group));
    }

    fn decoration(&self, items: &[Item], surface: &mut Surface, open: &mut Open) {
        open.decoration(surface);
        self.draw(items, surface);
    }

    fn row(&self, items: &[Item], surface: &mut Surface, open: &mut Open) -> TagGroup {
        let mut row = TagGroup::new(Tag::TR);
        for item in items {
            let Item::Tagged { tag, items } = item else {
                self.decoration(std::slice::from_ref(item), surface, open);
                continue;
            };
            let leaf = vec![self.content(tag, items, surface, open).into()];
            row.push(if tag.role == Role::Head {
                TagGroup::with_children(Tag::TH(TableHeaderScope::Column), leaf)
            } else {
                TagGroup::with_children(Tag::TD, leaf)
            });
        }
        row
    }

    /// Draws the items as one piece of content that says what its tag says.
    fn content(&self, tag: &Said, items: &[Item], surface: &mut Surface, open: &mut Open) -> Identifier {
        open.close(surface);
        let id = match tag.role {
            Role::Figure => surface.start_tagged(ContentTag::Other),
            _ => {
                let says = Some(tag.says.as_str()).filter(|says| !says.is_empty());
                surface.start_tagged(ContentTag::Span(SpanTag::empty().with_actual_text(says)))
            }
        };
        self.draw(items, surface);
        surface.end_tagged();
        id
    }

    fn leaf(&self, tag: &Said, items: &[Item], page: usize, surface: &mut Surface, open: &mut Open) -> Node {
        let content = vec![self.content(tag, items, surface, open).into()];
        let heading = |level: NonZeroU16| Tag::Hn(level, Some(tag.says.clone()));
        Node::Group(match tag.role {
            Role::Title => TagGroup::with_children(heading(NonZeroU16::MIN), content),
            Role::Heading => TagGroup::with_children(heading(NonZeroU16::MIN.saturating_add(1)), content),
            Role::Figure => {
                let figure = Tag::Figure(Some(tag.says.clone())).with_bbox(self.bounds(items, page));
                TagGroup::with_children(figure, content)
            }
            _ => TagGroup::with_children(Tag::P, content),
        })
    }

    fn bounds(&self, items: &[Item], page: usize) -> Option<BBox> {
        let [min, max] = extent(items)?;
        let rect = Rect::from_ltrb(
            points(min.x),
            points(self.height - max.y),
            points(max.x),
            points(self.height - min.y),
        )?;
        Some(BBox::new(page, rect))
    }
}
