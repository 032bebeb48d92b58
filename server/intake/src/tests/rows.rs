//! One row at a time: what is read, and what one row can be checked for.

use reckon::exact::Hours;
use reckon::money::{Money, UnitPrice};
use reckon::records::{Applied, LaborEntry, LineOutcome, Pay, Record, Sold};

use super::{form, sentences};
use crate::Parsed;

fn record(word: &str, fields: &str) -> Record {
    match form(word, fields) {
        Ok((_, Parsed::Record(record))) => record,
        Ok(other) => panic!("{other:?}"),
        Err(problems) => panic!("{fields}: {}", problems[0]),
    }
}

fn labor(fields: &str) -> LaborEntry {
    let Record::Labor(entry) = record("labor", fields) else { panic!("not labor") };
    entry
}

/// A row with one problem, whose sentence holds every part.
fn check(word: &str, rows: &[(&str, &[&str])]) {
    for (fields, parts) in rows {
        let sentences = sentences(word, fields);
        assert_eq!(sentences.len(), 1, "{fields}: {sentences:?}");
        for part in *parts {
            assert!(sentences[0].contains(part), "{fields}: {}", sentences[0]);
        }
    }
}

#[test]
fn hours_come_from_people_or_as_given() {
    assert_eq!(labor("task=thin, people=12, hours_each=7.5").hours, Some(Hours::whole(90).unwrap()));
    assert_eq!(labor("task=thin, people=12, hours_each=7.5, hours=90").hours, Some(Hours::whole(90).unwrap()));
    check(
        "labor",
        &[
            (
                "task=thin, people=12, hours_each=7.5, hours=96",
                &["column hours: read \"96\"", "people x hours_each, which is 90"],
            ),
            ("task=thin, hours_each=7.5", &["column people: read nothing"]),
            ("task=thin, people=2, hours=50", &["column hours", "48 in all"]),
            ("task=thin, people=2, hours_each=25", &["column hours_each", "a number up to 24"]),
            ("task=thin", &["column hours: read nothing", "paid by the hour"]),
            ("task=thin, hours=8, overtime_hours=9", &["column overtime_hours", "at most the hours of all people (8)"]),
            ("task=thin, hours=1e308", &["column hours", "without an exponent"]),
            ("task=thin, hours=8.1234567", &["column hours", "at most 6 decimals"]),
            ("task=thin, hours=-8", &["column hours", "a number above 0"]),
            ("task=thin, hours=NaN", &["column hours", "in digits"]),
            ("task=thin, hours=8, people=1.5", &["column people", "a whole number from 1"]),
            (
                "task=thin, hours=8, trees_done=0",
                &["read \"0\", expected a whole number from 1; 0 is for a contract sum without hours, for example 620"],
            ),
            (
                "task=thin, hours=8, contract_usd=46, trees_done=0",
                &["read \"0\", expected a whole number from 1; 0 is for a contract sum without hours, for example 620"],
            ),
        ],
    );
}

/// 100 hours of 12 people are 8.33 each, written to two decimals: 99.96.
#[test]
fn hours_each_may_have_been_rounded() {
    let day = labor("task=thin, people=12, hours_each=8.33, hours=100");
    assert_eq!((day.hours, day.hours_each), (Hours::whole(100).ok(), Hours::new("8.33".parse().unwrap()).ok()));
    let printed = crate::print_record(&Record::Labor(day.clone()));
    assert!(printed.contains(&("hours", "100".to_owned())), "{printed:?}");
    let fields: Vec<String> = printed.iter().map(|(name, text)| format!("{name}={text}")).collect();
    assert_eq!(record("labor", &fields.join(", ")), Record::Labor(day));
    let apart: &[&str] = &["column hours", "people x hours_each, which is"];
    check(
        "labor",
        &[
            ("task=thin, people=12, hours_each=8.33, hours=100.1", apart),
            ("task=thin, people=12, hours_each=8, hours=96.5", apart),
            ("task=thin, people=12, hours_each=8.0, hours=96.5", apart),
        ],
    );
}

#[test]
fn overtime_of_a_contract_needs_its_hours() {
    let job = labor("task=thin, contract_usd=500, hours=50, overtime_hours=10");
    assert_eq!(job.overtime_hours, Hours::whole(10).unwrap());
    check(
        "labor",
        &[
            (
                "task=thin, contract_usd=500, overtime_hours=10",
                &["column hours: read nothing", "overtime_hours is filled"],
            ),
            ("task=thin, pieces=9, piece_usd=1, overtime_hours=1", &["column hours: read nothing"]),
        ],
    );
}

#[test]
fn pay_is_by_what_is_filled_and_one_way_only() {
    let wage = labor("task=thin, hours=8, wage_usd_per_hour=$17.50");
    assert_eq!(wage.pay, Pay::Hourly(Some(UnitPrice::from_micros(17_500_000))));
    assert_eq!(labor("task=thin, hours=8").pay, Pay::Hourly(None));
    assert!(matches!(labor("task=pick, pieces=310, piece_usd=1.85").pay, Pay::Piece { .. }));
    assert_eq!(labor("task=thin, contract_usd=46, trees_done=0").trees_done, Some(0), "a bonus, for no tree");
    assert_eq!(labor("task=prune, contract_usd=4,800").pay, Pay::Contract(Money::from_cents(480_000)));
    check(
        "labor",
        &[
            (
                "task=thin, hours=8, wage_usd_per_hour=17.50, contract_usd=480",
                &["column contract_usd", "wage_usd_per_hour is filled"],
            ),
            ("task=thin, hours=8, pay=hour, contract_usd=480", &["column contract_usd", "pay says hour"]),
            ("task=prune, hours=8, method=by hand", &["column method", "the task is prune"]),
            ("task=thin, pieces=310", &["column piece_usd: read nothing"]),
            ("task=thin, pay=contract", &["column contract_usd: read nothing"]),
            ("task=thin, hours=8, pay=daily", &["column pay", "one of hour, piece, contract"]),
            (
                "task=thin, hours=8, payroll_pct=11, commission_pct=30",
                &["column commission_pct", "payroll_pct is filled"],
            ),
            ("task=thin, hours=8, payroll_pct=120", &["column payroll_pct", "up to 100"]),
            ("task=prune, contract_usd=4800.005", &["column contract_usd", "at most 2 decimals"]),
            ("task=prune, contract_usd=1000000000", &["column contract_usd", "up to 999,999,999"]),
        ],
    );
}

#[test]
fn a_meter_runs_forwards_or_rolls_over() {
    let good = [
        "meter_start=41200, meter_end=41950",
        "meter_start=99990, meter_end=40, meter_rolls_at=100000",
        "meter_start=99990, meter_end=40, old_meter_end=99995, new_meter_start=0",
    ];
    for fields in good {
        let set = record("irrigation", &format!("{fields}, meter_unit=acre-in"));
        assert!(matches!(set, Record::Irrigation(set) if matches!(set.applied, Applied::Meter { .. })));
    }
    check(
        "irrigation",
        &[
            (
                "meter_start=41950, meter_end=41200, meter_unit=gal",
                &["column meter_end: read \"41200\"", "meter_start (41950)", "meter_rolls_at"],
            ),
            ("meter_start=41950, meter_unit=gal", &["column meter_end: read nothing"]),
            ("meter_start=1, meter_end=2", &["column meter_unit: read nothing"]),
            (
                "meter_start=100001, meter_end=4, meter_rolls_at=100000, meter_unit=gal",
                &["column meter_start", "at most meter_rolls_at (100000)"],
            ),
            ("meter_start=1, meter_end=2, meter_unit=gal, old_meter_end=3", &["column new_meter_start: read nothing"]),
            ("run_hours=12, depth_in=1", &["column depth_in", "run_hours is filled"]),
            ("depth_in=1, depth_mm=25", &["column depth_mm", "depth_in is filled"]),
            ("emitters=400", &["column run_hours: read nothing"]),
            ("note=dry", &["column meter_start: read nothing", "or run_hours, or a depth"]),
            ("run_hours=0", &["column run_hours", "above 0"]),
        ],
    );
}

#[test]
fn weather_is_converted_and_in_order() {
    let Record::Weather(day) = record("weather", "tmax_f=88, tmin_f=55.4, rain_in=0.25, wind_mph=10") else { panic!() };
    assert_eq!(day.t_max.unwrap().to_string(), "31.111111111");
    assert_eq!(day.t_min.unwrap().to_string(), "13");
    assert_eq!(day.rain.unwrap().to_string(), "6.35");
    assert_eq!(day.wind.unwrap().to_string(), "4.4704");
    check(
        "weather",
        &[
            ("tmax_c=12, tmin_c=13", &["column tmin_c", "the highest temperature of the day (12 °C)"]),
            ("tmax_c=12, tmin_f=60", &["column tmin_f: read \"60\"", "of the day (53.6 °F)"]),
            ("tmax_f=50, tmin_f=60", &["column tmin_f", "the highest temperature of the day (50 °F)"]),
            ("tmax_c=30, tmax_f=86", &["column tmax_f", "tmax_c is filled"]),
            ("rain_mm=-1", &["column rain_mm", "from 0"]),
            ("rain_mm=3, runoff_in=0.2", &["column runoff_in", "the rain of the day (0.11811 in)"]),
            ("rh_max_pct=101", &["column rh_max_pct", "up to 100"]),
            ("rh_min_pct=-1", &["column rh_min_pct", "from 0"]),
            ("rh_max_pct=40, rh_min_pct=60", &["column rh_min_pct", "rh_max_pct (40)"]),
            ("note=nothing", &["column tmax_f: read nothing", "at least one of"]),
            ("tmax_c=61", &["column tmax_c", "up to 60"]),
        ],
    );
}

#[test]
fn counts_mulch_and_packing() {
    check(
        "fruit-counts",
        &[
            (
                "sample=row 4, fruit_before=300, fruit_after=310",
                &["column fruit_after", "no more than fruit_before (300)"],
            ),
            ("sample=row 4", &["column fruit_before: read nothing"]),
            ("fruit_before=3", &["column sample: read nothing"]),
        ],
    );
    let mulch = "material=wood chips, depth_in=4";
    check(
        "mulch",
        &[
            (mulch, &["column strip_width_ft: read nothing", "at least one of"]),
            (&format!("{mulch}, strip_width_ft=6, share_pct=30"), &["column share_pct", "strip_width_ft is filled"]),
            (&format!("{mulch}, share_pct=130"), &["column share_pct", "up to 100"]),
            (&format!("{mulch}, ring_radius_ft=1"), &["column ring_radius_ft", "kept clear (12 in)"]),
        ],
    );
    let Record::Packout(line) = record("packout", "size_class=56, grade=first, boxes=412, lb_per_box=25.5") else {
        panic!()
    };
    assert_eq!(line.weight.unwrap().to_string(), "10506");
    let Record::Packout(line) = record("packout", "cull_cause=split, weight_lb=120") else { panic!() };
    assert_eq!(line.outcome, LineOutcome::Culled { cause: "split".to_owned() });
    check(
        "packout",
        &[
            ("cull_cause=split, weight_lb=120, grade=first", &["column grade", "packed or culled"]),
            ("cull_cause=split", &["column weight_lb: read nothing"]),
            ("size_class=56, grade=first", &["column boxes: read nothing"]),
            ("note=hm", &["column size_class: read nothing"]),
            (
                "size_class=56, grade=first, boxes=10, lb_per_box=25, weight_lb=240",
                &["column weight_lb", "which is 250"],
            ),
        ],
    );
}

#[test]
fn settlements_costs_and_rates() {
    let Record::Settlement(line) = record("settlements", "weight_tons=5.15, price_usd_per_ton=420.01") else {
        panic!()
    };
    let Sold::Weight { weight, price } = line.sold else { panic!() };
    assert_eq!((weight.to_string(), price.to_string()), ("10300".to_owned(), "0.210005".to_owned()));
    let Record::Settlement(line) = record("settlements", "lump_charge_usd=(75.00)") else { panic!() };
    assert_eq!((line.sold, line.charges.lump), (Sold::Adjustment(Money::ZERO), Money::from_cents(-7_500)));
    check(
        "settlements",
        &[
            ("boxes=10", &["column price_usd_per_box: read nothing"]),
            ("boxes=10, price_usd_per_box=1, adjustment_usd=5", &["column adjustment_usd", "one way only"]),
            ("weight_lb=10, price_usd_per_lb=1, freight_usd_per_box=5", &["column freight_usd_per_box", "no boxes"]),
            ("weight_tons=1, price_usd_per_ton=0.0001", &["column price_usd_per_ton", "dollars and cents a ton"]),
            ("boxes=10, price_usd_per_box=-1", &["column price_usd_per_box", "from 0"]),
            ("note=hm", &["column boxes: read nothing"]),
        ],
    );
    check(
        "costs",
        &[
            ("category=fuel, group=cultural, amount_usd=5, block=RB-1, farm=Home", &["column farm", "block is filled"]),
            ("category=fuel, group=growing, amount_usd=5", &["column group", "cash overhead"]),
            ("category=fuel, group=cultural", &["column amount_usd: read nothing"]),
        ],
    );
    check(
        "rates",
        &[
            ("rate=wage", &["column usd_per_hour: read nothing"]),
            ("rate=water, usd_per_acre_foot=165, task=thin", &["column task", "only a wage"]),
            ("rate=payroll, pct=11, usd_per_hour=17", &["column usd_per_hour", "given in pct"]),
        ],
    );
}

#[test]
fn farms_and_blocks() {
    let Ok((_, Parsed::Farm(farm))) = form("farms", "farm=Home Ranch, elevation_ft=1240") else { panic!() };
    assert_eq!((farm.station.as_str(), farm.elevation_m), ("Home Ranch", Some(377.952)));
    check(
        "farms",
        &[
            ("farm=Home, latitude_deg=91", &["column latitude_deg", "up to 90"]),
            ("farm=Home, elevation_ft=1, elevation_m=1", &["column elevation_ft", "elevation_m is filled"]),
        ],
    );
    let block = "block=RB-1, farm=Home, crop=peach, variety=Early Amber";
    check(
        "blocks",
        &[
            (&format!("{block}, acres=-2"), &["column acres", "above 0"]),
            (&format!("{block}, acres=15.4, trees=0"), &["column trees", "from 1"]),
            (
                &format!("{block}, acres=15.4, wilting_point=0.3, field_capacity=0.25"),
                &["column wilting_point", "field_capacity (0.25)"],
            ),
            (&format!("{block}, acres=15.4, ripening_from=07-18"), &["column ripening_to: read nothing"]),
            (
                &format!("{block}, acres=15.4, ripening_from=18-07, ripening_to=08-02"),
                &["column ripening_from", "month-day"],
            ),
            (&format!("{block}, acres=15.4, wetting_first=0.5"), &["column wetting_first", "whole number"]),
            (
                &format!("{block}, acres=15.4, rule_first_month_day=431"),
                &["column rule_first_month_day", "month x 100 + day"],
            ),
            (
                &format!("{block}, acres=15.4, growth_start_month=2, growth_start_day=30"),
                &["column growth_start_day", "month 2"],
            ),
            (&format!("{block}, acres=15.4, emitter=drips"), &["column emitter", "double-line drip"]),
        ],
    );
}

#[test]
fn texts_are_trimmed_and_kept_clean() {
    assert_eq!(labor("task= THIN , hours= 8 , crew=  North  ").crew, "North");
    assert_eq!(labor("task=thin, hours=8, note=a\r\nb\tc").note, "a\nb\tc");
    let long = "x".repeat(201);
    check(
        "labor",
        &[
            ("task=thin, hours=8, crew=a\tb", &["column crew: read \"a<tab>b\"", "without control characters"]),
            ("task=thin, hours=8, note=a\0b", &["column note: read \"a<NUL>b\""]),
            ("task=thin, hours=8, crew=a\u{202e}b", &["<U+202E>"]),
            (&format!("task=thin, hours=8, crew={long}"), &["… (201 characters)\"", "at most 200 characters"]),
            (&format!("task=thin, hours=8, note={}", "x".repeat(4_001)), &["(4,001 characters)", "at most 4,000"]),
            ("task=thin, hours=8, hours=9", &["column hours: read \"9\"", "once only"]),
        ],
    );
}
