//! Of records of one day, which goes first: by what they say, never by the order they were kept in.

use core::cmp::Ordering;

/// Orders values that need not be there: what is not said goes first.
pub(crate) fn values<const N: usize>(a: [Option<f64>; N], b: [Option<f64>; N]) -> Ordering {
    let one = |(a, b): (&Option<f64>, &Option<f64>)| match (a, b) {
        (Some(a), Some(b)) => a.total_cmp(b),
        _ => a.is_some().cmp(&b.is_some()),
    };
    a.iter().zip(&b).map(one).find(|order| order.is_ne()).unwrap_or(Ordering::Equal)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_first_value_that_differs_decides() {
        assert_eq!(values([Some(1.0), Some(9.0)], [Some(1.0), Some(10.0)]), Ordering::Less);
        assert_eq!(values([Some(2.0), None], [Some(1.0), Some(3.0)]), Ordering::Greater);
        assert_eq!(values([None], [Some(-1.0)]), Ordering::Less);
        assert_eq!(values([None, Some(0.5)], [None, Some(0.5)]), Ordering::Equal);
    }
}
