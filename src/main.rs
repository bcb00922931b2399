//! The likewear program.

fn main() {}
