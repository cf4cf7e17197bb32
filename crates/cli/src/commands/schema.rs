//! `gangday schema`.

use std::process::ExitCode;

use gangday_app::{schema, schema_names};

use super::Done;
use crate::print;

/// Prints a schema, or the names of all.
pub fn run(name: Option<&str>) -> Done {
    let Some(name) = name else {
        schema_names().for_each(print::line);
        return Ok(ExitCode::SUCCESS);
    };
    match schema(name) {
        Some(schema) => {
            print::json(&schema);
            Ok(ExitCode::SUCCESS)
        }
        None => {
            let names: Vec<&str> = schema_names().collect();
            print::message(&format!(
                "No output is called {name}; there are {}.",
                names.join(", ")
            ));
            Ok(ExitCode::from(2))
        }
    }
}
