//! Facts for programs, full digits. Keys are stable within format 1.

pub mod held;
pub mod document;
pub mod report;
pub mod study;
pub mod schemas;
