//! The program in its window: holds the document's history and everything that is not in the document, draws a frame, and keeps
//! the report in step.

mod drags;
mod edits;
mod keys;

use crate::{
    command::Command,
    dialogs::{self, Dialog},
    fields,
    files::{FilePicker, OpenFile},
    panels,
    plan::{self, PlanState},
    prefs::{Prefs, Shade},
    theme,
    view::{Action, View},
};
use analysis::{Analyst, Report};
use document::{CupId, History, LayoutId, MotionId, Project};
use std::{
    collections::{BTreeSet, HashMap},
    path::PathBuf,
    sync::Arc,
    time::{Duration, Instant},
};

/// What the program starts with.
pub struct Setup {
    /// Asks for files.
    pub picker: Box<dyn FilePicker>,
    /// Folder for preferences and the recovery journal; `None` keeps neither (tests).
    pub folder: Option<PathBuf>,
    /// Project or drawing to open.
    pub open: Option<PathBuf>,
}

/// How long a message stands in the status line.
const NOTICE: Duration = Duration::from_secs(8);
/// How many messages are kept.
const SAID: usize = 100;

/// The program.
pub struct Cupwright {
    pub(crate) history: History,
    pub(crate) layout: LayoutId,
    pub(crate) file: Option<OpenFile>,
    pub(crate) analyst: Analyst,
    pub(crate) report: Arc<Report>,
    reported: Option<(Arc<Project>, LayoutId, units::UnitChoice, f64)>,
    /// Camera, tool, drag.
    pub plan: PlanState,
    pub(crate) selection: BTreeSet<CupId>,
    pub(crate) motion: Option<MotionId>,
    pub(crate) dialog: Option<Dialog>,
    pub(crate) prefs: Prefs,
    pub(crate) folder: Option<PathBuf>,
    pub(crate) recovery: crate::recovery::Recovery,
    pub(crate) picker: Box<dyn FilePicker>,
    pub(crate) panels: panels::PanelState,
    pub(crate) notice: Option<(String, Instant)>,
    /// What was said in the status line, with when, newest last.
    pub(crate) said: Vec<(String, String)>,
    /// What waits until the project is saved.
    pub(crate) after_saving: Option<dialogs::Pending>,
    /// Whether a demo is open: nobody's own work.
    pub(crate) is_demo: bool,
    pub(crate) leaving: bool,
    pub(crate) slow: crate::slow::SlowFigures,
    pub(crate) reviewing: crate::review::Reviewing,
    pub(crate) sharing: crate::sharing::Sharing,
    pub(crate) proposing: crate::propose::Proposing,
    pub(crate) seats: crate::seats::Seats,
    overhangs: HashMap<CupId, Vec<geometry::Overhang>>,
    check_time: Duration,
    installed: bool,
    title: String,
    /// Commands that wait until what is being typed is entered.
    waiting: Vec<Command>,
}

impl Cupwright {
    /// Starts with what `setup` names, or with the finished demo.
    pub fn new(setup: Setup) -> Self {
        let prefs =
            setup.folder.as_ref().map(|f| Prefs::read(&f.join("preferences.ron"))).unwrap_or_default();
        let project = crate::start::demo_project();
        let layout = project.layouts.first().map_or(LayoutId(0), |l| l.id);
        let mut analyst = Analyst::new();
        let report = analyst.check(&project, layout);
        let mut app = Self {
            history: History::new(project),
            layout,
            file: None,
            analyst,
            report,
            reported: None,
            plan: PlanState { fit: true, ..PlanState::default() },
            selection: BTreeSet::new(),
            motion: None,
            dialog: None,
            recovery: crate::recovery::Recovery::default(),
            picker: setup.picker,
            panels: panels::PanelState::default(),
            notice: None,
            said: Vec::new(),
            after_saving: None,
            is_demo: true,
            leaving: false,
            slow: crate::slow::SlowFigures::default(),
            reviewing: crate::review::Reviewing::default(),
            sharing: crate::sharing::Sharing::default(),
            proposing: crate::propose::Proposing::default(),
            seats: crate::seats::Seats::default(),
            overhangs: HashMap::new(),
            check_time: Duration::ZERO,
            installed: false,
            title: String::new(),
            waiting: Vec::new(),
            prefs,
            folder: setup.folder,
        };
        app.plan.show =
            plan::Show { grid: app.prefs.grid, snap: app.prefs.snap, loads: app.prefs.loads, circuit: false };
        app.panels.edges = app.prefs.edges.clone();
        app.panels.guide = !app.prefs.guide_read && setup.open.is_none();
        app.begin_recovery();
        if let Some(path) = setup.open {
            app.open_any(&path);
        }
        app
    }

    /// The project as last committed.
    pub fn project(&self) -> &Arc<Project> {
        self.history.committed()
    }

    /// What is known about the layout shown.
    pub fn report(&self) -> &Arc<Report> {
        &self.report
    }

    /// Selected cups.
    pub fn selection(&self) -> &BTreeSet<CupId> {
        &self.selection
    }

    /// One frame.
    pub fn ui(&mut self, ui: &mut egui::Ui) {
        let ctx = ui.ctx().clone();
        self.logic(&ctx);
        let view = self.view(theme::tokens(ui.visuals().dark_mode));
        self.name_window(&ctx, &view);
        self.plan.preview = self.dialog.as_ref().map_or_else(Vec::new, |dialog| dialog.preview(&view));
        let mut actions = Vec::new();
        let status = panels::Status {
            check_time: self.check_time,
            notice: self.notice.as_ref().map(|(text, _)| text.clone()),
            on: self.commands_on(),
            recent: self.prefs.recent.clone(),
        };
        panels::window_ui(
            ui,
            &view,
            &mut self.panels,
            &mut self.plan,
            &self.overhangs,
            &status,
            &mut actions,
        );
        // What earlier runs left comes first; any other dialog waits for it.
        if let Some(mut offer) = self.take_offers() {
            let effect = dialogs::dialog_ui(&ctx, &view, &mut offer, &self.prefs, &mut actions);
            self.answer_offers(effect, offer);
        } else if let Some(mut dialog) = self.dialog.take() {
            let effect = dialogs::dialog_ui(&ctx, &view, &mut dialog, &self.prefs, &mut actions);
            self.answer_trial(&mut dialog);
            if let Some(effect) = self.carry_out(effect, dialog) {
                self.dialog = Some(effect);
            }
        }
        if self.dialog.is_none() {
            // Every way from the question to the saved file leads through dialogs; without one it was left.
            self.after_saving = None;
        }
        if std::mem::take(&mut self.panels.guide_put_away) {
            self.prefs.guide_read = true;
            self.keep_prefs();
        }
        if std::mem::take(&mut self.panels.edges_moved) {
            self.prefs.edges = self.panels.edges.clone();
            self.keep_prefs();
        }
        if let Some(refused) = fields::take_refused(&ctx) {
            self.say(&refused);
        }
        let any = !actions.is_empty();
        for action in actions {
            self.perform(&ctx, &view, action);
        }
        // What was just carried out is kept now, not with the next frame: a hidden window may draw none for long.
        self.keep_journal();
        if any || self.plan.drag.is_some() {
            ctx.request_repaint();
        }
    }

    /// Everything that happens before anything is drawn, so that all panels of a frame show one state.
    fn logic(&mut self, ctx: &egui::Context) {
        if !self.installed {
            theme::install(ctx);
            self.installed = true;
        }
        ctx.set_theme(match self.prefs.shade {
            Shade::Desktop => egui::ThemePreference::System,
            Shade::Light => egui::ThemePreference::Light,
            Shade::Dark => egui::ThemePreference::Dark,
        });
        let zoom = self.prefs.text_size;
        if (ctx.zoom_factor() - zoom).abs() > 1e-3 {
            ctx.set_zoom_factor(zoom);
        }
        self.refresh();
        self.follow_drag(ctx);
        let mut commands = std::mem::take(&mut self.waiting);
        let open = self.dialog.is_none() && !self.offering();
        if open {
            commands.extend(Command::pressed(ctx));
        }
        if !commands.is_empty() && fields::touched(ctx) {
            // What was typed is entered first: it is saved, undone or shown with the rest.
            fields::leave(ctx);
            ctx.request_repaint();
            self.waiting = commands;
        } else {
            for command in commands {
                let view = self.view(theme::tokens(false));
                self.perform(ctx, &view, Action::Run(command));
            }
        }
        if open {
            self.keys(ctx);
        }
        self.take_dropped(ctx);
        self.guard_leaving(ctx);
        self.look_outside(ctx);
        self.refresh();
        self.follow_slow_figures(ctx);
        self.keep_reviewing(ctx);
        self.follow_proposals(ctx);
        self.keep_journal();
        if let Some((_, since)) = &self.notice {
            match NOTICE.checked_sub(since.elapsed()) {
                Some(left) => ctx.request_repaint_after(left),
                None => self.notice = None,
            }
        }
    }

    /// One frame's read-only state.
    pub fn view(&self, tokens: theme::Tokens) -> View {
        let project = self.history.shown().clone();
        let layout = project
            .layout(self.layout)
            .or(project.layouts.first())
            .cloned()
            .unwrap_or_else(crate::start::no_layout);
        let family = self.family_view();
        let shown = family.as_ref().and_then(|held| held.seat()).map_or(layout.part, |seat| seat.seat.part);
        let part =
            project.part(shown).or(project.parts.first()).cloned().unwrap_or_else(crate::start::no_part);
        let lying = self.part_on_tool(&project).unwrap_or_else(|| part.clone());
        View {
            layout,
            part,
            lying,
            family,
            report: self.report.clone(),
            selection: self.selection.clone(),
            motion: self.motion,
            units: self.prefs.unit_choice(),
            step_mm: self.prefs.step_mm(),
            tokens,
            file_name: self
                .file
                .as_ref()
                .and_then(|f| f.path.file_name())
                .map(|n| n.to_string_lossy().into_owned()),
            unsaved: self.history.unsaved(),
            demo: self.is_demo,
            undo: self.history.undo_name().map(str::to_owned),
            redo: self.history.redo_name().map(str::to_owned),
            dragging: self.plan.drag.is_some(),
            replay: self.replay_view(),
            compare: self.slow.compare_shown.clone(),
            slow_now: self.slow_now(),
            envelope: self.envelope_view(),
            review: self.review_view(),
            content: self.content_mark(),
            also_open: self.also_open(),
            person: self.prefs.person.clone(),
            propose: self.propose_view(),
            more: self.more_view(),
            project,
        }
    }

    /// Brings report, overhangs, landing region and selection in step with the project shown.
    fn refresh(&mut self) {
        let project = self.history.shown().clone();
        if project.layout(self.layout).is_none()
            && let Some(first) = project.layouts.first()
        {
            self.layout = first.id;
        }
        let (units, step) = (self.prefs.unit_choice(), self.prefs.step_mm());
        let stale = !self.reported.as_ref().is_some_and(|(p, l, u, s)| {
            Arc::ptr_eq(p, &project) && *l == self.layout && *u == units && *s == step
        });
        if stale {
            let start = Instant::now();
            self.analyst.set_units(units);
            self.analyst.set_step(Some(step));
            let whole = self.analyst.check(&project, self.layout);
            self.take_report(whole);
            self.check_time = start.elapsed();
            self.overhangs.clear();
            for cup in &self.report.cups {
                if cup.clearance.is_some_and(|c| c.distance < 0.0) {
                    self.overhangs.insert(cup.id, self.analyst.overhang(&project, self.layout, cup.id));
                }
            }
            if let Some(layout) = project.layout(self.layout) {
                self.selection.retain(|id| layout.cups.iter().any(|c| c.id == *id));
            }
            if self.motion.is_some_and(|m| project.motion(m).is_none()) {
                self.motion = None;
            }
            self.reported = Some((project.clone(), self.layout, units, step));
        }
        self.refresh_landing(&project);
    }

    /// The report again, after slow figures were taken over.
    pub(crate) fn report_anew(&mut self) {
        let project = self.history.shown().clone();
        let whole = self.analyst.check(&project, self.layout);
        self.take_report(whole);
    }

    /// The next frame takes the report anew.
    pub(crate) fn forget_reported(&mut self) {
        self.reported = None;
    }

    /// Commands of what is shown or held at the moment.
    fn commands_on(&self) -> Vec<Command> {
        let show = &self.plan.show;
        [
            (Command::ToggleGrid, show.grid),
            (Command::ToggleSnap, show.snap),
            (Command::ToggleLoads, show.loads),
            (Command::ShowCircuit, self.panels.circuit),
            (Command::ShowBending, self.plan.bending.shown),
            (Command::PlanAlone, self.panels.plan_alone),
            (Command::Propose, self.panels.propose),
            (Command::MoreCups, self.panels.more_cups),
            (Command::Compare, self.comparing().is_some()),
            (Command::AllSeats, self.family_view().is_some_and(|held| held.all)),
        ]
        .into_iter()
        .filter_map(|(command, on)| on.then_some(command))
        .collect()
    }

    /// A line in the status bar.
    pub(crate) fn say(&mut self, text: &str) {
        self.notice = Some((text.to_owned(), Instant::now()));
        if self.said.len() == SAID {
            self.said.remove(0);
        }
        self.said.push((crate::now(), text.to_owned()));
    }

    /// The window's title says what is open; sent only when it changes.
    fn name_window(&mut self, ctx: &egui::Context, view: &View) {
        let name = view.file_name.as_ref().unwrap_or(&view.project.name);
        let title = format!("{}{name} - Cupwright", if view.unsaved { "*" } else { "" });
        if title != self.title {
            ctx.send_viewport_cmd(egui::ViewportCommand::Title(title.clone()));
            self.title = title;
        }
    }

    fn take_dropped(&mut self, ctx: &egui::Context) {
        let dropped: Vec<PathBuf> =
            ctx.input(|i| i.raw.dropped_files.iter().map(|f| f.path().to_owned()).collect());
        if let Some(path) = dropped.first() {
            let path = path.clone();
            self.guarded(dialogs::Pending::Open(path));
        }
    }

    fn guard_leaving(&mut self, ctx: &egui::Context) {
        let asked = ctx.input(|i| i.viewport().close_requested()) && !self.leaving;
        if asked {
            self.put_offers_away();
        }
        if asked && fields::touched(ctx) {
            // What is being typed is unsaved work too.
            ctx.send_viewport_cmd(egui::ViewportCommand::CancelClose);
            fields::leave(ctx);
            self.waiting.push(Command::Quit);
        } else if asked && self.history.unsaved() {
            ctx.send_viewport_cmd(egui::ViewportCommand::CancelClose);
            self.dialog = Some(Dialog::Unsaved { then: dialogs::Pending::Quit });
        }
        if self.leaving {
            ctx.send_viewport_cmd(egui::ViewportCommand::Close);
        }
    }
}
