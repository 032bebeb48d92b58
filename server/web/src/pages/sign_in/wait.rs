//! Guesses are slowed: after a few tries that did not succeed the next one has to wait, each time
//! twice as long. Under one e-mail from one address the waiting begins soon. An address may stand for a
//! whole office, and an e-mail is guessed at from anywhere: by either alone it begins late, ends early,
//! and does not hold up who has signed in under the e-mail from the address before.

use std::net::IpAddr;

use actix_web::http::header::{HeaderValue, RETRY_AFTER};
use actix_web::{HttpRequest, HttpResponse};
use chrono::{DateTime, TimeDelta, Utc};
use store::{Door, Failures, StoreError};

/// Tries under one e-mail from one address before the next has to wait.
const FREE_OF_PAIR: usize = 5;
/// Tries under one e-mail from anywhere.
const FREE_OF_EMAIL: usize = 50;
/// Tries from one address under any e-mail.
const FREE_OF_ADDRESS: usize = 100;
/// Tries of a program with a wrong key.
const FREE_OF_PROGRAM: usize = 20;
/// How long a try that did not succeed counts.
const WINDOW: TimeDelta = TimeDelta::hours(1);
/// The first wait, and the longest.
const FIRST_SECONDS: i64 = 30;
const MOST_SECONDS: i64 = 15 * 60;
/// The longest wait for what others did: nobody is kept out for long by it.
const MOST_SECONDS_FOR_OTHERS: i64 = 60;

/// Seconds to wait before the next try is looked at; `None` where it may come at once.
pub(crate) async fn seconds_left(
    door: Door<'_>,
    email: &str,
    address: Option<&str>,
    now: DateTime<Utc>,
) -> Result<Option<i64>, StoreError> {
    let since = now - WINDOW;
    let Some(address) = address else {
        return Ok(left(door.failed_sign_ins(email, since).await?, FREE_OF_PAIR, MOST_SECONDS, now));
    };
    let own = left(door.failed_sign_ins_from(email, address, since).await?, FREE_OF_PAIR, MOST_SECONDS, now);
    let others = |failures, free| left(failures, free, MOST_SECONDS_FOR_OTHERS, now);
    let of_email = others(door.failed_sign_ins(email, since).await?, FREE_OF_EMAIL);
    let of_address = others(door.failed_from(address, since).await?, FREE_OF_ADDRESS);
    let known = door.knows_address(email, address).await?;
    Ok(own.max(of_email.max(of_address).filter(|_| !known)))
}

/// Seconds until the next wrong key of a program from `source` is told so again; `None` where at once.
pub(crate) async fn seconds_left_of_program(
    door: Door<'_>,
    source: &str,
    now: DateTime<Utc>,
) -> Result<Option<i64>, StoreError> {
    Ok(left(door.failed_sign_ins(source, now - WINDOW).await?, FREE_OF_PROGRAM, MOST_SECONDS, now))
}

fn left(failures: Failures, free: usize, most: i64, now: DateTime<Utc>) -> Option<i64> {
    let over = failures.count.checked_sub(free)?;
    let doubled = u32::try_from(over).ok().and_then(|times| 2_i64.checked_pow(times));
    let wait = doubled.and_then(|times| times.checked_mul(FIRST_SECONDS)).unwrap_or(most).min(most);
    let until = failures.last? + TimeDelta::seconds(wait);
    Some((until - now).num_seconds()).filter(|seconds| *seconds > 0)
}

/// The wait in words, never less than it is: "30 seconds", "2 minutes".
pub(crate) fn in_words(seconds: i64) -> String {
    if seconds == 1 {
        "1 second".to_owned()
    } else if seconds <= 60 {
        format!("{seconds} seconds")
    } else {
        format!("{} minutes", seconds.saturating_add(59).div_euclid(60))
    }
}

/// What is said to a try that comes too early.
pub(crate) fn too_early(seconds: i64) -> String {
    let wait = in_words(seconds);
    format!("Too many tries did not succeed. Nothing was checked this time. Wait {wait}, then try again.")
}

/// The answer to it, with when to come back.
pub(crate) fn until(mut response: HttpResponse, seconds: i64) -> HttpResponse {
    response.headers_mut().insert(RETRY_AFTER, HeaderValue::from(seconds));
    response
}

/// The network address a request comes from. Behind a proxy on this machine it is the one that the
/// proxy saw: the last it added to the list, for a client may write what it likes before that.
pub(crate) fn address(req: &HttpRequest) -> Option<String> {
    let peer = req.peer_addr().map(|peer| peer.ip())?;
    let forwarded = req.headers().get_all("x-forwarded-for").last().and_then(|list| list.to_str().ok());
    Some(behind(peer, forwarded).to_string())
}

fn behind(peer: IpAddr, forwarded: Option<&str>) -> IpAddr {
    let seen = forwarded.and_then(|list| list.rsplit(',').next()).and_then(|last| last.trim().parse().ok());
    seen.filter(|_| peer.is_loopback()).unwrap_or(peer)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn after(count: usize, seconds: i64) -> Option<i64> {
        let last: DateTime<Utc> = "2026-07-01T12:00:00Z".parse().unwrap();
        left(Failures { count, last: Some(last) }, FREE_OF_PAIR, MOST_SECONDS, last + TimeDelta::seconds(seconds))
    }

    #[test]
    fn the_wait_doubles_and_ends() {
        assert_eq!(after(4, 0), None);
        assert_eq!([5, 6, 7, 8, 9, 10, 200].map(|count| after(count, 0).unwrap()), [30, 60, 120, 240, 480, 900, 900]);
        assert_eq!(after(6, 59), Some(1));
        assert_eq!(after(6, 60), None);
        assert_eq!(left(Failures::default(), 0, 60, "2026-07-01T12:00:00Z".parse().unwrap()), None);
    }

    #[test]
    fn the_wait_is_said_in_words() {
        let said = [1, 30, 60, 61, 120, 900].map(in_words);
        assert_eq!(said, ["1 second", "30 seconds", "60 seconds", "2 minutes", "2 minutes", "15 minutes"]);
    }

    #[test]
    fn only_a_proxy_on_this_machine_is_believed() {
        let ip = |text: &str| text.parse::<IpAddr>().unwrap();
        assert_eq!(behind(ip("203.0.113.7"), Some("198.51.100.1")), ip("203.0.113.7"));
        assert_eq!(behind(ip("127.0.0.1"), Some("10.0.0.1, 198.51.100.1")), ip("198.51.100.1"));
        assert_eq!(behind(ip("::1"), None), ip("::1"));
        assert_eq!(behind(ip("127.0.0.1"), Some("somebody")), ip("127.0.0.1"));
    }
}
