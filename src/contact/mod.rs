//! Pressure, motion, film and flash temperature of one contact.
pub mod element;
pub mod stated;
