//! Pressure, motion, film and flash temperature of one contact.
