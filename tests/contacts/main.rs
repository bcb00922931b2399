//! Contacts, presets and resemblance against published rows, laws and independent computations.

mod bodies_properties;
mod computed_machines;
mod contact_by_summing;
mod contact_properties;
mod gear_presets;
mod machine_presets;
mod named_contacts;
mod preset_forms;
#[path = "../support/preset_kinds.rs"]
mod preset_kinds;
mod preset_laws;
mod preset_refusals;
mod published_contacts;
mod published_resemblance;
mod reynolds;
mod rig_contacts;
mod rolling_presets;
mod sliding_presets;
#[path = "../support/mod.rs"]
mod support;
mod trade_facts;
