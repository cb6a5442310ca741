//! Why nothing can be proposed.

/// Which part of the question fails, and the nearest that works.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum CannotPropose {
    /// The layout or its part is not in the project.
    #[error("there is no part to place cups on: draw or import one")]
    NoPart,
    /// An input cannot be worked with.
    #[error("{0}")]
    Input(String),
    /// Nothing says what the cups must hold.
    #[error("no motion says what the cups must hold: add one, level lift to begin with")]
    NoMotion,
    /// One of the parts on the tool makes no motion.
    #[error("{0} makes no motion: give it one under Parts on the tool, or remove it")]
    NoMotionOf(String),
    /// A motion has no load case.
    #[error("motion \"{motion}\": {why}")]
    Motion {
        /// Its name.
        motion: String,
        /// What is wrong with it.
        why: String,
    },
    /// A model that was named is neither in the project nor in the library.
    #[error("there is no cup model \"{0}\" in the project or the library: choose one that exists")]
    NoModel(String),
    /// Of the models that may be used none suits.
    #[error("no cup model suits: {0}")]
    NoneSuits(String),
    /// Cups of the wanted kind find no place, or too few.
    #[error(
        "{wanted} cups of {model} do not fit{how}: there is room for {most}; ask for {most}, less spacing or a smaller lip"
    )]
    NoRoom {
        /// Name of the model.
        model: String,
        /// As asked for.
        wanted: usize,
        /// That fit.
        most: usize,
        /// Where they were to stand: " on the frame".
        how: String,
    },
    /// Where fewest cups are asked for, fewer fit than what must hold takes.
    #[error(
        "{model}: the motions need at least {needed} cups by the sum of their forces, and only {room} fit{how}; allow a larger \
         lip, a smaller gap or less acceleration"
    )]
    FewFit {
        /// Name of the model.
        model: String,
        /// At least.
        needed: usize,
        /// That fit.
        room: usize,
        /// Where they were to stand: " on the frame".
        how: String,
    },
    /// More cups are locked than are asked for.
    #[error("{locked} cups are locked, but {wanted} are requested: unlock {}, or ask for {locked}", .locked - .wanted)]
    MoreLocked {
        /// Cups that stay.
        locked: usize,
        /// As asked for.
        wanted: usize,
    },
    /// Cups that stay and that overlap, or hang over an edge.
    #[error("{0} is locked, and {1}: move it or unlock it")]
    LockedAmiss(String, String),
    /// Places on the frame were asked for and there is none.
    #[error(
        "the layout has no frame to place cups on: add a rail or a plate under Tool, or ask for another pattern"
    )]
    NoFrame,
    /// The loss of a zone was asked for, and all cups are in one.
    #[error(
        "all cups are in one zone, so its loss drops the part: divide the cups into zones first, or ask for one cup lost"
    )]
    OneZone,
    /// The loss of a zone was asked for of a tool whose zones follow from its parts.
    #[error(
        "the tool carries several parts, and its zones follow from where the cups lie on them: ask for one cup lost, and check the \
         loss of a zone on the proposal"
    )]
    ZoneOfSeveral,
    /// The loss of a zone was asked for, and the part bends.
    #[error(
        "the loss of a zone is not calculated for a flexible part: ask for one cup lost, or clear the modulus to treat the part as rigid"
    )]
    ZoneOfBending,
    /// A number of the question is no number that can be worked with.
    #[error("{what} is {value}: enter {range}")]
    Number {
        /// Which.
        what: &'static str,
        /// As asked for.
        value: f64,
        /// What it may be.
        range: String,
    },
    /// No number of cups up to the most meets what must hold.
    #[error(
        "no layout of up to {most} cups meets the requirements: the best found, {cups} cups of {model}, has \
        {best} of the required factor in {motion}{proved}; lower the acceleration of that motion, use a \
        larger lip, or ask for a fixed number of cups"
    )]
    OutOfReach {
        /// The most that was looked at.
        most: usize,
        /// Cups of the best that was found.
        cups: usize,
        /// Its model.
        model: String,
        /// Its score, printed.
        best: String,
        /// Where it is least.
        motion: String,
        /// What is proved of any layout: ", and none has more than 0.82".
        proved: String,
    },
    /// It was told to stop before anything was found.
    #[error("stopped before a layout was found")]
    Stopped,
}
