//! What the window keeps of proposals.

use crate::errand::Errand;
use analysis::{CannotPropose, MoreAt, ProposalWatch, Proposals};
use document::{LayoutId, Project};
use std::sync::{Arc, mpsc::Receiver};

/// State of the project and layout that something is about.
pub(super) type Of = (Arc<Project>, LayoutId);

/// What the window keeps of proposals.
#[derive(Default)]
pub(crate) struct Proposing {
    pub(super) underway: Option<Underway>,
    /// The best so far of what is under way.
    pub(super) so_far: Option<Arc<Proposals>>,
    pub(super) ended: Option<Ended>,
    pub(super) more: Option<More>,
}

/// A search under way; dropping it asks it to stop.
pub(super) struct Underway {
    pub(super) errand: Errand<Result<Proposals, CannotPropose>>,
    pub(super) watch: Arc<ProposalWatch>,
    pub(super) found: Receiver<Proposals>,
    pub(super) of: Of,
}

impl Drop for Underway {
    fn drop(&mut self) {
        self.watch.stop();
    }
}

/// What came of the last search.
pub(super) struct Ended {
    pub(super) found: Result<Arc<Proposals>, String>,
    pub(super) of: Of,
}

/// Where one more cup would help.
pub(super) struct More {
    pub(super) errand: Option<Errand<Arc<[MoreAt]>>>,
    pub(super) found: Option<Arc<[MoreAt]>>,
    pub(super) of: Of,
    pub(super) stop: Arc<ProposalWatch>,
}

impl Drop for More {
    fn drop(&mut self) {
        self.stop.stop();
    }
}
