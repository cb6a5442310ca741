pub(crate) mod fixtures;
mod pages;
mod written;
