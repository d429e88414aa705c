//! What is kept of a result: its project's file, the name it has in the class being the project's own.

pub use crate::storage::class::{all, keep, next, remove};

use ribline_geometry::project::Project;

pub fn name_in(text: &str) -> String {
    Project::from_json(text).map(|project| project.title).unwrap_or_default()
}

/// The same project under another name.
pub fn named(text: &str, name: &str) -> String {
    match Project::from_json(text) {
        Ok(project) => Project { title: name.to_owned(), ..project }.to_json(),
        Err(_) => text.to_owned(),
    }
}

/// Whether two are the same but for their names.
pub fn same(one: &str, other: &str) -> bool {
    match (Project::from_json(one), Project::from_json(other)) {
        (Ok(one), Ok(other)) => Project { title: other.title.clone(), ..one } == other,
        _ => one == other,
    }
}
