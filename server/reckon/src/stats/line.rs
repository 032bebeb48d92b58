//! A straight line through pairs, with what its numbers are worth.

use super::means::{Interval, spread_enough};
use super::{float, student, sum};

/// A least-squares line y = intercept + slope x.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Line {
    /// Pairs.
    pub n: usize,
    /// y at x = 0.
    pub intercept: f64,
    /// Change of y with 1 more of x.
    pub slope: f64,
    /// Correlation; `None` where y does not change.
    pub r: Option<f64>,
    /// Spread about the line; `None` for two pairs, through which a line always fits.
    pub residual_sd: Option<f64>,
    mean_x: f64,
    squares_x: f64,
}

/// The line at one x.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Fitted {
    /// y on the line.
    pub y: f64,
    /// Interval of the line's own height.
    pub of_mean: Interval,
    /// Interval of one more observation.
    pub of_new: Interval,
}

/// The line through pairs (x, y). `None` below two pairs or where x does not change.
pub fn line(pairs: &[(f64, f64)]) -> Option<Line> {
    let n = float(pairs.len());
    if pairs.len() < 2 {
        return None;
    }
    let mean_x = sum(pairs.iter().map(|(x, _)| *x)) / n;
    let mean_y = sum(pairs.iter().map(|(_, y)| *y)) / n;
    let squares_x = sum(pairs.iter().map(|(x, _)| (x - mean_x) * (x - mean_x)));
    let squares_y = sum(pairs.iter().map(|(_, y)| (y - mean_y) * (y - mean_y)));
    let products = sum(pairs.iter().map(|(x, y)| (x - mean_x) * (y - mean_y)));
    if !spread_enough(libm::sqrt(squares_x), mean_x.abs()) {
        return None;
    }
    let slope = products / squares_x;
    let intercept = mean_y - slope * mean_x;
    let left = sum(pairs.iter().map(|(x, y)| {
        let residual = y - intercept - slope * x;
        residual * residual
    }));
    Some(Line {
        n: pairs.len(),
        intercept,
        slope,
        r: (squares_y > 0.0).then(|| products / libm::sqrt(squares_x * squares_y)),
        residual_sd: (pairs.len() > 2).then(|| libm::sqrt(left / (n - 2.0))),
        mean_x,
        squares_x,
    })
}

impl Line {
    /// Degrees of freedom.
    pub fn df(&self) -> f64 {
        float(self.n) - 2.0
    }

    /// Standard error of the slope.
    pub fn slope_error(&self) -> Option<f64> {
        self.residual_sd.map(|sd| sd / libm::sqrt(self.squares_x))
    }

    /// Standard error of the intercept.
    pub fn intercept_error(&self) -> Option<f64> {
        self.residual_sd.map(|sd| sd * self.leverage(0.0))
    }

    /// Chance of a slope at least this steep, either way, if there were none.
    pub fn p(&self) -> Option<f64> {
        let error = self.slope_error().filter(|error| *error > 0.0)?;
        Some(student::two_sided(self.slope / error, self.df()))
    }

    /// Interval of the slope.
    pub fn slope_interval(&self, level: f64) -> Option<Interval> {
        let half = self.slope_error()? * student::within(level, self.df());
        Some(Interval::around(self.slope, half))
    }

    /// The line at x, with the interval of its height and of one more observation.
    pub fn at(&self, x: f64, level: f64) -> Option<Fitted> {
        let (y, sd) = (self.intercept + self.slope * x, self.residual_sd?);
        let (t, leverage) = (student::within(level, self.df()), self.leverage(x));
        let around = |spread: f64| Interval::around(y, t * sd * spread);
        Some(Fitted { y, of_mean: around(leverage), of_new: around(libm::sqrt(1.0 + leverage * leverage)) })
    }

    fn leverage(&self, x: f64) -> f64 {
        let away = x - self.mean_x;
        libm::sqrt(1.0 / float(self.n) + away * away / self.squares_x)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_line_goes_through_its_own_points() {
        let fit = line(&[(1.0, 3.0), (2.0, 5.0), (4.0, 9.0)]).unwrap();
        assert!((fit.slope - 2.0).abs() < 1e-12 && (fit.intercept - 1.0).abs() < 1e-12);
        assert!((fit.r.unwrap() - 1.0).abs() < 1e-12);
        assert_eq!(line(&[(1.0, 3.0), (1.0, 5.0)]), None);
        assert_eq!(line(&[(1.0, 3.0)]), None);
        let two = line(&[(1.0, 3.0), (2.0, 3.0)]).unwrap();
        assert_eq!((two.r, two.residual_sd, two.at(3.0, 0.95)), (None, None, None));
    }
}
