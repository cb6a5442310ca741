//! Carrying out actions and commands.

use crate::{
    app::Cupwright,
    arrange::{self, Across, Along},
    command::Command,
    dialogs::{AnswerForm, Dialog, Pending, RingForm, RowsForm, SourcesForm},
    plan::{Sketch, SketchTarget, StopsDraft, Tool},
    prefs::Shade,
    view::{Action, View},
};
use document::Edit;
use std::collections::BTreeSet;

impl Cupwright {
    /// Carries out what a panel asked for.
    pub(crate) fn perform(&mut self, ctx: &egui::Context, view: &View, action: Action) {
        match action {
            Action::Run(command) => self.run(ctx, view, command),
            Action::Edit(edit) => self.enter(ctx, edit),
            Action::Select(selection) => self.selection = selection,
            Action::ShowMotion(motion) => {
                // What is played back belongs to one motion.
                if motion.is_none() || self.replayed() != motion {
                    self.play_back(None);
                }
                self.motion = motion;
            }
            Action::Frame(cups) => {
                self.selection = cups.iter().copied().collect();
                self.plan.frame = cups;
            }
            Action::Tool(tool) => {
                self.plan.tool = tool;
                self.plan.by_keys = None;
                self.plan.corner = None;
                self.plan.guides.clear();
            }
            Action::Open(path) => self.guarded(Pending::Open(path)),
            Action::SourceOf(circuit) => {
                self.dialog = Some(Dialog::Sources(Box::new(SourcesForm::of(view, circuit))));
            }
            Action::ChooseSource(circuit) => {
                self.dialog = Some(Dialog::Sources(Box::new(SourcesForm::on(circuit))));
            }
            Action::Layout(layout) => self.show_layout(layout),
            Action::Seat(seat) => self.show_seat(seat),
            Action::SeatPart(part) => self.seat_anew(crate::panels::seat_part(view, part)),
            Action::Units(units) => {
                self.prefs.set_units(&units);
                self.keep_prefs();
            }
            Action::GridStep(step) => {
                self.prefs.grid_step_mm = step;
                self.keep_prefs();
            }
            Action::Accept(finding) => {
                let by = self.history.committed().accepted.last().map(|a| a.by.clone()).unwrap_or_default();
                self.dialog = Some(Dialog::Accept { finding, reason: String::new(), by });
            }
            Action::Notice(text) => self.say(&text),
            Action::Compare(other) => self.compare_with(other),
            Action::PlayBack(loss) => self.play_back(loss),
            Action::PlayStep(by) => self.play_step(by),
            Action::Beside(beside) => self.set_beside(beside),
            Action::Change(at) => self.show_change(at),
            Action::Remark(pin, called) => self.remark_on(view, Some((pin, called))),
            Action::Answer(remark, settle) => {
                self.dialog = Some(Dialog::Answer(AnswerForm::new(remark, settle, &self.prefs.person)));
            }
            Action::Person(name) => self.keep_person(&name),
            Action::Look(at) => {
                self.plan.camera.centre = at;
                self.plan.fitted = None;
            }
            Action::ReadRemarks => self.panels.review = crate::panels::ReviewTab::Remarks,
            Action::Propose => self.propose(ctx),
            Action::StopProposing => self.stop_proposing(),
            Action::TakeProposal(at) => self.take_proposal(at),
            Action::LayOutCircuit(circuit) => self.lay_out_circuit(view, circuit),
        }
    }

    fn run(&mut self, ctx: &egui::Context, view: &View, command: Command) {
        use Command as C;
        if self.plan.drag.is_some() {
            return;
        }
        match command {
            C::NewProject => self.guarded(Pending::New),
            C::Open => self.guarded(Pending::AskOpen),
            C::OpenDemo => self.dialog = Some(Dialog::Demos),
            C::LeftWork => self.guarded(Pending::Recover),
            C::Save => {
                self.save();
            }
            C::SaveAs => self.dialog = Some(Dialog::save_as(self.suggested(".ron"))),
            C::ImportDrawing => self.dialog = Some(Dialog::ask_import()),
            C::Write(output) => self.ask_output(output),
            C::Quit => self.guarded(Pending::Quit),
            C::Undo | C::Redo => {
                self.undo_while_sealed(command == C::Redo);
            }
            C::SelectAll => self.selection = view.layout.cups.iter().map(|c| c.id).collect(),
            C::SelectNone => self.selection.clear(),
            C::SelectNext => self.step_selection(view, 1),
            C::SelectPrevious => self.step_selection(view, -1),
            C::Duplicate => self.arrange(arrange::duplicate(view), "Select cups to duplicate."),
            C::Delete => self.delete(view),
            C::Lock => self.arrange(arrange::lock(view), "Select cups to lock."),
            C::MirrorAcrossVertical => self.arrange(
                arrange::mirror(view, Across::Vertical),
                "Select cups whose mirrored position is free.",
            ),
            C::MirrorAcrossHorizontal => self.arrange(
                arrange::mirror(view, Across::Horizontal),
                "Select cups whose mirrored position is free.",
            ),
            C::ArrayRows if view.selection.is_empty() => self.say("Select the cups to repeat."),
            C::ArrayRing if view.selection.is_empty() => self.say("Select the cups to repeat."),
            C::ArrayRows => self.dialog = Some(Dialog::Rows(RowsForm::new(view))),
            C::ArrayRing => self.dialog = Some(Dialog::Ring(RingForm::new(view))),
            C::AlignX => self.arrange(arrange::align(view, Along::X), "Select two or more cups to align."),
            C::AlignY => self.arrange(arrange::align(view, Along::Y), "Select two or more cups to align."),
            C::SpaceX => self.arrange(arrange::space(view, Along::X), "Select three or more cups to space."),
            C::SpaceY => self.arrange(arrange::space(view, Along::Y), "Select three or more cups to space."),
            C::Propose => {
                self.panels.propose = !self.panels.propose;
                self.plan.proposed.clear();
            }
            C::MoreCups => self.panels.more_cups = !self.panels.more_cups,
            C::Sources => self.dialog = Some(Dialog::Sources(Box::new(SourcesForm::first(view)))),
            C::CupLibrary => self.dialog = Some(Dialog::Library(Box::default())),
            C::CopyLayout
            | C::NewLayout
            | C::RenameLayout
            | C::RemoveLayout
            | C::LayoutLeft
            | C::LayoutRight
            | C::NextLayout
            | C::Compare => self.run_layouts(view, command),
            C::NextSeat | C::PreviousSeat | C::AllSeats | C::OtherHand => self.run_seats(view, command),
            C::ReviewFile
            | C::Review
            | C::SetBeside
            | C::NextChange
            | C::PreviousChange
            | C::RemarkHere
            | C::RemarkPlace
            | C::Decide
            | C::IssueRevision
            | C::EditReviewed => self.run_review(view, command),
            C::ToolSelect => self.plan.tool = Tool::Select,
            C::ToolPlace => match view
                .single()
                .map(|c| c.model.clone())
                .or_else(|| view.project.models.first().map(|m| m.id.clone()))
            {
                Some(model) => {
                    self.plan.by_keys = None;
                    self.plan.tool = Tool::Place { model, turn_deg: 0.0 };
                }
                None => self.dialog = Some(Dialog::Library(Box::default())),
            },
            C::SketchOutline => {
                self.plan.tool = Tool::Sketch(Sketch::new(SketchTarget::Outline, &view.part, view.step_mm))
            }
            C::SketchHole => {
                self.plan.tool = Tool::Sketch(Sketch::new(SketchTarget::Hole, &view.part, view.step_mm))
            }
            C::SketchKeepOut => {
                self.plan.tool = Tool::Sketch(Sketch::new(SketchTarget::KeepOut, &view.part, view.step_mm))
            }
            C::EditOutline => {
                self.plan.tool =
                    if self.plan.tool == Tool::EditOutline { Tool::Select } else { Tool::EditOutline }
            }
            C::Datum => self.plan.tool = Tool::Datum,
            C::Stops => self.plan.tool = Tool::Stops(StopsDraft::of(&view.seat())),
            C::Trace if view.project.traced.is_some() => self.plan.tool = Tool::Trace,
            C::Trace => self.dialog = Some(Dialog::ask_import()),
            C::ZoomIn => self.zoom(1.25),
            C::ZoomOut => self.zoom(0.8),
            C::ZoomFit => self.plan.fit = true,
            C::ZoomSelection => self.plan.frame = view.selection.iter().copied().collect(),
            C::ToggleGrid | C::ToggleSnap | C::ToggleLoads => self.toggle(command),
            C::ShowCircuit => {
                self.panels.circuit = !self.panels.circuit;
                self.plan.fit = true;
            }
            C::ShowBending | C::PlayBending | C::SectionBending => self.run_bending(view, command),
            C::PlanAlone => {
                self.panels.plan_alone = !self.panels.plan_alone;
                self.plan.fit = true;
            }
            C::ToggleTheme => {
                self.prefs.shade = if ctx.theme() == egui::Theme::Dark { Shade::Light } else { Shade::Dark };
                self.keep_prefs();
            }
            C::LargerText | C::SmallerText => {
                let by = if command == C::LargerText { 1.1 } else { 1.0 / 1.1 };
                self.prefs.text_size = (self.prefs.text_size * by).clamp(0.75, 2.0);
                self.keep_prefs();
            }
            C::Units => self.dialog = Some(Dialog::Units),
            C::GridStep => self.dialog = Some(Dialog::GridStep),
            C::HoleTable => self.dialog = Some(Dialog::Holes(String::new())),
            C::SheetFields => self.dialog = Some(Dialog::Sheet),
            C::Rules => self.dialog = Some(Dialog::Rules),
            C::Trial => self.dialog = Some(Dialog::Trial(Box::new(crate::dialogs::TrialForm::new(view)))),
            C::Palette => self.dialog = Some(Dialog::Palette { query: String::new(), at: 0 }),
            C::Guide => {
                self.panels.guide = !self.panels.guide;
                self.prefs.guide_read = true;
                self.keep_prefs();
            }
            C::Keys => self.dialog = Some(Dialog::Keys),
            C::Messages => self.dialog = Some(Dialog::Messages(self.said.clone())),
            C::About => self.dialog = Some(Dialog::About),
        }
    }

    fn arrange(&mut self, edit: Option<Edit>, otherwise: &str) {
        match edit {
            Some(edit) => self.apply(edit),
            None => self.say(otherwise),
        }
    }

    fn delete(&mut self, view: &View) {
        if self.plan.tool == Tool::EditOutline {
            // There Delete takes the marked corner away; the plan does it.
            return;
        }
        let (locked, free): (Vec<_>, Vec<_>) = view.selected().partition(|c| c.locked);
        if free.is_empty() {
            self.say(if locked.is_empty() {
                "Select cups to delete."
            } else {
                "The selection is locked. Unlock it (L) to delete it."
            });
            return;
        }
        let edit = Edit::RemoveCups { layout: view.layout.id, cups: free.iter().map(|c| c.id).collect() };
        self.apply(edit);
    }

    fn step_selection(&mut self, view: &View, by: isize) {
        let cups = &view.layout.cups;
        if cups.is_empty() {
            return;
        }
        let now = self.selection.iter().next().and_then(|id| cups.iter().position(|c| c.id == *id));
        let next = match now {
            Some(at) => (at as isize + by).rem_euclid(cups.len() as isize) as usize,
            None if by > 0 => 0,
            None => cups.len() - 1,
        };
        self.selection = BTreeSet::from([cups[next].id]);
        self.plan.frame = vec![cups[next].id];
    }

    fn zoom(&mut self, factor: f64) {
        if let Some(rect) = self.plan.rect {
            self.plan.camera.zoom_about(rect, rect.center(), factor);
            self.plan.fitted = None;
        }
    }

    fn toggle(&mut self, command: Command) {
        let show = &mut self.plan.show;
        match command {
            Command::ToggleGrid => show.grid = !show.grid,
            Command::ToggleSnap => show.snap = !show.snap,
            _ => show.loads = !show.loads,
        }
        (self.prefs.grid, self.prefs.snap, self.prefs.loads) = (show.grid, show.snap, show.loads);
        self.keep_prefs();
    }
}
