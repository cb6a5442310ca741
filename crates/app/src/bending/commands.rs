//! Commands of a part that bends.

use crate::{app::Cupwright, command::Command, view::View};

impl Cupwright {
    /// Shows the sag, plays the ringing, cuts a section. Off until a person asks; of a part that is rigid or as good as that it says
    /// so.
    pub(crate) fn run_bending(&mut self, view: &View, command: Command) {
        let bending = match &view.report.bending {
            None if view.part.modulus_n_mm2.is_none() => {
                self.say("The part is treated as rigid. Under Part, choose treat as flexible.");
                return;
            }
            None => {
                self.say("The bending of the part is being calculated.");
                return;
            }
            Some(Err(reason)) => {
                self.say(&format!("Bending is not checked: {reason}."));
                return;
            }
            Some(Ok(bending)) => bending.clone(),
        };
        let state = &mut self.plan.bending;
        match command {
            Command::ShowBending => {
                state.shown = !state.shown;
                state.playing = false;
                state.picking = false;
                if state.shown && bending.as_good_as_rigid() {
                    self.say("The part is effectively rigid; its sag is shown anyway.");
                }
            }
            Command::PlayBending => {
                state.shown = true;
                state.first_mode();
                state.play();
            }
            _ => {
                state.shown = true;
                state.cut(&bending);
            }
        }
    }
}
