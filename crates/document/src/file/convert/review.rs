//! Remarks, decisions and ticks, field by field.

use super::{Back, Out, m, v4};
use std::sync::Arc;

same_variants! {
    Outcome { Accept, SendBack }
}
enums!(Outcome);
same_fields! {
    Review = Review { remarks, decisions, ticks }
    Remark = Remark { id, pin, called, text, by, on, of, answers, resolved }
    Answer = Answer { text, by, on }
    Decision = Decision { outcome, text, by, on, revision, of }
    Tick = Tick { key, asked, state, by, on, remark }
}
by_from!(Review = Review, Remark = Remark, Answer = Answer, Decision = Decision, Tick = Tick);

impl Out<v4::Pin> for m::Pin {
    fn out(self) -> v4::Pin {
        match self {
            Self::Whole => v4::Pin::Whole,
            Self::Cup(layout, cup) => v4::Pin::Cup { layout: layout.out(), cup: cup.out() },
            Self::Place(layout, at) => v4::Pin::Place { layout: layout.out(), at: at.out() },
            Self::Motion(motion) => v4::Pin::Motion { motion: motion.out() },
            Self::Finding { layout, rule, subject, motion } => {
                v4::Pin::Finding { layout: layout.out(), rule, subject: subject.out(), motion: motion.out() }
            }
        }
    }
}
impl Back<m::Pin> for v4::Pin {
    fn back(self) -> m::Pin {
        match self {
            Self::Whole => m::Pin::Whole,
            Self::Cup { layout, cup } => m::Pin::Cup(layout.back(), cup.back()),
            Self::Place { layout, at } => m::Pin::Place(layout.back(), at.back()),
            Self::Motion { motion } => m::Pin::Motion(motion.back()),
            Self::Finding { layout, rule, subject, motion } => m::Pin::Finding {
                layout: layout.back(),
                rule,
                subject: subject.back(),
                motion: motion.back(),
            },
        }
    }
}
