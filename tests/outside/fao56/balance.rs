//! Surface layer, root zone and mulch, chapters 7, 8 and 10, through the run that the book uses.

use chrono::NaiveDate;
use reckon::water::canopy;
use reckon::water::daily::{self, DayInput, DayMulch, Floor, Order, PUBLISHED_MULCH, Params, Rule, Supply};
use reckon::water::preset::{self, CropGroup, Floor as Ground};
use reckon::water::run::WaterDay;
use reckon::water::single;

use super::Example;
use crate::fixture::{Row, close, table, toml};

/// Soil and conventions shared by the runs of the examples.
fn params() -> Params {
    Params {
        available_mm_per_m: 130.0,
        p: 0.6,
        p_follows_etc: false,
        tew_mm: 18.0,
        rew_mm: 8.0,
        initial_depletion_mm: 0.0,
        initial_surface_depletion_mm: 0.0,
        initial_fw: 1.0,
        fw: 1.0,
        fw_shaded: false,
        efficiency: 1.0,
        rain_wets_all_mm: 3.0,
        rain_with_irrigation_wets_all: true,
        capillary_rise_mm: 0.0,
        light_rain_of_eto: 0.0,
        mulch: PUBLISHED_MULCH,
        order: Order::WettingFirst,
        rule: Rule { depletion_mm: None, of_raw: Some(1.0), of_taw: None, net_mm: None, window: (101, 1231) },
    }
}

fn input(day: u32) -> DayInput {
    DayInput {
        date: NaiveDate::from_ymd_opt(2023, 6, day).unwrap(),
        eto_mm: 5.0,
        rain_mm: 0.0,
        runoff_mm: 0.0,
        kcb: 0.3,
        kc_max_climate: 1.2,
        fc: 0.0,
        root_depth_m: 3.0,
        irrigation_gross_mm: 0.0,
        mulch: DayMulch::default(),
    }
}

fn run_one(day: DayInput, params: &Params, floor: Floor) -> WaterDay {
    daily::run(&[day], params, floor, Supply::Recorded)[0]
}

/// Examples 32 and 33 by the share of the surface wetted.
pub(crate) fn maize_in_wind(fw: f64) -> WaterDay {
    let kc_max = canopy::kc_max_climate(1.2, 3.0, 20.0, 1.0);
    let fc = canopy::cover_from_kcb(0.9, 0.15, kc_max, 1.0);
    let day = DayInput { kcb: 0.9, kc_max_climate: kc_max, fc, ..input(1) };
    run_one(day, &Params { initial_fw: fw, ..params() }, Floor::Bare)
}

/// Example 31 on a day of its ten.
pub(crate) fn drying_soil(day: usize) -> WaterDay {
    let days: Vec<DayInput> =
        (1..=10).map(|n| DayInput { eto_mm: 4.5, kcb: 0.15, kc_max_climate: 1.2, ..input(n) }).collect();
    let soil = Params { tew_mm: 20.0, rew_mm: 9.0, ..params() };
    daily::run(&days, &soil, Floor::Bare, Supply::Recorded)[day - 1]
}

/// Example 35 on a day of its ten.
pub(crate) fn after_a_set(day: usize) -> WaterDay {
    let (_, _, days, soil) = ten_days();
    daily::run(&days, &soil, Floor::Bare, Supply::Recorded)[day - 1]
}

/// Percent of evaporation that organic mulch over a share of the surface takes away on one day.
pub(crate) fn reduction_under_organic(covered: f64) -> f64 {
    let mulch = DayMulch { organic: covered, plastic: 0.0, covered };
    let day = DayInput { mulch, ..input(1) };
    let e = |floor| run_one(day, &params(), floor).e_mm;
    100.0 * (1.0 - e(Floor::Mulched(1.0)) / e(Floor::Bare))
}

#[test]
fn examples_32_and_33_evaporation_coefficient() {
    let mut example = Example::load("32");
    let (kcb, height) = (example.input("Kcb"), example.input("height"));
    let kc_max = canopy::kc_max_climate(1.2, example.input("u2"), example.input("RHmin"), height);
    let fc = canopy::cover_from_kcb(kcb, example.input("Kc_min"), kc_max, height);
    let day = DayInput { kcb, kc_max_climate: kc_max, fc, ..input(1) };
    let sprinkler = run_one(day, &Params { initial_fw: example.input("fw"), ..params() }, Floor::Bare);
    example.check("Kc_max", sprinkler.kc_max);
    example.check("fc", sprinkler.fc);
    example.check("few", sprinkler.few);
    example.check("upper_limit_few_Kcmax", sprinkler.few * sprinkler.kc_max);
    example.check("Ke", sprinkler.ke);
    example.check("Kc", sprinkler.kcb + sprinkler.ke);
    example.done();
    let mut furrow = Example::load("33");
    let row = run_one(day, &Params { initial_fw: furrow.input("fw"), ..params() }, Floor::Bare);
    furrow.check("few", row.few);
    furrow.check("upper_limit_few_Kcmax", row.few * row.kc_max);
    furrow.check("Ke", row.ke);
    furrow.check("Kc", row.kcb + row.ke);
    furrow.done();
}

#[test]
fn example_31_a_bare_soil_dries() {
    let rows = table("water/fao56_example31_bare_soil_drying.csv");
    let days: Vec<DayInput> = (1..)
        .zip(&rows)
        .map(|(n, row)| DayInput {
            eto_mm: row.number("ETo_mm_per_day"),
            kcb: row.number("Kcb"),
            kc_max_climate: row.number("Kc_max"),
            ..input(n)
        })
        .collect();
    let first = &rows[0];
    let soil = Params { tew_mm: first.number("TEW_mm"), rew_mm: first.number("REW_mm"), ..params() };
    for order in [Order::WettingFirst, Order::EvaporationFirst] {
        let run = daily::run(&days, &Params { order, ..soil }, Floor::Bare, Supply::Recorded);
        assert_eq!(run.len(), 10);
        for (ours, row) in run.iter().zip(&rows) {
            for (column, value) in [
                ("exact_Kr", ours.kr),
                ("exact_Ke", ours.ke),
                ("exact_E_mm_per_day", ours.e_mm),
                ("exact_De_end_mm", ours.de_end_mm),
                ("exact_ETc_mm_per_day", ours.etc_mm),
            ] {
                close(&format!("day {}, {column}", row.text("day")), value, row.number(column), 6e-5);
            }
            close("printed Kr", ours.kr, row.number("published_Kr"), 0.011);
            close("printed E", ours.e_mm, row.number("published_E_mm_per_day"), 0.011);
        }
    }
}

/// Ten days of examples 35 and 38. On the first the surface layer is dry: 50 mm in the wetted part
/// leave 32 mm below it.
fn ten_days() -> (Vec<Row>, Vec<Row>, Vec<DayInput>, Params) {
    let surface = table("water/fao56_example35_dual_daily.csv");
    let roots = table("water/fao56_example38_schedule_daily.csv");
    let days = (1..)
        .zip(surface.iter().zip(&roots))
        .map(|(n, (top, below))| DayInput {
            eto_mm: top.number("ETo_mm"),
            rain_mm: top.number("P_minus_RO_mm"),
            irrigation_gross_mm: top.number("I_mm_over_whole_field"),
            kcb: top.number("exact_Kcb"),
            // Kr is 1 on the first day: Kc max is Kcb and Ke together.
            kc_max_climate: surface[0].number("exact_Kc"),
            fc: 1.0 - top.number("exact_one_minus_fc"),
            root_depth_m: root_depth(n, below.number("exact_Zr_m")),
            ..input(n)
        })
        .collect();
    let soil = Params {
        fw: surface[0].number("fw"),
        initial_surface_depletion_mm: 18.0,
        initial_depletion_mm: roots[0].number("exact_Dr_prev_end_mm"),
        ..params()
    };
    (surface, roots, days, soil)
}

/// Roots grow evenly from 0.30 to 0.35 m; the table carries four decimals of it.
fn root_depth(day: u32, table: f64) -> f64 {
    let depth = 0.3 + 0.05 * f64::from(day - 1) / 9.0;
    close("Zr", depth, table, 5.1e-5);
    depth
}

#[test]
fn example_35_ten_days_of_the_surface() {
    let (rows, _, days, soil) = ten_days();
    let run = daily::run(&days, &soil, Floor::Bare, Supply::Recorded);
    assert_eq!(run.len(), 10);
    for (ours, row) in run.iter().zip(&rows) {
        for (column, value) in [
            ("exact_few", ours.few),
            ("exact_Kr", ours.kr),
            ("exact_Ke", ours.ke),
            ("exact_E_over_few_mm", ours.e_mm / ours.few),
            ("exact_DPe_mm", ours.dpe_mm),
            ("exact_De_end_mm", ours.de_end_mm),
            ("exact_E_mm", ours.e_mm),
            ("exact_Kc", ours.kcb + ours.ke),
            ("exact_ETc_mm", ours.etc_mm),
        ] {
            close(&format!("day {}, {column}", row.text("day")), value, row.number(column), 5e-4);
        }
    }
    // The print is right on days 1 and 2; day 3 is a known erratum that later days inherit.
    for (ours, row) in run.iter().zip(&rows).take(2) {
        close("printed Kr", ours.kr, row.number("pub_Kr"), 0.01);
        close("printed Ke", ours.ke, row.number("pub_Ke"), 0.01);
        close("printed De", ours.de_end_mm, row.number("pub_De_end_mm"), 0.5);
        close("printed E", ours.e_mm, row.number("pub_E_mm"), 0.1);
        close("printed ETc", ours.etc_mm, row.number("pub_ETc_mm"), 0.1);
    }
}

#[test]
fn example_38_ten_days_of_the_roots() {
    let (_, rows, mut days, soil) = ten_days();
    days[9].irrigation_gross_mm = rows[9].number("exact_I_mm");
    let run = daily::run(&days, &soil, Floor::Bare, Supply::Recorded);
    for (ours, row) in run.iter().zip(&rows) {
        for (column, value) in [
            ("exact_TAW_mm", ours.taw_mm),
            ("exact_RAW_mm", ours.raw_mm),
            ("exact_Ke", ours.ke),
            ("exact_ETc_mm", ours.etc_mm),
            ("exact_DP_drain_before_ET_mm", ours.dp_mm),
            ("exact_Dr_end_drain_before_ET_mm", ours.dr_end_mm),
            ("pub_Ks", ours.ks),
        ] {
            close(&format!("day {}, {column}", row.text("day")), value, row.number(column), 5e-4);
        }
    }
    for (ours, row) in run.iter().zip(&rows).take(2) {
        close("printed Dr", ours.dr_end_mm, row.number("pub_Dr_end_mm"), 0.5);
        close("printed DP", ours.dp_mm, row.number("pub_DP_mm"), 0.5);
    }
}

/// The rule irrigates on day 10 alone, judged by the evening of day 9, and refills the roots.
#[test]
fn example_38_the_rule_decides() {
    let (surface, rows, days, soil) = ten_days();
    let from_day_two = Params {
        initial_depletion_mm: rows[1].number("exact_Dr_prev_end_mm"),
        initial_surface_depletion_mm: surface[1].number("exact_De_start_mm"),
        initial_fw: surface[0].number("fw"),
        ..soil
    };
    let dry: Vec<DayInput> = days.iter().skip(1).copied().collect();
    let run = daily::run(&dry, &from_day_two, Floor::Bare, Supply::Rule);
    let sets: Vec<(usize, f64)> = run
        .iter()
        .enumerate()
        .filter(|(_, day)| day.irrigation_gross_mm > 0.0)
        .map(|(n, d)| (n, d.irrigation_gross_mm))
        .collect();
    assert_eq!(sets.len(), 1);
    assert_eq!(sets[0].0, 8, "the tenth day");
    close("depth of the set", sets[0].1, rows[9].number("exact_I_mm"), 1.5e-3);
    close("Dr after it", run[8].dr_end_mm, rows[9].number("exact_Dr_end_drain_before_ET_mm"), 1.5e-3);
}

/// Plastic over the whole surface, in basal and in single coefficients.
#[test]
fn example_45_plastic_mulch() {
    let mut example = Example::load("45");
    let plastic = DayMulch { organic: 0.0, plastic: 1.0, covered: 1.0 };
    let kcb = |kcb| run_one(DayInput { kcb, mulch: plastic, ..input(1) }, &params(), Floor::Mulched(1.0)).kcb;
    example.check("Kcb_mid_mulched", kcb(example.input("Kcb_mid_table")));
    example.check("Kcb_end_mulched", kcb(example.input("Kcb_end_table")));
    let table = ["Kc_ini_table", "Kc_mid_table", "Kc_end_table"].map(|quantity| example.input(quantity));
    // The example reduces by 15 %, and takes the low initial value for both kinds of coefficient.
    let [ini, mid, end] = single::plastic(table, 0.15);
    example.check("Kc_ini_mulched", ini);
    example.check("Kcb_ini_mulched", single::PLASTIC_KC_INI);
    example.check("Kc_mid_mulched", mid);
    example.check("Kc_end_mulched", end);
    example.done();
}

/// The rule for single coefficients, half the surface under organic mulch, a peach block without
/// ground cover: recomputed from tables 12 and 17.
#[test]
fn organic_mulch_in_single_coefficients() {
    let rules = toml("water/fao56_mulch_rules.toml");
    let published = &rules["organic_single_Kc_example"][0];
    let peach = preset::crop_water(CropGroup::StoneFruit, Ground { ground_cover: false, killing_frost: true });
    let ours = single::organic(peach.kc, peach.kcb, 0.5);
    for (ours, key) in ours.into_iter().zip(["Kc_ini", "Kc_mid", "Kc_end"]) {
        close(key, ours, published[key].as_float().unwrap(), 1e-9);
    }
}

/// The plastic rule's ranges hold what we take: 5 to 15 % of Kcb, all of the covered evaporation.
#[test]
fn plastic_stays_within_its_ranges() {
    let taken = 100.0 * PUBLISHED_MULCH.plastic_kcb;
    assert!((5.0..=15.0).contains(&taken), "{taken}");
    let rules = toml("water/fao56_mulch_rules.toml");
    let range = |key: &str| {
        let ends: Vec<f64> = rules["plastic"][key].as_array().unwrap().iter().map(whole).collect();
        ends[0] - 1e-9..=ends[1] + 1e-9
    };
    let peach = preset::crop_water(CropGroup::StoneFruit, Ground { ground_cover: false, killing_frost: true });
    for reduction in [0.10, 0.15, 0.30] {
        let [ini, mid, end] = single::plastic(peach.kc, reduction);
        assert!(ini <= 0.10 + 1e-12);
        for (mulched, table) in [(mid, peach.kc[1]), (end, peach.kc[2])] {
            let less = 100.0 * (1.0 - mulched / table);
            assert!(range("Kc_reduction_pct").contains(&less), "{less}");
        }
    }
}

fn whole(value: &toml::Value) -> f64 {
    f64::from(i32::try_from(value.as_integer().unwrap()).unwrap())
}

#[test]
fn the_organic_rule() {
    let mut example = Example::load("organic_mulch_rule");
    let covered = example.input("surface_covered_by_organic_mulch") / 100.0;
    let mulch = DayMulch { organic: covered, plastic: 0.0, covered };
    let day = DayInput { mulch, ..input(1) };
    let (bare, mulched) = (run_one(day, &params(), Floor::Bare), run_one(day, &params(), Floor::Mulched(1.0)));
    assert!(bare.e_mm > 1.0);
    close("Kcb stays", mulched.kcb, bare.kcb, 0.0);
    example.check("reduction_of_soil_evaporation", 100.0 * (1.0 - mulched.e_mm / bare.e_mm));
    example.done();
}
