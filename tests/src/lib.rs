//! Shared by the checks in this folder.
