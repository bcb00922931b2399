//! Intervals, unit words and exact factors.
