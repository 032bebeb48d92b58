//! Published and trade size lists, packs, grades and size rules, as they were read.
//!
//! Weights of packs and fruit that were only recalled are left out.

/// A count size of plums: pieces of fruit in a pound.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct CountSize {
    /// The size as called.
    pub size: u32,
    /// Fewest and most pieces in a pound.
    pub pieces_per_lb: (u32, u32),
    /// Smallest diameter in sixteenths of an inch, as printed.
    pub diameter_sixteenths: u32,
    /// The printed diameter is out of order and not to be used.
    pub misprint: bool,
}

const fn count(size: u32, low: u32, high: u32, diameter_sixteenths: u32) -> CountSize {
    CountSize { size, pieces_per_lb: (low, high), diameter_sixteenths, misprint: false }
}

/// Plums by count, large to small. Source: produce distributor's chart, 2017. The diameter of size
/// 45 is printed as 1 3/4 in, smaller than that of size 80: a misprint, kept and not used.
pub const PLUM_COUNTS: [CountSize; 11] = [
    count(20, 2, 2, 46),
    count(25, 2, 3, 44),
    count(30, 3, 3, 43),
    count(35, 3, 4, 42),
    count(40, 4, 4, 40),
    CountSize { size: 45, pieces_per_lb: (4, 5), diameter_sixteenths: 28, misprint: true },
    count(50, 5, 5, 37),
    count(55, 5, 6, 36),
    count(60, 6, 6, 35),
    count(65, 6, 7, 33),
    count(80, 8, 8, 31),
];

/// Fruit counts of a two-layer tray pack of peaches and nectarines, large to small. Source: market
/// reports of the USDA.
pub const TRAY_COUNTS: [u32; 13] = [40, 42, 44, 48, 50, 54, 56, 60, 64, 70, 72, 80, 84];

/// Apricots of a volume-filled lug by name and fruit in a pound, small to large. Source: trade guide.
/// Small is "18 or more".
pub const APRICOTS: [(&str, u32); 7] = [
    ("small", 18),
    ("medium", 16),
    ("large", 14),
    ("extra large", 12),
    ("jumbo", 10),
    ("extra jumbo", 8),
    ("XX jumbo", 7),
];

/// A trade pack.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Pack {
    /// Crops it is for.
    pub crop: &'static str,
    /// What it is called.
    pub name: &'static str,
    /// Net weight of fruit, pounds.
    pub net_lb: u32,
    /// Where that was read.
    pub source: &'static str,
}

/// Packs whose weight was read; a box of a user's own may weigh anything else.
pub const PACKS: [Pack; 5] = [
    Pack {
        crop: "peach and nectarine",
        name: "loose carton",
        net_lb: 25,
        source: "USDA shipping point report, 24 May 2022",
    },
    Pack {
        crop: "plum",
        name: "loose carton, half bushel",
        net_lb: 28,
        source: "University of California, plum cost study of 2016",
    },
    Pack { crop: "plum", name: "two-layer carton", net_lb: 22, source: "trade guide" },
    Pack { crop: "prune plum", name: "half-bushel carton", net_lb: 30, source: "trade guide" },
    Pack { crop: "apricot", name: "volume-filled lug", net_lb: 24, source: "trade guide" },
];

/// A grade of a published standard.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Grade {
    /// Crop; "any" for the classes of the UNECE standards.
    pub crop: &'static str,
    /// Its name, best first within a crop.
    pub name: &'static str,
    /// The standard.
    pub standard: &'static str,
}

const fn grade(crop: &'static str, name: &'static str, standard: &'static str) -> Grade {
    Grade { crop, name, standard }
}

const PEACH: &str = "7 CFR 51.1210 and following";
const NECTARINE: &str = "7 CFR 51.3145 and following";
const PLUM: &str = "7 CFR 51.1520 and following";
const APRICOT: &str = "7 CFR 51.2925 and following";
const UNECE: &str = "UNECE FFV-26, FFV-29, FFV-63";

/// Grades by crop. There is no U.S. standard for persimmons.
pub const GRADES: [Grade; 17] = [
    grade("peach", "U.S. Fancy", PEACH),
    grade("peach", "U.S. Extra No. 1", PEACH),
    grade("peach", "U.S. No. 1", PEACH),
    grade("peach", "U.S. No. 2", PEACH),
    grade("nectarine", "U.S. Fancy", NECTARINE),
    grade("nectarine", "U.S. Extra No. 1", NECTARINE),
    grade("nectarine", "U.S. No. 1", NECTARINE),
    grade("nectarine", "U.S. No. 2", NECTARINE),
    grade("plum", "U.S. Fancy", PLUM),
    grade("plum", "U.S. No. 1", PLUM),
    grade("plum", "U.S. Combination", PLUM),
    grade("plum", "U.S. No. 2", PLUM),
    grade("apricot", "U.S. No. 1", APRICOT),
    grade("apricot", "U.S. No. 2", APRICOT),
    grade("any", "Extra Class", UNECE),
    grade("any", "Class I", UNECE),
    grade("any", "Class II", UNECE),
];

/// Smallest peach and nectarine of the Extra class: mm across, and mm around. Source: Commission
/// Regulation (EC) No 1580/2007, Annex I, Part 5.
pub const EXTRA_CLASS_SMALLEST_MM: (u32, u32) = (56, 175);
/// Percent by count of peaches that may be below the marked smallest size, and above the marked
/// largest. Source: 7 CFR 51.1216(d).
pub const OFF_SIZE_PCT: (u32, u32) = (10, 15);
/// Fruits by which a nectarine pack may miss its marked count. Source: 7 CFR 51.3152.
pub const COUNT_MAY_MISS: u32 = 2;
/// Percent by count that may fail the grade at shipping point. Source: 7 CFR 51.1214 (peach),
/// 51.3150 (nectarine), 51.1525 (plum).
pub const GRADE_TOLERANCE_PCT: [(&str, u32); 3] = [("peach", 10), ("nectarine", 8), ("plum", 8)];
