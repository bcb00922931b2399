//! One file or folder per page.

pub(crate) mod about;
pub(crate) mod comparison;
pub(crate) mod methods;
pub(crate) mod trials;
