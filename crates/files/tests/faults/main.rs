//! Every fault at once, with its place and remedy; what is sound beside it stays.

mod jobs;
mod made;
mod others;
