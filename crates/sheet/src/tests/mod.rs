mod fixtures;
mod pages;
mod written;
