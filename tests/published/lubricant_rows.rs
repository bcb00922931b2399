//! Rows on viscosity, pressure-viscosity, viscosity ratio and scuffing temperature.

use crate::published_contacts::Example;
use likewear::facade::contact::bearing::reference_viscosity_mm2_s;
use likewear::facade::contact::scuffing::{
    flash_scuffing_temperature_c, integral_scuffing_temperature_c, torque_of_stage_nm,
};
use likewear::facade::lubricant::viscosity::{ViscosityLine, full_z};
use likewear::facade::lubricant::{reference_viscosities, viscosity_index, wooster_per_pa};

/// The row's quantity in SI (viscosities in mm2/s, temperatures in °C), or `None` for rows of other rooms.
pub(crate) fn compute(row: &Example) -> Option<f64> {
    let x = |name: &str| row.input(name);
    let value = match row.id.as_str() {
        "VI-A-01" => reference_viscosities(x("Y_100C")).unwrap().0,
        "VI-A-02" => reference_viscosities(x("Y_100C")).unwrap().1,
        "VI-A-03" | "VI-B-02" => viscosity_index(x("U_40C"), x("Y_100C")).unwrap(),
        "VT-02" => line(row).b(),
        "VT-03" | "VT-04" => line(row).kv_at_kelvin_mm2_s(x("T_C") + x("T0_offset")),
        "VT-10" | "VT-11" => full_z(x("nu")),
        "KA-01" => reference_viscosity_mm2_s(x("n_rpm"), 0.5e-3 * (x("bore_mm") + x("D_mm"))).unwrap(),
        "KA-03" => reference_viscosity_mm2_s(x("n_rpm"), 1e-3 * x("dm_mm")).unwrap(),
        "GR-T-08" | "GR-T-12" => torque_of_stage_nm(x("load_stage")),
        id if id.starts_with("SC-I-") => {
            integral_scuffing_temperature_c(x("FLS"), x("nu40"), x("XL"), x("XWrelT")).unwrap()
        }
        id if id.starts_with("SC-F-") => {
            let eta = x("eta_oil_mPas") * 1e-3;
            flash_scuffing_temperature_c(x("FLS"), eta, x("XW")).unwrap()
        }
        id if id.starts_with("PV-") => wooster_per_pa(x("eta0_mPas") * 1e-3),
        _ => return None,
    };
    Some(value)
}

/// The line of a row, on the row's own zero of the Celsius scale.
fn line(row: &Example) -> ViscosityLine {
    let zero = row.input("T0_offset");
    ViscosityLine::through(
        (zero + 40.0, row.input("nu40")),
        (zero + 100.0, row.input("nu100")),
    )
}
