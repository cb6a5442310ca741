//! Commands on the alternatives of a project.

use crate::{app::Cupwright, command::Command, dialogs::Dialog, view::View};
use document::{Edit, Layout, LayoutId};
use std::sync::Arc;

impl Cupwright {
    /// Carries out a command of the menu Layouts.
    pub(crate) fn run_layouts(&mut self, view: &View, command: Command) {
        let layouts = &view.project.layouts;
        let shown = view.layout.id;
        let at = layouts.iter().position(|l| l.id == shown).unwrap_or(0);
        match command {
            Command::CopyLayout => {
                if let Some(copy) = view.project.copy_of_layout(shown, "") {
                    self.add_layout(copy);
                }
            }
            Command::NewLayout => {
                let id = LayoutId(view.project.next_id());
                let name = view.project.free_layout_name("New layout");
                let layout = Layout { id, name, cups: Vec::new(), ..(*view.layout).clone() };
                self.add_layout(layout);
            }
            Command::RenameLayout => {
                self.dialog = Some(Dialog::RenameLayout { id: shown, name: view.layout.name.clone() });
            }
            Command::RemoveLayout => {
                let next =
                    layouts.get(at + 1).or(at.checked_sub(1).and_then(|i| layouts.get(i))).map(|l| l.id);
                self.apply(Edit::RemoveLayout(shown));
                if let Some(next) = next
                    && self.project().layout(shown).is_none()
                {
                    self.show_layout(next);
                    self.say(&format!("{} is removed. Undo brings it back.", view.layout.name));
                }
            }
            Command::LayoutLeft if at > 0 => self.apply(Edit::MoveLayout(shown, at - 1)),
            Command::LayoutRight if at + 1 < layouts.len() => self.apply(Edit::MoveLayout(shown, at + 1)),
            Command::LayoutLeft | Command::LayoutRight => self.say("It is already at the end of the row."),
            Command::NextLayout => {
                if let Some(next) = layouts.get((at + 1) % layouts.len().max(1)) {
                    self.show_layout(next.id);
                }
            }
            Command::Compare if self.comparing().is_some() => self.compare_with(None),
            Command::Compare => match layouts.iter().find(|l| l.id != shown) {
                Some(other) => self.compare_with(Some(other.id)),
                None => self
                    .say("There is only one layout. Copy it (Ctrl+Shift+D) and change the copy to compare."),
            },
            _ => {}
        }
    }

    fn add_layout(&mut self, layout: Layout) {
        let id = layout.id;
        self.apply(Edit::AddLayout(Arc::new(layout)));
        if self.project().layout(id).is_some() {
            self.show_layout(id);
        }
    }

    /// Puts another layout on the plan. The view stays where it is unless the part is another one.
    pub(crate) fn show_layout(&mut self, id: LayoutId) {
        let part = |app: &Self, id| app.project().layout(id).map(|l| l.part);
        let before = self.layout;
        if part(self, before) != part(self, id) {
            self.plan.fit = true;
        }
        // What is compared with stays: the two change places.
        if self.comparing() == Some(id) {
            self.compare_with(Some(before));
        }
        self.layout = id;
        self.forget_seat();
        self.selection.clear();
    }
}
