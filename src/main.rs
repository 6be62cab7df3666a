//! The `recan` command.
fn main() {}
