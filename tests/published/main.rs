//! Published and independently computed cases, each record with its source beside it.

mod geometry;
mod mechanics;
mod vacuum;
