//! E-mail addresses people sign in with.

/// Whether a text can be one. Not whether it exists, only whether it was mistaken for another field.
pub fn may_be(text: &str) -> bool {
    let parts = text.split_once('@').is_some_and(|(name, host)| !name.is_empty() && !host.is_empty());
    parts && text.len() <= 254 && !text.chars().any(|sign| sign.is_control() || sign.is_whitespace())
}
