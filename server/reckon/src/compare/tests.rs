//! Comparisons of methods.
