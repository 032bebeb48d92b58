//! Passwords: argon2id, checked in the same time whether the e-mail is known or not.

use std::sync::LazyLock;

use actix_web::web;
use argon2::{Argon2, PasswordHasher as _, PasswordVerifier as _};
use thiserror::Error;

use crate::error::PageError;

/// Fewest characters of a password.
pub const SHORTEST: usize = 12;
/// Most bytes: hashing a megabyte is a way to keep a server busy.
pub const LONGEST: usize = 1024;

/// A password could not be hashed.
#[derive(Debug, Error)]
#[error("the password could not be hashed: {0}")]
pub struct HashError(argon2::password_hash::Error);

/// What a guesser tries first, of those long enough; without blanks and in small letters. A short list
/// of our own, common practice, no source.
const COMMON: [&str; 20] = [
    "passwordpassword",
    "password1234",
    "password12345",
    "password123456",
    "passw0rd1234",
    "qwertyuiopas",
    "qwertyuiop123",
    "qwertyqwerty",
    "qwerty123456",
    "1q2w3e4r5t6y",
    "1qaz2wsx3edc",
    "asdfghjklasdf",
    "123123123123",
    "121212121212",
    "123412341234",
    "123456123456",
    "abc123abc123",
    "adminadminadmin",
    "welcomewelcome",
    "letmeinletmein",
];

/// Why a password will not do, as a sentence; `None` where it will. `email`: what the person signs in with.
pub fn objection(password: &str, email: &str) -> Option<&'static str> {
    let plain: String = password.chars().filter(|c| !c.is_whitespace()).flat_map(char::to_lowercase).collect();
    if !long_enough(password) {
        Some("Give a password of 12 to 1,024 characters.")
    } else if plain.is_empty() {
        Some("Blanks alone are no password. Take a few plain words.")
    } else if plain == email.trim().to_lowercase() {
        Some("Your e-mail is no password: others know it. Take a few plain words.")
    } else if is_repeated(&plain) || is_run(&plain) || COMMON.contains(&plain.as_str()) {
        Some("This password is among the first that a guesser tries. Take a few plain words.")
    } else {
        None
    }
}

fn long_enough(password: &str) -> bool {
    password.chars().count() >= SHORTEST && password.len() <= LONGEST
}

/// One character over and over.
fn is_repeated(text: &str) -> bool {
    text.chars().zip(text.chars().skip(1)).all(|(one, next)| one == next)
}

/// `1234…` or `abcd…`; after nine comes zero.
fn is_run(text: &str) -> bool {
    let follows =
        |one: char, next: char| u32::from(one).checked_add(1) == Some(u32::from(next)) || (one, next) == ('9', '0');
    let continues = |one, next| follows(one, next) || (one, next) == ('0', '1');
    text.chars().zip(text.chars().skip(1)).all(|(one, next)| continues(one, next))
}

/// A password a person can type, from 32 random bytes: sixteen letters without look-alikes, 80 bits.
pub fn one_time(secret: &[u8; 32]) -> String {
    const LETTERS: &[u8; 32] = b"abcdefghijkmnpqrstuvwxyz23456789";
    let letters = secret.iter().take(16).filter_map(|byte| LETTERS.get(usize::from(byte % 32)));
    letters
        .enumerate()
        .flat_map(|(n, letter)| (n > 0 && n % 4 == 0).then_some('-').into_iter().chain([char::from(*letter)]))
        .collect()
}

/// The argon2id hash (PHC string) of a password. Takes a good part of a second: not on an async thread.
///
/// # Errors
/// The password is longer than argon2 takes.
pub fn hash(password: &str, salt: &[u8; 32]) -> Result<String, HashError> {
    let salt = salt.first_chunk::<16>().map_or(&salt[..], |salt| &salt[..]);
    Argon2::default().hash_password_with_salt(password.as_bytes(), salt).map(|hash| hash.to_string()).map_err(HashError)
}

/// Whether the password is the one that was hashed. Without a hash (nobody has this e-mail) it
/// works as long and says no.
pub fn matches(password: &str, hash: Option<&str>) -> bool {
    let against = hash.unwrap_or_else(|| NOBODY.as_str());
    let fits = password.len() <= LONGEST && Argon2::default().verify_password(password.as_bytes(), against).is_ok();
    fits && hash.is_some()
}

/// [`hash()`] away from the threads that answer requests.
pub(crate) async fn hash_aside(password: String, salt: [u8; 32]) -> Result<String, PageError> {
    web::block(move || hash(&password, &salt)).await?.map_err(PageError::inside)
}

/// [`matches()`] away from the threads that answer requests.
pub(crate) async fn matches_aside(password: String, hash: Option<String>) -> Result<bool, PageError> {
    Ok(web::block(move || matches(&password, hash.as_deref())).await?)
}

/// Makes the hash that stands for nobody, so the first sign-in takes no longer than the next.
pub(crate) fn prepare() {
    LazyLock::force(&NOBODY);
}

/// A hash of the same cost that belongs to nobody.
static NOBODY: LazyLock<String> = LazyLock::new(|| hash("nobody has this password", &[0x5a; 32]).unwrap_or_default());

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_the_password_matches() {
        let hashed = hash("four plain words here", &[3; 32]).unwrap();
        assert!(hashed.starts_with("$argon2id$v=19$"), "{hashed}");
        assert!(matches("four plain words here", Some(&hashed)));
        assert!(!matches("four plain words there", Some(&hashed)));
        assert!(!matches("nobody has this password", None));
        assert!(!matches("anything", Some("not a hash")));
    }

    #[test]
    fn a_one_time_password_can_be_typed() {
        let password = one_time(&[7; 32]);
        assert_eq!(password.len(), 19);
        assert!(password.chars().all(|c| c.is_ascii_lowercase() || c.is_ascii_digit() || c == '-'));
        assert!(long_enough(&password));
        assert_ne!(password, one_time(&[8; 32]));
    }

    #[test]
    fn what_a_guesser_tries_first_is_refused() {
        for password in [
            "            ",
            "\u{a0} \t          ",
            "aaaaaaaaaaaa",
            "AAAAAAaaaaaa",
            "123456789012",
            "1234567890123456",
            "abcdefghijkl",
            "passwordpassword",
            "Password Password",
            "qwertyuiopas",
            " Ana.Owner@Example.com",
        ] {
            assert!(objection(password, "ana.owner@example.com").is_some(), "{password:?}");
        }
        for password in ["four plain words here", "passwords of mine, four", "ana.owner@example.com and more"] {
            assert_eq!(objection(password, "ana.owner@example.com"), None, "{password:?}");
        }
        assert_eq!(objection(&one_time(&[7; 32]), "ana@example.com"), None);
    }

    #[test]
    fn length_is_counted_in_characters() {
        assert!(!long_enough("ñandú ñandú"));
        assert!(long_enough("ñandú ñandú!"));
        assert!(!long_enough(&"x".repeat(LONGEST + 1)));
    }
}
