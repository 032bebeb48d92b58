use std::collections::BTreeSet;

use reckon::estimate;

use super::svg::svg;
use super::*;
use crate::samples;

fn drawings() -> Vec<(String, Drawing)> {
    let mut all = Vec::new();
    for (name, season) in samples::all() {
        for width in [180.0, 230.0, 330.0, 640.0] {
            let drawings = [
                water(&season.water, width, 170.0),
                water_daily(&season.water, width, 300.0),
                labor(&season.labor, width),
                price(&season.packout, width),
                estimate::next_season(&[&season], &estimate::Asked::default())
                    .ok()
                    .and_then(|next| plan(&next, width, 190.0)),
            ];
            all.extend(drawings.into_iter().flatten().map(|drawing| (format!("{name} at {width}"), drawing)));
        }
    }
    all
}

fn texts(drawing: &Drawing) -> Vec<&Text> {
    drawing.marks.iter().filter_map(|mark| if let Mark::Text(text) = mark { Some(text) } else { None }).collect()
}

fn dashed(drawing: &Drawing) -> usize {
    drawing.marks.iter().filter(|mark| matches!(mark, Mark::Polyline { dash: Some(_), .. })).count()
}

#[test]
fn everything_lies_in_the_box() {
    for (name, drawing) in drawings() {
        for mark in &drawing.marks {
            let (left, right, top, bottom) = match mark {
                Mark::Rect { x, y, width, height, .. } => (*x, x + width, *y, y + height),
                Mark::Line { from, to, .. } => (from.0, to.0, from.1.min(to.1), from.1.max(to.1)),
                Mark::Polyline { points, .. } => points.iter().fold((1e9, -1e9, 1e9, -1e9), |b, (x, y)| {
                    (f64::min(b.0, *x), f64::max(b.1, *x), f64::min(b.2, *y), f64::max(b.3, *y))
                }),
                Mark::Text(text) => {
                    let width = font::width(text.font, text.size, &text.text);
                    let left = match text.align {
                        Align::Left => text.x,
                        Align::Middle => text.x - width / 2.0,
                        Align::Right => text.x - width,
                    };
                    (left, left + width, text.y - 6.0, text.y + 2.0)
                }
            };
            let inside = left >= -0.5 && right <= drawing.width + 0.5 && top >= -0.5 && bottom <= drawing.height + 0.5;
            assert!(inside, "{name}, {}: {mark:?}", drawing.title);
        }
    }
}

#[test]
fn every_bar_has_its_name_and_number() {
    let chart = labor(&samples::full().labor, 220.0).unwrap();
    assert_eq!(chart.title, "Thinning, $ a tree");
    let words: Vec<&str> = texts(&chart).iter().map(|text| text.text.as_str()).collect();
    assert_eq!(words, ["First pass, by hand", "$6.20", "First pass, cuts", "$1.10", "Second look, by hand", "$1.12"]);
    assert_eq!(chart.description, "First pass, by hand: $6.20. First pass, cuts: $1.10. Second look, by hand: $1.12.");
}

#[test]
fn bars_are_as_long_as_their_numbers() {
    let chart = labor(&samples::full().labor, 220.0).unwrap();
    let widths: Vec<f64> = chart
        .marks
        .iter()
        .filter_map(|mark| if let Mark::Rect { width, .. } = mark { Some(*width) } else { None })
        .collect();
    assert!((widths[1] / widths[0] - 1.10 / 6.20).abs() < 1e-3 && (widths[2] / widths[0] - 1.12 / 6.20).abs() < 1e-3);
}

#[test]
fn without_thinning_labor_goes_by_task() {
    let chart = labor(&samples::sparse().labor, 220.0).unwrap();
    assert_eq!((chart.title.as_str(), chart.description.as_str()), ("Labor, $ an acre", "Pruning: $128."));
    let mut season = samples::sparse().labor;
    season.tasks[0].measure.cost_per_acre = None;
    assert_eq!(labor(&season, 220.0).unwrap().description, "Pruning: $416.");
    season.tasks.clear();
    assert_eq!(labor(&season, 220.0), None);
}

#[test]
fn the_bare_line_is_dashed_and_only_there_under_mulch() {
    let mut season = samples::full().water;
    let mulched = water(&season, 330.0, 170.0).unwrap();
    let names = |chart: &Drawing| texts(chart).iter().map(|text| text.text.clone()).collect::<BTreeSet<_>>();
    assert_eq!(dashed(&mulched), 1);
    for name in ["need under mulch", "need if bare", "irrigation applied", "rain kept", "Apr", "Sep"] {
        assert!(names(&mulched).contains(name), "{name}");
    }
    season.saving = None;
    let bare = water(&season, 330.0, 170.0).unwrap();
    assert_eq!(dashed(&bare), 0);
    assert!(names(&bare).contains("need") && !names(&bare).contains("need if bare"));
    assert_eq!(water(&samples::sparse().water, 330.0, 170.0), None);
}

/// Whatever the weather: names stay in the box when the season breaks off on the rise.
#[test]
fn a_season_that_breaks_off_keeps_its_names_in_the_box() {
    for weeks in 1..26 {
        let mut season = samples::full().water;
        season.weeks.truncate(weeks);
        let chart = water(&season, 330.0, 170.0).unwrap();
        for text in texts(&chart) {
            let width = font::width(text.font, text.size, &text.text);
            let left = if text.align == Align::Right { text.x - width } else { text.x };
            assert!(left >= 0.0 && left + width <= 330.5, "{weeks}: {text:?}");
        }
    }
}

#[test]
fn water_is_stacked_in_inches() {
    let season = samples::full().water;
    let chart = water(&season, 330.0, 170.0).unwrap();
    let height = |wanted: Ink| -> f64 {
        let heights = chart.marks.iter().filter_map(|mark| match mark {
            Mark::Rect { height, ink, y, .. } if *ink == wanted && *y < 143.0 => Some(*height),
            _ => None,
        });
        heights.sum()
    };
    let sum = |inches: fn(&reckon::season::WaterWeek) -> f64| season.weeks.iter().map(inches).sum::<f64>();
    let wanted = sum(|week| week.rain_kept.get()) / sum(|week| week.applied.get());
    assert!((height(Ink::Rain) / height(Ink::Water) - wanted).abs() < 1e-6);
}

#[test]
fn a_day_chart_tells_days_depletion_and_tension() {
    let season = samples::full().water;
    let chart = water_daily(&season, 640.0, 300.0).unwrap();
    let names: BTreeSet<String> = texts(&chart).iter().map(|text| text.text.clone()).collect();
    for name in [
        "irrigation, in a day",
        "rain",
        "need",
        "depletion, in",
        "readily available water",
        "total available water",
        "tension, kPa, at 18 in",
        "Apr",
        "Oct",
    ] {
        assert!(names.contains(name), "{name} in {names:?}");
    }
    for said in
        ["Irrigated on 23 days.", "Deepest depletion 1.0 inches on 12 Apr", "Tension 14 to 50 kPa in 24 readings."]
    {
        assert!(chart.description.contains(said), "{}", chart.description);
    }
    assert_eq!(dashed(&chart), 2, "RAW and its place in the key");
}

#[test]
fn a_day_chart_goes_without_what_is_not_there() {
    let mut season = samples::full().water;
    season.tension.clear();
    let chart = water_daily(&season, 640.0, 300.0).unwrap();
    assert!(texts(&chart).iter().all(|text| !text.text.contains("kPa")));
    season.tension = samples::full().water.tension;
    let late = season.tension[0].date + chrono::Days::new(400);
    season.tension.truncate(1);
    season.tension[0].date = late;
    assert_eq!(water_daily(&season, 640.0, 300.0).unwrap(), chart, "a reading outside the balance is not drawn");
    assert_eq!(water_daily(&samples::sparse().water, 640.0, 300.0), None);
}

/// Two instruments in one place: a line each, told apart by dashes and named by depth.
#[test]
fn instruments_are_told_apart_by_depth() {
    let mut season = samples::full().water;
    let deep = season
        .tension
        .iter()
        .map(|point| reckon::season::TensionPoint { depth: reckon::units::Inches::of(36.0), ..point.clone() });
    let deep: Vec<_> = deep.collect();
    season.tension.extend(deep);
    let chart = water_daily(&season, 640.0, 300.0).unwrap();
    assert!(texts(&chart).iter().any(|text| text.text == "at 36 in"));
    assert_eq!(dashed(&chart), 4);
}

#[test]
fn inline_svg_is_labelled_and_free_of_styles() {
    for (name, drawing) in drawings() {
        let text = svg(&drawing, "water-1");
        assert!(text.starts_with("<svg xmlns=\"http://www.w3.org/2000/svg\" class=\"chart\" role=\"img\""), "{name}");
        assert!(text.contains("aria-labelledby=\"water-1-title water-1-desc\""), "{name}");
        assert!(text.contains("<title id=\"water-1-title\">") && text.contains("<desc id=\"water-1-desc\">"), "{name}");
        assert!(!text.contains("style=") && !text.contains("<script"), "{name}");
        assert_eq!(text.matches(" id=").count(), 2, "{name}");
        // A day chart has up to 366 days of five lines and bars; sent compressed.
        let most = if drawing.title.contains("day by day") { 48_000 } else { 16_000 };
        assert!(text.len() < most, "{name}: {}", text.len());
        well_formed(&text);
    }
}

#[test]
fn names_cannot_break_out_of_the_svg() {
    let mut season = samples::full().packout;
    season.sizes[0].size_class = Some("</text><script>\"&".to_owned());
    let text = svg(&price(&season, 400.0).unwrap(), "price");
    assert!(text.contains("&lt;/text&gt;&lt;script&gt;&quot;&amp;") && !text.contains("<script"));
    well_formed(&text);
}

/// Every tag is closed, in order.
fn well_formed(text: &str) {
    let mut open = Vec::new();
    for tag in text.split('<').skip(1) {
        let (tag, rest) = tag.split_once('>').expect("a tag ends");
        assert!(!rest.contains('>'), "{rest}");
        let name = tag.split([' ', '/']).find(|part| !part.is_empty()).unwrap();
        if let Some(closed) = tag.strip_prefix('/') {
            assert_eq!(open.pop(), Some(closed));
        } else if !tag.ends_with('/') {
            open.push(name);
        }
    }
    assert!(open.is_empty(), "{open:?}");
}

#[test]
fn the_plan_stands_on_its_curve_between_its_low_and_high() {
    let planned = |removed: f64| {
        let asked = estimate::Asked { removed: Some(removed), ..estimate::Asked::default() };
        let seasons = samples::all();
        let next = seasons.iter().find_map(|(_, season)| estimate::next_season(&[season], &asked).ok());
        let next = next.expect("a sample that can be planned");
        let drawing = plan(&next, 330.0, 190.0).unwrap();
        let square = drawing.marks.iter().find_map(|mark| match mark {
            Mark::Rect { x, y, width, height, .. } => Some((x + width / 2.0, y + height / 2.0)),
            _ => None,
        });
        let curve = drawing.marks.iter().find_map(|mark| match mark {
            Mark::Polyline { points, dash: Some(_), .. } => Some(points.clone()),
            _ => None,
        });
        (next, square.unwrap(), curve.unwrap(), drawing)
    };
    let (next, square, curve, drawing) = planned(0.73);
    assert_eq!(curve.len(), next.shares.len());
    assert!(curve.contains(&square), "the plan is one of the shares");
    assert!(drawing.description.contains("73% off: "), "{}", drawing.description);
    let (_, heavier, _, _) = planned(0.9);
    assert!(heavier.0 > square.0, "more taken off stands further right");
}
