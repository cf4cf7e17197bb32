//! Prints the index of codes.
#![allow(clippy::print_stdout, reason = "this is all it does")]

fn main() {
    print!("{}", gangday_app::codes::index());
}
