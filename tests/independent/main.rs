//! Cases from outside the project, each record with its source beside it.
//!
//! Most expected values are closed forms and results of other methods and libraries; few are figures that are printed
//! elsewhere and were seen there. A record's source says which, and what was quoted from memory.

mod geometry;
mod mechanics;
mod vacuum;
