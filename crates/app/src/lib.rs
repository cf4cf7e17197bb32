//! The use-cases of Gangday: open, import, plan, total, export. The doors know nothing but this.

pub mod types;
pub mod view;
