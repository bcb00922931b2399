//! Censored results on a grid, precision, seeded draws.
