//! What can hurt people at thinning, in the words of crews, with the source beside each number.
//!
//! Local law and the label come first. The book shows these sentences; it certifies nothing.

use crate::language::Language;
use crate::records::ThinningMethod;

/// What a caution is about.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Topic {
    /// Local codes come first.
    LocalRules,
    /// Heat.
    Heat,
    /// Ladders.
    Ladder,
    /// The same movement all day.
    RepeatedWork,
    /// Sprayed thinners.
    ChemicalThinner,
}

impl Topic {
    /// Its heading.
    pub const fn label(self, language: Language) -> &'static str {
        match (self, language) {
            (Self::LocalRules, Language::English) => "Local rules first",
            (Self::LocalRules, Language::Spanish) => "Primero las reglas locales",
            (Self::Heat, Language::English) => "Heat",
            (Self::Heat, Language::Spanish) => "Calor",
            (Self::Ladder, Language::English) => "Ladders",
            (Self::Ladder, Language::Spanish) => "Escaleras",
            (Self::RepeatedWork, Language::English) => "The same movement all day",
            (Self::RepeatedWork, Language::Spanish) => "El mismo movimiento todo el día",
            (Self::ChemicalThinner, Language::English) => "Sprayed thinners",
            (Self::ChemicalThinner, Language::Spanish) => "Raleo químico",
        }
    }
}

/// A caution in both languages.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Caution {
    /// What it is about.
    pub topic: Topic,
    /// English.
    pub english: &'static str,
    /// Spanish.
    pub spanish: &'static str,
    /// Where its numbers and rules were read; empty where it states none.
    pub source: &'static str,
    /// The same in Spanish; titles of rules and of offices as they are.
    pub spanish_source: &'static str,
    /// Rows of `fixtures/published/thinning/safety.csv` behind it.
    pub rows: &'static [&'static str],
}

impl Caution {
    /// Its words.
    pub const fn text(&self, language: Language) -> &'static str {
        match language {
            Language::English => self.english,
            Language::Spanish => self.spanish,
        }
    }

    /// Its source in the words of a language.
    pub const fn told_source(&self, language: Language) -> &'static str {
        match language {
            Language::English => self.source,
            Language::Spanish => self.spanish_source,
        }
    }
}

/// Cautions for a day of thinning, local codes first. Those of sprayed thinners stand only where one
/// is used: leave `methods` empty for all.
pub fn cautions(methods: &[ThinningMethod]) -> Vec<Caution> {
    let sprayed = methods.is_empty() || methods.contains(&ThinningMethod::Chemical);
    ALL.into_iter().filter(|caution| sprayed || caution.topic != Topic::ChemicalThinner).collect()
}

const CAL_OSHA: &str = "California: 8 CCR 3395 (Cal/OSHA, heat illness prevention). Other states have other rules";
const CAL_OSHA_SPANISH: &str =
    "California: 8 CCR 3395 (Cal/OSHA, prevención de enfermedades por calor). Otros estados tienen otras reglas";
const WASHINGTON_SPANISH: &str =
    "Washington: WAC 296-307-05505 (escaleras de huerta). Otros estados tienen otras reglas";
const WASHINGTON: &str = "Washington: WAC 296-307-05505 (orchard ladders). Other states have other rules";

/// Every caution, in the order of reading.
pub const ALL: [Caution; 8] = [
    Caution {
        topic: Topic::LocalRules,
        english: "Local law, the safety plan of the farm and the label come before anything on this page. It is a reminder \
                  and certifies nothing.",
        spanish: "La ley local, el plan de seguridad del rancho y la etiqueta van antes que esta hoja. Es un recordatorio y \
                  no certifica nada.",
        source: "",
        spanish_source: "",
        rows: &["X19"],
    },
    Caution {
        topic: Topic::Heat,
        english: "Water: at least 1 quart (4 cups) for each person each hour, near the work, fresh and cool. Drink before \
                  you are thirsty, about a cup every 20 minutes.",
        spanish: "Agua: por lo menos 1 cuarto de galón (4 tazas) por persona cada hora, cerca del trabajo, potable y fresca. \
                  Tome antes de tener sed, más o menos una taza cada 20 minutos.",
        source: "California: 8 CCR 3395(c) (Cal/OSHA, heat illness prevention; its campaign page). Cup every 20 minutes: \
                 OSHA, Water. Rest. Shade. (read in a copy)",
        spanish_source: "California: 8 CCR 3395(c) (Cal/OSHA, prevención de enfermedades por calor; la página de su campaña). \
                         Una taza cada 20 minutos: OSHA, Water. Rest. Shade. (leído en una copia)",
        rows: &["X04", "X09"],
    },
    Caution {
        topic: Topic::Heat,
        english: "Shade: up when it is hotter than 80 °F, and at any time for whoever asks. At 95 °F or more: at least 10 \
                  minutes of rest in the shade every 2 hours, and somebody watches each person.",
        spanish: "Sombra: puesta cuando hace más de 80 °F, y a cualquier hora para quien la pida. Con 95 °F o más: por lo \
                  menos 10 minutos de descanso en la sombra cada 2 horas, y alguien está al pendiente de cada persona.",
        source: CAL_OSHA,
        spanish_source: CAL_OSHA_SPANISH,
        rows: &["X02", "X03", "X05"],
    },
    Caution {
        topic: Topic::Heat,
        english: "New people start slowly and are watched closely for the first 14 days. In a heat wave watch everybody closely. \
                  Headache, dizziness, vomiting, confusion: stop, shade, water, call for help.",
        spanish: "Los nuevos empiezan despacio y se les cuida de cerca los primeros 14 días. En una ola de calor cuide de \
                  cerca a todos. Dolor de cabeza, mareo, vómito, confusión: pare, sombra, agua, pida ayuda.",
        // The subsection itself was not read: a page on the text since May 2015 tells it.
        source: "California: 8 CCR 3395(g), text since 2015, as told by the California Chamber of Commerce; Cal/OSHA, heat \
                 illness e-tool. Slow start, signs: common practice, no source",
        spanish_source: "California: 8 CCR 3395(g), texto desde 2015, según la Cámara de Comercio de California; Cal/OSHA, \
                         herramienta en línea. Empezar despacio, señales: práctica común, sin fuente",
        rows: &["X07", "X08"],
    },
    Caution {
        topic: Topic::Ladder,
        english: "No orchard ladder longer than 16 ft. Do not stand on the top cap or the step below it. Do not step off into \
                  the tree except at the main crotch.",
        spanish: "Ninguna escalera de huerta de más de 16 pies. No se pare en la tapa ni en el escalón de abajo. No se pase \
                  de la escalera al árbol, excepto en la horqueta principal.",
        source: WASHINGTON,
        spanish_source: WASHINGTON_SPANISH,
        rows: &["X11", "X12", "X13"],
    },
    Caution {
        topic: Topic::Ladder,
        english: "Look the ladder over before use, set it on firm ground, keep your belt between the rails and carry it level. \
                  No ladder work in wind; stay away from power lines. Stiff soles with a heel.",
        spanish: "Revise la escalera antes de usarla, póngala en tierra firme, mantenga el cinturón entre los largueros y \
                  cárguela a nivel. Con viento no se usa; lejos de los cables de luz. Suela dura con tacón.",
        source: "OSHA, Tripod orchard ladders (card and fact sheet, read in copies)",
        spanish_source: "OSHA, escaleras de huerta de trípode (tarjeta y hoja de datos, leídas en copias)",
        rows: &["X14"],
    },
    Caution {
        topic: Topic::RepeatedWork,
        english: "Arms above the shoulder, the same turn of the wrist and piece pay that keeps the pace up wear people out: \
                  change sides and jobs, bring the work lower, stop when it hurts.",
        spanish: "Brazos arriba del hombro, el mismo giro de la muñeca y el trabajo a destajo que apura el paso lastiman: cambie \
                  de lado y de tarea, baje el trabajo, pare si duele.",
        source: "NIOSH, Simple Solutions: Ergonomics for Farm Workers (2001); what to do: common practice, no source",
        spanish_source: "NIOSH, Simple Solutions: Ergonomics for Farm Workers (2001); qué hacer: práctica común, sin fuente",
        rows: &["X16"],
    },
    Caution {
        topic: Topic::ChemicalThinner,
        english: "The label is the law: crop, rate, clothing, and the hours nobody may go in. Only a licensed applicator \
                  sprays; nobody thins in the block until the time on the label is over.",
        spanish: "La etiqueta es la ley: cultivo, dosis, ropa y las horas en que nadie entra. Solo aplica una persona con \
                  licencia; nadie ralea en el cuadro hasta que pase el tiempo de la etiqueta.",
        source: "Federal pesticide label statement, as quoted in an extension course (growingproduce.com)",
        spanish_source: "Texto federal de la etiqueta de plaguicidas, citado en un curso de extensión (growingproduce.com)",
        rows: &["X18"],
    },
];

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn local_codes_come_first_and_chemicals_only_where_used() {
        let by_hand = cautions(&[ThinningMethod::ByHand]);
        assert_eq!(by_hand[0].topic, Topic::LocalRules);
        assert!(by_hand.iter().all(|caution| caution.topic != Topic::ChemicalThinner));
        assert_eq!(cautions(&[]).len(), ALL.len());
        assert_eq!(cautions(&[ThinningMethod::Chemical]).len(), ALL.len());
    }

    /// The 14 days are those of new people; a heat wave is as long as it is.
    #[test]
    fn days_of_watching_are_said_of_new_people_only() {
        let both = |text: fn(&Caution) -> &'static str, word: &str| {
            ALL.iter()
                .flat_map(|caution| text(caution).split(". "))
                .any(|said| said.contains(word) && said.contains("14"))
        };
        assert!(both(|caution| caution.english, "New people") && !both(|caution| caution.english, "heat wave"));
        assert!(both(|caution| caution.spanish, "nuevos") && !both(|caution| caution.spanish, "ola de calor"));
        assert!(ALL.iter().all(|caution| !caution.source.contains("earlier text")));
    }

    /// Nobody must read a number in one language that the other does not give.
    #[test]
    fn both_languages_give_the_same_numbers() {
        let numbers = |text: &str| -> Vec<u32> {
            let mut found: Vec<u32> =
                text.split(|sign: char| !sign.is_ascii_digit()).filter_map(|n| n.parse().ok()).collect();
            found.sort_unstable();
            found
        };
        for caution in ALL {
            assert_eq!(numbers(caution.english), numbers(caution.spanish), "{caution:?}");
            assert_eq!(numbers(caution.source), numbers(caution.spanish_source), "{caution:?}");
            assert!(
                !caution.spanish_source.contains("common practice") && !caution.spanish_source.contains("Other states")
            );
            assert!(!caution.rows.is_empty());
            assert!(caution.topic == Topic::LocalRules || !caution.source.is_empty());
        }
    }
}
