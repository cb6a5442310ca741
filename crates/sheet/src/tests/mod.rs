mod demos;
mod fixture_list;
mod fixture_report;
pub(crate) mod fixtures;
mod pages;
mod plots;
mod snapshots;
mod words;
mod written;
