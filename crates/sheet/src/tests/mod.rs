mod demos;
mod fixture_report;
pub(crate) mod fixtures;
mod pages;
mod snapshots;
mod written;
