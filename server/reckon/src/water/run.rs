//! The daily runs.

use chrono::NaiveDate;

/// One day of a run: every column of the daily water balance.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WaterDay {
    /// The day.
    pub date: NaiveDate,
    /// Reference evapotranspiration, mm.
    pub eto_mm: f64,
    /// Basal crop coefficient.
    pub kcb: f64,
    /// Upper limit of Kc (eq. 72).
    pub kc_max: f64,
    /// Ground covered by canopy.
    pub fc: f64,
    /// Wetted share of the surface.
    pub fw: f64,
    /// Exposed and wetted share.
    pub few: f64,
    /// Surface-layer depletion in the evening, mm.
    pub de_end_mm: f64,
    /// Evaporation reduction coefficient.
    pub kr: f64,
    /// Soil evaporation coefficient, mulch rule applied.
    pub ke: f64,
    /// Soil evaporation, mm.
    pub e_mm: f64,
    /// Percolation out of the surface layer, mm.
    pub dpe_mm: f64,
    /// Crop need without stress, mm.
    pub etc_mm: f64,
    /// Total available water, mm.
    pub taw_mm: f64,
    /// Depletion fraction of the day.
    pub p: f64,
    /// Readily available water, mm.
    pub raw_mm: f64,
    /// Stress coefficient.
    pub ks: f64,
    /// Water really used, stress included, mm.
    pub eta_mm: f64,
    /// Transpiration, mm.
    pub t_mm: f64,
    /// Deep percolation, mm.
    pub dp_mm: f64,
    /// Root-zone depletion in the evening, mm.
    pub dr_end_mm: f64,
    /// Irrigation applied, gross, mm.
    pub irrigation_gross_mm: f64,
    /// Irrigation lost before it reached the root zone, mm.
    pub irrigation_loss_mm: f64,
    /// Rain, mm.
    pub rain_mm: f64,
    /// Rain run off, mm.
    pub runoff_mm: f64,
    /// Light rain left out of the balance: gone before it counted, mm.
    pub rain_left_out_mm: f64,
    /// Capillary rise, mm.
    pub capillary_rise_mm: f64,
    /// Demand the empty root zone could not give (depletion held at TAW), mm. Closes the balance.
    pub unmet_mm: f64,
    /// Mulch factor on evaporation; 1 = bare.
    pub mulch_factor: f64,
}

/// The four runs over the same weather, soil and canopy.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct WaterRuns {
    /// The block's own irrigation, mulch as it lay.
    pub as_irrigated: Vec<WaterDay>,
    /// The block's own irrigation, soil bare.
    pub as_irrigated_bare: Vec<WaterDay>,
    /// The depletion rule decides each set, mulch as it lay.
    pub by_rule: Vec<WaterDay>,
    /// The depletion rule decides each set, soil bare.
    pub by_rule_bare: Vec<WaterDay>,
}
