//! Pressure, motion, film and flash temperature of one contact.

pub mod elastic;
pub mod element;
mod error;
pub mod film;
pub mod flash;
pub mod gear;
pub mod hertz;
pub mod kinematics;
pub mod stated;
pub mod terms;

pub use error::{ContactError, UnknownWord};
