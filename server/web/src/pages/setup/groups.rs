//! Fields in groups, and beside each setting of the water balance the value that holds.

use intake::{Column, Input, Problem, SettingField, setting_fields};
use reckon::block::Block;
use reckon::water::preset::Origin;
use reckon::water::resolve::Resolved;
use reckon::water::setup::Setting;

use super::subject::Subject;
use crate::pages::records::fields::{Field, words};

/// A heading and the fields below it.
#[derive(Debug)]
pub(super) struct Group {
    /// Empty where the form has one group only.
    pub(super) title: &'static str,
    /// Where its presets come from; may be empty.
    pub(super) about: &'static str,
    pub(super) entries: Vec<Entry>,
}

/// A field with what holds for it.
#[derive(Debug)]
pub(super) struct Entry {
    pub(super) field: Field,
    pub(super) holds: Option<Holds>,
}

/// The value in force.
#[derive(Debug, PartialEq, Eq)]
pub(super) struct Holds {
    /// The number in the unit of its field, or the word; empty where the setting is left out.
    pub(super) value: String,
    /// The same as the published tables have it, where that is in another unit: `1.5 m`.
    pub(super) metric: Option<String>,
    /// `set`, `preset`, `assumed`, or `left out`.
    pub(super) origin: &'static str,
}

/// The groups of a form, in their order; fields in the order of their columns.
pub(super) fn groups(
    subject: &Subject,
    columns: &[Column],
    typed: &[(String, String)],
    problems: &[Problem],
) -> Vec<Group> {
    let in_force = match subject {
        Subject::Soil(row) => Some(InForce::of(&row.block)),
        _ => None,
    };
    let parts: &[Part] = match subject {
        Subject::NewFarm | Subject::Farm(_) => &[Part::Farm],
        Subject::NewBlock(_) | Subject::Block(_) => &[Part::Block, Part::Ground, Part::Emitters],
        Subject::Soil(_) => &Part::BALANCE,
    };
    let group = |part: &Part| {
        let (title, about) = part.words();
        let entries = columns.iter().filter(|column| Part::of(column.name, subject) == *part).map(|column| Entry {
            field: Field::of(column, columns, words(column), typed, problems),
            holds: in_force.as_ref().map(|in_force| in_force.of_column(column.name)),
        });
        Group { title, about, entries: entries.collect() }
    };
    parts.iter().map(group).collect()
}

/// What holds for a block.
struct InForce<'b> {
    block: &'b Block,
    resolved: Resolved,
}

impl<'b> InForce<'b> {
    fn of(block: &'b Block) -> Self {
        Self { block, resolved: Resolved::of(block) }
    }

    fn of_column(&self, name: &str) -> Holds {
        let Some(field) = field_named(name) else {
            let origin = if self.block.water.soil.is_some() { Origin::Set } else { Origin::Assumed };
            return Holds { value: self.resolved.soil.word().to_owned(), metric: None, origin: origin.word() };
        };
        let setting = field.info.setting;
        match self.resolved.value(setting).zip(self.resolved.origin(setting)) {
            Some((value, origin)) => {
                let metric = field.as_kept(value);
                let plain = metric.is_none() && matches!(field.column.input, Input::Number { .. });
                let value = if plain { short(value) } else { field.shown(value) };
                Holds { value, metric, origin: origin.word() }
            }
            None => Holds { value: String::new(), metric: None, origin: "left out" },
        }
    }
}

/// The setting whose field has this name.
fn field_named(name: &str) -> Option<SettingField> {
    setting_fields().find(|field| field.column.name == name)
}

/// Four decimals at most and no idle zeros, without commas: some settings are days of the year.
fn short(value: f64) -> String {
    let text = format!("{value:.4}");
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}

/// A part of a form.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Part {
    Farm,
    Block,
    Ground,
    Emitters,
    Soil,
    Surface,
    Roots,
    Canopy,
    Stages,
    Irrigation,
    Rule,
    Mulch,
    Conventions,
}

impl Part {
    /// The parts of soil and canopy.
    const BALANCE: [Self; 9] = [
        Self::Soil,
        Self::Surface,
        Self::Roots,
        Self::Canopy,
        Self::Stages,
        Self::Irrigation,
        Self::Rule,
        Self::Mulch,
        Self::Conventions,
    ];

    fn of(column: &str, subject: &Subject) -> Self {
        if let (Subject::Soil(_), Some(field)) = (subject, field_named(column)) {
            return of_setting(field.info.setting);
        }
        match (subject, column) {
            (Subject::NewFarm | Subject::Farm(_), _) => Self::Farm,
            (Subject::Soil(_), _) => Self::Soil,
            (
                _,
                "acres" | "trees" | "row_spacing_ft" | "row_spacing_m" | "tree_spacing_ft" | "tree_spacing_m" | "rows"
                | "soil",
            ) => Self::Ground,
            (_, "emitter" | "emitters_per_tree" | "emitter_flow_gph") => Self::Emitters,
            _ => Self::Block,
        }
    }

    /// Heading, and where the presets of the part come from.
    const fn words(self) -> (&'static str, &'static str) {
        match self {
            Self::Farm => ("", ""),
            Self::Block => ("What grows there", ""),
            Self::Ground => ("Ground and trees", ""),
            Self::Emitters => ("Irrigation", ""),
            Self::Soil => (
                "Soil",
                "Presets by texture: FAO Irrigation and Drainage Paper 56 (1998), table 19, the middle of each range.",
            ),
            Self::Surface => {
                ("Surface layer", "Presets by texture: the same table; readily and total evaporable water.")
            }
            Self::Roots => ("Roots", "Presets by crop: the same paper, table 22, shallow end of its range."),
            Self::Canopy => (
                "Canopy",
                "Presets by crop, winter and ground cover: the same paper, tables 12 and 17. Ground covered is reckoned \
                 from Kcb where it is left out.",
            ),
            Self::Stages => ("Growth stages", "Presets: the same paper, table 11, deciduous orchard in California."),
            Self::Irrigation => (
                "Irrigation",
                "Presets by emitter: the same paper, table 20; efficiency after FAO Training Manual 4 (1989), at second hand.",
            ),
            Self::Rule => (
                "Depletion rule",
                "Decides the sets of the two runs that show what irrigation mulch made needless, and the next set advised.",
            ),
            Self::Mulch => ("Mulch", "Presets: the same paper, chapter 10, page 197. It knows no depth and no error."),
            Self::Conventions => (
                "Conventions and weather",
                "What changes the result and no field can tell. Each is said again under how the season was reckoned.",
            ),
        }
    }
}

/// Where a setting stands. A new one does not compile until it has its place.
const fn of_setting(setting: Setting) -> Part {
    use Setting as S;
    match setting {
        S::FieldCapacity | S::WiltingPoint | S::InitialMoisture | S::InitialDepletionMm | S::CapillaryRiseMm => {
            Part::Soil
        }
        S::SurfaceDepthM
        | S::RewMm
        | S::TewMm
        | S::InitialSurfaceDepletionMm
        | S::InitialWettedFraction
        | S::EvaporationUncertaintyPct => Part::Surface,
        S::RootDepthM | S::RootDepthMinM | S::DepletionFraction | S::DepletionFractionFollowsEtc => Part::Roots,
        S::KcbIni
        | S::KcbMid
        | S::KcbEnd
        | S::KcbDormant
        | S::KillingFrost
        | S::KcbClimateAdjustment
        | S::HeightM
        | S::HeightMinM
        | S::CoverIni
        | S::CoverMid
        | S::CoverEnd
        | S::KcMin
        | S::KcMaxBase
        | S::GroundCover => Part::Canopy,
        S::CurveFirstDay
        | S::InitialDays
        | S::DevelopmentDays
        | S::MidDays
        | S::LateDays
        | S::GrowthStartMonth
        | S::GrowthStartDay => Part::Stages,
        S::WettedFraction | S::WettedFractionShaded | S::ApplicationEfficiencyPct => Part::Irrigation,
        S::RuleDepletionMm
        | S::RuleDepletionOfRaw
        | S::RuleDepletionOfTaw
        | S::RuleNetMm
        | S::RuleGrossMm
        | S::RuleFirstMonthDay
        | S::RuleLastMonthDay => Part::Rule,
        S::MulchReductionPct
        | S::MulchFullDepthIn
        | S::MulchOverWettedFirst
        | S::MulchSettlingInPerYear
        | S::PlasticKcbReductionPct
        | S::MulchInterestPct
        | S::MulchUncertaintyPct => Part::Mulch,
        S::RainWetsAllMm
        | S::LightRainOfEto
        | S::WettingFirst
        | S::RainWithIrrigationWetsAll
        | S::RunFirstMonthDay
        | S::RunLastMonthDay
        | S::FillMissingWeather
        | S::RadiationFromRange
        | S::DewBelowLowC => Part::Conventions,
    }
}
