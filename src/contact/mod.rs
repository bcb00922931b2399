//! Pressure, motion, film and flash temperature of one contact.

pub mod bearing;
pub mod bodies;
pub mod cam;
pub mod curvature;
pub mod depicted;
pub mod elastic;
pub mod element;
pub mod elliptical;
mod error;
pub mod film;
pub mod flash;
pub mod gear;
pub mod hertz;
mod integrals;
pub mod journal;
pub mod kinematics;
pub mod note;
pub mod preset;
pub mod scuffing;
pub mod stated;
pub mod subsurface;
pub mod term;
pub mod terms;
mod words;
mod wrong;

pub use error::{ContactError, UnknownWord};
pub use wrong::Wrong;
